"""What to change in a table whose rows or names do not fit, or of which there is too much, for who made the file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from heave.errors import FileError

MAX_CELL: Final = 200
"""Longest cell of text, and longest name of a column [characters]."""

NAMELESS: Final = "write one in the header, or delete the column"


def ragged(count: int, wanted: int, header_line: int, line: int) -> FileError:
    """The error about a row that has not as many cells as the header.

    Parameters
    ----------
    count, wanted : cells of the row, and of the header
    header_line, line : where the two stand
    """
    allowed = (
        f"{wanted} cells, as in the header on line {header_line}: give the row a cell for each column, empty where "
        "nothing is known"
    )
    return FileError("number of cells", count, None, allowed, line=line)


def at_most(what: str, count: int, most: int, change: str, line: int | None = None) -> None:
    """Refuse more of something than is read, with what to `change`."""
    if count > most:
        raise FileError(what, count, None, f"at most {most}{change}", line=line)


def each_named(names: Sequence[str], line: int) -> None:
    """Refuse a header without a name over each column, or with one twice."""
    for place, name in enumerate(names):
        if not name:
            allowed = f"a name for column {place + 1}: {NAMELESS}"
            raise FileError("column name", "empty", None, allowed, line=line)
        if names.index(name) != place:
            allowed = "each name once: rename one of the columns, so that its name says of what it is"
            raise FileError("column name", name, None, allowed, line=line, column=name)


def printable(names: Sequence[str], line: int) -> None:
    """Refuse a header with a name that cannot be shown, or is too long for that."""
    for place, name in enumerate(names, 1):
        if len(name) > MAX_CELL or not name.isprintable():
            allowed = f"printable text of at most {MAX_CELL} characters: rename it"
            raise FileError(f"name of column {place}", name, None, allowed, line=line)
