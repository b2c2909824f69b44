"""Every value of a plan in reading order, with label and kind of quantity, from what its fields say of themselves."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import Field, dataclass, fields, is_dataclass
from typing import Any, Final

import numpy as np

from heave.fields import Quantity
from heave.planning import Plan

LONGEST_ROW: Final = 8
"""Most numbers of a list that are written out; of more their count and their hash."""

TITLES: Final = {
    "offsets": "Static travel",
    "string": "Drill string",
    "ranges": "Ranges of what is not known",
    "hoisting": "Hoisting path",
    "line_work": "Record of the drilling line",
    "weather": "Asked of a forecast, no part of this calculation",
    "other_seas": "Asked of a climate and of limiting seas, no part of this calculation",
    "procedures": "Limits for other operations, no part of this calculation",
}
"""Titles that the name of the field does not give."""

_LEFT: Final = ("record", "progress")
"""What stands in the title block, and what of the lesson was done."""


@dataclass(frozen=True)
class Input:
    """One value of the plan.

    path : where it stands, as in `string.sections[0].length`
    label : what it is called
    value : a number in SI, text, True or False, or None where it is not given
    kind : kind of quantity of a number; empty for others
    """

    path: str
    label: str
    value: float | str | bool | None
    kind: str = ""


@dataclass(frozen=True)
class Group:
    """Values of one object of the plan, which stands at `path`; objects alike have one `table`."""

    path: str
    title: str
    inputs: tuple[Input, ...]
    table: str = ""


def inputs_of(plan: Plan) -> tuple[Group, ...]:
    """Every value of a plan but those of its title block; what of the lesson was done is no part of it.

    Parameters
    ----------
    plan : the plan
    """
    return tuple(_groups("Plan", plan, ""))


def _groups(title: str, value: Any, path: str, table: str = "") -> Iterator[Group]:
    """The values of one object, then those of the objects in it."""
    own = []
    named = [item.name for item in fields(value)]
    if "kind" not in named and isinstance(kind := getattr(value, "kind", None), str):
        own.append(Input(_under(path, "kind"), "kind", kind))
    below: list[Iterator[Group]] = []
    for item in fields(value):
        given, where = getattr(value, item.name), _under(path, item.name)
        name = _titled(title, item.name)
        if not item.init or (not path and item.name in _LEFT):
            continue
        if is_dataclass(given):
            if item.name == "response":
                own.append(Input(where, "response", _words(type(given).__name__)))
            below.append(_groups(name, given, where))
        elif isinstance(given, tuple) and given and is_dataclass(given[0]):
            numbered = enumerate(given)
            below += [_groups(f"{name}, {at + 1}", one, f"{where}[{at}]", name) for at, one in numbered]
        else:
            own.append(_input(item, given, where))
    if own:
        yield Group(path, title, tuple(own), table)
    for groups in below:
        yield from groups


def _input(item: Field[Any], given: Any, where: str) -> Input:
    about = item.metadata.get("about")
    label = about.label if about is not None else item.name.replace("_", " ")
    if isinstance(about, Quantity):
        return Input(where, label, None if given is None else float(given), about.kind)
    return Input(where, label, _told(given))


def _told(given: Any) -> str | bool | float | None:
    """A value that is no quantity: lists by their members, long ones and arrays by their count and hash."""
    if given is None or isinstance(given, str | bool | float | int):
        return given
    if isinstance(given, tuple) and len(given) <= LONGEST_ROW:
        return ", ".join(map(str, given)) or None
    array = np.ascontiguousarray(given)
    count = " × ".join(map(str, array.shape))
    return f"{count} values, SHA-256 of their bytes {hashlib.sha256(array.tobytes()).hexdigest()[:16]}…"


def _under(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name


def _titled(title: str, name: str) -> str:
    own = TITLES.get(name, name.replace("_", " "))
    return own[:1].upper() + own[1:] if title == "Plan" else f"{title}, {own}"


def _words(name: str) -> str:
    """The name of a class in words."""
    return "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in name).strip()
