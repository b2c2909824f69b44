"""What a plan file holds, read from the declarations of its fields: a JSON Schema and a page for people.

PYTHONPATH=. python tests/files/make_plan_schema.py writes both anew. They are kept beside the reader of plans, so that
another program or a person can have them without this one.
"""

from __future__ import annotations

import typing
from collections.abc import Iterator
from dataclasses import MISSING, Field
from functools import cache
from typing import Any, Final

import numpy as np

from heave.errors import FileError
from heave.fields import Choice, Described, Quantity, Text
from heave.files.codec import (
    classes_of,
    encode,
    hints_of,
    key_of,
    kinds_of,
    options_of,
    stored_fields,
)
from heave.files.json_text import json_text
from heave.files.plan import PAGE_FILE, PLAN_FORMAT, PLAN_VERSION, SCHEMA_FILE
from heave.files.tables import write_text
from heave.planning import Plan
from heave.units import unit_of

_NUMBERS: Final = {"type": "array", "items": {"type": "number"}}
_ROWS: Final = {"type": "array", "items": {"type": ["number", "array"], "items": {"type": "number"}}}
_PLAIN: Final = {bool: "boolean", float: "number", int: "integer", str: "string", type(None): "null"}
_WORDS: Final = {bool: "yes or no", float: "number", int: "whole number", str: "text"}


def plan_schema() -> dict[str, Any]:
    """The plan file as a JSON Schema (draft 2020-12), for a file as it is written.

    A field with a `default` may be absent; the reader then says what it took it as. What fields must be together, such
    as a gas volume for a stroke, is no matter of a schema: the reader checks that.
    """
    about = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Plan file, version {PLAN_VERSION}",
        "description": "A plan of a heave compensator check. Numbers are SI, directions degrees on the compass.",
    }
    forecast = {
        "name": {"type": "string"},
        "issued": {"type": ["string", "null"]},
        "data": {"type": "string", "contentEncoding": "base64"},
    }
    document = {
        "format": {"const": PLAN_FORMAT},
        "version": {"const": PLAN_VERSION},
        "model": {
            "type": "string",
            "maxLength": 40,
            "description": "Version of the model that wrote the file.",
        },
        "plan": _reference(Plan),
        "forecast": {
            "description": "The file of an own forecast, packed (zlib).",
            **_object(forecast, list(forecast)),
        },
    }
    made = {_named(cls, several): _class(cls, several) for cls, several in _all_classes()}
    return about | _object(document, ["format", "version", "model", "plan"]) | {"$defs": made}


def schema_text() -> str:
    """`plan_schema` as the text of its file."""
    return json_text(plan_schema())


def fields_page() -> str:
    """Every field of a plan file as Markdown: a table for each sort of object, the plan first."""
    parts = [
        "# Fields of the plan file",
        f"Version {PLAN_VERSION}, generated from the declarations of the fields. The file is one JSON object: `format` "
        f'("{PLAN_FORMAT}"), `version`, `model` (version of the model that wrote it), `plan`, and `forecast` where one '
        "of the user's own is kept. A key ends with the SI unit of its number; directions are degrees on the compass. "
        "A field that has a default may be absent: the planner then says what it took it as. "
        f"`{SCHEMA_FILE.name}` says the same for a program.",
    ]
    for cls, _ in _all_classes():
        rows = [_row(item, hints_of(cls)[item.name]) for item in stored_fields(cls)]
        head = "| Key | Is | Allowed | Where absent |\n| --- | --- | --- | --- |"
        kind = getattr(cls, "kind", None)
        word = f"{cls.__name__}, kind `{kind}`" if kind is not None else cls.__name__
        parts += [f"## {word}", _first_sentence(cls), "\n".join([head, *rows])]
    return "\n\n".join(parts) + "\n"


def _first_sentence(cls: Any) -> str:
    """What a class is, from the first line of its own description."""
    return (cls.__doc__ or "").strip().split("\n\n")[0].replace("\n    ", " ")


def _row(item: Field[Any], hint: Any) -> str:
    about = item.metadata.get("about")
    meaning = " ".join(filter(None, (_label(item, about), getattr(about, "help", "")))).replace("|", "\\|")
    allowed = _range(about) if isinstance(about, Quantity) else _allowed(about, hint)
    default = "needed" if _default(item) is MISSING else _default_words(_default(item))
    return f"| `{key_of(item)}` | {meaning} | {allowed} | {default} |"


def _range(about: Quantity) -> str:
    """The bounds of a quantity with all their digits; a program that writes a file needs them."""
    bounds = (("above", about.above), ("from", about.low), ("below", about.below), ("to", about.high))
    words = [f"{word} {bound:.12g}" for word, bound in bounds if bound is not None] or ["a finite number"]
    return " ".join([*words, unit_of(about.kind).symbol]).strip() + (" or empty" if about.optional else "")


def _label(item: Field[Any], about: Described | None) -> str:
    label = about.label if about else item.name.replace("_", " ")
    return f"{label[:1].upper()}{label[1:]}."


def _allowed(about: Described | None, hint: Any) -> str:
    """What a field may be that is no quantity, in words."""
    if isinstance(about, Choice):
        return ", ".join(f"`{option}`" for option in about.options) + (" or empty" if about.optional else "")
    if isinstance(about, Text):
        return f"text, to {about.longest} characters"
    words = [_option_words(option) for option in options_of(hint) if option is not type(None)]
    return " or ".join(words) + (" or empty" if type(None) in options_of(hint) else "")


