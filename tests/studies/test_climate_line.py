"""Line work of a year: against the work of each sea alone, by hand."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

import heave
from heave.files.rigs import demo_compensators
from heave.judging.line_record import heave_work_over
from heave.planning import Operation, Plan
from heave.planning.ranges import CLOSED
from heave.planning.task import plan_for
from heave.studies.climate import operability
from heave.studies.climate_seas import seas_of_record, seas_of_scatter
from heave.studies.line_years import line_year
from heave.studies.scatter import Scatter, ScatterPart
from heave.weather.forecast import Forecast

Maker = Callable[..., Forecast]


@pytest.fixture(scope="module")
def drawn() -> Plan:
    """The demo plan on a drawworks that compensates."""
    unit = next(one for one in demo_compensators().values() if one.is_drawworks)
    plan = heave.demo_plan().changed(compensator=unit, ranges=CLOSED)
    return plan.changed(operation=Operation(kind="drilling", duration=3600.0))


def test_line_work_of_a_record_is_the_mean_of_what_is_worked(drawn: Plan, make: Maker) -> None:
    """Of five hours three are worked; their mean work an hour, 3/5 of a year long."""
    seas = seas_of_record(drawn, make([0.6, 0.9, 12.0, np.nan, 0.3]))
    step = operability(drawn, seas).steps[0]
    assert step.workable.tolist() == [True, True, False, False, True]
    found = line_year(drawn, seas, step)
    assert found is not None
    own = plan_for(drawn, step.asked.task)
    each = [heave_work_over(own, seas.batch.take(np.array([place])), 3600.0) for place in (0, 1, 4)]
    mean = sum(one[0] for one in each if one) / 3
    assert mean > 0
    assert found.hourly == pytest.approx(mean, rel=1e-6)
    assert found.hours == pytest.approx(0.6 * 365.2425 * 24)
    assert found.yearly == pytest.approx(found.hourly * found.hours)


def test_line_work_of_a_diagram_weighs_its_classes_and_headings(drawn: Plan) -> None:
    cells = np.array([[3.0, 1.0]])
    parts = (ScatterPart(cells, 90.0), ScatterPart(2 * cells, 180.0))
    diagram = Scatter("Tp", np.array([0.4, 0.6]), np.array([8.0, 9.0, 11.0]), parts)
    seas = seas_of_scatter(drawn, diagram, split=1)
    step = operability(drawn, seas, "head").steps[0]
    assert step.workable.all()
    found = line_year(drawn, seas, step)
    assert found is not None
    own, total = plan_for(drawn, step.asked.task), 0.0
    for place, heading in enumerate((90.0, 90.0, 180.0, 180.0)):
        alone = heave_work_over(own.changed(heading=heading), seas.batch.take(np.array([place])), 3600.0)
        assert alone is not None
        total += seas.weight[place] * alone[0]
    assert found.hourly == pytest.approx(total, rel=1e-6)


def test_no_line_work_without_a_drawworks_or_without_work(drawn: Plan, make: Maker) -> None:
    plan = heave.demo_plan()
    seas = seas_of_record(plan, make([0.5]))
    assert line_year(plan, seas, operability(plan, seas).steps[0]) is None
    rough = seas_of_record(drawn, make([14.0]))
    assert line_year(drawn, rough, operability(drawn, rough).steps[0]) is None


def test_many_seas_are_sampled(drawn: Plan, make: Maker, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every third of a record that repeats after two hours has the same mean."""
    seas = seas_of_record(drawn, make([0.5, 0.9] * 30))
    step = operability(drawn, seas).steps[0]
    every = line_year(drawn, seas, step)
    monkeypatch.setattr("heave.studies.line_years.LINE_SEAS", 20)
    some = line_year(drawn, seas, step)
    assert every is not None
    assert some is not None
    assert some.hourly == pytest.approx(every.hourly, rel=1e-6)
