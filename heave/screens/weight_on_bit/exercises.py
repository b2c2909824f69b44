"""Exercises on the weight-on-bit page: a question, a reply that is graded, the film of it, the working, the point."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.planning import Plan
from heave.screens import state
from heave.screens.check.working import steps_text
from heave.screens.inputs import STAYS, plain
from heave.screens.weight_on_bit import runs, steps, watch
from heave.teaching import Exercise, Grade, exercises_for, film_of, grade, reply_of
from heave.units import display_value, show, significant, unit_of

FILM: Final = "The run of your plan, opened at the instant that shows what is asked."
WORKING: Final = "The formula with the numbers of your plan, and the answer."


def exercises() -> None:
    """One exercise at a time, with a list of those done; answers are of the plan as it is now."""
    system, plan = state.system(), state.plan().as_judged
    asked = {exercise.key: exercise for exercise in exercises_for(plan, system)}
    st.markdown(
        f"{len(asked)} questions about your own plan, in the order in which the load goes: string, compensator, gas, "
        "heave, bit, drilling line. Change the plan and the answers change with it. What you answer rightly is kept "
        "with the plan."
    )
    _done(plan, list(asked.values()))
    key = steps.picked("exercise", "Exercise", {key: one.title for key, one in asked.items()})
    with st.container(border=True):
        _one(asked[key], list(asked).index(key), system)
    steps.back_and_on("exercise", list(asked), key)
    if st.toggle("Show it in the film", key=f"heave:wob:film:{key}", help=FILM):
        _film(asked[key], plan, system)


def _one(exercise: Exercise, place: int, system: str) -> None:
    unit = unit_of(exercise.kind, system).symbol
    st.markdown(f"## {place + 1}. {plain(exercise.title)}")
    st.markdown(plain(exercise.question))
    box, press = st.columns([3, 1], vertical_alignment="bottom")
    key = f"heave:wob:reply:{exercise.key}:{system}"
    label, take = f"Your answer ({unit})" if unit else "Your answer", (exercise, key, system)
    about = "A number, with its unit if you like: 12 t, 27 klbf or 12,5."
    reply = box.text_input(label, key=key, on_change=_take, args=take, help=about, **STAYS)
    pressed = press.button("Check", key=f"heave:wob:check:{exercise.key}", type="primary", width="stretch")
    other = " Units of the other system are read too, typed behind the number." if unit else ""
    st.caption(f"Right within {100 * exercise.tolerance:g} % of the answer.{other}")
    if reply.strip() or pressed:
        _graded(exercise, reply, system)
    if st.toggle("Show the working", key=f"heave:wob:show:{exercise.key}", help=WORKING):
        st.markdown(steps_text(exercise.steps, system))
        st.markdown(plain(exercise.explanation))


def _take(exercise: Exercise, key: str, system: str) -> None:
    """Keep with the plan that an exercise was answered correctly; what is not read is told where it is graded."""
    try:
        value = reply_of(st.session_state[key], exercise.asked_for, exercise.kind, system)
    except InputError:
        return
    if grade(exercise, value).right:
        progress = state.plan().progress.with_answer(exercise.key, exercise.numbers)
        state.edit(lambda plan: plan.changed(progress=progress))


def _graded(exercise: Exercise, reply: str, system: str) -> None:
    try:
        value = reply_of(reply, exercise.asked_for, exercise.kind, system)
        graded = grade(exercise, value)
    except InputError as error:
        empty = "Nothing typed yet." if not reply.strip() else "Not read."
        words = error.allowed if not reply.strip() else str(error)
        st.markdown(f":red[**{empty}** {plain(words[:1].upper() + words[1:])}]")
        return
    if graded.right:
        answer = show(exercise.answer, exercise.kind, system)
        st.success(plain(f"Right: {answer}. {exercise.explanation}"))
    else:
        st.warning(plain(hint(graded, display_value(exercise.answer, exercise.kind, system))))


def hint(graded: Grade, answer: float) -> str:
    """What to look at when a reply is not right: its sign, a slip of units, or how far off it is."""
    ratio = 1 + graded.off
    if ratio < 0:
        return "Not right: the question is how much, without a sign."
    for factor in (1e3, 1e2, 60.0, 10.0):
        for slip in (factor, 1 / factor):
            if abs(ratio / slip - 1) < 0.05:
                return f"Not right, but by a factor of {significant(factor)}: look at the unit asked for."
    if not answer:
        return "Not right."
    size = ("much " if abs(graded.off) > 0.5 else "") + ("too large" if graded.off > 0 else "too small")
    return f"Not right: {size}. Try again, or show the working."


def _done(plan: Plan, asked: Sequence[Exercise]) -> None:
    """How many were answered correctly for the plan as it is, and which for other numbers."""
    found = [plan.progress.numbers_of(one.key) for one in asked]
    right = [n for n, one in enumerate(asked, 1) if found[n - 1] == one.numbers]
    other = [n for n, kept in enumerate(found, 1) if kept and n not in right]
    some = f": {', '.join(map(str, right))}" if 0 < len(right) < len(asked) else ""
    stale = f". For other numbers than this plan's: {', '.join(map(str, other))}" if other else ""
    st.progress(len(right) / len(asked), f"{len(right)} of {len(asked)} answered correctly{some}{stale}")
    if len(right) == len(asked):
        st.success("All answered correctly. The last one is the one to remember: hook load is not bit load.")


def _film(exercise: Exercise, plan: Plan, system: str) -> None:
    """The film of an exercise at its instant, found from the runs of its scene."""
    try:
        films, opens, said = film_of(exercise, plan, system)
    except InputError as error:
        st.error(plain(f"This film cannot be made of this plan. {error}"))
        return
    if runs.played_of(films[0].variants, films[0].scenario) is None:
        return
    made = (one.result for film in films for one in runs.kept_of(film.variants, film.scenario))
    st.caption(plain(f"What is shown: {said}" if said else "What is shown is the plan as it is, in its sea."))
    shown = films[0].variants, films[0].scenario
    watch.show_run(*shown, key=f"exercise:{exercise.key}", opens=opens(tuple(made)))
