"""The forces of one step by hand: an active part late and limited, a drive brought back, and the cushions."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from heave.compensator.time_domain.stepping import CORRECTION, TAPER, Stepper

DO = SimpleNamespace(
    within=np.clip,
    signed=lambda size, like: size * np.sign(like),
    positive=lambda value: np.maximum(value, 0.0),
)


def active(**given: Any) -> Any:
    about = {
        "_do": DO, "_active_limits": (100.0, 2.0), "_whole": 2, "_part": 0.25, "_lag": (0.5, 0.2, 0.3),
        "_passed": [10.0, 20.0, 40.0], "_followed": 8.0, "_came": 5.0, "gain": 0.9,
    }  # fmt: skip
    return SimpleNamespace(**about | given)


def test_an_active_part_follows_a_force_that_has_passed() -> None:
    """Two and a quarter steps ago: 0.75 × 20 + 0.25 × 10; then a lag of first order, and the gain against it."""
    part = active()
    before = 0.75 * 20.0 + 0.25 * 10.0
    followed = 0.5 * 8.0 + 0.2 * 5.0 + 0.3 * before
    assert Stepper._active(part, 70.0, 1.0) == pytest.approx(-0.9 * followed)
    assert (part._followed, part._came) == pytest.approx((followed, before))
    at_once = active(_whole=0, _part=0.0, _lag=(0.0, 0.0, 1.0))
    assert Stepper._active(at_once, 70.0, -1.0) == pytest.approx(-63.0)


def test_an_active_part_has_limits_of_force_and_speed() -> None:
    """Full to its speed limit, either way, none past it by the taper; no more than its force."""
    for speed, share in (
        (0.0, 1.0),
        (2.0, 1.0),
        (-2.0, 1.0),
        (2.0 * (1 + TAPER / 2), 0.5),
        (-2.0 * (1 + TAPER), 0.0),
    ):
        part = active(_whole=0, _part=0.0, _lag=(0.0, 0.0, 1.0))
        assert Stepper._active(part, 50.0, speed) == pytest.approx(-45.0 * share, abs=1e-9)
    for passive, force in ((1000.0, -100.0), (-1000.0, 100.0)):
        part = active(_whole=0, _part=0.0, _lag=(0.0, 0.0, 1.0))
        assert Stepper._active(part, passive, 0.0) == force


def drive(loss: float | None = None) -> Any:
    return SimpleNamespace(
        _do=DO, _active_limits=(1e3, 2.0), friction=7.0, has_loss=loss is not None, _each=lambda value: value,
        case=SimpleNamespace(hydraulic_loss=loss), _unit=SimpleNamespace(hook_speed=0.01),
    )  # fmt: skip


def test_a_drive_brings_the_travel_back_within_a_fifth_of_a_second() -> None:
    """It asks for the speed wanted and what is short over 0.2 s, no more than its limit, against friction and loss."""
    assert CORRECTION == 0.2
    for off, wanted, asked in ((0.1, 0.4, 0.9), (-0.1, 0.4, -0.1), (1.0, 0.4, 2.0), (-1.0, 0.0, -2.0)):
        for loss in (None, 3.0):
            rub = 7.0 * np.sign(asked) + (loss or 0.0) * asked * abs(asked)
            found = Stepper._driving(drive(loss), 0.5, off, wanted)
            assert found == pytest.approx((0.5 - asked) / 0.01 - rub)
    assert Stepper._driving(drive(), 50.0, 0.0, 0.0) == 1e3
    assert Stepper._driving(drive(), -50.0, 0.0, 0.0) == -1e3


@pytest.mark.parametrize(("travel", "side"), [(3.2, 1.0), (-3.2, -1.0), (2.9, 0.0), (-2.9, 0.0)])
def test_a_cushion_pushes_back_at_its_own_end(travel: float, side: float) -> None:
    """k × (past the end) + c × speed, over 1 + k h + c s, what the hook gives way in the step; friction as it was."""
    k, c, h, s = 1e6, 2e4, 1e-8, 1e-6
    unit = SimpleNamespace(hook_cross=1e-7, hook_speed=s, hook_place=h)
    stepper: Any = SimpleNamespace(_do=DO, _unit=unit, half=3.0, friction=5e3, _ends=(k, c))
    speed, smooth, rub, excess = side * 0.5, 2e4, 9e3, 1e4
    force = smooth + 5e3
    past, fast = travel - h * force, speed + 1e-7 * excess - s * force
    expected = side * max(k * (abs(past) - 3.0) + side * c * fast, 0.0) / (1 + k * h + c * s)
    assert Stepper._stop(stepper, travel, speed, smooth, rub, excess) == pytest.approx(expected)
