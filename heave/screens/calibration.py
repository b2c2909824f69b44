"""The heave calibration on the screens: a line on every page while it is in use, and taking or removing it."""

from __future__ import annotations

import streamlit as st

from heave.judging import calibration_doubt
from heave.screens import state
from heave.screens.inputs import button, plain
from heave.units import significant


def banner() -> None:
    """On every page, while heave is calibrated: by how much, and a button that takes it out."""
    factor, margin = state.plan().heave_calibration, state.plan().calibration_margin
    if factor == 1:
        return
    with st.container(border=True, horizontal=True, vertical_alignment="center", key="calibration"):
        st.markdown(
            f"**Heave × {plain(significant(factor))}**: calibrated from a measured record, "
            f"and {significant(100 * margin, 2)}\u00a0% more for its length, in every figure here. "
            f"{plain(calibration_doubt(state.plan()))}",
            width="stretch",
        )
        button("Remove the calibration", "calibration:remove", remove)


def take(factor: float, margin: float, name: str) -> None:
    """Record a factor and its margin in the plan."""
    state.try_edit(
        lambda plan: plan.changed(heave_calibration=factor, calibration_margin=margin),
        f"Heave is now multiplied by {significant(factor)}, as {name} has it, "
        f"and {significant(100 * margin, 2)}\u00a0% more for the length of the record.",
    )


def remove() -> None:
    """Back to the response as given."""
    state.try_edit(
        lambda plan: plan.changed(heave_calibration=1.0, calibration_margin=0.0),
        "Heave is as the response gives it.",
    )
