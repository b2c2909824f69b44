"""The heave calibration multiplies the heave at the hoist, everywhere and once, and is told of."""

from __future__ import annotations

import numpy as np
import pytest

from heave.errors import InputError
from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_plan
from heave.judging import assess, utilisations
from heave.planning import Operation
from heave.planning.plan import CALIBRATION_RANGE
from heave.planning.ranges import CLOSED, Ranges
from heave.simulation.simulate import regular_wave_heave, simulate


def test_heave_and_its_speed_follow_the_factor() -> None:
    plan = demo_plan()
    before, after = assess(plan).responses, assess(plan.changed(heave_calibration=1.2)).responses
    assert after.heave.sigma == pytest.approx(1.2 * before.heave.sigma, rel=1e-6)
    assert after.velocity.level == pytest.approx(1.2 * before.velocity.level, rel=1e-6)
    assert after.heave.period == pytest.approx(before.heave.period, rel=1e-6)
    seen = np.isfinite(before.transfer)
    assert after.transfer[seen] == pytest.approx(1.2 * before.transfer[seen], rel=1e-6)


def test_many_seas_take_it_as_one_sea_does() -> None:
    plan = demo_plan().changed(heave_calibration=0.8)
    one = assess(plan)
    many = utilisations(plan, plan.sea.batch())
    assert many.heave_sigma[0] == pytest.approx(one.responses.heave.sigma, rel=1e-6)
    for check in one.checks:
        assert many.by_check[check.key][0] == pytest.approx(check.utilisation, rel=1e-6, nan_ok=True)


def test_the_simulated_heave_takes_it_too() -> None:
    plan = demo_plan()
    larger = plan.changed(heave_calibration=1.25)
    assert simulate(larger, 20.0).heave == pytest.approx(1.25 * simulate(plan, 20.0).heave, rel=1e-9)
    waves = [regular_wave_heave(p, 3.0, 10.0, 60.0).position for p in (plan, larger)]
    assert waves[1] == pytest.approx(1.25 * waves[0], rel=1e-6)


def test_it_is_kept_in_the_plan_file_and_absent_means_one() -> None:
    plan = demo_plan().changed(heave_calibration=1.17)
    text = plan_to_json(plan)
    assert read_plan(text.encode()).heave_calibration == 1.17
    line = next(line for line in text.splitlines() if "heave_calibration" in line)
    assert read_plan(text.replace(line + "\n", "").encode()).heave_calibration == 1.0


@pytest.mark.parametrize("factor", [0.49, 1.51, 0.0, -1.0, float("nan")])
def test_it_is_bounded(factor: float) -> None:
    with pytest.raises(InputError, match="Heave calibration"):
        demo_plan().changed(heave_calibration=factor)
    for end in CALIBRATION_RANGE:
        assert demo_plan().changed(heave_calibration=end).heave_calibration == end


def test_it_is_a_caution_while_it_is_not_one() -> None:
    assert not any("calibration" in line for line in assess(demo_plan()).cautions)
    assert "calibration of 1.17" in assess(demo_plan().changed(heave_calibration=1.17)).cautions[0]


def test_the_checks_use_the_safe_end_of_a_calibration() -> None:
    plan = demo_plan()
    half = plan.changed(heave_calibration=0.5, calibration_margin=0.12)
    assert half.heave_factor == pytest.approx(0.56)
    heave = assess(plan).responses.heave.sigma
    assert assess(half).responses.heave.sigma == pytest.approx(0.56 * heave, rel=1e-6)
    many = utilisations(half, half.sea.batch())
    assert many.heave_sigma[0] == pytest.approx(0.56 * heave, rel=1e-6)
    assert simulate(half, 20.0).heave == pytest.approx(0.56 * simulate(plan, 20.0).heave, rel=1e-9)
    assert "12\u00a0% more for its length" in assess(half).cautions[0]
    assert read_plan(plan_to_json(half).encode()) == half
    for margin in (-0.01, 0.51, float("nan")):
        with pytest.raises(InputError, match="Margin of the calibration"):
            plan.changed(calibration_margin=margin)


@pytest.mark.parametrize(
    ("ranges", "words"),
    [(Ranges(heave=0.1), "± 10\u00a0%, is counted beside it"), (CLOSED, "No range of the heave is counted")],
)
def test_a_calibration_says_what_is_still_in_doubt(ranges: Ranges, words: str) -> None:
    """The range stays beside the calibration: what the checks then reach is more by as much."""
    plan = demo_plan().changed(
        heave_calibration=1.2, ranges=ranges, operation=Operation(kind="waiting", heave_limit=3.0)
    )
    result = assess(plan)
    assert any(words in caution for caution in result.cautions)
    check = result.check("heave_limit")
    assert check.high == pytest.approx(check.utilisation * (1 + ranges.heave), rel=0.01)
