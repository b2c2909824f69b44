"""Every reader with files of its kind, what it makes of them as plain numbers, and the work that is done with it.

`attempt` spoils one file and tells what came of it: read, refused, asked, or a `Fault`: read wrongly in silence, no
finite result, another error than the two a user can meet, a message that is too long, or too long a time.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import fuzz_forecasts
import fuzz_others
from spoiling import Facts, Fault, Meant, Table, astray, huge, spoilt
from table_changes import CHANGES, contradicted, doubled, removed

from heave.errors import FileError, InputError
from heave.files.buoy import read_buoy_file
from heave.files.conventions import ConventionNeeded
from heave.files.record.reader import read_record_file
from heave.files.response.reader import read_response_file
from heave.files.scatter import read_scatter
from heave.files.string import read_string

LONGEST: Final = 400
"""Longest message of a refusal [characters]."""

SPACES: Final = dict.fromkeys(map(ord, "\u00a0\u2009\u202f"))
"""Spaces inside numbers, which count as no letters."""

WORKED: Final = 0.02
"""Share of what is read that is worked with as well: judged, searched for windows, compared."""

Answers = Mapping[str, str]


@dataclass(frozen=True)
class Kind:
    """A reader: files of its kind, how it reads them, what it made of one in numbers, and what is done with that."""

    name: str
    tables: tuple[Table, ...]
    read: Callable[[bytes, Answers], Any]
    facts: Callable[[Any], Facts]
    use: Callable[[Any], None]
    texts: tuple[bytes, ...] = ()
    """Files that are no tables, spoilt blindly."""

    relative: bool = False
    """Whether places count from the first that is read."""

    changes: Sequence[Any] = CHANGES


ONCE: Final = tuple(change for change in CHANGES if change not in (doubled, contradicted))
"""Of files whose rows may be there twice."""


@cache
def kinds() -> Mapping[str, Kind]:
    """Every reader of tables by name."""
    root = __file__.rpartition("/tests/")[0]
    with open(f"{root}/sea_states/invented_storm.data_spec", "rb") as file:
        real_time = b"\n".join(file.read().split(b"\n")[:5]) + b"\n"
    records = (
        fuzz_others.record_table("time_s", "heave_{}", 1.0, 4),
        fuzz_others.record_table("Time (s)", "Heave up ({})", 1.0, 3),
    )
    listed = (
        Kind(
            "forecast",
            (fuzz_forecasts.of_total(10), fuzz_forecasts.of_parts(), fuzz_forecasts.of_buoy_centre()),
            fuzz_forecasts.read,
            fuzz_forecasts.facts,
            fuzz_forecasts.windows,
        ),
        Kind(
            "ensemble",
            (fuzz_forecasts.of_members(),),
            fuzz_forecasts.read,
            fuzz_forecasts.facts,
            fuzz_forecasts.windows,
        ),
        Kind(
            "hindcast",
            (fuzz_forecasts.of_total(45, step=1.0),),
            fuzz_forecasts.read_in_bulk,
            fuzz_forecasts.facts,
            fuzz_forecasts.windows,
        ),
        Kind(
            "heave record",
            records,
            read_record_file,
            fuzz_others.record_facts,
            fuzz_others.record_use,
            relative=True,
        ),
        Kind(
            "response table",
            (fuzz_others.response_own(), fuzz_others.response_long()),
            lambda d, a: read_response_file(d, fuzz_others.RESPONSE),
            fuzz_others.response_facts,
            fuzz_others.response_use,
        ),
        Kind(
            "string",
            (fuzz_others.string_table(),),
            lambda d, a: read_string(d),
            fuzz_others.string_facts,
            fuzz_others.string_use,
            (),
            False,
            ONCE,
        ),
        Kind(
            "spectra",
            (fuzz_others.spectra_table(),),
            lambda d, a: read_buoy_file(d),
            fuzz_others.spectra_facts,
            fuzz_others.spectra_use,
            (real_time,),
        ),
        Kind(
            "scatter diagram",
            (fuzz_others.scatter_table(),),
            lambda d, a: read_scatter(
                d, classes="middles", period_kind="Tz", height_unit=a.get("height_unit")
            ),
            fuzz_others.scatter_facts,
            fuzz_others.scatter_use,
            changes=tuple(
                change for change in CHANGES if change is not removed
            ),  # two classes then look like one
        ),
        Kind(
            "tide",
            (fuzz_others.tide_table(),),
            fuzz_others.tide,
            fuzz_others.tide_facts,
            fuzz_others.tide_use,
        ),
    )
    return {one.name: one for one in listed}


@cache
def _before(name: str, place: int) -> Facts:
    kind = kinds()[name]
    found = kind.facts(kind.read(kind.tables[place].data(), KNOWN))
    if not found:
        raise Fault(f"{name} {place} as it was is not read")
    return found


KNOWN: Final = {
    "date_order": "day first",
    "time_zone": "UTC",
    "composition": "parts",
    "direction_sense": "from",
}


@dataclass(frozen=True)
class Came:
    """What came of a file: 'read', 'refused' or 'asked', what was done to it, the file, and which one was spoilt."""

    outcome: str
    what: str
    data: bytes
    place: int = 0


def sources(name: str) -> int:
    """How many files of a reader there are to be spoilt."""
    return len(kinds()[name].tables) + len(kinds()[name].texts)


def attempt(name: str, draw: random.Random) -> Came:
    """One spoilt file, read; raises what must not be, with the file in its notes."""
    kind = kinds()[name]
    place = draw.randrange(len(kind.tables))
    table = kind.tables[place]
    if draw.random() < 0.004:
        meant: Meant | None = huge(table, draw)
    elif draw.random() < 0.3:
        data = draw.choice((*kind.texts, table.data()))
        if data in kind.texts:
            place = len(kind.tables) + kind.texts.index(data)
        meant = Meant("spoilt", spoilt(data, draw))
    else:
        meant = draw.choice(kind.changes)(table, draw)
    if meant is None:
        return attempt(name, draw)
    blind = meant.what == "spoilt"
    try:
        answers = {} if meant.unread else {**KNOWN, **meant.answers}
        try:
            found = kind.read(meant.data, answers)
        except FileError as error:
            return Came(refused(error), meant.what, meant.data)
        except InputError as error:
            if name != "tide":
                raise
            return Came(refused(error), meant.what, meant.data)
        facts = kind.facts(found)
        if not blind:
            _hold(kind, meant, _before(name, place), facts)
        if draw.random() < WORKED:
            kind.use(found)
    except Exception as problem:
        problem.add_note(f"{name}, {meant.what}")
        problem.spoilt = meant.data  # type: ignore[attr-defined]
        raise
    return Came("read", meant.what, meant.data, place)


def refused(error: InputError) -> str:
    """That a file was refused or asked about, in a message that can be read."""
    words = str(error)
    if len(words) > LONGEST:
        raise Fault(f"a message of {len(words)} characters: {words[:200]}")
    if not words.translate(SPACES).isprintable():
        raise Fault(f"a message that cannot be shown: {words!r}")
    return "asked" if isinstance(error, ConventionNeeded) else "refused"


def _hold(kind: Kind, meant: Meant, before: Facts, found: Facts) -> None:
    why = astray(meant, before, found)
    if why and kind.relative:
        gone = [key for row, key in enumerate(before) if row in meant.gone | meant.loose][:1]
        starts = list(before)[:4] if gone or meant.may_go else []
        moved = ({round(key + start, 3): value for key, value in found.items()} for start in starts)
        why = why if all(astray(meant, before, one) for one in moved) or not starts else ""
    if why:
        raise Fault(why)
