"""What a forecast file holds beside its waves: wind, gusts, current and tide are read, and limits are held to them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from heave.errors import FileError, InputError
from heave.files.forecast.answers import answer
from heave.files.forecast.questions import ForecastQuestions
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


@pytest.mark.parametrize("header", ["Gusts", "Tide", "Wind speed", "Wind", "Wind gust direction"])
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


WAYS = ("wind_direction_from", "current_direction_to")


@pytest.mark.parametrize(
    ("header", "field", "turned"),
    [
        ("Wind direction (deg)", WAYS[0], 0),
        ("WDir", WAYS[0], 0),
        ("Wind (deg)", WAYS[0], 0),
        ("wind_from_direction", WAYS[0], 0),
        ("Wind direction to (deg)", WAYS[0], 180),
        ("wind_to_direction", WAYS[0], 180),
        ("Wind dir 10m (\u00b0T)", WAYS[0], 0),
        ("Current direction (deg)", WAYS[1], 0),
        ("Current set (deg)", WAYS[1], 0),
        ("sea_water_velocity_to_direction", WAYS[1], 0),
        ("Current direction from", WAYS[1], 180),
    ],
)
def test_the_way_of_wind_and_current_is_read_and_a_sense_that_is_said_is_obeyed(
    header: str, field: str, turned: int
) -> None:
    """A wind comes from its direction, a current sets towards it: common practice, taken where nothing is said."""
    found = read_forecast(file_of(header, [30, "", 350, 360]))
    expected = (np.array([30, np.nan, 350, 0]) + turned) % 360
    np.testing.assert_allclose(getattr(found, field), expected, atol=1e-9)
    (other,) = set(WAYS) - {field}
    assert getattr(found, other) is None
    assert np.all(found.batch.slots[0].direction_from == 225), "the waves keep their own"
    said = next(note for note in found.notes if "as where" in note)
    words = header.lower().replace("_", " ").split()
    assert ("as is usual" in said) is not bool({"from", "to"} & set(words))


def test_compass_points_and_words_that_are_no_direction() -> None:
    """VRB and the like are missing, counted and named; they never refuse a forecast that can be judged."""
    cells = ["SW", "VRB", "variable", "nne", "-", "990", "240\u00b0", "999", "-45"]
    found = read_forecast(file_of("Wind direction", list(cells)))
    expected = [225, np.nan, np.nan, 22.5, np.nan, np.nan, 240, np.nan, np.nan]
    np.testing.assert_allclose(found.wind_direction_from, expected)
    told = next(note for note in found.notes if "no direction" in note)
    assert "6 of 9 rows" in told
    assert "VRB on line 3" in told


def test_a_decimal_comma_is_one() -> None:
    head, row = "time_utc;hs_m;tp_s;direction_from_deg;wdir", "2026-05-01T0{}:00Z;0,6;8,0;225;{}"
    text = "\n".join([head, row.format(0, "22,5"), row.format(1, "VRB")])
    found = read_forecast(text.encode())
    np.testing.assert_allclose(found.wind_direction_from, [22.5, np.nan])


def test_a_buoys_file_has_its_wind_direction() -> None:
    text = (
        "#YY MM DD hh mm WDIR WSPD GST WVHT DPD APD MWD\n#yr mo dy hr mn degT m/s m/s m sec sec degT\n"
        "2026 05 01 00 00 190 9 11 2 10 6 225\n2026 05 01 01 00 MM 9 11 2 10 6 225\n"
    )
    found = read_forecast(text.encode())
    np.testing.assert_allclose(found.wind_direction_from, [190, np.nan])
    assert found.batch.slots[0].direction_from.tolist() == [225, 225]


def test_of_two_winds_that_at_ten_metres_is_taken_and_of_two_alike_neither() -> None:
    head = "Wind speed 50m (kn),Wind dir 50m,Wind speed 10m (kn),Wind dir 10m"
    found = read_forecast(file_of(head, ["40,20,30,10", "40,20,30,10"]))
    np.testing.assert_allclose(found.wind_speed, 30 * KNOT)
    np.testing.assert_allclose(found.wind_direction_from, 10)
    assert "Columns not used: wind speed 50m (kn), wind dir 50m." in found.notes
    alike = read_forecast(file_of("Wind dir,Wind direction", ["20,10", "20,10"]))
    assert alike.wind_direction_from is None
    assert "Columns not used: wind dir, wind direction." in alike.notes


def test_components_of_a_wind_are_no_speed() -> None:
    found = read_forecast(file_of("u10 (m/s),v10 (m/s)", ["3,10", "3,10"]))
    assert found.wind_speed is None
    assert "Columns not used: u10 (m/s), v10 (m/s)." in found.notes


@pytest.mark.parametrize("missing", [None, WAYS[0], WAYS[1]])
def test_a_forecast_refuses_ways_of_another_length(missing: str | None) -> None:
    found = read_forecast(file_of("wdir,current dir", ["20,10", "20,10"]))
    if missing is None:
        assert replace(found).wind_direction_from is not None
        return
    with pytest.raises(InputError, match=missing.replace("_", " ")):
        replace(found, **{missing: np.zeros(3)})


ROW = "2026-05-01T{hour:02d}:00Z,{cells}"


def table(header: str, cells: str) -> bytes:
    return "\n".join([header, *(ROW.format(hour=hour, cells=cells) for hour in range(4))]).encode()


@pytest.mark.parametrize(
    ("header", "cells", "offered"),
    [
        ("Time,Wind (kn),Dir,Hs (m),Tp (s)", "20,200,2.5,9", "direction of the wind"),
        ("Time,Hs (m),Tp (s),WSPD (kn),Dir", "2.5,9,20,200", "direction of the wind"),
        ("Time,Dir,Wind (kn),Hs (m),Tp (s)", "200,20,2.5,9", "direction of the wind"),
        ("Time,Hs (m),Tp (s),Gust (kn),Cloud,Dir", "2.5,9,20,8,200", "direction of the wind"),
        ("Time,Hs (m),Tp (s),Current (kn),Direction", "2.5,9,1,200", "direction of the current"),
        ("Time,Hs (m),Tp (s),Swell Hs (m),Swell Tp (s),Dir", "2.5,8,1,12,200", ""),
    ],
)
def test_a_direction_of_nobody_knows_what_is_asked_about(header: str, cells: str, offered: str) -> None:
    """A direction that may be that of wind, current or swell is never taken for that of the sea, nor the reverse."""
    with pytest.raises(ForecastQuestions) as asked:
        read_forecast(table(header, cells))
    first = asked.value.questions[0]
    assert first.key in ("unknown:dir", "unknown:direction")
    assert first.words.startswith("of what is the direction")
    if offered:
        assert first.options[0] == offered
        mapping = answer(asked.value.mapping, first, offered)
        found = read_forecast(table(header, cells), mapping, direction_from=300.0)
        assert np.all(found.batch.slots[0].direction_from == 300)
        way = found.wind_direction_from if "wind" in offered else found.current_direction_to
        np.testing.assert_allclose(way, 200)
    sea = answer(asked.value.mapping, first, "direction of the sea: where waves come from")
    read = read_forecast(table(header, cells), replace(sea, direction_from=200.0))
    assert np.all(read.batch.slots[0].direction_from == 200)
    assert read.wind_direction_from is None


@pytest.mark.parametrize(
    "header",
    [
        "Time,Hs (m),Tp (s),Dir,Wind (kn)",
        "Time,Wind (kn),Wind dir,Hs (m),Dir,Tp (s)",
        "Time,Hs (m),Tp (s),Dir",
    ],
)
def test_a_direction_behind_the_sea_is_asked_for_its_sense_alone(header: str) -> None:
    numbers = {"hs (m)": "2.5", "tp (s)": "9", "dir": "210", "wind (kn)": "20", "wind dir": "90"}
    cells = [numbers[name.lower()] for name in header.split(",")[1:]]
    with pytest.raises(ForecastQuestions) as asked:
        read_forecast(table(header, ",".join(cells)))
    assert [question.key for question in asked.value.questions] == ["direction_sense:dir"]
    found = read_forecast(table(header, ",".join(cells)), direction_sense="from")
    assert np.all(found.batch.slots[0].direction_from == 210)
