"""What the parts of the path carry: the weakest link in a sentence, a table of every part, the lines and sheaves."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Final

import streamlit as st

from heave.judging import NOT_ASSESSED, Assessment, unjudged_path
from heave.judging.path_loads import PathLoads, line_power, path_loads
from heave.judging.reeving_working import SOURCES, reeving_working, strung_instead
from heave.planning import Plan
from heave.screens import every_page, pieces
from heave.screens.check.working import steps_text
from heave.screens.figures.reeving import force
from heave.screens.figures.tables import Cell, Table
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import folded, inside, plain
from heave.units import show, show_apart, significant, unit_of

NOT_JUDGED: Final = "not judged: no rating given"
_UNDER: Final = (
    "A string that hangs still puts the same on most parts whatever the drawworks does; friction of the sheaves shows "
    "in the line: most at the fast line hoisting, most at the dead line lowering. Compensator and drilling line stand "
    "at the case that uses them most: in the sea, or locked and pulled on, against the rating or design factor of each."
)


of = lru_cache(maxsize=32)(path_loads)
"""The loads of a plan; plans are frozen values, so equal plans share them."""


def headline(result: Assessment, found: PathLoads | None, system: str) -> None:
    """The weakest link in a large line with the mark of its state, its figures, and what was not judged."""
    lines, of = figures_of_weakest(result, found, system), computed_for(result, found, system)
    every_page.verdict(weakest_state(result, found), weakest_words(found), lines, of)


def weakest_state(result: Assessment, found: PathLoads | None) -> str:
    """The state of the weakest link's check; not assessed where there is none."""
    if found is None or found.weakest_link is None:
        return NOT_ASSESSED
    return found.states(result.checks).get(found.weakest_link, NOT_ASSESSED)


def weakest_words(found: PathLoads | None) -> str:
    """The weakest link in a few words."""
    if found is None:
        return "Hoisting path not given"
    if found.weakest_link is None:
        return "No part can be judged"
    return f"Weakest link: {inside(found.link(found.weakest_link).name)}"


def figures_of_weakest(result: Assessment, found: PathLoads | None, system: str) -> str:
    """Load, rating and share of the weakest link, the next one, what was not judged, and the plan's verdict."""
    lines = []
    ranked = sorted(found.chain, key=lambda part: part.utilisation, reverse=True) if found else []
    rated = [part for part in ranked if part.rating is not None]
    if rated:
        first, *others = rated
        state = weakest_state(result, found)
        after = (
            f"; then {inside(others[0].name)}, {utilisation_text(others[0].utilisation)}" if others else ""
        )
        carried, rating = show_apart(first.extreme, first.rating or 0.0, "force", system)
        lines.append(
            f"**{plain(first.name)}** is the weakest link, :{every_page.TONES[state]}[{state}]: "
            f"{carried} of {rating} in this sea, utilisation "
            f"**{utilisation_text(first.utilisation)}**{plain(after)}."
        )
    lines += filter(None, (plain(unjudged_path(result.plan)),))
    governing = "" if result.governing is None else f", governed by {inside(result.governing.name)}"
    lines.append(f"The whole plan: :{every_page.TONES[result.verdict]}[{result.verdict}]{plain(governing)}.")
    return "  \n".join(lines)


def computed_for(result: Assessment, found: PathLoads | None, system: str) -> str:
    """What the loads rest on, in a line."""
    plan, path = result.plan, result.plan.hoisting
    if path is None or found is None:
        return "The checks of compensator and string are on the page *Compensator check*."
    out, run_in = (show(load, "force", system, 4) for load in (plan.job_hookload, plan.running_hookload))
    friction = "" if out == run_in else f"; {out} pulled out and {run_in} run in, by the friction of the well"
    pulled = f", overpull {show(plan.overpull, 'force', system)} in it" if plan.overpull else ""
    return plain(
        f"Hoisting, holding, lowering: string off bottom, hookload {show(plan.still_hookload, 'force', system, 4)} "
        f"held, nothing from the sea, {show(found.on_block, 'force', system, 4)} on {path.count} lines, "
        f"{path.bearing} bearings{friction}. "
        f"In this sea: the largest load of {inside(plan.operation.about.label)}{pulled}."
    )


def table(found: PathLoads, states: Mapping[str, str], system: str) -> None:
    """Every part with its loads, its rating and its state; the weakest link is named as such."""
    pieces.wide_table("loads", *table_rows(found, states, system), _UNDER)


def as_table(found: PathLoads, states: Mapping[str, str], system: str) -> list[Table]:
    """The figures of the picture: loads of every part, its rating, and the share of that in the sea of the plan."""
    unit = unit_of("force", system)
    rows: list[tuple[Cell, ...]] = []
    for part in found.chain:
        loads = (part.hoisting, part.holding, part.lowering, part.extreme, part.rating)
        told = (math.nan if load is None else float(load) / unit.factor for load in loads)
        share = math.nan if part.rating is None else float(part.utilisation)
        rows.append((part.name, *told, share, states.get(part.key, NOT_JUDGED)))
    names = ("hoist", "hold", "lower", "in this sea", "rating")
    return [Table(("part", *(f"{name}, {unit.symbol}" for name in names), "share", "state"), rows)]


