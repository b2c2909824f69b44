"""Method and sources: what is computed, how, after whom, and where it stops holding."""

from __future__ import annotations

import streamlit as st

from heave.judging import STANDING
from heave.planning import MODEL_DATE, MODEL_VERSION
from heave.screens import every_page, state
from heave.screens.inputs import folded
from heave.screens.method import chapters
from heave.screens.method.glossary import GLOSSARY
from heave.screens.rig import response

st.title("Method and sources")
every_page.messages()
st.caption(
    f"Model {MODEL_VERSION} of {MODEL_DATE}. What follows for each check is read from the check itself."
)

for heading, text in (*chapters.CHAPTERS, *chapters.WINDOWS, *chapters.SIMULATION):
    st.header(heading)
    st.markdown(text)

st.header("Words")
st.markdown("\n".join(f"- **{term.word}**: {term.meaning}" for term in GLOSSARY))

st.header("Every check")
chapters.rules(state.assessment(), state.system())

st.header("Operations")
chapters.operations()

read_from = state.plan().vessel.origin
if read_from is not None:
    st.header("Response of the vessel in the plan")
    response.origin_lines(read_from)

st.header("Files")
st.markdown(chapters.FILES)
folded("Every field of the plan file", "plan:fields", chapters.plan_fields)

st.header("Cautions that always hold")
every_page.cautions(STANDING)
