"""What is told of a sea, close on both sides of each bound, and what a measured spectrum says of itself."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from heave.errors import InputError
from heave.sea import OMEGA, MeasuredSpectrum, SeaState
from heave.sea.systems import steepness_cap

G = 9.80665


def words(hs: float, tp: float, **other: object) -> str:
    depth = other.pop("depth", None)
    return " ".join(SeaState.single(hs=hs, tp=tp, depth=depth, **other).warnings())  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("tp", "cap"), [(5.0, 1 / 15), (8.0, 1 / 15), (11.5, 0.16 / 3), (15.0, 1 / 25), (20.0, 1 / 25)]
)
def test_steepest_sea_that_stands(tp: float, cap: float) -> None:
    """1/15 to 8 s, 1/25 from 15 s, straight between: 4/75 half-way (DNV-RP-C205, 3.5.4, from memory)."""
    assert steepness_cap(tp) == pytest.approx(cap)
    highest = cap * G * tp**2 / (2 * math.pi)
    if highest < 25.0:
        assert "would break" in words(highest * 1.001, tp, gamma=2.0)
        assert "would break" not in words(highest * 0.999, tp, gamma=2.0)


@pytest.mark.parametrize(("share", "told"), [(3.59, True), (3.61, False), (4.99, False), (5.01, True)])
def test_the_rule_of_the_peak_factor_holds_between_3_6_and_5(share: float, told: bool) -> None:
    """Of a JONSWAP sea whose factor nobody gave, and of no other."""
    tp = 10.0
    hs = (tp / share) ** 2
    assert ("outside 3.6 to 5" in words(hs, tp)) == told
    assert "outside" not in words(hs, tp, gamma=2.0)
    assert "outside" not in words(hs, tp, shape="two-parameter")


@pytest.mark.parametrize("share", [1.0005, 1.01, 1.2])
def test_a_sea_just_past_the_cap_does_not_read_as_if_it_stood_at_it(share: float) -> None:
    found = re.search(
        r"Sp ([\d.]+) is past the cap of ([\d.]+) ", words(share * G * 64 / (30 * math.pi), 8.0, gamma=2)
    )
    assert found is not None
    assert float(found[1]) > float(found[2])


@pytest.mark.parametrize("share", [3.598, 3.5999, 5.0001, 5.002])
def test_a_ratio_just_outside_the_rule_does_not_read_as_if_it_were_in_it(share: float) -> None:
    found = re.search(r"Tp/√Hs ([\d.]+) is outside", words((10.0 / share) ** 2, 10.0))
    assert found is not None
    assert not 3.6 <= float(found[1]) <= 5.0


def test_water_that_the_waves_feel_and_that_they_break_in() -> None:
    """Half the wave length in deep water, g T² / 4π: kh = π but for tanh π, within four thousandths."""
    deep = G * 9.0**2 / (4 * math.pi)
    assert "feel the bottom" in words(2.0, 9.0, gamma=2.0, depth=0.99 * deep)
    assert "feel the bottom" not in words(2.0, 9.0, gamma=2.0, depth=1.01 * deep)
    assert "feel the bottom" not in words(2.0, 9.0, gamma=2.0)
    assert "the bottom limits" in words(5.01, 14.0, gamma=2.0, depth=10.0)
    assert "the bottom limits" not in words(4.99, 14.0, gamma=2.0, depth=10.0)
    assert "the bottom limits" not in words(5.01, 14.0, gamma=2.0)


def measured() -> SeaState:
    """A buoy's spectrum, highest at 0.10 Hz, of 4 √0.11 m by its bands."""
    frequency = (0.05, 0.075, 0.10, 0.125, 0.15, 0.2)
    width, density = (0.025, 0.025, 0.025, 0.025, 0.0375, 0.05), (0.0, 0.4, 2.0, 1.2, 0.4, 0.1)
    return SeaState(measured=MeasuredSpectrum(frequency, width, density))


def test_a_measured_spectrum_has_its_own_peak_and_height() -> None:
    sea = measured()
    assert 1 / 0.1125 - 0.2 <= sea.tp <= 1 / 0.0875 + 0.2
    assert sea.tp == 2 * math.pi / OMEGA[int(np.argmax(sea.spectrum()))]
    variance = 0.4 * 0.025 + 2.0 * 0.025 + 1.2 * 0.025 + 0.4 * 0.0375 + 0.1 * 0.05
    assert sea.hs == pytest.approx(4 * math.sqrt(variance))
    lower = sea.with_primary(hs=1.0)
    assert (lower.hs, lower.tp) == (pytest.approx(1.0), sea.tp)
    assert sea.with_primary().hs == pytest.approx(sea.hs)
    with pytest.raises(InputError, match="keeps its periods"):
        sea.with_primary(tp=9.0)


def test_a_first_system_with_another_height_or_period() -> None:
    sea = SeaState.single(hs=2.0, tp=8.0, shape="two-parameter", period_kind="Tz")
    assert sea.hs == 2.0
    higher = sea.with_primary(hs=3.0)
    assert (higher.hs, higher.tp) == (3.0, pytest.approx(sea.tp))
    longer = sea.with_primary(tp=12.0)
    assert (longer.hs, longer.tp) == (2.0, 12.0)
    swell = replace(sea.systems[0], hs=1.5)
    both = replace(sea, systems=(sea.systems[0], swell)).with_primary(hs=0.5)
    assert [one.hs for one in both.systems] == [0.5, 1.5]
    assert both.hs == pytest.approx(math.hypot(0.5, 1.5))


@pytest.mark.parametrize("depth", [None, 30.0])
def test_a_spectrum_anywhere_is_the_grids_own(depth: float | None) -> None:
    """In deep water the density itself, in shallow water straight between the points of the grid, nothing outside."""
    sea = SeaState.single(hs=2.0, tp=9.0, shape="two-parameter", depth=depth)
    whole = sea.spectrum()
    at = np.array([OMEGA[150], (OMEGA[150] + OMEGA[151]) / 2, OMEGA[151]])
    found = sea.spectrum(at)
    np.testing.assert_allclose(found[::2], whole[150:152], rtol=1e-9)
    assert found[1] == pytest.approx((whole[150] + whole[151]) / 2, rel=2e-3 if depth is None else 1e-12)
    if depth is not None:
        np.testing.assert_array_equal(sea.spectrum(np.array([OMEGA[0] / 2, OMEGA[-1] * 2])), [0.0, 0.0])
