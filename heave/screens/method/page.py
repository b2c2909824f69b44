"""Method and sources: what is computed, how, after whom, and where it stops holding."""

from __future__ import annotations

import streamlit as st

from heave.planning import MODEL_DATE, MODEL_VERSION
from heave.screens import every_page, state
from heave.screens.method import chapters as method
from heave.screens.weather import method as weather_method
from heave.screens.weight_on_bit import method as weight_on_bit_method

st.title("Method and sources")
every_page.messages()
st.caption(
    f"Model {MODEL_VERSION} of {MODEL_DATE}. What follows for each check is read from the check itself."
)

for heading, text in (*method.CHAPTERS, *weather_method.CHAPTERS, *weight_on_bit_method.CHAPTERS):
    st.subheader(heading)
    st.markdown(text)

st.subheader("Every check")
result = state.assessment()
method.rules(result, state.system())

st.subheader("Operations")
method.operations()

st.subheader("Files")
st.markdown(method.FILES)

st.subheader("Cautions that always hold")
every_page.cautions(method.STANDING)
