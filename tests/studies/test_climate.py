"""Operability: against sums by hand, one sea at a time; classes that are divided; headings; what is not known."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.judging import CHECK_NAMES, OVER, assess
from heave.planning import Campaign, Operation, OperationStep, Plan
from heave.planning.ranges import CLOSED
from heave.planning.task import Task, plan_for
from heave.sea import SeaState, WaveSystem, peak_periods
from heave.studies import climate
from heave.studies.climate import UNKNOWN, WORKABLE, operability
from heave.studies.climate_headings import HEADING_RULES, first_heading
from heave.studies.climate_seas import seas_of_record, seas_of_scatter
from heave.studies.record_classes import classes_of_record
from heave.studies.scatter import Scatter, ScatterPart
from heave.weather.evaluation import judged
from heave.weather.forecast import Forecast

HOUR = 3600.0
Maker = Callable[..., Forecast]
HS, TZ = np.array([0.0, 2.0, 4.0, 6.0]), np.array([5.0, 7.0, 9.0, 11.0])
CELLS = np.array([[10.0, 20.0, 5.0], [3.0, 30.0, 12.0], [0.0, 8.0, 12.0]])


@pytest.fixture(scope="module")
def three() -> Scatter:
    """Three heights by three periods, a hundred seas."""
    return Scatter("Tz", HS, TZ, (ScatterPart(CELLS),))


def judged_alone(plan: Plan, hs: float, tz: float, direction: float, heading: float) -> heave.Assessment:
    """One sea through the assessment of the check page, Tz to Tp by the spectrum's own moments."""
    first = plan.sea.systems[0]
    tp = float(peak_periods([tz], "Tz", "jonswap", [hs])[0])
    system = WaveSystem(hs, tp, direction_from=direction, spreading_exponent=first.spreading_exponent)
    task = Task.of(plan.campaign.steps[0], plan)
    return assess(plan_for(plan, task).changed(sea=SeaState((system,), plan.sea.depth), heading=heading))


def test_operability_is_a_sum_by_hand(plan: Plan, three: Scatter) -> None:
    """Every class by its middle, judged alone by the assessment: weights summed by verdict and by governing check."""
    whence = plan.sea.systems[0].direction_from
    workable, governs, over = 0.0, dict[str, float](), dict[str, float]()
    for row, hs in enumerate((1.0, 3.0, 5.0)):
        for column, tz in enumerate((6.0, 8.0, 10.0)):
            result = judged_alone(plan, hs, tz, whence, plan.heading)
            weight = CELLS[row, column] / 100.0
            if result.verdict != OVER:
                workable += weight
                continue
            key = result.governing.key  # type: ignore[union-attr]
            governs[key] = governs.get(key, 0.0) + weight
            for check in result.checks:
                if check.utilisation >= 1:
                    over[check.key] = over.get(check.key, 0.0) + weight
    found = operability(plan, seas_of_scatter(plan, three, split=1)).steps[0]
    assert 0.1 < workable < 0.95
    assert found.shares.workable == pytest.approx(workable, abs=1e-12)
    assert found.shares.over == pytest.approx(1 - workable, abs=1e-12)
    assert found.shares.unknown == 0.0
    assert {one.key: one.governs for one in found.checks if one.governs} == pytest.approx(governs)
    assert {one.key: one.over for one in found.checks if one.over} == pytest.approx(over)
    assert found.classes is not None
    assert found.classes.low == found.classes.centre == found.classes.high == pytest.approx(workable)


def test_costs_of_checks_add_up_and_are_ordered(plan: Plan, three: Scatter) -> None:
    found = operability(plan, seas_of_scatter(plan, three)).steps[0]
    assert sum(one.governs for one in found.checks) == pytest.approx(found.shares.over)
    assert all(one.alone <= one.over + 1e-12 and one.governs <= one.over + 1e-12 for one in found.checks)
    costs = [one.governs for one in found.checks]
    assert costs == sorted(costs, reverse=True)
    assert all(one.name == CHECK_NAMES[one.key] for one in found.checks)


