"""Plans side by side: which inputs differ, what the checks make of each, and the sea that limits each."""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Final, Literal, get_args

import numpy as np

from heave.errors import InputError
from heave.fields import Quantity
from heave.judging import NEAR, NOT_ASSESSED, RULES, WITHIN, Check, assess, unjudged_path, wanted
from heave.judging.limiting import LimitingSea, limit_map
from heave.planning import Plan
from heave.planning.rig import with_unit
from heave.units import display_value, show, unit_of

MOST: Final = 6
"""Most plans that stand side by side."""

PERIODS: Final = tuple(5.0 + 0.5 * place for place in range(31))
"""Peak periods of the limit curves, 5 to 20 s [s]."""

ABSENT: Final = "has none"
"""What stands where a plan has no such input, as another kind of unit has no gas."""

Part = Literal["vessel", "compensator", "string", "heading", "operation"]
"""What a variant of a plan may change."""

PARTS: Final[tuple[Part, ...]] = get_args(Part)


def variant(plan: Plan, part: Part, value: Any) -> Plan:
    """The plan with one part of it another, all else as it is.

    Parameters
    ----------
    plan : the plan
    part : which part
    value : a Vessel, a Compensator, a DrillString, a heading [deg], or the key of an operation

    Raises
    ------
    InputError
        If the plan cannot have it, for example a heading of 400°.
    """
    if part == "operation":
        return plan.doing(value)
    if part == "compensator":
        return with_unit(plan, value)
    if part not in PARTS:
        raise InputError("part of the plan", part, None, f"one of {', '.join(PARTS)}")
    return plan.changed(**{part: value})


@dataclass(frozen=True)
class Input:
    """One input of a plan: the part of the plan it is in, its name, its value and the kind of quantity it is."""

    part: str
    label: str
    value: Any
    kind: str | None = None


@dataclass(frozen=True)
class Difference:
    """An input that is not the same in all plans: `values` has one for each, ABSENT where a plan has no such input."""

    part: str
    label: str
    kind: str | None
    values: tuple[Any, ...]

    def words(self, system: str = "metric") -> tuple[str, ...]:
        """Each value in words with its unit in `system`; with so many digits that what differs reads different."""
        told: tuple[str, ...] = ()
        for digits in range(3, 18):
            told = tuple(_words(value, self.kind, system, digits) for value in self.values)
            if len(set(told)) == len({_same(value) for value in self.values}):
                break
        return told


def differences(plans: Sequence[Plan]) -> tuple[Difference, ...]:
    """The inputs in which plans differ, in the order in which a plan has them.

    Every field of every part is compared as it is stored; the numbers of a table are one input.

    Parameters
    ----------
    plans : two or more

    Returns
    -------
    Difference for each such input; none for plans that are equal
    """
    told = [dict(_inputs(plan, ())) for plan in plans]
    found = []
    for path in _in_order(told):
        first = next(one[path] for one in told if path in one)
        values = tuple(one[path].value if path in one else ABSENT for one in told)
        if len({_same(value) for value in values}) > 1:
            found.append(Difference(first.part, first.label, first.kind, values))
    return tuple(found)


@dataclass(frozen=True)
class Side:
    """One column of a comparison: a plan as it is, or with its active part lost.

    `place` is that of the plan among those compared, `unjudged` what nobody judged of it, in phrases.
    """

    name: str
    place: int
    plan: Plan
    checks: Mapping[str, Check]
    governing: Check | None
    verdict: str
    unjudged: tuple[str, ...]
    lost: bool = False

    @property
    def answer(self) -> str:
        """The verdict, and beside a good one that the hoisting path, or a part of it, is not judged."""
        if self.verdict not in (WITHIN, NEAR) or not unjudged_path(self.plan):
            return self.verdict
        what = "hoisting path" if self.plan.hoisting is None else "part of the hoisting path"
        return f"{self.verdict}, {what} not judged"


def sides(named: Sequence[tuple[str, Plan]]) -> tuple[Side, ...]:
    """The columns of plans side by side; one whose active part is at work has a second, with that lost.

    Parameters
    ----------
    named : names and plans, at most MOST

    Raises
    ------
    InputError
        If there are none or too many.
    """
    if not 1 <= len(named) <= MOST:
        raise InputError("plans side by side", len(named), None, f"from 1 to {MOST}")
    found = []
    for place, (name, plan) in enumerate(named):
        result = assess(plan)
        whole: list[tuple[str, Plan, Any]] = [(name, plan, result)]
        if result.lost is not None:
            whole.append((f"{name}, active part lost", plan.changed(active=False), result.lost))
        for title, own, judged in whole:
            by_key, unjudged = {check.key: check for check in judged.checks}, _unjudged(own, judged.checks)
            lost = judged is result.lost
            found.append(Side(title, place, own, by_key, judged.governing, judged.verdict, unjudged, lost))
    return tuple(found)


@dataclass(frozen=True)
class CheckRow:
    """One check over all columns; None where a column's plan does not call for it."""

    key: str
    name: str
    checks: tuple[Check | None, ...]


def check_rows(columns: Sequence[Side]) -> tuple[CheckRow, ...]:
    """The checks of all `columns` in reading order, those that any of them has."""
    return tuple(
        CheckRow(rule.key, rule.name, tuple(side.checks.get(rule.key) for side in columns))
        for rule in RULES
        if any(rule.key in side.checks for side in columns)
    )


def limit_curve(plan: Plan, periods: Sequence[float] = PERIODS) -> tuple[LimitingSea, ...] | None:
    """Limiting seas of the first wave system over its peak period, by `limit_map`, all else as in the plan.

    None where the plan's sea is a measured spectrum, which has no one period.

    Parameters
    ----------
    plan : the plan
    periods : peak periods [s]
    """
    if plan.sea.measured is not None:
        return None
    found = limit_map(plan, periods)
    return tuple(found.at(place, 0) for place in range(len(periods)))


