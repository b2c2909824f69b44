"""What to run on the weight-on-bit page, asked in the driller's terms."""

from __future__ import annotations

import math
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.planning import Plan
from heave.screens import state
from heave.screens.inputs import plain
from heave.simulation.comparisons import COMPARISONS, Variant, why_not
from heave.simulation.scenario import DURATION, HAPPENINGS, SOURCES, Happening, Scenario, applies
from heave.units import display_value, show, stored_value, unit_of

RECORD: Final = "heave record"
"""Where the measured heave is kept for the session."""

STRETCHES: Final = (20.0, 40.0, 60.0, 120.0)
"""Lengths of the stretch shown [s]."""


def typed(
    name: str, label: str, start: float, low: float, high: float, kind: str = "number", whole: bool = False
) -> float:
    """A number typed on this page, SI; what cannot be used says so and the last good one stays."""
    system = state.system()
    unit = unit_of(kind, system).symbol
    good: float = state.kept(f"wob:{name}")
    if good is None:
        good = start
    text = st.text_input(
        f"{label} ({unit})" if unit else label,
        f"{display_value(start, kind, system):.6g}",
        key=f"heave:wob:{name}:{system}",
        persist_state="session",
    )
    try:
        value = stored_value(parse_number(text, label, unit or None), kind, system)
        if not low <= value <= high or (whole and value != math.floor(value)):
            shown = [f"{display_value(end, kind, system):.4g}" for end in (low, high)]
            raise InputError(
                label,
                text,
                unit or None,
                f"{'a whole number ' if whole else ''}from {shown[0]} to {shown[1]}",
            )
    except InputError as error:
        st.markdown(f":red[**Not taken.** {plain(f'{error}. Still used: {show(good, kind, system)}')}]")
        return good
    state.keep(f"wob:{name}", value)
    return value


def comparison(plan: Plan) -> str:
    """Which variants to show; one that this plan cannot have says why and the plan is shown alone."""
    key: str = st.selectbox(
        "Show",
        tuple(COMPARISONS),
        key="heave:wob:comparison",
        persist_state="session",
        format_func=lambda option: COMPARISONS[option],
    )
    reason = why_not(plan, key)
    if reason:
        st.markdown(f":red[**Not possible.** {plain(reason)}]")
        return "alone"
    return key


def source() -> str:
    """Where the heave comes from; the plan's sea as long as no record has been brought."""
    found: str = st.selectbox(
        "Heave from",
        tuple(SOURCES),
        key="heave:wob:source",
        persist_state="session",
        format_func=lambda option: SOURCES[option],
    )
    if found == "record" and state.kept(RECORD) is None:
        st.info("Bring a record under Measured heave first. Until then the plan's sea is run.")
        return "sea"
    return found


def scenario(source: str) -> Scenario:
    """Heave from `source`, duration, and what happens during the run."""
    row = st.columns(3)
    seed, height, period = 1.0, 3.0, 10.0
    if source == "sea":
        with row[0]:
            seed = typed("seed", "Seed of the sea", 1, 0, 1e6, whole=True)
    elif source == "wave":
        with row[0]:
            height = typed("height", "Wave height, crest to trough", 3.0, 0.1, 30.0, "length")
        with row[1]:
            period = typed("period", "Wave period", 10.0, 2.0, 30.0, "period")
    with row[2 if source == "wave" else 1]:
        minutes = typed("minutes", "Time simulated, min", 5.0, DURATION[0] / 60, DURATION[1] / 60)
    return Scenario(
        source=source,
        seed=int(seed),
        height=height,
        period=period,
        record=state.kept(RECORD) if source == "record" else None,
        duration=60 * minutes,
        happenings=happenings(60 * minutes),
        hole=hole(),
    )


def hole() -> bool:
    """Whether hole is made during the run, eating stroke, and fed off as planned."""
    offsets, system = state.plan().offsets, state.system()
    rate = show(offsets.penetration_rate, "penetration", system)
    every = f"{offsets.feed_interval / 60:.4g}"
    if offsets.penetration_rate == 0:
        return False
    feed = f"fed off every {every} min" if offsets.feed_interval > 0 else "not fed off"
    words = f"Hole is made and eats stroke: {rate}, {feed}, as the plan has it"
    return st.checkbox(words, key="heave:wob:hole", persist_state="session")


def happenings(duration: float) -> tuple[Happening, ...]:
    """What is made to happen, each with its time."""
    found = []
    with st.expander("Make something happen during the run"):
        for kind, words in HAPPENINGS.items():
            left, middle, right = st.columns([4, 3, 3], vertical_alignment="bottom")
            slug = kind.replace(" ", "_")
            on = left.checkbox(words, key=f"heave:wob:{slug}", persist_state="session")
            if not on:
                continue
            with middle:
                time = typed(f"{slug}:time", f"{words}: after, s", min(60.0, duration / 2), 0.0, DURATION[1])
            share = 0.6
            if kind == "gas bank shut":
                with right:
                    share = typed("share", "Share of the open gas", 0.6, 0.01, 0.95, "fraction")
            if time > duration:
                st.markdown(":red[**After the end of the run:** it does not happen.]")
                continue
            found.append(Happening(kind, time, share))
    return tuple(found)


def left_out(variants: tuple[Variant, ...], happening: tuple[Happening, ...]) -> list[str]:
    """In words, what cannot happen to a variant."""
    return [
        f"{HAPPENINGS[item.kind]}: does not apply to {variant.label}."
        for item in happening
        for variant in variants
        if not applies(item.kind, variant)
    ]


def stretch_shown(duration: float, busiest: float) -> float:
    """Start of the stretch the film shows [s]: about the largest swing, or where the user says."""
    where = st.segmented_control(
        "Film",
        ("largest", "from"),
        default="largest",
        required=True,
        key="heave:wob:where",
        persist_state="session",
        format_func=lambda option: "about the largest swing" if option == "largest" else "from a time",
    )
    if where == "largest":
        return busiest
    start = typed("from", "Film from, s", 0.0, 0.0, DURATION[1])
    return min(start, max(duration - STRETCHES[0], 0.0))


def stretch_length() -> float:
    """How long a stretch the film shows [s]."""
    found: float = st.selectbox(
        "Length of the film",
        STRETCHES,
        index=1,
        key="heave:wob:length",
        persist_state="session",
        format_func=lambda option: f"{option:.0f} s",
    )
    return found
