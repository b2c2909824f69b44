"""The limiting sea: the wave height at which the governing check reaches 1."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.judging.assessment import utilisations
from heave.judging.rules import rules_for
from heave.planning.plan import Plan
from heave.sea import SeaBatch

FloatArray = npt.NDArray[np.float64]

LOWEST_HS: Final = 0.05
"""Lowest wave height tried [m]; over a limit there means over it in a calm."""

HIGHEST_HS: Final = 20.0
"""Highest wave height tried [m]."""

_COARSE: Final = 48
_FINE: Final = 16


@dataclass(frozen=True)
class LimitingSea:
    """Hs of the first wave system at which the governing check reaches 1, all else as planned.

    `hs` is infinite where no check reaches 1 up to `HIGHEST_HS`, and 0 where one is over already in a
    calm. `float(limiting)` gives `hs`.
    """

    hs: float
    governing: str | None
    """Name of the check that reaches 1 there; None where none does."""

    tp: float
    heading: float

    @property
    def reached(self) -> bool:
        """True when some check reaches 1 within the range tried."""
        return math.isfinite(self.hs)

    def __float__(self) -> float:
        return self.hs


def limiting_sea(plan: Plan, tp: float | None = None, heading: float | None = None) -> LimitingSea:
    """Find the Hs of the first wave system at which the governing check first reaches 1.

    Rooted by bracketing: the checks are evaluated at a ladder of Hs in one batch, then again inside the
    first bracket, then interpolated; damping that depends on the sea is thereby in every evaluation.
    Other wave systems stay as planned; a measured spectrum is scaled as a whole.

    Parameters
    ----------
    plan : the plan
    tp : peak period of the first system [s]; None keeps it
    heading : vessel heading [deg]; None keeps it

    Returns
    -------
    LimitingSea, Hs to about 0.01 m

    Raises
    ------
    InputError
        If a period or heading is out of range, or a period is given for a measured spectrum.
    """
    changed = plan if heading is None else plan.changed(heading=heading)
    if tp is not None:
        changed = changed.changed(sea=changed.sea.with_primary(tp=tp))
    batch, tp_used = changed.sea.batch(), changed.sea.tp
    ladder = np.geomspace(LOWEST_HS, HIGHEST_HS, _COARSE)
    coarse = _first_over(changed, batch, ladder)
    if coarse is None:
        return LimitingSea(math.inf, None, tp_used, changed.heading)
    if coarse.step == 0:
        return LimitingSea(0.0, coarse.name, tp_used, changed.heading)
    inner = np.linspace(ladder[coarse.step - 1], ladder[coarse.step], _FINE)
    fine = _first_over(changed, batch, inner) or coarse
    return LimitingSea(fine.hs, fine.name, tp_used, changed.heading)


@dataclass(frozen=True)
class _Crossing:
    """Where a ladder of Hs first goes over: the step, the check that does it, and Hs in between."""

    step: int
    name: str
    hs: float


def _first_over(plan: Plan, batch: SeaBatch, ladder: FloatArray) -> _Crossing | None:
    found = utilisations(plan, batch.scaled(ladder))
    over = np.flatnonzero(found.governing >= 1)
    if over.size == 0:
        return None
    step = int(over[0])
    name = rules_for(plan)[int(found.governed_by[step])].name
    if step == 0 or not math.isfinite(found.governing[step]):
        return _Crossing(step, name, float(ladder[step]))
    before, after = found.governing[step - 1 : step + 1]
    share = (1 - before) / (after - before)
    return _Crossing(step, name, float(ladder[step - 1] + share * (ladder[step] - ladder[step - 1])))
