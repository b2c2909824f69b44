"""What would help, on the check page: each change with its computed effect and a button that takes it."""

from __future__ import annotations

import streamlit as st

from heave.judging import Remedy
from heave.planning import Plan
from heave.screens import pieces, state
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import button, inside, plain


def draw(offered: tuple[Remedy, ...]) -> None:
    """What would help, each with its computed effect and a button that takes it."""
    if not offered:
        st.caption("Nothing tried brings the governing utilisation down by 0.02 or more.")
    pieces.told("remedy")
    system = state.system()
    for place, remedy in enumerate(offered):
        words = remedy.words(system)
        with st.container(key=f"remedy-{place}"):
            st.markdown(f"**{plain(words)}**  \n:small[:gray[{plain(remedy.side_effect)}]]")
            st.markdown(_effect(remedy))
            if remedy.plan is not None:
                take, said = state.acting("remedy", state.take), f"Taken into the plan: {words}."
                about = f"Put this change in the plan: {plain(words)}"
                button("Use this", f"remedy:{place}", take, remedy.plan, said, help=about)
    taken = state.kept("taken")
    if taken is not None and taken[1] == state.plan():
        button("Undo the change taken", "undo", state.acting("remedy", _undo), taken[0])


def _effect(remedy: Remedy) -> str:
    before, after = (utilisation_text(value) for value in (remedy.before, remedy.after))
    governed = plain(inside(remedy.governed_by or ""))
    then = f"  \n:small[:gray[then governed by {governed}]]" if governed else ""
    return f"{before} → **{after}** {plain(remedy.verdict)}{then}"


def _undo(before: Plan) -> None:
    state.keep("taken", None)
    before = before.changed(progress=before.progress.joined(state.plan().progress))
    state.replace_plan(before, "The plan is as it was before the change.")
