"""Wave spectra measured by buoys, in the text layouts of the US National Data Buoy Center (NDBC).

Layouts read (NDBC, "Measurement descriptions and units" and "Historical data" pages, from memory; the first
checked against a file of June 2020):

- real-time: `#YY MM DD hh mm Sep_Freq < spec_1 (freq_1) ...`, then in each row value (frequency) pairs;
- yearly: the frequencies in the header line after the time columns, one row of values a record;
- older yearly files: header `YY MM DD hh` or `YYYY MM DD hh` without minutes, years of two digits (70 to 99
  are 1970 to 1999, others are refused).

Times are UTC and mark the end of the record. Density is in m²/Hz. The layouts hold no direction: the
reader is told one. A record with a missing-value mark in any band has an unknown energy, so the whole record
is missing.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache, partial
from typing import Final

from heave.errors import FileError
from heave.files.bands import band_widths
from heave.files.columns import parse_number
from heave.files.registry import DENSITY
from heave.files.tables import Source, buoy_times, buoy_words, decode, load, on_line
from heave.files.times import buoy_clock, buoy_day, parse_time
from heave.sea.measured import MeasuredSpectrum

_WHOLE_RECORD_MARKS: Final = {9.999, 99.0, 99.99, 99.999}
_IN_BRACKETS = re.compile(r"\([0-9.]{1,10}\)")


@dataclass(frozen=True)
class BuoyFile:
    """The records of a buoy file in time order, and the times of those that are missing."""

    spectra: tuple[MeasuredSpectrum, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True)
class _Layout:
    times: int
    separation: bool
    centres: tuple[str, ...]
    """Band centres as written in the header; empty where each row carries its own."""


def read_buoy_spectra(
    source: Source, *, direction_from: float = 0.0, spreading: str = "cos-n", spreading_exponent: float = 4.0
) -> tuple[MeasuredSpectrum, ...]:
    """The measured spectra of a buoy file in time order, missing records left out.

    Parameters
    ----------
    source : a path, or bytes
    direction_from : direction the waves come from, which these layouts do not hold [deg, compass]
    spreading, spreading_exponent : spreading about it, as MeasuredSpectrum takes them

    Returns
    -------
    One MeasuredSpectrum for each record that is whole, at least one

    Raises
    ------
    FileError
        With the line for anything that cannot be read in one way, two records of one time, and a file
        in which every record is missing.
    """
    return read_buoy_file(
        source, direction_from=direction_from, spreading=spreading, spreading_exponent=spreading_exponent
    ).spectra


def read_buoy_file(
    source: Source, *, direction_from: float = 0.0, spreading: str = "cos-n", spreading_exponent: float = 4.0
) -> BuoyFile:
    """As `read_buoy_spectra`, and with the times of the records that are missing.

    Parameters
    ----------
    source : a path, or bytes
    direction_from : where the waves come from, which these layouts do not say [degrees, compass]
    spreading, spreading_exponent : spread about that direction, as in `MeasuredSpectrum`

    Raises
    ------
    FileError
        As `read_buoy_spectra`.
    """
    lines = enumerate(decode(load(source)).split("\n"), 1)
    (line, header), *rows = [(n, text.split()) for n, text in lines if text.strip()] or [(1, [])]
    if not header:
        raise FileError("file", "nothing in it", None, "a header line and at least one record", line=1)
    layout = _layout(line, header)
    about = partial(
        MeasuredSpectrum,
        direction_from=direction_from,
        spreading=spreading,
        spreading_exponent=spreading_exponent,
    )
    found: dict[datetime, tuple[int, MeasuredSpectrum | None]] = {}
    for line, words in rows:
        if words[0].startswith("#"):
            continue
        moment = _time(words[: layout.times], line)
        if moment in found:
            allowed = f"each time once; line {found[moment][0]} has it too"
            raise FileError("time", " ".join(words[: layout.times]), None, allowed, line=line)
        centres, cells = _bands(layout, words, line)
        with on_line(line):
            widths = _widths(centres)
        density = _densities(cells, centres, line)
        spectrum = None
        if density is not None:
            frequency, label = tuple(map(float, centres)), f"measured {moment:%Y-%m-%d %H:%M} UTC"
            with on_line(line):
                spectrum = about(frequency, widths, density, label=label, time=_iso(moment))
        found[moment] = (line, spectrum)
    whole = tuple(spectrum for _, (_, spectrum) in sorted(found.items()) if spectrum is not None)
    missing = tuple(_iso(moment) for moment in sorted(found) if found[moment][1] is None)
    if not whole:
        what = "every record is missing" if missing else "no records"
        raise FileError("file", what, None, "at least one whole record", line=line)
    return BuoyFile(whole, missing)


def _layout(line: int, words: Sequence[str]) -> _Layout:
    names = buoy_words(" ".join(words))
    times = buoy_times(names)
    rest = names[times:]
    if times < 4 or not rest:
        allowed = "band frequencies after the time"
        if times < 4:
            allowed = "a buoy header: #YY MM DD hh mm, then frequencies or spec_1 (freq_1)"
        raise FileError("header", " ".join(words[:6]), None, allowed, line=line)
    if "spec_1" in rest:
        return _Layout(times, rest[0] == "sep_freq", ())
    for word in rest:
        parse_number(word, "band frequency", line=line)
    with on_line(line):
        _widths(tuple(rest))
    return _Layout(times, False, tuple(rest))


def _time(words: Sequence[str], line: int) -> datetime:
    try:
        return parse_time(buoy_day(*words[:3]) + buoy_clock(*words[3:]) if len(words) >= 4 else "")
    except FileError as problem:
        allowed = "year month day hour [minute] in UTC; two-digit years from 70 to 99"
        raise FileError("time", " ".join(words), None, allowed, line=line) from problem


def _iso(moment: datetime) -> str:
    return moment.strftime("%Y-%m-%dT%H:%MZ")


def _bands(layout: _Layout, words: Sequence[str], line: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Centres and densities of one row, still as text."""
    start = layout.times + layout.separation
    cells = words[start:]
    if layout.separation and len(words) > layout.times:
        parse_number(words[layout.times], "separation frequency", line=line, column="Sep_Freq")
    if layout.centres:
        if len(cells) != len(layout.centres):
            allowed = f"{len(layout.centres)}, as many as the header has frequencies"
            raise FileError("number of bands", len(cells), None, allowed, line=line)
        return layout.centres, tuple(cells)
    if len(cells) < 2 or len(cells) % 2:
        raise FileError("row", " ".join(cells[-3:]), None, "pairs of value (frequency)", line=line)
    for cell in cells[1::2]:
        if not _IN_BRACKETS.fullmatch(cell):
            raise FileError("band frequency", cell, "Hz", "a frequency in brackets", line=line)
    return tuple(cell[1:-1] for cell in cells[1::2]), tuple(cells[::2])


def _densities(cells: Sequence[str], centres: Sequence[str], line: int) -> tuple[float, ...] | None:
    """The densities of one record; None where any is missing."""
    columns, marks = [f"{centre}\u00a0Hz" for centre in centres], DENSITY.sentinels
    values = [
        math.nan if cell.upper() in marks else parse_number(cell, DENSITY.name, line=line, column=column)
        for cell, column in zip(cells, columns, strict=True)
    ]
    if any(math.isnan(value) or value in marks for value in values) or set(values) <= _WHOLE_RECORD_MARKS:
        return None
    for value, column in zip(values, columns, strict=True):
        if not DENSITY.inside(value):
            allowed = DENSITY.allowed("m²/Hz")
            raise FileError(DENSITY.name, value, "m²/Hz", allowed, line=line, column=column)
    return tuple(values)


_widths = lru_cache(maxsize=64)(band_widths)
