"""What an assessment holds: motions, stroke budget, bit band and the figures behind the checks."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

import numpy as np

from heave.arrays import FloatArray
from heave.compensator import GasUnit, Setting
from heave.drill_string import first_free_fixed_period
from heave.formula import Step
from heave.judging.checks import Check, Verdict
from heave.judging.demands import Demands, drift_per_metre
from heave.judging.reversal import own_period
from heave.judging.rules.active import mean_power, peak_power
from heave.judging.rules.load import active_force, active_force_falling
from heave.judging.rules.stroke import end_rates
from heave.judging.rules.when import active_working
from heave.planning.plan import Plan
from heave.sea import OMEGA
from heave.vessel import AmplitudeStatistics, relative_heading

Column = Any
"""A number over sea states (n,), or that of one."""

Columns = TypeVar("Columns")


def at(columns: Columns, row: int) -> Columns:
    """A dataclass of columns over sea states as the same dataclass of the numbers of one.

    Parameters
    ----------
    columns : its arrays are (n,); None gives None
    row : which sea state
    """
    if columns is None:
        return columns
    named = {item.name: getattr(columns, item.name) for item in fields(columns)}  # type: ignore[arg-type]
    picked = {name: float(value[row]) for name, value in named.items() if isinstance(value, np.ndarray)}
    return replace(columns, **picked)  # type: ignore[type-var]


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
    significant: Column
    extreme: Column
    period: Column
    rate_rising: Column
    rate_falling: Column
    """Stroke-outs per second at each end."""

    best_start: float
    """Start position that shares the static travel evenly between the two ends."""

    @property
    def rising(self) -> Column:
        """Travel used towards the rising end."""
        return self.static_rising + self.extreme

    @property
    def falling(self) -> Column:
        """Travel used towards the falling end."""
        return self.static_falling + self.extreme


@dataclass(frozen=True)
class BitBand:
    """Weight on bit [N], how far the sea swings it and how far slow travel lets it drift.

    `elastic` is the swing at the risk level without friction; see `heave.compensator.BitSwing`.
    """

    wob: float
    elastic: Column
    friction: float
    ringing: Column
    """Force with which the string rings where the friction turns round."""

    low: Column
    nominal: Column
    high: Column
    """Amplitudes with friction alone, with friction and ringing, and that at the high end of simulation, which the
    checks use."""

    drift_less: float
    """Weight on bit lost when all slow travel has gone towards the vessel-rising end."""

    drift_more: float
    """Weight on bit gained when it has gone towards the vessel-falling end."""

    locked: Column
    """Amplitude at the bit if the compensator locked."""

    def span(self, swing: Column) -> tuple[Column, Column]:
        """Lowest and highest weight on bit for a swing of this band (`low`, `nominal` or `high`)."""
        return self.wob - self.drift_less - swing, self.wob + self.drift_more + swing


@dataclass(frozen=True)
class Residual:
    """Motion left at the lower end of a free string [m, m/s], single amplitude at the risk level."""

    motion: Column
    velocity: Column
    share: Column
    """Residual σ over the vessel's σ at the hoist."""

    share_locked: Column
    """The same if the compensator locked."""


@dataclass(frozen=True)
class ActiveDemand:
    """What the sea asks of an active part on a gas unit, amplitudes at the risk level [N, m/s, W].

    `rising` and `falling` are the force with the vessel at its highest and lowest; `mean_power` is what it puts out
    while it drives, nothing recovered, its own losses not counted.
    """

    rising: Column
    falling: Column
    speed: Column
    peak_power: Column
    mean_power: Column
    energy: Column
    """Mean power over the exposure [J]."""


@dataclass(frozen=True)
class Responses:
    """The figures behind the checks of one sea; spectra over `omega` (nω,)."""

    omega: FloatArray
    sea_spectrum: FloatArray
    heave_spectrum: FloatArray
    transfer: FloatArray
    """√(heave spectrum / sea spectrum): heave at the hoist per metre of wave, all directions in."""

    heave: AmplitudeStatistics
    velocity: AmplitudeStatistics
    acceleration: AmplitudeStatistics
    relative_headings: tuple[float, ...]
    stroke: StrokeBudget | None
    bit: BitBand | None
    residual: Residual | None
    active: ActiveDemand | None
    locked: float
    """Amplitude of the force on a locked unit above the static load [N]."""

    string_period: float
    """First natural period of the string, on bottom or free as the operation has it [s]."""


@dataclass(frozen=True)
class Doubt:
    """The check that what is not known can bring highest, and the unknown that alone moves a check most.

    moved : the highest of the checks that one unknown alone moves; mostly `check` itself. None where only several
        unknowns together move any
    unknown : that unknown, a field of `Ranges`; `label` says it in the middle of a sentence; both empty without `moved`
    alone : utilisation of `moved` with this unknown at its worst end and all else as planned; NaN without it
    """

    check: Check
    moved: Check | None = None
    unknown: str = ""
    label: str = ""
    alone: float = math.nan


@dataclass(frozen=True)
class Lost:
    """What a plan comes to when its active part is lost: its checks, the one that governs, and the verdict."""

    checks: tuple[Check, ...]
    governing: Check | None
    verdict: Verdict


