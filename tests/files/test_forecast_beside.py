"""What a forecast file holds beside its waves: wind, gusts, current and tide are read, and limits are held to them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from heave.errors import FileError
from heave.files.forecast.reader import read_forecast
from heave.files.rigs import demo_plan
from heave.planning import NO_FACTOR, Campaign, OperationStep
from heave.weather import weather_windows

KNOT = 1852 / 3600
FOOT = 0.3048
HOURS = 36


def file_of(header: str, values: list[float | str]) -> bytes:
    """A calm forecast of hours with one more column."""
    lines = [f"time_utc,hs_m,tp_s,direction_from_deg,{header}"]
    start = np.datetime64("2026-05-01T00:00")
    lines += [
        f"{start + hour * np.timedelta64(1, 'h')}Z,0.6,8,225,{value}" for hour, value in enumerate(values)
    ]
    return "\n".join(lines).encode()


@pytest.mark.parametrize(
    ("header", "field", "factor"),
    [
        ("wind_speed_m_per_s", "wind_speed", 1.0),
        ("Wind speed (kn)", "wind_speed", KNOT),
        ("gust_speed_m_per_s", "gust_speed", 1.0),
        ("Gusts (kn)", "gust_speed", KNOT),
        ("Wind gust [km/h]", "gust_speed", 1 / 3.6),
        ("current_speed_m_per_s", "current_speed", 1.0),
        ("Surface current speed (kn)", "current_speed", KNOT),
        ("tide_m", "tide", 1.0),
        ("Tide height (ft)", "tide", FOOT),
        ("Tidal level (cm)", "tide", 0.01),
    ],
)
def test_each_is_read_in_its_unit(header: str, field: str, factor: float) -> None:
    values = [1.0, 2.5, "", 4.0]
    found = read_forecast(file_of(header, list(values)))
    np.testing.assert_allclose(getattr(found, field), factor * np.array([1.0, 2.5, np.nan, 4.0]), rtol=1e-12)
    others = {"wind_speed", "gust_speed", "current_speed", "tide"} - {field}
    assert all(getattr(found, other) is None for other in others)
    assert not any("not used" in note for note in found.notes)


def test_a_tide_may_be_below_its_datum_and_a_speed_may_not() -> None:
    assert read_forecast(file_of("tide_m", [-1.2, 0.0])).tide == pytest.approx([-1.2, 0.0])
    with pytest.raises(FileError, match="current_speed_m_per_s"):
        read_forecast(file_of("current_speed_m_per_s", [0.4, -0.4]))


@pytest.mark.parametrize("header", ["Gusts", "Tide", "Current direction (deg)", "Wind gust direction"])
def test_without_a_unit_or_of_a_direction_it_is_named_as_not_used(header: str) -> None:
    found = read_forecast(file_of(header, [1.0, 2.0]))
    assert any("not used" in note and header.lower() in note for note in found.notes)


@pytest.mark.parametrize(
    ("header", "limit"),
    [("gust_speed_m_per_s", "gust_limit"), ("current_speed_m_per_s", "current_limit")],
)
def test_a_limit_of_the_rig_is_held_to_the_column_of_the_file(header: str, limit: str) -> None:
    """Two hours of work; from the 20th hour on the figure is over the limit of 3 m/s, missing it is not assessed."""
    plan = demo_plan()
    step = OperationStep(replace(plan.operation, duration=3600.0), contingency=3600.0, **{limit: 3.0})
    values: list[float | str] = [2.0] * 20 + [3.5] * (HOURS - 20)
    found = weather_windows(
        plan, read_forecast(file_of(header, values)), campaign=Campaign((step,)), alpha=NO_FACTOR
    )
    (window,) = found.windows
    assert window.latest_start == found.forecast.times[17]
    assert window.ending.check_name == {"gust_limit": "Gusts", "current_limit": "Current"}[limit]
    without = weather_windows(
        plan, read_forecast(file_of("cloud", values)), campaign=Campaign((step,)), alpha=NO_FACTOR
    )
    assert not without.windows
    assert not without.steps[0].reduced.assessed.any()
