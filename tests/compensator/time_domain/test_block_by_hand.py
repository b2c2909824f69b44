"""Where the block goes and how deep the hole is, against motion under steady speed and acceleration."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from heave.compensator.time_domain import Event, SimulationCase, regular_heave
from heave.compensator.time_domain.block_motion import (
    BlockMotion,
    _fed,
    _first,
    _lagged,
    _limited,
    _moved,
    block_motion,
)
from heave.compensator.time_domain.case import FEED_SPEED
from heave.compensator.time_domain.heave_motion import HeaveMotion

STEP = 0.01


def jump(size: float, top: float, change: float, seconds: float = 12.0) -> Any:
    wanted = np.full((round(seconds / STEP) + 1, 1), size)
    wanted[0] = 0.0
    place, speed = _limited(wanted, STEP, top, change)
    return place[:, 0], speed[:, 0]


@pytest.mark.parametrize("size", [4.0, -4.0])
def test_a_jump_takes_the_time_of_full_speed_between_two_ramps(size: float) -> None:
    """4 m at 1 m/s and 0.5 m/s²: 2 s up, 2 s down and 2 s between, 1 m, 2 m and 1 m."""
    place, speed = jump(size, 1.0, 0.5)
    along, fast = place * np.sign(size), speed * np.sign(size)
    for time, expected in ((1.0, 0.25), (2.0, 1.0), (3.0, 2.0), (4.0, 3.0), (5.0, 3.75)):
        assert along[round(time / STEP)] == pytest.approx(expected, abs=0.03), time
    assert along[round(6.3 / STEP)] == pytest.approx(4.0, abs=0.02)
    assert along.max() <= 4.0 + 0.02
    assert fast.max() == pytest.approx(1.0, abs=1e-9)
    assert np.abs(np.diff(place, 2)).max() / STEP**2 <= 0.5 * (1 + 1e-6)
    assert place[-1] == pytest.approx(size, abs=1e-3)


def test_without_a_limit_of_acceleration_full_speed_is_there_at_once() -> None:
    place, _ = jump(4.0, 1.0, math.inf)
    np.testing.assert_allclose(place[:401], np.arange(401) * STEP, atol=1e-9)
    np.testing.assert_allclose(place[401:], 4.0)


def test_what_is_within_the_limits_is_followed() -> None:
    time = np.arange(0.0, 20.0, STEP)[:, None]
    wanted = np.concatenate([1 - np.cos(time), 2 * (1 - np.cos(time))], axis=1)
    place, speed = _limited(wanted, STEP, 5.0, 50.0)
    np.testing.assert_allclose(place, wanted, atol=0.03)
    assert speed.shape == wanted.shape


def test_a_lag_of_first_order_behind_a_ramp_and_a_kink() -> None:
    """u = t: y = t − T (1 − e^(−t/T)), exact at any step; from 3 s on u stands, and y comes up to it."""
    pace, step = 0.8, 0.25
    time = np.arange(0, 40) * step
    ramp = np.minimum(time, 3.0)
    found = _lagged(np.stack([ramp, -2 * ramp], axis=1), pace, step)
    rising = time - (1 - np.exp(-pace * time)) / pace
    at = 3.0 - (1 - math.exp(-pace * 3.0)) / pace
    expected = np.where(time <= 3.0, rising, 3.0 - (3.0 - at) * np.exp(-pace * (time - 3.0)))
    np.testing.assert_allclose(found[:, 0], expected, atol=1e-12)
    np.testing.assert_allclose(found[:, 1], -2 * expected, atol=1e-12)


TIME = np.arange(0.0, 101.0)
RATE = 0.01


def test_feeding_off_takes_what_was_drilled_or_what_is_said() -> None:
    """At 40 s 0.4 m, at 90 s what was drilled since, 0.5 m, or an amount of its own."""
    deep = -RATE * TIME
    events = (Event("driller feeds off", 90.0), Event("driller feeds off", 40.0))
    found = _fed(TIME, deep, events)
    assert np.all(found[:41] == 0.0)
    assert found[89] == pytest.approx(-0.4)
    assert found[-1] == pytest.approx(-0.9)
    assert found[41] == pytest.approx(-min(FEED_SPEED, 0.4))
    own = (Event("driller feeds off", 40.0, amount=0.7), Event("driller feeds off", 90.0))
    assert _fed(TIME, deep, own)[-1] == pytest.approx(-0.9)
    ahead = (Event("driller feeds off", 40.0, amount=1.5), Event("driller feeds off", 90.0))
    assert _fed(TIME, deep, ahead)[-1] == pytest.approx(-1.5)
    assert not _fed(TIME, deep, ()).any()


def test_the_driller_moves_the_block_along_half_a_cosine() -> None:
    """0.8 m over 20 s: a tenth of it after 20 s × acos(0.8)/π, half after 10 s, all from 20 s on."""
    up = Event("block raised", 10.0, amount=0.8, over=20.0)
    found = _moved(TIME, (up,))
    assert np.all(found[:11] == 0.0)
    assert found[20] == pytest.approx(0.4)
    assert found[15] == pytest.approx(0.8 * (1 - math.cos(math.pi / 4)) / 2)
    np.testing.assert_allclose(found[30:], 0.8)
    down = Event("block lowered", 50.0, amount=0.3, over=10.0)
    assert _moved(TIME, (up, down))[-1] == pytest.approx(0.5)


def test_the_first_of_some_events() -> None:
    events = (Event("power lost", 30.0), Event("compensator locked", 20.0), Event("power lost", 10.0))
    assert _first(events, "power lost") == 10.0
    assert _first(events, "compensator locked") == 20.0
    assert _first(events, "compensator locked", "power lost") == 10.0
    assert _first(events, "active unit lost") == math.inf


def test_rock_between_samples_is_straight() -> None:
    zero = np.zeros((4, 1))
    motion = BlockMotion(HeaveMotion(0.1, zero, zero), np.array([[0.0], [-1.0], [-3.0], [-3.0]]))
    np.testing.assert_allclose(motion.rock(1, 2, 4)[:, 0], [-1.5, -2.0, -2.5, -3.0, -3.0, -3.0, -3.0, -3.0])


@pytest.mark.parametrize(
    ("drawworks", "locked", "share"),
    [(True, False, -0.9), (True, True, 0.0), (False, False, 0.0), (False, True, 0.0)],
)
def test_only_a_drawworks_that_is_not_locked_moves_the_block_against_the_heave(
    drawworks: bool, locked: bool, share: float
) -> None:
    """Nine tenths of a slow heave, well within its limits; an active part beside a gas spring moves the hook alone."""
    case = SimulationCase(
        load=1e6, gain=0.9, gas=not drawworks, drawworks=drawworks, locked=locked, loop="position"
    )
    heave = regular_heave(0.5, 20.0, 40.0)
    found = block_motion(heave, case, (), 0.0)
    np.testing.assert_allclose(found.offset.position, share * heave.position, atol=1e-2)
    np.testing.assert_allclose(found.offset.velocity, share * heave.velocity, atol=1e-2)
    assert (found.drive is None) == (drawworks or locked)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_heave_too_fast_one_way_alone_is_followed_no_faster_than_the_block_can(way: float) -> None:
    """1 m in a second along half a cosine, 1.57 m/s at most, and then still: a block of 0.5 m/s takes two."""
    time = np.arange(0.0, 10.0, STEP)
    share = np.clip(time - 2.0, 0.0, 1.0)
    place = way * (1 - np.cos(math.pi * share)) / 2
    heave = HeaveMotion(STEP, place[:, None], np.gradient(place, STEP)[:, None])
    case = SimulationCase(load=1e6, gain=1.0, gas=False, drawworks=True, block_speed_limit=0.5)
    found = block_motion(heave, case, (), 0.0).offset
    assert np.abs(found.velocity).max() <= 0.5 + 1e-9
    assert found.position[round(3.0 / STEP), 0] == pytest.approx(-0.45 * way, abs=0.1)
    assert found.position[-1, 0] == pytest.approx(-way, abs=1e-3)
