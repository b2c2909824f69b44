"""The head of the check page, drawn and sent before everything else: its title, what is to be said, the verdict."""

from __future__ import annotations

from typing import Final

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave.screens import every_page, state
from heave.screens.check import proofs, verdict
from heave.simulation.proof import Proof

_PLACES: Final = "heave:top"


def draw() -> None:
    """The verdict of the session's plan, before anything that takes longer."""
    result, system = state.assessment(), state.system()
    proof = proofs.kept(result.plan)
    word, lines = verdict.answer_words(result, proof), verdict.governs(result, system)
    st.title("Compensator check")
    every_page.messages()
    drawn_at = every_page.verdict(result.verdict, word, lines, verdict.computed_for(result, system))
    st.session_state[_PLACES] = *drawn_at, proof  # the room is told in the frame later


def drawn() -> tuple[DeltaGenerator, DeltaGenerator, Proof | None]:
    """The panel of the verdict that was drawn, the place of its large word, and what was simulated of it by then."""
    found: tuple[DeltaGenerator, DeltaGenerator, Proof | None] = st.session_state.pop(_PLACES)
    return found
