"""Whatever the series and the steps: a schedule keeps every rule, and every window has something that ends it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.planning import Operation
from heave.planning.campaign import Campaign, OperationStep
from heave.weather import search
from heave.weather.endings import stop_of

HOUR = 3600.0

STEPS = st.lists(
    st.builds(
        lambda planned, spare, stops: OperationStep(Operation(duration=planned), "", spare, stops),
        st.floats(60.0, 3 * HOUR),
        st.none() | st.floats(0.0, HOUR),
        st.booleans(),
    ),
    min_size=1,
    max_size=4,
)


@settings(max_examples=200)
@given(seed=st.integers(0, 10_000), steps=STEPS, wait=st.floats(0.0, 12 * HOUR))
def test_schedule_and_end_of_every_window(seed: int, steps: list[OperationStep], wait: float) -> None:
    rng = np.random.default_rng(seed)
    size = 40
    known = rng.random(size) > 0.03
    inside = [known & (rng.random(size) > 0.15) for _ in steps]
    gaps = rng.random(size - 1) < 0.03
    campaign = Campaign(tuple(steps), wait)
    found = search(campaign, np.arange(size) * HOUR, gaps, known, inside)
    for first, last in found.starts[0]:
        for start in (first, (first + last) / 2, last):
            _keeps_the_rules(found, campaign, float(start), wait)
        stop = stop_of(found, float(last))
        assert inside[stop.step][stop.last]
        after = stop.last + 1
        assert after == size or gaps[stop.last] or not inside[stop.step][after]


def _keeps_the_rules(found, campaign: Campaign, start: float, wait: float) -> None:
    begins = found.begins(start)
    assert begins[0] == start
    assert found.finish(start) == begins[-1] + campaign.blocks[-1].reference
    for block, begin, following in zip(campaign.blocks, begins, (*begins[1:], None), strict=True):
        for place, (early, late) in enumerate(block.spans):
            runs = found.times[found.runs[block.first + place]]
            assert np.any((runs[:, 0] <= begin + early + 1e-6) & (runs[:, 1] >= begin + late - 1e-6))
        if following is not None:
            assert -1e-6 <= following - begin - block.reference <= wait + 1e-6


def test_a_time_that_ends_nothing_is_refused() -> None:
    step = OperationStep(Operation(duration=HOUR), contingency=0.0)
    found = search(
        Campaign((step,)), np.arange(4) * HOUR, np.zeros(3, bool), np.ones(4, bool), [np.ones(4, bool)]
    )
    assert stop_of(found, 2 * HOUR).last == 3
    with pytest.raises(InputError, match="latest start"):
        stop_of(found, HOUR)


def test_durations_count_in_whole_seconds_rounded_up() -> None:
    step = OperationStep(Operation(duration=100.2), contingency=0.4)
    assert (step.planned, step.contingency_used) == (101.0, 1.0)
    assert OperationStep(Operation(duration=1.1 * HOUR), contingency=0.0).planned == 3960.0
