"""What a scenario run is made of in the driller's terms, and running it for a variant."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.compensator.time_domain import Event, EventKind, HeaveMotion, sampled_heave
from heave.errors import InputError
from heave.fields import Choice, Quantity
from heave.planning.plan import Plan
from heave.simulation.comparisons import Variant, without_drilling
from heave.simulation.simulate import SimulationResult, regular_wave_heave, simulate

FloatArray = npt.NDArray[np.float64]

SOURCES: Final = {
    "sea": "Irregular sea of the plan",
    "wave": "Regular wave",
    "record": "Measured heave",
}
"""Where the heave of a scenario comes from, by key."""

HAPPENINGS: Final[dict[EventKind, str]] = {
    "gas bank shut": "Shut a bank of gas bottles",
    "active unit lost": "Lose the active part",
    "compensator locked": "Lock the compensator",
    "driller feeds off": "Driller feeds off",
}
"""What may be made to happen during a scenario."""

DURATION: Final = (30.0, 3600.0)
"""Shortest and longest scenario [s]."""


@dataclass(frozen=True)
class Happening:
    """Something that happens at `time` [s]; `share` is that of the open gas, for a bank being shut."""

    kind: EventKind
    time: float
    share: float = 0.6

    def __post_init__(self) -> None:
        Choice("event", tuple(HAPPENINGS)).check(self.kind)
        Quantity("share of the gas shut", "number", above=0.0, below=1.0).check(self.share)


@dataclass(frozen=True, eq=False)
class MeasuredHeave:
    """A record to run: its name, heave [m] and step [s]. Equal only to itself."""

    name: str
    position: FloatArray
    step: float


@dataclass(frozen=True)
class Scenario:
    """A scenario run: where the heave comes from, how long, what happens, and whether hole is made.

    seed : of the irregular sea; height [m] and period [s] : of the regular wave; record : the measured heave
    duration : [s]; a record runs for its own length if that is shorter
    hole : hole is made at the plan's rate and fed off at its interval, so it eats stroke
    """

    source: str = "sea"
    seed: int = 1
    height: float = 3.0
    period: float = 10.0
    record: MeasuredHeave | None = None
    duration: float = 300.0
    happenings: tuple[Happening, ...] = ()
    hole: bool = True

    def __post_init__(self) -> None:
        Choice("heave", tuple(SOURCES)).check(self.source)
        Quantity("time simulated", "period", *DURATION).check(self.duration)
        if self.source == "record" and self.record is None:
            raise InputError("measured heave", None, None, "a record")

    @property
    def length(self) -> float:
        """How long it runs [s]."""
        if self.source != "record" or self.record is None:
            return self.duration
        return min(self.duration, (len(self.record.position) - 1) * self.record.step)


def why_nothing(kind: str, variant: Variant) -> str:
    """Why something of that kind would change nothing for a variant, in a sentence; nothing where it changes something.

    Parameters
    ----------
    kind : a key of `HAPPENINGS`
    variant : the variant
    """
    Choice("event", tuple(HAPPENINGS)).check(kind)
    unit, plan = variant.plan.compensator, variant.plan
    if kind == "driller feeds off":
        return ""
    if variant.unit != "as planned":
        return f"Nothing compensates here ({variant.unit}), so there is nothing to shut, lose or lock."
    if kind == "active unit lost" and not plan.active_in_use:
        return "No active part is at work."
    if kind == "gas bank shut" and unit.is_drawworks:
        return "A compensating drawworks has no bottles to shut."
    return ""


def run(
    variant: Variant,
    scenario: Scenario,
    progress: Callable[[float], None] | None = None,
    cancel: Callable[[], bool] | None = None,
) -> SimulationResult:
    """Simulate a variant in a scenario; what cannot happen to it is left out.

    Parameters
    ----------
    variant : what stands between block and bit
    scenario : heave and events
    progress : called now and then with the share done, 0 to 1
    cancel : asked now and then; True stops

    Returns
    -------
    SimulationResult

    Raises
    ------
    InputError
        If something is out of range.
    SimulationCancelled
        If `cancel` said so.
    """
    plan = variant.plan if scenario.hole else without_drilling(variant.plan)
    return simulate(
        plan,
        scenario.length,
        scenario.seed,
        heave=_heave(plan, scenario),
        events=[_event(plan, item) for item in scenario.happenings if not why_nothing(item.kind, variant)],
        unit="as planned" if variant.unit == "as planned" else "no compensator",
        progress=progress,
        cancel=cancel,
    )


def _heave(plan: Plan, scenario: Scenario) -> HeaveMotion | None:
    if scenario.source == "wave":
        return regular_wave_heave(plan, scenario.height, scenario.period, scenario.duration)
    if scenario.source == "record" and scenario.record is not None:
        last = int(scenario.length / scenario.record.step) + 1
        return sampled_heave(scenario.record.position[:last], scenario.record.step)
    return None


def _event(plan: Plan, item: Happening) -> Event:
    if item.kind != "gas bank shut":
        return Event(item.kind, item.time)
    unit = plan.compensator
    return Event(item.kind, item.time, item.share * ((unit.gas_volume or 0.0) - unit.gas_volume_shut))
