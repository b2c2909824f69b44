"""What a study can vary: each input with its bounds, where a plan has it, and its usual range with a source."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from heave import fields
from heave.compensator import ActiveAssisted, Compensator, Drawworks, GasUnit
from heave.drill_string import DrillString
from heave.fields import Quantity
from heave.judging.cases import known_range
from heave.planning import Plan, StaticOffsets
from heave.planning.study import SHAPES
from heave.sea import PERIOD_RANGE, SeaState, WaveSystem
from heave.sea.arguments import MAX_HS
from heave.sea.spectra import GAUSSIAN_SWELL_SHORTEST, GAUSSIAN_WIDEST
from heave.sea.systems import LEAST_HS
from heave.sea.two_peak import TORSETHAUGEN_LONGEST
from heave.vessel import Semisubmersible

Span = tuple[float, float]
"""Low and high end, SI."""

Usual = Callable[[Plan, float], tuple[Span, str]]
"""From a plan and a planned value to the usual range and its source."""

PLANNED: Final = "the plan's own range"
MEMORY: Final = "from memory"
PRACTICE: Final = "common practice"


def _nothing(part: Any, value: float) -> Mapping[str, Any]:
    """No field of a `part` changes, whatever the `value`."""
    return {}


@dataclass(frozen=True)
class Input:
    """One input a study can vary.

    name : key, of `heave.planning.STUDIED`
    about : label, kind of quantity and bounds, from the field it goes to where there is one
    part : of the plan it is in, empty for the plan itself; "sea" for what may differ from sea to sea of one plan, and
        "case" for what no field of a plan holds
    planned : its value in a plan; None where the plan has no such input
    usual : its usual range and where that is from
    changes : from that part of the plan and a value to the fields of the part that change
    """

    name: str
    about: Quantity
    part: str
    planned: Callable[[Plan], float | None]
    usual: Usual
    changes: Callable[[Any, float], Mapping[str, Any]] = _nothing

    @property
    def of_sea(self) -> bool:
        """Whether it may differ from sea to sea of one plan."""
        return self.part == "sea"

    def bounds(self, plan: Plan) -> Span:
        """Between which values it may lie at all.

        Parameters
        ----------
        plan : the plan
        """
        if self.name == "sea_height":
            return _height_bounds(plan.sea)
        if self.name == "sea_period":
            return _period_bounds(plan.sea)
        about = self.about
        lows = [end for end in (about.low, about.above) if end is not None]
        highs = [end for end in (about.high, about.below) if end is not None]
        return max(lows, default=-math.inf), min(highs, default=math.inf)

    def check(self, plan: Plan, value: float) -> None:
        """Refuse a value outside of what may be studied.

        Parameters
        ----------
        plan : the plan
        value : of this input [SI]

        Raises
        ------
        InputError
            Naming the input, the value and what is allowed.
        """
        self.about.check(value)
        if self.of_sea:
            low, high = self.bounds(plan)
            replace(self.about, low=low, high=high).check(value)

    def usual_range(self, plan: Plan) -> tuple[Span, str] | None:
        """The usual range, held inside the bounds, and its source; None where there is none.

        Parameters
        ----------
        plan : the plan
        """
        value = self.planned(plan)
        if value is None:
            return None
        (low, high), source = self.usual(plan, value)
        least, most = self.bounds(plan)
        low, high = max(low, least), min(high, most)
        return None if low >= high else ((low, high), source)


def _height_bounds(sea: SeaState) -> Span:
    """Total heights at which every system is still one, and the sea no higher than any may be."""
    if sea.measured is not None:
        return LEAST_HS, MAX_HS
    return sea.hs * LEAST_HS / min(system.hs for system in sea.systems), MAX_HS


def _period_bounds(sea: SeaState) -> Span:
    """Peak periods of the first system at which every system still has a spectrum."""
    low, high = zip(*(_stretch(system) for system in sea.systems), strict=True)
    return sea.tp * max(low), sea.tp * min(high)


def _stretch(system: WaveSystem) -> Span:
    low, high = PERIOD_RANGE
    if system.shape == "torsethaugen":
        high = TORSETHAUGEN_LONGEST
    if system.shape == "gaussian-swell":
        low, high = GAUSSIAN_SWELL_SHORTEST, min(high, GAUSSIAN_WIDEST / system.width)
    return low / system.tp, high / system.tp


def _share(share: float, source: str) -> Usual:
    """So much of the planned value, either way."""
    return lambda plan, value: ((value * (1 - share), value * (1 + share)), source)


def _by(step: float, source: str) -> Usual:
    """So much beside the planned value, either way."""
    return lambda plan, value: ((value - step, value + step), source)


def _ranged(name: str, otherwise: float) -> Usual:
    """The share that the plan's ranges give; where they give none, so much."""

    def usual(plan: Plan, value: float) -> tuple[Span, str]:
        given = getattr(known_range(plan), name)
        share = given or otherwise
        return (value * (1 - share), value * (1 + share)), PLANNED if given else MEMORY

    return usual


