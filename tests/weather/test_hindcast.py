"""Long records: availability, windows by month and waiting times, against counting them one by one."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from heave.planning import Operation, Plan
from heave.weather import CancelledError, hindcast_windows
from heave.weather.forecast import Forecast

HOUR = 3600.0
CALM, ROUGH = 0.8, 7.5
Maker = Callable[..., Forecast]


@pytest.fixture
def day(plan: Plan) -> Plan:
    """Three hours of drilling and three of contingency."""
    return plan.changed(operation=Operation(duration=3 * HOUR))


@pytest.fixture
def tides(make: Maker) -> Forecast:
    """February and March of a leap year: twelve hours calm (13 samples), eleven rough, over and over."""
    return make(([CALM] * 13 + [ROUGH] * 11) * 60, start="2028-02-01T00:00:00")


def test_waiting_time_of_a_series_that_repeats(day: Plan, tides: Forecast) -> None:
    """Starts work for hours 0 to 6 of each day; from hour 7 on the wait is 24 − hour. The last day has no next."""
    result = hindcast_windows(day, tides)
    waits = [0 if hour <= 6 else 24 - hour for hour in range(24)] * 59
    waits += [0 if hour <= 6 else math.inf for hour in range(24)]
    assert (result.waiting / HOUR).tolist() == waits
    waits.sort()
    assert result.overall.waiting_p50 / HOUR == waits[math.ceil(0.5 * len(waits)) - 1] == 6
    assert result.overall.waiting_p90 / HOUR == waits[math.ceil(0.9 * len(waits)) - 1] == 15


def test_availability_starts_and_windows_by_month(day: Plan, tides: Forecast) -> None:
    result = hindcast_windows(day, tides)
    assert [month.name for month in result.months] == ["Feb", "Mar"]
    february, march = result.months
    assert february.samples == 29 * 24
    assert february.availability == pytest.approx(13 / 24)
    assert february.starts == pytest.approx(7 / 24)
    assert february.windows == 29
    assert march.windows == 31
    assert february.mean_length == february.longest == 12 * HOUR
    assert result.overall.windows == 30
    assert result.lengths.tolist() == [12 * HOUR] * 60


def test_same_month_of_two_years_is_averaged(day: Plan, make: Maker) -> None:
    hours = 366 * 24 + 31 * 24
    heights = np.full(hours, ROUGH)
    heights[24:49] = CALM  # one window in January 2028, none in January 2029
    result = hindcast_windows(day, make(heights, start="2028-01-01T00:00:00"))
    january = result.months[0]
    assert january.name == "Jan"
    assert january.samples == 2 * 31 * 24
    assert january.windows == 0.5
    assert math.isnan(result.months[1].mean_length)
    assert math.isinf(result.months[1].waiting_p50)


def test_what_is_missing_is_counted_and_never_calm(day: Plan, make: Maker) -> None:
    heights = np.array([CALM] * 8 + [math.nan] * 8 + [CALM] * 8)
    result = hindcast_windows(day, make(heights))
    assert result.overall.missing == pytest.approx(1 / 3)
    assert result.overall.availability == 1.0
    assert (result.waiting[:16] / HOUR).tolist() == [0, 0, 14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1]


def test_nothing_known_is_not_available(day: Plan, make: Maker) -> None:
    result = hindcast_windows(day, make([math.nan] * 24))
    assert math.isnan(result.overall.availability)
    assert result.overall.starts == 0.0
    assert math.isinf(result.overall.waiting_p90)


def test_progress_runs_to_the_end(day: Plan, make: Maker, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("heave.judging.utilisation.PIECE", 10)
    told: list[float] = []
    hindcast_windows(day, make([CALM] * 95), progress=told.append)
    assert len(told) == 10
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_cancel_stops_between_pieces(day: Plan, make: Maker, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("heave.judging.utilisation.PIECE", 10)
    told: list[float] = []

    def tell(share: float) -> None:
        told.append(share)
        if len(told) > 2:
            raise CancelledError

    with pytest.raises(CancelledError):
        hindcast_windows(day, make([CALM] * 400), progress=tell)
    assert told[-1] < 1.0
