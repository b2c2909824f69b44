"""The answers to one question about a file: buttons for the likely ones, a list for the others, a box where typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

import streamlit as st

from heave.screens import state
from heave.screens.inputs import STAYS, button, plain, sentence

Take = Callable[[str, str], None]
"""What takes an answer: the slot of the file and what was answered."""

KNOWN: Final = "What the file does not say itself: answer from what you know of it."


def name_of(file_name: str, longest: int, without: str) -> str:
    """What to call what a file holds: the file's name, printable and short enough, or a word for one without."""
    return "".join(letter for letter in file_name if letter.isprintable())[:longest] or without


def ways_out(slot: str, kept: str, before: Any, leave: Callable[[], None]) -> None:
    """Buttons back to the draft `before` the last answer, where there is one, and away from the file.

    Parameters
    ----------
    slot : name of the file in the keys of the buttons
    kept : name under which its draft is kept
    before : the draft to go back to, or None
    leave : drops the file
    """
    with st.container(horizontal=True):
        if before is not None:
            button("Back one answer", f"{slot}:back", state.keep, kept, before)
        button("Leave the file", f"{slot}:leave", leave)


def answers(
    slot: str,
    key: str,
    buttons: Mapping[str, str],
    take: Take,
    *,
    others: Sequence[str] = (),
    others_label: str = "Another",
    hint: str = "",
    typed: bool = False,
) -> None:
    """Draw what may be answered to the question `key`.

    Parameters
    ----------
    slot : name under which the file is kept
    key : of the question
    buttons : the likely answers, each with its words; without any there is a box
    take : takes the answer
    others : further answers, in a list named `others_label`
    others_label : name of the list
    hint : shown in the empty box
    typed : a box beside the buttons
    """

    def taken(name: str) -> None:
        given = st.session_state[name]
        if given is not None and str(given).strip():
            take(slot, str(given).strip())

    for option, words in buttons.items():
        button(sentence(plain(words)), f"{slot}:answer:{key}:{option}", take, slot, option, width="stretch")
    if typed or not buttons:
        name = f"heave:{slot}:typed:{key}"
        st.text_input("Answer", key=name, placeholder=hint, on_change=taken, args=(name,), help=KNOWN)
    if others:
        name = f"heave:{slot}:other:{key}"
        st.selectbox(others_label, others, None, key=name, on_change=taken, args=(name,), help=KNOWN, **STAYS)