def test_what_a_check_costs_alone_is_won_when_it_is_met(plan: Plan, three: Scatter) -> None:
    """A limit of heave by the rig that is over alone: without it just that share is won."""
    limited = plan.changed(operation=replace(plan.operation, heave_limit=1.0))
    seas = seas_of_scatter(plan, three)
    with_limit, without = (operability(one, seas).steps[0] for one in (limited, plan))
    cost = next(one for one in with_limit.checks if one.key == "heave_limit")
    assert cost.alone > 0
    assert without.shares.workable - with_limit.shares.workable == pytest.approx(cost.alone, abs=1e-12)


def test_dividing_classes_converges_between_its_bounds(plan: Plan, three: Scatter) -> None:
    """Parts of 1/3, 1/9 and 1/25 of a class: the share settles, the bounds stand around it and only widen."""
    found = [operability(plan, seas_of_scatter(plan, three, split=split)).steps[0] for split in (1, 3, 9, 25)]
    shares = [one.shares.workable for one in found]
    assert abs(shares[2] - shares[3]) < 0.012
    assert abs(shares[2] - shares[3]) < abs(shares[0] - shares[3])
    for one in found:
        assert one.classes is not None
        assert one.classes.low <= one.shares.workable + 1e-12
        assert one.shares.workable <= one.classes.high + 1e-12
        assert one.classes.centre == pytest.approx(shares[0], abs=1e-12)
    finest = found[-1].classes
    assert finest is not None
    assert finest.high - finest.low > 0.1  # where in a class the seas are matters


def test_each_class_has_its_own_share(plan: Plan, three: Scatter) -> None:
    found = operability(plan, seas_of_scatter(plan, three)).steps[0]
    classes = found.classes
    assert classes is not None
    np.testing.assert_allclose(classes.weight, CELLS / 100.0)
    known = CELLS > 0
    np.testing.assert_allclose((classes.workable + classes.over + classes.unknown)[known], 1.0)
    assert np.isnan(classes.workable[~known]).all()
    total = float(np.nansum(classes.workable * classes.weight))
    assert total == pytest.approx(found.shares.workable)
    assert classes.workable[0, 0] == 1.0
    assert classes.over[2, 2] > 0.9


def test_what_cannot_be_judged_is_never_workable(plan: Plan, three: Scatter) -> None:
    """A limit the operation needs and the rig has not given: calm seas are not assessed, rough ones are over."""
    landing = plan.changed(operation=Operation(kind="landing", duration=4 * HOUR))
    assert landing.operation.missing
    found = operability(landing, seas_of_scatter(landing, three))
    step = found.steps[0]
    assert step.shares.workable == 0.0
    assert step.shares.unknown > 0.0
    assert step.shares.workable + step.shares.over + step.shares.unknown == pytest.approx(1.0)
    assert any("is not assessed" in note for note in found.notes)


def test_a_missing_sea_counts_as_not_assessed(plan: Plan, make: Maker) -> None:
    found = operability(plan, seas_of_record(plan, make([0.8, 0.8, math.nan, 9.0]))).steps[0]
    assert found.state.tolist() == [WORKABLE, WORKABLE, UNKNOWN, climate.OVER]
    assert (found.shares.workable, found.shares.over, found.shares.unknown) == (0.5, 0.25, 0.25)
    assert found.shares.of_known == pytest.approx(2 / 3)


def test_a_wind_limit_is_not_known_in_a_diagram(plan: Plan, three: Scatter) -> None:
    campaign = Campaign((OperationStep(plan.operation, wind_limit=15.0),))
    found = operability(plan, seas_of_scatter(plan, three), campaign=campaign).steps[0]
    assert found.shares.workable == 0.0


def test_months_are_shares_of_their_own_time(plan: Plan, make: Maker) -> None:
    """All of January calm, half of February rough."""
    heights = [0.8] * (31 * 24) + [0.8, 9.0] * (14 * 24)
    found = operability(plan, seas_of_record(plan, make(heights, start="2027-01-01T00:00:00"))).steps[0]
    january, february = found.months[:2]
    assert january is not None
    assert february is not None
    assert january.workable == pytest.approx(1.0)
    assert february.workable == pytest.approx(0.5)
    assert found.months[2:] == (None,) * 10


