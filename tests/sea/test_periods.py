"""Periods: each kind leads back to the peak period of the same spectrum."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.sea import (
    PERIOD_KINDS,
    gaussian_swell,
    jonswap,
    mean_periods,
    ochi_hubble,
    peak_period,
    period_ratio,
    torsethaugen,
)

LONG = np.exp(np.linspace(math.log(0.02), math.log(3000.0), 60001))


def periods_of(spectrum: FloatArray) -> dict[str, float]:
    weights = np.diff(np.concatenate((LONG[:1], 0.5 * (LONG[1:] + LONG[:-1]), LONG[-1:])))
    m = {order: float((spectrum * LONG**order) @ weights) for order in (-1, 0, 1, 2)}
    return {
        "Tz": 2 * math.pi * math.sqrt(m[0] / m[2]),
        "T1": 2 * math.pi * m[0] / m[1],
        "Te": 2 * math.pi * m[-1] / m[0],
    }


@pytest.mark.parametrize("gamma", [1.0, 1.3, 3.3, 8.0, 20.0, 50.0])
def test_ratios_against_a_long_integration(gamma: float) -> None:
    for kind, period in periods_of(jonswap(LONG, 3.0, 10.0, gamma)).items():
        assert float(period_ratio(kind, gamma)) * 10.0 == pytest.approx(period, rel=1e-5)


@pytest.mark.parametrize(("hs", "tp"), [(6.0, 8.0), (3.0, 14.0), (1.0, 5.0)])
def test_two_peak_and_swell_periods_against_a_long_integration(hs: float, tp: float) -> None:
    # The Torsethaugen tail falls with the fourth power only, so 3000 rad/s leaves 0.1 % of Tz out.
    for kind, period in periods_of(torsethaugen(LONG, hs, tp)).items():
        assert float(mean_periods(kind, "torsethaugen", hs, tp)) == pytest.approx(period, rel=2e-3)
    for kind, period in periods_of(ochi_hubble(LONG, hs)).items():
        assert float(mean_periods(kind, "ochi-hubble", hs, tp)) == pytest.approx(period, rel=1e-3)
    for kind, period in periods_of(gaussian_swell(LONG, hs, tp)).items():
        assert float(mean_periods(kind, "gaussian-swell", hs, tp)) == pytest.approx(period, rel=1e-5)


@settings(max_examples=60, deadline=None)
@given(
    tp=st.floats(4.0, 20.0),
    hs=st.floats(0.3, 12.0),
    kind=st.sampled_from(PERIOD_KINDS),
    shape=st.sampled_from(("two-parameter", "jonswap", "gaussian-swell")),
)
def test_there_and_back(tp: float, hs: float, kind: str, shape: str) -> None:
    if shape == "two-parameter":
        given_period = tp * float(period_ratio(kind))
    else:
        given_period = float(mean_periods(kind, shape, hs, tp))
    assert peak_period(given_period, kind, shape, hs) == pytest.approx(tp, rel=1e-6)


def test_given_peak_factor() -> None:
    assert peak_period(8.0, "Tz", "jonswap", gamma=3.3) == pytest.approx(8.0 / 0.77740, rel=1e-4)
    assert peak_period(8.0, "Tp", "jonswap") == 8.0


def test_torsethaugen_period_is_found_or_refused() -> None:
    period = float(mean_periods("Tz", "torsethaugen", 3.0, 6.0))
    assert peak_period(period, "Tz", "torsethaugen", 3.0) == pytest.approx(6.0, rel=1e-6)
    with pytest.raises(InputError, match="only one peak period"):
        peak_period(float(mean_periods("Tz", "torsethaugen", 3.0, 14.0)), "Tz", "torsethaugen", 3.0)
    with pytest.raises(InputError, match="some peak period"):
        peak_period(9.0, "Tz", "torsethaugen", 3.0)


def test_order_of_the_periods() -> None:
    for gamma in (1.0, 3.3, 7.0):
        tz, t1, te, tp = (float(period_ratio(kind, gamma)) for kind in ("Tz", "T1", "Te", "Tp"))
        assert tz < t1 < te < tp == 1.0
    assert np.isnan(period_ratio("Tz", np.array([np.nan, 2.0])))[0]


def test_bad_periods_are_refused() -> None:
    for call in (
        lambda: period_ratio("Tm"),
        lambda: peak_period(8.0, "Tm"),
        lambda: mean_periods("T", "jonswap", 2, 8),
    ):
        with pytest.raises(InputError, match="kind of period"):
            call()
    for bad in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(InputError, match="wave period Tz"):
            peak_period(bad, "Tz", "two-parameter")
    with pytest.raises(InputError, match="significant wave height"):
        peak_period(8.0, "Tz", "jonswap")
    with pytest.raises(InputError, match="spectral shape"):
        mean_periods("Tz", "square", 2.0, 8.0)
    with pytest.raises(InputError, match="peak factor"):
        period_ratio("Tz", 0.5)
    # λ2 of Ochi–Hubble falls to ½ at Hs 18.1 m, where its second moment becomes infinite.
    mean_periods("Tz", "ochi-hubble", 18.0, 1.0)
    with pytest.raises(InputError, match="m2 is infinite"):
        mean_periods("Tz", "ochi-hubble", 18.3, 1.0)
