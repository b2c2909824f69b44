"""Wave systems, sea states and measured spectra: energy, conversion, replacement and refusal."""

from __future__ import annotations

import math
from dataclasses import FrozenInstanceError, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.sea import OMEGA, WEIGHTS, MeasuredSpectrum, SeaState, WaveSystem, jonswap

FREQUENCY = tuple(0.03 + 0.01 * k for k in range(30))


def measured(**changes: Any) -> MeasuredSpectrum:
    density = tuple(0.0 if f < 0.05 else 12.0 * math.exp(-((f - 0.09) ** 2) / 0.0008) for f in FREQUENCY)
    values: dict[str, Any] = {"frequency": FREQUENCY, "bandwidth": (0.01,) * 30, "density": density}
    return MeasuredSpectrum(**{**values, **changes})


def test_a_single_sea_is_jonswap_with_the_peak_factor_by_rule() -> None:
    sea = SeaState.single(hs=4.0, tp=9.0, direction_from=210.0)
    assert sea.hs == 4.0
    assert sea.systems[0].direction_from == 210.0
    assert sea.systems[0].peak_factor == pytest.approx(math.exp(5.75 - 1.15 * 4.5))
    np.testing.assert_array_equal(sea.spectrum(), jonswap(OMEGA, 4.0, 9.0))
    assert sea.warnings() == ()


def test_energies_add() -> None:
    sea = SeaState(
        (WaveSystem(3.0, 8.0), WaveSystem(4.0, 15.0, shape="gaussian-swell", direction_from=300.0))
    )
    assert sea.hs == pytest.approx(5.0)
    assert 4 * math.sqrt(float(sea.spectrum() @ WEIGHTS)) == pytest.approx(5.0, rel=1e-3)
    assert sea.batch().hs == pytest.approx([5.0])
    total = sum(slot.ordinates[0] for slot in sea.batch().spectra())
    np.testing.assert_allclose(total, sea.spectrum(), rtol=1e-9, atol=1e-300)


@pytest.mark.parametrize("kind", ["Tp", "Tz", "T1", "Te"])
@pytest.mark.parametrize("shape", ["two-parameter", "jonswap", "gaussian-swell"])
def test_period_is_converted_once_through_the_shape(kind: str, shape: str) -> None:
    system = WaveSystem(3.0, 8.0, kind, shape=shape)
    assert system.period_as(kind) == pytest.approx(8.0, rel=1e-6)
    assert system.period_as("Tp") == pytest.approx(system.tp)


def test_reading_tz_as_tp_would_be_wrong_by_up_to_41_percent() -> None:
    assert WaveSystem(3.0, 8.0, "Tz", shape="two-parameter").tp == pytest.approx(8.0 * 1.40772, rel=1e-4)
    assert WaveSystem(3.0, 8.0, "Tz", gamma=3.3).tp == pytest.approx(8.0 * 1.28634, rel=1e-4)


def test_two_peak_systems() -> None:
    sea = SeaState.single(3.0, 14.0, shape="torsethaugen")
    assert sea.systems[0].peak_factor is None
    assert sea.systems[0].period_as("Te") < 14.0
    both = WaveSystem(5.0, None, shape="ochi-hubble")
    assert both.tp == pytest.approx(2 * math.pi / (0.70 * math.exp(-0.23)))
    with pytest.raises(InputError, match="Wave period"):
        WaveSystem(5.0, 9.0, shape="ochi-hubble")
    with pytest.raises(InputError, match="Wave period"):
        WaveSystem(5.0, None)


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"hs": 0.0}, "Significant wave height"),
        ({"hs": -2.0}, "Significant wave height"),
        ({"hs": 25.1}, "Significant wave height"),
        ({"hs": math.nan}, "Significant wave height"),
        ({"hs": "3"}, "Significant wave height"),
        ({"period": 30.1}, "Wave period"),
        ({"period": 1.9}, "Peak period"),
        ({"period": 24.0, "period_kind": "Tz"}, "Peak period"),
        ({"period": math.inf}, "Wave period"),
        ({"period_kind": "Tm"}, "Kind of period"),
        ({"direction_from": 360.0}, "Direction from"),
        ({"direction_from": -1.0}, "Direction from"),
        ({"shape": "square"}, "Spectral shape"),
        ({"gamma": 0.9}, "Peak factor"),
        ({"gamma": 10.1}, "Peak factor"),
        ({"gamma": 2.0, "shape": "two-parameter"}, "Peak factor"),
        ({"spreading": "wide"}, "Spreading"),
        ({"spreading_exponent": 0.5}, "Spreading exponent"),
        ({"shape": "gaussian-swell", "width": 0.031}, "Swell width"),
        ({"shape": "gaussian-swell", "period": 20.0, "width": 0.02}, "swell width"),
        ({"shape": "gaussian-swell", "period": 3.9}, "Peak period"),
        ({"shape": "torsethaugen", "period": 25.5}, "eak period"),
        ({"label": "bad\u0000label"}, "Name of the system"),
    ],
)
def test_a_wrong_system_cannot_exist(changes: dict[str, Any], named: str) -> None:
    with pytest.raises(InputError, match=named):
        WaveSystem(**{"hs": 3.0, "period": 9.0, **changes})


