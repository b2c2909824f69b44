"""Operability: the share of the time in which each operation can be worked, and which check costs how much of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import BoolArray, FloatArray, IntArray
from heave.judging.utilisation import Utilisations
from heave.planning import CLOSED, NO_FACTOR, Campaign, OperationStep, Plan
from heave.planning.other_seas import HeadingRule
from heave.planning.task import Task
from heave.studies.climate_headings import first_heading, rule_words, turned
from heave.studies.climate_seas import ClassPlaces, ClimateSeas
from heave.studies.scatter import Scatter
from heave.studies.years import Spread, spreads
from heave.weather.asked import Asked, asked_for
from heave.weather.evaluation import Progress, judged, part_of
from heave.weather.notes import cannot_judge
from heave.weather.site_limits import NAMES, beside

WORKABLE, OVER, UNKNOWN = 1, 0, -1
"""State of a sea for an operation: every required check made and inside; a check at its limit or over; neither."""

DOUBT_SEAS: Final = 12_000
"""Most workable seas that are judged again at the ends of the plan's ranges; of more, every so-manieth is."""


@dataclass(frozen=True)
class TimeShares:
    """Shares of the time, which add up to 1.

    Parameters
    ----------
    workable : every required check was made and none is at its limit
    over : a check is at its limit or over it
    unknown : the sea is not known, or a required check could not be made and none is over; never workable
    """

    workable: float
    over: float
    unknown: float

    @property
    def of_known(self) -> float:
        """Workable share of the time that is known; NaN where none is."""
        known = self.workable + self.over
        return self.workable / known if known > 0 else float("nan")


@dataclass(frozen=True)
class CheckCost:
    """What one check costs, as shares of all the time.

    Parameters
    ----------
    key, name : the check
    governs : it is over and has the highest utilisation; these add up to the time over a limit
    over : it is over, whatever others are
    alone : it alone is over: what would be won if it could be met, were all that is not known inside
    """

    key: str
    name: str
    governs: float
    over: float
    alone: float


@dataclass(frozen=True, eq=False)
class ClassShares:
    """How each class of a scatter diagram can be worked; arrays of shape (heights, periods).

    Parameters
    ----------
    weight : share of the time in the class
    workable, over, unknown : shares of that, NaN in a class without seas
    middle : workable share of it if all its seas were in the middle of the class
    low, centre, high : workable share of all the time, counting only classes that can be worked throughout, classes by
        their middle, and all classes that can be worked somewhere; where in a class the seas are nobody knows
    """

    weight: FloatArray
    workable: FloatArray
    over: FloatArray
    unknown: FloatArray
    middle: FloatArray
    low: float
    centre: float
    high: float


@dataclass(frozen=True, eq=False)
class StepClimate:
    """One operation of a plan over a climate.

    Parameters
    ----------
    step : the step
    asked : what was judged
    state : WORKABLE, OVER or UNKNOWN at each sea (n,)
    heading : heading taken at each sea (n,) [deg]
    shares : of all the time
    doubtful : share of the workable time that the worst of what is not known would close; NaN where none is workable
    months : shares of each calendar month's own time, January first; None where there is none of it
    checks : what each check costs, the dearest first
    classes : by class of the diagram; None of a record
    years : spread of the known workable share over the years of a record; None of a diagram
    month_years : the same of each calendar month over the years
    """

    step: OperationStep
    asked: Asked
    state: IntArray
    heading: FloatArray
    shares: TimeShares
    doubtful: float
    months: tuple[TimeShares | None, ...]
    checks: tuple[CheckCost, ...]
    classes: ClassShares | None
    years: Spread | None
    month_years: tuple[Spread | None, ...]

    @property
    def workable(self) -> BoolArray:
        """Where it can be worked (n,)."""
        return np.asarray(self.state == WORKABLE)


@dataclass(frozen=True, eq=False)
class Operability:
    """The operations of a plan over a climate by one rule of headings.

    Parameters
    ----------
    plan, campaign, seas, rule : what was asked
    steps : one for each step
    all_steps : shares of the time in which every one of them could be worked
    notes : rules and what is not in the figures, in words
    """

    plan: Plan
    campaign: Campaign
    seas: ClimateSeas
    rule: HeadingRule
    steps: tuple[StepClimate, ...]
    all_steps: TimeShares
    notes: tuple[str, ...]


