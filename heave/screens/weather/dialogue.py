"""The questions about a file that is brought: one at a time at the top of the page, or why it was refused.

While a file is asked about or was refused, the page shows nothing else, so that no answer of another forecast stands
beside it. What is answered is kept with the plan by the names of the file's columns: the next file alike needs none.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

import streamlit as st

from heave import fields
from heave.errors import FileError, InputError
from heave.files.conventions import Question
from heave.files.forecast.answers import answer
from heave.files.forecast.questions import ForecastQuestions, suggest_mapping
from heave.files.forecast.reader import read_forecast
from heave.files.forecast.unsure import is_unsure, readings_of
from heave.planning import UTC_NAME, ForecastMapping, zone_names
from heave.screens import file_questions, paper, state
from heave.screens.inputs import button, plain, sentence
from heave.screens.weather import store
from heave.weather.worst import Reading

HEAD_BYTES: Final = 400_000
"""Most of a text file that is looked at for its questions [bytes]."""

MOST_BUTTONS: Final = 8
_APART: Final = ("height_unit", "period_kind", "direction_sense")
_LABELS: Final = {
    "column": "a column",
    "height_unit": "unit of heights",
    "period_kind": "kind of period",
    "direction_sense": "sense of directions",
    "direction_from": "direction of the waves",
    "time_zone": "time zone",
    "date_order": "order of day and month",
    "issued": "time of issue",
    "composition": "what makes up the sea",
    "rest_period": "period of the rest of the total",
    "statistic": "a figure over members",
    "unknown": "columns with names that are not known",
}


@dataclass(frozen=True)
class Draft:
    """A file that is asked about: its bytes, what is understood so far, and the draft before the last answer."""

    name: str
    data: bytes
    mapping: ForecastMapping | None = None
    issued: str | None = None
    apart: bool = False
    """Whether columns that are silent alike are asked about one by one."""

    questions: tuple[Question, ...] = ()
    done: int = 0
    before: Draft | None = None


@dataclass(frozen=True)
class Refusal:
    """A file that was not read, why, and what was understood of it."""

    error: InputError
    draft: Draft


def take(slot: str, name: str, data: bytes, issued: str | None = None) -> None:
    """Read a file by what was said of one with the same columns, else by its names; ask what is not said."""
    leave(slot)
    draft = Draft(name, data, issued=issued)
    remembered = store.remembered(header_of(data))
    if remembered is not None:
        try:
            _go(slot, replace(draft, mapping=remembered))
        except InputError:
            state.keep(f"{slot}:draft", None)  # what was said of another file may not hold for this one
        else:
            return
    _try(slot, draft)


def header_of(data: bytes) -> tuple[str, ...]:
    """Names of a file's columns; none where it has no table."""
    try:
        return suggest_mapping(head(data)).header
    except InputError:
        return ()


def head(data: bytes) -> bytes:
    """The first part of a large text, whole lines: enough to see its columns; a workbook as it is."""
    if len(data) <= HEAD_BYTES or data.startswith(b"PK"):
        return data
    end = data.rfind(b"\n", 0, HEAD_BYTES)
    return data[: end + 1] if end > 0 else data


def leave(slot: str) -> None:
    """Drop the file that is asked about or was refused."""
    state.keep(f"{slot}:draft", None)
    state.keep(f"{slot}:refused", None)


def again(slot: str, current: store.Source) -> None:
    """Ask about the file in use from the beginning."""
    leave(slot)
    store.forget(header_of(current.data))
    _try(slot, Draft(current.name, current.data))


def _try(slot: str, draft: Draft) -> None:
    try:
        _go(slot, draft)
    except InputError as error:
        state.keep(f"{slot}:draft", None)
        state.keep(f"{slot}:refused", Refusal(error, draft))


