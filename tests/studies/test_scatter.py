"""Scatter diagrams: sums and means of a published one, shares, and seas with the height and period of their class."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

import heave
from heave.errors import InputError
from heave.files.scatter import read_scatter
from heave.sea import OMEGA, PERIOD_KINDS, SeaState, WaveSystem
from heave.sea.grid import WEIGHTS
from heave.studies.climate_seas import cell_seas, seas_of_scatter
from heave.studies.scatter import CellSeas, Scatter, ScatterPart, points_of

ATLANTIC = Path(__file__).resolve().parents[2] / "sea_states" / "iacs_rec34_rev1.csv"


@pytest.fixture(scope="module")
def atlantic() -> Scatter:
    return read_scatter(ATLANTIC, classes="middles")


def test_the_north_atlantic_by_its_printed_sums(atlantic: Scatter) -> None:
    """IACS Recommendation 34 Rev. 1: 100,000 observations, 17 sums of rows and 18 of columns as printed."""
    with ATLANTIC.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))
    printed_rows = np.array([float(row[-1]) for row in rows[1:-1]])
    printed_columns = np.array([float(cell) for cell in rows[-1][1:-1]])
    assert atlantic.cells.shape == (17, 18)
    assert np.abs(atlantic.cells.sum(axis=1) - printed_rows).max() <= 0.5 + 1e-9
    assert np.abs(atlantic.cells.sum(axis=0) - printed_columns).max() <= 0.5 + 1e-9
    assert printed_rows.sum() == float(rows[-1][-1]) == 100_000
    assert atlantic.total == pytest.approx(100_000, abs=1e-6)
    assert atlantic.measure == "counts"
    assert atlantic.period_kind == "Tz"
    assert atlantic.hs_limits.tolist() == list(range(18))
    assert atlantic.period_limits.tolist() == list(range(1, 20))


def test_the_north_atlantic_by_its_means(atlantic: Scatter) -> None:
    """Mean Hs 3.4067 m and P(Hs < 4 m) 0.68564, worked from the printed row sums."""
    assert atlantic.mean_hs == pytest.approx(3.4067, abs=5e-5)
    below = np.cumsum(atlantic.cells.sum(axis=1)) / atlantic.total
    assert below[atlantic.hs_limits[1:] == 4.0] == pytest.approx(0.68564, abs=5e-6)
    assert below[-1] == pytest.approx(1.0)


@pytest.mark.parametrize("shape", ["jonswap", "two-parameter"])
@pytest.mark.parametrize("kind", PERIOD_KINDS)
def test_every_sea_has_the_height_and_period_of_its_place(kind: str, shape: str) -> None:
    """Moments of the spectra themselves: 4 √m0 and 2π (m0/mₙ)^(1/n), to the grid's own cut of the tail."""
    plan = heave.demo_plan()
    plan = plan.changed(sea=SeaState((WaveSystem(3.0, 10.0, shape=shape),), 1200.0))
    cells = np.ones((3, 2))
    diagram = Scatter(kind, np.array([1.0, 2.0, 3.0, 5.0]), np.array([6.0, 8.0, 11.0]), (ScatterPart(cells),))
    seas = seas_of_scatter(plan, diagram, split=3)
    (slot,) = seas.batch.spectra()
    heights = np.repeat([1.5, 2.5, 4.0], 2)
    middles = seas.places.centre  # type: ignore[union-attr]
    assert seas.batch.hs[middles].tolist() == heights.tolist()
    m0 = slot.ordinates @ WEIGHTS
    np.testing.assert_allclose(4 * np.sqrt(m0), seas.batch.hs, rtol=1e-3)
    if kind == "Tp":
        found = 2 * np.pi / OMEGA[slot.ordinates.argmax(axis=1)]
        tolerance = 0.02
    else:
        order = {"Tz": 2, "T1": 1, "Te": -1}[kind]
        found = 2 * np.pi * (m0 / (slot.ordinates * OMEGA**order @ WEIGHTS)) ** (1 / order)
        tolerance = 0.02 if kind == "Tz" else 0.005  # the tail beyond the grid weighs most in m2
    wanted = points_of(diagram.period_limits, 3)
    places = np.tile(np.repeat(np.array([[0, 1, 2]]), 3, axis=0).ravel(), 6)
    columns = np.repeat(np.tile([0, 1], 3), 9)
    np.testing.assert_allclose(found, wanted[columns, places], rtol=tolerance)


def test_two_parameter_tz_is_the_closed_form() -> None:
    """Tp = Tz (1.25π)^¼, moments of the two-parameter spectrum (DNV-RP-C205, 3.5)."""
    tp = CellSeas("two-parameter").peak_periods(np.array([2.0]), np.array([8.0]), "Tz")
    assert tp[0] == pytest.approx(8.0 * (1.25 * np.pi) ** 0.25, rel=1e-9)


