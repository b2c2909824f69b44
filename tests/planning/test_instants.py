"""Times of a plan: a year of four digits and what follows it; nothing else becomes another time."""

from __future__ import annotations

import numpy as np
import pytest

from heave.errors import InputError
from heave.planning.instants import instant
from heave.planning.tide import TideWater


@pytest.mark.parametrize("year", ["2" + "9" * 500, "20261", "202", "026", "-001", "+2026", "٢٠٢٦", "now", ""])
def test_a_year_of_other_than_four_digits_is_none(year: str) -> None:
    """A year of 500 digits came out as the year before the first."""
    with pytest.raises(InputError, match="such as 2026-01-31T12:00"):
        TideWater(f"{year}-12-26T22:00", 1.0)


@pytest.mark.parametrize("when", ["2026-12-26T22:00", "2026-12-26 22:00", "2026-12-26T22:00:00"])
def test_a_time_is_to_the_second(when: str) -> None:
    assert instant(when) == np.datetime64("2026-12-26T22:00:00")
