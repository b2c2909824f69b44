"""What is not known, as cases: the plan as it is when every unknown lies at one end of its range.

A case is a plan like any other, so the rules that judge the planned values judge the ranges too. The ends that
make a plan worst are few: stiff gas, more friction, less of the active part and more heave always together; a
load that is higher or lower than read, gas that is warmer or colder, and off bottom both ends of friction and of
the index, because a looser unit may move more there.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from heave.compensator import ATMOSPHERE, FRICTION_FRACTION, ActivePart, Compensator, GasUnit, nitrogen_index
from heave.drill_string import HOOKLOAD
from heave.drill_string.job import WEIGHT_ON_BIT
from heave.planning.plan import LEAST_HANGING, OVERPULL, Plan
from heave.planning.ranges import CLOSED, GAS_FORCE_PER_KELVIN, Ranges
from heave.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class Case:
    """A plan as it may truly be.

    plan : with load, gas and friction as they are in this case
    heave : factor on the heave at the hoist per wave
    height : factor on every wave height
    period : factor on every wave period
    gas_force : what the gas's temperature has added to its force since the weight on bit was set [N]
    gas_shift : how far it may have moved a free hook, either way [m]
    """

    plan: Plan
    heave: float = 1.0
    height: float = 1.0
    period: float = 1.0
    gas_force: float = 0.0
    gas_shift: float = 0.0


@dataclass(frozen=True)
class _Ends:
    """Which end of its range each unknown lies at: −1 low, 0 planned, 1 high; `less_active` is 0 or 1."""

    gas_index: int = 0
    gas_temperature: int = 0
    seal_friction: int = 0
    less_active: int = 0
    hookload: int = 0
    wob: int = 0
    heave: int = 0
    sea_height: int = 0
    sea_period: int = 0


_ROUGH: Final = {"less_active": 1, "heave": 1, "sea_height": 1}
_HARD: Final = {**_ROUGH, "gas_index": 1, "seal_friction": 1}
_LOOSE: Final = _Ends(**_ROUGH, gas_index=-1, seal_friction=-1, hookload=-1, wob=1, gas_temperature=-1)
"""A hook that has the least to hang on it, and a unit that follows the vessel most easily."""

_BY_STRING: Final[dict[str, tuple[_Ends, ...]]] = {
    # a bit unloaded by warm gas and one pressed by cold gas
    "on bottom": (*(_Ends(**_HARD, hookload=1, wob=-side, gas_temperature=side) for side in (1, -1)), _LOOSE),
    # a latched string at its tautest and at its slackest
    "fixed at the seabed": (
        *(_Ends(**_HARD, hookload=1, gas_temperature=side) for side in (1, -1)),
        _LOOSE,
    ),
    # a looser or a stiffer unit may move more, and the least load counts too; cold gas where a drive has to make it up
    "free": (
        *(
            _Ends(**_ROUGH, hookload=load, gas_index=index, seal_friction=friction, gas_temperature=load)
            for load, index in ((1, 1), (1, -1), (-1, 1))
            for friction in (1, -1)
        ),
        _LOOSE,
    ),
}
_ALL_GAIN: Final = tuple(
    _Ends(**_HARD | {"less_active": 0}, hookload=1, wob=-side, gas_temperature=side) for side in (1, -1)
)
"""An active part that has lost nothing has the most to do, and the most to overdo."""

_LOCKED: Final = (_Ends(**_ROUGH, hookload=1), _Ends(**_ROUGH, hookload=-1))

ALONE: Final[dict[str, tuple[_Ends, ...]]] = {
    "gas_index": (_Ends(gas_index=1), _Ends(gas_index=-1)),
    "gas_temperature": (_Ends(gas_temperature=1), _Ends(gas_temperature=-1)),
    "seal_friction": (_Ends(seal_friction=1), _Ends(seal_friction=-1)),
    "active_lost": (_Ends(less_active=1),),
    "hookload": (_Ends(hookload=1, wob=-1), _Ends(hookload=-1, wob=1)),
    "heave": (_Ends(heave=1),),
    "sea_height": (_Ends(sea_height=1),),
    "sea_period": (_Ends(sea_period=1), _Ends(sea_period=-1)),
}
"""The ends of each unknown of `Ranges` while all others are as planned."""


def cases(plan: Plan) -> tuple[Case, ...]:
    """The planned values first, then the ends of the plan's ranges that can make a check worst.

    Source: by argument from the balance of forces; tests hold the worst of these against that of all ends.

    Parameters
    ----------
    plan : with its ranges
    """
    if plan.ranges == CLOSED:
        return (Case(plan),)
    works = plan.operation.compensated and isinstance(plan.compensator, GasUnit)
    ends = _BY_STRING[plan.operation.about.string] if works or plan.on_bottom else _LOCKED
    part = plan.active_part
    if part is not None and plan.operation.compensated and plan.ranges.active_lost > 0:
        ends = (*ends, *_ALL_GAIN) if works or part.active_gain > 1 else ends
    periods = (1, -1) if plan.ranges.sea_period > 0 else (0,)
    return Case(plan), *(_case(plan, replace(end, sea_period=period)) for end in ends for period in periods)


def cases_alone(plan: Plan) -> dict[str, tuple[Case, ...]]:
    """Every unknown that the plan gives a range, with the cases in which it alone is at an end.

    Parameters
    ----------
    plan : with its ranges
    """
    ranges = known_range(plan)
    return {
        name: tuple(_case(plan, end) for end in ends)
        for name, ends in ALONE.items()
        if getattr(ranges, name) > 0
    }


def known_range(plan: Plan) -> Ranges:
    """The plan's ranges, heave at least as wide as the vessel's response is known to be wrong; closed stay closed.

    Parameters
    ----------
    plan : with its ranges and its vessel
    """
    given = plan.ranges
    wider = given != CLOSED and plan.vessel.heave_error > given.heave
    return replace(given, heave=plan.vessel.heave_error) if wider else given


def _case(plan: Plan, ends: _Ends) -> Case:
    """The case at these ends. No value goes past what a plan may hold: there it stays at that bound."""
    ranges = known_range(plan)
    unit, changes, gas = _unit(plan, ends), dict[str, Any](), (0.0, 0.0)
    hookload = plan.still_hookload * (1 + ends.hookload * ranges.hookload)
    if ends.hookload:
        changes["hookload_entered"] = hookload = max(HOOKLOAD.nearest(hookload), plan.string.handling_weight)
        if plan.hookload_entered is not None and plan.hookload_entered == plan.hookload_confirmed:
            changes["hookload_confirmed"] = hookload
    wob = plan.wob * (1 + ends.wob * ranges.hookload)
    works = plan.operation.compensated
    if ends.gas_temperature and works and isinstance(unit, GasUnit):
        share = ends.gas_temperature * GAS_FORCE_PER_KELVIN * ranges.gas_temperature
        carried = hookload + plan.moving_mass * STANDARD_GRAVITY
        carried += plan.overpull if plan.operation.latched else 0
        spring = unit.spring(carried - plan.wob_used, set_at=plan.set_at)
        if plan.on_bottom or plan.follows_position:  # a driven hook stays: the active part has the force
            gas = (share * spring.absolute_force, 0.0)
        elif plan.operation.latched:
            changes["overpull"] = OVERPULL.nearest(plan.overpull + share * spring.absolute_force)
        else:  # the gas carries the same load elsewhere along the stroke
            gas = (0.0, abs(share) * spring.length)
    if plan.on_bottom:
        changes["wob"] = min(WEIGHT_ON_BIT.nearest(wob), hookload - LEAST_HANGING)
    return Case(
        plan.changed(compensator=unit, **changes),
        1 + ends.heave * ranges.heave,
        1 + ends.sea_height * ranges.sea_height,
        1 + ends.sea_period * ranges.sea_period,
        *gas,
    )


def _unit(plan: Plan, ends: _Ends) -> Compensator:
    unit, ranges, changes = plan.compensator, plan.ranges, dict[str, Any]()
    if isinstance(unit, GasUnit):
        if ends.gas_index:
            end = unit.index_low
            if (
                ends.gas_index > 0
            ):  # real nitrogen at the pressure it works at, where the unit's own range ends short
                carried = plan.hookload + plan.moving_mass * STANDARD_GRAVITY - plan.wob_used
                real = nitrogen_index(carried / unit.effective_area + ATMOSPHERE)
                end = max(unit.index_high, real)
                changes["index_high"] = unit.index_high + ranges.gas_index * (end - unit.index_high)
            changes["index"] = unit.index + ranges.gas_index * (end - unit.index)
        if ends.seal_friction:
            share = 1 + ends.seal_friction * ranges.seal_friction
            changes["friction_fraction"] = FRICTION_FRACTION.nearest(unit.friction_fraction * share)
    if ends.less_active and isinstance(unit, ActivePart):
        changes["active_gain"] = unit.active_gain * (1 - ranges.active_lost)
    return replace(unit, **changes) if changes else unit


def label_of(unknown: str) -> str:
    """What an unknown of `Ranges` is called, in the middle of a sentence; how it is given is left out."""
    label = str(Ranges.__dataclass_fields__[unknown].metadata["about"].label).partition(",")[0]
    return label[0].lower() + label[1:]