def _go(slot: str, draft: Draft) -> None:
    """Read the file, or keep what must be asked first; a column of time that can be only one is taken."""
    try:
        found = read(draft, head(draft.data))
        if len(draft.data) > HEAD_BYTES and isinstance(found, tuple):
            found = read(draft, draft.data)
    except ForecastQuestions as asked:
        first = asked.questions[0]
        if first.key == "column:time" and len(first.more) == 1:
            _go(slot, replace(draft, mapping=answer(asked.mapping, first, first.more[0])))
        else:
            state.keep(f"{slot}:draft", replace(draft, mapping=asked.mapping, questions=asked.questions))
    else:
        _use(slot, draft, found)


def read(draft: Draft, data: bytes) -> tuple[Reading, ...]:
    """A file by what is understood of it: one reading, or one for each kind its periods may be of."""
    how: dict[str, Any] = {
        "issued": draft.issued,
        "name": file_questions.name_of(draft.name, fields.MAX_TEXT, "forecast"),
    }
    if draft.mapping is not None and is_unsure(draft.mapping):
        return readings_of(data, draft.mapping, **how)
    return (read_forecast(data, draft.mapping, **how),)


def _use(slot: str, draft: Draft, readings: tuple[Reading, ...]) -> None:
    """Take a file into use, and keep what was said of its columns."""
    leave(slot)
    if draft.mapping is not None:
        store.remember(draft.mapping)
    mapping = draft.mapping or suggest_mapping(head(draft.data)).mapping
    more = readings if len(readings) > 1 else ()
    how: dict[str, Any] = {"readings": more, "mapping": mapping, "issued": draft.issued}
    taken = store.Source(draft.name, readings[0], draft.data, **how)
    if slot == "forecast":
        store.use(taken)
    else:
        state.keep(slot, replace(taken, data=b""))
    state.note("good", f"Using {draft.name}: {store.about(readings[0])}.")


def change(**rules: Any) -> None:
    """Read the forecast in use again by another rule for the whole file."""
    current = store.source()
    if current.mapping is None:
        return
    mapping = replace(current.mapping, **rules)
    _try("forecast", Draft(current.name, current.data, mapping, current.issued))


def issued(given: str) -> None:
    """Read the forecast in use again as issued at a time, UTC where it has no zone; empty: as it says itself."""
    current = store.source()
    with state.noted():
        _go("forecast", Draft(current.name, current.data, current.mapping, given.strip() or None))


def draw(slot: str) -> bool:
    """The question of a file that is asked about, or why it was refused; False where there is neither."""
    draft: Draft | None = state.kept(f"{slot}:draft")
    refusal: Refusal | None = state.kept(f"{slot}:refused")
    if draft is not None and draft.questions:
        with st.container(border=True, key=f"asked-{slot}"):
            _question(slot, draft)
    elif refusal is not None:
        _refusal(slot, refusal)
    return waiting(slot)


def waiting(slot: str) -> bool:
    """Whether a file is asked about or was refused: no answer of another forecast stands on the page then."""
    return state.kept(f"{slot}:draft") is not None or state.kept(f"{slot}:refused") is not None


def _question(slot: str, draft: Draft) -> None:
    """One question with its answers as buttons, what comes after it, and the first rows of the file."""
    question = draft.questions[0]
    groups = _groups(draft)
    st.markdown(f"## {plain(draft.name)}: question {draft.done + 1} of {draft.done + len(groups)}")
    alike = groups[0] if not draft.apart else groups[0][:1]
    columns = ", ".join(one.key.partition(":")[2] for one in alike)
    words = question.words
    if len(alike) > 1:
        words = words.replace("column " + question.key.partition(":")[2], f"columns {columns}")
        words = words.replace("does columns", "do columns").replace("is the height in", "are the heights in")
    st.markdown(f"**{plain(sentence(words))}**")
    _answers(slot, question)
    if len(alike) > 1:
        apart, words = (f"{slot}:draft", replace(draft, apart=True)), "They differ: ask one by one"
        button(words, f"{slot}:apart", state.keep, *apart)
    after = [_LABELS[group[0].key.partition(":")[0]] for group in groups[1:]]
    if question.key == "column:waves" and "height" in question.words:
        after += ["column of the period", "what its unit, kind of period and direction are"]
    if after:
        st.caption(f"Then still to be answered: {plain(', '.join(after))}.")
    guessed = suggest_mapping(head(draft.data), draft.mapping)
    rows = [dict(zip(guessed.header, row, strict=True)) for row in guessed.preview]
    st.dataframe(rows, hide_index=True, height=142, key=f"heave:{slot}:preview")
    paper.twin(slot, rows)
    file_questions.ways_out(slot, f"{slot}:draft", draft.before, partial(leave, slot))


