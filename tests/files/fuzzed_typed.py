"""What people type, spoilt: numbers in boxes, cells of tables that are edited in place, a maker's data sheet.

A number is read as what its text says by arithmetic of our own (`said`), in the unit on the screen, or refused in
short words; cells that nobody touched keep what they hold.
"""

from __future__ import annotations

import random
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import fields
from decimal import Decimal
from functools import cache
from types import SimpleNamespace
from typing import Any, Final
from unittest.mock import patch

from fuzz_others import within
from fuzzed import LONGEST, SPACES, WORKED, Came, refused
from spoiling import Fault
from table_changes import ODD_CELLS

from heave.errors import InputError
from heave.fields import Quantity
from heave.fields import about as about_field
from heave.files.rigs import demo_plan
from heave.planning import Plan, rig
from heave.screens import grid
from heave.screens.hoisting import hookload
from heave.screens.inputs import number_of
from heave.screens.rig import data_sheet, parts
from heave.units import unit_of

SYSTEMS: Final = "metric", "oilfield"
MARKS: Final = [
    *",.;:'’_ \u00a0\u2009\u202f\u2212-+eE°%/()[]\u200b\u202e٢２½²",
    "ft",
    "m",
    "kN",
    "1e",
    "e9",
    "00",
]
"""What is put into a number that is typed."""


def typed(draw: random.Random) -> str:
    """A number as people type it, well or badly."""
    number = draw.choice((draw.uniform(0, 9), draw.uniform(0, 900), draw.uniform(1e3, 9e5), 0.0, 1e-7, 250.0))
    digits = draw.choice((0, 0, 1, 2, 3))
    grouped = f"{number:,.{digits}f}"
    mark, point = draw.choice(
        ((",", "."), (".", ","), (" ", "."), (" ", ","), ("\u202f", "."), ("", "."), ("", ","))
    )
    text = grouped.replace(",", "~").replace(".", point).replace("~", mark)
    if draw.random() < 0.1:
        text = f"{number:.3e}"
    text = draw.choice(("", "", "", "", "-", "\u2212", "+")) + text
    for _ in range(draw.choice((0, 0, 1, 2))):
        at = draw.randrange(len(text) + 1)
        text = text[:at] + draw.choice(MARKS) + text[at + draw.choice((0, 1)) :]
    if draw.random() < 0.08:
        text = draw.choice((*ODD_CELLS, "9" * 400, "a" * 50_000, "1e400", "1e-400", "0" * 5000 + "1"))
    return draw.choice(("", "", " ", "\t")) + text


def said(text: str) -> Decimal | None:  # noqa: PLR0911  one rule after the other
    """The one number that a text says; None where it says none, or may say two.

    One point or comma is decimal, but a comma before whole groups of three digits may part thousands and is none.
    Single spaces part thousands, three digits each.
    """
    plain = text.strip().replace("\u2212", "-")
    if any(letter not in "0123456789.,eE+-" and unicodedata.category(letter) != "Zs" for letter in plain):
        return None
    mantissa, mark, exponent = plain.replace("E", "e").partition("e")
    if mark and not re.fullmatch(r"[+-]?\d{1,3}", exponent):
        return None
    sign, body = (mantissa[0], mantissa[1:]) if mantissa[:1] in ("+", "-") else ("", mantissa)
    whole, *behind = re.split("[.,]", body)
    if len(behind) > 1 or (not whole and not (behind and behind[0])):
        return None
    groups = re.split(r"\s", whole)
    if len(groups) > 1 and (any(len(one) != 3 for one in groups[1:]) or not 1 <= len(groups[0]) <= 3):
        return None
    if len(groups) > 1 and groups[0].startswith("0"):
        return None
    digits = "".join(groups)
    if not all(one.isdigit() or not one for one in (digits, *behind)):
        return None
    if "," in body and len(behind[0]) == 3 and re.fullmatch("[1-9][0-9]{0,2}", digits) and len(groups) == 1:
        return None
    value = Decimal(f"{sign}{digits or 0}.{''.join(behind) or 0}{mark}{exponent}")
    number = float(value)
    return value if abs(number) < float("inf") and bool(number) == bool(value) else None


def hold(text: str, about: Quantity, system: str, value: Any, why: str) -> None:
    """Whether a number was read as its text says, in the unit of the screen, or refused in short words."""
    if len(why) > LONGEST + 2 * len(about.help) or not why.translate(SPACES).isprintable():
        raise Fault(f"a message of {len(why)} characters: {why[:120]!r}")
    if why:
        return
    if value is None:
        if text.strip() or not about.optional:
            raise Fault(f"{text!r} is taken as empty")
        return
    meant, unit = said(text), unit_of(about.kind, system)
    if meant is None:
        raise Fault(f"{text!r} is read as {value}")
    stored = float(meant) * unit.factor + unit.offset
    if abs(stored - value) > 1e-9 * max(abs(stored), abs(value)):
        raise Fault(f"{text!r} {unit.symbol} is read as {value}, {stored} is meant")


