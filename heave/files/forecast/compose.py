"""Which columns make up the sea, so that all of its energy is there and none of it twice.

Where wind sea and swell are both there they are the sea and the total checks them. Where the total stands beside some
of its parts, what it holds beyond them is a system of its own: Hs² = total² − Σ parts². Its period is its own column's,
or the total's if that can be the peak of what is left (shorter than the swells, longer than the wind sea), or asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from heave.files.conventions import Question
from heave.files.forecast.mapping import Roles
from heave.planning.columns import COMPOSITIONS, ForecastMapping

PARTITIONS: Final[tuple[str, ...]] = ("swell 1", "swell 2", "swell 3")
_PARTS: Final[tuple[str, ...]] = ("wind sea", "swell", *PARTITIONS)


@dataclass(frozen=True)
class Composition:
    """The wave systems of a sea."""

    systems: tuple[str, ...] = ()
    """Those with a column of their own for height and period; empty where nothing makes up a sea."""

    rest: str = ""
    """'wind sea' or 'swell' for what the total holds beyond the systems; empty where it holds nothing more."""

    question: Question | None = None

    @property
    def checks_swell(self) -> bool:
        """Whether a height of all swell is there to check its partitions by, if the file has one."""
        return "swell 1" in self.systems and "swell" not in self.systems

    @property
    def all(self) -> tuple[str, ...]:
        """The systems with the rest among them, wind sea first."""
        if not self.rest:
            return self.systems
        return (self.rest, *self.systems) if self.rest == "wind sea" else (*self.systems, self.rest)


def composition_of(roles: Roles, mapping: ForecastMapping) -> Composition:
    """What the sea is made of, or what must be asked first.

    Parameters
    ----------
    roles : the column of each quantity and system
    mapping : how the file is to be read
    """
    high = {name for name in ("total", *_PARTS) if ("height", name) in roles}
    whole = {name for name in high if ("period", name) in roles}
    parts = [name for name in _PARTS if name in high]
    alone = Composition(("total",) if "total" in whole else ())
    if not parts or (mapping.composition == "total" and "total" in whole):
        return alone
    if mapping.composition == "parts":
        return Composition(tuple(parts) if whole.issuperset(parts) else ())
    swells, sure = _swells(high, whole)
    wind_sea, swell = "wind sea" in whole, bool(swells) and whole.issuperset(swells)
    made = Composition(question=_ask(parts, whole) if alone.systems else None)
    if not sure:
        made = made if "total" in high else Composition()
    elif wind_sea and swell:
        made = Composition(("wind sea", *swells))
    elif "total" in high and wind_sea and len(swells) <= 1:
        made = Composition(("wind sea",), "swell")
    elif "total" in high and swell:
        made = Composition(tuple(swells), "wind sea")
    return made


def _swells(high: set[str], whole: set[str]) -> tuple[list[str], bool]:
    """The swells that together are all swell, and whether that is certain.

    Of total swell and its partitions the partitions are taken, if each has a period and they are counted from 1. A
    swell 2 without a swell 1 may stand beside a first one called swell, or be a part of it.
    """
    counted = [name for name in PARTITIONS if name in high]
    if not counted:
        return (["swell"] if "swell" in high else []), True
    in_order = counted == list(PARTITIONS[: len(counted)])
    if in_order and whole.issuperset(counted):
        return counted, True
    if "swell" in whole and not whole & set(counted) and in_order:
        return ["swell"], True
    return counted, in_order and len(counted) == 1 and "swell" not in high


def _ask(parts: list[str], whole: set[str]) -> Question:
    words = f"the file has {', '.join(parts)} beside the total: which of them make up the sea?"
    meant = {}
    if "total" in whole:
        meant[COMPOSITIONS[0]] = "the total as one sea; the parts are left"
    if whole.issuperset(parts):
        meant[COMPOSITIONS[1]] = f"{', '.join(parts)}, each as a sea of its own; the total checks them"
    return Question("composition", words, tuple(meant), tuple(meant.values()))
