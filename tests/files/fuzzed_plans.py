"""Plans that were spoilt on their way: as a file, in a link, in a sheet of either kind, in the browser's keep.

What is read must say what the file says: written anew, every key of the file has its value again and what was not there
is told as taken. It is then judged, and every figure of it is a number or said not to be known.
"""

from __future__ import annotations

import base64
import json
import math
import random
import zlib
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

from fuzz_others import judged
from fuzzed import Came, refused
from spoiling import Fault, spoilt

from heave.errors import FileError, InputError
from heave.files.json_text import json_text
from heave.files.link import named, read_link
from heave.files.plan import PlanFile, plan_document, plan_to_json, read_plan_file
from heave.files.rigs import demo_plan
from heave.files.sheet_plan import CALCULATION_FORMAT, kept_plan, plan_block
from heave.judging import Assessment
from heave.screens.memory import unpacked
from heave.sea import SeaState, WaveSystem

Place = tuple[Any, int | str]

JUDGED: Final = 0.05
"""Share of the plans that are read that is judged as well."""

WRONG: Final = (
    *(
        [],
        {},
        None,
        True,
        False,
        "",
        "x",
        "2,5",
        0,
        -0.0,
        1,
        -1,
        2,
        1.5,
        1e3,
        1e6,
        1e9,
        1e308,
        -1e308,
        1e-308,
    ),
    *(
        5e-324,
        10**39,
        [[]],
        [1],
        {"a": 1},
        {"type": []},
        [None],
        "a" * 5000,
        "\u202etxet",
        "=1+1",
        "<b>x</b>",
    ),
    *(
        "![p](http://x.y/z)",
        "\x07",
        "2026-02-29T00:00",
        "9999-12-31T23:59",
        "Tz",
        "NaN",
        "drilling",
        360,
        90.0,
    ),
)


@cache
def _texts() -> tuple[str, ...]:
    """Plan files to be spoilt: of a hull without a table, of version 1, of more systems, the demonstration with its."""
    plan = demo_plan()
    first = Path(__file__).with_name("plan_version_1.json").read_text("utf-8")
    many = plan.changed(
        sea=SeaState(tuple(WaveSystem(0.8, 9.0 + place, "Tp", 200.0) for place in range(4)), 300.0)
    )
    made = (
        plan_to_json(plan.changed(vessel=_small())),
        first,
        plan_to_json(many.changed(vessel=_small())),
    )
    return (*made, plan_to_json(plan))


def _small() -> Any:
    from heave.planning.rig import closed_form_vessels

    return next(iter(closed_form_vessels().values()))


