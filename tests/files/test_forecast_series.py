"""Order, repeated times, steps and gaps of a forecast."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.errors import FileError, InputError
from heave.files.forecast.questions import suggest_mapping
from heave.files.forecast.reader import read_forecast
from heave.files.forecast.series import step_and_gaps
from heave.weather.forecast import EnsembleForecast, Forecast

HEAD = "time_utc,hs_m,tp_s,direction_from_deg"
HOUR = 3600


def series(*rows: tuple[str, float]) -> bytes:
    return "\n".join([HEAD, *(f"2026-02-01T{time}Z,{hs},9,100" for time, hs in rows)]).encode()


def read(data: bytes) -> Forecast:
    found = read_forecast(data)
    assert isinstance(found, Forecast)
    return found


@given(st.permutations(range(12)))
def test_rows_in_any_order_give_one_series(order: list[int]) -> None:
    rows = [(f"{hour:02d}:00", 1 + hour / 10) for hour in range(12)]
    found = read(series(*(rows[place] for place in order)))
    assert found.batch.hs.tolist() == [hs for _, hs in rows]
    assert any("sorted" in note for note in found.notes) == (order != sorted(order))


def test_rows_that_repeat_a_time_and_agree_are_read_once() -> None:
    found = read(series(("00:00", 1), ("01:00", 2), ("01:00", 2), ("02:00", 3)))
    assert found.batch.hs.tolist() == [1, 2, 3]
    assert "Repeated times, 1 row: one of each kept, as they agree." in found.notes


def test_rows_that_repeat_a_time_and_differ_are_refused_or_the_last_kept() -> None:
    data = series(("00:00", 1), ("01:00", 2), ("02:00", 3), ("01:00", 5))
    with pytest.raises(FileError, match="line 3 has it too") as refused:
        read(data)
    assert refused.value.line == 5
    mapping = replace(suggest_mapping(data).mapping, repeated_times="keep last")
    found = read_forecast(data, mapping)
    assert isinstance(found, Forecast)
    assert found.batch.hs.tolist() == [1, 5, 3]
    assert "Repeated times, 1 row: the last in the file kept." in found.notes


def test_a_missing_and_a_given_row_of_one_time_differ() -> None:
    data = series(("00:00", 1), ("01:00", 2)) + b"\n2026-02-01T01:00Z,,9,100"
    with pytest.raises(FileError, match="each time once"):
        read(data)


def gaps(*hours: float) -> tuple[float, list[bool]]:
    step, flags, _ = step_and_gaps(np.array([round(hour * HOUR) for hour in hours]))
    return step / HOUR, flags.tolist()


def test_even_series_have_no_gaps() -> None:
    for step in (0.5, 1.0, 3.0, 6.0):
        assert gaps(*(step * k for k in range(8))) == (step, [False] * 7)


def test_a_left_out_sample_is_a_gap() -> None:
    assert gaps(0, 1, 2, 4, 5, 6) == (1.0, [False, False, True, False, False])
    assert gaps(0, 1, 2, 4, 6, 7, 8) == (1.0, [False, False, True, True, False, False])


def test_a_forecast_that_widens_its_step_has_no_gap() -> None:
    """Three equal intervals in a row are a step of the file; two are not."""
    assert gaps(0, 1, 2, 3, 4, 7, 10, 13)[1] == [False] * 7
    assert gaps(0, 1, 2, 3, 4, 7, 10)[1] == [False] * 4 + [True] * 2


def test_more_than_six_hours_is_always_a_gap() -> None:
    assert gaps(0, 6, 12, 18)[1] == [False] * 3
    assert gaps(0, 6.5, 13, 19.5)[1] == [True] * 3


def test_gaps_are_named_in_the_notes() -> None:
    found = read(series(("00:00", 1), ("01:00", 1), ("02:00", 1), ("05:00", 1), ("06:00", 1)))
    assert found.gap_after.tolist() == [False, False, True, False]
    assert "Gaps, which break a window: 2026-02-01T02:00Z to 2026-02-01T05:00Z." in found.notes


def test_one_sample_says_that_it_shows_no_window() -> None:
    found = read(series(("00:00", 1)))
    assert found.step == 0.0
    assert found.gap_after.size == 0
    assert any("One sample only" in note for note in found.notes)


def test_a_forecast_holds_only_what_is_consistent() -> None:
    found = read(series(("00:00", 1), ("01:00", 2)))
    for wrong in (
        {"times": found.times[::-1]},
        {"times": found.times[:1]},
        {"times": np.array(["NaT", "2026-02-01"], dtype="datetime64[s]")},
        {"gap_after": np.zeros(2, dtype=bool)},
        {"system_names": ("a", "b")},
        {"wind_speed": np.zeros(3)},
    ):
        with pytest.raises(InputError):
            replace(found, **wrong)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="read-only"):
        found.times[0] = found.times[1]
    with pytest.raises(InputError, match="common times"):
        EnsembleForecast((found, read(series(("00:00", 1)))), ("a", "b"))
    with pytest.raises(InputError, match="from 1 to"):
        EnsembleForecast((), ())
    with pytest.raises(InputError, match="from 0 to 1"):
        found.sea_state(2)


def test_the_issue_of_a_forecast_is_a_time_near_its_first() -> None:
    found = read(series(("00:00", 1), ("01:00", 2)))
    assert found.issued is None
    issued = replace(found, issued=np.datetime64("2026-01-31T18:00"))
    assert issued.issued == np.datetime64("2026-01-31T18:00:00")
    assert EnsembleForecast((issued,), ("a",)).issued == issued.issued
    replace(found, issued=found.times[0] - np.timedelta64(30, "D"))
    for wrong in ("NaT", "2026-01-01T23:59:59", "2026-03-03T00:00:01"):
        with pytest.raises(InputError, match="issue time"):
            replace(found, issued=np.datetime64(wrong))
