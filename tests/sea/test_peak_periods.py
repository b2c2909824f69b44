"""Peak periods of many seas: the tables against the equation solved sea by sea."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.errors import InputError
from heave.sea.periods import mean_periods, peak_period, peak_periods

HS = np.linspace(0.3, 9.0, 12)
GIVEN = np.linspace(5.0, 14.0, 12)


@pytest.mark.parametrize("kind", ["Tp", "Tz", "T1", "Te"])
@pytest.mark.parametrize("shape", ["two-parameter", "jonswap", "gaussian-swell"])
def test_many_seas_as_one_by_one(kind: str, shape: str) -> None:
    found = peak_periods(GIVEN, kind, shape, HS)
    one_by_one = [peak_period(t, kind, shape, float(h)) for t, h in zip(GIVEN, HS, strict=True)]
    np.testing.assert_allclose(found, one_by_one, rtol=1e-7)


@pytest.mark.parametrize("kind", ["Tz", "T1", "Te"])
def test_the_peak_period_found_has_the_period_given(kind: str) -> None:
    """Across the whole rule for the peak factor, Tp/√Hs 3 to 6: back to the period, to a millionth."""
    hs = np.full(301, 4.0)
    tp = np.linspace(3.0, 6.0, 301) * 2.0
    given = mean_periods(kind, "jonswap", hs, tp)
    np.testing.assert_allclose(peak_periods(given, kind, "jonswap", hs), tp, rtol=1e-6)


def test_published_ratio_without_height() -> None:
    """No height is the two-parameter end of the rule: Tz/Tp = (1.25π)^(−1/4) = 0.710371 exactly."""
    found = peak_periods([7.10371, 7.10371], "Tz", "jonswap", [0.0, math.nan])
    assert found[0] == pytest.approx(10.0, rel=2e-6)
    assert (1.25 * math.pi) ** -0.25 == pytest.approx(0.710371, abs=5e-7)


def test_missing_stays_missing() -> None:
    for shape in ("two-parameter", "jonswap", "gaussian-swell"):
        assert np.isnan(peak_periods([math.nan], "Te", shape, [2.0])).all()


def test_a_swell_too_short_for_the_form_has_no_peak_period() -> None:
    found = peak_periods([3.0, 3.9, 4.2, 33.0, 60.0], "Te", "gaussian-swell", np.ones(5))
    assert np.isnan(found[[0, 4]]).all()
    assert np.isfinite(found[2])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (([8.0], "Tm", "jonswap", [2.0]), "one of Tp"),
        (([8.0], "Tz", "torsethaugen", [2.0]), "Tp, for a Torsethaugen"),
        (([8.0], "Tz", "square", [2.0]), "jonswap"),
        (([-8.0], "Tz", "jonswap", [2.0]), "from 0"),
        (([8.0], "Tz", "jonswap", [26.0]), "to 25"),
    ],
)
def test_wrong_arguments_are_refused(arguments: tuple[object, ...], words: str) -> None:
    with pytest.raises(InputError, match=words):
        peak_periods(*arguments)  # type: ignore[arg-type]
