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

import numpy as np
import numpy.typing as npt

from heave.compensator.device import Compensator
from heave.compensator.linear import LinearResponse, linear_response
from heave.compensator.linearisation import COULOMB, QUADRATIC
from heave.compensator.setting import Setting
from heave.compensator.transfer import STRING_LOSS_FACTOR
from heave.drill_string import DrillString
from heave.errors import InputError

FloatArray = npt.NDArray[np.float64]

LARGEST_CYCLE: Final = 4.0
"""Speed amplitude of the largest cycle over σ, κ: between the most probable and the 1 in 10 of a thousand cycles."""

FRICTION_SHARE: Final = 4 / math.pi / LARGEST_CYCLE / COULOMB
"""Share of the friction that damps the largest cycle as Gaussian damping would, 0.40."""

LOSS_SHARE: Final = 8 / (3 * math.pi) * LARGEST_CYCLE / QUADRATIC
"""The same for the quadratic loss, 2.13."""

WANDER_SHARE: Final = 0.5
"""Share of F_f/k_c by which the hook wanders off bottom: fitted to simulation, no source."""

WANDER_SHARE_ACTIVE: Final = 1.0
"""The same with an active part at work, which keeps the seals slipping: fitted to simulation, no source."""


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
        shares=(FRICTION_SHARE, LOSS_SHARE),
    )


def free_wander(level: npt.ArrayLike, setting: Setting, *, active: bool = False) -> FloatArray:
    """Travel that friction adds off bottom: the hook rests anywhere within ± F_f/k_c of its place [m].

    w = ½ F_f/k_c, all of F_f/k_c with an active part at work, and at most the level itself, since a unit that
    does not move does not wander. It adds to the linear level in quadrature, √(level² + w²). On bottom the
    rock holds the hook's place and there is none.

    Parameters
    ----------
    level : of the travel, the larger of both linearisations, (n,) [m]
    setting : what is set on the unit
    active : an active part is at work

    Returns
    -------
    w, (n,)

    Raises
    ------
    InputError
        If a level is negative or infinite; NaN gives NaN.
    """
    travel = _levels("travel", level)
    if setting.stiffness_nominal is None:
        return np.zeros_like(travel)
    share = WANDER_SHARE_ACTIVE if active else WANDER_SHARE
    return np.asarray(np.minimum(share * setting.friction_force / setting.stiffness_nominal, travel))


def free_stroke_level(level: npt.ArrayLike, setting: Setting, *, active: bool = False) -> FloatArray:
    """Travel off bottom with the wander of friction, √(level² + w²), w of `free_wander` [m].

    Parameters
    ----------
    level : of the travel, the larger of both linearisations, (n,) [m]
    setting : what is set on the unit
    active : an active part is at work

    Returns
    -------
    Levels (n,)
    """
    travel = _levels("travel", level)
    return np.asarray(np.hypot(travel, free_wander(travel, setting, active=active)))


def free_motion_level(
    level: npt.ArrayLike,
    stroke_level: npt.ArrayLike,
    setting: Setting,
    string: DrillString,
    *,
    active: bool = False,
) -> FloatArray:
    """Motion left at the free end of the string with what friction adds to the linear level [m].

    √(level² + w²) + r: the wander w as in `free_wander`, and the stretch r = F_f/k_string, because each
    reversal is a step of force on the string; it too is no more than the travel.

    Parameters
    ----------
    level : of the motion at the free end, the larger of both linearisations, (n,) [m]
    stroke_level : of the travel, likewise, (n,) [m]
    setting : what is set on the unit
    string : what hangs on it
    active : an active part is at work

    Returns
    -------
    Levels (n,)

    Raises
    ------
    InputError
        If a level is negative or infinite; NaN gives NaN.
    """
    motion, travel = _levels("motion at the free end", level), _levels("travel", stroke_level)
    stretch = np.minimum(setting.friction_force / string.stiffness, travel)
    return np.asarray(np.hypot(motion, free_wander(travel, setting, active=active)) + stretch)


def _levels(what: str, level: npt.ArrayLike) -> FloatArray:
    values = np.asarray(level, dtype=np.float64)
    if np.any((values < 0) | np.isposinf(values)):
        raise InputError(what, level, "m", "zero or above")
    return values
