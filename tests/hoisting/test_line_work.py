"""Work of the line against stand-by-stand sums, and compensating against motions sampled in time."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.errors import InputError
from heave.hoisting import (
    JOBS,
    Tripping,
    bend_cycles,
    compensating_work,
    gaussian_travel_rate,
    sheaves_passed,
)

STRING = Tripping(stand=28.5, pipe_weight=220.0, block_weight=600e3, excess_weight=150e3)


def out_and_in(string: Tripping, stands: int) -> float:
    """A round trip stand by stand: hoist with the load, lower empty, raise empty, lower with the load."""
    work = 0.0
    for hanging in range(stands, 0, -1):
        pipe = string.pipe_weight * string.stand * hanging + string.excess_weight
        work += 2 * (pipe + string.block_weight) * string.stand + 2 * string.block_weight * string.stand
    return work


@given(
    stands=st.integers(1, 250),
    stand=st.floats(9.0, 40.0),
    pipe=st.floats(50.0, 2000.0),
    block=st.floats(1e4, 2e6),
    excess=st.floats(0.0, 5e5),
)
def test_a_round_trip_is_the_sum_over_its_stands(
    stands: int, stand: float, pipe: float, block: float, excess: float
) -> None:
    string = Tripping(stand, pipe, block, excess)
    assert string.round_trip(stands * stand) == pytest.approx(out_and_in(string, stands), rel=1e-9)


@given(st.lists(st.floats(0.0, 7000.0), min_size=3, max_size=3))
def test_work_adds_up_over_depth_and_grows_with_it(depths: list[float]) -> None:
    shallow, middle, deep = sorted(depths)
    for job in JOBS:
        whole = STRING.work(job, deep, shallow)
        parts = STRING.work(job, deep, middle) + STRING.work(job, middle, shallow)
        assert whole == pytest.approx(float(parts), rel=1e-9, abs=1.0)
        assert parts >= 0


PASSES = {
    "round trip": 2,
    "short trip": 2,
    "setting casing": 1,
    "drilling with a kelly, reaming": 5,  # drill down, pull up, ream down, pull up, lower after the connection
    "drilling with a kelly": 3,  # drill down, pull up, lower after the connection
    "drilling with a top drive, reaming": 3,  # drill down, pull up, ream down
    "drilling with a top drive": 1,  # drill down
    "coring": 3,  # as with a kelly
}
"""Times the string moves over the length of a stand while the hole or the string gets that much longer."""


@pytest.mark.parametrize("job", JOBS)
def test_multiples_are_the_moves_of_the_string_rounded_up(job: str) -> None:
    """Two moves, up and down, are one round trip; work of the handling between is in the rounding."""
    assert 0 <= JOBS[job] - PASSES[job] / 2 <= 0.5


def test_arrays_of_depths() -> None:
    deep, shallow = np.array([[1000.0], [3000.0]]), np.array([0.0, 500.0, 1000.0])
    work = STRING.work("short trip", deep, shallow)
    assert work.shape == (2, 3)
    assert work[1, 2] == pytest.approx(float(STRING.work("short trip", 3000.0, 1000.0)))
    assert work[0, 2] == 0


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ({"stand": 0.0}, "length of a stand"),
        ({"stand": -28.0}, "length of a stand"),
        ({"pipe_weight": 0.0}, "weight of the pipe per metre"),
        ({"block_weight": -1.0}, "weight of the travelling assembly"),
        ({"excess_weight": -1.0}, "excess weight of the collars"),
        ({"block_weight": math.nan}, "weight of the travelling assembly"),
    ],
)
def test_bad_weights_are_refused_by_name(values: dict[str, float], named: str) -> None:
    given_ = {"stand": 28.0, "pipe_weight": 200.0, "block_weight": 5e5} | values
    with pytest.raises(InputError, match=named):
        Tripping(**given_)


def test_bad_jobs_and_depths_are_refused_by_name() -> None:
    with pytest.raises(InputError, match="job: 'fishing'"):
        STRING.work("fishing", 1000.0)
    with pytest.raises(InputError, match=r"depth: -1.0\u00a0m"):
        STRING.work("coring", -1.0)
    with pytest.raises(InputError, match=r"depth: 20000.0\u00a0m"):
        STRING.round_trip(20_000.0)
    with pytest.raises(
        InputError, match=r"depth the job ends at: 900.0\u00a0m cannot be used; allowed: .* 1000\u00a0m"
    ):
        STRING.work("coring", [1100.0, 900.0], 1000.0)


def sampled(sigma: float, period: float, seed: int, hours: float = 12.0) -> tuple[np.ndarray, float]:
    """A Gaussian motion as a sum of sines around a period, scaled to `sigma`, with its own period from its moments."""
    rng = np.random.default_rng(seed)
    omega = 2 * math.pi / period * np.linspace(0.6, 1.6, 400) * (1 + 1e-4 * rng.random(400))
    share = np.exp(-((omega * period / (2 * math.pi) - 1.0) ** 2) / 0.08)
    amplitude = sigma * np.sqrt(2 * share / share.sum())
    time = np.arange(0.0, hours * 3600, 0.1)
    heave = np.zeros(time.size)
    for a, w, p in zip(amplitude, omega, rng.uniform(0, 2 * math.pi, 400), strict=True):
        heave += a * np.cos(w * time + p)
    m0, m2 = (np.sum(amplitude**2 * omega**order) / 2 for order in (0, 2))
    return heave, 2 * math.pi * math.sqrt(m0 / m2)


@pytest.mark.parametrize(("sigma", "period", "seed"), [(0.5, 9.0, 1), (1.2, 12.0, 2)])
def test_gaussian_travel_and_bends_against_a_sampled_motion(sigma: float, period: float, seed: int) -> None:
    heave, zero_crossing = sampled(sigma, period, seed)
    duration = (heave.size - 1) * 0.1
    travelled = float(np.abs(np.diff(heave)).sum())
    assert gaussian_travel_rate(sigma, zero_crossing) * duration == pytest.approx(travelled, rel=0.02)
    passages = int(np.sum(np.diff(np.sign(heave)) != 0))
    assert bend_cycles(zero_crossing, 1, duration) == pytest.approx(passages, rel=0.02)


def test_a_gaussian_motion_travels_as_its_mean_amplitude_does() -> None:
    """Amplitudes of a narrow band are Rayleigh, mean √(π/2) σ; each cycle goes four of them."""
    assert gaussian_travel_rate(1.0, 10.0) == pytest.approx(4 * math.sqrt(math.pi / 2) / 10.0, rel=1e-12)


def test_what_does_not_move_does_no_work_and_what_is_not_known_stays_so() -> None:
    rate = gaussian_travel_rate([0.0, 0.0, 1.0, math.nan], [math.nan, 9.0, math.nan, 9.0])
    assert list(rate[:2]) == [0.0, 0.0]
    assert np.isnan(rate[2:]).all()
    work = compensating_work(2e6, rate)
    assert list(work[:2]) == [0.0, 0.0]
    assert np.isnan(work[2:]).all()


def test_many_seas_at_once_and_any_duration() -> None:
    sigma, period = np.array([[0.3], [0.6]]), np.array([8.0, 10.0, 12.0])
    work = compensating_work(2e6, gaussian_travel_rate(sigma, period))
    assert work.shape == (2, 3)
    assert work[1] == pytest.approx(2 * work[0])
    assert compensating_work(2e6, 0.5, 60.0) == pytest.approx(60e6)
    assert compensating_work(2e6, 0.5) == pytest.approx(3.6e9)
    assert bend_cycles(period).shape == (3,)
    assert bend_cycles(10.0) == pytest.approx(720.0)
    assert bend_cycles(10.0, 3, 100.0) == pytest.approx(60.0)


@given(lines=st.integers(2, 16), travel=st.floats(0.0, 8.0), spacing=st.floats(5.0, 60.0))
def test_sheaves_passed_by_the_best_placed_piece(lines: int, travel: float, spacing: float) -> None:
    """Sheaves stand at 0, L, 2L, ... along the line; slide a window as long as the fast line's run over them."""
    window = lines * travel
    starts = np.arange(0.0, -spacing, -spacing / 100)
    at = spacing * np.arange(lines)
    most = max(int(np.sum((at >= start) & (at <= start + window))) for start in starts)
    assert sheaves_passed(lines, travel, spacing) == most


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: gaussian_travel_rate(-1.0, 10.0), "amplitude of the block's motion"),
        (lambda: gaussian_travel_rate(1.0, 0.0), "period: 0.0\u00a0s"),
        (lambda: gaussian_travel_rate([1.0, -0.1], 10.0), "amplitude of the block's motion: -0.1\u00a0m"),
        (lambda: gaussian_travel_rate(1.0, -10.0), "period"),
        (lambda: compensating_work(-1.0, 0.1), "load on the lines"),
        (lambda: compensating_work(1e6, -0.1), "speed"),
        (lambda: compensating_work(1e6, 0.1, -1.0), "duration"),
        (lambda: compensating_work("heavy", 0.1), "load on the lines"),
        (lambda: bend_cycles(0.0), "period"),
        (lambda: bend_cycles(10.0, 0), "sheaves a piece of line passes"),
        (lambda: bend_cycles(10.0, 1.5), "sheaves a piece of line passes"),
        (lambda: bend_cycles(10.0, 1, -1.0), "duration"),
        (lambda: sheaves_passed(0, 1.0, 30.0), "lines strung"),
        (
            lambda: sheaves_passed(10.5, 1.0, 30.0),
            "lines strung: 10.5 cannot be used; allowed: a whole number",
        ),
        (lambda: sheaves_passed(10, -1.0, 30.0), "length"),
        (lambda: sheaves_passed(10, 1.0, 0.0), "distance between the blocks"),
    ],
)
def test_bad_input_is_refused_by_name(call: object, named: str) -> None:
    with pytest.raises(InputError, match=named):
        call()  # type: ignore[operator]
