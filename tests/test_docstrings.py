"""Every public name says what it is, and every argument of a public function is spoken of."""

from __future__ import annotations

import contextlib
import dataclasses
import importlib
import inspect
import re
from collections.abc import Iterator
from types import ModuleType
from typing import Any

import pytest

import heave

PACKAGES = (
    "heave",
    "heave.sea",
    "heave.vessel",
    "heave.drill_string",
    "heave.compensator",
    "heave.hoisting",
    "heave.planning",
    "heave.judging",
    "heave.weather",
    "heave.teaching",
    "heave.compensator.time_domain",
)
"""Packages of which every name is public that they import in their list."""

MODULES = (
    *("heave.units", "heave.errors", "heave.fields"),
    *(
        f"heave.simulation.{name}"
        for name in ("comparisons", "proof", "reconcile", "scenario", "simulate", "statistics", "tail")
    ),
    *(
        f"heave.studies.{name}"
        for name in ("contributions", "distributions", "inputs", "monte_carlo", "points", "sensitivity")
    ),
    *(
        f"heave.files.{name}"
        for name in (
            *("buoy", "conventions", "forecast.mapping", "forecast.reader", "heave_record", "plan"),
            *("response_table", "rigs", "scatter", "string"),
        )
    ),
    *(
        f"heave.studies.{name}"
        for name in (
            *("climate", "climate_headings", "climate_seas", "line_years", "persistence", "record_classes"),
            *("scatter", "waiting", "years"),
        )
    ),
)
"""Modules whose every name of their own without a leading underscore is public."""


def listed(module: ModuleType) -> list[str]:
    """Public names: of a package all that it imports, or says by `__all__`; of a module its own."""
    package = hasattr(module, "__path__")
    own = [
        name
        for name, thing in vars(module).items()
        if not (name.startswith("_") or isinstance(thing, ModuleType))
        and (package or getattr(thing, "__module__", "") == module.__name__)
    ]
    return getattr(module, "__all__", own)


def public_names(module: ModuleType) -> Iterator[tuple[str, Any]]:
    """The public functions and classes of a module, or of those whose names a package lists."""
    for name in listed(module):
        thing = getattr(module, name)
        code = inspect.isclass(thing) or inspect.isfunction(thing)
        if code and thing.__module__.startswith("heave"):
            yield f"{thing.__module__}.{thing.__qualname__}", thing


def everything() -> dict[str, Any]:
    """All public things by full name; a package that cannot be imported fails in a test of its own."""
    found: dict[str, Any] = {}
    for module in (*PACKAGES, *MODULES):
        with contextlib.suppress(ImportError):
            found.update(public_names(importlib.import_module(module)))
    return found


THINGS = everything()
FUNCTIONS = {name: thing for name, thing in THINGS.items() if inspect.isfunction(thing)}
CLASSES = {name: thing for name, thing in THINGS.items() if inspect.isclass(thing)}
METHODS = {
    f"{owner}.{name}": inspect.unwrap(getattr(thing, "__func__", thing))
    for owner, cls in CLASSES.items()
    for name, thing in vars(cls).items()
    if not name.startswith("_")
    and (inspect.isfunction(thing) or isinstance(thing, classmethod | staticmethod))
}
PROPERTIES = {
    f"{owner}.{name}": thing
    for owner, cls in CLASSES.items()
    for name, thing in vars(cls).items()
    if not name.startswith("_") and (isinstance(thing, property) or hasattr(thing, "attrname"))
}


def takes_input(cls: Any) -> bool:
    """True for the dataclasses a user fills in: those that describe a field of theirs."""
    return dataclasses.is_dataclass(cls) and any("about" in item.metadata for item in dataclasses.fields(cls))


def unspoken(function: Any) -> list[str]:
    """The arguments of a function that its docstring never names."""
    text = inspect.getdoc(function) or ""
    arguments = [name for name in inspect.signature(function).parameters if name not in {"self", "cls"}]
    return [name for name in arguments if not re.search(rf"\b{re.escape(name)}\b", text)]


@pytest.mark.parametrize("package", PACKAGES)
def test_a_package_says_what_is_public(package: str) -> None:
    module = importlib.import_module(package)
    assert module.__doc__
    names = listed(module)
    assert len(names) == len(set(names)) > 0
    for name in names:
        assert hasattr(module, name), name