def test_matrices_of_months_and_sectors_keep_theirs(plan: Plan) -> None:
    calm, rough = np.zeros((3, 3)), np.zeros((3, 3))
    calm[0, 1], rough[2, 2] = 30.0, 10.0
    parts = (ScatterPart(calm, 30.0, 1), ScatterPart(rough, 30.0, 2), ScatterPart(calm, 200.0, 2))
    found = operability(plan, seas_of_scatter(plan, Scatter("Tz", HS, TZ, parts)), "head").steps[0]
    january, february = found.months[:2]
    assert january is not None
    assert february is not None
    assert january.workable == 1.0
    assert february.workable == pytest.approx(0.75)
    assert set(found.heading.tolist()) == {30.0, 200.0}


def test_years_are_spread_and_short_ones_left_out(plan: Plan, make: Maker) -> None:
    """Four years, calm for a share of each that is known; a fifth that lasts one month does not count."""
    heights: list[float] = []
    for share in (0.2, 0.4, 0.6, 0.8):
        calm = round(share * 365)
        heights += [0.8] * calm + [9.0] * (365 - calm)
    heights += [0.8] * 31
    record = make(heights, start="2025-01-01T00:00:00", step=86400.0)
    spread = operability(plan, seas_of_record(plan, record)).steps[0].years
    assert spread is not None
    assert spread.years == (2025, 2026, 2027, 2028)
    assert spread.shares == pytest.approx((0.2, 0.4, 0.6, 0.8), abs=0.004)
    assert spread.p50 == pytest.approx(0.5, abs=0.004)
    assert spread.p10 == pytest.approx(0.26, abs=0.004)
    assert spread.p90 == pytest.approx(0.74, abs=0.004)


def test_headings_are_never_worse_the_freer_they_are(three: Scatter) -> None:
    plan = heave.demo_plan().changed(heading=120.0, ranges=CLOSED)
    seas = seas_of_scatter(plan, three)
    found = {rule: operability(plan, seas, rule).steps[0] for rule in HEADING_RULES}
    shares = {rule: one.shares.workable for rule, one in found.items()}
    assert shares["fixed"] < shares["head"] <= shares["sector"] <= shares["best"]
    assert (found["best"].workable >= found["fixed"].workable).all()
    off = (found["sector"].heading - 225.0 + 180) % 360 - 180
    assert np.abs(off).max() <= plan.weather.sector + 1e-9


def test_the_best_heading_is_the_best_of_trying_each(three: Scatter) -> None:
    """Every sea on each of 36 headings and the plan's: workable by the rule where it is on any of them."""
    plan = heave.demo_plan().changed(heading=120.0, ranges=CLOSED)
    seas = seas_of_scatter(plan, three, split=3)
    each = [
        operability(plan.changed(heading=bow), seas).steps[0].workable
        for bow in (*range(0, 360, 10), 120.0, 225.0)
    ]
    assert operability(plan, seas, "best").steps[0].workable.tolist() == np.any(each, axis=0).tolist()


def test_a_sector_about_a_heading_holds_the_bow(three: Scatter) -> None:
    plan = heave.demo_plan().changed(ranges=CLOSED)
    plan = plan.changed(weather=replace(plan.weather, sector_middle=100.0, sector=20.0))
    seas = seas_of_scatter(plan, three)
    assert set(first_heading(plan, seas.batch, "sector").tolist()) == {120.0}
    heading = operability(plan, seas, "sector").steps[0].heading
    assert np.abs((heading - 100.0 + 180) % 360 - 180).max() <= 20.0 + 1e-9


