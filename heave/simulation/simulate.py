"""A plan through time: one run with every trace, or many seeds with their extremes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.compensator.time_domain import (
    STUCK_MARGIN,
    TIME_STEP,
    Components,
    Contact,
    Event,
    HeaveMotion,
    Run,
    SimulationCase,
    StringModel,
    Summary,
    components,
    regular_heave,
    simulate_cases,
    simulation_case,
    string_model,
)
from heave.errors import InputError
from heave.fields import Choice, Quantity
from heave.judging.demands import calibrated_spectrum
from heave.judging.moments import setting_of
from heave.planning.plan import Plan
from heave.sea import OMEGA
from heave.simulation.happened import Mark, marks_of
from heave.simulation.surface import sea_surface, wave_transfer
from heave.units import STANDARD_GRAVITY

MOST_SEEDS: Final = 1000
"""Most seeds of one run."""

UNITS: Final = ("as planned", "no compensator")
"""What stands between block and hook: the plan's compensator, or nothing."""

_CONTACTS: Final[dict[str, Contact]] = {
    "on bottom": "one-sided",
    "free": "none",
    "fixed at the seabed": "held",
}


@dataclass(frozen=True, eq=False)
class SimulationResult:
    """One run of a plan; arrays (nt,) at a constant step, time zero after the lead-in.

    time : [s]; heave : of the hoist, up [m]
    stroke : travel from mid-stroke, positive towards gas compression [m]; stroke_speed [m/s]
    hook, bit, block : positions above where they stood at rest [m]
    compensator_force : between block and hook [N]; hook_load : the same less the weight of the unit's moving
        parts, what a load cell above the string shows [N]
    friction_force : seals and hydraulics; active_force [N]
    bit_force : of the bit on the rock, the weight on bit; of a latched string the change of pull below [N]
    stop_force : of an end of the stroke on the unit, positive where the gas is compressed [N]
    gas_pressure : gauge [Pa], None without gas
    surface : elevation of the water at the hull [m], None where the heave was measured
    lift_off : the bit is off the rock; stroke_out : against an end; stuck : seals hold the unit still
    summary : extremes, means and shares, one case
    """

    plan: Plan
    seed: int | None
    step: float
    events: tuple[Event, ...]
    time: FloatArray
    heave: FloatArray
    stroke: FloatArray
    stroke_speed: FloatArray
    hook: FloatArray
    bit: FloatArray
    block: FloatArray
    compensator_force: FloatArray
    hook_load: FloatArray
    friction_force: FloatArray
    active_force: FloatArray
    bit_force: FloatArray
    stop_force: FloatArray
    gas_pressure: FloatArray | None
    surface: FloatArray | None
    lift_off: BoolArray
    stroke_out: BoolArray
    stuck: BoolArray
    summary: Summary

    @cached_property
    def happened(self) -> tuple[Mark, ...]:
        """What was made to happen and what came of it, in order of time."""
        return marks_of(self)

    def decimated(
        self, name: str, most: int = 2000, start: float = -math.inf, end: float = math.inf
    ) -> tuple[FloatArray, FloatArray]:
        """A trace, or a stretch of it, with at most `most` points, in time order.

        The least and the greatest of every bucket are kept exactly.

        Parameters
        ----------
        name : an array of this result, such as "bit_force"
        most : most points, from 4
        start, end : of the stretch [s]

        Returns
        -------
        Times and values

        Raises
        ------
        InputError
            If there is no trace of that name, `most` is below 4, or nothing lies between the two times.
        """
        values = getattr(self, name, None)
        if not isinstance(values, np.ndarray) or values.shape != self.time.shape:
            raise InputError("trace", name, None, "the name of an array of the result")
        if most < 4:
            raise InputError("most points", most, None, "from 4")
        first, last = np.searchsorted(self.time, [start, end])
        if last - first < 2:
            raise InputError("stretch", f"{start:g} to {end:g}", "s", "a stretch of the run")
        if last - first <= most:
            return self.time[first:last], values[first:last]
        edges = np.linspace(first, last, most // 2 + 1).astype(np.intp)
        picks: list[int] = []
        for left, right in itertools.pairwise(edges):
            bucket = values[left:right]
            picks += sorted({left + int(np.argmin(bucket)), left + int(np.argmax(bucket))})
        return self.time[picks], values[picks]


@dataclass(frozen=True, eq=False)
class SeedsResult:
    """Many seeds of one plan: `summary` holds one value a seed; see `Summary`."""

    plan: Plan
    duration: float
    seeds: tuple[int, ...]
    summary: Summary


def simulate(
    plan: Plan,
    duration: float = 600.0,
    seed: int = 1,
    *,
    heave: HeaveMotion | None = None,
    surface: HeaveMotion | None = None,
    events: Sequence[Event] = (),
    unit: str = "as planned",
    step: float = TIME_STEP,
    progress: Callable[[float], None] | None = None,
) -> SimulationResult:
    """The plan in its sea through time, with every trace.

    Heave is Gaussian with the plan's spectrum at the hoist, drawn from `seed`, unless given. On bottom the
    bit stands on rock that it drills at the plan's rate of penetration, and the driller feeds off at the
    plan's interval. Tide, draught and vessel offset do not move in so short a time; the start position
    is the plan's, and the gas carries the load there. Where the bit lifts off, the blow with which it lands is
    right to some 5 % on a string of 3000 m and to 14 % on one of 7000 m.

    Parameters
    ----------
    plan : the plan
    duration : after a lead-in of a minute [s]; not used with `heave`
    seed : whole number from 0; the same seed gives the same heave
    heave : a regular or measured heave of one case instead of the sea's
    surface : elevation of the water that goes with that heave, where it is known
    events : what happens during the run, besides the plan's own feeds; a wave group is put into the sea's own heave
    unit : "as planned", or "no compensator": the hook moves with the vessel
    step : time step [s]
    progress : called now and then with the share done, 0 to 1; what it raises stops the run

    Returns
    -------
    SimulationResult

    Raises
    ------
    InputError
        If an argument is out of range or an event lies outside the run.
    """
    groups = [event for event in events if event.kind == "wave group"]
    if heave is None:
        _whole(seed)
        waves = _grouped(_sea_waves(plan, duration, (seed,)), groups)
        heave, surface = waves.motion(), sea_surface(plan, waves, seed)
    elif heave.cases != 1:
        raise InputError("cases of the heave", heave.cases, None, "one")
    elif groups:
        raise InputError("wave group", "in a heave that is given", None, "one in the plan's own sea")
    model, case = plan_model(plan), plan_case(plan, unit)
    every = (*events, *_feeds(plan, heave.duration))
    run = simulate_cases(
        model,
        case,
        heave,
        step=step,
        events=every,
        drilling_rate=_rate(plan),
        progress=progress,
    )
    return _result(plan, seed, every, case, run, surface)


def simulate_seeds(
    plan: Plan,
    duration: float,
    seeds: Sequence[int],
    *,
    progress: Callable[[float], None] | None = None,
) -> SeedsResult:
    """The plan in many drawings of its sea at once; only extremes, means and shares are kept.

    With the string on bottom or latched, long runs are stepped in pieces side by side, each led in through
    the heave before it; means, σ and extremes are those of whole runs to about 1 % of σ.

    Parameters
    ----------
    plan : the plan
    duration : of each run [s]
    seeds : one whole number a run, up to 1000
    progress : called now and then with the share done, 0 to 1; what it raises stops the run

    Returns
    -------
    SeedsResult

    Raises
    ------
    InputError
        If an argument is out of range.
    """
    Quantity("seeds", "number", low=1, high=MOST_SEEDS).check(len(seeds))
    for seed in seeds:
        _whole(seed)
    heave = _sea_waves(plan, duration, tuple(seeds)).motion()
    run = simulate_cases(
        plan_model(plan),
        plan_case(plan, "as planned"),
        heave,
        events=_feeds(plan, duration),
        drilling_rate=_rate(plan),
        keep=False,
        in_pieces=True,
        progress=progress,
    )
    return SeedsResult(plan, duration, tuple(seeds), run.summary)


def regular_wave_heave(plan: Plan, height: float, period: float, duration: float = 600.0) -> HeaveMotion:
    """Heave of the hoist in a regular long-crested wave from the direction of the plan's first wave system.

    Amplitude H/2 × |response| × the plan's heave calibration; a semisubmersible keeps the viscous damping
    it settles at in the plan's sea.

    Parameters
    ----------
    plan : vessel, heading and direction
    height : crest to trough, above 0 to 30 [m]
    period : 2 to 30 [s]
    duration : [s]

    Raises
    ------
    InputError
        If height or period is out of range.
    """
    amplitude = plan.heave_factor * height / 2 * abs(wave_transfer(plan, height, period))
    return regular_heave(amplitude, period, duration)


def _whole(seed: int) -> None:
    if isinstance(seed, bool) or not isinstance(seed, int) or seed < 0:
        raise InputError("seed", seed, None, "a whole number from 0")


def _sea_waves(plan: Plan, duration: float, seeds: tuple[int, ...]) -> Components:
    return components(OMEGA, calibrated_spectrum(plan), duration, seeds)


def _grouped(waves: Components, groups: Sequence[Event]) -> Components:
    """The waves with the crest of a wave group put in, where there is one."""
    if len(groups) > 1:  # the second would move the crest of the first
        raise InputError("wave groups", len(groups), None, "one a run")
    for event in groups:
        if event.amount is None:
            raise InputError("crest of the wave group", None, "m", "a height")
        waves = waves.conditioned(event.amount, event.time)
    return waves


def plan_model(plan: Plan) -> StringModel:
    """String and hook of the plan as masses and springs."""
    moving = plan.moving_mass + plan.string.handling_mass
    return string_model(plan.string, moving, loss_factor=plan.string_loss)


def plan_case(plan: Plan, unit: str = "as planned") -> SimulationCase:
    """The numbers of the plan's unit as set; `unit` is one of `UNITS`."""
    Choice("unit", UNITS).check(unit)
    setting, kind = setting_of(plan), plan.operation.about
    if unit == "no compensator":
        contact = _CONTACTS[kind.string]
        return SimulationCase(load=setting.load, wob=setting.wob, gas=False, locked=True, contact=contact)
    return simulation_case(
        plan.compensator,
        setting,
        kind.condition,
        active=plan.active_in_use,
        start=plan.set_at,
        latched=plan.operation.latched,
    )


def _rate(plan: Plan) -> float:
    return plan.offsets.penetration_rate if plan.on_bottom else 0.0


def _feeds(plan: Plan, duration: float) -> tuple[Event, ...]:
    interval = plan.offsets.feed_interval
    if _rate(plan) == 0 or interval <= 0:
        return ()
    return tuple(Event("driller feeds off", n * interval) for n in range(1, int(duration // interval) + 1))


def _result(
    plan: Plan,
    seed: int | None,
    events: tuple[Event, ...],
    case: SimulationCase,
    run: Run,
    surface: HeaveMotion | None,
) -> SimulationResult:
    trace = {name: values[:, 0] for name, values in run.traces.items()}
    force = np.asarray(case.load) + trace["gas"] + trace["friction"] + trace["stop"] + trace["active"]
    working = case.gas and not case.locked
    nothing = np.zeros(len(run.time), dtype=np.bool_)
    return SimulationResult(
        plan=plan,
        seed=seed,
        step=run.step,
        events=events,
        time=run.time,
        stroke_speed=trace["speed"],
        compensator_force=force,
        hook_load=force - plan.moving_mass * STANDARD_GRAVITY,
        friction_force=trace["friction"],
        active_force=trace["active"],
        stop_force=trace["stop"],
        surface=None if surface is None else _at_steps(surface, run),
        gas_pressure=(case.load + trace["gas"]) / case.area if case.gas else None,
        lift_off=trace["bit_force"] <= 0 if case.contact == "one-sided" else nothing,
        stroke_out=trace["stop"] != 0,
        stuck=np.abs(trace["friction"]) < (1 - STUCK_MARGIN) * np.asarray(case.friction)
        if working
        else nothing,
        summary=run.summary,
        **{name: trace[name] for name in ("heave", "stroke", "hook", "bit", "block", "bit_force")},
    )


def _at_steps(motion: HeaveMotion, run: Run) -> FloatArray:
    """The first case of a motion at the time steps of a run."""
    first, parts = round(motion.lead / motion.step), round(motion.step / run.step)
    place, _ = motion.refined(first, len(run.time) // parts, parts)
    return np.ascontiguousarray(place[:, 0])
