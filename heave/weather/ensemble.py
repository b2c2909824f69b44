"""Windows in an ensemble: how likely each hour, each start and each window is to hold."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.judging import Utilisations
from heave.planning import AlphaTable, Campaign, Plan
from heave.weather.endings import ending_of, stop_of
from heave.weather.forecast import EnsembleForecast
from heave.weather.intervals import coverage, held_by, holds_at, turns
from heave.weather.members import (
    InPieces,
    Member,
    MemberTables,
    calm_done,
    enough,
    finished_by,
    in_pieces,
    member_of,
    to_be_confirmed,
    utilisations_of_members,
)
from heave.weather.notes import notes_for
from heave.weather.outlook import left_of
from heave.weather.results import seconds
from heave.weather.schedule import Top, confirmed_from, firm_until, highest_begun
from heave.weather.under_way import UnderWay, in_enough


@dataclass(frozen=True)
class ProbableWindow:
    """An interval of starts, at the forecast's times and between them, of which each works in enough members; UTC.

    Parameters
    ----------
    start : first of them
    latest_start : last of them
    end : by when the campaign is finished in enough members if begun at the latest start, waits counted
    lowest : lowest share of members in which one of these starts works
    probability : share of the members in which all of them work
    sure : lowest share of members in which one of these starts works at the worst of what is not known as well
    doubtful : members in which all of them work as planned and not at that worst
    count : members in which all of them work
    ends : what ends it in most of the members in which the first start works, in words
    ends_in : in how many of them
    near : members with a window near a limit as planned that holds one of these starts, all of it as it would be
        judged by itself, waits and all that is known not to be known with it
    highest : highest utilisation as planned in such windows, α applied
    closest : key of the check it is of, or of a wait
    worst : highest utilisation in them over the plan's ranges of what is not known, α applied
    worst_of : key of that
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
    judged : each member, searched by itself
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
    judged: tuple[Member, ...]
    windows: tuple[ProbableWindow, ...]
    needed: float
    notes: tuple[str, ...]
    unassessed: tuple[str, ...] = ()

    @property
    def starts(self) -> tuple[FloatArray, ...]:
        """For each member, intervals in which the whole campaign can start, (m, 2), from the first time [s]."""
        return tuple(member.searched.starts[0] for member in self.judged)

    @property
    def enough(self) -> int:
        """Members in which a start must work for a window."""
        return enough(self.needed, len(self.judged))

    def calm_until(self, now: np.datetime64) -> np.datetime64 | None:
        """Until when a start from now on is within limits in every member; None where it is not so now.

        Parameters
        ----------
        now : the time, UTC
        """
        at = self._after(now)
        left = min(left_of(member.calm.starts[0], at) for member in self.judged)
        return self._when(at + left) if left >= 0.0 else None

    def finished_by(self, start: np.datetime64) -> tuple[np.datetime64, int]:
        """By when the campaign is finished in enough members if begun at a time that works in them, and in how many.

        Parameters
        ----------
        start : the time, UTC
        """
        by, count = finished_by(self.judged, self._after(start), self.enough)
        return self._when(by), count

    def calm_done(self, now: np.datetime64) -> tuple[np.datetime64, np.datetime64] | None:
        """By when all is done if begun now and kept within limits in every member, and from which start on that takes
        a later step put off in one; None where it does not, as long as `calm_until`.

        Parameters
        ----------
        now : the time, UTC
        """
        until, (done, put_off) = self.calm_until(now), calm_done(self.judged, self._after(now))
        if until is None or math.isinf(put_off) or self._when(put_off) > until:
            return None
        return self._when(done), self._when(put_off)

    def to_be_confirmed(self, start: np.datetime64) -> tuple[str, np.datetime64, np.datetime64] | None:
        """A later step, when it begins at the latest, and the issue of the oldest forecast that may confirm it.

        Parameters
        ----------
        start : a start that works in some members, UTC
        """
        found = to_be_confirmed(self.plan, self.judged, self._after(start))
        return None if found is None else (found[0], self._when(found[1]), found[2])

    def under_way(self, now: np.datetime64) -> UnderWay:
        """How the first step stands in enough members, if it is being done.

        Parameters
        ----------
        now : the time, UTC
        """
        at = self._after(now)
        return in_enough([member.under_way(at) for member in self.judged], self.enough)

    def in_pieces(self, now: np.datetime64) -> InPieces | None:
        """Work that enough members let be begun from a time on, where no start works in enough of them.

        Parameters
        ----------
        now : the time, UTC
        """
        return in_pieces(self.judged, self._after(now), self.enough)

    def _after(self, when: np.datetime64) -> float:
        return seconds(when - self.ensemble.times[0])

    def _when(self, at: float) -> np.datetime64:
        return self.ensemble.members[0].when(at)

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
        begin = self._after(now)
        ends = turns(self.starts)[::2]
        times = np.concatenate(([begin], ends[ends > begin]))
        count = coverage(self.starts, times)
        best = int(count.argmax())
        return self._when(float(times[best])), int(count[best])


