"""Waiting and persistence in small records made up for it, against counting by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from heave.errors import InputError
from heave.planning import Campaign, Operation, OperationStep, Plan
from heave.studies.climate import Operability, operability
from heave.studies.climate_seas import seas_of_record, seas_of_scatter
from heave.studies.persistence import Spells, persistence
from heave.studies.scatter import Scatter, ScatterPart
from heave.studies.waiting import waiting_times
from heave.weather.forecast import Forecast
from heave.weather.line_use import not_exceeded

HOUR = 3600.0
CALM, ROUGH = 0.8, 9.0
Maker = Callable[..., Forecast]


def steps_of(*hours: float, apart: bool = True) -> Campaign:
    """Steps of drilling of so many hours, no contingency; apart they may have waits between them."""
    return Campaign(
        tuple(
            OperationStep(
                Operation(kind="drilling", duration=one * HOUR), contingency=0.0, interruptible=apart
            )
            for one in hours
        )
    )


def over(plan: Plan, record: Forecast, campaign: Campaign | None = None) -> Operability:
    return operability(plan, seas_of_record(plan, record), campaign=campaign)


def test_waits_of_one_step_by_hand(plan: Plan, make: Maker) -> None:
    """Calm for hours 0 to 2 and 5 to 8, rough between; two hours of work. Starts hold at 0, 5 and 6, nothing after."""
    record = make([CALM] * 3 + [ROUGH] * 2 + [CALM] * 4 + [ROUGH])
    found = waiting_times(over(plan, record, steps_of(2)))
    assert (found.waits[0] / HOUR).tolist() == [0, 4, 3, 2, 1, 0, 0, math.inf, math.inf, math.inf]
    assert (found.finished / HOUR).tolist() == [2, 6, 5, 4, 3, 2, 2, math.inf, math.inf, math.inf]
    whole = found.overall
    assert whole.starts == 10
    assert whole.p50 == 2 * HOUR  # the fifth of 0 0 0 1 2 3 4 ∞ ∞ ∞
    assert math.isinf(whole.p90)
    assert whole.mean == pytest.approx(10 / 7 * HOUR)
    assert whole.unfinished == pytest.approx(0.3)
    assert any("come too late" in note for note in found.notes)


def test_waits_between_steps_by_hand(plan: Plan, make: Maker) -> None:
    """Two steps of two hours. Ready at 0: the first to 2, then a wait to 5. Ready at 1: to 5, done at 7, then to 10."""
    record = make([CALM] * 3 + [ROUGH] * 2 + [CALM] * 3 + [ROUGH] * 2 + [CALM] * 3)
    found = waiting_times(over(plan, record, steps_of(2, 2)))
    assert found.blocks == ("Drilling ahead", "Drilling ahead")
    assert (found.waits[:, :6] / HOUR).T.tolist() == [[0, 3], [4, 3], [3, 3], [2, 3], [1, 3], [0, 3]]
    assert found.finished[0] == 7 * HOUR
    assert found.finished[1] == 11 * HOUR
    assert np.isinf(found.waits[1, 6:]).all()
    assert found.overall.steps_p50[0] <= found.overall.p50


def test_steps_that_hang_together_wait_once(plan: Plan, make: Maker) -> None:
    """Two hours and two more without a wait: only the calm of five samples is long enough."""
    record = make([CALM] * 3 + [ROUGH] * 2 + [CALM] * 5 + [ROUGH])
    found = waiting_times(over(plan, record, steps_of(2, 2, apart=False)))
    assert len(found.blocks) == 1
    assert (found.waits[0, :6] / HOUR).tolist() == [5, 4, 3, 2, 1, 0]
    assert np.isinf(found.waits[0, 6:]).all()


def test_contingency_is_held_and_not_used(plan: Plan, make: Maker) -> None:
    """One hour planned and two of contingency need three hours of calm; the next step is ready after one."""
    step = OperationStep(Operation(kind="drilling", duration=HOUR), contingency=2 * HOUR, interruptible=True)
    record = make([CALM] * 5 + [ROUGH] * 4)
    found = waiting_times(over(plan, record, Campaign((step, step))))
    assert found.waits[:, 0].tolist() == [0.0, 0.0]
    assert found.finished[0] == 2 * HOUR
    assert found.waits[0, 1] == 0.0
    assert math.isinf(found.waits[1, 1])


def test_what_is_missing_or_in_a_gap_is_no_calm(plan: Plan, make: Maker) -> None:
    """No start holds across a missing sea, nor across a gap of a week."""
    record = make([CALM, CALM, math.nan, CALM, CALM, CALM])
    assert (waiting_times(over(plan, record, steps_of(2))).waits[0, :4] / HOUR).tolist() == [3, 2, 1, 0]
    record = make([CALM] * 4 + [CALM] * 3, gaps=[1])
    waits = waiting_times(over(plan, record, steps_of(2))).waits[0]
    assert waits[0] == record.elapsed[2]
    assert waits[2] == 0.0


def test_months_are_those_of_the_start(plan: Plan, make: Maker) -> None:
    """Rough through January, calm from February on: ready on the n-th hour of January waits for the rest of it."""
    hours = 31 * 24
    record = make([ROUGH] * hours + [CALM] * (28 * 24), start="2027-01-01T00:00:00")
    found = waiting_times(over(plan, record, steps_of(3)))
    january, february = found.months
    assert (january.name, february.name) == ("Jan", "Feb")
    waits = sorted(float(hours - hour) for hour in range(hours))
    assert january.p50 / HOUR == waits[math.ceil(0.5 * hours) - 1]
    assert january.p90 / HOUR == waits[math.ceil(0.9 * hours) - 1]
    assert february.p50 == 0.0
    assert february.unfinished == pytest.approx(3 / (28 * 24))
    assert january.done_p50 == january.p50 + 3 * HOUR


def test_a_diagram_tells_no_waiting_and_no_spells(plan: Plan) -> None:
    diagram = Scatter("Tp", np.array([0.0, 1.0]), np.array([8.0, 10.0]), (ScatterPart(np.ones((1, 1))),))
    found = operability(plan, seas_of_scatter(plan, diagram))
    for ask in (waiting_times, persistence):
        with pytest.raises(InputError, match="does not say what follows what"):
            ask(found)


def test_spells_by_hand(plan: Plan, make: Maker) -> None:
    """Calm 0-2, rough 3-4, calm 5, rough 6-8, unknown 9, calm 10-11, a gap, calm 12-13."""
    heights = [CALM] * 3 + [ROUGH] * 2 + [CALM] + [ROUGH] * 3 + [math.nan] + [CALM] * 4
    found = persistence(over(plan, make(heights, gaps=[11])))
    assert (found.workable.lengths / HOUR).tolist() == [2, 0, 1, 1]
    assert found.workable.cut.tolist() == [True, False, True, True]
    assert (found.over.lengths / HOUR).tolist() == [
        3,
        3,
    ]  # from the calm before to the calm after; then to the last
    assert found.over.cut.tolist() == [False, True]
    assert found.workable.count == 4
    assert found.workable.mean == HOUR
    assert found.workable.p90 == found.workable.longest == 2 * HOUR
    assert found.workable.longer_than(np.array([0.0, 1.0, 1.5, 2.0, 2.1]) * HOUR).tolist() == [
        1,
        0.75,
        0.25,
        0.25,
        0,
    ]


def test_no_spell_has_no_length(plan: Plan, make: Maker) -> None:
    found = persistence(over(plan, make([CALM] * 3)))
    assert found.over.count == 0
    assert all(math.isnan(one) for one in (found.over.mean, found.over.p90, found.over.longest))
    assert np.isnan(found.over.longer_than(np.array([0.0]))).all()


def test_spells_by_counting_one_by_one(plan: Plan, make: Maker) -> None:
    chance = np.random.default_rng(3)
    heights = chance.choice([CALM, ROUGH, math.nan], size=300, p=[0.6, 0.35, 0.05])
    result = over(plan, make(heights))
    state = result.steps[0].state
    for of, found in ((1, persistence(result).workable), (0, persistence(result).over)):
        lengths, start = [], None
        for place in range(301):
            here = place < 300 and state[place] == of
            if here and start is None:
                start = place
            if start is not None and not here:
                before = of == 0 and start > 0 and state[start - 1] != -1
                after = of == 0 and place < 300 and state[place] != -1
                lengths.append(place - 1 - start + before + after)
                start = None
        assert (found.lengths / HOUR).tolist() == lengths


@pytest.mark.parametrize(("share", "value"), [(0.1, 1), (0.5, 5), (0.9, 9), (0.91, 10), (1.0, 10)])
def test_not_exceeded_is_an_order_statistic(share: float, value: float) -> None:
    assert not_exceeded(np.array([10.0, 3, 1, 2, 5, 4, 6, 9, 8, 7]), share) == value


def test_spells_hold_their_own_figures() -> None:
    spells = Spells(np.array([5.0, 1.0]), np.array([True, False]))
    assert (spells.count, spells.mean, spells.longest) == (2, 3.0, 5.0)
