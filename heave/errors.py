"""The two errors a user can meet: a wrong input and a wrong file."""

from __future__ import annotations

from pathlib import PurePath
from typing import Any


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
        shown = _written(value)
        super().__init__(f"{what}: {shown}{' ' + unit if unit else ''} cannot be used; allowed: {allowed}")


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
        places = [f"{word} {at}" for word, at in (("line", line), ("column", column)) if at]
        if places:
            self.args = (f"{', '.join(places)}: {self.args[0]}",)


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
    except Exception:
        return f"a {type(value).__name__} that cannot be written out"
    return shown if len(shown) <= 80 else shown[:77] + "..."
