"""What every page has: the look of the theme, the style sheet, messages, cautions."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.screens import state
from heave.screens.figures import Look, look_for, mark_svg
from heave.screens.inputs import plain, sentence

SLUGS: Final = {WITHIN: "within", NEAR: "near", OVER: "over", NOT_ASSESSED: "none"}
"""Each verdict in the keys the style sheet knows."""

TONES: Final = {WITHIN: "blue", NEAR: "orange", OVER: "red", NOT_ASSESSED: "gray"}

_SHEET: Final = "".join(
    (Path(__file__).parent / name).read_text("utf-8") for name in ("style.css", "print.css")
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
    st.html(f"<style>:root{{{named}}}{_SHEET}</style>")


def answer(verdict: str, words: str, **how: Any) -> DeltaGenerator:
    """The large word of a page, in the colour of a verdict and beside its mark; returns its place."""
    st.image(mark_svg(verdict, look(), 52), width=52, alt=f"Mark of: {sentence(verdict)}")
    return st.markdown(headline(verdict, words), **how)


def headline(verdict: str, words: str) -> str:
    """The large word in Markdown."""
    return f"## :{TONES[verdict]}[{words}]"


def messages() -> None:
    """What the last action left to be said."""
    for tone, words in state.take_messages():
        (st.success if tone == "good" else st.error)(plain(words))


def cautions(lines: tuple[str, ...]) -> None:
    """The cautions, always in sight."""
    st.markdown("\n".join(f"- {plain(caution)}" for caution in lines))