def _temperature(plan: Plan, value: float) -> tuple[Span, str]:
    given = plan.ranges.gas_temperature
    change = given or 10.0
    return (-change, change), PLANNED if given else MEMORY


def _index(plan: Plan, value: float) -> tuple[Span, str]:
    unit = plan.compensator.of_type(GasUnit)
    return (unit.index_low, unit.index_high), "low and high index of the unit"


def _gain(plan: Plan, value: float) -> tuple[Span, str]:
    given = plan.ranges.active_lost
    return (value * (1 - (given or 0.05)), value), PLANNED if given else MEMORY


def _works(plan: Plan) -> bool:
    """The compensator works."""
    return plan.operation.compensated


def _active(plan: Plan) -> bool:
    return _works(plan) and plan.active_in_use


def _on_bottom(plan: Plan) -> bool:
    return plan.on_bottom


def _of(cls: type, field: str) -> Quantity:
    about = fields.about(cls, field)
    assert isinstance(about, Quantity)
    return about


def _field(
    name: str,
    part: str,
    kinds: tuple[type, ...],
    usual: Usual,
    field: str = "",
    label: str = "",
    when: Callable[[Plan], bool] = lambda plan: True,
) -> Input:
    """An input that is a field of a part of the plan, called otherwise or only there under a condition."""
    own = field or name

    def planned(plan: Plan) -> float | None:
        holder = getattr(plan, part) if part else plan
        if not isinstance(holder, kinds) or not when(plan):
            return None
        value: float | None = getattr(holder, own)
        return value

    about = _of(kinds[0], own)
    about = replace(about, label=label) if label else about
    return Input(name, about, part, planned, usual, lambda part, value: {own: value})


def _longer(string: DrillString, value: float) -> Mapping[str, Any]:
    """The longest section made longer or shorter until the string is `value` long."""
    place = max(range(len(string.sections)), key=lambda i: string.sections[i].length)
    longest = string.sections[place]
    grown = replace(longest, length=longest.length + value - string.length)
    return {"sections": (*string.sections[:place], grown, *string.sections[place + 1 :])}


def _period(plan: Plan) -> float | None:
    """The period of the sea, where all of its systems have one that can be changed."""
    held = plan.sea.measured is not None or any(one.period is None for one in plan.sea.systems)
    return None if held else plan.sea.tp


def _as_set(plan: Plan) -> float | None:
    return 0.0 if isinstance(plan.compensator, GasUnit) and _works(plan) else None


def _string_length(plan: Plan) -> float:
    return plan.string.length


def _drag(plan: Plan) -> float | None:
    hull = plan.vessel.response
    return hull.drag_coefficient if isinstance(hull, Semisubmersible) else None


_GAS, _HELD = ("compensator", (GasUnit,)), ("offsets", (StaticOffsets,))
_TURN: Final = Quantity(
    "Waves turned by", "direction", low=-180.0, high=180.0, help="Clockwise, all systems."
)
_BOW: Final = replace(_TURN, label="Vessel turned by", help="Clockwise.")
_HEIGHT: Final = Quantity("Significant wave height", "length", help="Of all systems, grown in proportion.")
_TP: Final = Quantity("Wave period Tp", "period", help="Of the first system; the others in proportion.")
_HEAVE: Final = Quantity("Heave, times the response", "number", low=0.5, high=1.5)
_LENGTH: Final = Quantity(
    "Length of the string", "length", low=0.1, high=200_000.0, help="Its longest section grows."
)
_WARMER: Final = Quantity("Gas warmer since setting by", "kelvin", low=-60.0, high=60.0)