def test_a_wrong_sea_state_cannot_exist() -> None:
    with pytest.raises(InputError, match="sea state"):
        SeaState()
    with pytest.raises(InputError, match="sea state"):
        SeaState((WaveSystem(2.0, 8.0),), measured=measured())
    SeaState.single(2.0, 8.0, depth=5.0)
    with pytest.raises(InputError, match="Water depth"):
        SeaState.single(2.0, 8.0, depth=4.9)
    with pytest.raises(FrozenInstanceError):
        SeaState.single(2.0, 8.0).depth = 10.0  # type: ignore[misc]


def test_values_are_compared_and_hashed_by_content() -> None:
    one, other = SeaState.single(2.0, 8.0), SeaState.single(2.0, 8.0)
    assert one == other
    assert hash(one) == hash(other)
    assert one.systems[0].tp == 8.0  # a cached period does not make them differ
    assert one == other
    assert hash(SeaState(measured=measured())) == hash(SeaState(measured=measured()))


def test_warnings_name_what_is_wrong() -> None:
    assert "past the cap of 0.064" in " ".join(SeaState.single(9.0, 8.6).warnings())
    assert SeaState.single(7.0, 10.5).warnings() == ()
    assert "outside 3.6 to 5" in " ".join(SeaState.single(2.0, 12.0).warnings())
    assert SeaState.single(2.0, 12.0, gamma=3.0).warnings() == ()
    assert "Norwegian" in " ".join(SeaState.single(3.0, 9.0, shape="torsethaugen").warnings())
    assert "feel the bottom" in " ".join(SeaState.single(3.0, 8.0, depth=40.0).warnings())
    assert SeaState.single(3.0, 8.0, depth=60.0).warnings() == ()
    assert "more than 0.5 of the water depth" in " ".join(SeaState.single(6.0, 11.0, depth=11.0).warnings())
    assert "more than 0.5" not in " ".join(SeaState.single(6.0, 11.0, depth=12.5).warnings())


def test_finite_depth_keeps_the_height_and_moves_the_energy_up() -> None:
    deep, shallow = SeaState.single(3.0, 12.0), SeaState.single(3.0, 12.0, depth=15.0)
    energies = [float(sea.spectrum() @ WEIGHTS) for sea in (deep, shallow)]
    assert energies[1] == pytest.approx(energies[0], rel=1e-6)  # the tail beyond 25 rad/s
    low = 2 * math.pi / 12.0 > OMEGA
    assert (shallow.spectrum()[low] @ WEIGHTS[low]) < (deep.spectrum()[low] @ WEIGHTS[low])
    middle = np.array([0.4, 0.6])
    assert shallow.spectrum(middle) == pytest.approx(np.interp(middle, OMEGA, shallow.spectrum()))


def test_replacing_the_primary_system() -> None:
    sea = SeaState((WaveSystem(3.0, 8.0, "Tz"), WaveSystem(1.0, 15.0, label="swell")), depth=100.0)
    higher = sea.with_primary(hs=5.0)
    assert [system.hs for system in higher.systems] == [5.0, 1.0]
    assert higher.systems[0].tp == pytest.approx(sea.systems[0].tp)
    assert higher.depth == 100.0
    longer = sea.with_primary(tp=12.0)
    assert (longer.systems[0].tp, longer.systems[0].hs) == (12.0, 3.0)
    with pytest.raises(InputError, match="Peak period"):
        SeaState((WaveSystem(3.0, None, shape="ochi-hubble"),)).with_primary(tp=9.0)
    assert SeaState((WaveSystem(3.0, None, shape="ochi-hubble"),)).with_primary(hs=2.0).hs == 2.0


