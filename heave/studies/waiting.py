"""Waiting for weather: a plan's steps begun from every sample of a record, one after the other as the sea allows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.planning.campaign import Campaign
from heave.studies.climate import Operability
from heave.weather import Forecast
from heave.weather.hindcast import MONTH_NAMES
from heave.weather.intervals import next_start
from heave.weather.line_use import not_exceeded
from heave.weather.windows import search_in


@dataclass(frozen=True)
class Waits:
    """Waits over the start dates of one month, or of all; durations in seconds, infinite past the end of the record.

    Parameters
    ----------
    name : month, or 'All'
    starts : how many start dates it is over
    p50, p90 : total wait not exceeded by half and by nine tenths of them
    mean : mean wait of those that come to an end in the record; NaN where none does
    done_p50, done_p90 : from the start date until the last step is done
    steps_p50, steps_p90 : wait before each block of steps
    unfinished : share of them that the record ends before
    """

    name: str
    starts: int
    p50: float
    p90: float
    mean: float
    done_p50: float
    done_p90: float
    steps_p50: tuple[float, ...]
    steps_p90: tuple[float, ...]
    unfinished: float


@dataclass(frozen=True, eq=False)
class WaitingTimes:
    """Waits of a campaign begun at every sample of a record.

    Parameters
    ----------
    campaign : the steps
    blocks : name of each block: steps that follow each other without a wait
    waits : wait before each block from each start date, (blocks, n) [s]; infinite from where the record ends
    finished : from each start date until all is done (n,) [s]
    months : one for each calendar month on record
    overall : all start dates
    notes : rules in words
    """

    campaign: Campaign
    blocks: tuple[str, ...]
    waits: FloatArray
    finished: FloatArray
    months: tuple[Waits, ...]
    overall: Waits
    notes: tuple[str, ...]


def waiting_times(found: Operability) -> WaitingTimes:
    """How long the rig waits before each step, for every sample of a record as the date at which it is ready.

    A block begins at the first time from which its limits hold without a break over its reference period T_R, and
    takes its planned period T_POP; then the rig is ready for the next. Contingency is held and not used. A wait over
    missing data ends at the next known start: it may be counted too long, never too short.

    Parameters
    ----------
    found : operability over a record

    Raises
    ------
    InputError
        If it is over a scatter diagram, which has no order in time.
    """
    record = record_of(found)
    campaign, times = found.campaign, record.elapsed
    searched = search_in(record, campaign, [one.workable for one in found.steps])
    ready = times.copy()
    waits = []
    for block, starts in zip(campaign.blocks, searched.own, strict=True):
        begun = np.full(ready.shape, np.inf)
        ends = np.isfinite(ready)
        begun[ends] = next_start(starts, ready[ends])
        waits.append(np.where(ends, begun - np.where(ends, ready, 0.0), np.inf))
        ready = begun + block.planned
    table = np.stack(waits)
    finished = ready - times
    month = record.times.astype("datetime64[M]").astype(np.int64) % 12
    each = {"All": month >= 0} | {name: month == number for number, name in enumerate(MONTH_NAMES)}
    rows = [_waits(name, table[:, here], finished[here]) for name, here in each.items() if here.any()]
    blocks = tuple(", ".join(step.label for step in block.steps) for block in campaign.blocks)
    notes = _notes(record, rows[0])
    return WaitingTimes(campaign, blocks, table, finished, tuple(rows[1:]), rows[0], notes)


def record_of(found: Operability) -> Forecast:
    """The record an operability is over.

    Parameters
    ----------
    found : operability

    Raises
    ------
    InputError
        If it is over a scatter diagram, which has no order in time.
    """
    if found.seas.record is None:
        allowed = "a record of seas in time order; a scatter diagram does not say what follows what"
        raise InputError("waiting time and persistence", "a scatter diagram", None, allowed)
    return found.seas.record


def _waits(name: str, waits: FloatArray, finished: FloatArray) -> Waits:
    total = waits.sum(axis=0)
    ends = np.isfinite(total)
    mean = float(total[ends].mean()) if ends.any() else float("nan")
    p50, p90, done_p50, done_p90 = (not_exceeded(one, p) for one in (total, finished) for p in (0.5, 0.9))
    half, most = (tuple(not_exceeded(row, p) for row in waits) for p in (0.5, 0.9))
    unfinished = float(1.0 - ends.mean())
    return Waits(name, total.size, p50, p90, mean, done_p50, done_p90, half, most, unfinished)


def _notes(record: Forecast, overall: Waits) -> tuple[str, ...]:
    notes = [
        f"{overall.starts} start dates, one at each sample; a step begins when its limits hold over T_R and takes its "
        "planned time, contingency held and not used.",
        "Between steps the rig waits as long as it must, and what it waits in is not judged.",
        "A wait over missing data ends at the next known start: it may be counted too long, never too short.",
    ]
    if overall.unfinished > 0:
        notes.append(
            f"{100 * overall.unfinished:.2g}\u00a0% of the start dates come too late in the record to be finished: "
            "they count as longer than any other."
        )
    if record.step > 3600.0:
        notes.append(f"A value every {record.step / 3600:g}\u00a0h: short times over a limit do not show.")
    return tuple(notes)