def _groups(draft: Draft) -> list[list[Question]]:
    """The questions, those that one answer settles together."""
    groups: dict[str, list[Question]] = {}
    for question in draft.questions:
        key = question.key.partition(":")[0]
        together = key in _APART and not draft.apart
        groups.setdefault(key if together else question.key, []).append(question)
    return list(groups.values())


def _answers(slot: str, question: Question) -> None:
    """Buttons for the likely answers; a list for the others; a box where none can be listed."""
    if question.key == "time_zone":
        own = store.choices().time_zone
        buttons = {UTC_NAME: UTC_NAME}
        buttons |= {own: f"{own}, the local zone of the plan"} if own != UTC_NAME else {}
        others: tuple[str, ...] = tuple(zone for zone in zone_names() if zone not in buttons)
    elif question.key.startswith("column:"):
        buttons = {one: one for one in (question.more or question.options)[:MOST_BUTTONS]}
        others = tuple(one for one in question.options if one not in buttons)
    else:
        said = question.previews or question.options
        buttons = dict(zip(question.options, said, strict=True)) | {one: one for one in question.more}
        others = ()
    hint = "2026-03-04 06:00" if question.key == "issued" else "225"
    label = "Another zone" if question.key == "time_zone" else "Another column"
    file_questions.answers(
        slot, question.key, buttons, _answered, others=others, others_label=label, hint=hint
    )


def _answered(slot: str, given: str) -> None:
    """Take an answer, and read on."""
    draft: Draft = state.kept(f"{slot}:draft")
    question = draft.questions[0]
    with state.noted():
        if question.key == "issued":
            new = replace(draft, issued=given)
        elif draft.mapping is not None:
            new = replace(draft, mapping=answer(draft.mapping, question, given, alone=draft.apart))
        else:
            return
        try:
            _go(slot, replace(new, before=draft, done=draft.done + 1))
        except FileError as error:
            if error.line is None and question.key in ("issued", "direction_from"):
                raise  # the answer, and not the file
            state.keep(f"{slot}:draft", None)
            state.keep(f"{slot}:refused", Refusal(error, new))


def _refusal(slot: str, refusal: Refusal) -> None:
    """Why a file was not read and what to change in it, in the forecaster's words."""
    error = refusal.error
    line, column = getattr(error, "line", None), getattr(error, "column", None)
    places = [f"{word} {at}" for word, at in (("line", line), ("column", column)) if at]
    where = f"{sentence(', '.join(places))}: " if places else ""
    unit = f" {error.unit}" if error.unit else ""
    st.error(
        f"**{plain(refusal.draft.name)} was not read.** "
        f"{plain(f'{where}{error.what} is {str(error.value)[:80]!r}{unit}.')} "
        f"To be read it needs {plain(error.allowed)}."
    )
    st.markdown("Change that in the file, or ask its forecaster to, and bring it again below.")
    with st.container(horizontal=True):
        if "keep the last of them" in error.allowed.lower():
            button("Keep the last row of each time", f"{slot}:last", _keep_last, slot, refusal.draft)
        button(f"Back to {plain(store.source().name)}", f"{slot}:back", leave, slot)


def _keep_last(slot: str, draft: Draft) -> None:
    leave(slot)
    mapping = draft.mapping or suggest_mapping(head(draft.data)).mapping
    _try(slot, replace(draft, mapping=replace(mapping, repeated_times="keep last")))
