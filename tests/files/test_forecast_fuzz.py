"""Ten thousand spoilt forecast files: each is read by the rules or refused in words, quickly, never anything else."""

from __future__ import annotations

import contextlib
import random
import re
from time import thread_time

import numpy as np
import pytest
from refusals import tells_what_to_change

from heave.errors import FileError
from heave.files.forecast.questions import ForecastQuestions, suggest_mapping
from heave.files.forecast.reader import read_forecast
from heave.weather.forecast import EnsembleForecast, Forecast

FILES = 10_000
SLICES = 10
SLOWEST = 1.0
"""Longest a small file may take [s]."""

TEMPLATES = (
    b"# format: heave-forecast 1\ntime_utc,hs_m,tp_s,direction_from_deg,wind_speed_m_per_s\n"
    b"2026-02-28T22:00Z,2.5,9.0,210,12\n2026-02-28T23:00Z,2.6,9.1,212,\n2026-03-01T00:00Z,-999,9.1,214,13\n"
    b"2026-03-01T01:00Z,2.4,8.9,215,12\n",
    b"time,hs_m,wind_sea_hs_m,wind_sea_tz_s,wind_sea_direction_from_deg,swell1_hs_m,swell1_tp_s,"
    b"swell1_direction_to_deg\n2026-10-25T02:00+02:00,2.5,2,6,210,1.5,11,10\n"
    b"2026-10-25T02:00+01:00,2.0,2,6,210,,,\n2026-10-25T03:00+01:00,2.5,2,6,210,1.5,11,10\n",
    b"\xef\xbb\xbfwann;hs_ft;tp_s;direction_from_deg\r\n2026-02-01 01:00;6,5;9,5;NNE\r\n"
    b"2026-02-01 04:00;7,25;9,5;W\r\n".replace(b"wann", b"time"),
    b"number,valid_time,swh,mwp,mwd,shww,mpww,mdww,shts,mpts,mdts\n0,2026-02-01 00:00:00,2.5,8,200,2,6,210,1.5,11,190\n"
    b"1,2026-02-01 00:00:00,2.7,8,200,2.2,6,210,1.5,11,190\n0,2026-02-01 03:00:00,2.5,8,200,2,6,210,1.5,11,190\n"
    b"1,2026-02-01 03:00:00,2.9,8,200,2.4,6,210,1.5,11,190\n",
    b"valid_time HTSGW PERPW DIRPW WIND\n2026-02-01T00:00Z 2.5 9 200 12\n2026-02-01T06:00Z 2.7 9.5 205 12\n",
    b"#YY  MM DD hh mm WDIR WSPD GST  WVHT   DPD   APD MWD\n#yr  mo dy hr mn degT m/s  m/s     m   sec   sec degT\n"
    b"2024 02 29 00 50 200  8.0 10.0   2.1    10   6.1 225\n2024 02 28 23 50 200  8.0 10.0    MM    MM    MM  MM\n"
    b"2024 02 28 22 50 200  8.0 10.0   1.9     9   6.0 225\n",
    b"YY MM DD hh WD WSPD GST WVHT DPD APD MWD\n98 12 31 23 200 7.0 9.0 1.90 9.00 5.90 200\n"
    b"99 01 01 00 200 7.0 9.0 1.90 9.00 5.90 200\n",
)

PIECES = (
    *(b"", b",", b";", b"\t", b" ", b"\n", b"\r", b'"', b"'", b"#", b":", b"-", b"+", b".", b"e", b"(", b"]"),
    *(
        b"\x00",
        b"\xff",
        b"\xc3",
        b"\xef\xbb\xbf",
        b"\xff\xfe",
        b"\xe2\x80\xa8",
        b"\xd9\xa2",
        b"\x1a",
        b"\x85",
    ),
    *(
        b"NaN",
        b"inf",
        b"-inf",
        b"1e999",
        b"1e-999",
        b"-0",
        b"99",
        b"999",
        b"-999",
        b"9999",
        b"MM",
        b"0",
        b"1",
    ),
    *(b"360", b"361", b"25.1", b"=1+1", b"1,290", b"2,5", b"NNE", b"Z", b"+02:00", b"T24:00", b"2100-02-29"),
    *(b"hs_m", b"hs", b"tp_s", b"tz", b"dir", b"time", b"member", b"swell1_hs_m", b"mm", b"#yr", b"sep=;\n"),
    *(b"9" * 50, b"x" * 300, b"(" * 60, b" " * 400, b"," * 450, b"\n" * 50, b"-" * 200, b"0" * 5000),
)


CELLS = (
    *(
        b"0",
        b"1",
        b"2.5",
        b"9",
        b"25",
        b"26",
        b"-1",
        b"99",
        b"99.0",
        b"999",
        b"-999",
        b"9999",
        b"360",
        b"361",
    ),
    *(
        b"",
        b"MM",
        b"NaN",
        b"nan",
        b"-",
        b"N/A",
        b"inf",
        b"1e3",
        b"+3",
        b".5",
        b"2,5",
        b"NNE",
        b"W",
        b"x",
        b"a b",
    ),
    *(b"2026-02-28T23:30Z", b"2028-02-29T00:00Z", b"2026-12-31T23:59:59Z", b"2026-03-29T02:30", b"00:00"),
)
NAMES = (
    *(b"hs_m", b"hs_ft", b"hs", b"tp_s", b"tz_s", b"te_s", b"period", b"direction_from_deg", b"dir", b"mwd"),
    *(b"time", b"time_utc", b"date", b"member", b"swh", b"htsgw", b"swell2_hs_m", b"wind_speed_kn", b"other"),
)


