"""What friction and loss do in the largest cycles, where damping for the whole sea would mislead.

Linearised for a Gaussian sea, friction damps by its share of the average cycle: √(2/π) F_f/σ. In a cycle of
speed amplitude V it takes out the power of a damping 4 F_f/(πV), and the loss that of 8 c_q V/(3π) (for
example Den Hartog, Mechanical Vibrations, equivalent viscous damping). With V = κσ these are the Gaussian
figures with F_f times (4/π)/(κ√(2/π)) and c_q times 8κ/(3π√(8/π)): at κ = 4, 0.40 and 2.13. A unit that a
moderate sea cannot move may therefore still be moved, and driven into resonance, by the largest waves of
that sea. Against simulation the larger of both linearisations is on the safe side where the first alone is not.
"""

from __future__ import annotations

import math
from typing import Final

import numpy.typing as npt

from heave.compensator.device import Compensator
from heave.compensator.linear import LinearResponse, linear_response
from heave.compensator.linearisation import COULOMB, QUADRATIC, Cycle
from heave.compensator.setting import Setting
from heave.compensator.transfer import STRING_LOSS_FACTOR
from heave.drill_string import DrillString

LARGEST_CYCLE: Final = 4.0
"""Speed amplitude of the largest cycle over σ, κ: between the most probable and the 1 in 10 of a thousand cycles."""

FRICTION_SHARE: Final = 4 / math.pi / LARGEST_CYCLE / COULOMB
"""Share of the friction that damps the largest cycle as Gaussian damping would, 0.40."""

LOSS_SHARE: Final = 8 / (3 * math.pi) * LARGEST_CYCLE / QUADRATIC
"""The same for the quadratic loss, 2.13."""

LARGEST: Final = Cycle(FRICTION_SHARE, LOSS_SHARE)
"""The largest cycle."""


def extreme_response(
    compensator: Compensator,
    string: DrillString,
    setting: Setting,
    omega: npt.ArrayLike,
    weights: npt.ArrayLike,
    heave_spectrum: npt.ArrayLike,
    condition: str,
    *,
    active: bool = True,
    index: float | None = None,
    loss_factor: float = STRING_LOSS_FACTOR,
) -> LinearResponse:
    """`linear_response` with friction and loss as they damp the largest cycle; take the larger level of the two.

    Parameters
    ----------
    compensator, string, setting : the unit, what hangs on it, and what is set on it
    omega, weights : angular frequency and cell width of the grid [rad/s], shape (nω,)
    heave_spectrum : heave at the hoist [m²·s], shape (n, nω)
    condition : as for `linear_response`
    active, index, loss_factor : as for `linear_response`

    Returns
    -------
    LinearResponse, arrays (n,)
    """
    return linear_response(
        compensator,
        string,
        setting,
        omega,
        weights,
        heave_spectrum,
        condition,
        active=active,
        index=index,
        loss_factor=loss_factor,
        cycle=LARGEST,
    )
