"""Spectra: energy, symmetry between one and many, missing rows, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.sea import (
    OMEGA,
    WEIGHTS,
    gamma_by_rule,
    gaussian_swell,
    jonswap,
    moment,
    ochi_hubble,
    torsethaugen,
    two_parameter,
)
from heave.sea.peaked import Axis, add_up
from heave.sea.spectra import jonswap_rows

PERIODS = np.linspace(2.0, 30.0, 225)
HEIGHTS = st.floats(0.05, 20.0)


def height(spectrum: FloatArray) -> FloatArray:
    return 4.0 * np.sqrt(spectrum @ WEIGHTS)


def plain_jonswap(omega: FloatArray, hs: float, tp: float, gamma: float) -> FloatArray:
    """The formula as printed, scaled on a grid of its own to the height; slow and independent."""
    peak = 2 * math.pi / tp

    def shape(w: FloatArray) -> FloatArray:
        sigma = np.where(w <= peak, 0.07, 0.09)
        bell = np.exp(-0.5 * ((w - peak) / (sigma * peak)) ** 2)
        return w**-5.0 * np.exp(-1.25 * (peak / w) ** 4) * gamma**bell

    fine = peak * np.exp(np.linspace(math.log(0.15), math.log(200.0), 200001))
    energy = np.trapezoid(shape(fine) * fine, np.log(fine))
    return hs**2 / 16 * shape(omega) / energy


@pytest.mark.parametrize("gamma", [1.0, 1.5, 2.0, 3.3, 5.0, 7.0, 10.0])
def test_jonswap_keeps_its_height(gamma: float) -> None:
    assert height(jonswap(OMEGA, 3.0, PERIODS, gamma)) == pytest.approx(np.full(PERIODS.size, 3.0), rel=1e-3)


def test_two_parameter_keeps_its_height() -> None:
    assert height(two_parameter(OMEGA, 3.0, PERIODS)) == pytest.approx(np.full(PERIODS.size, 3.0), rel=1e-3)


@pytest.mark.parametrize("hs", [0.2, 0.3, 1.0, 3.0, 6.0, 12.0])
def test_torsethaugen_keeps_its_height(hs: float) -> None:
    periods = PERIODS[PERIODS <= 25.0]
    assert height(torsethaugen(OMEGA, hs, periods)) == pytest.approx(np.full(periods.size, hs), rel=1e-3)


def test_ochi_hubble_keeps_its_height() -> None:
    heights = np.array([0.2, 1.0, 3.0, 6.0, 12.0, 18.0])
    assert height(ochi_hubble(OMEGA, heights)) == pytest.approx(heights, rel=1e-3)


@pytest.mark.parametrize("width", [0.005, 0.01, 0.015])
def test_gaussian_swell_keeps_its_height(width: float) -> None:
    periods = PERIODS[(PERIODS >= 4.0) & (PERIODS * width <= 1 / 3)]
    assert height(gaussian_swell(OMEGA, 2.0, periods, width)) == pytest.approx(
        np.full(periods.size, 2.0), rel=1e-3
    )


@pytest.mark.parametrize(("tp", "gamma"), [(3.0, 1.0), (8.0, 3.3), (12.5, 5.0), (25.0, 9.0)])
def test_jonswap_is_the_printed_formula(tp: float, gamma: float) -> None:
    expected = plain_jonswap(OMEGA, 4.0, tp, gamma)
    assert jonswap(OMEGA, 4.0, tp, gamma) == pytest.approx(expected, rel=1e-7, abs=1e-40)


@pytest.mark.parametrize("tp", [4.0, 9.0, 14.0, 24.0])
def test_halving_the_step_changes_little(tp: float) -> None:
    # m2 and a response with its natural frequency at 0.3 rad/s and 5 % damping.
    fine = np.sort(np.concatenate((OMEGA, 0.5 * (OMEGA[1:] + OMEGA[:-1]))))

    def sums(omega: FloatArray) -> list[float]:
        spectrum = jonswap(omega, 3.0, tp, 3.3)
        t = omega / 0.3
        response = spectrum / ((1 - t**2) ** 2 + (2 * 0.05 * t) ** 2)
        weights = np.diff(np.concatenate((omega[:1], 0.5 * (omega[1:] + omega[:-1]), omega[-1:])))
        return [float(moment(x, k, omega, weights)) for x in (spectrum, response) for k in (0, 2)]

    assert sums(OMEGA) == pytest.approx(sums(fine), rel=5e-3)


def test_grid_resolves_a_semisubmersible() -> None:
    # The half-power width of 5 % damping is 2ζω = 0.1 ω; a JONSWAP peak is 0.07 ω wide.
    steps = np.diff(OMEGA)
    assert (steps / OMEGA[1:]).max() <= 0.07 / 3
    assert OMEGA[-1] >= 18.0
    assert np.all(steps > 0)
    assert WEIGHTS.sum() == pytest.approx(OMEGA[-1] - OMEGA[0])
    with pytest.raises(ValueError, match="read-only"):
        OMEGA[0] = 1.0


@settings(max_examples=40, deadline=None)
@given(hs=HEIGHTS, tp=st.floats(2.0, 25.0), factor=st.floats(0.2, 1.2))
def test_energy_goes_with_the_square_of_the_height(hs: float, tp: float, factor: float) -> None:
    for once, scaled in (
        (two_parameter(OMEGA, hs, tp), two_parameter(OMEGA, hs * factor, tp)),
        (jonswap(OMEGA, hs, tp, 2.5), jonswap(OMEGA, hs * factor, tp, 2.5)),
        (gaussian_swell(OMEGA, hs, tp + 2, 0.01), gaussian_swell(OMEGA, hs * factor, tp + 2, 0.01)),
    ):
        np.testing.assert_allclose(scaled, factor**2 * once, rtol=1e-9, atol=1e-300)
    # A Torsethaugen sea changes its periods with its height; below 0.2 m its second peak leaves the grid.
    if hs * factor >= 0.2:
        ratio = height(torsethaugen(OMEGA, hs * factor, tp)) / height(torsethaugen(OMEGA, hs, tp))
        assert float(ratio) == pytest.approx(factor, rel=1e-3)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(HEIGHTS, st.floats(2.0, 25.0), st.floats(1.0, 10.0)), min_size=1, max_size=9))
def test_one_sea_is_a_row_of_many(seas: list[tuple[float, float, float]]) -> None:
    hs, tp, gamma = (np.array(column) for column in zip(*seas, strict=True))
    rows = (
        jonswap(OMEGA, hs, tp, gamma),
        jonswap(OMEGA, hs, tp),
        torsethaugen(OMEGA, hs, tp),
        ochi_hubble(OMEGA, hs),
    )
    for place, (h, t, g) in enumerate(seas):
        alone = (
            jonswap(OMEGA, h, t, g),
            jonswap(OMEGA, h, t),
            torsethaugen(OMEGA, h, t),
            ochi_hubble(OMEGA, h),
        )
        for row, single in zip(rows, alone, strict=True):
            np.testing.assert_allclose(row[place], single, rtol=1e-9, atol=1e-300)


def test_many_blocks_of_rows_keep_their_places() -> None:
    rng = np.random.default_rng(3)
    hs, tp = rng.uniform(0.5, 9.0, 1500), rng.uniform(3.0, 20.0, 1500)
    rows = jonswap(OMEGA, hs, tp, 3.3)
    assert OMEGA[np.argmax(rows, axis=1)] == pytest.approx(2 * np.pi / tp, abs=0.08)
    assert height(rows) == pytest.approx(hs, rel=1e-3)
    for place in (0, 255, 256, 777, 1499):
        single = jonswap(OMEGA, hs[place], tp[place], 3.3)
        np.testing.assert_allclose(rows[place], single, rtol=1e-9, atol=1e-300)


def test_given_memory_is_filled() -> None:
    """Written block by block in single precision: the same densities to a few of its last digits."""
    axis = Axis(OMEGA, np.float32)
    space, scratch = axis.memory(2), axis.memory(2)
    space.fill(7.0)
    parts = [jonswap_rows(np.array([2.0, 0.0]), np.array([4.0, 20.0]), np.array([2.0, 2.0]))]
    rows = add_up(parts, axis, slice(0, 2), space, scratch)
    assert rows.base is not None
    expected = jonswap(OMEGA, np.array([2.0, 0.0]), np.array([4.0, 20.0]), 2.0)
    np.testing.assert_allclose(rows, expected, rtol=2e-5, atol=2e-6 * expected.max())
    assert not rows[1].any()


def test_no_sea_and_a_missing_sea() -> None:
    hs, tp = np.array([0.0, np.nan, 2.0, 2.0, 2.0]), np.array([8.0, 8.0, np.nan, 8.0, 9.0])
    for rows in (jonswap(OMEGA, hs, tp), two_parameter(OMEGA, hs, tp), torsethaugen(OMEGA, hs, tp)):
        assert not rows[0].any()
        assert np.isnan(rows[1:3]).all()
        assert height(rows[3:]) == pytest.approx([2.0, 2.0], rel=1e-3)
    swell = gaussian_swell(OMEGA, hs, tp)
    assert not swell[0].any()
    assert np.isnan(swell[1:3]).all()
    both = ochi_hubble(OMEGA, hs)
    assert not both[0].any()
    assert np.isnan(both[1]).all()
    assert np.isnan(jonswap(OMEGA, np.nan, np.nan)).all()
    gamma = np.array([1.0, 2.0, 3.0, np.nan, 3.0])
    assert np.isnan(jonswap(OMEGA, 2.0, 8.0, gamma)).all(axis=1).tolist() == [
        False,
        False,
        False,
        True,
        False,
    ]


def test_peak_factor_rule_at_its_ends() -> None:
    assert float(gamma_by_rule(0.0, 8.0)) == 1.0
    assert float(gamma_by_rule(4.0, 7.2 - 1e-9)) == 5.0
    assert float(gamma_by_rule(4.0, 10.0 - 1e-9)) == pytest.approx(1.0)
    assert np.isnan(gamma_by_rule(np.array([np.nan, 4.0]), np.array([8.0, np.nan]))).all()


@pytest.mark.parametrize("bad", [-1.0, math.inf, -math.inf, 25.1, "tall", None])
def test_bad_height_is_refused(bad: object) -> None:
    for call in (two_parameter, jonswap, torsethaugen, gaussian_swell):
        with pytest.raises(InputError, match="significant wave height"):
            call(OMEGA, bad if bad is not None else "none", 8.0)  # type: ignore[arg-type]
    with pytest.raises(InputError, match="significant wave height"):
        ochi_hubble(OMEGA, bad if bad is not None else "none")  # type: ignore[arg-type]


@pytest.mark.parametrize("bad", [0.0, -5.0, math.inf])
def test_bad_period_is_refused(bad: float) -> None:
    for call in (two_parameter, jonswap, torsethaugen, gaussian_swell):
        with pytest.raises(InputError, match="peak period"):
            call(OMEGA, 2.0, np.array([8.0, bad]))


def test_limits_on_both_sides() -> None:
    two_parameter(OMEGA, 25.0, 15.0)
    jonswap(OMEGA, 2.0, 8.0, 50.0)
    for gamma in (0.99, 50.1):
        with pytest.raises(InputError, match="peak factor"):
            jonswap(OMEGA, 2.0, 8.0, gamma)
    torsethaugen(OMEGA, 2.0, 25.0)
    with pytest.raises(InputError, match="peak period"):
        torsethaugen(OMEGA, 2.0, 25.01)
    gaussian_swell(OMEGA, 2.0, 4.0, 0.03)
    with pytest.raises(InputError, match="peak period"):
        gaussian_swell(OMEGA, 2.0, 3.99)
    for width in (0.0049, 0.0301, math.nan):
        with pytest.raises(InputError, match="swell width"):
            gaussian_swell(OMEGA, 2.0, 10.0, width)
    gaussian_swell(OMEGA, 2.0, 30.0, 0.0111)
    with pytest.raises(InputError, match=r"one third of the peak frequency, 0\.0111\u00a0Hz"):
        gaussian_swell(OMEGA, 2.0, 30.0, 0.0112)


def test_bad_frequencies_and_lengths_are_refused() -> None:
    for omega in ([0.0, 1.0], [1.0, math.nan], [[0.1, 0.2]]):
        with pytest.raises(InputError, match="angular frequency"):
            two_parameter(np.array(omega), 2.0, 8.0)
    with pytest.raises(InputError, match="arrays of one length"):
        jonswap(OMEGA, np.ones(3), np.full(2, 8.0))
