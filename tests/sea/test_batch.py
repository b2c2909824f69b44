"""Batches: rows keep their places, stack, scale, and refuse what does not fit together."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.sea import (
    OMEGA,
    SHAPES,
    WEIGHTS,
    MeasuredSlot,
    MeasuredSpectrum,
    SeaBatch,
    SeaState,
    SystemSlot,
    WaveSystem,
)


def slot(rows: int = 4, **changes: Any) -> SystemSlot:
    values: dict[str, Any] = {
        "hs": np.linspace(1.0, 4.0, rows),
        "tp": np.linspace(6.0, 12.0, rows),
        "direction_from": np.linspace(0.0, 300.0, rows),
    }
    return SystemSlot(**{**values, **changes})


@pytest.mark.parametrize("depth", [None, 30.0])
@pytest.mark.parametrize("shape", SHAPES)
def test_every_row_keeps_its_height_in_any_depth(shape: str, depth: float | None) -> None:
    batch = SeaBatch((slot(shape=shape), slot(hs=np.zeros(4))), depth)
    first, second = batch.spectra()
    assert first.ordinates.shape == (4, OMEGA.size)
    assert 4 * np.sqrt(first.ordinates @ WEIGHTS) == pytest.approx(batch.hs, rel=1e-3)
    assert not second.ordinates.any()
    assert first.direction_from.tolist() == [0.0, 100.0, 200.0, 300.0]
    assert (first.spreading, first.exponent) == ("cos-n", 4.0)


@settings(max_examples=25, deadline=None)
@given(
    seas=st.lists(st.tuples(st.floats(0.1, 15.0), st.floats(4.0, 24.0)), min_size=1, max_size=6),
    shape=st.sampled_from(("two-parameter", "jonswap", "torsethaugen", "gaussian-swell")),
    depth=st.sampled_from((None, 25.0)),
)
def test_one_sea_is_a_batch_of_one(seas: list[tuple[float, float]], shape: str, depth: float | None) -> None:
    states = [SeaState.single(hs, tp, 40.0, shape=shape, depth=depth) for hs, tp in seas]
    together = SeaBatch.stack([state.batch() for state in states]).spectra()[0].ordinates
    for row, state in zip(together, states, strict=True):
        np.testing.assert_allclose(row, state.batch().spectra()[0].ordinates[0], rtol=1e-9, atol=1e-300)
        np.testing.assert_allclose(row, state.spectrum(), rtol=1e-9, atol=1e-300)


def test_take_and_chunks() -> None:
    rng = np.random.default_rng(5)
    rows = 700
    batch = SeaBatch(
        (
            slot(
                hs=rng.uniform(0.5, 8, rows),
                tp=rng.uniform(4, 18, rows),
                direction_from=rng.uniform(0, 360, rows),
            ),
            slot(rows, shape="gaussian-swell"),
        )
    )
    whole = [found.ordinates for found in batch.spectra()]
    for start in range(0, rows, 300):
        part = batch.take(slice(start, start + 300))
        for found, expected in zip(part.spectra(), whole, strict=True):
            np.testing.assert_allclose(found.ordinates, expected[start : start + 300], rtol=1e-9, atol=1e-300)
    picked = batch.take(np.array([5, 3]))
    np.testing.assert_array_equal(picked.slots[0].direction_from, batch.slots[0].direction_from[[5, 3]])
    assert batch.take(batch.hs > 5.0).hs.min() > 5.0


def test_missing_rows_stay_missing() -> None:
    batch = SeaBatch(
        (slot(hs=np.array([1.0, np.nan, 2.0, 0.0])), slot(gamma=np.array([1.0, 2.0, np.nan, 2.0]))), 20.0
    )
    first, second = (found.ordinates for found in batch.spectra())
    assert np.isnan(first).any(axis=1).tolist() == [False, True, False, False]
    assert np.isnan(second).any(axis=1).tolist() == [False, False, True, False]
    assert np.isnan(batch.hs).tolist() == [False, True, False, False]


def test_scaled_for_limiting_sea_searches() -> None:
    sea = SeaState((WaveSystem(3.0, 9.0), WaveSystem(1.0, 15.0)))
    batch = sea.batch().scaled(np.array([1.0, 2.0, 6.0]))
    assert batch.hs == pytest.approx(np.hypot([1.0, 2.0, 6.0], 1.0))
    for row, hs in zip(batch.spectra()[0].ordinates, (1.0, 2.0, 6.0), strict=True):
        np.testing.assert_allclose(row, sea.with_primary(hs=hs).batch().spectra()[0].ordinates[0], rtol=1e-9)
    with pytest.raises(InputError, match="exactly one sea"):
        SeaBatch((slot(),)).scaled(np.array([1.0]))
    with pytest.raises(InputError, match="significant wave height"):
        sea.batch().scaled(np.array([26.0]))


def test_measured_slots_scale_and_stack() -> None:
    spectrum = MeasuredSpectrum((0.08, 0.1), (0.02, 0.02), (9.0, 4.0), direction_from=20.0)
    state = SeaState(measured=spectrum)
    batch = state.batch().scaled(np.array([1.0, 4.0]))
    assert batch.hs == pytest.approx([1.0, 4.0])
    stacked = SeaBatch.stack([state.batch(), state.with_primary(hs=2.0).batch()])
    assert stacked.hs == pytest.approx([spectrum.hs, 2.0])
    assert stacked.take(slice(1, 2)).hs == pytest.approx([2.0])
    # The depth has already done its work on what a buoy measured.
    deep, shallow = (SeaState(measured=spectrum, depth=depth).spectrum() for depth in (None, 10.0))
    np.testing.assert_array_equal(deep, shallow)
    empty = SeaState(measured=MeasuredSpectrum((0.08, 0.1), (0.02, 0.02), (0.0, 0.0)))
    with pytest.raises(InputError, match="measured spectrum"):
        empty.batch().scaled(np.array([1.0]))


def test_stacking_mixes_given_peak_factors_but_not_rule_and_given() -> None:
    given_factors = SeaBatch.stack([SeaState.single(2, 8, gamma=g).batch() for g in (2.0, 3.0)])
    assert isinstance(given_factors.slots[0], SystemSlot)
    np.testing.assert_array_equal(given_factors.slots[0].gamma, [2.0, 3.0])
    for other in (
        SeaState.single(2, 8, gamma=2.0),
        SeaState.single(2, 8, shape="two-parameter"),
        SeaState.single(2, 8, spreading="long-crested"),
        SeaState.single(2, 8, depth=50.0),
        SeaState((WaveSystem(2, 8), WaveSystem(1, 12))),
    ):
        with pytest.raises(InputError, match="sea states"):
            SeaBatch.stack([SeaState.single(2, 8).batch(), other.batch()])
    with pytest.raises(InputError, match="at least one sea state"):
        SeaBatch.stack([])


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"hs": np.array([1.0, -1.0, 1.0, 1.0])}, "significant wave height"),
        ({"hs": np.ones(3)}, "sea states"),
        ({"hs": np.ones((2, 2))}, "significant wave height"),
        ({"tp": np.array([1.99, 8.0, 8.0, 8.0])}, "peak period"),
        ({"tp": np.array([8.0, 8.0, 8.0, 30.1])}, "peak period"),
        ({"tp": np.array([8.0, math.inf, 8.0, 8.0])}, "peak period"),
        ({"direction_from": np.array([0.0, 0.0, 0.0, 361.0])}, "wave direction"),
        ({"gamma": np.array([1.0, 1.0, 1.0, 0.5])}, "peak factor"),
        ({"gamma": np.ones(3)}, "sea states"),
        ({"shape": "square"}, "spectral shape"),
        ({"spreading": "wide"}, "spreading"),
        ({"spreading_exponent": 0.0}, "spreading exponent"),
    ],
)
def test_a_wrong_slot_cannot_exist(changes: dict[str, Any], named: str) -> None:
    with pytest.raises(InputError, match=named):
        slot(**changes)


def test_a_wrong_batch_cannot_exist() -> None:
    with pytest.raises(InputError, match="at least one wave system"):
        SeaBatch(())
    with pytest.raises(InputError, match="slots of one size"):
        SeaBatch((slot(4), slot(5)))
    for depth in (4.9, math.nan):
        with pytest.raises(InputError, match="water depth"):
            SeaBatch((slot(),), depth)
    for bad in (np.ones((2, 3)), np.ones(OMEGA.size), -np.ones((2, OMEGA.size))):
        with pytest.raises(InputError, match="measured density"):
            MeasuredSlot(bad, np.zeros(2))
    with pytest.raises(InputError, match="sea states"):
        MeasuredSlot(np.ones((2, OMEGA.size)), np.zeros(3))


def test_a_wrong_scalar_peak_factor_is_refused() -> None:
    for gamma in (0.5, 51.0, math.nan):
        with pytest.raises(InputError, match="peak factor"):
            slot(gamma=gamma)


def test_rows_given_as_lists_are_kept_as_arrays() -> None:
    rows = np.stack([np.full(OMEGA.size, 0.5), np.full(OMEGA.size, 2.0)])
    made, same = MeasuredSlot(rows.tolist(), [10.0, 20.0]), MeasuredSlot(rows, np.array([10.0, 20.0]))  # type: ignore[arg-type]
    assert made.hs == pytest.approx(same.hs)
    assert made.hs[1] == pytest.approx(2 * made.hs[0])
    np.testing.assert_array_equal(made.direction_from, same.direction_from)
    np.testing.assert_array_equal(made.take(np.array([1])).measured, rows[1:])