INPUTS: Final[dict[str, Input]] = {
    one.name: one
    for one in (
        Input("sea_height", _HEIGHT, "sea", lambda plan: plan.sea.hs, _ranged("sea_height", 0.1)),
        Input("sea_period", _TP, "sea", _period, _ranged("sea_period", 0.1)),
        Input("sea_turn", _TURN, "sea", lambda plan: 0.0, _by(15.0, MEMORY)),
        Input("heading_turn", _BOW, "sea", lambda plan: 0.0, _by(5.0, MEMORY)),
        Input("heave_factor", _HEAVE, "case", lambda plan: 1.0, _ranged("heave", 0.1)),
        Input(
            "drag_coefficient",
            _of(Semisubmersible, "drag_coefficient"),
            "vessel",
            _drag,
            _share(0.3, MEMORY),
            lambda vessel, value: {"response": replace(vessel.response, drag_coefficient=value)},
        ),
        Input(
            "hookload",
            replace(_of(Plan, "hookload_entered"), label="Hookload", optional=False),
            "",
            lambda plan: plan.still_hookload,
            _ranged("hookload", 0.03),
            lambda plan, value: {"hookload_entered": value},
        ),
        _field("wob", "", (Plan,), _ranged("hookload", 0.03), when=_on_bottom),
        _field("overpull", "", (Plan,), _share(0.1, MEMORY)),
        _field("mud_density", "string", (DrillString,), _share(0.02, PRACTICE)),
        Input("string_length", _LENGTH, "string", _string_length, _share(0.01, MEMORY), _longer),
        _field("handling_mass", "string", (DrillString,), _share(0.05, MEMORY)),
        _field("string_loss", "", (Plan,), _share(0.5, MEMORY), label="Axial damping of the string"),
        _field("gas_volume", *_GAS, _share(0.02, MEMORY), label="Gas volume, all bottles"),
        _field("gas_volume_shut", *_GAS, _share(0.1, MEMORY)),
        _field("gas_index", *_GAS, _index, "index", when=_works),
        _field("seal_friction", *_GAS, _ranged("seal_friction", 0.5), "friction_fraction", when=_works),
        _field("hydraulic_loss", *_GAS, _share(0.5, MEMORY), when=_works),
        _field("moving_mass", "compensator", (Compensator,), _share(0.05, MEMORY)),
        _field("active_gain", "compensator", (ActiveAssisted, Drawworks), _gain, when=_active),
        _field("active_delay", "compensator", (ActiveAssisted, Drawworks), _share(0.5, MEMORY), when=_active),
        _field("start_position", *_HELD, _by(0.3, MEMORY)),
        _field("tide_rise", *_HELD, _by(0.3, MEMORY)),
        _field("tide_fall", *_HELD, _by(0.3, MEMORY)),
        _field("draught_change", *_HELD, _by(0.2, MEMORY)),
        _field("vessel_offset", *_HELD, _share(0.5, MEMORY)),
        _field("space_out_error", *_HELD, _by(0.2, MEMORY)),
        _field("penetration_rate", *_HELD, _share(0.3, MEMORY), when=_on_bottom),
        Input("gas_temperature", _WARMER, "case", _as_set, _temperature),
    )
}
"""Every input that can be varied, by its key."""


def inputs_of(plan: Plan) -> tuple[Input, ...]:
    """The inputs that a plan has.

    Parameters
    ----------
    plan : the plan
    """
    return tuple(one for one in INPUTS.values() if one.planned(plan) is not None)


@dataclass(frozen=True)
class Ranged:
    """An input of a plan with the range a study gives it: the user's own, or the usual one.

    shape : how it is spread, of `heave.planning.study.SHAPES`
    source : where the range is from
    """

    input: Input
    planned: float
    low: float
    high: float
    shape: str
    source: str


STATED: Final = "stated for this study"


def ranged(plan: Plan) -> tuple[Ranged, ...]:
    """The inputs that the plan's study varies, with their ranges; the user's own range wins.

    Parameters
    ----------
    plan : with its study
    """
    found = []
    for one in inputs_of(plan):
        own, usual, planned = plan.study.of(one.name), one.usual_range(plan), one.planned(plan)
        assert planned is not None
        if own is not None and own.varied:
            found.append(Ranged(one, planned, own.low, own.high, own.shape, STATED))
        elif own is None and usual is not None:
            found.append(Ranged(one, planned, *usual[0], SHAPES[0], usual[1]))
    return tuple(found)


def held(plan: Plan) -> tuple[Input, ...]:
    """The inputs of the plan that its study leaves as planned.

    Parameters
    ----------
    plan : with its study
    """
    varied = {one.input.name for one in ranged(plan)}
    return tuple(one for one in inputs_of(plan) if one.name not in varied)