def comparison_rows(columns: Sequence[Side], system: str = "metric") -> Iterator[tuple[str, ...]]:
    """The comparison as rows of text: head, verdicts, inputs that differ, checks, what is not judged.

    Numbers are plain, to nine digits, in the unit that the second cell names.

    Parameters
    ----------
    columns : from `sides`
    system : units
    """
    yield ("row", "unit", *(side.name for side in columns))
    yield ("verdict", "", *(side.answer for side in columns))
    yield ("governing", "", *("" if side.governing is None else side.governing.name for side in columns))
    plans = [side.plan for side in columns]
    for one in differences(plans):
        unit = "" if one.kind is None else unit_of(one.kind, system).symbol
        cells = (_plain(value, one.kind, system) for value in one.values)
        yield (f"input: {one.part}: {one.label}", unit, *cells)
    for row in check_rows(columns):
        kind = next(check.kind for check in row.checks if check is not None)
        unit = unit_of(kind, system).symbol
        for what in ("demand", "capacity"):
            values = (None if check is None else getattr(check, what) for check in row.checks)
            yield (f"{row.name}: {what}", unit, *(_plain(value, kind, system) for value in values))
        used = (None if check is None else check.utilisation for check in row.checks)
        yield (f"{row.name}: utilisation", "", *(_plain(value, "number", system) for value in used))
        yield (f"{row.name}: state", "", *("" if check is None else check.state for check in row.checks))
    yield ("not judged", "", *("; ".join(side.unjudged) for side in columns))


def _unjudged(plan: Plan, checks: Sequence[Check]) -> tuple[str, ...]:
    """What nobody judged of a plan: what is wanted, checks without a figure, the hoisting path, what others judge."""
    silent = [check.name for check in checks if check.state == NOT_ASSESSED and check.required]
    lacking = f"not assessed: {', '.join(silent)}" if silent else ""
    elsewhere = (f"not judged here: {what}" for what in plan.operation.about.elsewhere)
    return *wanted(plan), *filter(None, (lacking, unjudged_path(plan))), *elsewhere


_Path = tuple[str, ...]


def _inputs(value: Any, path: _Path) -> Iterator[tuple[_Path, Input]]:
    """Every input below an object, by where it stands, in the order of its fields."""
    yield from _own_kind(value, path)
    for item in fields(value):
        if not (item.init and item.compare):
            continue
        inner, about = getattr(value, item.name), item.metadata.get("about")
        label = about.label if about is not None else item.name.replace("_", " ")
        kind = about.kind if isinstance(about, Quantity) else None
        yield from _below(inner, (*path, item.name), Input(_part(path), label, inner, kind))


def _below(value: Any, path: _Path, told: Input) -> Iterator[tuple[_Path, Input]]:
    if is_dataclass(value):
        yield from _inputs(value, path)
    elif isinstance(value, tuple) and value and all(is_dataclass(part) for part in value):
        names = [str(getattr(part, "kind", place + 1)) for place, part in enumerate(value)]
        unique = len(set(names)) == len(names)
        for place, part in enumerate(value):
            one = names[place] if unique else str(place + 1)
            yield from _inputs(part, (*path[:-1], f"{path[-1].removesuffix('s')} {one}"))
    else:
        yield path, told


def _own_kind(value: Any, path: _Path) -> Iterator[tuple[_Path, Input]]:
    """What sort of object it is, where a plan may have several sorts in one place."""
    name = getattr(type(value), "kind", None)
    if path and path[-1] == "response":
        name = re.sub(r"(?<!^)([A-Z])", lambda found: f" {found[1].lower()}", type(value).__name__)
    if isinstance(name, str) and "kind" not in {item.name for item in fields(value)}:
        yield (*path, "sort of object"), Input(_part(path), "kind", name)


def _part(path: _Path) -> str:
    """The part of the plan a path leads to, in words."""
    words = ", ".join(step.replace("_", " ") for step in path) or "plan"
    return words[:1].upper() + words[1:]


def _in_order(told: Sequence[Mapping[_Path, Input]]) -> list[_Path]:
    """All places of several plans in one order: what the first does not have stands behind what it follows."""
    order: list[_Path] = []
    for one in told:
        known, after = set(order), 0
        for path in one:
            if path in known:
                after = order.index(path, 0) + 1
            else:
                order.insert(after, path)
                after += 1
    return order


def _same(value: Any) -> Any:
    """A value that equals another just when the two are the same input."""
    if isinstance(value, np.ndarray):
        return value.shape, value.tobytes()
    return (type(value).__name__ if isinstance(value, bool | str) else "", value)


def _words(value: Any, kind: str | None, system: str, digits: int) -> str:
    if isinstance(value, np.ndarray):
        size = " × ".join(str(length) for length in value.shape)
        return f"{size} numbers, {hashlib.sha256(value.tobytes()).hexdigest()[:8]}"
    if value is None or value == ():
        return "not given"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if kind is not None and value is not ABSENT:
        return show(value, kind, system, digits)
    return ", ".join(f"{part}" for part in value) if isinstance(value, tuple) else str(value) or "empty"


def _plain(value: Any, kind: str | None, system: str) -> str:
    """A value as a cell of a table for another program."""
    if isinstance(value, int | float) and not isinstance(value, bool) and kind is not None:
        return "" if math.isnan(value) else f"{display_value(value, kind, system):.9g}"
    return "" if value is None or value is ABSENT else _words(value, None, system, 9)
