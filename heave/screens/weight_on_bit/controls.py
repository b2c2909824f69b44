"""What to run on the weight-on-bit page, asked in the driller's terms."""

from __future__ import annotations

import dataclasses
import math
from typing import Any, Final

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave import fields
from heave.errors import InputError
from heave.planning import Plan
from heave.screens import state
from heave.screens.inputs import STAYS, number_of, pick, plain, sentence, shown_number, typed_number
from heave.simulation.comparisons import COMPARISONS, Variant, why_not
from heave.simulation.scenario import ASKED, DURATION, HAPPENINGS, SOURCES, Happening, Scenario, why_left_out
from heave.units import UNIT_SYSTEMS, display_value, round_number, show, unit_of, with_unit

SHOWN: Final = "The plan by itself, or the plan beside another set-up; one that it cannot have says why."
HEAVE: Final = "The plan's own sea, a regular wave, or a record brought under Measured heave."

RECORD: Final = "heave record"
"""Where the measured heave is kept for the session."""


def typed(
    place: DeltaGenerator,
    name: str,
    label: str,
    start: float,
    low: float,
    high: float,
    kind: str = "number",
    whole: bool = False,
) -> float:
    """A number typed on this page, SI, its box in `place`; what cannot be used says so and the last good one stays."""
    system = state.system()
    unit = unit_of(kind, system).symbol
    kept: float | None = state.kept(f"wob:{name}")
    good = start if kept is None else kept
    ends = " to ".join(round_number(display_value(end, kind, system)) for end in (low, high))
    allowed = f"{'a whole number ' if whole else ''}from {ends}"
    about = f"Of this run only, not in the plan. Allowed: {with_unit(allowed, unit)}."
    shown, text = _box(place, name, f"{label} ({unit})" if unit else label, kind, good, help=about)
    try:
        value = good if text == shown else typed_number(text, label, kind, system)
        if not low <= value <= high or (whole and value != math.floor(value)):
            raise InputError(label, text, unit or None, allowed)
    except InputError as error:
        place.markdown(f":red[**Not taken.** {plain(f'{error}. Still used: {show(good, kind, system)}')}]")
        return good
    state.keep(f"wob:{name}", value)
    return value


def _box(
    place: DeltaGenerator, name: str, label: str, kind: str, good: float | None, **how: Any
) -> tuple[str, str]:
    """A box that begins with the `good` number: what that is in the units on the screen, and what stands in the box.

    Of two unit systems only the one on the screen has a box, so that a change of units takes the number along.
    """
    system, stem = state.system(), f"heave:wob:{name}"
    for other in UNIT_SYSTEMS:
        if other != system:
            st.session_state.pop(f"{stem}:{other}", None)
    shown, key = shown_number(good, kind, system), f"{stem}:{system}"
    st.session_state.setdefault(key, shown)
    return shown, place.text_input(label, key=key, **how, **STAYS)


def comparison(plan: Plan) -> str:
    """Which variants to show; one that this plan cannot have says why and the plan is shown alone."""
    how = {"width": 300, "label_visibility": "collapsed"}
    key: str = pick(st.selectbox, "Show", "wob:comparison", COMPARISONS, SHOWN, **how)
    reason = why_not(plan, key)
    if reason:
        st.markdown(f":red[**Not possible.** {plain(reason)}]")
        return "alone"
    return key


def scenario() -> Scenario:
    """Heave, duration, and what happens during the run, asked behind two buttons."""
    fold = st.popover("Heave and time")
    with fold:
        source = _source()
        seed, height, period = 1.0, 3.0, 10.0
        if source == "sea":
            seed = typed(fold, "seed", "Seed of the sea", seed, 0, 1e6, whole=True)
        elif source == "wave":
            height = typed(fold, "height", "Wave height, crest to trough", height, 0.1, 30.0, "length")
            period = typed(fold, "period", "Wave period", period, 2.0, 30.0, "period")
        shortest, longest = (length / 60 for length in DURATION)
        duration = 60 * typed(fold, "minutes", "Time simulated, min", 5.0, shortest, longest)
        drilled = hole()
    with st.popover("Make something happen"):
        told = happenings(duration)
    return Scenario(
        source=source,
        seed=int(seed),
        height=height,
        period=period,
        record=state.kept(RECORD) if source == "record" else None,
        duration=duration,
        happenings=told,
        hole=drilled,
    )


def _source() -> str:
    """Where the heave comes from; the plan's sea as long as no record has been brought."""
    picked: str = pick(st.selectbox, "Heave from", "wob:source", SOURCES, HEAVE)
    if picked == "record" and state.kept(RECORD) is None:
        st.info("Bring a record under Measured heave first. Until then the plan's sea is run.")
        return "sea"
    return picked


def hole() -> bool:
    """Whether hole is made during the run, eating stroke, and fed off as planned."""
    offsets = state.plan().offsets
    if offsets.penetration_rate == 0:
        return False
    rate = show(offsets.penetration_rate, "penetration", state.system())
    every = f"fed off every {offsets.feed_interval / 60:.4g} min"
    feed = every if offsets.feed_interval > 0 else "not fed off"
    words = f"Hole is made and eats stroke: {rate}, {feed}, as the plan has it"
    about = "Slow travel of the plan runs its course in the run as well."
    return st.checkbox(words, key="heave:wob:hole", help=about, **STAYS)


def happenings(duration: float) -> tuple[Happening, ...]:
    """What is made to happen, each with its time."""
    told = []
    for kind, words in HAPPENINGS.items():
        slug = kind.replace(" ", "_")
        about = "Once in the run, at the time typed beside it."
        if not st.checkbox(words, key=f"heave:wob:{slug}", help=about, **STAYS):
            continue
        left, right = st.columns(2, vertical_alignment="bottom")
        begin, label = min(60.0, duration / 2), f"{words}: after, s"
        time = typed(left, f"{slug}:time", label, begin, 0.0, DURATION[1])
        asked = {name: _asked(right, slug, name) for name in ASKED.get(kind, ())}
        if time > duration:
            st.markdown(":red[**After the end of the run:** it does not happen.]")
            continue
        told.append(Happening(kind, time, **asked))
    return tuple(told)


def _asked(place: DeltaGenerator, slug: str, name: str) -> Any:
    """A further number of something that happens, as its field declares it; the last good one where it is refused."""
    about, system = fields.about(Happening, name), state.system()
    assert isinstance(about, fields.Quantity)
    start: Any = next(item.default for item in dataclasses.fields(Happening) if item.name == name)
    (good,) = state.kept(f"wob:{slug}:{name}") or (start,)
    label = f"{sentence(about.label)} ({unit_of(about.kind, system).symbol})"
    how = {"help": about.help or None, "placeholder": "empty" if about.optional else None}
    shown, text = _box(place, f"{slug}:{name}", label, about.kind, good, **how)
    value, refused = (good, "") if text == shown else number_of(text, about, system)
    if not refused:
        state.keep(f"wob:{slug}:{name}", (value,))
        return value
    place.markdown(f":red[**Not taken.** {plain(refused)}. The last one that was is still used.]")
    return good


def left_out(variants: tuple[Variant, ...], scenario: Scenario) -> list[str]:
    """In words, what cannot happen to a variant."""
    return [
        f"{HAPPENINGS[item.kind]} changes nothing for {variant.label}. {reason}"
        for item in scenario.happenings
        for variant in variants
        if (reason := why_left_out(item, variant, scenario))
    ]
