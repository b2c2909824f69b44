"""The verdict panel of the check page: the answer as a large word, what governs, what was computed."""

from __future__ import annotations

from typing import Final

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN, Assessment, LimitingSea
from heave.planning import MODEL_DATE, MODEL_VERSION
from heave.screens import figures
from heave.screens.every_page import SLUGS
from heave.screens.figures import Look, mark_svg
from heave.screens.inputs import inside, plain, sentence, shown_number
from heave.units import show, significant, unit_of

_TONES: Final = {WITHIN: "blue", NEAR: "orange", OVER: "red", NOT_ASSESSED: "gray"}


def draw(result: Assessment, look: Look, system: str) -> DeltaGenerator:
    """The verdict with its mark and what governs it; returns the panel, for the room left is told in it later.

    The style sheet lays the five pieces out; the room stands between what governs and what was computed.
    """
    word = result.verdict
    panel = st.container(key=f"verdict-check-{SLUGS[word]}")
    with panel:
        st.image(mark_svg(word, look, 52), width=52, alt=f"Mark of: {sentence(word)}")
        st.markdown(f"## :{_TONES[word]}[{sentence(word)}]")
        st.markdown(governs(result, system))
        st.caption(computed_for(result, system))
    return panel


def governs(result: Assessment, system: str) -> str:
    """What governs, and what is missing, in Markdown."""
    lines = []
    governing = result.governing
    if governing is not None:
        lines.append(
            f"**{plain(governing.name)}** governs: {governing.headline(system)}, "
            f"utilisation **{figures.utilisation_text(governing.utilisation)}**."
        )
    missing = [check.name for check in result.checks if check.state == NOT_ASSESSED and check.required]
    if missing:
        lines.append(f"Not assessed for want of a limit: {plain(', '.join(missing))}.")
    if result.lost is not None:
        word, check = result.lost.verdict, result.lost.governing
        least = (
            ""
            if check is None
            else (f", {inside(plain(check.name))} at {figures.utilisation_text(check.utilisation)}")
        )
        lines.append(f"If the active part is lost: **:{_TONES[word]}[{word}]**{least}.")
    return "  \n".join(lines)


def room(result: Assessment, limiting: LimitingSea, system: str) -> str:
    """How much sea is left, or has to go, in a sentence of Markdown."""
    sea = result.plan.sea
    first = sea.systems[0].label if sea.systems else "measured sea"
    unit = unit_of("length", system)
    height = f"**Hs {limiting.hs / unit.factor:.1f}\u00a0{unit.symbol}**"
    if not limiting.reached:
        none = "None of the checks made" if result.verdict == NOT_ASSESSED else "No check"
        return f"{none} reaches 1 up to the highest sea tried, all else as planned."
    name = plain(limiting.governing or "a check")
    if limiting.hs <= 0:
        return f"{name} is over its limit even in a calm: the plan itself has to change."
    if result.verdict == OVER:
        return f"The {plain(first)} would have to fall to {height}, all else as planned."
    left = "Of what could be assessed, room" if result.verdict == NOT_ASSESSED else "Room"
    return f"{left} to {height} in the {plain(first)}, where {inside(name)} reaches 1, all else as planned."


def computed_for(result: Assessment, system: str) -> str:
    """Every number the computation used, in one line: the sea, the heading, the loads, the risk, the model."""
    plan = result.plan
    operation = plan.operation.about
    lost = " · active part taken as lost" if plan.compensator.has_active and not plan.active else ""
    entered = "as entered" if plan.hookload_entered is not None else "from the string"
    calibrated = f" · heave × {significant(plan.heave_calibration)} calibrated from a record"
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
    return shown_number(value, kind, system) + ("" if unit in ("", "°", "%") else "\u00a0") + unit


def _sea_words(result: Assessment, system: str) -> str:
    plan, relative = result.plan, result.responses.relative_headings
    if plan.sea.measured is not None:
        name = plan.sea.measured.label or "measured spectrum"
        time = f" of {plan.sea.measured.time}" if plan.sea.measured.time else ""
        return f"{name}{time}, Hs {show(plan.sea.hs, 'length', system)}"
    words = []
    for place, wave in enumerate(plan.sea.systems):
        period = (
            "" if wave.period is None else f", {wave.period_kind} {_given(wave.period, 'period', system)}"
        )
        peak = "" if wave.period_kind == "Tp" else f" (Tp {show(wave.tp, 'period', system)})"
        angle = f" ({relative[place]:.0f}° relative, 180° head sea)" if place < len(relative) else ""
        words.append(
            f"{wave.label} Hs {_given(wave.hs, 'length', system)}{period}{peak} "
            f"from {_given(wave.direction_from, 'direction', system)}{angle}"
        )
    return " + ".join(words)