def test_a_step_with_its_own_heading_keeps_it(plan: Plan, three: Scatter) -> None:
    campaign = Campaign((OperationStep(plan.operation, heading=40.0), OperationStep(plan.operation)))
    seas = seas_of_scatter(plan, three)
    found = operability(plan, seas, "best", campaign)
    alone = operability(plan.changed(heading=40.0), seas).steps[0]
    assert set(found.steps[0].heading.tolist()) == {40.0}
    assert found.steps[0].shares == alone.shares
    assert found.all_steps.workable <= min(one.shares.workable for one in found.steps)


def test_doubt_is_what_the_worst_of_the_ranges_closes(
    three: Scatter, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Against judging with the ranges outright, on all seas and on every second one."""
    plan = heave.demo_plan()
    seas = seas_of_scatter(plan, three, split=9)
    (table,) = judged(plan, seas.batch, climate._asked(plan, seas, plan.campaign)).values()
    inside = table.inside
    expected = float(seas.weight[inside & ~table.sure].sum() / seas.weight[inside].sum())
    assert operability(plan, seas).steps[0].doubtful == pytest.approx(expected, abs=1e-12)
    monkeypatch.setattr(climate, "DOUBT_SEAS", int(inside.sum() / 2) + 1)
    assert operability(plan, seas).steps[0].doubtful == pytest.approx(expected, abs=0.06)


def test_progress_runs_to_the_end_and_can_stop(plan: Plan, three: Scatter) -> None:
    told: list[float] = []
    operability(plan, seas_of_scatter(plan, three), "best", progress=told.append)
    assert told == sorted(told)
    assert told[-1] == pytest.approx(1.0)

    def stop(share: float) -> None:
        raise heave.weather.CancelledError

    with pytest.raises(heave.weather.CancelledError):
        operability(plan, seas_of_scatter(plan, three), progress=stop)


def test_a_record_falls_into_classes_that_hold_its_shares(plan: Plan, make: Maker) -> None:
    """Six samples of 9 s: two of 0.5 m, one of 1.5 m, two of 9.2 m, one missing and in no class."""
    seas = seas_of_record(plan, make([0.5, 0.5, 1.5, 9.2, 9.2, math.nan]))
    step = operability(plan, seas).steps[0]
    hs, tp, shares = classes_of_record(seas, step)
    assert hs.tolist() == list(range(11))
    assert tp.tolist() == list(range(11))
    assert shares.weight[:, 9].tolist() == pytest.approx([2 / 6, 1 / 6, 0, 0, 0, 0, 0, 0, 0, 2 / 6])
    assert shares.weight.sum() == pytest.approx(5 / 6)
    assert (shares.workable[0, 9], shares.workable[1, 9], shares.over[9, 9]) == (1.0, 1.0, 1.0)
    assert math.isnan(shares.workable[2, 9])
    assert float(np.nansum(shares.workable * shares.weight)) == pytest.approx(step.shares.workable)


def test_a_record_says_of_what_time_it_has_nothing(plan: Plan, make: Callable[..., Forecast]) -> None:
    """Rows that are not in the file are in no share, so the missing winter has to be in the words."""
    week = make([0.8] * 168, start="2027-07-01T00:00:00")
    (one,) = seas_of_record(plan, week).lacking
    assert one == (
        "No samples in Jan, Feb, Mar, Apr, May, Jun, Aug, Sep, Oct, Nov, Dec: nothing here is of a whole year."
    )
    gap = np.zeros(167, dtype=np.bool_)
    gap[99] = True
    times = week.times.copy()
    times[100:] += np.timedelta64(168, "h")
    (first, _) = seas_of_record(plan, replace(week, times=times, gap_after=gap)).lacking
    assert first.startswith("Gaps: 1, 50\u00a0% of the time")
    years = make([0.8] * (8 * 1096), step=3 * HOUR, start="2026-01-01T00:00:00")
    assert seas_of_record(plan, years).lacking == ()
    more = make([0.8] * (8 * 550), step=3 * HOUR, start="2026-01-01T00:00:00")
    (uneven,) = seas_of_record(plan, more).lacking
    assert uneven.startswith(
        "Months are not alike on record, Sep has 5.5\u00a0% of the samples and Jan 11\u00a0%"
    )
