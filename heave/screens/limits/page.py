"""Operating limits: the largest sea for the plan over period, around the vessel, beside a swell, for each operation."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page, state
from heave.screens.limits import view

st.title("Operating limits")
every_page.messages()
view.growing()
shown = view.Shown.now()
view.headline(shown)
view.curves(shown)
view.beside(shown)
view.operations(shown)
view.tables(shown)
view.card(shown)
st.subheader("Cautions")
every_page.cautions(state.assessment().cautions)