def test_the_walk_finds_the_library() -> None:
    assert heave.__doc__
    assert len(FUNCTIONS) > 30
    assert len(CLASSES) > 15


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_function_is_documented(name: str) -> None:
    text = inspect.getdoc(FUNCTIONS[name])
    assert text
    assert len(text) > 20
    assert unspoken(FUNCTIONS[name]) == []


@pytest.mark.parametrize("name", sorted(CLASSES))
def test_class_is_documented(name: str) -> None:
    cls = CLASSES[name]
    text = cls.__doc__ or ""
    assert text, "no docstring"
    assert not text.startswith(f"{cls.__name__}("), "only the docstring the dataclass made for itself"


@pytest.mark.parametrize("name", sorted(name for name, cls in CLASSES.items() if takes_input(cls)))
def test_every_input_is_described(name: str) -> None:
    """By its own metadata, by its class, by the class docstring, or by a string under it in the source."""
    cls = CLASSES[name]
    source = inspect.getsource(cls)
    own = {full.split(".")[-1] for full in CLASSES}
    for item in (item for item in dataclasses.fields(cls) if not item.name.startswith("_")):
        if own & set(re.findall(r"\w+", str(item.type))):
            continue
        under = re.search(rf'^    {item.name}\s*:[^\n]*\n    """', source, re.MULTILINE)
        spoken = re.search(rf"\b{item.name}\b", cls.__doc__ or "")
        assert "about" in item.metadata or under or spoken, item.name


@pytest.mark.parametrize("name", sorted(METHODS))
def test_method_is_documented(name: str) -> None:
    assert inspect.getdoc(METHODS[name])
    assert unspoken(METHODS[name]) == []


@pytest.mark.parametrize("name", sorted(PROPERTIES))
def test_property_is_documented(name: str) -> None:
    assert inspect.getdoc(PROPERTIES[name])


SOURCED = (
    "heave.drill_string.pipes",
    "heave.drill_string.rod",
    "heave.drill_string.sections",
    "heave.drill_string.well",
    "heave.drill_string.job",
    "heave.drill_string.bottom_hole",
    "heave.compensator.bit_swing",
    "heave.compensator.device",
    "heave.compensator.gas_spring",
    "heave.compensator.setting",
    "heave.hoisting.braking",
    "heave.hoisting.drum",
    "heave.hoisting.line",
    "heave.hoisting.line_work",
    "heave.sea.spectra",
    "heave.sea.two_peak",
    "heave.sea.periods",
    "heave.sea.statistics",
    "heave.sea.spreading",
    "heave.sea.dispersion",
    "heave.sea.grid",
    "heave.vessel.box",
    "heave.vessel.motion",
    "heave.vessel.statistics",
    "heave.vessel.kernels",
    "heave.vessel.oscillator",
    "heave.vessel.semisubmersible",
)
"""Modules whose every method and property says where it comes from, or that it is a definition or a habit."""

PHYSICS = tuple(f"heave.{room}." for room in ("sea", "vessel", "drill_string", "compensator", "hoisting"))
"""Rooms whose every public function says so."""

SOURCE = re.compile(
    r"API RP|API Spec|definition|common practice|from memory|gas law|Sources?:|DNV-RP|see `\w+`", re.I
)

NO_FORMULA = {"of", "as_kind", "is_drawworks", "has_active"}
"""They make or name a unit and compute nothing."""


def sourced_names() -> list[str]:
    """Functions, methods and properties of the modules that are held to name a source."""
    every = {**FUNCTIONS, **METHODS, **PROPERTIES}
    return sorted(
        name
        for name in every
        if any(name.startswith(f"{module}.") for module in SOURCED)
        or (name in FUNCTIONS and name.startswith(PHYSICS))
        if name.split(".")[-1] not in NO_FORMULA
    )


@pytest.mark.parametrize("name", sourced_names())
def test_a_formula_names_its_source(name: str) -> None:
    thing = {**FUNCTIONS, **METHODS, **PROPERTIES}[name]
    owner = CLASSES.get(name.rpartition(".")[0])
    spoken = " ".join((inspect.getdoc(thing) or "", (owner.__doc__ or "") if owner else ""))
    assert SOURCE.search(spoken)
