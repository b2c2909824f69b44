"""Guided exercises on the weight-on-bit page: a question, a reply that is graded, the working, the point of it."""

from __future__ import annotations

from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.screens import state
from heave.screens.check.working import steps_text
from heave.screens.inputs import STAYS, plain, typed_number
from heave.teaching.exercises import Exercise, Grade, exercises_for, grade
from heave.units import display_value, show, significant, unit_of

_PLACE: Final = "heave:wob:exercise"
_DONE: Final = "wob:exercises"


def exercises() -> None:
    """One exercise at a time, with a list of those done; answers are of the plan as it is now."""
    system = state.system()
    asked = {exercise.key: exercise for exercise in exercises_for(state.plan(), system)}
    keys = list(asked)
    st.markdown(
        f"{len(keys)} questions about your own plan, in the order in which the load goes: string, compensator, gas, "
        "heave, bit. Change the plan and the answers change with it."
    )
    bar = st.empty()  # filled last, when the answer just given is graded
    # labels must not change from run to run: the browser knows an option by its label
    key: str = st.selectbox(
        "Exercise",
        keys,
        key=_PLACE,
        **STAYS,
        format_func=lambda key: f"{keys.index(key) + 1}. {asked[key].title}" if key in asked else key,
    )
    place = keys.index(key) if key in asked else 0
    with st.container(border=True):
        _one(asked[keys[place]], place, system)
    back, on, _ = st.columns([1, 1, 2])
    for column, label, other in ((back, "Back", place - 1), (on, "Next", place + 1)):
        column.button(
            label,
            key=f"heave:wob:{label.lower()}",
            disabled=not 0 <= other < len(keys),
            on_click=_go,
            args=(keys, other),
            width="stretch",
        )
    right = [n for n, key in enumerate(keys, 1) if key in _done() and _done()[key].right]
    some = f": {', '.join(map(str, right))}" if 0 < len(right) < len(keys) else ""
    bar.progress(len(right) / len(keys), f"{len(right)} of {len(keys)} answered rightly{some}")
    if len(right) == len(keys):
        st.success("All answered rightly. The last one is the one to remember: hook load is not bit load.")


def _one(exercise: Exercise, place: int, system: str) -> None:
    unit = unit_of(exercise.kind, system).symbol
    st.markdown(f"#### {place + 1}. {plain(exercise.title)}")
    st.markdown(plain(exercise.question))
    box, press = st.columns([3, 1], vertical_alignment="bottom")
    key = f"heave:wob:reply:{exercise.key}:{system}"
    reply = box.text_input(f"Your answer ({unit})" if unit else "Your answer", key=key, **STAYS)
    press.button("Check", key=f"heave:wob:check:{exercise.key}", type="primary", width="stretch")
    st.caption(f"Right within {100 * exercise.tolerance:g} % of the answer.")
    if reply.strip():
        _graded(exercise, reply, system)
    if st.toggle("Show the working", key=f"heave:wob:show:{exercise.key}"):
        st.markdown(steps_text(exercise.steps, system))
        st.markdown(plain(exercise.explanation))


def _graded(exercise: Exercise, reply: str, system: str) -> None:
    try:
        graded = grade(exercise, typed_number(reply, "Your answer", exercise.kind, system))
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
    if not answer:
        return "Not right."
    size = ("much " if abs(graded.off) > 0.5 else "") + ("too large" if graded.off > 0 else "too small")
    return f"Not right: {size}. Try again, or show the working."


def _done() -> dict[str, Grade]:
    """Grades so far; they are forgotten when the plan changes, because the answers change with it."""
    if state.kept("wob:exercises:plan") != state.plan():
        state.keep("wob:exercises:plan", state.plan())
        state.keep(_DONE, {})
    grades: dict[str, Grade] = state.kept(_DONE) or {}
    return grades


def _go(keys: list[str], place: int) -> None:
    st.session_state[_PLACE] = keys[place]
