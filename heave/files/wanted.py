"""What to change in a table whose rows or names do not fit each other, in words for who made the file."""

from __future__ import annotations

from typing import Final

from heave.errors import FileError

NAMELESS: Final = "write one in the header, or delete the column"
NAMED_TWICE: Final = "each name once: rename one of the columns, so that its name says of what it is"
"""Where columns of a table have no names of their own."""


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