def test_shares_of_the_classes_add_up_and_fill_them(atlantic: Scatter) -> None:
    seas = seas_of_scatter(heave.demo_plan(), atlantic, split=3)
    assert seas.weight.sum() == pytest.approx(1.0, abs=1e-12)
    places = seas.places
    assert places is not None
    by_cell = np.bincount(places.cell, seas.weight, minlength=17 * 18).reshape(17, 18)
    np.testing.assert_allclose(by_cell, atlantic.cells / atlantic.total, atol=1e-15)
    assert places.centre.sum() * 9 == seas.batch.size
    known = ~np.isnan(seas.batch.hs)
    row = places.cell // 18
    assert (seas.batch.hs[known] > atlantic.hs_limits[row[known]]).all()
    assert (seas.batch.hs[known] < atlantic.hs_limits[row[known] + 1]).all()
    assert float(seas.weight[known] @ seas.batch.hs[known] / seas.weight[known].sum()) == pytest.approx(
        atlantic.mean_hs, abs=1e-3
    )


def test_all_round_is_twelve_directions_alike(atlantic: Scatter) -> None:
    plan = heave.demo_plan()
    one, many = (seas_of_scatter(plan, atlantic, bearing, 1) for bearing in ("plan", "all round"))
    assert many.batch.size == 12 * one.batch.size
    directions = many.batch.slots[0].direction_from
    assert np.bincount((directions / 30).astype(int), many.weight) == pytest.approx(np.full(12, 1 / 12))
    assert set(one.batch.slots[0].direction_from.tolist()) == {plan.sea.systems[0].direction_from}


def test_an_open_class_is_not_known_and_never_calm() -> None:
    cells = np.array([[5.0, 1.0], [3.0, 1.0]])
    diagram = Scatter("Tp", np.array([0.0, 1.0, np.inf]), np.array([6.0, 8.0, np.inf]), (ScatterPart(cells),))
    seas = seas_of_scatter(heave.demo_plan(), diagram)
    unknown = np.isnan(seas.batch.hs)
    assert seas.weight[unknown].sum() == pytest.approx(0.5)
    assert any("not assessed" in note for note in seas.notes)


def test_periods_beyond_the_planner_are_not_known() -> None:
    diagram = Scatter(
        "Tp", np.array([0.0, 1.0]), np.array([1.0, 2.0, 4.0, 29.0, 33.0]), (ScatterPart(np.ones((1, 4))),)
    )
    seas = seas_of_scatter(heave.demo_plan(), diagram, split=1)
    assert np.isnan(seas.batch.hs).tolist() == [True, False, False, True]


def test_the_shape_is_the_plans_where_a_period_has_one_peak() -> None:
    plan = heave.demo_plan()
    given = plan.changed(sea=SeaState((WaveSystem(3.0, 10.0, gamma=2.0, spreading_exponent=6.0),), 1200.0))
    assert cell_seas(given)[0] == CellSeas("jonswap", 2.0, "cos-n", 6.0)
    two = plan.changed(sea=SeaState((WaveSystem(3.0, 10.0, shape="torsethaugen"),), 1200.0))
    shape, words = cell_seas(two)
    assert shape.shape == "jonswap"
    assert "torsethaugen" in words


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"period_kind": "Tm"}, "kind of period"),
        ({"hs_limits": np.array([0.0, 2.0, 1.0])}, "rising numbers"),
        ({"hs_limits": np.array([-1.0, 0.0, 1.0])}, "rising numbers from 0"),
        ({"hs_limits": np.array([0.0, np.inf, np.inf])}, "only the last infinite"),
        ({"parts": ()}, "one or more of shape"),
        ({"parts": (ScatterPart(np.ones((1, 2))),)}, "one or more of shape"),
        ({"parts": (ScatterPart(np.zeros((2, 2))),)}, "above 0"),
        (
            {"parts": (ScatterPart(np.ones((2, 2))), ScatterPart(np.ones((2, 2)), month=1))},
            "all of them or none",
        ),
        (
            {"parts": (ScatterPart(np.ones((2, 2)), month=1), ScatterPart(np.ones((2, 2)), month=1))},
            "one of each",
        ),
        ({"measure": "hours"}, "what the cells are"),
    ],
)
def test_a_diagram_that_cannot_be_is_refused(change: dict[str, object], words: str) -> None:
    good = {
        "period_kind": "Tp",
        "hs_limits": np.array([0.0, 1.0, 2.0]),
        "period_limits": np.array([4.0, 6.0, 8.0]),
        "parts": (ScatterPart(np.ones((2, 2))),),
    }
    Scatter(**good)  # type: ignore[arg-type]
    with pytest.raises(InputError, match=words):
        Scatter(**{**good, **change})  # type: ignore[arg-type]


@pytest.mark.parametrize("cells", [[[1.0, -1.0]], [[np.nan]], [1.0], [[np.inf]]])
def test_cells_are_finite_numbers_from_nought(cells: list[object]) -> None:
    with pytest.raises(InputError, match="numbers from 0 to 1e\\+12"):
        ScatterPart(np.array(cells, dtype=float))


@pytest.mark.parametrize(("split", "bearing"), [(2, "plan"), (0, "plan"), (27, "plan"), (5, "north")])
def test_parts_and_bearing_are_held_to_what_they_may_be(split: int, bearing: str, atlantic: Scatter) -> None:
    with pytest.raises(InputError):
        seas_of_scatter(heave.demo_plan(), atlantic, bearing, split)  # type: ignore[arg-type]
