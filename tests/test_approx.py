"""Arrays compared whole by pytest.approx (conftest.py) are held as strictly as one number after the other."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

EXPECTED = np.array([[0.0, 1.0, -3.0], [1e-9, 20.0, 5e6]])


@pytest.mark.parametrize(
    "given", [{}, {"rel": 1e-3}, {"abs": 1e-3}, {"rel": 1e-3, "abs": 1e-2}, {"rel": 0.0, "abs": 0.0}]
)
@pytest.mark.parametrize("place", list(np.ndindex(*EXPECTED.shape)))
def test_one_value_just_outside_is_enough(given: dict[str, float], place: tuple[int, int]) -> None:
    """The larger of both tolerances holds, not their sum; left out, 1e-6 and 1e-12 (pytest's own documentation)."""
    absolute, value = given.get("abs", 1e-12), abs(float(EXPECTED[place]))
    relative = given.get("rel", 0.0 if "abs" in given else 1e-6) * value
    for share, within in ((0.98, True), (1.02, False)):
        moved = EXPECTED.copy()
        moved[place] += max(absolute, relative) * share if given.get("abs") != 0.0 else (not within) * 1e-7
        assert (moved == pytest.approx(EXPECTED, **given)) == within
        alone = np.full(3, moved[place])
        assert (alone == pytest.approx(float(EXPECTED[place]), **given)) == within


@pytest.mark.parametrize(
    ("actual", "expected"),
    [
        (np.zeros(3), np.zeros(4)),
        (np.zeros((3, 1)), np.zeros(3)),
        (np.array([1.0, math.nan]), np.array([1.0, 1.0])),
        (np.array([math.nan]), np.array([math.nan])),
        (np.array([1.0, 1.0]), np.array([1.0, math.inf])),
        (np.array([1.0, -math.inf]), np.array([1.0, math.inf])),
        (np.array([1.0, math.inf]), 1.0),
    ],
)
def test_what_is_no_match_stays_none(actual: np.ndarray[Any, Any], expected: Any) -> None:
    assert actual != pytest.approx(expected, rel=0.5)


def test_infinite_values_match_themselves() -> None:
    assert np.array([1.0, math.inf]) == pytest.approx(np.array([1.0, math.inf]))
    assert pytest.approx(np.array([1.0, 2.0])) == [1.0, 2.0]
