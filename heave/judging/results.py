"""What an assessment holds: motions, stroke budget, bit band and the figures behind the checks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from heave.compensator import Setting
from heave.judging.checks import Check
from heave.planning.plan import Plan

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Level:
    """Statistics of one Gaussian motion, all single amplitude.

    `level` is exceeded once in the exposure with the plan's accepted risk.
    """

    sigma: float
    period: float
    cycles: float
    most_probable: float
    level: float

    @property
    def significant(self) -> float:
        """Significant single amplitude, 2σ."""
        return 2 * self.sigma


@dataclass(frozen=True)
class StrokeBudget:
    """Where the compensator's travel goes [m]; positive towards gas compression (vessel rising).

    `static_rising` and `static_falling` are the slow travel from mid-stroke towards each end,
    `significant` and `extreme` the single amplitudes of the travel the sea asks for.
    """

    half_stroke: float
    reserve: float
    start: float
    static_rising: float
    static_falling: float
    significant: float
    extreme: float
    period: float
    rate_rising: float
    rate_falling: float
    """Stroke-outs per second at each end."""

    best_start: float
    """Start position that shares the static travel evenly between the two ends."""

    @property
    def rising(self) -> float:
        """Travel used towards the rising end."""
        return self.static_rising + self.extreme

    @property
    def falling(self) -> float:
        """Travel used towards the falling end."""
        return self.static_falling + self.extreme


@dataclass(frozen=True)
class BitBand:
    """Weight on bit [N], how far the sea swings it and how far slow travel lets it drift.

    `elastic` is the swing at the risk level without friction; see `heave.compensator.BitSwing`.
    """

    wob: float
    elastic: float
    friction: float
    low: float
    nominal: float
    high: float
    """Amplitudes with 1, 2 and 3 times the friction force added to the elastic part; checks use the high one."""

    drift_less: float
    """Weight on bit lost when all slow travel has gone towards the vessel-rising end."""

    drift_more: float
    """Weight on bit gained when it has gone towards the vessel-falling end."""

    locked: float
    """Amplitude at the bit if the compensator locked."""

    def span(self, swing: float) -> tuple[float, float]:
        """Lowest and highest weight on bit for a swing of this band (`low`, `nominal` or `high`)."""
        return self.wob - self.drift_less - swing, self.wob + self.drift_more + swing


@dataclass(frozen=True)
class Residual:
    """Motion left at the lower end of a free string [m, m/s], single amplitude at the risk level."""

    motion: float
    velocity: float
    share: float
    """Residual σ over the vessel's σ at the hoist."""


@dataclass(frozen=True)
class Responses:
    """The figures behind the checks; spectra over `omega` (nω,)."""

    omega: FloatArray
    sea_spectrum: FloatArray
    heave_spectrum: FloatArray
    transfer: FloatArray
    """√(heave spectrum / sea spectrum): heave at the hoist per metre of wave, all directions in."""

    heave: Level
    velocity: Level
    acceleration: Level
    relative_headings: tuple[float, ...]
    stroke: StrokeBudget | None
    bit: BitBand | None
    residual: Residual | None
    string_period: float
    """First natural period of the string, on bottom or free as the operation has it [s]."""


@dataclass(frozen=True)
class Assessment:
    """Everything the planner knows about one plan."""

    plan: Plan
    checks: tuple[Check, ...]
    governing: Check | None
    verdict: str
    setting: Setting
    responses: Responses
    cautions: tuple[str, ...]

    def check(self, key: str) -> Check:
        """The check with this key.

        Raises
        ------
        KeyError
            If the plan's operation has no such check.
        """
        for item in self.checks:
            if item.key == key:
                return item
        raise KeyError(key)

    @property
    def by_utilisation(self) -> tuple[Check, ...]:
        """The checks, most used first, those not assessed last."""
        return tuple(
            sorted(self.checks, key=lambda c: (c.utilisation != c.utilisation, -c.utilisation, c.name))
        )
