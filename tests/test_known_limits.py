"""Every bound, default and constant of the physics and of the plan, beside a list of them that is kept apart.

The list is a regression: its numbers are those the planner had when it was last renewed, so that none changes
unseen. What the numbers do is tested beside the code that uses them; here each bound is tried from both sides.

    PYTHONPATH=. python tests/test_known_limits.py

renews the list; look at what changed in it.
"""

from __future__ import annotations

import csv
import dataclasses
import importlib
import math
import pkgutil
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import heave
from heave.errors import InputError
from heave.fields import Choice, Flag, Quantity, Text

LIST = Path(__file__).parent / "known_limits.csv"
ROOMS = (
    "sea",
    "vessel",
    "drill_string",
    "compensator",
    "hoisting",
    "planning",
    "judging",
    "simulation",
    "weather",
    "quantities",
)
COLUMNS = ("place", "what", "number")
BOUNDS = ("above", "low", "below", "high")


def modules() -> Iterator[ModuleType]:
    for found in pkgutil.walk_packages(heave.__path__, "heave."):
        if found.name.split(".")[1] in ROOMS:
            yield importlib.import_module(found.name)


def own(module: ModuleType) -> dict[str, Any]:
    """The names that a module gives a value with its type, rather than imports."""
    return vars(module).get("__annotations__", {})


def described() -> Iterator[tuple[str, Any, Any]]:
    """Every field with a description and its default, and every description that stands alone."""
    for module in modules():
        for name, one in list(vars(module).items()):
            if isinstance(one, Quantity | Choice) and name in own(module):
                yield f"{module.__name__}.{name}", one, dataclasses.MISSING
            elif (
                isinstance(one, type) and dataclasses.is_dataclass(one) and one.__module__ == module.__name__
            ):
                above = [getattr(base, "__dataclass_fields__", {}) for base in one.__mro__[1:]]
                for item in dataclasses.fields(one):
                    inherited = any(base.get(item.name) is item for base in above)
                    if "about" in item.metadata and not inherited:
                        default = item.default
                        if item.default_factory is not dataclasses.MISSING:
                            default = item.default_factory()
                        yield f"{module.__name__}.{name}.{item.name}", item.metadata["about"], default


def plain(value: Any) -> bool:
    """Whether it is a number, a word, or a collection of such; a sentence is not."""
    if isinstance(value, dict):
        return all(map(plain, value.values()))
    if isinstance(value, tuple):
        return type(value) is tuple and all(map(plain, value))
    return value is None or type(value) in (int, float, bool) or (type(value) is str and " " not in value)


def numbers(value: Any) -> bool:
    """Whether there is a number in it."""
    if isinstance(value, dict):
        return any(map(numbers, value)) or any(map(numbers, value.values()))
    if isinstance(value, tuple):
        return any(map(numbers, value))
    return type(value) in (int, float)


def written(value: Any) -> str:
    """A constant in twelve figures, whatever library worked it out."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{written(key)}: {written(one)}" for key, one in value.items()) + "}"
    if isinstance(value, tuple):
        return "(" + ", ".join(map(written, value)) + ")"
    return f"{value:.12g}" if type(value) is float else repr(value)


def made() -> dict[tuple[str, str], str]:
    """The list as it is now."""
    found = {}
    for place, about, default in described():
        if isinstance(about, Quantity):
            found |= {(place, bound): repr(getattr(about, bound)) for bound in BOUNDS}
            found[place, "kind"] = about.kind
        if isinstance(about, Choice):
            found[place, "options"] = ", ".join(about.options)
        if isinstance(about, Text):
            found[place, "longest"] = f"{about.longest}, lines {about.lines}"
        if not isinstance(about, Text | Flag):
            found[place, "optional"] = str(about.optional)
        if plain(default):
            found[place, "default"] = repr(default)
    for module in modules():
        for name, value in list(vars(module).items()):
            if name in own(module) and plain(value) and numbers(value):
                found[f"{module.__name__}.{name}", "constant"] = written(value)
    return {key: value for key, value in sorted(found.items()) if value not in {"None", "False"}}


@lru_cache(maxsize=1)
def known() -> dict[tuple[str, str], str]:
    with LIST.open(encoding="utf-8", newline="") as file:
        return {(row["place"], row["what"]): row["number"] for row in csv.DictReader(file)}


def test_none_has_changed() -> None:
    now = made()
    assert {key: value for key, value in now.items() if known().get(key) != value} == {}
    assert known().keys() == now.keys()


@pytest.mark.parametrize("bound", BOUNDS)
def test_both_sides_of_every_bound(bound: str) -> None:
    """The number at an inclusive bound is allowed and the next one past it is not; at an exclusive bound neither."""
    tried = 0
    for place, about, _ in described():
        if not isinstance(about, Quantity) or (place, bound) not in known():
            continue
        at, tried = float(known()[place, bound]), tried + 1
        past = math.nextafter(at, math.inf if bound in {"high", "below"} else -math.inf)
        within = math.nextafter(at, -math.inf if bound in {"high", "below"} else math.inf)
        about.check(at if bound in {"low", "high"} else within)
        for refused in (past, at)[: 1 + (bound in {"above", "below"})]:
            with pytest.raises(InputError):
                about.check(refused)
    assert tried > 5 or bound == "below"


if __name__ == "__main__":
    with LIST.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows([*key, value] for key, value in made().items())
