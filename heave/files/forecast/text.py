"""Bytes of a forecast file to text: UTF-8, UTF-16 that says so, or Windows-1252, which is said in a note."""

from __future__ import annotations

import codecs
import re
from typing import Final

from heave.errors import FileError
from heave.files.tables import decode
from heave.files.wanted import at_most

MOST_COLUMNS: Final = 2000
"""Most columns of a line; a response table has one for each heading, motion and part."""

LONGEST_WORD: Final = 2000
"""Most letters in a row, or spaces, without a delimiter between; patterns searched in more would take minutes."""

_LONG = re.compile(rf"[^,;\t|\s]{{{LONGEST_WORD + 1}}}| {{{LONGEST_WORD + 1}}}")
_UTF_16: Final = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_UTF_32: Final = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)
_PLAIN: Final = str.maketrans(
    {"\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2212": "-", "\u2013": "-", "\u2014": "-"}
)
"""Spaces and dashes of word processors, as a keyboard has them."""


def forecast_text(data: bytes) -> tuple[str, tuple[str, ...]]:
    """The text of a forecast file, line ends made one newline, and what is to be said of its encoding.

    Raises
    ------
    FileError
        For a binary file, control characters, and bytes that are text in none of the three encodings.
    """
    notes: tuple[str, ...] = ()
    try:
        if data.startswith(_UTF_16) and not data.startswith(_UTF_32):
            text, notes = decode(data.decode("utf-16").encode()), ("The file is UTF-16 text.",)
        else:
            text = decode(data)
    except UnicodeDecodeError as problem:
        allowed = "text saved whole: save it as CSV UTF-8"
        raise FileError("encoding", "UTF-16 cut short", None, allowed, line=1) from problem
    except FileError as problem:
        if problem.what != "encoding" or b"\x00" in data:
            raise
        try:
            text = decode(data.decode("cp1252").encode())
            notes = ("The file is not UTF-8: read as Windows-1252 text.",)
        except UnicodeDecodeError:
            raise problem from None
    _not_too_wide(text)
    return (text if text.isascii() else text.translate(_PLAIN)), notes


def _not_too_wide(text: str) -> None:
    """Refuse a line of more cells than any table has columns, or a longer word, before each of them is looked at."""
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) <= MOST_COLUMNS:
            continue
        count = max(len(line.split()), *(line.count(mark) + 1 for mark in ",;\t|"))
        at_most(
            "number of columns", count, MOST_COLUMNS, " in a line: delete those that are not needed", number
        )
        if long := _LONG.search(line):
            allowed = f"at most {LONGEST_WORD} characters without a delimiter between: shorten it"
            raise FileError("cell", long[0], None, allowed, line=number)
