"""Below which frequency a sea is not felt, and the widest swell, on both sides of each bound."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.errors import InputError
from heave.sea import WEIGHTS, SeaState, gaussian_swell
from heave.sea.grid import OMEGA as GRID
from heave.sea.peaked import densities
from heave.sea.slots import Slot
from heave.sea.spectra import gaussian_rows

OMEGA = np.linspace(0.05, 9.0, 90_000)


def slot(tp: float, shape: str) -> Slot:
    (found,) = SeaState.single(hs=3.0, tp=tp, direction_from=0.0, shape=shape).batch().slots
    assert isinstance(found, Slot)
    return found


@pytest.mark.parametrize("tp", [3.0, 8.0, 20.0])
@pytest.mark.parametrize("shape", ["jonswap", "two-parameter"])
def test_below_it_a_peaked_sea_has_less_than_a_thirtieth_power_of_e(tp: float, shape: str) -> None:
    """ωp (1.25 / (30 + 1.25 + 5))^¼, by the exponent −1.25 t⁻⁴ and the fifth power below the peak."""
    (part,) = slot(tp, shape).parts
    from_here = 2 * math.pi / tp * (1.25 / 36.25) ** 0.25
    assert part.felt_from == pytest.approx(from_here, rel=0.02)
    density = densities([part], OMEGA)[0]
    unfelt = density[part.felt_from > OMEGA]
    assert unfelt.max(initial=0.0) <= math.exp(-30) * density.max()
    assert OMEGA[density.argmax()] > 1.3 * from_here
    assert densities([part], np.array([1.2 * from_here]))[0, 0] > math.exp(-30) * density.max()


def test_below_it_a_swell_has_less_either() -> None:
    """A bell is e⁻³⁰ of its top √60 deviations down; of several seas the longest counts, one missing does not."""
    rows = gaussian_rows(np.array([1.0, 2.0, np.nan]), np.array([10.0, 14.0, np.nan]), 0.008)
    assert rows.felt_from == pytest.approx(2 * math.pi * (1 / 14.0 - math.sqrt(60.0) * 0.008), rel=1e-12)
    assert gaussian_rows(np.array([1.0]), np.array([14.0]), 0.02).felt_from == 0.0
    assert gaussian_rows(np.array([np.nan]), np.array([np.nan]), 0.008).felt_from == math.inf


def test_a_swell_is_at_most_a_third_of_its_frequency_wide() -> None:
    """1/36 Hz at 12 s; to rounding, and no more."""
    widest = 1 / 36
    for width in (widest, widest * (1 + 5e-10)):
        assert gaussian_swell([0.5], 2.0, 12.0, width)[0] > 0
    for width in (widest * (1 + 2e-9), 0.0299):
        with pytest.raises(InputError, match="swell width"):
            gaussian_swell([0.5], 2.0, 12.0, width)
    assert gaussian_swell([0.5], [2.0, 1.0], [12.0, 6.0], widest).shape == (2, 1)
    with pytest.raises(InputError, match="swell width"):
        gaussian_swell([0.5], [2.0, 1.0], [12.0, 13.0], widest)


@pytest.mark.parametrize(("depth", "lost"), [(15.0, True), (5000.0, False)])
def test_shallow_water_takes_from_long_waves_and_the_height_stays(depth: float, lost: bool) -> None:
    """The factor of Bouws and others (1985), tanh²(kh) / (1 + 2kh / sinh 2kh), and Hs as it was."""
    state = SeaState.single(hs=3.0, tp=9.0, direction_from=0.0, depth=depth, shape="two-parameter")
    found = state.batch().spectra()[0].ordinates[0]
    assert 4 * math.sqrt(float(found @ WEIGHTS)) == pytest.approx(3.0, rel=1e-4)
    peak = 2 * math.pi / 9.0
    deep = GRID**-5.0 * np.exp(-1.25 * (peak / GRID) ** 4)
    place, other = (int(np.searchsorted(GRID, 2 * math.pi / period)) for period in (12.0, 4.0))

    def factor(omega: float) -> float:
        low, high = 1e-6, 60.0
        for _ in range(200):
            kh = (low + high) / 2
            low, high = (kh, high) if kh * math.tanh(kh) < omega**2 * depth / 9.80665 else (low, kh)
        return math.tanh(low) ** 2 / (1 + 2 * low / math.sinh(2 * low)) if low < 50 else 1.0

    ratio = (found[place] / deep[place]) / (found[other] / deep[other])
    assert ratio == pytest.approx(factor(GRID[place]) / factor(GRID[other]), rel=1e-5)
    assert (ratio < 0.9) == lost
