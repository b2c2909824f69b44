"""Windows in an ensemble: how likely each hour, each start and each window is to hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from operator import attrgetter, itemgetter

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.judging import Utilisations
from heave.judging.checks import Verdict, utilisation_state
from heave.planning import AlphaTable, Campaign, Plan
from heave.sea import SeaBatch
from heave.weather.asked import asked_for, waits_for
from heave.weather.endings import ending_of, stop_of
from heave.weather.evaluation import batch_for, design_height, judged
from heave.weather.forecast import EnsembleForecast
from heave.weather.intervals import coverage, held_by, holds_at, turns
from heave.weather.notes import notes_for
from heave.weather.results import seconds
from heave.weather.schedule import confirmed_from, firm_until, highest_between, highest_waiting
from heave.weather.search import Search
from heave.weather.site_limits import beside
from heave.weather.windows import search_in


@dataclass(frozen=True)
class ProbableWindow:
    """An interval of starts, at the forecast's times and between them, of which each works in enough members; UTC.

    Parameters
    ----------
    start : first of them
    latest_start : last of them
    end : T_R after the latest start, waits not counted
    lowest : lowest share of members in which one of these starts works
    probability : share of the members in which all of them work
    sure : lowest share of members in which one of these starts works at the worst of what is not known as well
    doubtful : members in which all of them work as planned and not at that worst
    count : members in which all of them work
    ends : what ends it in most of the members in which the first start works, in words
    ends_in : in how many of them
    state : the verdict word of the least calm window of a member that holds one of these starts, all of it as it
        would be judged by itself, waits and all that is known not to be known with it
    near : members with such a window that is near a limit as planned
    highest : highest utilisation as planned in those windows, α applied
    closest : key of the check it is of; empty where it is of a wait
    worst : highest utilisation in them over the plan's ranges of what is not known, α applied
    worst_of : key of the check it is of; empty as above
    confirm : issue of the oldest forecast that may confirm `start`; None where this one does
    firm_until : latest start that this forecast decides; None where a later one must confirm every start
    """

    start: np.datetime64
    latest_start: np.datetime64
    end: np.datetime64
    lowest: float
    probability: float
    sure: float
    doubtful: int
    count: int
    ends: str
    ends_in: int
    state: Verdict
    near: int
    highest: float
    closest: str
    worst: float
    worst_of: str
    confirm: np.datetime64 | None
    firm_until: np.datetime64 | None


@dataclass(frozen=True, eq=False)
class EnsembleResult:
    """How an ensemble judges a campaign; a member that is missing at a time does not hold there.

    Parameters
    ----------
    plan, ensemble, campaign, alpha : what was asked
    inside : for each step, whether each member holds at each time, (members, n)
    hour_probability : for each step, share of the members that hold, (n,)
    start_probability : share of the members in which the whole campaign can start at each time, (n,)
    starts : for each member, intervals in which the whole campaign can start, (m, 2), from the first time [s]
    windows : intervals of starts, at the times and between them, that work in at least `needed` of the members
    needed : that share
    notes : rules and cautions in words
    unassessed : labels of steps that cannot be assessed in any known sea of any member
    """

    plan: Plan
    ensemble: EnsembleForecast
    campaign: Campaign
    alpha: AlphaTable
    inside: tuple[BoolArray, ...]
    hour_probability: tuple[FloatArray, ...]
    start_probability: FloatArray
    starts: tuple[FloatArray, ...]
    windows: tuple[ProbableWindow, ...]
    needed: float
    notes: tuple[str, ...]
    unassessed: tuple[str, ...] = ()

    def members_at(self, now: np.datetime64) -> int:
        """Members in which the campaign can start at a time, one of the forecast's or between two.

        Parameters
        ----------
        now : the time, UTC
        """
        return int(coverage(self.starts, np.array([seconds(now - self.ensemble.times[0])]))[0])

    def best_from(self, now: np.datetime64) -> tuple[np.datetime64, int]:
        """The first of the best starts from a time on, and the members in which it works.

        Parameters
        ----------
        now : the time, UTC
        """
        begin = seconds(now - self.ensemble.times[0])
        ends = turns(self.starts)[::2]
        times = np.concatenate(([begin], ends[ends > begin]))
        count = coverage(self.starts, times)
        best = int(count.argmax())
        return self.ensemble.members[0].when(float(times[best])), int(count[best])


def ensemble_windows(
    plan: Plan,
    ensemble: EnsembleForecast,
    campaign: Campaign | None = None,
    alpha: AlphaTable | None = None,
    needed: float | None = None,
) -> EnsembleResult:
    """Share of the members of an ensemble in which each time, each start and each window holds.

    Every member is searched by itself, by the rules of `weather_windows`, the vessel on the plan's heading.
    Shares are of all members: one whose sea is missing counts as not holding. They are counts of members, not
    calibrated probabilities. An argument given here takes the place of that choice in `plan.weather`.

    Parameters
    ----------
    plan : vessel, compensator, string, risk, heading and what is asked
    ensemble : members on common times
    campaign : the steps; where the plan has none either, its operation as one step
    alpha : forecast factor table. `NO_FACTOR` leaves uncertainty to the members alone
    needed : share of the members in which a start must work for a window, above 0 to 1

    Raises
    ------
    InputError
        If a step does not fit the plan, or `needed` is out of range.
    """
    asked = plan.weather.but(campaign=campaign, alpha=alpha, needed=needed, heading="fixed")
    plan = plan.changed(weather=asked)
    whole = plan.campaign
    members, first = ensemble.members, ensemble.members[0]
    # all members end to end through the checks at once, then apart again
    batch = SeaBatch.stack([batch_for(plan, member) for member in members])
    asks = asked_for(plan, first, whole, asked.alpha)
    tiled = [one.tiled(len(members)) for one in asks]
    waits = [one and one.tiled(len(members)) for one in waits_for(plan, first, whole, asked.alpha)]
    found = judged(plan, batch, [*tiled, *(one for one in waits if one is not None)])
    states = [None if one is None else found[one] for one in waits]
    tables = [
        beside(plan, step, members, found[one], design_height(batch, one.factor))
        for step, one in zip(whole.steps, tiled, strict=True)
    ]
    inside = tuple(table.inside.reshape(len(members), ensemble.size) for table in tables)
    searches, worst = (
        _searched(ensemble, whole, map(held, tables), [None if one is None else held(one) for one in states])
        for held in (attrgetter("inside"), attrgetter("sure"))
    )
    share = np.mean([holds_at(searched.starts[0], searched.times) for searched in searches], axis=0)
    windows = _probable(plan, ensemble, (searches, worst), tables, states)
    known = ~np.isnan(batch.hs)

    def never(table: Utilisations) -> bool:
        return bool(known.any() and not table.assessed[known].any())

    return EnsembleResult(
        plan=plan,
        ensemble=ensemble,
        campaign=whole,
        alpha=asked.alpha,
        inside=inside,
        hour_probability=tuple(holds.mean(axis=0) for holds in inside),
        start_probability=share,
        starts=tuple(searched.starts[0] for searched in searches),
        windows=windows,
        needed=asked.needed,
        notes=(*_notes(ensemble, asked.alpha), *_doubt(windows, len(members)), *notes_for(plan, first)),
        unassessed=tuple(step.label for step, table in zip(whole.steps, tables, strict=True) if never(table)),
    )


def _probable(
    plan: Plan,
    ensemble: EnsembleForecast,
    both: tuple[list[Search], list[Search]],
    tables: list[Utilisations],
    states: list[Utilisations | None],
) -> tuple[ProbableWindow, ...]:
    """Intervals of starts that work in enough members; searches as planned, and at the worst of the ranges."""
    searches = both[0]
    starts, hard = ([member.starts[0] for member in each] for each in both)
    forecast, campaign = ensemble.members[0], plan.campaign
    windows = []
    # Shares are whole members over their number: the small allowance is for 0.9 × 10 members being 9.
    for begin, end in held_by(starts, (plan.weather.needed - 1e-9) * len(searches)).tolist():
        span = (begin, end, end + campaign.reference)
        count, certain = (
            sum(bool(np.any((runs[:, 0] <= begin) & (runs[:, 1] >= end))) for runs in each)
            for each in (starts, hard)
        )
        lowest, sure = (_least(each, begin, end) / len(searches) for each in (starts, hard))
        words = Counter(_ends(ensemble, searches, tables, float(span[0])))
        ends, ends_in = words.most_common(1)[0]
        held = _held(searches, tables, states, (span[0], span[1]), ensemble.size)
        (highest, closest), (most, worst_of) = (
            max(each, key=itemgetter(0)) for each in zip(*held.values(), strict=True)
        )
        windows.append(
            ProbableWindow(
                start=forecast.when(span[0]),
                latest_start=forecast.when(span[1]),
                end=forecast.when(span[2]),
                lowest=lowest,
                probability=count / len(searches),
                sure=sure,
                doubtful=count - certain,
                count=count,
                ends=ends,
                ends_in=ends_in,
                state=utilisation_state(highest, plan.caution_level, high=max(highest, most)),
                near=sum(one[0][0] >= plan.caution_level for one in held.values()),
                highest=highest,
                closest=closest,
                worst=most,
                worst_of=worst_of,
                confirm=confirmed_from(plan, forecast, campaign.blocks[0], float(span[0])),
                firm_until=firm_until(plan, forecast, campaign.blocks[0], float(span[0]), float(span[1])),
            )
        )
    return tuple(windows)


def _least(starts: list[FloatArray], begin: float, end: float) -> int:
    """Fewest members whose starts hold anywhere from one time to another."""
    times = turns([*starts, np.array([[begin, end]])])
    return int(coverage(starts, times[(times >= begin) & (times <= end)]).min())


_Top = tuple[float, str]
"""A utilisation and the key of its check."""


def _held(
    searches: list[Search],
    tables: Sequence[Utilisations],
    states: Sequence[Utilisations | None],
    span: tuple[float, float],
    size: int,
) -> dict[int, tuple[_Top, _Top]]:
    """Of each member, by its place, with a start in a span: what its windows there reach, planned and over the ranges.

    A window is taken as long as the member has it: of that one the member would be told by itself.
    """
    found = {}
    for place, searched in enumerate(searches):
        rows = searched.starts[0]
        tops = []
        for first, last in rows[(rows[:, 0] <= span[1]) & (rows[:, 1] >= span[0])]:
            at = place * size
            tops.append(highest_between(searched, tables, float(first), float(last), at))
            waited = highest_waiting(searched, states, float(first), at), ""
            tops.append((waited, waited))
        if tops:
            planned, worst = zip(*tops, strict=True)
            found[place] = max(planned, key=itemgetter(0)), max(worst, key=itemgetter(0))
    return found


def _searched(
    ensemble: EnsembleForecast,
    campaign: Campaign,
    steps: Iterable[BoolArray],
    waits: list[BoolArray | None],
) -> list[Search]:
    """Each member by itself, of what holds for all of them end to end."""
    count = len(ensemble.members)
    apart = [holds.reshape(count, -1) for holds in steps]
    waiting = [[None] * count if holds is None else holds.reshape(count, -1) for holds in waits]
    return [
        search_in(member, campaign, [rows[place] for rows in apart], [rows[place] for rows in waiting])
        for place, member in enumerate(ensemble.members)
    ]


def _doubt(windows: tuple[ProbableWindow, ...], count: int) -> tuple[str, ...]:
    """In how many members a window is in doubt: they are counted at the planned values."""
    most = max((window.doubtful for window in windows), default=0)
    lost = f"up to {most} of {count} members lose a window that they have"
    said = f"Counted at the planned values: with all that is not known at its worst, {lost}."
    return (said,) if most else ()


def _ends(
    ensemble: EnsembleForecast, searches: list[Search], tables: list[Utilisations], start: float
) -> list[str]:
    """What ends the starts of each member in which one at `start` works."""
    found = []
    for place, (member, searched) in enumerate(zip(ensemble.members, searches, strict=True)):
        held = searched.starts[0]
        rows = held[(held[:, 0] <= start) & (held[:, 1] >= start)]
        for _, last in rows[:1]:
            stop = stop_of(searched, float(last))
            label = searched.campaign.steps[stop.step].label
            ending = ending_of(member, label, tables[stop.step], stop.last, place * ensemble.size)
            found.append(ending.check_name or ending.cause)
    return found


def _notes(ensemble: EnsembleForecast, alpha: AlphaTable) -> tuple[str, ...]:
    twice = "α is applied to every member as well, which counts forecast uncertainty twice: on the safe side."
    once = "No forecast factor: the uncertainty is the spread of the members alone."
    count = len(ensemble.members)
    return (
        f"Shares of {count} members, as counted: a member without a sea does not hold; not calibrated.",
        twice if alpha.applied else once,
    )
