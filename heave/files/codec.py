"""Frozen plan objects to plain JSON values and back, driven by their own field descriptions.

A number's key carries its SI unit (`hs_m`, `set_pressure_pa`); an object that may be of several
classes names its class under `type`, and one whose class has kinds, such as a compensator, its kind under
`kind`; complex arrays are written as `real` and `imag`.
"""

from __future__ import annotations

import types
import typing
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass
from functools import cache, lru_cache
from typing import Any, Final

import numpy as np

from heave.errors import FileError
from heave.fields import Choice, Quantity
from heave.files.json_text import Lasting
from heave.files.tables import on_line
from heave.units import show, unit_of
from heave.vessel import ResponseTable

MAX_ARRAY: Final = 200_000
"""Most numbers accepted in one array of a file."""

MAX_OBJECTS: Final = 400
"""Most objects in one list, as many as a tide has waters: each is checked before the list is."""

_PLAIN: Final[dict[type, tuple[str, tuple[type, ...]]]] = {
    bool: ("true or false", (bool,)),
    float: ("a number", (int, float)),
    int: ("a whole number", (int,)),
    str: ("text", (str,)),
}
"""What a plain value is called, and the types it has in JSON."""


@dataclass(frozen=True)
class Defaulted:
    """A field a file does not have, and what it was taken as.

    `path` is the key path it would stand at, `label` its name in words, `kind` its kind of quantity where it has one,
    `picked` whether it is one of several named options.
    """

    path: str
    label: str
    value: Any
    kind: str | None = None
    picked: bool = False

    def words(self, system: str = "metric") -> str:
        """What it was taken as, in the units of `system`."""
        value = self.value
        if value is None or value == ():
            return "not given"
        if isinstance(value, bool):
            return "yes" if value else "no"
        if self.kind is not None:
            return show(value, self.kind, system)
        return "those of a new plan" if isinstance(value, tuple) else str(value) or "empty"


def encode(value: Any, ambiguous: bool = False) -> Any:
    """Turn a plan object into JSON values (dicts, lists, numbers, text, None).

    Parameters
    ----------
    value : a frozen dataclass object, array, tuple, number, text or None
    ambiguous : True where the reader could not know the object's class from its place
    """
    if is_dataclass(value) and not isinstance(value, type):
        return _table(value, ambiguous) if isinstance(value, ResponseTable) else _object(value, ambiguous)
    if isinstance(value, np.ndarray):
        if np.iscomplexobj(value):
            return {"real": value.real.tolist(), "imag": value.imag.tolist()}
        return value.tolist()
    if isinstance(value, (tuple, list)):
        return [encode(part) for part in value]
    if isinstance(value, np.generic):
        return value.item()
    return value


def _object(value: Any, ambiguous: bool) -> dict[str, Any]:
    of: type = type(value)
    hints = hints_of(of)
    made: dict[str, Any] = {"type": of.__name__} if ambiguous else {}
    if kinds_of(of):
        made["kind"] = value.kind
    for item in stored_fields(of):
        made[key_of(item)] = encode(getattr(value, item.name), len(classes_of(hints[item.name])) > 1)
    return made


@lru_cache(maxsize=8)
def _table(value: ResponseTable, ambiguous: bool) -> Lasting:
    """Of a plan's file nearly all are the digits of this table, and a plan is written at every entry."""
    return Lasting(_object(value, ambiguous))


def decode(hint: Any, value: Any, path: str, defaulted: list[Defaulted] | None = None) -> Any:
    """Build the object that `hint` (a type annotation) promises from JSON values.

    Parameters
    ----------
    hint : the annotation, for example `Plan` or `tuple[Section, ...]`
    value : the JSON value
    path : where in the file it stands, for messages
    defaulted : takes in every field that is absent and has a default

    Raises
    ------
    FileError
        Naming the key path, what stands there and what is allowed.
    """
    options = options_of(hint)
    if value is None:
        if type(None) in options:
            return None
        raise _wrong(path, value, "a value, not null")
    classes = classes_of(hint)
    if classes:
        return _decode_object(_pick(classes, value, path), value, path, defaulted)
    for option in options:
        kind = typing.get_origin(option) or option
        if kind is tuple:
            return _decode_tuple(option, value, path, defaulted)
        if kind is np.ndarray:
            return _decode_array(value, path)
    return _decode_plain(options, value, path)


def _decode_object(cls: Any, value: Any, path: str, defaulted: list[Defaulted] | None) -> Any:
    if not isinstance(value, dict):
        raise _wrong(path, value, f"an object describing {cls.__name__}")
    family = kinds_of(cls)
    expected = _expected(cls)
    for key in value:
        # what names a class or kind is no field; in older files a class that has no others may name itself
        named = isinstance(value[key], str) if key == "type" else key == "kind" and family
        if key not in expected and not named:
            raise _wrong(f"{path}.{key}", value[key], "only the keys " + ", ".join(expected))
    arguments: dict[str, Any] = {"kind": value.get("kind")} if family else {}
    for key, (item, one) in expected.items():
        if key in value:
            hint = hints_of(one)[item.name]
            hint = hint | None if family else hint
            arguments[item.name] = decode(hint, value[key], f"{path}.{key}", defaulted)
        elif item.default is MISSING and item.default_factory is MISSING:
            if not family:
                raise _wrong(f"{path}.{key}", None, "this key is needed and missing")
            arguments.setdefault(item.name, None)
    with on_line(None, path):
        made = cls.of(**arguments) if family else cls(**arguments)
    if defaulted is not None:
        for item in stored_fields(type(made)):
            if key_of(item) not in value:
                defaulted += _taken(item, getattr(made, item.name), path)
    return made


