"""Sequences with time to make safe and waits against trying every half hour, and work in pieces against its rules."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.planning import Operation
from heave.planning.campaign import Campaign, OperationStep
from heave.weather import search
from heave.weather.endings import stop_of
from heave.weather.intervals import ends_before, holds_at, waits_until
from heave.weather.search import Search
from heave.weather.work_now import WorkPlan, ranked, run_through, work_now

HOUR = 3600.0

STEPS = st.lists(
    st.builds(
        lambda planned, spare, stops, safe: OperationStep(
            Operation(duration=planned * HOUR), "", spare * HOUR, stops, make_safe=safe * HOUR
        ),
        st.sampled_from([1, 2, 3]),
        st.sampled_from([0, 0.5, 1]),
        st.booleans() | st.just(True),
        st.sampled_from([0, 0.5, 1, 2]),
    ),
    min_size=1,
    max_size=4,
)
SEED = st.integers(0, 100_000)


def drawn(seed: int, steps: list[OperationStep], wait: float, size: int = 26) -> Search:
    rng = np.random.default_rng(seed)
    known = rng.random(size) > 0.03
    gaps = rng.random(size - 1) < 0.03
    inside = [known & (rng.random(size) > rng.choice([0.05, 0.2])) for _ in steps]
    waiting = [known & (rng.random(size) > 0.08) if rng.random() < 0.7 else None for _ in steps]
    campaign = Campaign(tuple(steps), wait * HOUR)
    return search(campaign, np.arange(size) * HOUR, gaps, known, inside, waiting)


def holds(runs: np.ndarray, start: float, end: float) -> bool:
    """Whether one run of samples covers a time, hours after the first sample: the rule as it is said."""
    return any(first <= start + 1e-9 and last >= end - 1e-9 for first, last in runs)


def can_wait(found: Search, step: int, end: float, start: float) -> bool:
    """From the end of a step to a later start: first its own limits while it is secured, then what it waits in."""
    if start == end:
        return True
    securing = found.campaign.steps[step].make_safe / HOUR
    if start - end > found.campaign.longest_wait / HOUR:
        return False
    if not holds(found.runs[step], end, min(end + securing, start)):
        return False
    return start <= end + securing or holds(found.waits[step], end + securing, start)


def works(found: Search, block: int, start: float) -> bool:
    now = found.campaign.blocks[block]
    for offset, (early, late) in enumerate(now.spans):
        if not holds(found.runs[now.first + offset], start + early / HOUR, start + late / HOUR):
            return False
    if block + 1 == len(found.campaign.blocks):
        return True
    done, last = start + now.reference / HOUR, now.first + len(now.steps) - 1
    later = np.arange(done, done + found.campaign.longest_wait / HOUR + 0.25, 0.5)
    return any(can_wait(found, last, done, begin) and works(found, block + 1, begin) for begin in later)


@settings(max_examples=300, deadline=None)
@given(seed=SEED, steps=STEPS, wait=st.sampled_from([0, 0.5, 1, 3, 6]))
def test_starts_of_sequences_against_trying_every_half_hour(
    seed: int, steps: list[OperationStep], wait: float
) -> None:
    found = drawn(seed, steps, wait)
    tried = np.arange(0, 25.5, 0.5)
    quick = [any(a <= t * HOUR <= b for a, b in found.starts[0]) for t in tried]
    assert quick == [works(found, 0, float(t)) for t in tried]


@settings(max_examples=300, deadline=None)
@given(seed=SEED, steps=STEPS, wait=st.sampled_from([0, 0.5, 1, 3, 6]))
def test_every_schedule_keeps_the_rules_and_every_window_has_an_end(
    seed: int, steps: list[OperationStep], wait: float
) -> None:
    found = drawn(seed, steps, wait)
    for first, last in found.starts[0]:
        for start in (first, (first + last) / 2, last):
            begins = found.begins(float(start))
            for place, block in enumerate(found.campaign.blocks[:-1]):
                done = (begins[place] + block.reference) / HOUR
                assert can_wait(found, block.first + len(block.steps) - 1, done, begins[place + 1] / HOUR)
        stop = stop_of(found, float(last))
        after = stop.last + 1
        ends = found.runs[stop.step][:, 1]
        assert stop.last in ends
        assert after == found.times.size or not np.any(found.runs[stop.step][:, 0] == stop.last)


@settings(max_examples=300, deadline=None)
@given(seed=SEED, steps=STEPS, wait=st.sampled_from([1, 6, 12]), now=st.integers(0, 30))
def test_work_in_pieces_keeps_the_rules(seed: int, steps: list[OperationStep], wait: float, now: int) -> None:
    found = drawn(seed, steps, wait)
    plan = work_now(found, now * HOUR / 2)
    if plan is None:
        return
    assert plan.stretches[0].start == now * HOUR / 2
    for one, following in zip(plan.stretches, plan.stretches[1:], strict=False):
        assert one.end == following.start
    first = next(place for place, one in enumerate(plan.stretches) if one.doing == "work")
    for place, one in enumerate(plan.stretches[first:], first):
        runs = found.times[found.waits[one.step] if one.doing == "wait" else found.runs[one.step]]
        assert holds(runs / HOUR, one.start / HOUR, one.end / HOUR)
        if place + 1 == len(plan.stretches) and plan.done is None:
            # nothing is known to follow: there was time to make safe
            assert one.doing == ("make safe" if steps[one.step].make_safe else "work")
            assert steps[one.step].interruptible
        if one.doing == "make safe" and place + 1 == len(plan.stretches):
            assert one.end - one.start == steps[one.step].make_safe
    worked = [0.0] * len(steps)
    for one in plan.stretches:
        worked[one.step] += one.end - one.start if one.doing == "work" else 0.0
    for place, step in enumerate(steps):
        assert worked[place] <= step.reference + 1e-6
        if plan.done is not None:
            assert worked[place] == pytest.approx(step.reference)
    assert plan.worked == pytest.approx(sum(worked))


def line(inside: str, waiting: str, *steps: OperationStep, wait: float = 48.0) -> Search:
    marks = [np.array([mark == "#" for mark in row]) for row in (inside, waiting)]
    size = len(inside)
    campaign = Campaign(tuple(steps), wait * HOUR)
    count = len(steps)
    return search(
        campaign,
        np.arange(size) * HOUR,
        np.zeros(size - 1, bool),
        np.ones(size, bool),
        [marks[0]] * count,
        [marks[1]] * count,
    )


@settings(max_examples=300, deadline=None)
@given(
    seed=SEED,
    safe=st.sampled_from([0, 0.5, 1, 2]),
    longest=st.sampled_from([0, 0.5, 1, 6]),
    end=st.integers(0, 40),
)
def test_how_long_a_wait_can_last_against_what_a_later_start_can_be_reached_from(
    seed: int, safe: float, longest: float, end: int
) -> None:
    found = drawn(seed, [OperationStep(Operation(duration=HOUR), interruptible=True)], 6)
    own, waiting = found.times[found.runs[0]], found.times[found.waits[0]]
    until = waits_until(own, waiting, safe * HOUR, longest * HOUR, end * HOUR / 2)
    for start in np.arange(end, 52) * HOUR / 2:
        ends = ends_before(np.array([[start, start]]), own, waiting, safe * HOUR, longest * HOUR)
        assert bool(holds_at(ends, np.array([end * HOUR / 2]))[0]) == (start <= until)


def tried(found: Search, at: float, left: float, begun: bool) -> float:
    """Earliest end of one step in pieces from a time on, all choices of pieces tried one by one [h]."""
    one, done = found.campaign.steps[0], [math.inf]
    safe = one.make_safe / HOUR
    for first, last in found.times[found.runs[0]] / HOUR:
        start = max(first, at)
        if start > last or (begun and not can_wait(found, 0, at, start)):
            continue
        work = start + (safe if begun else 0.0)
        if work + left <= last:
            done.append(work + left)
        elif last - safe - work >= max(1.0, (2 if begun else 1) * safe):
            done.append(tried(found, last - safe, left - (last - safe - work), True))
    return min(done)


@settings(max_examples=300, deadline=None)
@given(
    seed=SEED,
    hours=st.sampled_from([3, 6, 9]),
    safe=st.sampled_from([0, 0.5, 1]),
    wait=st.sampled_from([1, 4, 24]),
)
def test_work_in_pieces_is_finished_as_early_as_any_choice_of_pieces(
    seed: int, hours: int, safe: float, wait: float
) -> None:
    found = drawn(seed, [step(hours, safe=safe)], wait)
    plan = work_now(found, 0.0)
    done = math.inf if plan is None or plan.done is None else plan.done / HOUR
    assert done == pytest.approx(tried(found, 0.0, float(hours), begun=False))


def test_a_piece_that_the_rig_could_not_wait_after_is_left_out_where_the_work_is_finished_without_it() -> (
    None
):
    """Two hours of calm, then a sea that what it waits in does not hold in; later two spells that are enough."""
    found = line("###......#######..#######", "####..###################", step(8, safe=1))
    plan = work_now(found, 0.0)
    assert told(plan) == [
        ("wait", 0, 9),
        ("work", 9, 14),
        ("make safe", 14, 15),
        ("wait", 15, 18),
        ("get back", 18, 19),
        ("work", 19, 22),
    ]
    # with a worse sea, that has no calm at first, it is finished no earlier
    assert told(
        work_now(line(".........#######..#######", "####..###################", step(8, safe=1)), 0.0)
    ) == told(plan)


def step(hours: float, stops: bool = True, safe: float = 0.0) -> OperationStep:
    return OperationStep(Operation(duration=hours * HOUR), "", 0.0, stops, make_safe=safe * HOUR)


def told(plan: WorkPlan | None) -> list[tuple[str, float, float]]:
    assert plan is not None
    return [(one.doing, one.start / HOUR, one.end / HOUR) for one in plan.stretches]


def test_drilling_now_stops_in_time_to_make_safe_and_goes_on_after_the_weather() -> None:
    """Ten hours of drilling in a spell of 6 h, 4 h of weather, then calm; an hour to secure and an hour to get back."""
    found = line("#######...##########", "#" * 20, step(10, safe=1))
    expected = [
        ("work", 0, 5),
        ("make safe", 5, 6),
        ("wait", 6, 10),
        ("get back", 10, 11),
        ("work", 11, 16),
    ]
    assert told(work_now(found, 0.0)) == expected
    assert run_through(found, 0.0) is None
    plan = work_now(found, 0.0)
    assert plan is not None
    assert (plan.done, plan.worked) == (16 * HOUR, 10 * HOUR)


def test_running_through_waits_for_room_and_is_ranked_by_when_it_is_done() -> None:
    found = line("#######...############", "#" * 22, step(10, safe=1))
    through, pieces = run_through(found, 0.0), work_now(found, 0.0)
    assert told(through) == [("wait", 0, 10), ("work", 10, 20)]
    assert through is not None
    assert pieces is not None
    assert ranked([through, pieces]) == [pieces, through]
    unfinished = WorkPlan(pieces.stretches[:1], None)
    assert ranked([unfinished, through]) == [through, unfinished]


def test_a_wait_in_a_state_that_does_not_hold_ends_the_plan_after_its_first_piece() -> None:
    found = line("#######...##########", "########.###########", step(10, safe=1))
    plan = work_now(found, 0.0)
    assert told(plan) == [("work", 0, 5), ("make safe", 5, 6)]
    assert plan is not None
    assert plan.done is None


def test_nothing_is_begun_for_less_than_it_takes_to_get_back_and_secure() -> None:
    """With 2 h to secure and 2 h to get back, a spell of 4 h leaves no work worth it; one of 8 h leaves four."""
    short = line("#######..#####..###########", "#" * 27, step(10, safe=2))
    assert told(work_now(short, 0.0))[2:4] == [("wait", 6, 16), ("get back", 16, 18)]
    long = line("#######..#########..########", "#" * 28, step(14, safe=2))
    assert told(work_now(long, 0.0))[2:5] == [("wait", 6, 9), ("get back", 9, 11), ("work", 11, 15)]
    plan = work_now(line("##...#####", "#" * 10, step(5, safe=1)), 0.0)
    assert told(plan)[0] == ("wait", 0, 5)


def test_what_cannot_be_halted_is_not_cut_in_pieces() -> None:
    assert work_now(line("#####...######", "#" * 14, step(6, stops=False)), 0.0) is None
    late = line("#####...#######", "#" * 15, step(6, stops=False))
    assert told(work_now(late, 0.0)) == [("wait", 0, 8), ("work", 8, 14)]
    found = line("#######...######", "#" * 16, step(3), step(3, stops=False))
    assert told(work_now(found, 0.0)) == [("work", 0, 3), ("work", 3, 6)]
