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

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Final

from heave.errors import FileError
from heave.files.bands import band_widths
from heave.files.columns import parse_number
from heave.files.registry import DENSITY
from heave.files.tables import Source, buoy_times, buoy_words, decode, load, on_line
from heave.files.times import buoy_time, parse_time
from heave.sea.measured import MeasuredSpectrum

MAX_BUOY_BYTES: Final = 20_000_000
"""Largest buoy file read [bytes]; a year of hourly spectra is about 4 MB."""

_WHOLE_RECORD_MARKS: Final = (9.999, 99.0, 99.99, 99.999)
_PAIR = re.compile(r"\(([0-9.]{1,10})\)")


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
    source: Source,
    *,
    direction_from: float = 0.0,
    spreading: str = "cos-n",
    spreading_exponent: float = 4.0,
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
        source,
        direction_from=direction_from,
        spreading=spreading,
        spreading_exponent=spreading_exponent,
    ).spectra


def read_buoy_file(
    source: Source,
    *,
    direction_from: float = 0.0,
    spreading: str = "cos-n",
    spreading_exponent: float = 4.0,
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
    lines = [(n, line) for n, line in enumerate(decode(load(source, MAX_BUOY_BYTES)).split("\n"), 1)]
    filled = [(n, line.split()) for n, line in lines if line.strip()]
    if not filled:
        raise FileError("file", "nothing in it", None, "a header line and at least one record", line=1)
    layout = _layout(*filled[0])
    found: dict[datetime, tuple[int, MeasuredSpectrum | None]] = {}
    for line, words in filled[1:]:
        if words[0].startswith("#"):
            continue
        moment = _time(words[: layout.times], line)
        if moment in found:
            allowed = f"each time once; line {found[moment][0]} has it too"
            raise FileError("time", " ".join(words[: layout.times]), None, allowed, line=line)
        centres, values = _bands(layout, words, line)
        about = (direction_from, spreading, spreading_exponent)
        found[moment] = (line, _spectrum(moment, centres, values, about, line))
    whole = tuple(spectrum for _, (_, spectrum) in sorted(found.items()) if spectrum is not None)
    missing = tuple(_iso(moment) for moment in sorted(found) if found[moment][1] is None)
    if not whole:
        what = "every record is missing" if missing else "no records"
        raise FileError("file", what, None, "at least one whole record", line=filled[-1][0])
    return BuoyFile(whole, missing)


def _layout(line: int, words: Sequence[str]) -> _Layout:
    names = buoy_words(" ".join(words))
    times = buoy_times(names)
    if times < 4:
        allowed = "a buoy header: #YY MM DD hh mm, then frequencies or spec_1 (freq_1)"
        raise FileError("header", " ".join(words[:6]), None, allowed, line=line)
    rest = names[times:]
    if "spec_1" in rest:
        return _Layout(times, rest[0] == "sep_freq", ())
    if not rest:
        raise FileError("header", " ".join(words[:6]), None, "band frequencies after the time", line=line)
    for word in rest:
        parse_number(word, "band frequency", line=line)
    with on_line(line):
        _widths(tuple(rest))
    return _Layout(times, False, tuple(rest))


def _time(words: Sequence[str], line: int) -> datetime:
    shown = " ".join(words)
    allowed = "year month day hour [minute] in UTC; two-digit years from 70 to 99"
    try:
        if len(words) < 4:
            raise FileError("time", shown, None, allowed)
        return parse_time(buoy_time(words), utc=True)
    except FileError as problem:
        raise FileError("time", shown, None, allowed, line=line) from problem


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
    matches = [_PAIR.fullmatch(cell) for cell in cells[1::2]]
    for cell, match in zip(cells[1::2], matches, strict=True):
        if match is None:
            raise FileError("band frequency", cell, "Hz", "a frequency in brackets", line=line)
    return tuple(match[1] for match in matches if match), tuple(cells[::2])


def _spectrum(
    moment: datetime,
    centres: tuple[str, ...],
    cells: Sequence[str],
    about: tuple[float, str, float],
    line: int,
) -> MeasuredSpectrum | None:
    with on_line(line):
        widths = _widths(centres)
    values = [_density(cell, centre, line) for cell, centre in zip(cells, centres, strict=True)]
    if any(value is None for value in values) or set(values) <= set(_WHOLE_RECORD_MARKS):
        return None
    density = [value for value in values if value is not None]
    for value, centre in zip(density, centres, strict=True):
        if not DENSITY.inside(value):
            allowed = DENSITY.allowed("m²/Hz")
            raise FileError("spectral density", value, "m²/Hz", allowed, line=line, column=f"{centre} Hz")
    direction_from, spreading, exponent = about
    with on_line(line):
        return MeasuredSpectrum(
            frequency=tuple(float(centre) for centre in centres),
            bandwidth=widths,
            density=tuple(density),
            direction_from=direction_from,
            spreading=spreading,
            spreading_exponent=exponent,
            label=f"measured {moment:%Y-%m-%d %H:%M} UTC",
            time=_iso(moment),
        )


def _density(cell: str, centre: str, line: int) -> float | None:
    if cell.upper() in DENSITY.sentinels:
        return None
    value = parse_number(cell, "spectral density", line=line, column=f"{centre} Hz")
    return None if value in DENSITY.sentinels else value


_widths = lru_cache(maxsize=64)(band_widths)
