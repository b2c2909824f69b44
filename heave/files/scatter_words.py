"""What the words and labels of a scatter diagram say: classes, kind of period, unit, measure, sector, month."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.files.forecast.clock import MONTHS
from heave.files.registry import POINTS

CLASSES: Final = ("middles", "lower limits", "upper limits")
"""What a single number at the head of a row or column can be of its class."""

HEIGHT_UNITS: Final = ("m", "ft")

PARTS_OF: Final = re.compile(
    r"\b(all (directions|sectors|months|year)|omni-?directional|omni|whole year|annual|year-?round)\b",
    re.IGNORECASE,
)
"""Words of a matrix that is of all directions or the whole year."""

_NUMBER: Final = r"(\d+(?:[.,]\d+)?|[.,]\d+)"
_UNIT: Final = r"\s*(m|ft|s|sec|metres|meters|feet)?"
_SINGLE = re.compile(rf"{_NUMBER}{_UNIT}", re.IGNORECASE)
_RANGE = re.compile(
    rf"[\[(]?\s*{_NUMBER}\s*(?:-|to|\.\.+|–|—|\u2212|<)\s*{_NUMBER}\s*[\])]?{_UNIT}", re.IGNORECASE
)
_BELOW = re.compile(rf"(?:<=?|≤|under|below)\s*{_NUMBER}{_UNIT}", re.IGNORECASE)
_ABOVE = re.compile(
    rf"(?:(?:>=?|≥|over|above)\s*{_NUMBER}|{_NUMBER}\s*(?:\+|and (?:over|above)))()?{_UNIT}", re.IGNORECASE
)
_DIRECTION = re.compile(
    rf"(?:dir(?:ection)?s?|sector|heading|mwd|bearing)\b[^0-9]*?{_NUMBER}(?:\s*°?\s*(?:-|to|–)\s*{_NUMBER})?",
    re.IGNORECASE,
)
_POINT = re.compile(
    rf"(?i:dir(?:ection)?s?|sector|mwd)\b.*?\b({'|'.join(sorted(POINTS, key=len, reverse=True))})\b"
)
_MONTH = re.compile(rf"(?:months?\W*)?({'|'.join(MONTHS)})[a-z]*\W*", re.IGNORECASE)
_MONTH_NAMED = re.compile(rf"\bmonth\W*({'|'.join(MONTHS)})", re.IGNORECASE)
_MONTH_NUMBER = re.compile(r"\bmonth\W*(\d{1,2})\b", re.IGNORECASE)

_SAID: Final[Mapping[str, Mapping[str, str]]] = {
    "period_kind": {
        "Tp": r"(?<![a-z0-9])t_?p(?![a-z0-9])|peak\W+(wave\W+)?period",
        "Tz": r"(?<![a-z0-9])(t_?z|tm_?0,?2|t_?02)(?![a-z0-9])|zero\W*(up\W*|down\W*)?cross",
        "T1": r"(?<![a-z0-9])(t_?1|tm_?0,?1|t_?01)(?![a-z0-9])",
        "Te": r"(?<![a-z0-9])(t_?e|tm_?-1,?0|t_?-10)(?![a-z0-9])|energy\W+period",
    },
    "classes": {
        "middles": r"\b(class(es)?\W+)?(mid(dle|point|-point)?s?|centres?|centers?)\b",
        "lower limits": r"\blower\W+(limit|bound|edge)",
        "upper limits": r"\bupper\W+(limit|bound|edge)",
    },
    "height_unit": {
        "m": r"(hs|hm0|h_s|swh|height)[^a-z0-9]{0,4}(m|metres|meters)(?![a-z0-9])",
        "ft": r"(hs|hm0|h_s|swh|height)[^a-z0-9]{0,4}(ft|feet)(?![a-z0-9])",
    },
    "sense": {
        "from": r"\b(coming|direction|waves|sectors?|dir)\W*from\b|\bdir_from\b|\bdirection_from\b",
        "to": r"\b(towards?|going to|direction\W*to|dir_to|direction_to)\b",
    },
    "measure": {
        "counts": r"\b(counts?|occurrences?|number of|events|per thousand|per mille)\b|‰",
        "per cent": r"%|\bper ?cent(age)?\b|\bpct\b",
        "probabilities": r"\b(probabilit(y|ies)|relative frequenc(y|ies))\b",
    },
}


@dataclass(frozen=True)
class Words:
    """Conventions of a diagram; None is not said."""

    period_kind: str | None = None
    classes: str | None = None
    height_unit: str | None = None
    sense: str | None = None
    measure: str | None = None


@dataclass(frozen=True)
class Label:
    """The head of a row or column: one number, or the lower and upper limit of its class, and a unit if it has one."""

    text: str
    values: tuple[float, ...]
    unit: str = ""

    @property
    def single(self) -> bool:
        """Whether it is one number, of which it must be known what it is."""
        return len(self.values) == 1

    @property
    def order(self) -> float:
        """What classes are put in order by."""
        return self.values[0]


def words_of(said: Sequence[str]) -> Words:
    """What titles, corners and comments say; what they say in two ways is not said.

    Parameters
    ----------
    said : lines of words
    """
    text = " \n ".join(said).lower()
    found = {
        key: [option for option, words in options.items() if re.search(words, text)]
        for key, options in _SAID.items()
    }
    return Words(**{key: options[0] if len(options) == 1 else None for key, options in found.items()})


def label_of(cell: str, comma: bool) -> Label | None:
    """A class by its label: 1.5, 1-2, 1 to 2, <1, >14, 14+; None for anything else.

    Parameters
    ----------
    cell : as it stands in the file
    comma : whether a decimal comma is read
    """
    text = cell.strip()
    if "," in text and not comma:
        return None

    def number(written: str) -> float:
        return float(written.replace(",", "."))

    def unit(written: str | None) -> str:
        return {"f": "ft", "m": "m"}.get((written or "")[:1].lower(), "")

    if found := _SINGLE.fullmatch(text):
        return Label(text, (number(found[1]),), unit(found[2]))
    if found := _RANGE.fullmatch(text):
        low, high = number(found[1]), number(found[2])
        return Label(text, (low, high), unit(found[3])) if low < high else None
    if found := _BELOW.fullmatch(text):
        return Label(text, (0.0, number(found[1])), unit(found[2]))
    if found := _ABOVE.fullmatch(text):
        return Label(text, (number(found[1] or found[2]), math.inf), unit(found[4]))
    return None


def limits_of(labels: Sequence[Label], classes: str | None, what: str) -> FloatArray:
    """Limits of classes in rising order, shape (classes + 1,).

    Middles at one distance have their limits halfway; at several distances the limits follow from a first class that
    begins at 0, if there is such a set. The first of upper limits begins one width lower, or at 0.

    Parameters
    ----------
    labels : in rising order
    classes : what single numbers are
    what : of which quantity they are, for the error

    Raises
    ------
    InputError
        If classes do not meet each other, or their limits cannot be told.
    """
    first, last = not labels[0].single, not labels[-1].single
    inner = [label for label in labels if label.single]
    if not inner:
        limits = [labels[0].values[0], *(label.values[1] for label in labels)]
        for before, label in pairwise(labels):
            _meet(before.values[1], label.values[0], label.text, what)
        return np.array(limits)
    alike = [not first, *[True] * (len(labels) - 2), not last][: len(labels)]
    if [label.single for label in labels] != alike:
        allowed = "all alike: write every class as 1-2"
        raise InputError(f"{what}s of classes", "numbers and ranges", None, allowed)
    found = _of_numbers([label.values[0] for label in inner], classes, what)
    if first and labels[0] is not inner[0]:
        _meet(labels[0].values[1], found[0], labels[0].text, what)
        found.insert(0, labels[0].values[0])
    if last and labels[-1] is not inner[-1]:
        _meet(found[-1], labels[-1].values[0], labels[-1].text, what)
        found.append(labels[-1].values[1])
    return np.array(found)


def _meet(one: float, other: float, text: str, what: str) -> None:
    if abs(one - other) > 1e-9 * max(one, 1.0):
        allowed = f"a class that begins where the one before it ends, at {one:g}: write every class as 1-2"
        raise InputError(f"{what} of a class", text, None, allowed)


def _of_numbers(numbers: Sequence[float], classes: str | None, what: str) -> list[float]:
    """Limits from one number of each class."""
    if len(numbers) < 2:
        raise InputError(f"{what}s of classes", len(numbers), None, "two or more, or ranges such as 1-2")
    if not np.isfinite(numbers).all():
        raise InputError(f"{what} of a class", max(numbers), None, "a finite number")
    widths = np.diff(numbers)
    if classes == "lower limits":
        return [*numbers, numbers[-1] + float(widths[-1])]
    if classes == "upper limits":
        return [max(numbers[0] - float(widths[0]), 0.0), *numbers]
    even = float(np.ptp(widths)) <= 1e-6 * float(widths[0])
    limits = [numbers[0] - float(widths[0]) / 2 if even else 0.0]
    if limits[0] < -1e-9 * numbers[-1]:
        allowed = "the middle of a class that begins at 0 or more; or say that these are limits"
        raise InputError(f"first {what}", numbers[0], None, allowed)
    limits[0] = max(limits[0], 0.0)
    for middle in numbers:
        limits.append(2 * middle - limits[-1])
    if any(high <= low for low, high in pairwise(limits)):
        allowed = "middles of classes that meet from 0 on: write every class with its limits, as 1-2"
        raise InputError(f"{what}s of classes", f"{numbers[0]:g}, {numbers[1]:g} ...", None, allowed)
    return [round(limit, 9) for limit in limits]


def direction_of(words: str) -> float | None:
    """Middle of the sector that a title names, from 0 to below 360 degrees; None where it names none.

    Parameters
    ----------
    words : the title

    Raises
    ------
    InputError
        If it is no direction.
    """
    if found := _DIRECTION.search(words):
        low, high = (float(part.replace(",", ".")) if part else None for part in found.groups())
        if low is None or low > 360 or (high is not None and high > 360):
            raise InputError("sector", found[0], "°", "from 0 to 360 °")
        middle = low if high is None else low + ((high - low) % 360.0) / 2
        return middle % 360.0
    if named := _POINT.search(words):
        return POINTS[named[1]]
    return None


def month_of(words: str) -> int | None:
    """Month that a title names, 1 to 12; None where it names none.

    Parameters
    ----------
    words : the title

    Raises
    ------
    InputError
        If its number is none of a month.
    """
    if found := _MONTH.fullmatch(words.strip()) or _MONTH_NAMED.search(words):
        return MONTHS.index(found[1].lower()) + 1
    if numbered := _MONTH_NUMBER.search(words):
        number = int(numbered[1])
        if not 1 <= number <= 12:
            raise InputError("month", number, None, "from 1 to 12")
        return number
    return None