def test_measured_spectrum_keeps_its_energy_on_the_grid() -> None:
    sea = SeaState(measured=measured())
    by_hand = 4 * math.sqrt(sum(d * 0.01 for d in measured().density))
    assert sea.hs == pytest.approx(by_hand, rel=1e-12)
    assert 4 * math.sqrt(float(sea.spectrum() @ WEIGHTS)) == pytest.approx(by_hand, rel=1e-12)
    assert sea.batch().hs == pytest.approx([by_hand], rel=1e-12)
    peak = OMEGA[np.argmax(sea.spectrum())] / (2 * math.pi)
    assert float(peak) == pytest.approx(0.09, abs=0.006)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.floats(0.001, 0.05), st.floats(0.0, 20.0)), min_size=2, max_size=20))
def test_any_bands_keep_their_energy(bands: list[tuple[float, float]]) -> None:
    width = np.array([band[0] for band in bands])
    centre = 0.02 + np.cumsum(width) - width / 2
    density = tuple(band[1] for band in bands)
    spectrum = MeasuredSpectrum(tuple(centre.tolist()), tuple(width.tolist()), density)
    assert float(spectrum.on_grid() @ WEIGHTS) == pytest.approx(
        float(width @ np.array(density)), rel=1e-9, abs=1e-12
    )


def test_measured_directions_by_band() -> None:
    directions = tuple(355.0 if f < 0.1 else 95.0 for f in FREQUENCY)
    slots = measured(direction_by_band=directions).slots()
    assert sorted(float(slot.direction_from[0]) for slot in slots) == pytest.approx([95.0, 355.0])
    total = sum(slot.measured[0] for slot in slots)
    np.testing.assert_allclose(total, measured().on_grid(), rtol=1e-9, atol=1e-15)
    assert len(measured(density=(0.0,) * 30, direction_by_band=directions).slots()) == 1


def test_measured_spectrum_scales_and_keeps_its_period() -> None:
    sea = SeaState(measured=measured())
    assert sea.with_primary(hs=2.5).hs == pytest.approx(2.5)
    with pytest.raises(InputError, match="Peak period"):
        sea.with_primary(tp=9.0)
    with pytest.raises(InputError, match="measured spectrum"):
        measured(density=(0.0,) * 30).scaled(2.0)
    with pytest.raises(InputError, match="significant wave height"):
        measured().scaled(0.0)


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"density": (-1.0,) * 30}, "wave density"),
        ({"density": (math.nan,) * 30}, "wave density"),
        ({"density": (1.0,) * 29}, "measured spectrum"),
        ({"density": (1e4,) * 30}, "measured significant wave height"),
        ({"bandwidth": (0.0,) * 30}, "band width"),
        ({"frequency": FREQUENCY[::-1]}, "band frequency"),
        ({"frequency": (0.001, *FREQUENCY[1:])}, "band edges"),
        ({"frequency": (*FREQUENCY[:-1], 3.99)}, "band edges"),
        ({"direction_from": 360.0}, "Direction from"),
        ({"direction_by_band": (400.0,) * 30}, "band direction"),
        ({"spreading": "wide"}, "Spreading"),
        ({"time": "noon"}, "time of the measured spectrum"),
        ({"time": "2026-13-40"}, "time of the measured spectrum"),
        ({"time": 5.0}, "time of the measured spectrum"),
    ],
)
def test_a_wrong_measured_spectrum_cannot_exist(changes: dict[str, Any], named: str) -> None:
    with pytest.raises(InputError, match=named):
        measured(**changes)


def test_replace_keeps_a_measured_spectrum_valid() -> None:
    changed = replace(measured(), time="2020-01-01T00:00:00Z", direction_from=10.0)
    assert changed.time == "2020-01-01T00:00:00Z"
    assert changed.hs == measured().hs


def test_a_sea_has_a_few_systems_and_a_height_that_seas_have() -> None:
    SeaState((WaveSystem(2.0, 8.0),) * 8)
    with pytest.raises(InputError, match="wave systems of a sea: 9 cannot be used; allowed: at most 8"):
        SeaState((WaveSystem(2.0, 8.0),) * 9)
    SeaState((WaveSystem(15.0, 15.0), WaveSystem(20.0, 18.0)))
    with pytest.raises(
        InputError, match=r"height of the sea: 25\.612\u00a0m cannot .* at most 25\u00a0m, all systems"
    ):
        SeaState((WaveSystem(16.0, 15.0), WaveSystem(20.0, 18.0)))
