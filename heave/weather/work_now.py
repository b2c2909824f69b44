"""Working now and waiting later: a step that can be stopped, done in pieces; and starting once to run through."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from heave.arrays import FloatArray
from heave.planning.campaign import Block
from heave.weather.intervals import ends_before, next_start
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
        _whole(made, block, begin)
    return WorkPlan(tuple(made), made[-1].end)


def work_now(searched: Search, now: float) -> WorkPlan | None:
    """The campaign begun as early as can be: steps that can be stopped are worked until it is time to make safe.

    A piece begins where the step's limits hold, works until there is just time to make safe before they no longer
    do, and goes on when the next piece is worth it; getting back takes as long as making safe did. While it waits
    the rig stands in the state the step says. A block that cannot be halted is done whole, as early as it can be.

    Parameters
    ----------
    searched : the search
    now : the present time [s after the first sample]

    Returns
    -------
    The plan as far as it goes, or None where nothing can be worked
    """
    made: list[Stretch] = []
    at: float | None = now
    for block in searched.campaign.blocks:
        assert at is not None
        at = _pieces(made, searched, block, at) if block.can_halt else _at_once(made, searched, block, at)
        if at is None:
            _leave_it_safe(made, searched)
            break
    if not made:
        return None
    if made[0].start > now:
        made.insert(0, Stretch("wait", 0, now, made[0].start))
    return WorkPlan(tuple(made), at)


def _leave_it_safe(made: list[Stretch], searched: Search) -> None:
    """Shorten what was planned last, where nothing can follow it, to make safe after it in time."""
    while made:
        last = made.pop()
        step = searched.campaign.steps[last.step]
        if last.doing != "work" or not step.interruptible:
            continue
        runs = searched.times[searched.runs[last.step]]
        held = float(runs[np.searchsorted(runs[:, 0], last.start, side="right") - 1, 1])
        end = min(last.end, held - step.secured_in)
        if end > last.start:
            made.append(replace(last, end=end))
            if step.secured_in:
                made.append(Stretch("make safe", last.step, end, end + step.secured_in))
            return


def ranked(plans: list[WorkPlan]) -> list[WorkPlan]:
    """Plans by when the last step is finished, unfinished ones last, and then by hours worked.

    Parameters
    ----------
    plans : the plans
    """
    return sorted(plans, key=lambda plan: (np.inf if plan.done is None else plan.done, -plan.worked))


def _whole(made: list[Stretch], block: Block, begin: float) -> None:
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


def _at_once(made: list[Stretch], searched: Search, block: Block, at: float) -> float | None:
    """Add a block that cannot be halted at its earliest start after `at`; its end, or None where it has none."""
    place = searched.campaign.blocks.index(block)
    begin = float(next_start(searched.own[place], np.array([at]))[0])
    if not np.isfinite(begin) or (begin > at and not _can_wait(made, searched, block.first - 1, at, begin)):
        return None
    _wait(made, block.first - 1, searched, begin)
    _whole(made, block, begin)
    return made[-1].end


def _can_wait(made: list[Stretch], searched: Search, step: int, start: float, end: float) -> bool:
    """Whether the rig can wait after a step from `start` to `end`; before the first step it has not begun."""
    if step < 0 or not made:
        return True
    times, campaign = searched.times, searched.campaign
    own, waiting = times[searched.runs[step]], times[searched.waits[step]]
    later: FloatArray = np.array([[end, end]])
    reach = ends_before(later, own, waiting, campaign.steps[step].secured_in, campaign.longest_wait)
    return bool(len(reach) and np.any((reach[:, 0] <= start) & (start <= reach[:, 1])))


def _pieces(made: list[Stretch], searched: Search, block: Block, at: float) -> float | None:
    """Add a step that can be halted, in as many pieces as it takes; its end, or None where no way on is known."""
    place, step = block.first, block.steps[0]
    securing, left = step.secured_in, step.reference
    back = 0.0
    before = place - 1
    for first, last in searched.times[searched.runs[place]]:
        start = max(float(first), at)
        begin = start + back
        whole = begin + left <= last
        stop = begin + left if whole else float(last) - securing
        if stop - begin < (0.0 if whole else max(LEAST_PIECE, back + securing)):
            continue
        if start > at and not _can_wait(made, searched, before, at, start):
            return None
        _wait(made, before, searched, start)
        if back:
            made.append(Stretch("get back", place, start, begin))
        made.append(Stretch("work", place, begin, stop))
        if whole:
            return stop
        at, left, back, before = stop, left - (stop - begin), securing, place
    return None