@dataclass(frozen=True)
class Assessment:
    """Everything the planner knows about one plan."""

    plan: Plan
    checks: tuple[Check, ...]
    governing: Check | None
    verdict: Verdict
    setting: Setting
    responses: Responses
    cautions: tuple[str, ...]
    lost: Lost | None = None
    """The second verdict, of the same plan with the active part lost; None where none is at work."""

    def check(self, key: str) -> Check:
        """The check with this `key`; a KeyError if the plan's operation has none."""
        return {check.key: check for check in self.checks}[key]

    @property
    def by_utilisation(self) -> tuple[Check, ...]:
        """The checks, most used first, those not assessed last."""
        order = sorted(self.checks, key=lambda c: (math.isnan(c.utilisation), -c.utilisation, c.name))
        return tuple(order)


def responses_of(found: Demands) -> Responses:
    """The responses of a plan's own sea, which is row 0 of its demands."""
    plan = found.plan
    sea, heave_spectrum = plan.sea.spectrum(), found.spectrum[0]
    # Where the sea has no energy a response per metre of wave means nothing.
    floor = 1e-6 * float(sea.max())
    ratio = np.divide(heave_spectrum, sea, out=np.full_like(sea, np.nan), where=sea > floor)
    directions = [system.direction_from for system in plan.sea.systems]
    if plan.sea.measured is not None:
        directions = [plan.sea.measured.direction_from]
    return Responses(
        omega=OMEGA,
        sea_spectrum=sea,
        heave_spectrum=heave_spectrum,
        transfer=np.sqrt(ratio),
        heave=at(found.heave, 0),
        velocity=at(found.velocity, 0),
        acceleration=at(found.acceleration, 0),
        relative_headings=tuple(float(relative_heading(plan.heading, origin)) for origin in directions),
        stroke=at(stroke_budget(found), 0),
        bit=at(bit_band(found), 0),
        residual=at(residual(found), 0),
        locked=float(found.locked[0]),
        active=at(active_demand(found), 0),
        string_period=string_period(plan),
    )


def string_period(plan: Plan) -> float:
    """First natural period of the string: on bottom with the hook's mass, or hanging free [s]."""
    if plan.operation.hangs_free:
        return first_free_fixed_period(plan.string)
    unit = plan.compensator
    stiffness = unit.spring(plan.hookload).stiffness if isinstance(unit, GasUnit) else 0.0
    return own_period(plan.string, plan.moving_mass + plan.string.handling_mass, stiffness)


def stroke_budget(found: Demands) -> StrokeBudget | None:
    """Where the travel goes in each sea of the demands; None without a stroke at work."""
    plan, stroke = found.plan, found.stroke
    unit = plan.compensator
    if stroke is None or not isinstance(unit, GasUnit):
        return None
    rising, falling = plan.static_sides
    rising_rate, falling_rate = (
        rate.result.value if isinstance(rate, Step) else rate for rate in end_rates(found).values()
    )
    return StrokeBudget(
        half_stroke=unit.stroke / 2,
        reserve=unit.end_reserve,
        start=plan.offsets.start_position,
        static_rising=rising,
        static_falling=falling,
        significant=2 * np.maximum(stroke.sigma, found.heave.sigma),
        extreme=found.travel,
        period=stroke.period,
        rate_rising=rising_rate,
        rate_falling=falling_rate,
        best_start=plan.offsets.start_position + (falling - rising) / 2,
    )


def bit_band(found: Demands) -> BitBand | None:
    """Weight on bit and how far it swings and drifts in each sea of demands with spectra kept; None off bottom."""
    swing, plan = found.bit, found.plan
    if swing is None or not plan.on_bottom:
        return None
    less, more = (drift_per_metre(plan) * travel for travel in plan.drift_sides)
    return BitBand(
        wob=plan.wob,
        elastic=swing.elastic,
        friction=swing.friction,
        ringing=swing.ringing,
        low=swing.low,
        nominal=swing.nominal,
        high=swing.high,
        drift_less=less,
        drift_more=more,
        locked=found.locked_end.level,
    )


def residual(found: Demands) -> Residual | None:
    """What is left at the free end in each sea of the demands; None where nothing hangs free and compensated."""
    left, speed, sigma = found.residual, found.residual_velocity, found.heave.sigma
    if left is None or speed is None:
        return None
    shares = (
        np.divide(one.sigma, sigma, out=np.full_like(sigma, np.nan), where=sigma > 0)
        for one in (left, found.locked_end)
    )
    return Residual(found.residual_motion, speed, *shares)


def active_demand(found: Demands) -> ActiveDemand | None:
    """What each sea of the demands asks of the active part; None where none works on a gas unit."""
    if not active_working(found.plan) or found.stroke is None:
        return None
    mean = mean_power(found)
    return ActiveDemand(
        rising=active_force.work(found).demand,
        falling=active_force_falling.work(found).demand,
        speed=found.travel_velocity,
        peak_power=np.asarray(peak_power(found)[-1].result.value),
        mean_power=mean,
        energy=mean * found.plan.exposure,
    )
