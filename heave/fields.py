"""What a field of a plan is: label, kind of quantity, bounds and one line of help, told once.

Dataclasses declare their fields with `quantity`, `choice`, `text` and `flag`; `validate` checks a
new object against them, and the screens, the file readers and the sheet read the same metadata.
"""

from __future__ import annotations

import math
import re
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import MISSING, dataclass, field, fields, replace
from functools import cache
from numbers import Real
from typing import Any, Final

from heave.errors import InputError
from heave.units import KINDS, Unit, significant, unit_of, with_unit

MAX_TEXT: Final = 200
"""Longest text field [characters]."""


@dataclass(frozen=True)
class Quantity:
    """Metadata of a number: bounds are SI and inclusive unless `above` or `below` is used.

    A quantity that more than one place needs is declared once: fields are made of it with `field`, and
    functions hold their arguments to it with `check`.
    """

    label: str
    kind: str
    low: float | None = None
    high: float | None = None
    above: float | None = None
    below: float | None = None
    optional: bool = False
    help: str = ""

    def allowed(self, system: str = "si") -> str:
        """The allowed range in words, in the units of `system`."""
        words = range_in_words(self.above, self.low, self.below, self.high, unit_of(self.kind, system))
        return words + (" or empty" if self.optional else "")

    def field(self, *, default: Any = MISSING, **changes: Any) -> Any:
        """Declare a dataclass field that holds this quantity.

        Parameters
        ----------
        default : value of a new object; without it an optional field is None and any other must be given
        changes : what differs for this field, such as `label`, `optional` or `help`; bounds stay as they are
        """
        return _declared(replace(self, **changes), default)

    def nearest(self, value: float) -> float:
        """`value`, or the bound it lies beyond; for inclusive bounds."""
        low = -math.inf if self.low is None else self.low
        return max(min(value, math.inf if self.high is None else self.high), low)

    def check(self, value: Any) -> None:
        """Raise InputError unless `value` is a finite number within the bounds (or an allowed None)."""
        if value is None and self.optional:
            return
        number = _finite(value)
        if number is None or not self._holds(number):
            raise InputError(self.label, value, unit_of(self.kind).symbol or None, self.allowed())

    def _holds(self, number: float) -> bool:
        """Whether a number is within the bounds; written out, for a plan is checked hundreds of times an edit."""
        return (
            (self.low is None or number >= self.low)
            and (self.high is None or number <= self.high)
            and (self.above is None or number > self.above)
            and (self.below is None or number < self.below)
        )


def range_in_words(
    above: float | None, low: float | None, below: float | None, high: float | None, unit: Unit
) -> str:
    """What is allowed, for an error: bounds `above` and `below` are themselves refused, `low` and `high` are not.

    Parameters
    ----------
    above, low, below, high : bounds, None where there is none [SI]
    unit : in which they are written
    """
    parts = [
        f"{word} {significant((bound - unit.offset) / unit.factor)}"
        for word, bound in (("above", above), ("from", low), ("below", below), ("to", high))
        if bound is not None
    ]
    return with_unit(" ".join(parts), unit.symbol) if parts else "a finite number"


@dataclass(frozen=True)
class Choice:
    """Metadata of a pick from named options."""

    label: str
    options: tuple[str, ...]
    optional: bool = False
    help: str = ""

    def check(self, value: Any) -> None:
        """Raise InputError unless `value` is one of the options (or an allowed None)."""
        if value is None and self.optional:
            return
        if not isinstance(value, str) or value not in self.options:
            raise InputError(self.label, value, None, "one of " + ", ".join(self.options))


@dataclass(frozen=True)
class Text:
    """Metadata of a short text."""

    label: str
    help: str = ""
    longest: int = MAX_TEXT
    lines: bool = False

    def check(self, value: Any) -> None:
        """Raise InputError unless `value` is printable text of at most `longest` characters, of one line or, where
        `lines` says so, of several."""
        good = isinstance(value, str) and len(value) <= self.longest
        if not good or not (value.replace("\n", "") if self.lines else value).isprintable():
            words = "lines of printable text" if self.lines else "printable text"
            raise InputError(self.label, value, None, f"{words} of at most {self.longest} characters")


@dataclass(frozen=True)
class Flag:
    """Metadata of a yes-or-no."""

    label: str
    help: str = ""

    def check(self, value: Any) -> None:
        """Raise InputError unless `value` is True or False."""
        if not isinstance(value, bool):
            raise InputError(self.label, value, None, "yes or no")


Described = Quantity | Choice | Text | Flag


def quantity(
    label: str,
    kind: str,
    *,
    default: Any = MISSING,
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
    below: float | None = None,
    optional: bool = False,
    help: str = "",
) -> Any:
    """Declare a dataclass field that holds a number of `kind`, in SI.

    Parameters
    ----------
    label : name on screens, in errors and on the sheet
    kind : a name in `heave.units.KINDS`
    default : value of a new object; without it an optional field is None and any other must be given
    low, high : bounds that are themselves allowed [SI unit of `kind`]
    above, below : bounds that are themselves refused [SI unit of `kind`]
    optional : None is allowed
    help : one line for the person who fills it in
    """
    if kind not in KINDS:
        raise InputError("kind of quantity", kind, None, f"one of {', '.join(KINDS)}")
    return _declared(Quantity(label, kind, low, high, above, below, optional, help), default)


def choice(
    label: str,
    options: tuple[str, ...],
    *,
    default: Any = MISSING,
    optional: bool = False,
    help: str = "",
) -> Any:
    """Declare a dataclass field that holds one of `options`, or None where `optional`.

    `label`, `default` and `help` are as for `quantity`.
    """
    return _declared(Choice(label, options, optional, help), default)


