"""What a column of a forecast means by its name alone, with a unit in brackets or at its end."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Final

from heave.files.forecast.clock import zone_said
from heave.files.forecast.words import meaning_by_words, unit_for
from heave.files.registry import GENERAL, NDBC
from heave.planning.columns import ColumnMeaning
from heave.units import unit_written

_BRACKETS = re.compile(r"(.*?)\s*[\[(]([^\])]{0,20})[\])]")
_RANKS: Final = ("Tp", "Te", "T1", "Tz", None)
_ABOVE: Final = re.compile(r"(?<![0-9])([0-9]{1,3}) ?m(?![a-z/])")
"""Height above the sea in the name of a wind."""


def meaning_of(header: str, names: Mapping[str, ColumnMeaning]) -> ColumnMeaning | None:
    """What a column called `header` means among `names`, or None; a unit may stand in brackets or at the end.

    Parameters
    ----------
    header : the name in the file
    names : GENERAL or NDBC of `heave.files.registry`

    Returns
    -------
    ColumnMeaning of that column, unit empty where the name does not say; None for a name that is not known
    or a unit that does not go with it.
    """
    plain = header.strip().lower()
    bracket = _BRACKETS.fullmatch(plain)
    word = bracket[2].strip() if bracket else ""
    stem = re.sub(r"[ \-]+", "_", (bracket[1] if bracket else plain).strip())
    found = names.get(stem)
    if found is None and bracket is None:
        stem, word = _unit_at_end(stem, names)
        found = names.get(stem)
    if found is None:
        return None
    if not word or (word == "utc" and found.quantity in ("time", "date", "clock")):
        return replace(found, column=header)
    unit = unit_for(found.quantity, word)
    return None if unit is None else replace(found, column=header, unit=unit)


@lru_cache(maxsize=2000)
def column_meaning(
    header: str, buoy: bool, parts: bool = False, numbered: bool = False
) -> ColumnMeaning | None:
    """What a column means in a table of either layout; None where its name is not known.

    Parameters
    ----------
    header : the name in the file
    buoy : whether the layout is a buoy centre's
    parts, numbered : as `meaning_by_words` takes them
    """
    found = meaning_of(header, NDBC if buoy else GENERAL)
    return found or (not_used(header) if buoy else meaning_by_words(header, parts, numbered))


@lru_cache(maxsize=2000)
def not_used(header: str) -> ColumnMeaning:
    """A column that is left alone."""
    return ColumnMeaning(header)


def rank(meaning: ColumnMeaning) -> int:
    """Order of preference among columns for one quantity: the surest period first, 0 best."""
    if meaning.quantity == "period":
        return _RANKS.index(meaning.period_kind)
    if meaning.quantity == "time":
        says_utc = zone_said(meaning.column) == "UTC"
        return 0 if says_utc else 1 if meaning.column.lower() == "valid_time" else 2
    if meaning.quantity == "direction":
        second = "maximum" in meaning.column or meaning.sense == "to"
        return 2 if meaning.sense is None else int(second)
    above = _ABOVE.search(meaning.column) if "wind" in meaning.quantity else None
    return 1 if above is None else 0 if above[1] == "10" else 2  # a wind is one at 10 m


def _unit_at_end(stem: str, names: Mapping[str, ColumnMeaning]) -> tuple[str, str]:
    """Split `hs_ft` into hs and ft, the longest unit that leaves a known name."""
    words = stem.split("_")
    for count in range(min(3, len(words) - 1), 0, -1):
        front, unit = "_".join(words[:-count]), "_".join(words[-count:])
        if unit_written(unit) and front in names:
            return front, unit
    return stem, ""
