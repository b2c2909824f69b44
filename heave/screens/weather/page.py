"""Weather window: from a forecast to the hours that can be worked, how sure they are, and what ends them."""

from __future__ import annotations

from datetime import timedelta

import streamlit as st

from heave.screens import every_page, pieces
from heave.screens.inputs import folded
from heave.screens.weather import ensemble, hindcast, inputs, morning, source, store, summary, view
from heave.weather import EnsembleResult, WindowResult


def ask() -> None:
    """What the windows are asked for, folded, two beside each other where there is room."""
    left, right = st.container(key="weather-inputs").columns(2, gap="small")
    parts = (
        (left, inputs.steps_label(), "weather:steps", inputs.steps),
        (left, inputs.alpha_label(), "weather:alpha", inputs.alpha),
        (right, source.label(), "weather:forecast", source.forecast_inputs),
        (right, inputs.heading_label(), "weather:heading", inputs.heading_and_time),
    )
    for place, label, name, draw in parts:
        with place:
            folded(label, name, draw)


def forecast() -> None:
    """The windows in a forecast or in an ensemble."""
    if source.asked("forecast", source.LABEL):
        return
    ensemble.pick_member()
    answer = store.answer()
    if isinstance(answer, EnsembleResult):
        ensemble.answer(answer)
        ask()
        ensemble.shares(answer)
    elif isinstance(answer, WindowResult):
        view.answer(answer)
        with st.container(key="weather-board"):
            # on a phone the style sheet puts the figures after the timeline
            with st.container(key="weather-figures"):
                view.figures(answer)
                view.plan(answer)
            ask()
            with st.container(key="weather-timeline"):
                view.timeline(answer)
        view.windows(answer)
    else:
        summary.draw_headline(summary.not_assessed(answer))
        ask()


@st.fragment(run_every=timedelta(seconds=store.to_next_hour()))
def hour_turns() -> None:
    """Once the hour has turned, draw the whole page again: the answer is of a present time that has moved on."""
    if store.hour_turned():
        st.rerun()


st.title("Weather window")
hour_turns()  # before the messages, which a page drawn again would have lost
every_page.messages()
pieces.tabs(
    "weather", {"Forecast": forecast, "Morning sheet": morning.draw, "Hindcast, years of seas": hindcast.draw}
)