def spoilt(chance: random.Random) -> bytes:
    """A template with one to three changes to its cells and rows, and now and then to its bytes."""
    data = chance.choice(TEMPLATES)
    for _ in range(chance.randint(1, 3)):
        data = chance.choice((_cells, _cells, _rows, _bytes))(data, chance)
    return data


def _cells(data: bytes, chance: random.Random) -> bytes:
    """One cell put in another's place, or a number or a name of the same sort as stands there."""
    lines = data.split(b"\n")
    place = chance.randrange(len(lines))
    words = re.split(rb"([,;\s]+)", lines[place])
    cell = 2 * chance.randrange((len(words) + 1) // 2)
    words[cell] = chance.choice(NAMES if lines[place][:1].isalpha() and chance.random() < 0.8 else CELLS)
    lines[place] = b"".join(words)
    return b"\n".join(lines)


def _rows(data: bytes, chance: random.Random) -> bytes:
    """Rows shuffled, doubled, left out or changed for those of another template."""
    lines = data.split(b"\n")
    way = chance.randrange(5)
    if way == 0:
        chance.shuffle(lines)
    elif way == 1:
        rest = lines[2:]
        chance.shuffle(rest)
        lines[2:] = rest
    elif way == 2:
        lines.insert(chance.randrange(len(lines) + 1), chance.choice(lines))
    elif way == 3:
        lines.pop(chance.randrange(len(lines)))
    else:
        lines[chance.randrange(len(lines))] = chance.choice(chance.choice(TEMPLATES).split(b"\n"))
    return b"\n".join(lines)


def _bytes(data: bytes, chance: random.Random) -> bytes:
    """Pieces put in or over, bytes drawn at random, parts cut or doubled."""
    here = chance.randrange(len(data) + 1)
    there = min(len(data), here + chance.choice((0, 1, 1, 2, 5, 20, 80)))
    way = chance.randrange(6)
    if way <= 2:
        return data[:here] + chance.choice(PIECES) + data[there:]
    if way == 3:
        return data[:here] + bytes(chance.randrange(256) for _ in range(chance.randint(1, 3))) + data[there:]
    if way == 4:
        return data[:there] + data[here:]
    return data[:here] if chance.random() < 0.3 else data[:here] + data[there:]


def check_series(found: Forecast) -> None:
    """What every forecast that is read must be."""
    assert np.all(np.diff(found.times) > np.timedelta64(0, "s"))
    heights = found.batch.hs
    assert np.all((heights[~found.missing] >= 0) & (heights[~found.missing] <= 25 * np.sqrt(4)))
    for slot in found.batch.slots:
        assert np.array_equal(np.isnan(slot.hs), found.missing), "missing as a whole or not at all"
        assert np.isfinite(slot.direction_from).all()
    assert found.notes
    for name in found.system_names:
        assert isinstance(name, str)


def outcome(data: bytes, period_kind: str | None) -> Forecast | EnsembleForecast | FileError:
    """What the reader made of it, or the error it refused it with; anything else it raises goes through."""
    try:
        return read_forecast(data, period_kind=period_kind, time_zone="UTC")
    except FileError as problem:
        return problem


@pytest.mark.parametrize("part", range(SLICES))
def test_spoilt_forecasts_are_read_or_refused(part: int) -> None:
    chance = random.Random(f"forecast {part}")
    read = 0
    slowest = 0.0
    for _ in range(FILES // SLICES):
        data = spoilt(chance)
        start = thread_time()
        found = outcome(data, chance.choice((None, "Tp", "Tz")))
        slowest = max(slowest, thread_time() - start)
        if isinstance(found, FileError):
            assert found.what
            assert found.allowed
            if not isinstance(found, ForecastQuestions):
                tells_what_to_change(found)
            assert not isinstance(found, ForecastQuestions) or found.questions
            continue
        for member in found.members if isinstance(found, EnsembleForecast) else (found,):
            check_series(member)
        read += 1
    assert slowest < SLOWEST
    assert 0.1 < read / (FILES // SLICES) < 0.7, "files all read or all refused would prove little"


def test_spoilt_files_can_be_previewed_or_are_refused() -> None:
    chance = random.Random("preview")
    seen = 0
    for _ in range(1000):
        data = spoilt(chance)
        with contextlib.suppress(FileError):
            guess = suggest_mapping(data)
            assert len(guess.mapping.columns) == len(guess.header)
            seen += 1
    assert seen > 100


@pytest.mark.parametrize("template", TEMPLATES)
def test_the_unspoilt_files_are_read(template: bytes) -> None:
    found = read_forecast(template, period_kind="Tp", time_zone="UTC")
    for member in found.members if isinstance(found, EnsembleForecast) else (found,):
        check_series(member)
        assert not member.missing.all()
