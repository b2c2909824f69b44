"""An hour of the forecast in use as the plan of the sheet: picked here, judged as the weather window judges it."""

from __future__ import annotations

import streamlit as st

from heave.errors import InputError
from heave.files.seals import in_hour
from heave.planning import Plan
from heave.screens import state
from heave.screens.inputs import button, listed, numbered, plain
from heave.screens.weather import dialogue, store
from heave.screens.weather.clock import Clock
from heave.units import show
from heave.weather import WindowResult
from heave.weather.in_hour import plan_in_hour


def draw() -> None:
    """The hours of the forecast in use, and a button that takes one into the plan."""
    if dialogue.waiting("forecast"):
        st.info("A forecast is being asked about on the weather page: until then it has no hours.")
        return
    found = store.answer()
    if isinstance(found, InputError):
        st.info(plain(str(found)))
        return
    if not isinstance(found, WindowResult):
        st.info("The forecast is an ensemble: pick one of its members on the weather page.")
        return
    _pick(found)


def _pick(result: WindowResult) -> None:
    """Step, hour and sea, each from a list."""
    step = _listed("Step", "sheet step", numbered(judged.step.label for judged in result.steps))
    clock = store.clock()
    hours = {place: clock.both(when) for place, when in enumerate(list(result.forecast.times))}
    place = _listed("Hour", "sheet hour", hours)
    raised = False
    if result.steps[step].asked.factor is not None:
        seas = {0: "raised by the forecast factor α", 1: "as forecast, without the factor"}
        raised = _listed("Sea", "sheet sea", seas) == 0
    st.caption(
        "Sea, heading, load and tide of that hour take the place of the plan's own. Wind, current and the riser's own "
        "limits stay with the weather window."
    )
    button("Take this hour into the plan", "sheet:hour", take, result, step, place, raised)


def _listed(label: str, name: str, options: dict[int, str]) -> int:
    about = "Of the forecast in use on the weather window."
    return listed(label, f"heave:pick:{name}", name, options, about)


def take(result: WindowResult, step: int, place: int, raised: bool) -> None:
    """Take the plan in one hour, its title block saying which hour that is; what is refused is said.

    Parameters
    ----------
    result : of the forecast in use
    step, place : of the step and of the sample
    raised : the sea as the forecast factor asks for
    """
    with state.noted("This hour was not taken. "):
        new = plan_in_hour(state.plan(), result, step, place, raised=raised)
        words = hour_words(result, step, place, new, raised, store.source().sample)
        state.take(in_hour(new, words), f"In the plan now: {words}.")


def hour_words(
    result: WindowResult, step: int, place: int, plan: Plan, raised: bool, sample: bool = False
) -> str:
    """Which hour of which forecast the sea of a plan is, for which step, and how it stands to the forecast.

    Parameters
    ----------
    result : of the forecast
    step, place : of the step and of the sample
    plan : in that hour
    raised : whether the forecast factor was applied
    sample : whether the forecast is the invented one
    """
    when, clock = result.forecast.times[place], Clock()
    heights = (plan.sea.hs, float(result.forecast.batch.hs[place]))
    height, own = (show(hs, "length", "metric") for hs in heights)
    factor = result.steps[step].asked.factor is not None
    sea = "sea as forecast" + (", forecast factor not applied" if factor else "")
    if raised:
        sea = f"sea raised by the forecast factor from Hs {own} to {height}"
    name = result.forecast.name + (", invented sample" if sample else "")
    words = (
        f"{clock.stamp(when)} {clock.local(when).year} UTC of {name}; step {step + 1}, "
        f"{result.steps[step].step.label}; {sea}"
    )
    return " ".join(words.split())  # a text of the plan has plain spaces only
