"""Guided exercises on the weight-on-bit page: a question, a reply that is graded, the working, the point of it."""

from __future__ import annotations

from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.screens import state
from heave.screens.inputs import plain
from heave.screens.weight_on_bit.watch import steps_text
from heave.teaching.exercises import Exercise, Grade, exercises_for, grade
from heave.units import display_value, show, significant, stored_value, unit_of

_PLACE: Final = "heave:wob:exercise"
_DONE: Final = "wob:exercises"


def exercises() -> None:
    """One exercise at a time, with a list of those done; answers are of the plan as it is now."""
    system = state.system()
    found = exercises_for(state.plan(), system)
    st.markdown(
        f"{len(found)} questions about your own plan, in the order in which the load goes: string, compensator, gas, "
        "heave, bit. Change the plan and the answers change with it."
    )
    bar = st.empty()  # filled last, when the answer just given is graded
    # labels must not change from run to run: the browser knows an option by its label
    key: str = st.selectbox(
        "Exercise",
        [exercise.key for exercise in found],
        key=_PLACE,
        persist_state="session",
        format_func=lambda option: _label(found, option),
    )
    place = next((n for n, exercise in enumerate(found) if exercise.key == key), 0)
    with st.container(border=True):
        _one(found[place], place, system)
    back, on, _ = st.columns([1, 1, 2])
    back.button(
        "Back",
        key="heave:wob:back",
        disabled=place == 0,
        on_click=_go,
        args=(found, place - 1),
        width="stretch",
    )
    on.button(
        "Next",
        key="heave:wob:next",
        disabled=place == len(found) - 1,
        on_click=_go,
        args=(found, place + 1),
        width="stretch",
    )
    right = {name for name, graded in _done().items() if graded.right}
    bar.progress(
        len(right) / len(found), f"{len(right)} of {len(found)} answered rightly{_numbers(found, right)}"
    )
    if len(right) == len(found):
        st.success("All answered rightly. The last one is the one to remember: hook load is not bit load.")


def _one(exercise: Exercise, place: int, system: str) -> None:
    unit = unit_of(exercise.kind, system).symbol
    st.markdown(f"#### {place + 1}. {plain(exercise.title)}")
    st.markdown(plain(exercise.question))
    box, press = st.columns([3, 1], vertical_alignment="bottom")
    key = f"heave:wob:reply:{exercise.key}:{system}"
    reply = box.text_input(
        f"Your answer ({unit})" if unit else "Your answer", key=key, persist_state="session"
    )
    press.button("Check", key=f"heave:wob:check:{exercise.key}", type="primary", width="stretch")
    st.caption(f"Right within {100 * exercise.tolerance:g} % of the answer.")
    if reply.strip():
        _graded(exercise, reply, system)
    if st.toggle("Show the working", key=f"heave:wob:show:{exercise.key}"):
        st.markdown(steps_text(exercise.steps, system))
        st.markdown(plain(exercise.explanation))


def _graded(exercise: Exercise, reply: str, system: str) -> None:
    unit = unit_of(exercise.kind, system).symbol
    try:
        value = stored_value(parse_number(reply, "Your answer", unit or None), exercise.kind, system)
        graded = grade(exercise, value)
    except InputError as error:
        st.markdown(f":red[**Not read.** {plain(str(error))}]")
        return
    state.keep(_DONE, {**_done(), exercise.key: graded})
    if graded.right:
        answer = show(exercise.answer, exercise.kind, system)
        st.success(plain(f"Right: {answer}. {exercise.explanation}"))
    else:
        st.warning(plain(hint(graded, display_value(exercise.answer, exercise.kind, system))))


def hint(graded: Grade, answer: float) -> str:
    """What to look at when a reply is not right: its sign, a slip of units, or how far off it is."""
    ratio = 1 + graded.off
    if ratio < 0:
        return "Not right: asked for is how much, without a sign."
    for factor in (1e3, 1e2, 60.0, 10.0):
        for slip in (factor, 1 / factor):
            if abs(ratio / slip - 1) < 0.05:
                return f"Not right, but by a factor of {significant(factor)}: look at the unit asked for."
    size = "large" if graded.off > 0 else "small"
    return (
        f"Not right: {'much ' if abs(graded.off) > 0.5 else ''}too {size}. Try again, or show the working."
        if answer
        else "Not right."
    )


def _done() -> dict[str, Grade]:
    """Grades so far; they are forgotten when the plan changes, because the answers change with it."""
    if state.kept("wob:exercises:plan") != state.plan():
        state.keep("wob:exercises:plan", state.plan())
        state.keep(_DONE, {})
    found: dict[str, Grade] = state.kept(_DONE) or {}
    return found


def _label(found: tuple[Exercise, ...], key: str) -> str:
    return next(
        (f"{n + 1}. {exercise.title}" for n, exercise in enumerate(found) if exercise.key == key), key
    )


def _numbers(found: tuple[Exercise, ...], right: set[str]) -> str:
    """Which ones, unless it is none or all."""
    if not 0 < len(right) < len(found):
        return ""
    return ": " + ", ".join(str(n + 1) for n, exercise in enumerate(found) if exercise.key in right)


def _go(found: tuple[Exercise, ...], place: int) -> None:
    st.session_state[_PLACE] = found[place].key