@cache
def _boxes() -> tuple[Quantity, ...]:
    plan = demo_plan()
    parts = plan, plan.compensator, plan.string, plan.operation, plan.hoisting, plan.sea.systems[0]
    found = {item.metadata.get("about"): None for part in parts for item in fields(part)}
    return tuple(one for one in found if isinstance(one, Quantity))


def _number(draw: random.Random) -> str:
    text, about, system = typed(draw), draw.choice(_boxes()), draw.choice(SYSTEMS)
    value, why = number_of(text, about, system)
    hold(text, about, system, value, why)
    return "refused" if why else "read"


@cache
def _tables() -> tuple[tuple[tuple[Any, ...], Mapping[str, str], Callable[[Plan, Any], Plan]], ...]:
    plan = demo_plan()
    return (
        (plan.string.sections, parts._SECTION, rig.with_sections),
        (hookload.first_well(plan).intervals, hookload._COLUMNS, hookload.with_intervals),
    )


def _cells(draw: random.Random) -> str:
    """Up to three cells of a table: what is read of them, and that no other cell changes."""
    rows, columns, taken = draw.choice(_tables())
    system = draw.choice(SYSTEMS)
    labels = {name: grid._label(rows[0], name, label, system) for name, label in columns.items()}
    edited: dict[int, dict[str, Any]] = {}
    for _ in range(draw.choice((1, 1, 2, 3))):
        place, name = draw.randrange(len(rows)), draw.choice(list(labels))
        edited.setdefault(place, {})[labels[name]] = draw.choice(
            (typed(draw), typed(draw), None, grid._shown(rows[place], name, system))
        )
    made, why = grid._read(edited, rows, labels, system)
    if any(len(one) > 3 * LONGEST or "Row " not in one for one in why):
        raise Fault(f"refused in {why}")
    if why:
        return "refused"
    for place, (before, after) in enumerate(zip(rows, made, strict=True)):
        for name, label in labels.items():
            text, about = edited.get(place, {}).get(label), about_field(before, name)
            kept = text is None or text.strip() == grid._shown(before, name, system)
            if label not in edited.get(place, {}) or (kept and text is not None):
                if getattr(after, name) != getattr(before, name):
                    raise Fault(f"row {place + 1}, {name} was not touched and is {getattr(after, name)}")
            elif isinstance(about, Quantity):
                hold(text or "", about, system, getattr(after, name), "")
    if draw.random() < WORKED:
        within(lambda: taken(demo_plan(), made))
    return "read"


def _sheet(draw: random.Random) -> str:
    """The boxes of a maker's data sheet, one to all of them spoilt; the unit that follows of it is judged."""
    system = draw.choice(SYSTEMS)
    names = [item.name for item in fields(rig.DataSheet) if "about" in item.metadata]
    good = {
        "bore": "300" if system == "metric" else "12",
        "bottle_volume": "1000" if system == "metric" else "250",
    }
    boxes = {}
    for name in names:
        about = about_field(rig.DataSheet, name)
        usual = good.get(name, data_sheet._FIRST.get(name, ""))
        boxes[name] = usual if isinstance(about, Quantity) else draw.choice(about.options)  # type: ignore[union-attr]
        if isinstance(about, Quantity) and draw.random() < 0.15:
            boxes[name] = typed(draw)
    with patch.object(
        data_sheet,
        "st",
        SimpleNamespace(session_state={data_sheet._key(key, system): one for key, one in boxes.items()}),
    ):
        try:
            found = data_sheet._typed(system)
            if found is None:
                return "refused"
            found.working(system)
            plan = data_sheet._with_sheet(demo_plan(), found)
        except InputError as error:
            return refused(error)
    for name in names:
        about = about_field(rig.DataSheet, name)
        if isinstance(about, Quantity):
            given = boxes[name] if boxes[name].strip() else ""
            if given:
                hold(given, about, system, getattr(found, name), "")
    if draw.random() < WORKED:
        within(lambda: plan)
    return "read"


READERS: Final[dict[str, Callable[[random.Random], str]]] = {
    "typed number": _number,
    "edited table": _cells,
    "data sheet": _sheet,
}


def sources(name: str) -> int:
    """What is typed is drawn anew each time."""
    return 1


def attempt(name: str, draw: random.Random) -> Came:
    """Some boxes or cells as they were typed, read; raises what must not be."""
    try:
        return Came(READERS[name](draw), name, b"")
    except Exception as problem:
        problem.add_note(f"{name}, typed")
        raise
