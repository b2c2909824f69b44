"""Hoisting: the reeved system with its loads, the weakest link, the lines and sheaves, and the work of the line."""

from __future__ import annotations

from functools import partial

import streamlit as st

from heave.screens import every_page, pieces, state
from heave.screens.figures.reeving import reeving_figure
from heave.screens.hoisting import hookload, ledger, loads
from heave.screens.inputs import folded
from heave.screens.rig import chain

result, system, look = state.assessment(), state.system(), every_page.look()
plan, found = result.plan, loads.of(result.plan.as_judged)

st.title("Hoisting")
every_page.messages()
loads.headline(result, found, system)

if plan.hoisting is None or found is None:
    st.markdown("Start one here and put its numbers in, or take the invented one to see it work.")
    chain.begin()
else:
    states = found.states(result.checks)
    with st.container(key="path-columns"):
        with st.container():
            st.subheader("The reeved system")
            drawing = reeving_figure(plan, plan.hoisting, found, states, look, system)
            made = partial(loads.as_table, found, states, system)
            pieces.picture(drawing, "The reeved system", made)
        with st.container():
            st.subheader("Loads on every part")
            loads.table(found, states, system)
            st.subheader("Lines and sheaves")
            loads.reeving(plan, found, system)
    loads.more(plan, found, system)

st.subheader("Hookload over the job")
hookload.panel()

if plan.hoisting is not None:
    st.subheader("Line work, slip and cut")
    ledger.draw(result, system)
    folded("Edit the hoisting path, top to bottom", "chain", chain.draw)
