"""Working now and waiting later: a step that can be stopped, done in pieces; and starting once to run through."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, NamedTuple

import numpy as np

from heave.arrays import FloatArray
from heave.planning.campaign import Block
from heave.weather.intervals import common, merged, next_start, starts_within, waits_until
from heave.weather.search import Search

Doing = Literal["work", "make safe", "wait", "get back"]
"""What a stretch of time is spent on."""

LEAST_PIECE: Final = 3600.0
"""Least work worth going out for [s]; nor is a piece begun that works less than getting back and securing take."""


@dataclass(frozen=True)
class Stretch:
    """One stretch of a plan of work, in seconds after the first sample; `step` is its place in the campaign."""

    doing: Doing
    step: int
    start: float
    end: float


@dataclass(frozen=True)
class WorkPlan:
    """One way of doing a campaign from a given time on.

    Parameters
    ----------
    stretches : what is done, in order and without a break
    done : when the last step is finished, contingency used [s after the first sample]; None where the forecast
        does not reach that far or no way on is known
    """

    stretches: tuple[Stretch, ...]
    done: float | None

    @property
    def worked(self) -> float:
        """Time spent on the steps themselves [s]."""
        return sum(one.end - one.start for one in self.stretches if one.doing == "work")


def run_through(searched: Search, now: float) -> WorkPlan | None:
    """The campaign begun once, as early as can be from `now` on, with no step in pieces; None where it never can.

    Parameters
    ----------
    searched : the search
    now : the present time [s after the first sample]
    """
    start = float(next_start(searched.starts[0], np.array([now]))[0])
    if not np.isfinite(start):
        return None
    made: list[Stretch] = [Stretch("wait", 0, now, start)] if start > now else []
    for block, begin in zip(searched.campaign.blocks, searched.begins(start), strict=True):
        _wait(made, block.first - 1, searched, begin)
        _steps(made, block, begin)
    return WorkPlan(tuple(made), made[-1].end)


def work_now(searched: Search, now: float) -> WorkPlan | None:
    """The campaign done in pieces and finished as early as can be; where that cannot be, begun as early as can be.

    A piece begins where the step's limits hold, works until there is just time to make safe before they no longer
    do, and goes on in a later one that is worth it; getting back takes as long as making safe did. While it waits
    the rig stands in the state the step says. A block that cannot be halted is done whole. A piece that is never
    come back from in time is left out where the work is finished without it: then no worse sea finishes it earlier.

    Parameters
    ----------
    searched : the search
    now : the present time [s after the first sample]

    Returns
    -------
    The plan as far as it goes, or None where nothing can be worked
    """
    ways, begun = [_Way((), now)], list[_Way]()
    for place in range(len(searched.campaign.blocks)):
        ways = _kept(searched, place, (one for way in ways for one in _through(searched, place, way, begun)))
        begun += ways
    found = min(ways, key=lambda way: way.at, default=None)
    if found is not None:
        return WorkPlan(_waited_for(found.made, now), found.at)
    left = [WorkPlan(made, None) for way in begun if (made := _left_safe(way.made, searched))]
    first = min(left, key=lambda plan: (plan.stretches[0].start, -plan.worked), default=None)
    return None if first is None else replace(first, stretches=_waited_for(first.stretches, now))


def ways_from(searched: Search, now: float) -> tuple[WorkPlan, ...]:
    """The ways of doing a campaign from a time on, run through and in pieces, the one finished first at the front.

    Parameters
    ----------
    searched : the search
    now : the present time [s after the first sample]
    """
    ways = dict.fromkeys((run_through(searched, now), work_now(searched, now)))
    return tuple(ranked([one for one in ways if one is not None]))


def begun_from(searched: Search) -> FloatArray:
    """Times at which the first work can be begun and left safe after it, whatever can follow, (m, 2) [s].

    Parameters
    ----------
    searched : the search
    """
    block, at, found = searched.campaign.blocks[0], 0.0, list[FloatArray]()
    for step, runs in zip(block.steps, searched.runs, strict=False):
        held = searched.times[runs]
        if step.interruptible:
            found.append(common(searched.own[0], starts_within(held, at, at + step.secured_in + 1.0)))
        if block.can_halt:
            worth = max(LEAST_PIECE, step.secured_in)
            found.append(starts_within(held, 0.0, worth + step.secured_in))
        at += step.reference
    return merged(np.concatenate([np.empty((0, 2)), *found]))


class _Way(NamedTuple):
    """What has been planned so far, when the last of it ends, and the work that is then left of the step begun [s]."""

    made: tuple[Stretch, ...]
    at: float
    left: float = 0.0


def _waited_for(made: Sequence[Stretch], now: float) -> tuple[Stretch, ...]:
    """What was planned, with the wait before it."""
    wait = (Stretch("wait", 0, now, made[0].start),) if made[0].start > now else ()
    return (*wait, *made)


def _kept(searched: Search, place: int, ways: Iterable[_Way]) -> list[_Way]:
    """Of ways of doing the campaign up to a block those that another does not beat: ended sooner, with as long a wait
    after it.
    """
    block = searched.campaign.blocks[place]
    last, found, reach = block.first + len(block.steps) - 1, list[_Way](), -np.inf
    for way in sorted(ways, key=lambda way: way.at):
        until = _waits_until(searched, last, way)
        if until > reach or not found:
            found.append(way)
            reach = until
    return found


def _through(searched: Search, place: int, before: _Way, begun: list[_Way]) -> Iterator[_Way]:
    """Every way of doing one more block: begun in any interval that it can be begun in, finished in any run.

    Ways that do a part of it join those `begun`.
    """
    block = searched.campaign.blocks[place]
    latest = _waits_until(searched, block.first - 1, before)
    if block.can_halt:
        yield from _in_pieces(searched, block, before, latest, begun)
        return
    for first, last in searched.own[place].tolist():
        begin = max(first, before.at)
        if begin > latest:
            return
        if begin <= last:
            yield _whole(searched, block, before, begin)


def _in_pieces(
    searched: Search, block: Block, before: _Way, latest: float, begun: list[_Way]
) -> Iterator[_Way]:
    """A step that can be halted: for each run of its limits the earliest that it can be finished in it."""
    step, pieces = block.first, list[tuple[_Way, float]]()
    securing = block.steps[0].secured_in
    for first, last in searched.times[searched.runs[step]].tolist():
        come = [(way, first, securing) for way, until in pieces if first <= until]
        if before.at <= last and first <= latest:
            come.insert(0, (before._replace(left=block.reference), max(first, before.at), 0.0))
        done, stopped = [], []
        for way, start, back in come:
            begin = start + back
            if begin + way.left <= last:
                done.append(_piece(searched, way, step, start, begin, begin + way.left))
            elif last - securing - begin >= max(LEAST_PIECE, back + securing):
                stopped.append(_piece(searched, way, step, start, begin, last - securing))
        if done:
            yield min(done, key=lambda way: way.at)
        if stopped:
            best = min(stopped, key=lambda way: way.left)
            pieces.append((best, _waits_until(searched, step, best)))
            begun.append(best)


def _piece(searched: Search, way: _Way, step: int, start: float, begin: float, stop: float) -> _Way:
    """One more piece of a step, gone about at `start` and worked from `begin` to `stop`, with the wait before it."""
    made = list(way.made)
    _wait(made, made[-1].step if made else -1, searched, start)
    if begin > start:
        made.append(Stretch("get back", step, start, begin))
    made.append(Stretch("work", step, begin, stop))
    return _Way(tuple(made), stop, way.left - (stop - begin))


def _whole(searched: Search, block: Block, way: _Way, begin: float) -> _Way:
    """One more block done whole, contingency used, with the wait before it."""
    made = list(way.made)
    _wait(made, block.first - 1, searched, begin)
    _steps(made, block, begin)
    return _Way(tuple(made), made[-1].end)


def _waits_until(searched: Search, step: int, way: _Way) -> float:
    """The latest that the rig can wait after a step; before the first it has not begun, and has no limit."""
    if step < 0 or not way.made:
        return np.inf
    times, campaign = searched.times, searched.campaign
    own, waiting = times[searched.runs[step]], times[searched.waits[step]]
    return waits_until(own, waiting, campaign.steps[step].secured_in, campaign.longest_wait, way.at)


def _left_safe(made: tuple[Stretch, ...], searched: Search) -> tuple[Stretch, ...]:
    """What was planned, its last work shortened so that it can be made safe in time; empty where none can be."""
    for place in range(len(made) - 1, -1, -1):
        last, step = made[place], searched.campaign.steps[made[place].step]
        if last.doing != "work" or not step.interruptible:
            continue
        runs = searched.times[searched.runs[last.step]]
        held = float(runs[np.searchsorted(runs[:, 0], last.start, side="right") - 1, 1])
        end = min(last.end, held - step.secured_in)
        if end > last.start:
            safe = (Stretch("make safe", last.step, end, end + step.secured_in),) if step.secured_in else ()
            return (*made[:place], replace(last, end=end), *safe)
    return ()


def ranked(plans: list[WorkPlan]) -> list[WorkPlan]:
    """Plans by when the last step is finished, unfinished ones last, and then by hours worked.

    Parameters
    ----------
    plans : the plans
    """
    return sorted(plans, key=lambda plan: (np.inf if plan.done is None else plan.done, -plan.worked))


def _steps(made: list[Stretch], block: Block, begin: float) -> None:
    """Add a block done whole, contingency used."""
    at = begin
    for offset, step in enumerate(block.steps):
        made.append(Stretch("work", block.first + offset, at, at + step.reference))
        at += step.reference


def _wait(made: list[Stretch], step: int, searched: Search, until: float) -> None:
    """Add what lies between the last stretch and a later start: making safe, then waiting."""
    if not made or made[-1].end >= until:
        return
    start = made[-1].end
    safe = min(start + (searched.campaign.steps[step].secured_in if step >= 0 else 0.0), until)
    if made[-1].doing == "work" and safe > start:
        made.append(Stretch("make safe", step, start, safe))
        start = safe
    if until > start:
        made.append(Stretch("wait", max(step, 0), start, until))
