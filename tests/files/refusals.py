"""What every refusal of a forecast must tell the one who made the file: where, what stands there, what to change."""

from __future__ import annotations

import re

from heave.errors import FileError

CHANGES = re.compile(
    r"\b(?:add|answer|ask|close|correct|cut|delete|give|keep|leave|move|name|part|rename|save|shorten|write)\b",
    re.I,
)
"""What may be done about a file; 'write all alike', 'delete the line'."""

INNER = re.compile(r"\bheave\.|planner|mapping|parse|dataclass|NaN\b|None\b|\bkey\b")
"""Words of the code, which no forecaster knows."""

WHOLE = ("file", "file size", "sheets of the workbook", "workbook")
"""What is wrong with a file as a whole stands on no line."""


def tells_what_to_change(error: FileError) -> None:
    """Fails where a refusal leaves out where it is, what was found or what to change, or speaks of the code."""
    words = str(error)
    assert error.what.strip(), words
    assert error.line is not None or error.column or error.what in WHOLE, words
    assert str(error.value).strip() not in ("", "None"), words
    assert CHANGES.search(error.allowed), words
    assert not INNER.search(re.sub(r"'[^']*'", "", error.allowed)), words  # what the file says is its own
    assert not INNER.search(error.what), words