def _places(value: Any) -> Iterator[Place]:
    """Every place in a document where a value stands, by the object or list that holds it."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, part in list(pairs):
        yield value, key
        yield from _places(part)


def _changed(document: dict[str, Any], draw: random.Random) -> str:
    """One to three values of a document changed, by the wrong type, by size, by key."""
    told = []
    for _ in range(draw.choice((1, 1, 1, 2, 3))):
        inside = (
            document["plan"] if isinstance(document.get("plan"), dict) and draw.random() < 0.95 else document
        )
        places = list(_places(inside))
        if not places:
            continue
        holder, key = draw.choice(places)
        way = draw.randrange(8)
        if way < 3:
            holder[key] = draw.choice(WRONG)
        elif way < 5 and isinstance(holder[key], float | int):
            holder[key] = holder[key] * draw.choice((0.0, -1.0, 0.5, 1.1, 2.0, 10.0, 1e3, 1e-3))
        elif way == 5 and isinstance(holder, dict):
            del holder[key]
        elif way == 6 and isinstance(holder, dict):
            holder[draw.choice((f"{key}x", str(key).upper(), "type", "kind", "n" * 100_000))] = holder.pop(
                key
            )
        elif isinstance(holder, list):
            holder[:] = holder * draw.choice((0, 2, 3, 40))
        told.append(str(key)[:40])
    return "values " + " ".join(told[:1])


def sources(name: str) -> int:
    """How many plan files there are to be spoilt, for each reader."""
    return len(_texts())


def _text(draw: random.Random) -> tuple[str, bytes, int]:
    """A spoilt plan file, what was done to it, and which one it is."""
    texts = _texts()
    text = draw.choice(texts[:3]) if draw.random() < 0.99 else texts[3]
    return *_spoilt(text, draw), texts.index(text)


def _spoilt(text: str, draw: random.Random) -> tuple[str, bytes]:
    way = draw.random()
    if way < 0.7:
        document = json.loads(text)
        told = _changed(document, draw)
        return told, json.dumps(document, indent=draw.choice((None, 1))).encode()
    if way < 0.96:
        return "spoilt", spoilt(text.encode(), draw)
    return draw.choice(
        (
            ("deep", text.replace("null", "[" * 5000 + "]" * 5000, 1).encode()),
            ("8,000 systems", _with_systems(text, 8000)),
            (
                "key twice",
                text.replace('"plan": {', '"plan": {"heading_deg": 1.0, "heading_deg": 2.0, ', 1).encode(),
            ),
            ("long key", text.replace('"plan": {', '"plan": {"%s": 1, ' % ("k" * 200_000), 1).encode()),
            ("huge number", text.replace("1200.0", "9" * 5000, 1).encode()),
            ("UTF-16", text.encode("utf-16")),
            ("marked", text.encode("utf-8-sig")),
        )
    )


def _with_systems(text: str, count: int) -> bytes:
    document = json.loads(text)
    document["plan"]["sea"]["systems"] = document["plan"]["sea"]["systems"][:1] * count
    return json.dumps(document).encode()


def _link(data: bytes, draw: random.Random) -> str:
    try:
        data = json_text(named(json.loads(data)), compact=True).encode()
    except Exception:
        data = data[:40_000]
    return base64.urlsafe_b64encode(zlib.compress(data)).decode().rstrip("=")


def _in_file(data: bytes, draw: random.Random) -> PlanFile:
    return read_plan_file(data)


def _in_link(data: bytes, draw: random.Random) -> PlanFile:
    text = _link(data, draw)
    return read_link(text if draw.random() < 0.7 else spoilt(text.encode(), draw).decode("latin-1"))


def _in_page(data: bytes, draw: random.Random) -> PlanFile:
    page = f"<html><body><h1>Sheet</h1>{plan_block(data.decode('utf-8', 'replace'))}</body></html>".encode()
    return read_plan_file(page if draw.random() < 0.7 else spoilt(page, draw))


def _in_sheet(data: bytes, draw: random.Random) -> PlanFile:
    sheet = {"format": CALCULATION_FORMAT, "version": 1, "plan": kept_plan(data.decode("utf-8", "replace"))}
    text = json.dumps(sheet).encode()
    return read_plan_file(text if draw.random() < 0.7 else spoilt(text, draw))


def _in_keep(data: bytes, draw: random.Random) -> PlanFile:
    text = base64.b64encode(zlib.compress(data, 1)).decode()
    return unpacked(text if draw.random() < 0.7 else spoilt(text.encode(), draw).decode("latin-1"))


READERS: Final[dict[str, Callable[[bytes, random.Random], PlanFile]]] = {
    "plan file": _in_file,
    "plan in a link": _in_link,
    "plan in a page": _in_page,
    "plan in a sheet": _in_sheet,
    "plan kept": _in_keep,
}


def attempt(name: str, draw: random.Random) -> Came:
    """One spoilt plan, read; raises what must not be."""
    told, data, place = _text(draw)
    try:
        try:
            found = READERS[name](data, draw)
        except FileError as error:
            return Came(refused(error), told, data)
        if told != "spoilt" or name == "plan file":
            _says_the_same(data, found)
        anew = read_plan_file(plan_to_json(found.plan).encode())
        if anew.plan != found.plan or anew.defaulted:
            raise Fault("another plan when written and read again")
        if draw.random() < JUDGED:
            _judged(found)
    except Exception as problem:
        problem.add_note(f"{name}, {told}")
        problem.spoilt = data  # type: ignore[attr-defined]
        raise
    return Came("read", told, data, place)


def _judged(found: PlanFile) -> Assessment | None:
    try:
        return judged(found.plan)
    except InputError as error:
        refused(error)
        return None


def _says_the_same(data: bytes, found: PlanFile) -> None:
    """Every key of the file has its value in the plan, and what the file has not is told."""
    try:
        document = json.loads(data.decode("utf-8-sig"))
    except ValueError:
        return
    if document["version"] != plan_document(found.plan)["version"]:
        return
    taken = {one.path for one in found.defaulted}
    written = json.loads(json_text(plan_document(found.plan)))
    _alike(document["plan"], written["plan"], "plan", taken)


def _alike(said: Any, read: Any, path: str, taken: set[str]) -> None:  # noqa: PLR0912  a branch for each type
    if isinstance(said, dict) and isinstance(read, dict):
        if "library" in said:
            return
        for key, value in said.items():
            if key == "type" and key not in read:
                continue
            if key not in read and value is not None:
                raise Fault(f"{path}.{key} is lost")
            if key in read:
                _alike(value, read[key], f"{path}.{key}", taken)
        for key in read:
            inside = f"{path}.{key}"
            if key not in said and not any(one == inside or one.startswith(inside + ".") for one in taken):
                raise Fault(f"{inside} is taken without a word")
    elif isinstance(said, list) and isinstance(read, list):
        if len(said) != len(read):
            raise Fault(f"{path}: {len(read)} of {len(said)}")
        for place, (one, other) in enumerate(zip(said, read, strict=True)):
            _alike(one, other, f"{path}[{place}]", taken)
    elif isinstance(said, float | int) and isinstance(read, float | int) and not isinstance(said, bool):
        if not math.isclose(said, read, rel_tol=1e-12, abs_tol=0.0):
            raise Fault(f"{path}: {read} is read for {said}")
    elif said != read:
        raise Fault(f"{path}: {read!r} is read for {said!r}")