def ensemble_windows(
    plan: Plan,
    ensemble: EnsembleForecast,
    campaign: Campaign | None = None,
    alpha: AlphaTable | None = None,
    needed: float | None = None,
) -> EnsembleResult:
    """Share of the members of an ensemble in which each time, each start and each window holds.

    Every member is searched by itself, by the functions of `weather_windows`, the vessel on the plan's heading.
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
    alone = utilisations_of_members(plan, ensemble)
    each = list(zip(*(one.tables for one in alone), strict=True))
    judged = tuple(member_of(plan, one) for one in alone)
    share = np.mean([holds_at(one.searched.starts[0], one.searched.times) for one in judged], axis=0)
    windows = _probable(plan, ensemble, judged, alone)
    known = [~one.missing for one in members]

    def never(tables: Sequence[Utilisations]) -> bool:
        seen = [table.assessed[rows] for table, rows in zip(tables, known, strict=True)]
        return any(rows.any() for rows in known) and not any(rows.any() for rows in seen)

    return EnsembleResult(
        plan=plan,
        ensemble=ensemble,
        campaign=whole,
        alpha=asked.alpha,
        inside=tuple(np.stack([one.inside for one in tables]) for tables in each),
        hour_probability=tuple(np.mean([one.inside for one in tables], axis=0) for tables in each),
        start_probability=share,
        judged=judged,
        windows=windows,
        needed=asked.needed,
        notes=(*_notes(ensemble, asked.alpha), *_doubt(windows, len(members)), *notes_for(plan, first)),
        unassessed=tuple(step.label for step, tables in zip(whole.steps, each, strict=True) if never(tables)),
    )


def _probable(
    plan: Plan, ensemble: EnsembleForecast, members: tuple[Member, ...], alone: list[MemberTables]
) -> tuple[ProbableWindow, ...]:
    """Intervals of starts that work in enough members, as planned."""
    starts, hard = ([getattr(member, name).starts[0] for member in members] for name in ("searched", "sure"))
    forecast, campaign, least = ensemble.members[0], plan.campaign, enough(plan.weather.needed, len(members))
    windows = []
    for begin, end in held_by(starts, least).tolist():
        count, certain = (
            sum(bool(np.any((runs[:, 0] <= begin) & (runs[:, 1] >= end))) for runs in each)
            for each in (starts, hard)
        )
        lowest, sure = (_least(each, begin, end) / len(members) for each in (starts, hard))
        words = Counter(_ends(members, alone, begin))
        ends, ends_in = words.most_common(1)[0]
        held = _held(members, alone, (begin, end))
        (highest, closest), (most, worst_of) = (
            max(each, key=itemgetter(0)) for each in zip(*held.values(), strict=True)
        )
        windows.append(
            ProbableWindow(
                start=forecast.when(begin),
                latest_start=forecast.when(end),
                end=forecast.when(finished_by(members, end, least)[0]),
                lowest=lowest,
                probability=count / len(members),
                sure=sure,
                doubtful=count - certain,
                count=count,
                ends=ends,
                ends_in=ends_in,
                near=sum(one[0][0] >= plan.caution_level for one in held.values()),
                highest=highest,
                closest=closest,
                worst=most,
                worst_of=worst_of,
                confirm=confirmed_from(plan, forecast, campaign.blocks[0], begin),
                firm_until=firm_until(plan, forecast, campaign.blocks[0], begin, end),
            )
        )
    return tuple(windows)


def _least(starts: list[FloatArray], begin: float, end: float) -> int:
    """Fewest members whose starts hold anywhere from one time to another."""
    times = turns([*starts, np.array([[begin, end]])])
    return int(coverage(starts, times[(times >= begin) & (times <= end)]).min())


def _held(
    members: Sequence[Member], alone: Sequence[MemberTables], span: tuple[float, float]
) -> dict[int, tuple[Top, Top]]:
    """Of each member, by its place, with a start in a span: what its windows there reach, planned and over the ranges.

    A window is taken as long as the member has it: of that one the member would be told by itself.
    """
    found = {}
    for place, (member, one) in enumerate(zip(members, alone, strict=True)):
        rows = member.searched.starts[0]
        tops = [
            highest_begun(member.searched, one.tables, one.waits, first, last)
            for first, last in rows[(rows[:, 0] <= span[1]) & (rows[:, 1] >= span[0])].tolist()
        ]
        if tops:
            planned, worst = zip(*tops, strict=True)
            found[place] = max(planned, key=itemgetter(0)), max(worst, key=itemgetter(0))
    return found


def _doubt(windows: tuple[ProbableWindow, ...], count: int) -> tuple[str, ...]:
    """In how many members a window is in doubt: they are counted at the planned values."""
    most = max((window.doubtful for window in windows), default=0)
    lost = f"up to {most} of {count} members lose a window that they have"
    said = f"Counted at the planned values: with all that is not known at its worst, {lost}."
    return (said,) if most else ()


def _ends(members: Sequence[Member], alone: Sequence[MemberTables], start: float) -> list[str]:
    """What ends the starts of each member in which one at `start` works."""
    found = []
    for member, one in zip(members, alone, strict=True):
        held = member.searched.starts[0]
        rows = held[(held[:, 0] <= start) & (held[:, 1] >= start)]
        for _, last in rows[:1]:
            stop = stop_of(member.searched, float(last))
            label = member.searched.campaign.steps[stop.step].label
            ending = ending_of(one.forecast, label, one.tables[stop.step], stop.last)
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
