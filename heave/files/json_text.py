"""Strict JSON: what a second reader could read differently is refused, with the key where it stands.

RFC 8259 leaves duplicate keys, NaN, huge numbers and depth to each reader. Here duplicate keys, NaN and
Infinity, numbers that overflow or are lost in zero, lone surrogates, deep nesting and anything but UTF-8 are errors.
"""

from __future__ import annotations

import json
import math
import re
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Final

from heave.errors import FileError
from heave.files.tables import Source, decode, load

MAX_JSON_BYTES: Final = 2_000_000
"""Largest JSON text read [bytes]."""

MAX_DEPTH: Final = 32
"""Deepest nesting of objects and lists."""

MAX_DIGITS: Final = 40
"""Longest number [characters]."""


@dataclass(frozen=True)
class _Refused:
    """Stands in the parsed value where something was refused, until the walk knows its key path."""

    what: str
    value: str
    allowed: str


def read_json(source: Source, max_bytes: int = MAX_JSON_BYTES) -> Any:
    """The value a JSON text holds.

    Parameters
    ----------
    source : a path, or bytes
    max_bytes : most bytes allowed

    Returns
    -------
    dict, list, str, int, float, bool or None

    Raises
    ------
    FileError
        For anything that is not one JSON value in strict UTF-8; `column` holds the key path, such as
        `compensator.stroke` or `sections[2].length`, or `line` the line.
    """
    text = decode(load(source, max_bytes))
    if not text.strip():
        raise FileError("file", "nothing in it", None, "one JSON value", line=1)
    _check_depth(text)
    try:
        value = json.loads(
            text,
            object_pairs_hook=_pairs,
            parse_int=_integer,
            parse_float=_decimal,
            parse_constant=lambda word: _Refused("number", word, "a finite number"),
        )
    except json.JSONDecodeError as problem:
        found = text[problem.pos : problem.pos + 20] or "the end of the file"
        allowed = f"well-formed JSON ({problem.msg})"
        raise FileError("JSON", found, None, allowed, line=problem.lineno) from problem
    _walk(value, "")
    return value


def read_document(
    source: Source, name: str, version: int, max_bytes: int = MAX_JSON_BYTES, *, oldest: int | None = None
) -> dict[str, Any]:
    """The JSON object of one of our own formats: its `format` is `name` and its `version` is known.

    `version` is the one written today, `oldest` the first that can still be read; None reads today's only.

    Raises
    ------
    FileError
        As `read_json`, and if it is not an object of this format and version.
    """
    document = read_json(source, max_bytes)
    if not isinstance(document, dict):
        raise FileError("JSON", type(document).__name__, None, f"an object with format {name!r}", line=1)
    if document.get("format") != name:
        raise FileError("format", document.get("format"), None, repr(name), column="format")
    found = document.get("version")
    known = range(version if oldest is None else oldest, version + 1)
    if isinstance(found, bool) or not isinstance(found, int) or found not in known:
        words = " or ".join(str(number) for number in known)
        raise FileError("version", found, None, f"version {words}", column="version")
    return document


def json_text(document: Any, *, compact: bool = False) -> str:
    """`document` as JSON text: keys in the order given, never NaN or Infinity.

    An object has a key a line, indented; a list of plain values, such as a row of a table, is one line however
    long, and so is a list of a list's rows each.

    Parameters
    ----------
    document : what to write
    compact : without indents or line ends, for machines only

    Raises
    ------
    FileError
        If it holds something JSON cannot say.
    """
    try:
        return (_shortest(document) if compact else _lines(document, "\n")) + "\n"
    except (ValueError, TypeError, RecursionError) as problem:
        raise FileError("JSON", str(problem), None, "finite numbers, text, lists and objects") from problem


class Lasting(dict[str, Any]):
    """An object that nobody changes, so that its lines are made once for each margin they stand at."""

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self.lines: dict[str, str] = {}

    def __setitem__(self, key: str, value: Any) -> None:
        raise TypeError(f"{key!r} is put into an object that lasts; change a copy of it")

    def __deepcopy__(self, memo: dict[int, Any]) -> dict[str, Any]:
        return deepcopy(dict(self), memo)


_one_line = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode
_shortest = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode
"""Made once: a plan is a thousand short lines."""


def _lines(value: Any, margin: str) -> str:
    """A value over several lines; `margin` is a line end and the indent of the line it begins on."""
    deeper = margin + "  "
    if isinstance(value, Lasting):
        if margin not in value.lines:
            value.lines[margin] = _lines(dict(value), margin)
        return value.lines[margin]
    if isinstance(value, dict) and value:
        parts = [f"{_one_line(_key(key))}: {_lines(item, deeper)}" for key, item in value.items()]
        return "{" + deeper + ("," + deeper).join(parts) + margin + "}"
    # rows of a table are long, and of one type
    kinds = set(map(type, value)) if isinstance(value, (list, tuple)) else ()
    if any(issubclass(kind, (dict, list, tuple)) for kind in kinds):
        return "[" + deeper + ("," + deeper).join(_lines(item, deeper) for item in value) + margin + "]"
    return _one_line(value)


def _key(key: Any) -> str:
    if not isinstance(key, str):
        raise TypeError(f"key {key!r} is no text")
    return key


def _check_depth(text: str) -> None:
    """Count brackets outside strings before parsing: the parser itself recurses.

    A string left open matches to the end of its line, so that no text makes the search start over.
    """
    depth = 0
    for token in re.finditer(r'"(?:[^"\\\n]|\\.)*"?|[\[{]|[\]}]', text):
        mark = token[0]
        if mark in "[{":
            depth += 1
            if depth > MAX_DEPTH:
                line = text.count("\n", 0, token.start()) + 1
                raise FileError("nesting", depth, "levels", f"at most {MAX_DEPTH} levels", line=line)
        elif mark in "]}":
            depth -= 1


def _pairs(pairs: list[tuple[str, Any]]) -> Any:
    found: dict[str, Any] = {}
    for key, value in pairs:
        found[key] = _Refused("key", key, "each key once in an object") if key in found else value
    return found


def _integer(text: str) -> Any:
    if len(text) > MAX_DIGITS:
        return _Refused("number", text[:20] + "...", f"a number of at most {MAX_DIGITS} characters")
    return int(text)


def _decimal(text: str) -> Any:
    value = float(text) if len(text) <= MAX_DIGITS else math.inf
    if not math.isfinite(value):
        return _Refused("number", text[:40], f"a finite number of at most {MAX_DIGITS} characters")
    if value == 0.0 and text.lower().partition("e")[0].strip("-0."):
        return _Refused("number", text, "a number that can be told from zero, or 0")
    return value


def _walk(value: Any, path: str) -> None:
    if isinstance(value, _Refused):
        raise FileError(value.what, value.value, None, value.allowed, column=path or None)
    if isinstance(value, dict):
        for key, item in value.items():
            _check_text(key, path)
            _walk(item, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for place, item in enumerate(value):
            _walk(item, f"{path}[{place}]")
    elif isinstance(value, str):
        _check_text(value, path)


def _check_text(text: str, path: str) -> None:
    if not text.isascii() and any("\ud800" <= character <= "\udfff" for character in text):
        raise FileError("text", ascii(text), None, "characters that UTF-8 can hold", column=path or None)
