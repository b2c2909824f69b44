"""A period whose kind nobody knows: of every hour the kind that is worst for the plan, wherever its bow may point."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from heave.files.forecast.questions import suggest_mapping
from heave.files.forecast.unsure import readings_of
from heave.files.rigs import demo_plan
from heave.judging import utilisations
from heave.planning import Campaign, OperationStep, Plan
from heave.planning.columns import UNSURE
from heave.planning.ranges import CLOSED
from heave.weather import EnsembleForecast, Forecast
from heave.weather.evaluation import CancelledError
from heave.weather.worst import worst_reading

HOURS = 60


def text_of(members: int = 0) -> bytes:
    """Seas of changing height, period and direction, the kind of period not said."""
    chance = np.random.default_rng(5)
    head = "time_utc,hs_m,period_s,direction_from_deg" + (",member" if members else "")
    rows = []
    for run in range(max(members, 1)):
        for hour in range(HOURS):
            height, period, way = chance.uniform(1, 5), chance.uniform(3, 16), chance.integers(360)
            when = f"2026-03-{1 + hour // 24:02d}T{hour % 24:02d}:00Z"
            rows.append(f"{when},{height:.1f},{period:.1f},{way}" + (f",{run}" if members else ""))
    return "\n".join([head, *rows]).encode()


def readings(members: int = 0) -> tuple[Any, ...]:
    data = text_of(members)
    guess = suggest_mapping(data).mapping
    columns = (replace(one, period_kind=UNSURE) if one.quantity == "period" else one for one in guess.columns)
    return readings_of(data, replace(guess, columns=tuple(columns)))


def asked(**choices: Any) -> Plan:
    plan = demo_plan()
    return plan.changed(weather=plan.weather.but(**choices))


def governing(plan: Plan, reading: Forecast, heading: float) -> np.ndarray[Any, Any]:
    batch = reading.with_depth(plan.sea.depth).batch
    found: np.ndarray[Any, Any] = utilisations(plan.changed(ranges=CLOSED), batch, heading).governing
    return found


def periods(found: Forecast) -> np.ndarray[Any, Any]:
    return np.array([found.sea_state(hour).systems[0].tp for hour in range(found.size)])


def apart(one: float, other: float) -> float:
    return abs((one - other + 180) % 360 - 180)


@pytest.mark.parametrize("sector", [20.0, 60.0, 180.0])
def test_where_the_vessel_may_choose_every_heading_it_may_take_counts(sector: float) -> None:
    """Against a plain loop over hours and headings; the sea is of one system, so the sector is about its direction."""
    plan, kinds = asked(heading="best", sector=sector), readings()
    assert len(kinds) == 4
    found = worst_reading(plan, kinds)
    assert isinstance(found, Forecast)
    own = 0
    tables = {
        heading: [governing(plan, kind, heading) for kind in kinds]
        for heading in (*range(0, 360, 10), plan.heading)
    }
    fixed = [governing(plan, kind, plan.heading) for kind in kinds]
    for hour in range(HOURS):
        way = float(kinds[0].batch.slots[0].direction_from[hour])
        may = [one for one in range(0, 360, 10) if apart(one, way) <= sector + 1e-9]
        highest = [max(tables[one][kind][hour] for one in (*may, plan.heading)) for kind in range(4)]
        chosen = int(np.argmax(highest))
        own += chosen != int(np.argmax([table[hour] for table in fixed]))
        assert periods(found)[hour] == pytest.approx(periods(kinds[chosen])[hour])
    assert own, "on its own heading alone another kind would have been the worst"
    assert "any heading that it may take" in found.notes[-1]


def test_a_steps_own_heading_and_its_wait_count() -> None:
    """A step on the beam, and one that waits in a state that needs calm: each decides by itself."""
    plan, kinds = demo_plan(), readings()
    beam = OperationStep(
        plan.operation, heading=plan.heading + 90.0 - 360.0 * (plan.heading >= 270), contingency=0.0
    )
    turned = plan.changed(weather=plan.weather.but(campaign=Campaign((beam,))))
    found = worst_reading(turned, kinds)
    assert isinstance(found, Forecast)
    tables = [governing(plan, kind, float(beam.heading or 0.0)) for kind in kinds]
    expected = np.choose(np.argmax(tables, axis=0), [periods(kind) for kind in kinds])
    assert periods(found) == pytest.approx(expected)
    waits = replace(plan.doing("waiting").operation, heave_limit=0.05)
    step = OperationStep(plan.operation, interruptible=True, waits_in=waits, make_safe=600.0, contingency=0.0)
    calm = worst_reading(plan.changed(weather=plan.weather.but(campaign=Campaign((step,)))), kinds)
    assert isinstance(calm, Forecast)
    held = plan.changed(operation=waits)
    both = [
        np.maximum(governing(plan, kind, plan.heading), governing(held, kind, plan.heading)) for kind in kinds
    ]
    expected = np.choose(np.argmax(both, axis=0), [periods(kind) for kind in kinds])
    assert periods(calm) == pytest.approx(expected)
    alone = worst_reading(plan, kinds)
    assert isinstance(alone, Forecast)
    assert not np.allclose(periods(calm), periods(alone))


def test_members_are_judged_on_the_plans_heading_as_they_are_searched() -> None:
    kinds = readings(2)
    found = worst_reading(asked(heading="best", sector=180.0), kinds)
    assert isinstance(found, EnsembleForecast)
    for place, member in enumerate(found.members):
        series = [kind.members[place] for kind in kinds]
        tables = [governing(demo_plan(), one, demo_plan().heading) for one in series]
        expected = np.choose(np.argmax(tables, axis=0), [periods(one) for one in series])
        assert periods(member) == pytest.approx(expected)
    assert "on the plan's heading" in found.notes[-1]


def test_its_progress_runs_to_the_end_and_can_stop_it() -> None:
    shares: list[float] = []
    worst_reading(demo_plan(), readings(), shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0)

    def stop(share: float) -> None:
        raise CancelledError

    with pytest.raises(CancelledError):
        worst_reading(demo_plan(), readings(), stop)