def table_rows(
    found: PathLoads, states: Mapping[str, str], system: str
) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Head and rows of the table, in Markdown."""
    unit = unit_of("force", system).symbol
    head = (unit, "Hoist", "Hold", "Lower", "In this sea", "Rating", "Share", "State")
    rows = []
    for part in found.chain:
        weakest = part.key == found.weakest_link
        carried = (part.hoisting, part.holding, part.lowering, part.extreme)
        loads = [force(load, system) for load in carried]
        judged = ["\u2013", "\u2013", NOT_JUDGED]
        if part.rating is not None:
            state = states.get(part.key, NOT_ASSESSED)
            word = f":{every_page.TONES[state]}[{state}]" + (", **weakest**" if weakest else "")
            judged = [force(part.rating, system), utilisation_text(part.utilisation), word]
        name = f"**\u25b8 {plain(part.name)}**" if weakest else plain(part.name)
        rows.append((name, *loads, *judged))
    return head, rows


def reeving(plan: Plan, found: PathLoads, system: str) -> None:
    """Efficiency and pulls as tiles, and why N lines do not lift N times."""
    path = plan.hoisting
    assert path is not None  # the page draws this only where there is one
    efficient, fast, dead, dead_down, crown, legs = reeving_working(plan)
    rows = (
        ("Efficiency, hoisting", efficient.answer(system), f"{path.count} lines, {path.bearing} bearings"),
        ("Fast line, hoisting", fast.answer(system), "the most the line carries"),
        ("Dead line", dead.answer(system), f"hoisting; {dead_down.answer(system)} lowering"),
        ("Load on the crown", crown.answer(system), "lines, fast line and dead line, hoisting"),
        ("Four-leg equivalent", legs.answer(system), "four times the leg with the dead line"),
    )
    pieces.tiles([*rows, *line_factor(plan, found, system), *mean_power(plan, system)])
    st.markdown(plain(why_not_times(path.count, path.sheave_factor, efficient.result.value)))


def line_factor(plan: Plan, found: PathLoads, system: str) -> list[pieces.Tile]:
    """The design factor of the drilling line in this sea, where its strength is known.

    Parameters
    ----------
    plan, found : the plan and its loads
    system : units on the screen
    """
    path = plan.hoisting
    if path is None or path.line is None or found.design_factor is None:
        return []
    pull = found.link("drilling_line").extreme
    least = path.line_factor_heavy if plan.operation.about.line_use == "setting casing" else path.line_factor
    strength, most = (show(one, "force", system) for one in (path.line.strength, pull))
    under = f"{strength} over {most}; {least:g} or more"
    return [("Design factor, in this sea", significant(found.design_factor, 2), under)]


def mean_power(plan: Plan, system: str) -> list[pieces.Tile]:
    """Of a drawworks that compensates: what it draws hoisting, and takes back lowering as power or heat.

    Parameters
    ----------
    plan : the plan
    system : units on the screen
    """
    found = line_power(plan)
    if found is None:
        return []
    powers = (found.hoisting, found.lowering, found.sheaves)
    drawn, back, lost = (show(one, "power", system) for one in powers)
    under = f"given back lowering {back}, to grid or brake; {lost} heats the sheaves; drawworks' losses not counted"
    return [("Mean power hoisting in this sea", drawn, under)]


def more(plan: Plan, found: PathLoads, system: str) -> None:
    """Behind disclosures: other numbers of lines, the pull in every part of the line, and the working."""
    folded("Lines strung, side by side", "strung", lambda: _strung(plan, found, system))
    folded("Pull in every part of the line", "pulls", lambda: _pulls(found, system))
    folded("Working of lines and sheaves", "reeving", lambda: _working(plan, system))


def why_not_times(lines: int, factor: float, share: float) -> str:
    """Why so many lines do not lift so many times the pull, in words for who learns it.

    Parameters
    ----------
    lines, factor : strung, and the friction factor of a sheave
    share : efficiency hoisting
    """
    return (
        f"Why {lines} lines do not lift {lines} times: they share the load, but each of the {lines} sheaves that turn "
        f"keeps {significant(100 * (1 - 1 / factor), 2)}\u00a0% of the pull that comes to it, in its "
        "bearing and in bending "
        f"the line. So the fast line, first in the row, pulls most and the dead line least, and hoisting lifts "
        f"{significant(lines * share)} times the pull of the fast line. Lowering, friction helps to hold: the fast "
        "line pulls least and the dead line most. More lines ease the pull and slow the block: the drum turns in "
        f"{lines} times as much line as the hook travels."
    )


def _strung(plan: Plan, found: PathLoads, system: str) -> None:
    path = plan.hoisting
    assert path is not None
    head = ("Lines", "Efficiency", "Lifts, times the fast line", "Fast line", "Load on the crown")
    rows = [
        (
            f"**{one.lines}, as strung**" if one.lines == path.count else str(one.lines),
            *(significant(one.efficiency), significant(one.lifts)),
            *(show(pull, "force", system) for pull in (one.fast, one.crown)),
        )
        for one in strung_instead(sum(found.lines["hoisting"][1:-1]), path.sheave_factor)
    ]
    under = "The same load on the block, hoisting; the weight of more or fewer lines is left out."
    pieces.wide_table("strung", head, rows, under)


def _pulls(found: PathLoads, system: str) -> None:
    count = len(found.lines["hoisting"]) - 2
    names = ("Fast line", *(f"Line {place}" for place in range(1, count + 1)), "Dead line")
    head = (unit_of("force", system).symbol, *(motion.capitalize() for motion in found.lines))
    lines = zip(names, *found.lines.values(), strict=True)
    rows = [(name, *(force(pull, system) for pull in pulls)) for name, *pulls in lines]
    pieces.wide_table("pulls", head, rows)


def _working(plan: Plan, system: str) -> None:
    st.markdown(f"{steps_text(reeving_working(plan), system)}\n\nSource: {plain(SOURCES)}")
