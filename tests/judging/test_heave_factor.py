"""A factor on the heave is a higher sea: where the shape of the sea stays, every figure of a unit is alike."""

from __future__ import annotations

import pytest
from plain_plans import sea
from test_small_parts import plan_of

from heave.judging.demands import demands
from heave.planning.ranges import CLOSED

FIGURES = (
    "heave",
    "stroke",
    "residual",
    "elastic",
    "linear_speed",
    "stroke_level",
    "stroke_velocity",
    "locked",
)


@pytest.mark.parametrize("unit", ["passive", "active"])
@pytest.mark.parametrize("kind", ["drilling", "landing"])
@pytest.mark.parametrize("factor", [0.8, 1.25])
def test_a_factor_on_the_heave_and_one_on_the_height_come_to_the_same(
    factor: float, kind: str, unit: str
) -> None:
    given = {"ranges": CLOSED}
    heaved = plan_of(kind, unit, heave_calibration=factor, **given)
    higher = plan_of(kind, unit, sea=sea((2.0 * factor, 9.0)), **given)
    one, other = (demands(plan, plan.sea.batch()) for plan in (heaved, higher))
    told = 0
    for name in FIGURES:
        values = [getattr(found, name) for found in (one, other)]
        if values[0] is None:
            assert values[1] is None, name
            continue
        told += 1
        made, wanted = (float(getattr(value, "level", value)[0]) for value in values)
        assert made == pytest.approx(wanted, rel=1e-5), name
    assert told >= 6
