"""When a forecast was issued: said by whoever brings it, in a line around the table, or in a column of its own."""

from __future__ import annotations

import re
from datetime import date

import numpy as np

from heave.errors import FileError
from heave.files.forecast.clock import ISSUED, moment_in, zone_said
from heave.files.forecast.layout import Sheet
from heave.planning import ForecastMapping, zone_of

Issue = tuple[np.datetime64 | None, list[str]]
"""The time of issue, UTC, None where it is not known, and what is to be said of it."""


def issue_of(
    sheet: Sheet, mapping: ForecastMapping, header: str, zone: str, order: str, given: str | None
) -> Issue:
    """The time of issue of a forecast.

    Parameters
    ----------
    sheet : the table and the lines around it
    mapping : how the file is to be read
    header : name of the time column, whose zone a column of issue times shares
    zone : of times that carry none; empty where it is not known
    order : of numbers in dates, 'dmy', 'mdy' or 'ymd'; empty where the file's own dates do not tell
    given : what whoever brings the file says, UTC where it has no zone; None where nobody does

    Raises
    ------
    FileError
        If what is given is no time.
    """
    text, where, notes = given, "as given", list[str]()
    lines = [part for line in sheet.above for part in re.split(r"\.\s+(?=[A-Z])", line)]
    line = next((line for line in lines if ISSUED.search(line) and re.search(r"[0-9]", line)), None)
    if text is None and line is not None:
        found = ISSUED.search(line)
        text, where = _time_in(line[found.end() :] if found else line), line
    if text is None:
        text, where, notes = _in_column(sheet, mapping)
        where = f"{where} {header}"
    if text is None:
        return None, notes
    moment = moment_in(text)
    open_ = moment is not None and moment.order == "???" and not order
    day = moment.day(order or "dmy") if moment is not None and not open_ else None
    if moment is None or day is None or moment.seconds is None:
        if given is not None:
            raise FileError("issue time", given, None, "a time such as 2026-03-04 06:00, UTC")
        return None, [f"Time of issue not understood: {where[:80]}"]
    said = zone_said(where)
    ahead = moment.ahead
    if ahead is None and given is not None:
        ahead = 0
    for name in (said, zone):
        if ahead is None and name and name not in ("local", "several"):
            ahead = _minutes(name)
    if ahead is None:
        return None, [f"Time of issue without its zone, not used: {where[:80]}"]
    days = day.toordinal() - date(1970, 1, 1).toordinal()
    return np.datetime64(days * 86_400 + moment.seconds - 60 * ahead, "s"), []


def _in_column(sheet: Sheet, mapping: ForecastMapping) -> tuple[str | None, str, list[str]]:
    """The one time in a column of issue times, where it stands, and what is to be said."""
    table = sheet.table
    column = next((meaning.column for meaning in mapping.columns if meaning.quantity == "issued"), None)
    if column is None or column not in table.header:
        return None, "", []
    cells = set(table.cells(column)) - {""}
    if len(cells) != 1:
        notes = [f"Column {column} holds several times of issue: none is taken."] if cells else []
        return None, "", notes
    return cells.pop(), column, []


def _time_in(text: str) -> str:
    """What follows the word of issue, without brackets and words such as 'time' and 'on'."""
    words = r"\b(?:time|date|on|of|forecast|at|valid from|by the model)\b|[:()\[\]*=]\s"
    plain = re.sub(words, " ", f" {text} ", flags=re.IGNORECASE).strip(" :.-_\t")
    part = re.split(r"[;|]|\bvalid\b|\bnext\b|  +by ", plain)[0]
    found = re.search(r"[0-9].*", part)
    return re.sub(r"\s+", " ", found[0] if found else part).strip(" .,:;")


def _minutes(zone: str) -> int | None:
    """Minutes ahead of UTC of a zone without summer time; None for one that has it."""
    offset = zone_of(zone).utcoffset(None)
    return None if offset is None else int(offset.total_seconds() // 60)
