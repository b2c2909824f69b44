"""What a scenario run is made of in the driller's terms, and running it for a variant."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from heave.arrays import FloatArray
from heave.compensator import GasUnit
from heave.compensator.time_domain import (
    BLOCK_MOVES,
    STEEPEST,
    Event,
    EventKind,
    HeaveMotion,
    sampled_heave,
)
from heave.errors import InputError
from heave.fields import Choice, Quantity, quantity, validate
from heave.judging.demands import calibrated_spectrum
from heave.judging.moments import setting_of
from heave.planning.plan import Plan
from heave.sea import moment, most_probable_maximum
from heave.simulation.comparisons import Variant, without_drilling
from heave.simulation.simulate import (
    SimulationResult,
    regular_wave_heave,
    simulate,
)
from heave.simulation.surface import regular_wave_surface

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
    "power lost": "Lose all power",
    "driller feeds off": "Driller feeds off",
    "block raised": "Driller raises the block too far",
    "block lowered": "Driller lowers the block too far",
    "wave group": "A wave group comes",
}
"""What may be made to happen during a scenario."""

ASKED: Final[dict[str, tuple[str, ...]]] = {
    "gas bank shut": ("share",),
    "block raised": ("amount", "over"),
    "block lowered": ("amount", "over"),
    "wave group": ("height",),
}
"""Fields of a `Happening` that count for a kind, besides its time."""

BEYOND: Final = 0.3
"""How far past the end of its stroke the unit would be run in a calm, where no amount is given [m]."""

_OF_THE_UNIT: Final = ("gas bank shut", "active unit lost", "compensator locked")

DURATION: Final = (30.0, 3600.0)
"""Shortest and longest scenario [s]."""


@dataclass(frozen=True)
class Happening:
    """Something that happens at a time; `ASKED` says which of the other numbers count for its kind."""

    kind: EventKind
    time: float = quantity("Time", "period", low=0.0, high=DURATION[1])
    share: float = quantity("Gas shut, share of what is open", "fraction", default=0.6, above=0.0, below=1.0)
    amount: float | None = quantity(
        "Block moved",
        "length",
        low=0.1,
        high=20.0,
        optional=True,
        help="Empty: to the end of the stroke and 0.3\u00a0m past it in a calm.",
    )
    over: float = quantity("Time the block is on the way", "period", default=20.0, low=1.0, high=300.0)
    height: float | None = quantity(
        "Crest of the heave",
        "length",
        above=0.0,
        high=30.0,
        optional=True,
        help="Above its mean. Empty: the most probable largest of the plan's exposure.",
    )

    def __post_init__(self) -> None:
        Choice("event", tuple(HAPPENINGS)).check(self.kind)
        validate(self)


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
        Quantity("time of a scenario", "period", *DURATION).check(self.duration)
        if self.source == "record" and self.record is None:
            raise InputError("measured heave", None, None, "a record")

    @property
    def length(self) -> float:
        """How long it runs [s]."""
        if self.source != "record" or self.record is None:
            return self.duration
        return min(self.duration, (len(self.record.position) - 1) * self.record.step)


def why_nothing(kind: str, variant: Variant, source: str = "sea") -> str:
    """Why something of that kind would change nothing for a variant, in a sentence; nothing where it changes something.

    Parameters
    ----------
    kind : a key of `HAPPENINGS`
    variant : the variant
    source : where the heave comes from, a key of `SOURCES`
    """
    Choice("event", tuple(HAPPENINGS)).check(kind)
    plan = variant.plan
    works = variant.as_planned and plan.operation.compensated
    drills = plan.on_bottom and plan.offsets.penetration_rate > 0
    without_power = "Nothing at work here needs power: gas and seals work on as before."
    reasons = {
        "wave group": _no_group(plan, source) if kind == "wave group" else "",
        "driller feeds off": "" if drills else "No hole is made, so there is nothing to feed off.",
        "power lost": "" if drills or (works and plan.active_in_use) else without_power,
    }
    if plan.operation.hangs_free:
        ends = "Nothing holds the string below: it goes with the block, and the stroke stays."
        reasons |= dict.fromkeys(BLOCK_MOVES, ends)
    if not works:
        nothing = "Nothing compensates here, so there is nothing to shut, lose or lock."
        reasons |= dict.fromkeys(_OF_THE_UNIT, nothing)
    elif not plan.active_in_use:
        reasons["active unit lost"] = "No active part is at work."
    if works and plan.compensator.is_drawworks:
        reasons["gas bank shut"] = "A compensating drawworks has no bottles to shut."
    return reasons.get(kind, "")


def why_left_out(item: Happening, variant: Variant, scenario: Scenario) -> str:
    """Why `run` leaves something out for a variant, in a sentence; nothing where it happens.

    Parameters
    ----------
    item : of the scenario's happenings
    variant, scenario : as for `run`
    """
    plan = plan_run(variant, scenario)
    reason = why_nothing(item.kind, replace(variant, plan=plan), scenario.source)
    if not reason and item.time > scenario.length:
        return "It would come after the end of the run."
    if (
        not reason
        and item.kind == "wave group"
        and _crest(plan, item) > STEEPEST * math.sqrt(_moments(plan)[0])
    ):
        return (
            f"The crest is over {STEEPEST:g} times the spread of the heave: no such wave comes in this sea."
        )
    unit = plan.compensator
    if not reason and item.kind == "gas bank shut" and isinstance(unit, GasUnit):
        try:
            replace(unit, gas_volume_shut=unit.gas_volume_shut + _gas_shut(unit, item.share))
        except InputError:
            return "With so many bottles shut there is less gas than the cylinder sweeps."
    return reason


def plan_run(variant: Variant, scenario: Scenario) -> Plan:
    """The plan that is run: the variant's, without hole where none is made.

    Parameters
    ----------
    variant, scenario : as for `run`
    """
    return variant.plan if scenario.hole else without_drilling(variant.plan)


def _gas_shut(unit: GasUnit, share: float) -> float:
    """Volume of a share of the open gas [m³]."""
    return share * (unit.gas_volume - unit.gas_volume_shut)


def _no_group(plan: Plan, source: str) -> str:
    if source != "sea":
        return (
            f"A wave group is put into the plan's sea, and this heave is another: {SOURCES[source].lower()}."
        )
    return "" if largest_heave(plan) > 0 else "The hoist does not heave in this sea."


def largest_heave(plan: Plan) -> float:
    """Most probable largest heave of the plan in its sea and exposure, single amplitude [m].

    Parameters
    ----------
    plan : the plan
    """
    m0, m2 = _moments(plan)
    if not m0 > 0:
        return 0.0
    cycles = max(plan.exposure / (2 * math.pi * math.sqrt(m0 / m2)), 1.0)
    return float(most_probable_maximum(m0, cycles))


def _moments(plan: Plan) -> tuple[float, float]:
    """Variance of heave at the hoist and of its speed."""
    spectrum = calibrated_spectrum(plan)
    return float(moment(spectrum, 0)), float(moment(spectrum, 2))


def _crest(plan: Plan, item: Happening) -> float:
    return largest_heave(plan) if item.height is None else item.height


def block_travel(plan: Plan, kind: str) -> float:
    """How far the block goes to run the unit `BEYOND` its end in a calm, the string held below [m].

    x + (|F_g(end) − F_0| + F_f)/k_s: the way to the end, and what gas and seals stretch or slacken the string by on it
    (polytropic gas law, nominal index). A metre where nothing strokes. Where the gas takes more than the weight on bit
    on the way up, the bit lifts before the end is met.

    Parameters
    ----------
    plan : the plan
    kind : of `BLOCK_MOVES`
    """
    unit, setting, side = plan.compensator, setting_of(plan), BLOCK_MOVES[kind]
    if not isinstance(unit, GasUnit):
        return 1.0
    end = side * unit.stroke / 2
    gas = float(unit.spring(setting.load, None, setting.start).load(end)) - setting.load
    stretch = (abs(gas) + setting.friction_force) / plan.string.stiffness
    return side * (end - setting.start) + BEYOND + stretch


def run(
    variant: Variant,
    scenario: Scenario,
    progress: Callable[[float], None] | None = None,
) -> SimulationResult:
    """Simulate a variant in a scenario; what cannot happen to it is left out.

    Parameters
    ----------
    variant : what stands between block and bit
    scenario : heave and events
    progress : called now and then with the share done, 0 to 1; what it raises stops the run

    Returns
    -------
    SimulationResult

    Raises
    ------
    InputError
        If something is out of range.
    """
    plan = plan_run(variant, scenario)
    heave, surface = _heave(plan, scenario)
    return simulate(
        plan,
        scenario.length,
        scenario.seed,
        heave=heave,
        surface=surface,
        events=[
            _event(plan, item) for item in scenario.happenings if not why_left_out(item, variant, scenario)
        ],
        unit="as planned" if variant.as_planned else "no compensator",
        progress=progress,
    )


def _heave(plan: Plan, scenario: Scenario) -> tuple[HeaveMotion | None, HeaveMotion | None]:
    """Heave and water beside it, where they are not the sea's."""
    if scenario.source == "wave":
        wave = plan, scenario.height, scenario.period, scenario.duration
        return regular_wave_heave(*wave), regular_wave_surface(*wave)
    if scenario.source == "record" and scenario.record is not None:
        last = int(scenario.length / scenario.record.step) + 1
        return sampled_heave(scenario.record.position[:last], scenario.record.step), None
    return None, None


def _event(plan: Plan, item: Happening) -> Event:
    if item.kind == "gas bank shut":
        return Event(item.kind, item.time, _gas_shut(plan.compensator.of_type(GasUnit), item.share))
    if item.kind in BLOCK_MOVES:
        amount = block_travel(plan, item.kind) if item.amount is None else item.amount
        return Event(item.kind, item.time, amount, item.over)
    if item.kind == "wave group":
        return Event(item.kind, item.time, _crest(plan, item))
    return Event(item.kind, item.time)
