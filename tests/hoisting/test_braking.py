"""Hoisting and braking against motion stepped in time, sums of energy and the sheaves themselves."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.errors import InputError
from heave.hoisting import (
    PullCurve,
    brake_energy,
    hoisting_energy,
    hook_speed,
    stand_time,
    stopping_distance,
    stopping_tension,
)

G = 9.80665


def line_pulls(load: float, lines: int, factor: float) -> list[float]:
    """Tension of each line, dead end first: every sheave multiplies it on the way to the drum, and together they carry.

    A factor above 1 hoists; its inverse lowers.
    """
    shares = [factor**place for place in range(lines)]
    return [load * share / sum(shares) for share in shares]


@given(
    load=st.floats(1e5, 1e7),
    lines=st.sampled_from([6, 8, 10, 12, 14]),
    factor=st.floats(1.005, 1.1),
    height=st.floats(1.0, 40.0),
)
def test_energy_in_is_load_raised_and_friction_of_every_sheave(
    load: float, lines: int, factor: float, height: float
) -> None:
    """Line over sheave n runs n times the block's way; what each sheave keeps back, the drum gives more.

    Up and down again the load is where it was, and the drum is short of the friction both ways.
    """
    lost = {}
    for way, grip in (("up", factor), ("down", 1 / factor)):
        pulls = line_pulls(load, lines, grip)
        pulls.append(pulls[-1] * grip)  # the fast line, over the last sheave
        run = range(1, lines + 1)
        lost[way] = sum(abs(pulls[n] - pulls[n - 1]) * n * height for n in run)
        fast = pulls[-1]
        if way == "up":
            given_ = hoisting_energy(load, height, load / (lines * fast))
            assert given_ == pytest.approx(load * height + lost["up"], rel=1e-9)
        else:
            back = brake_energy(load, height, lines * fast / load)
            assert back == pytest.approx(load * height - lost["down"], rel=1e-9)
    assert given_ - back == pytest.approx(lost["up"] + lost["down"], rel=1e-9)


@given(load=st.floats(1e5, 1e7), height=st.floats(1.0, 40.0))
def test_without_friction_lowering_gives_back_what_raising_took(load: float, height: float) -> None:
    assert hoisting_energy(load, height, 1.0) == brake_energy(load, height) == pytest.approx(load * height)


@given(power=st.floats(1e5, 5e6), load=st.floats(1e5, 1e7), efficiency=st.floats(0.5, 1.0))
def test_power_over_the_time_is_the_energy_in(power: float, load: float, efficiency: float) -> None:
    time = 28.0 / float(hook_speed(power, load, efficiency))
    assert power * time == pytest.approx(float(hoisting_energy(load, 28.0, efficiency)), rel=1e-9)


@pytest.mark.parametrize(
    ("length", "speed", "acceleration"),
    [(28.0, 1.5, 0.5), (28.0, 0.2, 0.5), (3.0, 5.0, 0.4), (4.5, 1.5, 0.5)],
)
def test_time_for_a_stand_against_stepping_through_it(
    length: float, speed: float, acceleration: float
) -> None:
    """Go as fast as the speed, and as a stop within what is left, allow."""
    step, place, now, time = 1e-4, 0.0, 0.0, 0.0
    while place < length - 1e-4:
        allowed = min(speed, math.sqrt(2 * acceleration * (length - place)))
        now = min(now + acceleration * step, allowed)
        place, time = place + now * step, time + step
    assert stand_time(length, speed, acceleration) == pytest.approx(time, rel=3e-3, abs=0.03)


def test_times_of_many_stands() -> None:
    time = stand_time(np.array([0.0, 2.0, 28.0]), np.array([[1.0], [2.0]]), 0.5)
    assert time.shape == (2, 3)
    assert time[:, 0] == pytest.approx([0.0, 0.0])
    assert time[0] == pytest.approx([0.0, 4.0, 30.0])
    assert np.all(time[1] <= time[0])
    assert stand_time(2.0, 1.0, 0.5) == pytest.approx(2 * math.sqrt(2.0 / 0.5))


@given(
    load=st.floats(1e5, 1e7),
    speed=st.floats(0.1, 5.0),
    deceleration=st.floats(0.1, 5.0),
    lines=st.sampled_from([8, 10, 12]),
)
def test_the_brake_takes_the_speed_and_the_height_of_a_stop(
    load: float, speed: float, deceleration: float, lines: int
) -> None:
    """Tension × line through the stop = ½ m v² + W × way."""
    way = float(stopping_distance(speed, deceleration))
    taken = float(stopping_tension(load, deceleration, lines)) * lines * way
    assert taken == pytest.approx(load / G * speed**2 / 2 + load * way, rel=1e-9)


def test_stopping_against_stepping() -> None:
    place, now = 0.0, 2.0
    while now > 0:
        now -= 0.8 * 1e-5
        place += now * 1e-5
    assert stopping_distance(2.0, 0.8) == pytest.approx(place, rel=1e-4)


def test_friction_takes_its_share_of_a_stop() -> None:
    lowering = line_pulls(2e6, 10, 1 / 1.04)[-1] / 1.04
    efficiency = 10 * lowering / 2e6
    assert stopping_tension(2e6, 0.0, 10, efficiency) == pytest.approx(lowering)
    assert stopping_tension(2e6, G, 10, efficiency) == pytest.approx(2 * lowering)
    assert stopping_tension([1e6, 2e6], 0.0, 10) == pytest.approx([1e5, 2e5])


CURVE = PullCurve(((2.0, 400e3), (8.0, 100e3), (15.0, 40e3)))


@given(st.floats(2.0, 8.0))
def test_between_points_of_one_power_there_is_that_power(speed: float) -> None:
    assert CURVE.pull(speed) * speed == pytest.approx(800e3, rel=1e-9)


@given(st.floats(2.0, 15.0))
def test_speed_and_pull_are_inverse(speed: float) -> None:
    assert CURVE.line_speed(CURVE.pull(speed)) == pytest.approx(speed, rel=1e-9)


def test_the_curve_goes_through_its_points_and_falls() -> None:
    speeds, pulls = zip(*CURVE.points, strict=True)
    assert CURVE.pull(speeds) == pytest.approx(pulls, rel=1e-12)
    assert CURVE.line_speed(pulls) == pytest.approx(speeds, rel=1e-12)
    assert np.all(np.diff(CURVE.pull(np.linspace(2.0, 15.0, 200))) < 0)
    assert CURVE.pull(15.0) == 40e3  # and not a hair less, which would be outside
    assert CURVE.pull(np.full((2, 3), 8.0)).shape == (2, 3)


def test_hook_speed_of_a_curve_is_that_of_its_power() -> None:
    load, lines, efficiency = 1.5e6, 10, 0.81
    assert CURVE.hook_speed(load, lines, efficiency) == pytest.approx(
        float(hook_speed(800e3, load, efficiency)), rel=1e-9
    )
    with pytest.raises(InputError, match="fast-line pull"):
        CURVE.hook_speed(4e6, lines, efficiency)


def test_a_curve_has_two_to_twenty_points() -> None:
    many = tuple((float(n), 1e6 / n) for n in range(1, 22))
    assert PullCurve(many[:2]).pull(2.0) == pytest.approx(5e5)
    assert PullCurve(many[:20]).pull(20.0) == pytest.approx(5e4)
    for refused in (many[:1], many):
        with pytest.raises(InputError, match="number of points of the pull curve"):
            PullCurve(refused)


@pytest.mark.parametrize(
    ("points", "named"),
    [
        (((2.0, 4e5), (2.0, 3e5)), r"line speed: 2\.0\u00a0m/s .* above 2\u00a0m/s"),
        (((2.0, 4e5), (1.0, 3e5)), "line speed"),
        (((2.0, 4e5), (3.0, 4e5)), "fast-line pull: .* below 400000\u00a0N"),
        (((2.0, 4e5), (3.0, 5e5)), "fast-line pull"),
        (((0.0, 4e5), (3.0, 3e5)), "line speed: 0.0\u00a0m/s"),
        (((2.0, 4e5), (3.0, -1.0)), "fast-line pull: -1.0\u00a0N"),
        (((2.0, 4e5), (3.0, math.nan)), "fast-line pull"),
        ((2.0, 4e5), "pull curve"),
        (((2.0, 4e5, 1.0), (3.0, 3e5, 1.0)), "pull curve"),
    ],
)
def test_bad_curves_are_refused_by_name(points: tuple[tuple[float, float], ...], named: str) -> None:
    with pytest.raises(InputError, match=named):
        PullCurve(points)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (
            lambda: CURVE.pull(1.9),
            "line speed: 1.9\u00a0m/s cannot be used; allowed: from 2.00 to 15.0\u00a0m/s",
        ),
        (lambda: CURVE.pull(15.1), "line speed"),
        (lambda: CURVE.line_speed([5e4, 5e5]), "fast-line pull: 500000.0\u00a0N"),
        (lambda: CURVE.line_speed(1e4), "fast-line pull"),
        (lambda: hook_speed(-1.0, 1e6, 0.8), "power of the drawworks"),
        (lambda: hook_speed(1e6, 0.0, 0.8), "load lifted"),
        (lambda: hook_speed(1e6, 1e6, 0.0), "efficiency of the lines and sheaves"),
        (lambda: hook_speed(1e6, 1e6, 1.01), "efficiency of the lines and sheaves"),
        (lambda: stand_time(-1.0, 1.0, 1.0), "length"),
        (lambda: stand_time(28.0, 0.0, 1.0), "most speed of the hook"),
        (lambda: stand_time(28.0, 1.0, 0.0), "acceleration of the hook"),
        (lambda: hoisting_energy(1e6, -1.0, 0.8), "length"),
        (lambda: brake_energy(-1.0, 28.0), "load on the lines"),
        (lambda: brake_energy(1e6, 28.0, 1.2), "efficiency of the lines and sheaves"),
        (lambda: stopping_distance(-1.0, 1.0), "speed"),
        (lambda: stopping_distance(1.0, 0.0), "deceleration of the hook"),
        (lambda: stopping_tension(1e6, -1.0, 10), "deceleration of the hook"),
        (lambda: stopping_tension(1e6, 1.0, 2.5), "lines strung"),
    ],
)
def test_bad_input_is_refused_by_name(call: object, named: str) -> None:
    with pytest.raises(InputError, match=named):
        call()  # type: ignore[operator]
