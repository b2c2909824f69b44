"""What every page has: the look of the theme, the style sheet, messages, cautions."""

from __future__ import annotations

from base64 import b64encode
from pathlib import Path
from typing import Any, Final

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave.files.rigs import demo_compensators, demo_plan, demo_vessels
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.planning import Plan
from heave.screens import pieces, state
from heave.screens.figures.look import Look, look_for, mark_svg
from heave.screens.inputs import plain, sentence
from heave.screens.own_files import text_of

NAME: Final = "Heave and compensator planning"
PURPOSE: Final = "Will this job hold in this sea, until when, and what is to be set?"

_FOLDER: Final = Path(__file__).parent
ICON: Final = "data:image/png;base64," + b64encode((_FOLDER / "images" / "icon.png").read_bytes()).decode(
    "ascii"
)
"""The page's icon as an address: a file of it would be opened with an imaging library that takes 3 MB."""

_REST: Final = "heave:unsaid"

SLUGS: Final = {WITHIN: "within", NEAR: "near", OVER: "over", NOT_ASSESSED: "none"}
"""Each verdict in the keys the style sheet knows."""

TONES: Final = {WITHIN: "blue", NEAR: "orange", OVER: "red", NOT_ASSESSED: "gray"}

MOST_COLUMNS: Final = 20
"""Of a table that a phone shows turned, a column for each row; the style sheet has to know how many there are."""

_ROWS: Final = "".join(
    f"[class*=st-key-table-]:has(th:nth-child({count}):last-child){{--heave-rows:{count}}}"
    for count in range(2, MOST_COLUMNS + 1)
)


def look() -> Look:
    """The look that goes with the theme on the screen."""
    return look_for(st.context.theme.type)


def style(look_: Look) -> None:
    """The style sheet with the colours of the theme; constants only, no text from anyone."""
    colours = {
        "line": f"{look_.line}66",
        "track": f"{look_.track}55",
        "muted": look_.muted,
        "ground": look_.ground,
        "chosen": look_.words(WITHIN),
        **{slug: look_.fill(word) for word, slug in SLUGS.items()},
    }
    named = "".join(f"--heave-{name}:{colour};" for name, colour in colours.items())
    st.html(f"<style>:root{{{named}}}{text_of('style.css')}{text_of('print.css')}{_ROWS}</style>")


def answer(verdict: str, words: str, **how: Any) -> DeltaGenerator:
    """The large word of a page, in the colour of a verdict and beside its mark; returns its place."""
    st.image(mark_svg(verdict, look(), 52), width=52, alt=f"Mark of: {sentence(verdict)}")
    return st.markdown(headline(verdict, words), **how)


def verdict(state_: str, words: str, lines: str, caption: str = "") -> tuple[DeltaGenerator, DeltaGenerator]:
    """The answer of a page in its frame: the large word, lines of Markdown beside it, and what it was computed for.

    Returns the frame, in which more may be told later, and the place of the large word; the style sheet lays the pieces
    out.
    """
    frame = st.container(key=f"verdict-check-{SLUGS[state_]}")
    with frame:
        word = answer(state_, words)
        st.markdown(lines)
        if caption:
            st.caption(caption)
    return frame, word


def headline(verdict: str, words: str) -> str:
    """The large word in Markdown, and under it whether it is of the demo plan."""
    return f"## :{TONES[verdict]}[{words}]\n\n{mark(state.plan())}".rstrip()


def messages() -> None:
    """What the last action left to be said, but for what is said where the user acted."""
    pieces.told("")
    st.session_state[_REST] = st.container()


def unsaid() -> None:
    """Over the page, once it is drawn, what was to be said at a place that is not on it."""
    with st.session_state.pop(_REST, None) or st.container():
        for message in list(state.messages()):
            pieces.tell(message)


def brand() -> None:
    """The product's name and what it is for, in a line over every page."""
    with st.container(key="brand"):
        st.markdown(f"**{NAME}** · {PURPOSE}")


def mark(plan: Plan) -> str:
    """That the plan is the demo's, or its rig still an invented one, in Markdown; empty for a rig of one's own."""
    if plan.name == demo_plan().name:
        return f":small[**{plain(plan.name)}**, invented rig]"
    vessel, unit = demo_vessels().get(plan.vessel.name), demo_compensators().get(plan.compensator.name)
    return ":small[Invented rig]" if plan.vessel == vessel or plan.compensator == unit else ""


def cautions(lines: tuple[str, ...]) -> None:
    """The cautions, always in sight."""
    st.markdown("\n".join(f"- {plain(caution)}" for caution in lines))