def _option_words(option: Any) -> str:
    kind = typing.get_origin(option) or option
    if kind is tuple:
        inner = typing.get_args(option)
        return "list of " + _allowed(None, inner[0]) if inner[-1] is Ellipsis else f"list of {len(inner)}"
    if kind is np.ndarray:
        return "`real` and `imag`, a row for each heading" if _is_complex(option) else "list of numbers"
    names = " or ".join(made.__name__ for made in kinds_of(option).values() or (option,))
    return _WORDS.get(option, names)


def _default_words(value: Any) -> str:
    if value is None or value == ():
        return "empty"
    try:
        return (
            f"`{json_text(encode(value), compact=True).strip()}`"
            if not hasattr(value, "__dict__")
            else "as below"
        )
    except FileError:
        return "as below"


@cache
def _all_classes() -> tuple[tuple[Any, bool], ...]:
    """Every class in a plan file, the plan first, with whether a file has to name it."""
    found: dict[tuple[Any, bool], None] = {}
    left: list[tuple[Any, bool]] = [(Plan, False)]
    while left:
        one = left.pop(0)
        if one not in found:
            found[one] = None
            left += [
                inner for item in stored_fields(one[0]) for inner in _inside(hints_of(one[0])[item.name])
            ]
    return tuple(found)


def _inside(hint: Any) -> Iterator[tuple[Any, bool]]:
    """The classes that an annotation names, in tuples too."""
    classes = classes_of(hint)
    for cls in classes:
        yield from ((made, False) for made in kinds_of(cls).values() or ())
        if not kinds_of(cls):
            yield cls, len(classes) > 1
    for option in options_of(hint):
        if typing.get_origin(option) is tuple:
            for inner in typing.get_args(option):
                if inner is not Ellipsis:
                    yield from _inside(inner)


def _class(cls: Any, several: bool) -> dict[str, Any]:
    """The schema of an object of a class; `several` where a file names which class it is."""
    properties: dict[str, Any] = {"type": {"const": cls.__name__}} if several else {}
    if kinds_of(cls):
        properties["kind"] = {"const": cls.kind}
    needed = list(properties)
    for item in stored_fields(cls):
        properties[key_of(item)] = _field(item, hints_of(cls)[item.name])
        if _default(item) is MISSING:
            needed.append(key_of(item))
    return _object(properties, needed)


def _object(properties: dict[str, Any], needed: list[str]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": needed,
        "additionalProperties": False,
    }


def _field(item: Field[Any], hint: Any) -> dict[str, Any]:
    about, default = item.metadata.get("about"), _default(item)
    unit = unit_of(about.kind).symbol if isinstance(about, Quantity) else ""
    words = _label(item, about)[:-1] + (f" [{unit}]" if unit else "")
    help_ = getattr(about, "help", "")
    made: dict[str, Any] = {"description": f"{words}. {help_}".rstrip()}
    made |= _limited(_of(hint), about)
    return made if default is MISSING else {**made, "default": encode(default)}


def _limited(made: dict[str, Any], about: Described | None) -> dict[str, Any]:
    """What a type allows, held to the bounds, options or length of a field."""
    if isinstance(about, Quantity):
        bounds = {
            "minimum": about.low,
            "maximum": about.high,
            "exclusiveMinimum": about.above,
            "exclusiveMaximum": about.below,
        }
        return made | {name: bound for name, bound in bounds.items() if bound is not None}
    if isinstance(about, Choice):
        return {"enum": [*about.options, *([None] if about.optional else [])]}
    return made | {"maxLength": about.longest} if isinstance(about, Text) else made


def _of(hint: Any) -> dict[str, Any]:
    """The schema of an annotation."""
    options, classes = options_of(hint), classes_of(hint)
    if all(option in _PLAIN for option in options):
        types = [_PLAIN[option] for option in options]
        return {"type": types[0] if len(types) == 1 else types}
    made = [_reference(cls, len(classes) > 1) for cls in classes]
    made += [_several(option) for option in options if option not in classes and option not in _PLAIN]
    made += [{"type": _PLAIN[option]} for option in options if option in _PLAIN]
    return made[0] if len(made) == 1 else {"anyOf": made}


def _several(option: Any) -> dict[str, Any]:
    """The schema of a tuple or an array."""
    if (typing.get_origin(option) or option) is not tuple:
        pair = {"real": _ROWS, "imag": _ROWS}
        return _object(pair, list(pair)) if _is_complex(option) else _NUMBERS
    inner = typing.get_args(option)
    if inner[-1] is Ellipsis:
        return {"type": "array", "items": _of(inner[0])}
    places = [_of(part) for part in inner]
    return {"type": "array", "prefixItems": places, "minItems": len(places), "items": False}


def _is_complex(array: Any) -> bool:
    return "complex" in str(array)


def _reference(cls: Any, several: bool = False) -> dict[str, Any]:
    kinds = [{"$ref": f"#/$defs/{_named(made, False)}"} for made in kinds_of(cls).values()]
    return {"oneOf": kinds} if kinds else {"$ref": f"#/$defs/{_named(cls, several)}"}


def _named(cls: Any, several: bool) -> str:
    return f"{cls.__name__}{'Named' if several else ''}"


def _default(item: Field[Any]) -> Any:
    return item.default if item.default_factory is MISSING else item.default_factory()


if __name__ == "__main__":
    write_text(SCHEMA_FILE, schema_text())
    write_text(PAGE_FILE, fields_page())
