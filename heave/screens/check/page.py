"""Compensator check: the verdict for this hour, what governs it, what to set and what would help."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave.judging import Check
from heave.planning.rig import load_over_stroke
from heave.screens import every_page, pieces, state
from heave.screens.check import proofs, remedies, tiles, top_of_page, verdict, working
from heave.screens.figures.bit_band import bit_figure
from heave.screens.figures.curves import load_figure
from heave.screens.figures.spectra import spectra_figure
from heave.screens.figures.stroke_column import stroke_figure
from heave.screens.figures.tables import PERIOD, of_bit, of_checks, of_stroke
from heave.screens.figures.utilisation import utilisation_figure
from heave.screens.inputs import folded
from heave.screens.run_queue import RUN_QUEUE

# What is drawn first is sent first: after the answer what is quick to draw, and last what takes computing.
result, system, look = state.assessment(), state.system(), every_page.look()
plan, responses, setting = result.plan, result.responses, result.setting
ranked = result.by_utilisation
panel, word, proof = top_of_page.drawn()
shown, quiet = verdict.without_quiet_links(ranked)


def bars(place: DeltaGenerator, checks: Sequence[Check], name: str = "Every check, most used first") -> None:
    """The picture of the checks, with what simulation gives."""
    keys = [check.key for check in checks]
    told = {figure.key: figure for figure in proof.figures if figure.key in keys} if proof is not None else {}
    drawing = utilisation_figure(checks, plan.caution_level, look, system, told)
    pieces.picture(drawing, name, partial(of_checks, checks, system, told), place)


def links() -> None:
    """The bars of the quiet links of the hoisting path, and the working of each."""
    bars(st.empty(), quiet, "Hoisting path")
    for check in quiet:
        st.markdown(f"#### {check.name}\n\n{working.working_text(check, system)}")


def said() -> str:
    """The room left, what simulation says and what is in doubt."""
    lines = verdict.room(result, state.room(), system), verdict.simulation(result, proof)
    RUN_QUEUE.pause()
    return "  \n".join(filter(None, (*lines, verdict.in_doubt(state.doubt()))))


budget = responses.stroke
with st.container(key="board" if budget is not None else None):
    if budget is not None:
        states = {check.key: check.state for check in result.checks}
        sides = (states.get("stroke_rising", result.verdict), states.get("stroke_falling", result.verdict))
        st.subheader("Stroke column, to scale")
        drawing = stroke_figure(budget, look, system, *sides)
        pieces.picture(drawing, "Stroke column", partial(of_stroke, budget, system))
    st.subheader("Every check, most used first")
    picture = st.empty()
    bars(picture, shown)
if quiet:
    st.caption(f"{verdict.quiet_words(quiet)}; they are under the working below.")
of_proof = st.empty()
proofs.note(of_proof, result, proof)

RUN_QUEUE.pause()
sentences = panel.markdown(said())

st.subheader("What to set, what to expect")
tiles.draw(result, system)

st.subheader("What would help")
helping = st.container()

curve = load_over_stroke(plan, setting) if plan.operation.compensated else None
with st.container(key="curves-two" if curve is not None else None):
    st.subheader("Sea and heave at the hoist")
    pieces.chart(
        spectra_figure(responses, look, system, tiles.free_periods(result)),
        "spectra",
        "Sea spectrum, heave spectrum and heave per wave over period",
        name="Sea and heave at the hoist",
        across=PERIOD,
    )
    st.caption("Even in frequency, so areas are energy; heave per wave has every direction in it.")
    if curve is not None:
        st.subheader("Load over the stroke")
        pieces.chart(
            load_figure(curve, look, system, budget, plan.compensator.compensated_rating),
            "load",
            "Load on the compensator over its stroke, vessel rising and falling",
            name="Load over the stroke",
        )
        st.caption("Between the two lines lies what seal friction takes and gives.")
if responses.bit is not None:
    st.subheader("Weight on bit between its limits")
    limits = (plan.operation.wob_low, plan.operation.wob_high)
    drawing = bit_figure(responses.bit, look, system, *limits)
    made = partial(of_bit, responses.bit, system, *limits)
    pieces.picture(drawing, "Weight on bit between its limits", made)
    st.caption(
        "Low is with friction alone, nominal with the ringing of the string where friction turns round, high at the "
        "high end of simulation. "
        "Slow travel from the start position is in all three."
    )

st.subheader("Working of every check")
with st.container(gap="xsmall"):
    opened = [working.draw(check, system, None if proof is None else proof.of(check.key)) for check in shown]
    if quiet:
        folded(verdict.quiet_words(quiet), "quiet-links", links)

st.subheader("Cautions")
every_page.cautions(result.cautions)

RUN_QUEUE.pause()
with helping:
    remedies.draw(state.remedies())

# Last of all what takes seconds: everything above is on the screen, and what it changes is written again.
if proof is None and proofs.wanted(result):
    proof = proofs.made(of_proof, plan)
    proofs.note(of_proof, result, proof)
    word.markdown(every_page.headline(result.verdict, verdict.answer_words(result, proof)))
    bars(picture, shown)
    sentences.markdown(said())
    for check, place in zip(shown, opened, strict=True):
        if place is not None:
            place.markdown(working.working_text(check, system, proof.of(check.key)))
