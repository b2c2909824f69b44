"""Years of hourly seas through the same rules: availability, windows by month, waiting time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, IntArray
from heave.judging.line_record import heave_work
from heave.planning import NO_FACTOR, AlphaTable, Campaign, Plan
from heave.planning.task import plan_for
from heave.units import significant
from heave.weather.asked import asked_for, waits_for
from heave.weather.evaluation import Progress, batch_for, inside_limits, judged
from heave.weather.forecast import Forecast
from heave.weather.intervals import next_start
from heave.weather.line_use import YEAR, mean_use, not_exceeded
from heave.weather.notes import cannot_judge
from heave.weather.windows import search_in

MONTH_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class MonthStatistics:
    """One calendar month over all years, or the whole record; durations in seconds.

    Parameters
    ----------
    name : month, or 'All'
    samples : number of samples
    missing : share of them without a sea, or not assessed
    availability : share of the known samples inside every limit of the first step; NaN where none is known
    doubtful : share of those that the worst of what is not known would close; NaN where none is inside
    starts : share of all samples at which the whole campaign can start
    windows : windows that begin in the month, per such month on record
    mean_length : mean length of those windows, T_R included; NaN where there is none
    longest : longest of them; NaN where there is none
    waiting_p50 : wait for the next start not exceeded in half of the cases, if ready at any sample of the month
    waiting_p90 : the same in 90 % of the cases; infinite where the record ends first
    line_work : of a drawworks that compensates in the first step while it is inside its limits, in a mean month of the
        name [J]; NaN unless one does, or where nothing is known
    bends : bend cycles in such a month of a piece of line that always lies where it is worst [-]; NaN likewise
    """

    name: str
    samples: int
    missing: float
    availability: float
    doubtful: float
    starts: float
    windows: float
    mean_length: float
    longest: float
    waiting_p50: float
    waiting_p90: float
    line_work: float
    bends: float


@dataclass(frozen=True, eq=False)
class HindcastResult:
    """A campaign over a long record.

    Parameters
    ----------
    plan, forecast, campaign, alpha : what was asked
    months : one for each calendar month on record
    overall : the whole record
    inside : for each step, True where it is inside its limits, (n,)
    start_works : True where the whole campaign can start, (n,)
    waiting : wait for the next start from each sample, infinite where there is none (n,) [s]
    lengths : length of every window [s]
    notes : rules in words
    """

    plan: Plan
    forecast: Forecast
    campaign: Campaign
    alpha: AlphaTable
    months: tuple[MonthStatistics, ...]
    overall: MonthStatistics
    inside: tuple[BoolArray, ...]
    start_works: BoolArray
    waiting: FloatArray
    lengths: FloatArray
    notes: tuple[str, ...]


def hindcast_windows(
    plan: Plan,
    record: Forecast,
    campaign: Campaign | None = None,
    alpha: AlphaTable = NO_FACTOR,
    progress: Progress | None = None,
) -> HindcastResult:
    """Availability, windows per month and waiting time of a campaign over years of seas.

    The waiting time at a sample is the time until the campaign can next start, for a rig that becomes ready
    then; across missing data the next known start counts, so a wait is never made shorter by what is not
    known. P50 and P90 are the smallest waits not exceeded in half and in 90 % of the samples.

    Parameters
    ----------
    plan : vessel, compensator, string, risk and heading
    record : seas in time order, any number of years
    campaign : the steps; None takes the plan's, or its own operation
    alpha : forecast factor table; a hindcast is not a forecast, so none is applied unless given
    progress : called with the share done, 0 to 1; what it raises ends the work

    Raises
    ------
    InputError
        If a block is planned longer than the longest row of α.
    """
    asked = campaign or plan.campaign
    steps = asked_for(plan, record, asked, alpha, by_lead=False)
    held = inside_limits(plan, record, asked, steps, progress=progress)
    states = waits_for(plan, record, asked, alpha, by_lead=False)
    waited = judged(plan, batch_for(plan, record), [one for one in states if one is not None])
    waits = [None if one is None else waited[one].inside for one in states]
    searched = search_in(record, asked, list(held.inside), waits)
    waiting = next_start(searched.starts[0], searched.times) - searched.times
    spans = [(first, searched.finish(float(last))) for first, last in searched.starts[0]]
    windows = np.array(spans).reshape(-1, 2)
    month = record.times.astype("datetime64[M]").astype(np.int64)
    begun = np.array([record.when(first) for first, _ in spans], "datetime64[M]").astype(np.int64)
    pick = [(np.full(month.shape, True), np.full(begun.shape, True), "All")]
    pick += [(month % 12 == number, begun % 12 == number, name) for number, name in enumerate(MONTH_NAMES)]
    # no forecast factor is put on the seas in which the line is worked
    line = heave_work(plan_for(plan, steps[0].task), batch_for(plan, record))
    columns: list[npt.NDArray[Any]] = [month, held.known, held.inside[0], held.sure[0], waiting]
    columns += [line.work, line.bends] if line else []
    rows = [
        _statistics(name, windows[there], *(one[here] for one in columns))
        for here, there, name in pick
        if here.any()
    ]
    return HindcastResult(
        plan=plan,
        forecast=record,
        campaign=asked,
        alpha=alpha,
        months=tuple(rows[1:]),
        overall=rows[0],
        inside=held.inside,
        start_works=waiting == 0.0,
        waiting=waiting,
        lengths=windows[:, 1] - windows[:, 0],
        notes=(*_notes(record, alpha), *_doubt(rows[0]), *cannot_judge(plan, asked)),
    )


def _statistics(
    name: str,
    windows: FloatArray,
    month: IntArray,
    known: BoolArray,
    inside: BoolArray,
    sure: BoolArray,
    waiting: FloatArray,
    *line: FloatArray,
) -> MonthStatistics:
    lengths = windows[:, 1] - windows[:, 0]
    # a calendar month as long as those on record are, the whole record in twelfths of a year
    begun = np.unique(month).astype("datetime64[M]")
    days = float(((begun + 1).astype("datetime64[D]") - begun.astype("datetime64[D]")).astype(float).mean())
    span = YEAR / 12 if name == "All" else days * 86400.0
    work, bends = (mean_use(one, known, inside, span) for one in line) if line else (float("nan"),) * 2
    return MonthStatistics(
        name=name,
        samples=int(month.size),
        missing=float(1.0 - known.mean()),
        availability=float(inside[known].mean()) if known.any() else float("nan"),
        doubtful=float(1.0 - sure[inside].mean()) if inside.any() else float("nan"),
        starts=float((waiting == 0.0).mean()),
        windows=len(windows) / np.unique(month).size,
        mean_length=float(lengths.mean()) if len(lengths) else float("nan"),
        longest=float(lengths.max()) if len(lengths) else float("nan"),
        waiting_p50=not_exceeded(waiting, 0.5),
        waiting_p90=not_exceeded(waiting, 0.9),
        line_work=work,
        bends=bends,
    )


def _doubt(whole: MonthStatistics) -> tuple[str, ...]:
    """What of the figures is in doubt: they are counted at the planned values."""
    share = f"{significant(100 * whole.doubtful, 2)}\u00a0% of the samples inside"
    lost = f"{share} would be over a limit with all that is not known at its worst"
    return (f"Counted at the planned values: {lost}.",) if whole.doubtful > 0 else ()


def _notes(record: Forecast, alpha: AlphaTable) -> tuple[str, ...]:
    years = record.elapsed[-1] / YEAR
    exact = "No forecast factor: waves as they were."
    notes = [
        f"{record.size} samples over {years:.1f} years; windows counted in the series itself.",
        "A wait over missing data ends at the next known start: it may be counted too long, never too short.",
        "Forecast factor α applied to every sample." if alpha.applied else exact,
    ]
    if record.step > 3600.0:
        notes.append(f"A value every {record.step / 3600:g}\u00a0h: short times over a limit do not show.")
    return tuple(notes)
