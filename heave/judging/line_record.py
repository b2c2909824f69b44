"""The drilling line's work: planned, of heave compensation, and since the last cut; the drum; a stand up and down."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

import numpy as np

from heave.arrays import FloatArray
from heave.hoisting import (
    MINIMUM_WRAPS,
    HoistingPath,
    Ledger,
    Tripping,
    bend_cycles,
    brake_energy,
    compensating_work,
    efficiency,
    gaussian_travel_rate,
    hoisting_energy,
    hook_speed,
    sheaves_passed,
    stand_time,
    stopping_distance,
    stopping_tension,
)
from heave.judging.demands import demands
from heave.judging.path_loads import block_weight
from heave.judging.rules.when import line_working
from heave.planning.line_work import LineWork
from heave.planning.plan import Plan
from heave.sea import SeaBatch
from heave.units import STANDARD_GRAVITY

HOUR: Final = 3600.0


@dataclass(frozen=True)
class HeaveWork:
    """What each hour of a sea does to the line of a compensating drawworks; columns over the seas, shape (n,).

    work : of the line in an hour [J]
    bends : bend cycles in an hour of the piece worst off [-]
    travel : of the block each way at the accepted risk [m]
    """

    work: Any
    bends: Any
    travel: Any


@dataclass(frozen=True)
class Stand:
    """A stand up with the power of the drawworks and down on the brake; None where its input is not known.

    speed : of the hook hoisting, with the power there is and the pull of the gears [m/s]
    time : from rest to rest [s]
    raised : energy that the drum gives to hoist it [J]
    energy : that the brake takes when it is lowered, sheaves not helping [J]
    stopping : way of the hook until it stands [m]; `stopping_pull` what the fast line then pulls [N]
    """

    speed: float | None
    time: float | None
    raised: float | None
    energy: float | None
    stopping: float | None
    stopping_pull: float | None


@dataclass(frozen=True)
class LineRecord:
    """What the record of the line comes to; None where something it rests on is not known.

    tripping : weights of the string as it is tripped
    jobs : work of each planned job [J]
    heave : work and bends of each hour in the plan's own sea
    planned : work of all that is planned [J]; `rate` that over the time it takes [J/s]
    left : work left before the next cut [J], and `time_left` at the planned rate [s]
    cuts_left : times the reel still has line to slip
    cut : shortest cut of at least the rig's length that ends half a lap over on the drum [m]
    after : the ledger after the next cut; None where it cannot be made
    capacity : of the drum [m]; `wraps` left on it with the block at its lowest
    """

    tripping: Tripping | None
    jobs: tuple[float, ...]
    heave: HeaveWork | None
    planned: float | None
    rate: float | None
    left: float | None
    time_left: float | None
    cuts_left: int | None
    cut: float | None
    after: Ledger | None
    capacity: float | None
    wraps: float | None
    stand: Stand


def line_record(plan: Plan) -> LineRecord | None:
    """Work, slip and cut, drum and stand of a plan that has a hoisting path and a record of its line; else None.

    Source: `heave.hoisting`, whose functions these are: API RP 9B. Weights are the string's in mud, hanging still.

    Parameters
    ----------
    plan : the plan
    """
    path, record = plan.hoisting, plan.line_work
    if path is None or record is None:
        return None
    weights = None if record.stand is None else tripping(plan, record.stand)
    jobs = (
        ()
        if weights is None
        else tuple(
            float(one.times * weights.work(one.job, one.to_depth, one.from_depth)) for one in record.jobs
        )
    )
    heave = heave_work(plan, plan.sea.batch())
    planned = _planned(record, weights, jobs, heave)
    rate = None if planned is None or record.planned is None else planned / record.planned
    ledger = record.ledger
    known = ledger is not None and rate is not None
    capacity, wraps = _drum(path, record, heave)
    return LineRecord(
        tripping=weights,
        jobs=jobs,
        heave=heave,
        planned=planned,
        rate=rate,
        left=None if ledger is None else ledger.left,
        time_left=float(ledger.time_left(rate)) if known else None,  # type: ignore[union-attr,arg-type]
        cuts_left=None if ledger is None else ledger.cuts_left,
        cut=_cut(path, record),
        after=ledger.after_cut() if ledger is not None and _can_cut(ledger) else None,
        capacity=capacity,
        wraps=wraps,
        stand=_stand(plan, path, record),
    )


def tripping(plan: Plan, stand: float) -> Tripping:
    """Weights of API RP 9B for the plan's string: its longest section is the pipe, what is above that the excess.

    A string that is lighter than so much of its longest section is taken as uniform, without excess.

    Parameters
    ----------
    plan : the plan, with a hoisting path
    stand : length of a stand [m]
    """
    string = plan.string
    pipe = max(string.sections, key=lambda section: section.length)
    weight = pipe.linear_mass * string.buoyancy_factor * STANDARD_GRAVITY
    excess = string.buoyed_weight - weight * string.length
    if excess < 0:
        weight, excess = string.buoyed_weight / string.length, 0.0
    return Tripping(stand, weight, block_weight(plan) + string.handling_weight, excess)


def heave_work(plan: Plan, seas: SeaBatch) -> HeaveWork | None:
    """Line work and bend cycles in an hour of each sea; None unless a drawworks compensates in the operation.

    The block follows the whole heave at the hoist (Gaussian, Rice 1944), with what hangs on the lines, on bottom less
    the weight on bit. Sheaves passed are those of the significant double amplitude, between crown and block at its
    highest; where that distance is not known, one. Of a sea that is missing nothing is known.

    Parameters
    ----------
    plan : the plan
    seas : n sea states
    """
    path = plan.hoisting
    if path is None or not line_working(plan):
        return None
    heave = demands(plan, seas).heave
    load = plan.hookload + block_weight(plan) - plan.wob_used
    work = np.atleast_1d(compensating_work(load, gaussian_travel_rate(heave.sigma, heave.period)))
    spacing, still = _shortest(path), heave.sigma == 0
    passed = 1.0 if spacing is None else sheaves_passed(path.count, 4 * heave.sigma, spacing)
    bends = np.where(still, 0.0, bend_cycles(np.where(still, 1.0, heave.period), passed))
    return HeaveWork(work, np.where(np.isnan(work), math.nan, bends), heave.level)


class WorkThrough(NamedTuple):
    """What compensating does to the line through seas one after another.

    work : of the line [J]
    time : of the seas that are known, which alone count [s]
    bends : bend cycles of a piece that lies where it is worst in every one of them, so none has more [-]
    """

    work: float
    time: float
    bends: float

    @classmethod
    def of(cls, work: FloatArray, bends: FloatArray, step: float) -> WorkThrough:
        """The sums of what an hour of each sea does, each lasting `step` [s]; NaN adds nothing."""
        known = ~np.isnan(work)
        done, bent = (float(one[known].sum()) * step / HOUR for one in (work, bends))
        return cls(done, float(known.sum()) * step, bent)


def heave_work_over(plan: Plan, seas: SeaBatch, step: float) -> WorkThrough | None:
    """Line work and bends of compensating through seas; None unless a drawworks does in the operation.

    See `heave_work`. A sea that is missing adds nothing.

    Parameters
    ----------
    plan : the plan
    seas : n sea states in time order, as of a forecast
    step : how long each lasts [s]
    """
    hour = heave_work(plan, seas)
    return None if hour is None else WorkThrough.of(hour.work, hour.bends, step)


def _shortest(path: HoistingPath) -> float | None:
    """From the crown to the block at its highest [m], where the path tells it."""
    if path.drop is None or path.highest_block is None or path.lowest_block is None:
        return path.drop
    left = path.drop - (path.highest_block - path.lowest_block)
    return left if left > 0 else path.drop


def _planned(
    record: LineWork, weights: Tripping | None, jobs: tuple[float, ...], heave: HeaveWork | None
) -> float | None:
    """Work of all that is planned [J]; None where nothing is, or its weights or the work in the sea are not known."""
    if (record.jobs and weights is None) or (record.compensating and heave is None):
        return None
    if not record.jobs and not record.compensating:
        return None
    in_sea = 0.0 if heave is None else float(heave.work[0]) * record.compensating / HOUR
    return sum(jobs) + in_sea


def _cut(path: HoistingPath, record: LineWork) -> float | None:
    drum = None if path.line is None else record.drum(path.line.diameter)
    return None if drum is None or record.cut_length is None else drum.half_lap(record.cut_length)


def _can_cut(ledger: Ledger) -> bool:
    return ledger.cuts_left > 0 and ledger.on_drum + ledger.slipped >= ledger.cut_length


def _drum(path: HoistingPath, record: LineWork, heave: HeaveWork | None) -> tuple[float | None, float | None]:
    """What the drum holds [m], and the wraps left with the block at its lowest, lower still by the heave it follows."""
    drum = None if path.line is None else record.drum(path.line.diameter)
    if drum is None:
        return None, None
    if record.on_drum is None or path.highest_block is None or path.lowest_block is None:
        return drum.capacity, None
    travel = path.highest_block - path.lowest_block + (0.0 if heave is None else float(heave.travel[0]))
    if travel * path.count > record.on_drum:
        return drum.capacity, 0.0
    return drum.capacity, drum.wraps_left(record.on_drum, travel, path.count)


def _stand(plan: Plan, path: HoistingPath, record: LineWork) -> Stand:
    load, share = plan.hookload + block_weight(plan), efficiency(path.count, path.sheave_factor)
    length, speed = record.stand, _hook_speed(path, load, share)
    time = raised = energy = way = pull = None
    if length is not None:
        raised = float(hoisting_energy(load, length, share))
        energy = float(brake_energy(load, length))
        if speed is not None and record.hook_acceleration is not None:
            time = float(stand_time(length, speed, record.hook_acceleration))
    if record.lowering_speed is not None and record.deceleration is not None:
        way = float(stopping_distance(record.lowering_speed, record.deceleration))
        pull = float(stopping_tension(load, record.deceleration, path.count))
    return Stand(speed, time, raised, energy, way, pull)


def _hook_speed(path: HoistingPath, load: float, share: float) -> float | None:
    """The least of what power and gears allow [m/s]; None where neither is given, or the lowest gear pulls too little.

    A pull below that of the highest gear is moved no faster than that gear turns.
    """
    speeds, curve = [], path.pull_curve
    if path.drawworks_power is not None:
        speeds.append(float(hook_speed(path.drawworks_power, load, share)))
    if curve is not None:
        (_, strongest), (fastest, weakest) = curve.points[0], curve.points[-1]
        pull = load / (path.count * share)
        if pull > strongest:
            return None
        geared = fastest if pull < weakest else float(curve.line_speed(pull))
        speeds.append(geared / path.count)
    return min(speeds, default=None)
