"""A reply as a trainee types it: a number in either unit system, with its unit or in the unit on the screen."""

from __future__ import annotations

import re
from typing import Final

from heave.errors import InputError
from heave.fields import parse_number
from heave.units import stored_value, to_si, unit_of

_TYPED: Final = re.compile(r"\s*([-+\u2212]?[\d.,][\d.,\s]*?(?:[eE][-+]?\d+)?)\s*([^\d\s.,].*?)?\s*")

SPELT: Final[dict[str, dict[str, str]]] = {
    "force": {
        **{name: name for name in ("N", "kN", "lbf", "klbf")},
        **dict.fromkeys(("t", "tf", "te", "tonne", "tonnes"), "tf"),
        **{"klb": "klbf", "kips": "klbf", "lb": "lbf", "lbs": "lbf"},
    },
    "length": {**{name: name for name in ("m", "cm", "mm", "ft", "in")}, "feet": "ft", '"': "in", "'": "ft"},
    "pressure": {name: name for name in ("bar", "psi", "kPa", "MPa", "Pa")},
    "stiffness": {name: name for name in ("kN/m", "N/m", "klbf/ft")},
    "period": {"s": "s", "sec": "s", "min": "min"},
    "duration": {"h": "h", "hours": "h", "hour": "h", "min": "min", "minutes": "min", "s": "s"},
    "fraction": {"%": "%", "percent": "%", "per cent": "%"},
    "line_work": {
        **dict.fromkeys(("t·km", "tkm", "t km"), "t·km"),
        **dict.fromkeys(("ton-mile", "ton-miles", "ton mile", "ton miles"), "ton-mile"),
    },
    "number": {},
}
"""How units of a kind of quantity may be spelt, and which unit is meant; a tonne of force is what a tonne weighs."""


def units_of(kind: str) -> tuple[str, ...]:
    """The units in which a quantity of `kind` may be typed, one spelling each."""
    return tuple(name for name, unit in SPELT[kind].items() if name == unit or (name, unit) == ("t", "tf"))


def reply_of(text: str, what: str, kind: str, system: str) -> float:
    """A reply in SI; one without a unit is in that of `system`.

    Parameters
    ----------
    text : as typed, such as "12 t", "27 klbf" or "12,5"
    what : is asked for, in words
    kind : of quantity
    system : unit system on the screen

    Raises
    ------
    InputError
        If it is empty, holds no number or more than one, or a unit that is not one of the kind.
    """
    symbol, may = unit_of(kind, system).symbol, units_of(kind)
    units = f", in {symbol} or with its unit: {', '.join(may)}" if may else ", without a unit"
    if not text.strip():
        raise InputError("answer", "an empty box", None, f"what is missing, the {what}: a number{units}")
    found = _TYPED.fullmatch(text)
    if found is None:
        raise InputError("answer", text, None, f"one number{units}")
    number = parse_number(found[1], "answer", symbol or None)
    if found[2] is None:
        return stored_value(number, kind, system)
    spelt = SPELT[kind]
    unit = spelt.get(found[2]) or {name.lower(): one for name, one in spelt.items()}.get(found[2].lower())
    if unit is None:
        raise InputError(
            "unit of the answer", found[2], None, f"{', '.join(may)}" if may else "none: it is a plain number"
        )
    return to_si(number, unit)
