"""One pair of bounds for each quantity: what is declared in two places under one name is held to the same numbers."""

from __future__ import annotations

import ast
import dataclasses
import importlib
import pkgutil
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import heave
from heave.fields import Quantity
from heave.fields import quantity as declare

OF_DIFFERENT_THINGS = {
    "diameter": "of a drilling line and of a hole",
    "height": "of the tide and of a wave group's crest",
    "hs": "of a sea and of a procedure's limit on it, which is no use below 5 cm",
    "length": "of a hull and along a hole",
    "lowering_speed": "planned, and the one from which a brake may have to stop",
}
"""Names of fields that stand for another thing in each of their classes."""

Declared = tuple[str, str, Quantity]
"""Where, the name of the field or of what stands alone, and what is declared there."""


def declared() -> Iterator[Declared]:
    """Every quantity of the library, of a field or by itself; screens declare none."""
    for found in pkgutil.walk_packages(heave.__path__, "heave."):
        if found.name.startswith("heave.screens"):
            continue
        module = importlib.import_module(found.name)
        for name, one in vars(module).items():
            if isinstance(one, Quantity):
                yield found.name, name, one
            elif dataclasses.is_dataclass(one) and isinstance(one, type) and one.__module__ == found.name:
                for item in dataclasses.fields(one):
                    if isinstance(item.metadata.get("about"), Quantity):
                        yield f"{found.name}.{name}", item.name, item.metadata["about"]


def bounds(about: Quantity) -> tuple[float | None, ...]:
    return about.above, about.low, about.below, about.high


def quarrels(named: list[tuple[str, Declared]]) -> list[str]:
    """Names under which two declarations of one kind of number have different bounds, and where they stand."""
    groups: dict[tuple[str, str], list[Declared]] = defaultdict(list)
    for name, one in named:
        if any(bound is not None for bound in bounds(one[2])):
            groups[name.casefold(), one[2].kind].append(one)
    return [
        f"{name}: " + "; ".join(f"{place}.{field} {bounds(about)}" for place, field, about in group)
        for (name, _), group in groups.items()
        if len({bounds(about) for _, _, about in group}) > 1
    ]


def test_no_label_stands_for_two_bounds() -> None:
    assert quarrels([(one[2].label, one) for one in declared()]) == []


def test_no_field_stands_for_two_bounds() -> None:
    fields = [one for one in declared() if not one[1].isupper()]
    assert quarrels([(one[1], one) for one in fields if one[1] not in OF_DIFFERENT_THINGS]) == []


def test_names_of_different_things_are_still_needed() -> None:
    fields = [one for one in declared() if one[1] in OF_DIFFERENT_THINGS]
    assert {words.split(":")[0] for words in quarrels([(one[1], one) for one in fields])} == set(
        OF_DIFFERENT_THINGS
    )


def test_no_function_bounds_again_what_is_declared() -> None:
    """A check written out in a function is of what only that function knows."""
    known = {(one[2].label.casefold(), one[2].kind) for one in declared()}
    again = [
        (path.name, one)
        for path in sorted(Path(heave.__file__).parent.rglob("*.py"))
        for function in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(function, ast.FunctionDef)
        for one in written_out(function)
        if one in known
    ]
    assert again == []


def written_out(function: ast.FunctionDef) -> Iterator[tuple[str, str]]:
    """Label and kind of every `Quantity` that a function makes from words."""
    for call in ast.walk(function):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "Quantity":
            words = [one.value for one in call.args if isinstance(one, ast.Constant)]
            if len(words) >= 2 and all(isinstance(one, str) for one in words[:2]):
                yield str(words[0]).casefold(), str(words[1])


def test_two_bounds_under_one_label_are_told() -> None:
    @dataclasses.dataclass
    class One:
        width: float = declare("Width of a pontoon", "length", low=1.0, high=4.0)

    @dataclasses.dataclass
    class Other:
        wide: float = declare("width of a pontoon", "length", low=1.0, high=5.0)

    found = [
        (cls.__name__, item.name, item.metadata["about"])
        for cls in (One, Other)
        for item in dataclasses.fields(cls)
    ]
    (told,) = quarrels([(one[2].label, one) for one in found])
    assert "One.width" in told
    assert "Other.wide" in told
    assert quarrels([(one[2].label, one) for one in found[:1]]) == []
