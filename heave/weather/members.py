"""A member of an ensemble, searched as a forecast by itself is, and what enough of the members have in common."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from operator import attrgetter, itemgetter
from typing import Final

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.judging import Utilisations
from heave.planning import Plan
from heave.sea import SeaBatch
from heave.weather.asked import Asked, asked_for, waits_for
from heave.weather.endings import ending_of
from heave.weather.evaluation import batch_for, by_column, design_height, judged, raised_or_over
from heave.weather.forecast import EnsembleForecast, Forecast
from heave.weather.intervals import common, coverage, held_by, merged
from heave.weather.outlook import finish_of, first_step_at, held_for, put_off_from
from heave.weather.schedule import confirmed_from
from heave.weather.search import Search
from heave.weather.site_limits import beside
from heave.weather.under_way import UnderWay
from heave.weather.windows import calm_in, search_in
from heave.weather.work_now import WorkPlan, begun_from, ways_from

_HELD: Final[tuple[Callable[[Utilisations], BoolArray], ...]] = (attrgetter("inside"), attrgetter("sure"))


@dataclass(frozen=True, eq=False)
class Member:
    """One member by itself; times in seconds after its first sample.

    Parameters
    ----------
    forecast : its seas
    searched : the campaign against what holds as planned
    sure : against what holds at the worst of what is not known as well
    calm : against what is within limits, near none of them
    over : True where the first step is over a limit, (n,)
    ends : for each run of the first step, what ends it, in words
    """

    forecast: Forecast
    searched: Search
    sure: Search
    calm: Search
    over: BoolArray
    ends: tuple[str, ...]

    def under_way(self, at: float) -> UnderWay:
        """How the first step stands at a time, if it is being done.

        Parameters
        ----------
        at : the time [s]
        """
        inside, row = first_step_at(self.forecast, self.searched, self.over, at)
        held, calm = (held_for(each, at) for each in (self.searched, self.calm))
        return UnderWay(inside, held, calm, self.ends[row] if inside else "")


@dataclass(frozen=True, eq=False)
class MemberTables:
    """A member with what is found of its seas.

    Parameters
    ----------
    forecast : its seas
    tables : utilisations of each step, α applied
    waits : the same of the state it then waits in; None where that is not said
    """

    forecast: Forecast
    tables: tuple[Utilisations, ...]
    waits: tuple[Utilisations | None, ...]


def utilisations_of_members(plan: Plan, ensemble: EnsembleForecast) -> list[MemberTables]:
    """What is found of the seas of each member, as `evaluate_forecast` finds it of a forecast.

    All of them go end to end through the checks at once, on the plan's heading, and come apart again.

    Parameters
    ----------
    plan : the plan
    ensemble : the members
    """
    members, steps = ensemble.members, plan.campaign.steps
    batch = SeaBatch.stack([batch_for(plan, member) for member in members])
    asks, waits = (_asked_of_all(plan, members, ask) for ask in (asked_for, waits_for))
    found = judged(plan, batch, [one for one in (*asks, *waits) if one is not None])
    tables = []
    for step, one in zip(steps, asks, strict=True):
        assert one is not None
        table = raised_or_over(plan, batch, one, found[one])
        whole = beside(plan, step, members, table, design_height(batch, one.factor))
        tables.append(_apart(whole, len(members)))
    waiting = [[None] * len(members) if one is None else _apart(found[one], len(members)) for one in waits]
    rows = zip(members, zip(*tables, strict=True), zip(*waiting, strict=True), strict=True)
    return [MemberTables(*row) for row in rows]


def _asked_of_all(
    plan: Plan, members: Sequence[Forecast], ask: Callable[..., Sequence[Asked | None]]
) -> list[Asked | None]:
    """What each step, or the wait after it, asks of the seas of all members end to end; worked once for those alike."""
    made: dict[object, Sequence[Asked | None]] = {}
    for member in members:
        if (key := _calendar(member)) not in made:
            made[key] = ask(plan, member, plan.campaign, plan.weather.alpha)
    rows = zip(*(made[_calendar(member)] for member in members), strict=True)
    known = [[one for one in row if one is not None] for row in rows]
    return [Asked.end_to_end(row) if row else None for row in known]


def _calendar(member: Forecast) -> object:
    """All of a member, on times that all have, that what is asked of its seas hangs on."""
    return member.counted_from, None if member.tide is None else member.tide.tobytes()


def _apart(table: Utilisations, count: int) -> list[Utilisations]:
    """A table of members end to end as one of each."""
    size = table.governing.size // count
    return [by_column(itemgetter(slice(at, at + size)), table) for at in range(0, size * count, size)]


def member_of(plan: Plan, one: MemberTables) -> Member:
    """One member searched as a forecast by itself is.

    Parameters
    ----------
    plan : the plan
    one : the member, with what is found of its seas
    """
    first, waits = one.tables[0], one.waits
    searched, sure = (
        search_in(
            one.forecast,
            plan.campaign,
            [held(table) for table in one.tables],
            [None if table is None else held(table) for table in waits],
        )
        for held in _HELD
    )
    label = plan.campaign.steps[0].label
    ends = [ending_of(one.forecast, label, first, int(last)) for _, last in searched.runs[0]]
    return Member(
        forecast=one.forecast,
        searched=searched,
        sure=sure,
        calm=calm_in(plan, one.forecast, one.tables, waits),
        over=first.governing >= 1.0,
        ends=tuple(end.check_name or end.cause for end in ends),
    )


def enough(needed: float, count: int) -> int:
    """Members in which a start must work, of so many.

    Parameters
    ----------
    needed : share, above 0 to 1
    count : members
    """
    # Shares are whole members over their number: the small allowance is for 0.9 × 10 members being 9.
    return max(math.ceil((needed - 1e-9) * count), 1)


@dataclass(frozen=True)
class InPieces:
    """Work that enough members let be begun, where no start of the whole campaign works in enough; times as above.

    Parameters
    ----------
    begin : the first time from which it can be begun in enough members
    members : in how many it can be begun then
    done : by when enough members see it finished; infinite where they do not
    done_in : members that see it finished by then; where that is never, in this forecast at all
    place : of the member whose way is told: of enough members the one that is finished last
    way : that way
    """

    begin: float
    members: int
    done: float
    done_in: int
    place: int
    way: WorkPlan


def finished_by(members: Sequence[Member], start: float, needed: int) -> tuple[float, int]:
    """By when a campaign begun at a time is finished in at least `needed` members [s], and in how many it is by then.

    Parameters
    ----------
    members : all of them
    start : a start that works in as many of them
    needed : number of members
    """
    ends = sorted(finish_of(member.searched, start) for member in members)
    by = ends[needed - 1]
    return by, sum(end <= by < math.inf for end in ends)


def calm_done(members: Sequence[Member], start: float) -> tuple[float, float]:
    """By when a start is done in every member, kept within limits, and from when on that takes a step put off in one
    [s]; infinite where it cannot be, or does not.

    Parameters
    ----------
    members : all of them
    start : the start [s]
    """
    pairs = [(finish_of(one.calm, start), put_off_from(one.searched, one.calm, start)) for one in members]
    done, put_off = zip(*pairs, strict=True)
    return max(done), min(put_off)


def to_be_confirmed(
    plan: Plan, members: Sequence[Member], start: float
) -> tuple[str, float, np.datetime64] | None:
    """The first step after a wait that a later forecast must confirm in some member, if all is begun at `start`.

    Parameters
    ----------
    plan : the plan
    members : all of them
    start : a start that works in some of them [s]

    Returns
    -------
    Its label, when it begins in the member where that is latest [s], and the issue of the oldest forecast that may
    confirm it
    """
    works = [one.searched for one in members if finish_of(one.searched, start) < math.inf]
    begins = np.max([searched.begins(start) for searched in works], axis=0).tolist()
    for block, begin in zip(plan.campaign.blocks[1:], begins[1:], strict=True):
        issue = confirmed_from(plan, members[0].forecast, block, begin)
        if issue is not None:
            return block.steps[0].label, begin, issue
    return None


def in_pieces(members: Sequence[Member], now: float, needed: int) -> InPieces | None:
    """Work from a time on that at least `needed` members let be begun at one time; None where they do not.

    Parameters
    ----------
    members : all of them
    now : the present time [s]
    needed : number of members
    """
    begun = [_begun(member.searched, now) for member in members]
    together = held_by(begun, needed)
    if not len(together):
        return None
    begin = float(together[0, 0])
    found = [(place, ways_from(member.searched, begin)) for place, member in enumerate(members)]
    some = [(_end(ways[0]), -ways[0].worked, place, ways[0]) for place, ways in found if ways]
    done, _, place, way = sorted(some)[needed - 1]
    within = sum(end <= done and end < math.inf for end, *_ in some)
    return InPieces(begin, int(coverage(begun, np.array([begin]))[0]), done, within, place, way)


def _end(way: WorkPlan) -> float:
    return math.inf if way.done is None else way.done


def _begun(searched: Search, now: float) -> FloatArray:
    """Times from `now` on at which work can be begun and left safe, or is begun in a way that finishes it."""
    times = begun_from(searched)
    starts = [
        next(one.start for one in way.stretches if one.doing == "work") for way in ways_from(searched, now)
    ]
    both = merged(np.concatenate([times, np.repeat(np.array(starts), 2).reshape(-1, 2)]))
    return common(both, np.array([[now, np.inf]]))