def operability(
    plan: Plan,
    seas: ClimateSeas,
    rule: HeadingRule | None = None,
    campaign: Campaign | None = None,
    progress: Progress | None = None,
) -> Operability:
    """Share of the time in which each operation can be worked: all its checks, in every sea, at the planned values.

    No factor for the uncertainty of forecasts is applied. The extreme in each sea is over the time at risk of the step.

    Parameters
    ----------
    plan : vessel, compensator, string, risk, heading and its sector
    seas : the climate
    rule : how the bow lies: 'fixed', 'head', 'sector' or 'best'; None as the plan's `other_seas` have it
    campaign : the steps; None takes the plan's, or its own operation
    progress : called now and then with the share done, 0 to 1; what it raises ends the work

    Returns
    -------
    Operability

    Raises
    ------
    InputError
        If a step does not fit the plan, or the rule is not one.
    """
    campaign = campaign or plan.campaign
    rule = plan.other_seas.headings if rule is None else rule
    closed, batch = plan.changed(ranges=CLOSED), seas.batch
    every = _asked(plan, seas, campaign)
    parts = 1 + (2 if rule in ("sector", "best") else 1) * len(every)
    bow = first_heading(plan, batch, rule)
    found = judged(closed, batch, every, bow, progress=part_of(progress, 0, parts))
    steps = []
    done = 1
    for step, one in zip(campaign.steps, every, strict=True):
        table, heading = found[one], bow if one.task.heading is None else np.full_like(bow, one.task.heading)
        if rule in ("sector", "best"):
            if one.task.heading is None:
                table, heading = turned(closed, batch, one, rule, table, bow, part_of(progress, done, parts))
            done += 1
        table = beside(plan, step, [seas.record] if seas.record else [], table, batch.hs)
        doubtful = _doubt(plan, seas, one, table.inside, heading)
        steps.append(_step(seas, step, one, table, heading, doubtful))
        done += 1
        if progress is not None:
            progress(done / parts)
    joint = np.min([one.state for one in steps], axis=0)
    joint = np.where(np.any([one.state == OVER for one in steps], axis=0), OVER, joint)
    notes = (*_notes(plan, campaign, seas, rule), *cannot_judge(plan, campaign))
    return Operability(plan, campaign, seas, rule, tuple(steps), shares_of(joint, seas.weight), notes)


def _asked(plan: Plan, seas: ClimateSeas, campaign: Campaign) -> list[Asked]:
    if seas.record is not None:
        return asked_for(plan, seas.record, campaign, NO_FACTOR, by_lead=False)
    return [Asked(Task.of(step, plan)) for step in campaign.steps]


def shares_of(state: IntArray, weight: FloatArray) -> TimeShares:
    """Shares of the time of some seas by their state.

    Parameters
    ----------
    state : WORKABLE, OVER or UNKNOWN (n,)
    weight : what each sea stands for, of any sum (n,)
    """
    total = float(weight.sum())
    return TimeShares(*(float(weight[state == one].sum()) / total for one in (WORKABLE, OVER, UNKNOWN)))


def state_of(table: Utilisations) -> IntArray:
    """State of each sea: over where a check is, else workable where it is inside, else unknown (n,).

    Parameters
    ----------
    table : utilisations
    """
    return np.where(table.governing >= 1.0, OVER, np.where(table.inside, WORKABLE, UNKNOWN)).astype(np.int64)


def _step(
    seas: ClimateSeas,
    step: OperationStep,
    one: Asked,
    table: Utilisations,
    heading: FloatArray,
    doubtful: float,
) -> StepClimate:
    state, weight = state_of(table), seas.weight
    each = [seas.month == month for month in range(1, 13)]
    months = [shares_of(state[here], weight[here]) if weight[here].sum() > 0 else None for here in each]
    record, places = seas.record, seas.places
    years, month_years = (None, (None,) * 12) if record is None else spreads(record, state)
    return StepClimate(
        step,
        one,
        state,
        heading,
        shares_of(state, weight),
        doubtful,
        tuple(months),
        _costs(table, state, weight),
        _classes(seas.source, places, state, weight) if places and isinstance(seas.source, Scatter) else None,
        years,
        month_years,
    )