def text(
    label: str, *, default: Any = MISSING, help: str = "", longest: int = MAX_TEXT, lines: bool = False
) -> Any:
    """Declare a dataclass field that holds printable text of at most `longest` characters, in `lines` or in one.

    `label`, `default` and `help` are as for `quantity`.
    """
    return _declared(Text(label, help, longest, lines), default)


def flag(label: str, *, default: Any = MISSING, help: str = "") -> Any:
    """Declare a dataclass field that holds True or False; `label`, `default`, `help` as for `quantity`."""
    return _declared(Flag(label, help), default)


def _declared(about: Described, default: Any) -> Any:
    if default is MISSING and getattr(about, "optional", False):
        default = None
    return field(default=default, metadata={"about": about})


def about(cls: Any, name: str) -> Described:
    """The metadata of field `name` of `cls`, a dataclass or one of its objects.

    Raises
    ------
    InputError
        If the class has no described field of that name.
    """
    described = {item.name: item.metadata["about"] for item in fields(cls) if "about" in item.metadata}
    if name not in described:
        raise InputError("field name", name, None, "one of " + ", ".join(described))
    found: Described = described[name]
    return found


def validate(obj: Any) -> None:
    """Check every described field of `obj`, a dataclass object; call it first in `__post_init__`.

    Raises
    ------
    InputError
        For the first field whose value is outside what its description allows.
    """
    for name, described in _described(type(obj)):  # type: ignore[arg-type]  # a class can be a key
        described.check(getattr(obj, name))


def hold_tuple(
    obj: Any, name: str, kind: type, what: str, allowed: str, *, low: int = 0, most: float = math.inf
) -> None:
    """Keep the objects of one kind in a field as a tuple, however they were given.

    Parameters
    ----------
    obj, name : the frozen dataclass, while it is made, and its field
    kind : what each of the objects has to be
    what, allowed : what they are and how many there may be, for the error
    low, most : fewest and most

    Raises
    ------
    InputError
        If one is of another kind, there are too few or too many, or one object was given and not a list.
    """
    value = getattr(obj, name)
    if isinstance(value, kind) or not isinstance(value, Iterable):
        raise InputError(what, value, None, allowed)
    given = tuple(value)
    object.__setattr__(obj, name, given)
    wrong = [one for one in given if not isinstance(one, kind)]
    if wrong or not low <= len(given) <= most:
        raise InputError(what, wrong[0] if wrong else len(given), None, allowed)


def check_parts(obj: Any, kinds: Mapping[str, type], optional: Container[str] = ()) -> None:
    """Refuse a part that is not of its kind: `kinds` by the name of the field in `obj`, of the `optional` also None."""
    for name, kind in kinds.items():
        given = getattr(obj, name)
        if not isinstance(given, kind) and not (given is None and name in optional):
            allowed = f"a {kind.__name__}" + (", or None" if name in optional else "")
            raise InputError(name, given, None, allowed)


def check_once(what: str, names: Sequence[str], allowed: str) -> None:
    """Refuse `names` of which one stands twice; `what` they are and what is `allowed`, for the error."""
    if len(set(names)) < len(names):
        raise InputError(what, ", ".join(names), None, allowed)


@cache
def _described(cls: type) -> tuple[tuple[str, Described], ...]:
    """The described fields of a dataclass, by name."""
    return tuple((item.name, item.metadata["about"]) for item in fields(cls) if "about" in item.metadata)


_NUMBER = re.compile(r"[+-]?(?P<digits>[0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")
_COMMA_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2}(,[0-9]{3})+([eE].*)?")
_SPACE_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2}([ \u00a0\u2009\u202f][0-9]{3})+(?=[.,eE]|\Z)")
_SPACES = re.compile(r"[ \u00a0\u2009\u202f]")


def parse_number(typed: str, label: str, unit: str | None = None) -> float:
    """Read a number a person typed; a decimal comma is a decimal comma, never a thousands mark.

    `2,5` is 2.5; `1 290` is 1290; `1,290` could mean either and is refused, as is anything that is
    not wholly a number in the digits 0 to 9.

    Parameters
    ----------
    typed : the text as typed
    label : the name of the quantity, for the error
    unit : symbol of the unit it was asked in, for the error

    Raises
    ------
    InputError
        If the text is not one finite number, a comma in it could be read in two ways, or it is too
        small to be told from zero.
    """
    plain = typed.strip().replace("\u2212", "-")
    grouped = _SPACE_THOUSANDS.match(plain)
    if grouped:
        plain = _SPACES.sub("", grouped[0]) + plain[grouped.end() :]
    if _COMMA_THOUSANDS.fullmatch(plain):
        allowed = "a decimal point, or no comma: this comma could be read in two ways"
        raise InputError(label, typed, unit, allowed)
    if plain.count(",") == 1 and "." not in plain:
        plain = plain.replace(",", ".")
    found = _NUMBER.fullmatch(plain)
    value = float(plain) if found else math.nan
    underflow = value == 0.0 and found is not None and found["digits"].strip("0.") != ""
    if not math.isfinite(value) or underflow:
        raise InputError(label, typed, unit, "one number, such as 2.5")
    return value


def _finite(value: Any) -> float | None:
    """`value` as a float, or None if it is not one finite real number (a truth value is not one)."""
    if type(value) is not float and (isinstance(value, bool) or not isinstance(value, Real)):
        return None
    try:
        number = float(value)
    except OverflowError:  # a whole number beyond the largest float
        return None
    return number if math.isfinite(number) else None
