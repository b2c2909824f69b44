"""When a measured spectrum is of."""

from __future__ import annotations

import pytest

from heave.errors import InputError
from heave.sea import MeasuredSpectrum

BANDS = {"frequency": (0.05, 0.1), "bandwidth": (0.05, 0.05), "density": (1.0, 2.0)}


@pytest.mark.parametrize("time", ["2026-03-04T06:00Z", "2026-03-04T06:00:00+00:00", None])
def test_a_time_with_a_zone_is_taken(time: str | None) -> None:
    assert MeasuredSpectrum(**BANDS, time=time).time == time


@pytest.mark.parametrize("time", ["2026-03-04T06:00", "yesterday", "", "<b>", "2026-03-04T06:00Z" * 99])
def test_any_other_text_is_refused_by_name(time: str) -> None:
    with pytest.raises(InputError, match=r"time of the measured spectrum.*ISO 8601 with a zone") as caught:
        MeasuredSpectrum(**BANDS, time=time)
    assert len(str(caught.value)) < 200
