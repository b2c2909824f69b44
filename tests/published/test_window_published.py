"""Weather-restricted operations: published figures of the forecast factor and the periods it goes by."""

from __future__ import annotations

import numpy as np
import pytest

from heave.planning import Operation
from heave.planning.alpha import BASE_CASE, AlphaRow, AlphaTable
from heave.planning.campaign import Campaign, OperationStep

HOUR = 3600.0


def test_worked_example_of_a_20_h_operation() -> None:
    """20 h planned, design height 2.5 m, factor 0.71: 1.8 m may be forecast.

    Worked example of an encyclopaedia article on the weather window, after older rules than those built in,
    hence a table of the user's own. Printed to 0.1 m.
    """
    older = AlphaTable((AlphaRow(24 * HOUR, 0.71, 0.71, 0.71, 0.71),), "worked example, older rules")
    row = older.row_for(20 * HOUR)
    assert row is not None
    assert older.factor(20 * HOUR, 2.5) == pytest.approx(0.71)
    assert row.factor(2.5) * 2.5 == pytest.approx(1.8, abs=0.05)
    assert row.design_height(0.71 * 2.5) == pytest.approx(2.5, rel=1e-12)


@pytest.mark.parametrize(
    ("planned", "printed"),
    [(12, (0.65, 0.76, 0.79, 0.80)), (24, (0.63, 0.73, 0.76, 0.78))],
)
def test_base_case_table(planned: float, printed: tuple[float, ...]) -> None:
    """DNV-OS-H101 / DNV-ST-N001, α for waves, North Sea, base case, at Hs 1, 2, 4 and 6 m; from memory."""
    assert BASE_CASE.factor(planned * HOUR, np.array([1.0, 2.0, 4.0, 6.0])).tolist() == list(printed)
    assert BASE_CASE.factor(planned * HOUR, 9.0) == printed[-1]
    assert BASE_CASE.factor(planned * HOUR, 0.5) == printed[0]


def test_base_case_as_a_whole_table() -> None:
    """Longer operations and lower seas are forecast less surely: α falls along both."""
    factors = np.array([row.factors for row in BASE_CASE.rows])
    assert (np.diff(factors, axis=0) < 0).all()
    assert (np.diff(factors, axis=1) > 0).all()
    assert "from memory" in BASE_CASE.source
    assert [row.period for row in BASE_CASE.rows] == [12 * HOUR, 24 * HOUR]


def test_linear_in_height_between_the_columns() -> None:
    """The table is read linearly in Hs; 3 m in the 12 h row lies halfway between 0.76 and 0.79."""
    assert BASE_CASE.factor(12 * HOUR, 3.0) == pytest.approx(0.775)
    assert BASE_CASE.factor(8 * HOUR, 3.0) == pytest.approx(0.775)


def test_reference_period() -> None:
    """T_R = T_POP + T_C, and T_C = T_POP where it has not been assessed (DNV-OS-H101, from memory)."""
    assessed = OperationStep(Operation(duration=20 * HOUR), contingency=6 * HOUR)
    assert assessed.reference == 26 * HOUR
    assert OperationStep(Operation(duration=20 * HOUR)).reference == 40 * HOUR


@pytest.mark.parametrize(
    ("planned", "contingency", "restricted"),
    [(71.9, 24.0, True), (72.0, 0.0, False), (60.0, 35.9, True), (60.0, 36.0, False)],
)
def test_weather_restricted(planned: float, contingency: float, restricted: bool) -> None:
    """Weather-restricted when T_POP < 72 h and T_R < 96 h (DNV-OS-H101 / ISO 19901-6, from memory)."""
    step = OperationStep(Operation(duration=planned * HOUR), contingency=contingency * HOUR)
    assert Campaign((step,)).blocks[0].weather_restricted is restricted
