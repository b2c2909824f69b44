"""Weather window: from a forecast to the hours that can be worked, how sure they are, and what ends them."""

from __future__ import annotations

import streamlit as st

from heave.planning.windows import EnsembleResult, WindowResult
from heave.screens import panels
from heave.screens.weather import ensemble, hindcast, inputs, source, store, summary, view


def ask() -> None:
    """What the windows are asked for, folded, two beside each other where there is room."""
    with st.container(key="curves"):
        left, right = st.columns(2, gap="small")
        with left:
            with st.expander(inputs.steps_label()):
                inputs.steps()
            with st.expander(inputs.alpha_label()):
                inputs.alpha()
        with right:
            with st.expander(source.label()):
                source.forecast_inputs()
            with st.expander(inputs.heading_label()):
                inputs.heading_and_time()


def forecast() -> None:
    """The windows in a forecast or in an ensemble."""
    source.mapping_form("forecast")
    ensemble.pick_member()
    answer = store.answer()
    if isinstance(answer.found, EnsembleResult):
        ensemble.answer(answer.found)
        ask()
        ensemble.shares(answer.found)
    elif isinstance(answer.found, WindowResult):
        view.answer(answer.found, answer.but_for_swell)
        ask()
        view.timeline(answer.found, answer.but_for_swell)
        view.windows(answer.found)
    elif answer.error is not None:
        summary.draw_headline(summary.not_assessed(answer.error), panels.look())
        ask()


st.title("Weather window")
panels.messages()
parts = {"Forecast": forecast, "Hindcast, years of seas": hindcast.draw}
tabs = st.tabs(tuple(parts), key="heave:tab:weather", on_change="rerun")
for tab, draw in zip(tabs, parts.values(), strict=True):
    if tab.open:
        with tab:
            draw()
