"""The plan inside a calculation sheet: its plan file's text, kept with its hash, and taken out again."""

from __future__ import annotations

import re
from typing import Any, Final

from heave.errors import FileError
from heave.files.json_text import json_text, read_json
from heave.files.seals import text_hash
from heave.files.tables import Source, decode, load

CALCULATION_FORMAT: Final = "heave-calculation"
CALCULATION_VERSION: Final = 1

MAX_SHEET_BYTES: Final = 15_000_000
"""Largest sheet read [bytes]: a plan of the largest size, as a text inside it, with all that is printed."""

_OPENS: Final = '<script type="application/json" id="heave-plan">'
_CLOSES: Final = "</script>"
_ESCAPES: Final = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026"}


def kept_plan(text: str) -> dict[str, str]:
    """A plan file's text as a sheet keeps it, with its SHA-256.

    Parameters
    ----------
    text : of the plan file
    """
    return {"sha256": text_hash(text), "text": text}


def plan_block(text: str) -> str:
    """The same as a block of data in HTML, which shows nothing; no text in it can end it.

    Parameters
    ----------
    text : of the plan file
    """
    inner = json_text(kept_plan(text), compact=True).strip()
    for mark, escape in _ESCAPES.items():  # outside strings JSON has none of them
        inner = inner.replace(mark, escape)
    return f"{_OPENS}{inner}{_CLOSES}"


def plan_source(source: Source) -> Source:
    """What to read a plan from: the source itself, or where that is a calculation sheet the plan in it.

    Parameters
    ----------
    source : the path of a plan file or of a sheet, HTML or JSON, or its bytes

    Raises
    ------
    FileError
        If a sheet holds no plan, several, or one that is not what its hash was made of.
    """
    data = load(source, MAX_SHEET_BYTES)
    start = data[:200].removeprefix(b"\xef\xbb\xbf").lstrip()
    if start.startswith(b"<"):
        return _taken(read_json(_block_of(decode(data)).encode(), MAX_SHEET_BYTES), "plan")
    if re.match(rb'\{\s*"format"\s*:\s*"%b"' % CALCULATION_FORMAT.encode(), start):
        document = read_json(data, MAX_SHEET_BYTES)
        if document.get("version") != CALCULATION_VERSION:
            allowed = f"version {CALCULATION_VERSION}"
            raise FileError("version", document.get("version"), None, allowed, column="version")
        return _taken(document.get("plan"), "plan")
    return source


def _block_of(text: str) -> str:
    """The one block of data in the HTML of a sheet."""
    _, *blocks = text.split(_OPENS)
    if len(blocks) != 1 or _CLOSES not in blocks[0]:
        found = "a page with more than one plan" if blocks[1:] else "a page without a plan"
        raise FileError("file", found, None, "a plan file, or a calculation sheet as the planner saves it")
    return blocks[0].partition(_CLOSES)[0]


def _taken(kept: Any, path: str) -> bytes:
    """The text of the plan file, if it is what its hash was made of."""
    if not isinstance(kept, dict) or set(kept) != {"sha256", "text"} or not isinstance(kept["text"], str):
        raise FileError("plan in the sheet", kept, None, "sha256 and text of a plan file", column=path)
    found = text_hash(kept["text"])
    if found != kept["sha256"]:
        allowed = f"the plan that the sheet was made of; the hash of this text is {found[:12]}…"
        raise FileError("plan in the sheet", kept["sha256"], None, allowed, column=f"{path}.sha256")
    return kept["text"].encode("utf-8")