def _taken(item: Field[Any], value: Any, path: str) -> list[Defaulted]:
    """A field that is absent; one that holds an object, by the fields of that."""
    path = f"{path}.{key_of(item)}"
    if is_dataclass(value):
        parts = stored_fields(type(value))
        return [one for part in parts for one in _taken(part, getattr(value, part.name), path)]
    about = item.metadata.get("about")
    label = about.label if about else item.name.replace("_", " ")
    kind = about.kind if isinstance(about, Quantity) else None
    return [Defaulted(path, label, value, kind, isinstance(about, Choice) and value is not None)]


def _decode_tuple(hint: Any, value: Any, path: str, defaulted: list[Defaulted] | None) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise _wrong(path, value, "a list")
    inner = typing.get_args(hint)
    most = MAX_OBJECTS if any(classes_of(kind) for kind in inner) else MAX_ARRAY
    if len(value) > most:
        raise _wrong(path, f"{len(value)} values", f"at most {most}")
    if inner[-1] is Ellipsis:
        inner = inner[:1] * len(value)
    if len(value) != len(inner):
        raise _wrong(path, value, f"{len(inner)} values")
    pairs = enumerate(zip(inner, value, strict=True))
    return tuple(decode(kind, part, f"{path}[{i}]", defaulted) for i, (kind, part) in pairs)


def _decode_array(value: Any, path: str) -> np.ndarray[Any, Any]:
    if isinstance(value, dict):
        if set(value) != {"real", "imag"}:
            raise _wrong(path, value, "the keys real and imag")
        real, imaginary = _decode_array(value["real"], path), _decode_array(value["imag"], path)
        if real.shape != imaginary.shape:
            raise _wrong(path, f"{real.shape} and {imaginary.shape}", "real and imag of one shape")
        # Not real + 1j × imaginary: that would turn a stored −0 into +0.
        made = np.empty(real.shape, dtype=np.complex128)
        made.real, made.imag = real, imaginary
        return made
    _check_numbers(value, path)
    try:
        made = np.asarray(value, dtype=np.float64)
    except ValueError:
        raise _wrong(path, "rows of unequal length", "rows of one length") from None
    if made.size > MAX_ARRAY:
        raise _wrong(path, f"{made.size} numbers", f"at most {MAX_ARRAY}")
    return made


def _check_numbers(value: Any, path: str) -> None:
    if not isinstance(value, list):
        raise _wrong(path, value, "a list of numbers")
    for index, part in enumerate(value):
        if isinstance(part, list):
            _check_numbers(part, f"{path}[{index}]")
        elif isinstance(part, bool) or not isinstance(part, (int, float)):
            raise _wrong(f"{path}[{index}]", part, "a number")


def _decode_plain(options: tuple[Any, ...], value: Any, path: str) -> Any:
    for option in options:
        if option in _PLAIN and type(value) in _PLAIN[option][1]:
            try:
                return option(value)
            except OverflowError:
                raise _wrong(path, value, "a finite number") from None
    raise _wrong(path, value, " or ".join(_PLAIN[option][0] for option in options if option in _PLAIN))


def kinds_of(cls: Any) -> dict[str, Any]:
    """The types by kind of a class that has kinds: its `of` then picks the type, needs and refuses."""
    kinds: dict[str, Any] = getattr(cls, "kinds", {})
    return kinds


def _pick(classes: tuple[Any, ...], value: Any, path: str) -> Any:
    if len(classes) == 1:
        return classes[0]
    named = {cls.__name__: cls for cls in classes}
    kind = value.get("type") if isinstance(value, dict) else None
    if not isinstance(kind, str) or kind not in named:  # a list or an object is no name
        raise _wrong(f"{path}.type", kind, "one of " + ", ".join(named))
    return named[kind]


@cache
def key_of(item: Field[Any]) -> str:
    """The key of a field in a file: its name, and its SI unit where it has one."""
    described = item.metadata.get("about")
    token = unit_of(described.kind).token if isinstance(described, Quantity) else "1"
    return item.name if token == "1" else f"{item.name}_{token}"


@cache
def hints_of(cls: Any) -> dict[str, Any]:
    """The annotations of a class, by field."""
    return typing.get_type_hints(cls)


def stored_fields(cls: Any) -> tuple[Field[Any], ...]:
    """The fields of a class that a file has."""
    return tuple(item for item in fields(cls) if item.init)


@cache
def _expected(cls: Any) -> dict[str, tuple[Field[Any], Any]]:
    """The keys a class may have in a file, each with its field and the class that has it."""
    kinds = kinds_of(cls).values() or (cls,)
    return {key_of(item): (item, one) for one in kinds for item in stored_fields(one)}


@cache
def options_of(hint: Any) -> tuple[Any, ...]:
    """What an annotation allows, one by one: types, annotations of tuples and arrays, NoneType."""
    # From Python 3.12 on NumPy's NDArray is a named alias: what it stands for is its origin's value.
    hint = getattr(typing.get_origin(hint), "__value__", hint)
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        return tuple(option for part in typing.get_args(hint) for option in options_of(part))
    # Words from a list are text to the file; the object itself refuses what is not on its list.
    return (str,) if typing.get_origin(hint) is typing.Literal else (hint,)


@cache
def classes_of(hint: Any) -> tuple[Any, ...]:
    """The dataclasses that an annotation allows; of more than one, a file names the one it means under `type`."""
    return tuple(option for option in options_of(hint) if is_dataclass(option))


def _wrong(path: str, value: Any, allowed: str) -> FileError:
    return FileError("plan file", value, None, allowed, column=path)
