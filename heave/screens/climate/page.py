"""Climate: how much of the time the operations can be worked, what costs the rest, and how long the rig waits."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page, state
from heave.screens.climate import run, source, store, view
from heave.screens.inputs import plain
from heave.studies.climate import Operability


def show(found: Operability) -> None:
    """The answer, and everything under it."""
    view.details(found, view.answer(found))


st.title("Climate")
every_page.messages()
if source.draw() and not run.running():
    diagram = store.diagram()
    if diagram is not None:
        answer = store.of_scatter(state.plan(), diagram, store.rule())
        if isinstance(answer, Operability):
            show(answer)
        else:
            st.error(plain(str(answer)))
    else:
        counted = run.results().get(store.rule())
        if counted is None or not store.same_question(counted.plan, state.plan()):
            if counted is not None:
                words = "The plan has changed since it was counted: count again for the plan as it is now."
                st.warning(words)
            run.button("Count the record", (store.rule(),), "one")
        if counted is not None:
            show(counted)
