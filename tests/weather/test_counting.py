"""Counting windows on series made by hand: ends, gaps, steps, interruptions, contingency and no return.

A series is written as text, one character a sample: `#` inside, `.` over a limit, `?` not known, and `|`
between two samples for a gap.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.planning import Operation
from heave.planning.campaign import Campaign, OperationStep
from heave.weather import search

HOUR = 3600.0


def step(planned: float, contingency: float | None = 0.0, stops: bool = False) -> OperationStep:
    spare = None if contingency is None else contingency * HOUR
    return OperationStep(Operation(duration=planned * HOUR), "", spare, stops)


def starts(
    steps: list[OperationStep], *series: str, wait: float = 48.0, hours: float = 1.0
) -> list[list[float]]:
    """Intervals of starts, in hours after the first sample; one series for each step, or one for all."""
    rows = [row.replace("|", "") for row in series]
    gaps = np.zeros(len(rows[0]) - 1, dtype=bool)
    for place, mark in enumerate(series[0]):
        if mark == "|":
            gaps[place - series[0][:place].count("|") - 1] = True
    inside = [np.array([mark == "#" for mark in row]) for row in rows]
    known = np.array([mark != "?" for mark in rows[0]])
    campaign = Campaign(tuple(steps), wait * HOUR)
    if len(inside) == 1:
        inside *= len(steps)
    found = search(campaign, np.arange(len(rows[0])) * hours * HOUR, gaps, known, inside)
    return (found.starts[0] / HOUR).tolist()


def test_both_ends_must_be_inside() -> None:
    assert starts([step(4)], "..#####..") == [[2, 2]]
    assert starts([step(4.5)], "..#####..") == []
    assert starts([step(2)], "..#####..") == [[2, 4]]


def test_one_sample_alone_is_no_window() -> None:
    assert starts([step(0.1)], "..#..#..") == []


def test_a_window_ends_with_the_series() -> None:
    assert starts([step(3)], "..####") == [[2, 2]]


def test_a_gap_breaks_a_window() -> None:
    assert starts([step(4)], "######") == [[0, 1]]
    assert starts([step(4)], "###|###") == []
    assert starts([step(2)], "###|###") == [[0, 0], [3, 3]]


def test_what_is_not_known_breaks_a_window() -> None:
    assert starts([step(4)], "###?###") == []
    assert starts([step(2)], "###?###") == [[0, 0], [4, 4]]


def test_three_hour_samples() -> None:
    assert starts([step(6)], ".###.", hours=3) == [[3, 3]]
    assert starts([step(5)], ".###.", hours=3) == [[3, 4]]


def test_contingency_counts_and_is_as_long_as_planned_when_not_assessed() -> None:
    assert starts([step(2, 1)], "#####") == [[0, 1]]
    assert starts([step(2, None)], "#####") == [[0, 0]]
    assert starts([step(3, None)], "#####") == []


def test_steps_follow_each_other_each_by_its_own_limits() -> None:
    first, second = "####....", "..######"
    assert starts([step(2), step(2)], first, second) == [[0, 1]]
    assert starts([step(2), step(2)], first, "....####") == []


def test_a_step_must_hold_from_its_earliest_start_to_its_latest_end() -> None:
    """With 2 + 1 h and 2 + 1 h the second may run anywhere from 2 h to 6 h after the start."""
    pair = [step(2, 1), step(2, 1)]
    assert starts(pair, "####....", "..#####.") == [[0, 0]]
    assert starts(pair, "####....", "...####.") == []
    assert starts(pair, "###.....", "..#####.") == []


def test_a_wait_only_between_steps_that_can_both_be_interrupted() -> None:
    first, second = "###.......", "......####"
    can = [step(2, stops=True), step(2, stops=True)]
    assert starts(can, first, second) == [[0, 0]]
    assert starts([step(2, stops=True), step(2)], first, second) == []
    assert starts([step(2), step(2, stops=True)], first, second) == []


def test_a_wait_has_a_longest() -> None:
    pair = [step(2, stops=True), step(2, stops=True)]
    assert starts(pair, "####......", "......####", wait=4) == [[0, 1]]
    assert starts(pair, "####......", "......####", wait=3) == [[1, 1]]
    assert starts(pair, "####......", "......####", wait=2) == []


def test_a_wait_crosses_neither_a_gap_nor_what_is_not_known() -> None:
    pair = [step(2, stops=True), step(2, stops=True)]
    assert starts(pair, "###.?.....", "....?.####") == []
    assert starts(pair, "###..|....", ".....|.###") == []


def test_waits_in_a_row() -> None:
    three = [step(1, stops=True) for _ in range(3)]
    assert starts(three, "##.##.##.") == [[0, 0]]
    assert starts(three, "##.##.####") == [[0, 0], [3, 3], [6, 6]]


def test_no_return_is_the_first_step_that_cannot_be_interrupted() -> None:
    can, cannot = step(2, stops=True), step(3)
    assert Campaign((can,)).blocks[0].no_return is None
    assert Campaign((cannot,)).blocks[0].no_return == 0.0
    (block,) = Campaign((can, cannot, can)).blocks
    assert block.no_return == 2 * HOUR
    assert [b.no_return for b in Campaign((can, can, cannot)).blocks] == [None, 2 * HOUR]


def test_weather_restricted_below_72_h_planned_and_96_h_in_all() -> None:
    """DNV-OS-H101, from memory: T_POP < 72 h and T_R < 96 h."""
    assert Campaign((step(71, 24.9),)).blocks[0].weather_restricted
    assert not Campaign((step(72, 0),)).blocks[0].weather_restricted
    assert not Campaign((step(48, 48),)).blocks[0].weather_restricted


def test_a_campaign_needs_steps() -> None:
    with pytest.raises(InputError, match="steps of the campaign"):
        Campaign(())
    with pytest.raises(InputError, match="Longest wait"):
        Campaign((step(1),), longest_wait=-1.0)


SERIES = st.lists(st.sampled_from("##.?"), min_size=6, max_size=14).map("".join)
STEPS = st.lists(
    st.builds(step, st.sampled_from([1, 2]), st.sampled_from([0, 1]), st.booleans()), min_size=1, max_size=3
)


@settings(max_examples=150)
@given(series=SERIES, steps=STEPS, wait=st.integers(0, 4), gap=st.integers(0, 12))
def test_starts_against_trying_every_half_hour(
    series: str, steps: list[OperationStep], wait: int, gap: int
) -> None:
    gap = min(gap, len(series) - 2)
    text = series[: gap + 1] + "|" + series[gap + 1 :]
    found = starts(steps, text, wait=wait)
    campaign = Campaign(tuple(steps), wait * HOUR)
    tried = np.arange(0, len(series), 0.5)
    worked = [any(a <= t <= b for a, b in found) for t in tried]
    assert worked == [_works(campaign, 0, float(t), series, gap) for t in tried]


def _works(campaign: Campaign, block: int, start: float, series: str, gap: int) -> bool:
    """The rule as it is said, half hour by half hour."""
    if block == len(campaign.blocks):
        return True
    now = campaign.blocks[block]
    if not all(
        _holds(series, "#", gap, start + early / HOUR, start + late / HOUR) for early, late in now.spans
    ):
        return False
    if block + 1 == len(campaign.blocks):
        return True
    done = start + now.reference / HOUR
    waits = np.arange(0.0, campaign.longest_wait / HOUR + 0.25, 0.5)
    return any(
        _holds(series, "#.", gap, done, done + wait) and _works(campaign, block + 1, done + wait, series, gap)
        for wait in waits
    )


def _holds(series: str, good: str, gap: int, start: float, end: float) -> bool:
    for half in range(round(2 * start), round(2 * end) + 1):
        below, above = half // 2, -(-half // 2)
        if below < 0 or above >= len(series) or series[below] not in good or series[above] not in good:
            return False
        if above > below and below == gap:
            return False
    return True
