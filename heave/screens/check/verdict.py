"""The verdict of the check page in words: the answer, what governs, the room left, what was computed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from heave.judging import (
    NEAR,
    NOT_ASSESSED,
    OVER,
    WITHIN,
    Assessment,
    Check,
    Doubt,
    Room,
    lacks_response,
    unconfirmed,
    unjudged_path,
)
from heave.judging.path_loads import LOADED, PATH_KEYS
from heave.planning import MODEL_DATE, MODEL_VERSION
from heave.screens import every_page
from heave.screens.figures.utilisation import simulated_text, utilisation_text
from heave.screens.inputs import inside, plain, sentence, shown_number
from heave.simulation.proof import Proof, Simulated
from heave.units import counted, fixed, show, significant, unit_of, with_unit


def answer_words(result: Assessment, proof: Proof | None) -> str:
    """The verdict as a large word, what simulation finds over a limit that it has not, or that no path was judged."""
    said = sentence(result.verdict)
    if proof is not None and result.verdict != OVER and proof.newly_over:
        return f"{said}, but over in simulation"
    passes = result.plan.hoisting is None and result.verdict in (WITHIN, NEAR)
    return f"{said}, hoisting path not judged" if passes else said


def without_quiet_links(ranked: Sequence[Check]) -> tuple[list[Check], list[Check]]:
    """The checks without those of the hoisting path that are within limits, but for its weakest link; and those."""
    weakest = next((check.key for check in ranked if check.key in LOADED), "")
    quiet = [c for c in ranked if c.key in PATH_KEYS and c.key != weakest and c.state == WITHIN]
    hidden = {check.key for check in quiet}
    return [check for check in ranked if check.key not in hidden], quiet


def quiet_words(quiet: Sequence[Check]) -> str:
    """How many checks of the hoisting path are quiet, and the highest utilisation of them."""
    most = utilisation_text(max(check.utilisation for check in quiet))
    return f"Hoisting path: {counted(len(quiet), 'more check')} within limits, most used {most}"


def simulation(result: Assessment, proof: Proof | None) -> str:
    """How what was simulated stands to the quick figures, in Markdown; empty where nothing was."""
    if proof is None or not proof.figures:
        return ""
    if proof.newly_over:
        return (
            f"**Simulation finds over its limit what the quick method does not**: {_named(proof.newly_over)}."
        )
    governing = result.governing
    of_governing = None if governing is None else proof.of(governing.key)
    first = of_governing or proof.figures[0]
    words = {
        "agrees": "Simulation agrees",
        "less": "Simulation finds less than the quick method",
        "more": "Simulation finds more than the quick method",
    }[first.finding]
    lines = [f"{words}: {_named((first,))}."]
    if governing is not None and of_governing is None:
        lines.insert(0, f"Not simulated: {plain(inside(governing.name))}, which governs.")
    level = result.plan.caution_level
    more = tuple(
        f for f in proof.figures if f is not first and f.finding == "more" and f.utilisation >= level
    )
    if more:
        lines.append(f"More than the quick method: {_named(more)}.")
    if result.verdict == OVER and first.utilisation < 1:
        lines.append("The verdict stays with the quick method.")
    return " ".join(lines)


def _named(found: tuple[Simulated, ...]) -> str:
    return ", ".join(f"{plain(inside(one.name))} **{simulated_text(one)}**" for one in found)


def governs(result: Assessment, system: str) -> str:
    """What governs, and what is missing, in Markdown."""
    asked = unconfirmed(result.plan)
    lines = [plain(result.cautions[0]), f"Not assessed: {plain(asked)} under Operation."] if asked else []
    governing = result.governing
    if governing is not None:
        lines.append(
            f"**{plain(governing.name)}** governs: {governing.headline(system)}, "
            f"utilisation **{utilisation_text(governing.utilisation)}**."
        )
    lacking = lacks_response(result.plan)
    if lacking:
        why = (
            ": the hoist stands off the point its heave is given for"
            if result.plan.vessel.unknown_at_hoist
            else ""
        )
        lines.append(
            f"Not assessed: needs the vessel's {' and '.join(lacking)} response, which it does not have{why}."
        )
    other = {f"{motion}_limit" for motion in lacking}
    missing = {
        c.key: c.name for c in result.checks if c.state == NOT_ASSESSED and c.required and c.key not in other
    }
    if missing:
        lines.append(f"Not assessed for want of a limit: {plain(', '.join(missing.values()))}.")
    lines += filter(None, (plain(unjudged_path(result.plan)),))
    if "hs_limit" in missing:
        lines.append("No row of the rig's Hs limits covers one of the wave systems.")
    if result.plan.operation.wanted:
        lines.append(
            f"Needs {plain(result.plan.operation.wanted)}: the box stands under Operation in the sidebar."
        )
    if result.lost is not None:
        word, check = result.lost.verdict, result.lost.governing
        most = ""
        if check is not None:
            most = f", {inside(plain(check.name))} at {utilisation_text(check.utilisation)}"
        lines.append(f"If the active part is lost: **:{every_page.TONES[word]}[{word}]**{most}.")
    return "  \n".join(lines)


def room(result: Assessment, left: Room, system: str) -> str:
    """How much sea is left, or has to go: all of it together first, then each system alone, in Markdown."""
    together = left.together
    if not together.reached:
        none = "None of the checks made" if result.verdict == NOT_ASSESSED else "No check"
        return f"{none} reaches 1 up to the highest sea tried, with everything else as planned."
    name = plain(together.governing or "a check")
    if together.at_most <= 0:
        return f"{name} is over its limit even in calm water: the plan itself has to change."
    most = lowered(together.at_most, system, left.now)
    whole = f"**Hs {most}** of the whole sea (×\u00a0{floored(left.factor, 2):.2f})"
    if result.verdict == OVER:
        words = f"All waves together would have to fall to {whole}"
    else:
        start = "Of what could be assessed, room" if result.verdict == NOT_ASSESSED else "Room"
        words = f"{start} to {whole}, where {inside(name)} reaches 1"
    return f"{words}{_alone(result, left, system)}; peak periods and everything else as planned."


def _alone(result: Assessment, left: Room, system: str) -> str:
    """What each of several wave systems may grow to, or has to fall to, while the others stay."""
    if len(left.alone) < 2:
        return ""
    parts = []
    for wave, limit in zip(result.plan.sea.systems, left.alone, strict=True):
        if not limit.reached:
            words = "without a limit"
        elif limit.at_most <= 0:
            words = "over a limit even without it"
        else:
            words = f"Hs {lowered(limit.at_most, system, wave.hs)}"
        parts.append(f"{plain(wave.label)} {words}")
    return f"; each alone: {', '.join(parts)}"


def lowered(height: float, system: str, now: float = 0.0) -> str:
    """A height to one decimal, rounded down: never more room than was computed.

    With one or two decimals more where it would else read lower than what is there `now` and is not [m].
    """
    unit = unit_of("length", system)
    most, there = height / unit.factor, now / unit.factor
    decimals = next((n for n in (1, 2) if most <= there or floored(most, n) >= there), 3)
    return with_unit(fixed(floored(most, decimals), decimals), unit.symbol)


def floored(value: float, decimals: int) -> float:
    scale = 10.0**decimals
    return math.floor(value * scale + 1e-9) / scale


def in_doubt(doubt: Doubt | None) -> str:
    """What the ranges of what is not known can do, and which unknown matters most; empty where they do nothing."""
    if doubt is None:
        return ""
    check, moved, most = doubt.check, doubt.moved, utilisation_text
    verb = "could reach" if check.utilisation < 1 else "could go to"
    words = (
        f"In doubt: **{plain(check.name)}** {verb} {most(check.high)} with all that is not known at its worst"
    )
    if moved is None:
        return f"{words}; no single unknown moves it, several together do."
    alone = f"{plain(doubt.label)} alone brings it from {most(moved.utilisation)} to {most(doubt.alone)}."
    if moved is check:
        return f"{words}; {alone}"
    return f"{words}, by several together; **{plain(moved.name)}** {most(moved.high)}: {alone}"


def computed_for(result: Assessment, system: str) -> str:
    """Every number the computation used, in one line: the sea, the heading, the loads, the risk, the model."""
    plan = result.plan
    operation = plan.operation.about
    lost = " · active part taken as lost" if plan.compensator.has_active and not plan.active else ""
    entered = "as entered" if plan.hookload_entered is not None else "from the string"
    calibrated = f" · heave × {significant(plan.heave_factor)} calibrated from a record, safe end"
    parts = [
        _sea_words(result, system) + (calibrated if plan.heave_calibration != 1 else ""),
        f"heading {_given(plan.heading, 'direction', system)}",
        f"{inside(operation.label)}, compensator {operation.compensator}{lost}",
        f"hookload {show(plan.hookload, 'force', system, 4)} ({entered})",
        f"WOB {_given(plan.wob_used, 'force', system)}",
        f"exposure {_given(plan.exposure, 'duration', system)}, accepted risk {_given(plan.risk, 'fraction', system)} "
        f"(level exceeded in 1 of {significant(1 / plan.risk)} such periods)",
        "amplitudes single, Hs crest to trough",
        plan.vessel.name,
        plan.compensator.name,
        f"model {MODEL_VERSION} of {MODEL_DATE}",
    ]
    return "Computed for " + plain(" · ".join(parts))


def _given(value: float, kind: str, system: str) -> str:
    """A number of the plan as its box shows it, with its unit: what was given is what was used."""
    unit = unit_of(kind, system).symbol
    return with_unit(shown_number(value, kind, system), unit)


def _sea_words(result: Assessment, system: str) -> str:
    plan, relative = result.plan, result.responses.relative_headings
    if plan.sea.measured is not None:
        name = plan.sea.measured.label or "measured spectrum"
        time = f" of {plan.sea.measured.time}" if plan.sea.measured.time else ""
        return f"{name}{time}, Hs {show(plan.sea.hs, 'length', system)}"
    words = []
    for place, wave in enumerate(plan.sea.systems):
        parts = [f"{wave.label} Hs {_given(wave.hs, 'length', system)}"]
        if wave.period is not None:
            parts[0] += f", {wave.period_kind} {_given(wave.period, 'period', system)}"
        if wave.period_kind != "Tp":
            parts.append(f"(Tp {show(wave.tp, 'period', system)})")
        parts.append(f"from {_given(wave.direction_from, 'direction', system)}")
        if place < len(relative):
            parts.append(f"({relative[place]:.0f}° relative, 180° head sea)")
        words.append(" ".join(parts))
    return " + ".join(words)
