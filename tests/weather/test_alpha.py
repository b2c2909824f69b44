"""The forecast factor: rows, interpolation, the exact way back, and what is refused."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from heave.errors import InputError
from heave.judging import utilisations
from heave.planning import Plan
from heave.planning.alpha import BASE_CASE, NO_FACTOR, AlphaRow, AlphaTable
from heave.sea import SeaBatch, SystemSlot
from heave.weather import scaled_for

HOUR = 3600.0
ROW = BASE_CASE.rows[1]


def test_linear_between_heights_and_constant_outside() -> None:
    assert ROW.factor(3.0) == pytest.approx((0.73 + 0.76) / 2)
    assert ROW.factor(0.2) == pytest.approx(0.63)
    assert ROW.factor(11.0) == pytest.approx(0.78)
    assert np.isnan(ROW.factor(np.nan))


@given(hs=st.floats(0.0, 25.0), row=st.sampled_from(BASE_CASE.rows))
def test_design_height_is_the_way_back_from_the_forecast_limit(hs: float, row: AlphaRow) -> None:
    assert row.design_height(row.factor(hs) * hs) == pytest.approx(hs, rel=1e-12, abs=1e-12)


@given(
    falls=st.lists(st.floats(0.3, 1.0), min_size=4, max_size=4).filter(
        lambda f: _accepted(f) and len(set(f)) > 1
    ),
    hs=st.floats(0.01, 20.0),
)
def test_the_way_back_holds_for_any_table_that_is_accepted(falls: list[float], hs: float) -> None:
    row = AlphaRow(HOUR, *falls)
    assert row.design_height(row.factor(hs) * hs) == pytest.approx(hs, rel=1e-9)


def _accepted(factors: list[float]) -> bool:
    try:
        AlphaRow(HOUR, *factors)
    except InputError:
        return False
    return True


def test_a_table_that_gives_two_answers_is_refused() -> None:
    with pytest.raises(InputError, match="rises with height"):
        AlphaRow(HOUR, 0.9, 0.4, 0.4, 0.4)


@pytest.mark.parametrize("bad", [0.0, -0.1, 1.01, float("nan")])
def test_a_factor_is_above_0_and_at_most_1(bad: float) -> None:
    with pytest.raises(InputError, match="α at Hs"):
        AlphaRow(HOUR, bad, 0.8, 0.8, 0.8)
    AlphaRow(HOUR, 1.0, 1.0, 1.0, 1.0)


def test_row_is_the_shortest_that_is_long_enough() -> None:
    assert BASE_CASE.row_for(12 * HOUR) is BASE_CASE.rows[0]
    assert BASE_CASE.row_for(12 * HOUR + 1) is BASE_CASE.rows[1]
    assert BASE_CASE.row_for(24 * HOUR) is BASE_CASE.rows[1]


def test_a_missing_row_is_named_and_not_made_up() -> None:
    with pytest.raises(InputError, match=r"Planned period.*24\u00a0h, the longest row"):
        BASE_CASE.row_for(24 * HOUR + 1)


def test_no_rows_is_no_factor() -> None:
    assert NO_FACTOR.row_for(500 * HOUR) is None
    assert not NO_FACTOR.applied
    assert NO_FACTOR.factor(500 * HOUR, np.array([1.0, 3.0])).tolist() == [1.0, 1.0]


def test_rows_are_in_order_and_have_a_source() -> None:
    rows = BASE_CASE.rows
    with pytest.raises(InputError, match="longer than the one before"):
        AlphaTable((rows[1], rows[0]), "the wrong way round")
    with pytest.raises(InputError, match="where the factors come from"):
        AlphaTable(rows, " ")


def test_heights_out_of_range_are_refused() -> None:
    with pytest.raises(InputError, match="significant wave height"):
        ROW.design_height(-0.1)
    with pytest.raises(InputError, match="significant wave height"):
        ROW.factor(np.inf)


@pytest.mark.parametrize("row", BASE_CASE.rows)
@pytest.mark.parametrize(("tp", "swell"), [(8.0, 0.6), (11.0, 0.3), (14.0, 0.0)])
def test_checks_at_the_design_height_are_the_reduced_limit_exactly(
    plan: Plan, row: AlphaRow, tp: float, swell: float
) -> None:
    """Root finding first, then α: the sea scaled until the checks reach 1 has the limiting height H; forecasts
    just under α(H)·H are inside when judged at their design height, those just over are not."""
    shape = SeaBatch(
        (
            SystemSlot(np.array([1.0]), np.array([tp]), np.array([225.0]), gamma=2.0),
            SystemSlot(np.array([swell]), np.array([15.0]), np.array([250.0]), shape="gaussian-swell"),
        )
    )
    one = float(shape.hs[0])

    def at(height: float) -> SeaBatch:
        return dataclasses.replace(
            shape, slots=tuple(dataclasses.replace(slot, hs=slot.hs * height / one) for slot in shape.slots)
        )

    limit = brentq(lambda h: float(utilisations(plan, at(h)).governing[0]) - 1, 0.2, 15.0, xtol=1e-10)
    allowed = float(row.factor(limit)) * limit
    for share, inside in ((1 - 1e-6, True), (1 + 1e-6, False)):
        judged = utilisations(plan, scaled_for(at(allowed * share), row))
        assert bool(judged.governing[0] < 1) is inside


def test_all_systems_are_raised_together_and_periods_held() -> None:
    slots = [SystemSlot(np.array([h]), np.array([9.0]), np.array([0.0])) for h in (1.2, 1.6)]
    raised = scaled_for(SeaBatch(tuple(slots)), ROW)
    assert raised.hs[0] == pytest.approx(float(ROW.design_height(2.0)))
    assert raised.slots[1].hs / raised.slots[0].hs == pytest.approx(1.6 / 1.2)
    assert raised.slots[0].tp == pytest.approx(9.0)


def test_a_sea_that_would_pass_the_highest_is_unknown_and_not_lowered() -> None:
    one = SystemSlot(np.array([24.0, 3.0, np.nan, 0.0]), np.full(4, 16.0), np.zeros(4))
    raised = scaled_for(SeaBatch((one,)), ROW)
    assert np.isnan(raised.hs).tolist() == [True, False, True, False]
    assert raised.hs[3] == 0.0
