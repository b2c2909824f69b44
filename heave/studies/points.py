"""Many values of a plan's inputs judged: seas of one plan together, plans that differ in their equipment in turn."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Indices, IntArray
from heave.errors import InputError
from heave.judging import RULES, withheld
from heave.judging.cases import Case, cases_alone
from heave.judging.checks import governing_of
from heave.judging.demands import demands_of
from heave.judging.rules import rules_for
from heave.judging.utilisation import PIECE
from heave.planning import CLOSED, Plan
from heave.sea import PERIOD_RANGE, SeaBatch, SystemSlot
from heave.sea.arguments import MAX_HS
from heave.studies.inputs import INPUTS

Progress = Callable[[float], None]

_LATE: Final = ("hookload", "heave_factor", "gas_temperature")
"""Inputs that are put in after all others, in this order: they rest on what the others have made of the plan."""


@dataclass(frozen=True, eq=False)
class Judged:
    """Checks at n points, every value of an input that is not varied as planned.

    keys : of the checks that apply at any point, in reading order
    used : utilisation of each (checks, n), NaN where it is not assessed
    governing, governed_by : the highest and its place in `keys`, NaN and −1 where none is assessed, (n,)
    assessed : where every check could be made that has to be, (n,)
    refused : why a point can be no plan, by its place
    """

    keys: tuple[str, ...]
    used: FloatArray
    governing: FloatArray
    governed_by: Indices
    assessed: BoolArray
    refused: Mapping[int, str]


def judge(
    plan: Plan, columns: Mapping[str, npt.ArrayLike], progress: Progress = lambda share: None
) -> Judged:
    """Every check at n points; the plan's ranges of what is not known are closed, for a study varies them itself.

    Points that share their equipment are judged together, as seas of one plan.

    Parameters
    ----------
    plan : the plan; an input that is not in `columns` is as planned
    columns : values of inputs by key, each (n,) [SI]
    progress : called with the share done, 0 to 1; what it raises ends the work

    Returns
    -------
    Judged
    """
    given = {name: np.atleast_1d(np.asarray(column, dtype=np.float64)) for name, column in columns.items()}
    n = max((column.size for column in given.values()), default=1)
    base = plan.changed(ranges=CLOSED)
    batch, heading, refused = _seas(base, given, n)
    rows = np.full((len(RULES), n), np.nan)
    governing, by = np.full(n, np.nan), np.full(n, -1, dtype=np.intp)
    assessed, applies = np.zeros(n, dtype=np.bool_), np.zeros(len(RULES), dtype=np.bool_)
    place = {rule.key: index for index, rule in enumerate(RULES)}
    done = 0
    for values, members in _groups(given, n):
        try:
            case, count = case_of(base, values), members.size
        except InputError as error:
            refused |= dict.fromkeys(members.tolist(), str(error))
            count = 0
        for start in range(0, count, PIECE):
            part = members[start : start + PIECE]
            found = demands_of([case], batch.take(part), heading[part])[0]
            rules = rules_for(case.plan)
            own = np.array([place[rule.key] for rule in rules])
            table = np.stack([np.broadcast_to(rule.work(found).utilisation, part.shape) for rule in rules])
            known = ~np.isnan(found.heave.sigma)
            table[:, ~known] = np.nan  # a sea that is none assesses nothing
            rows[np.ix_(own, part)], applies[own] = table, True
            highest, first, whole = governing_of(table, [rule.required(case.plan) for rule in rules], known)
            governing[part], by[part] = highest, np.where(first < 0, -1, own[first])
            assessed[part] = whole & (not withheld(plan))
        done += members.size
        progress(done / n)
    kept = np.flatnonzero(applies)
    renamed = np.full(len(RULES) + 1, -1, dtype=np.intp)
    renamed[kept] = np.arange(kept.size)
    keys = tuple(RULES[index].key for index in kept)
    return Judged(keys, rows[kept], governing, renamed[by], assessed, refused)


def case_of(plan: Plan, values: Mapping[str, float]) -> Case:
    """The plan with values of its inputs put in, all but those that differ from sea to sea of one plan.

    A hookload that the plan computes from its string goes with that string: what is put in then scales it.

    Parameters
    ----------
    plan : the plan
    values : by key of the input [SI]

    Raises
    ------
    InputError
        If there can be no such plan.
    """
    moved = {name: value for name, value in values.items() if value != INPUTS[name].planned(plan)}
    own, parts = dict[str, Any](), dict[str, dict[str, Any]]()
    for name, value in moved.items():
        one = INPUTS[name]
        one.check(plan, value)
        if name in _LATE or one.of_sea:
            continue
        holder = getattr(plan, one.part) if one.part else plan
        changes = one.changes(holder, value)
        (parts.setdefault(one.part, {}) if one.part else own).update(changes)
    if "hookload" in moved:
        hung = plan.changed(string=replace(plan.string, **parts.get("string", {})))
        entered = moved["hookload"] * hung.still_hookload / plan.still_hookload
        own["hookload_entered"] = entered
        if not plan.hookload_to_confirm:  # a range about a hookload that is known asks for nothing
            own["hookload_confirmed"] = entered
    made = {part: replace(getattr(plan, part), **changes) for part, changes in parts.items()}
    case = Case(plan.changed(**own, **made) if own or made else plan, heave=moved.get("heave_factor", 1.0))
    warmer = moved.get("gas_temperature", 0.0)
    return case if warmer == 0 else _warmed(case, warmer)


def _warmed(case: Case, warmer: float) -> Case:
    """The case with its gas warmer, or colder, than when it was set, as the ranges of a plan have it."""
    asked = case.plan.changed(ranges=replace(CLOSED, gas_temperature=abs(warmer)))
    found = cases_alone(asked)["gas_temperature"][0 if warmer > 0 else 1]
    return replace(found, plan=found.plan.changed(ranges=CLOSED), heave=case.heave)


def _groups(given: Mapping[str, FloatArray], n: int) -> list[tuple[dict[str, float], IntArray]]:
    """Points that share their equipment: its values, and their places."""
    names = [name for name in given if not INPUTS[name].of_sea]
    if not names:
        return [({}, np.arange(n))]
    table = np.stack([given[name] for name in names], axis=1)
    rows, back = np.unique(table, axis=0, return_inverse=True)
    order = np.argsort(back.ravel(), kind="stable")
    members = np.split(order, np.cumsum(np.bincount(back.ravel()))[:-1])
    values = (dict(zip(names, row, strict=True)) for row in rows.tolist())
    return sorted(zip(values, members, strict=True), key=lambda pair: int(pair[1][0]))


def _seas(plan: Plan, given: Mapping[str, FloatArray], n: int) -> tuple[SeaBatch, FloatArray, dict[int, str]]:
    """The sea and the heading at each point, and why some can be none; those have no height."""
    refused = dict[int, str]()
    columns = {name: column.copy() for name, column in given.items() if INPUTS[name].of_sea}
    for name, column in columns.items():
        low, high = INPUTS[name].bounds(plan)
        for place in np.flatnonzero(~((low <= column) & (column <= high))).tolist():
            try:
                INPUTS[name].check(plan, float(column[place]))
            except InputError as error:
                refused[place] = str(error)
            column[place] = np.nan
    unknown = np.any([np.isnan(column) for column in columns.values()], axis=0) if columns else False
    height = columns.get("sea_height", np.full(n, plan.sea.hs)) / plan.sea.hs
    stretch = columns.get("sea_period", np.full(n, plan.sea.tp)) / plan.sea.tp
    turn = np.nan_to_num(columns.get("sea_turn", np.zeros(n)))
    heading = (plan.heading + np.nan_to_num(columns.get("heading_turn", np.zeros(n)))) % 360.0
    height = np.where(unknown, np.nan, height)
    slots = []
    for slot in plan.sea.batch().take(np.zeros(n, dtype=np.int64)).slots:
        changes: dict[str, Any] = {"direction_from": (slot.direction_from + turn) % 360.0}
        if isinstance(slot, SystemSlot):
            # inside the bounds already: what is held here is the rounding of the last digit
            changes["hs"] = np.minimum(slot.hs * height, MAX_HS)
            changes["tp"] = np.clip(slot.tp * stretch, *PERIOD_RANGE)
        slots.append(replace(slot if isinstance(slot, SystemSlot) else slot.times(height), **changes))
    return replace(plan.sea.batch(), slots=tuple(slots)), heading, refused
