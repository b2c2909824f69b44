"""Compensator check: the verdict for this hour, what governs it, what to set and what would help."""

from __future__ import annotations

import streamlit as st

from heave.planning.equipment import load_over_stroke
from heave.screens import figures, panels, state
from heave.screens.check import tiles

found = state.results()
result, system, look = found.assessment, state.system(), panels.look()
plan, responses, setting = result.plan, result.responses, result.setting

st.title("Compensator check")
panels.messages()
panels.verdict(result, found.limiting, look)

budget = responses.stroke
states = {check.key: check.state for check in result.checks}
board = st.container(key="board")
if budget is None:
    right = board
else:
    left, right = board.columns([5, 8], gap="large")
    with left:
        st.subheader("Stroke column, to scale")
        sides = (states.get("stroke_rising", result.verdict), states.get("stroke_falling", result.verdict))
        st.plotly_chart(
            figures.stroke_figure(budget, look, system, *sides),
            key="stroke",
            config=figures.STILL,
            theme=None,
            alt=figures.stroke_words(budget, system),
        )
with right:
    st.subheader("Every check, most used first")
    st.plotly_chart(
        figures.utilisation_figure(result.by_utilisation, plan.caution_level, look, system),
        key="utilisation",
        config=figures.STILL,
        theme=None,
        alt="; ".join(f"{c.name} {panels.utilisation_words(c)}, {c.state}" for c in result.by_utilisation),
    )

st.subheader("What to set, what to expect")
tiles.draw(result, system)

st.subheader("What would help")
panels.remedies(found.remedies)

curve = load_over_stroke(plan, setting) if plan.operation.about.compensator == "working" else None
curves = st.container(key="curves")
left, right = (curves, curves) if curve is None else curves.columns(2, gap="large")
with left:
    st.subheader("Sea and heave at the hoist")
    st.plotly_chart(
        figures.spectra_figure(responses, look, system, tiles.free_periods(result)),
        key="spectra",
        config=figures.HOVER,
        theme=None,
        alt="Sea spectrum, heave spectrum and heave per wave over period",
    )
    st.caption("Even in frequency, so areas are energy; heave per wave has every direction in it.")
if curve is not None:
    with right:
        st.subheader("Load over the stroke")
        st.plotly_chart(
            figures.load_figure(curve, look, system, budget, plan.compensator.compensated_rating),
            key="load",
            config=figures.HOVER,
            theme=None,
            alt="Load on the compensator over its stroke, vessel rising and falling",
        )
        st.caption("Between the two lines lies what seal friction takes and gives.")
if responses.bit is not None:
    st.subheader("Weight on bit between its limits")
    limits = (plan.operation.wob_low, plan.operation.wob_high)
    st.plotly_chart(
        figures.bit_figure(responses.bit, look, system, *limits),
        key="bit",
        config=figures.STILL,
        theme=None,
        alt="Weight on bit with its low, nominal and high band",
    )
    st.caption(
        "Low, nominal and high count the friction force once, twice and three times: the string may ring. "
        "Slow travel from the start position is in all three."
    )

st.subheader("Working of every check")
with st.container(gap="xsmall"):
    for check in result.by_utilisation:
        panels.working(check, system)

st.subheader("Cautions")
panels.cautions(result.cautions)
