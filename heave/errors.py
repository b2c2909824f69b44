"""The two errors a user can meet: a wrong input and a wrong file; and a number with its unit, as they write it."""

from __future__ import annotations

from pathlib import PurePath
from typing import Any, Final

LONGEST: Final = 400
"""Longest message [characters]."""

_SPACES: Final = "\u00a0\u2009\u202f"
"""Spaces inside numbers, as the planner writes them."""


class InputError(ValueError):
    """An input that cannot be used: names what it is, its value, its unit and what is allowed.

    Parameters
    ----------
    what : the name of the quantity, as the screen shows it
    value : what was given
    unit : symbol of its unit, or None where it has none
    allowed : what would be accepted, in words and numbers
    """

    def __init__(self, what: str, value: Any, unit: str | None, allowed: str) -> None:
        self.what = what
        self.value = value
        self.unit = unit
        self.allowed = allowed
        super().__init__(self._message(""))

    def _message(self, place: str) -> str:
        """What is shown, of LONGEST characters at most: a file may hold names of any length."""
        value = with_unit(_written(self.value), short(self.unit or "", 20))
        before = f"{place}{short(self.what, 80)}: {value} cannot be used; allowed: "
        return before + short(self.allowed, LONGEST - len(before))

    def __reduce__(self) -> tuple[Any, ...]:
        # the arguments that made it are not its message, so that another process can only be told by its parts
        return Exception.__new__, (type(self), *self.args), self.__dict__


class FileError(InputError):
    """A file that cannot be read: adds the line and the column or key where it went wrong."""

    def __init__(
        self,
        what: str,
        value: Any,
        unit: str | None,
        allowed: str,
        *,
        line: int | None = None,
        column: str | None = None,
    ) -> None:
        super().__init__(what, value, unit, allowed)
        self.line = line
        self.column = column
        places = [f"{word} {short(str(at), 90)}" for word, at in (("line", line), ("column", column)) if at]
        if places:
            self.args = (self._message(f"{', '.join(places)}: "),)


def with_unit(text: str, symbol: str) -> str:
    """A number as it is written with its unit: a no-break space between them, none before °, none before a rate's /.

    Parameters
    ----------
    text : the number, written
    symbol : of the unit; may be empty
    """
    joined = "" if symbol[:1] in ("", "°", "/") else "\u00a0"
    return f"{text}{joined}{symbol}"


def short(text: str, most: int) -> str:
    """`text` in at most `most` characters that can be shown, cut in its middle: its end tells what to change.

    Parameters
    ----------
    text : of any length, from a file or a box
    most : characters
    """
    text = text if len(text) <= 2 * most else text[:most] + text[-most:]
    text = "".join(one if one.isprintable() or one in _SPACES else repr(one)[1:-1] for one in text)
    if len(text) <= most:
        return text
    tail = (most - 3) // 3
    return f"{text[: most - 3 - tail]}...{text[len(text) - tail :]}"


def _written(value: Any) -> str:
    """`value` as a message shows it; never fails, since whole numbers over 4,300 digits have no repr.

    A long value is cut at its end, a long path at its beginning: the name of the file is what tells.
    """
    try:
        if isinstance(value, PurePath):
            path = str(value)
            kept = max(77, len(value.name))
            return repr(path if len(path) <= 80 else "..." + path[-kept:])
        shown = repr(value)
        for space in _SPACES if isinstance(value, str) else "":
            shown = shown.replace(repr(space)[1:-1], space)
    except Exception:
        return f"a {type(value).__name__} that cannot be written out"
    return shown if len(shown) <= 80 else shown[:77] + "..."
