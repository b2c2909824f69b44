"""Heave records: units and ways up, clock times, uneven steps, gaps filled or refused by the stated rule."""

from __future__ import annotations

import math
from datetime import UTC, datetime

import numpy as np
import pytest

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.heave_record import read_heave_record


def wave(time: FloatArray) -> FloatArray:
    return np.asarray(0.3 + 1.2 * np.sin(2 * math.pi / 9 * time))


def record(time: FloatArray, values: FloatArray, header: str = "time_s,heave_m") -> bytes:
    rows = (f"{t:.4f},{'' if math.isnan(v) else f'{v:.5f}'}" for t, v in zip(time, values, strict=True))
    return "\n".join([header, *rows]).encode()


EVEN = np.arange(0.0, 120.0, 0.5)


def test_an_even_record_is_read_as_it_stands() -> None:
    found = read_heave_record(record(EVEN, wave(EVEN)))
    assert found.step == pytest.approx(0.5)
    assert found.heave == pytest.approx(wave(EVEN), abs=1e-5)
    assert found.duration == pytest.approx(119.5)
    assert found.start is None
    assert not found.heave.flags.writeable


@pytest.mark.parametrize(
    ("header", "factor"),
    [
        ("time_s,heave_m", 1.0),
        ("time_s,heave_ft", 0.3048),
        ("time_s,heave_down_m", -1.0),
        ("time_s,heave_down_ft", -0.3048),
    ],
)
def test_units_and_ways_up(header: str, factor: float) -> None:
    found = read_heave_record(record(EVEN, wave(EVEN), header))
    assert found.heave == pytest.approx(factor * wave(EVEN), abs=1e-5)


def test_minutes_and_clock_times() -> None:
    minutes = read_heave_record(record(EVEN / 60, wave(EVEN), "time_min,heave_m"))
    assert minutes.step == pytest.approx(0.5, rel=0.02)
    rows = [f"2026-03-04T06:00:{n / 2:06.3f}Z,{wave(np.array(n / 2)):.4f}" for n in range(100)]
    clock = read_heave_record("\n".join(["time_utc,heave_m", *rows]).encode())
    assert clock.step == pytest.approx(0.5)
    assert clock.start == datetime(2026, 3, 4, 6, 0, tzinfo=UTC)


def test_decimal_commas_in_a_semicolon_file() -> None:
    data = record(EVEN, wave(EVEN)).decode().replace(",", ";").replace(".", ",").encode()
    assert read_heave_record(data).heave == pytest.approx(wave(EVEN), abs=1e-5)


def test_wandering_times_are_brought_to_even_places() -> None:
    time = EVEN + np.random.default_rng(3).uniform(-0.1, 0.1, len(EVEN))
    found = read_heave_record(record(time, wave(time)))
    even = np.linspace(0.0, time[-1] - time[0], len(found.heave)) + time[0]
    assert found.heave[2:-2] == pytest.approx(wave(even)[2:-2], abs=0.01)
    assert any("even" in note for note in found.notes)


def test_short_gaps_are_bridged_and_told() -> None:
    values = wave(EVEN)
    values[[40, 41]] = np.nan
    kept = np.delete(np.arange(len(EVEN)), [100, 101])
    found = read_heave_record(record(EVEN[kept], values[kept]))
    assert len(found.heave) == len(EVEN)
    assert found.heave == pytest.approx(wave(EVEN), abs=0.03)
    assert any("2 gaps" in note for note in found.notes)
    with pytest.raises(FileError) as caught:
        read_heave_record(record(EVEN[kept], values[kept]), fill=False)
    assert caught.value.line == 41


def test_long_gaps_are_refused_with_their_line() -> None:
    kept = np.delete(np.arange(len(EVEN)), range(50, 56))
    with pytest.raises(FileError, match="gap") as caught:
        read_heave_record(record(EVEN[kept], wave(EVEN[kept])))
    assert caught.value.line == 51
    just = np.delete(np.arange(len(EVEN)), range(50, 53))
    assert len(read_heave_record(record(EVEN[just], wave(EVEN[just]))).heave) == len(EVEN)


def test_too_many_gaps_are_refused() -> None:
    values = wave(EVEN)
    values[5::8] = np.nan
    with pytest.raises(FileError, match="missing"):
        read_heave_record(record(EVEN, values))


def test_missing_ends_are_left_out() -> None:
    values = wave(EVEN)
    values[:3] = np.nan
    found = read_heave_record(record(EVEN, values))
    assert len(found.heave) == len(EVEN) - 3
    assert any("left out" in note for note in found.notes)


@pytest.mark.parametrize(
    "data",
    [
        b"time_s,heave_m\n0,1\n",
        b"time_s,heave\n0,1\n",
        b"heave_m\n1\n2\n",
        b"time_s\n1\n2\n",
        b"time_s,time_utc,heave_m\n0,2026-03-04T06:00Z,1\n",
        b"time_s,heave_m,heave_down_m\n0,1,-1\n",
        record(EVEN[::-1], wave(EVEN)),
        record(np.repeat(EVEN, 2), wave(np.repeat(EVEN, 2))),
        record(EVEN, 31 + wave(EVEN)),
        record(EVEN * 10, wave(EVEN)),
        record(EVEN / 100, wave(EVEN)),
        record(EVEN, np.full(len(EVEN), math.nan)),
        record(EVEN, wave(EVEN)).replace(b"1.00", b"one"),
        b"time_utc,heave_m\n03/04/2026 06:00,1\n",
        b"",
        b"\xff\xfetime",
    ],
)
def test_bad_records_are_refused(data: bytes) -> None:
    with pytest.raises(FileError):
        read_heave_record(data)