def _costs(table: Utilisations, state: IntArray, weight: FloatArray) -> tuple[CheckCost, ...]:
    rows = state == OVER
    lost = weight[rows]
    by = table.governed_by[rows]
    over = np.stack([table.by_check[key][rows] >= 1.0 for key in table.keys])
    only = over.sum(axis=0) == 1

    def cost(place: int, key: str) -> CheckCost:
        rows = (by == place, over[place], over[place] & only)
        return CheckCost(key, NAMES[key], *(float(lost[those].sum()) for those in rows))

    found = [cost(place, key) for place, key in enumerate(table.keys)]
    return tuple(sorted(found, key=lambda cost: (-cost.governs, -cost.over)))


def _classes(scatter: Scatter, places: ClassPlaces, state: IntArray, weight: FloatArray) -> ClassShares:
    group = np.bincount(places.group, weight)
    seen = np.bincount(places.group)
    can = np.bincount(places.group, state == WORKABLE)
    middle = np.zeros(group.size)
    middle[places.group[places.centre]] = state[places.centre] == WORKABLE
    bounds = float(group[can == seen].sum()), float(group @ middle), float(group[can > 0].sum())
    return in_classes(places.cell, scatter.cells.shape, weight, state, middle[places.group], bounds)


def in_classes(
    cell: IntArray,
    shape: tuple[int, ...],
    weight: FloatArray,
    state: IntArray,
    middle: FloatArray,
    bounds: tuple[float, float, float],
) -> ClassShares:
    """How each class can be worked, from the seas in it.

    Parameters
    ----------
    cell : class of each sea, rows of periods one after the other (n,)
    shape : heights and periods
    weight, state : of each sea (n,)
    middle : what of each sea counts by its class middle, 0 to 1 (n,)
    bounds : low, centre and high of the result
    """

    def of(weights: FloatArray) -> FloatArray:
        counted = np.bincount(cell, weights, minlength=shape[0] * shape[1])
        return np.asarray(counted.reshape(shape), dtype=np.float64)

    whole = of(weight)
    part = np.divide(1.0, whole, out=np.full(shape, np.nan), where=whole > 0)
    counts = (*(state == one for one in (WORKABLE, OVER, UNKNOWN)), middle)
    workable, over, unknown, by_middle = (of(weight * one) * part for one in counts)
    return ClassShares(whole, workable, over, unknown, by_middle, *bounds)


def _doubt(plan: Plan, seas: ClimateSeas, one: Asked, inside: BoolArray, heading: FloatArray) -> float:
    """Share of the workable time that is over a limit, or not assessed, with all that is not known at its worst."""
    rows = np.flatnonzero(inside)
    if not rows.size:
        return float("nan")
    if plan.ranges == CLOSED:
        return 0.0
    rows = rows[:: -(-rows.size // DOUBT_SEAS)]
    (found,) = judged(plan, seas.batch.take(rows), [one.take(rows)], heading[rows]).values()
    return float(seas.weight[rows][~found.sure].sum() / seas.weight[rows].sum())


def _notes(plan: Plan, campaign: Campaign, seas: ClimateSeas, rule: HeadingRule) -> Sequence[str]:
    notes = [*seas.notes, f"Heading: {rule_words(plan, rule)}."]
    if rule in ("sector", "best"):
        notes.append(
            "Every 10° is tried where a sea is not workable at first; how fast the vessel turns is not counted."
        )
    if rule != "fixed":
        notes.append("Wind and current, which may hold the bow elsewhere, are not considered.")
    own = [step.label for step in campaign.steps if step.heading is not None]
    if own:
        notes.append(f"{', '.join(own)}: held on its own heading by every rule.")
    notes.append("No forecast factor: waves as they were. A check at its limit is over it.")
    if seas.batch.size > DOUBT_SEAS:
        some = f"{DOUBT_SEAS // 2} to {DOUBT_SEAS} of them"
        notes.append(f"Of more workable seas, {some} tell what is in doubt and the line work of a year.")
    return notes
