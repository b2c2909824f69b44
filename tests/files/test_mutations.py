"""Spoilt files of every kind: each is read or refused with a FileError, never anything else.

A mutation that is still read must give finite numbers of the right shape: no reading in between.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from heave.errors import FileError
from heave.files.buoy import read_buoy_file
from heave.files.columns import Column, number_headers, take, text_column
from heave.files.json_text import read_json
from heave.files.response_table import read_response_table
from heave.files.string import read_string
from heave.files.tables import Source, read_table

STRING = b"""# an invented string
name;length_ft;od_in;id_in;weight_lb_per_ft;grade;tension_area_in2
"Drill pipe";8000;5;4,276;22,6;S-135;
Heavy weight;300;5;3;50,1;E-75;11,5
"""
RESPONSE = (
    b"# format: heave-response-table 1\n# phase: lag\n# symmetric: yes\n# reference_x_m: 1\n"
    b"# reference_y_m: 0\n# heading_convention: travel_from_bow (180 head)\n"
    b"period_s,heading_deg,heave_m_per_m,heave_phase_deg,roll_deg_per_m,roll_phase_deg,"
    b"pitch_deg_per_m,pitch_phase_deg\n"
    + b"".join(b"%d,%d,0.5,10,0,0,0.3,-90\n" % (t, h) for t in (8, 12) for h in (0, 60, 120, 180))
)
BUOY = b"""#YY  MM DD hh mm   .0800   .0900   .1000   .1100
2026 02 01 00 50    0.40    2.00    6.00    2.00
2026 02 01 01 50    0.50  999.00    9.00    3.00
"""
REAL_TIME = b"""#YY  MM DD hh mm Sep_Freq  < spec_1 (freq_1) spec_2 (freq_2) spec_3 (freq_3) ... >
2026 02 01 01 50 0.225 0.500 (0.080) 4.000 (0.090) 9.000 (0.100)
2026 02 01 00 50 9.999 0.400 (0.080) 2.000 (0.090) 6.000 (0.100)
"""
JSON = b'{"format": "f", "version": 1, "a": {"b": [1, 2.5e3, -0.0, true, null], "c": "d\\u00e9"}}'
SEA = b"time_utc,hs_m,tp_s\n2026-01-01T00:00Z,2.5,11\n2026-01-01T03:00Z,-999,12\n"

PIECES = (
    *(b"", b",", b";", b"\t", b" ", b"\n", b"\r", b'"', b"'", b"#", b":", b"(", b")", b"[", b"]", b"{", b"}"),
    *(
        b"\x00",
        b"\xff",
        b"\xef\xbb\xbf",
        b"\xff\xfe",
        b"\xc3",
        b"\xe2\x80\xa8",
        b"\xd9\xa2",
        b"\\",
        b"\\ud800",
    ),
    *(b"NaN", b"inf", b"-", b"+", b".", b"e", b"e999", b"-999", b"99", b"9.999", b"0", b"1e308", b"1e-320"),
    *(
        b"sep=;\n",
        b"# phase: lead\n",
        b"_m",
        b"_ft",
        b"0" * 400,
        b"9" * 5000,
        b"true",
        b"MM",
        b"\x1a",
        b"=1+1",
    ),
)


def sea(source: Source) -> Any:
    columns = (
        text_column("time_utc"),
        Column("hs", number_headers("hs", "m", "ft"), missing=True, sentinels=(-999.0,), low=0.0, high=25.0),
        Column("tp", number_headers("tp", "s"), low=2.0, high=30.0),
    )
    return take(read_table(source), columns)


def finite_string(found: Any) -> bool:
    return all(np.isfinite([s.length, s.area, s.linear_mass, s.tensile_capacity]).all() for s in found)


def finite_response(found: Any) -> bool:
    return all(np.isfinite(getattr(found, name)).all() for name in ("omega", "heave", "roll", "pitch"))


def finite_buoy(found: Any) -> bool:
    return all(np.isfinite(s.hs) and len(s.density) == len(s.bandwidth) for s in found.spectra)


def finite_sea(found: Any) -> bool:
    hs = found.numbers["hs"]
    return bool(np.isfinite(found.numbers["tp"]).all() and (np.isnan(hs) | ((hs >= 0) & (hs <= 25))).all())


Case = tuple[Callable[[Source], Any], bytes, Callable[[Any], bool]]
CASES: dict[str, Case] = {
    "string": (read_string, STRING, finite_string),
    "response": (read_response_table, RESPONSE, finite_response),
    "yearly buoy": (read_buoy_file, BUOY, finite_buoy),
    "real-time buoy": (read_buoy_file, REAL_TIME, finite_buoy),
    "json": (read_json, JSON, lambda found: True),
    "sea": (sea, SEA, finite_sea),
}


def outcome(name: str, data: bytes) -> bool:
    """Whether the file is read; any exception but FileError fails the test."""
    reader, _, finite = CASES[name]
    try:
        found = reader(data)
    except FileError:
        return False
    assert finite(found)
    return True


def mutated(data: bytes, draw: random.Random) -> bytes:
    """One to three changes: cut, insert, replace, swap two stretches, repeat a line, drop a line."""
    for _ in range(draw.randint(1, 3)):
        start, end = sorted(draw.randint(0, len(data)) for _ in range(2))
        end = min(end, start + draw.choice((0, 1, 1, 2, 5, 40)))
        kind = draw.randrange(5)
        lines = data.split(b"\n")
        if kind < 3:
            data = data[:start] + draw.choice(PIECES) + data[end:]
        elif kind == 3:
            place = draw.randrange(len(lines))
            data = b"\n".join([*lines[: place + 1], *lines[place:]])
        else:
            del lines[draw.randrange(len(lines))]
            data = b"\n".join(lines)
    return data


@pytest.mark.parametrize("name", CASES)
def test_600_mutations_are_read_or_refused(name: str) -> None:
    draw = random.Random(f"spoil {name}")
    original = CASES[name][1]
    assert outcome(name, original)
    results = [outcome(name, mutated(original, draw)) for _ in range(600)]
    assert 10 <= sum(results) <= 500  # the mutations must try both ways out


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("place", range(0, 70, 7))
def test_a_file_cut_anywhere_is_read_or_refused(name: str, place: int) -> None:
    outcome(name, CASES[name][1][: -1 - place])


@settings(max_examples=80, deadline=None)
@given(data=st.binary(max_size=300))
@example(data=b"\n")
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    for name in CASES:
        outcome(name, data)


@settings(max_examples=80, deadline=None)
@given(
    words=st.lists(
        st.sampled_from(
            [
                "period_s",
                "hs_m",
                "tp_s",
                "#YY",
                "MM",
                "DD",
                "hh",
                "mm",
                "1",
                "2.5",
                ".08",
                ".09",
                "-",
                "\n",
                ",",
                ";",
            ]
        )
    )
)
def test_any_words_are_read_or_refused(words: list[str]) -> None:
    for name in CASES:
        outcome(name, " ".join(words).encode())
        outcome(name, "".join(words).encode())
