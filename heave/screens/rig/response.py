"""An own response table: read in stages, asked about one question at a time, judged, looked at and used.

What was read is kept as a frozen value, so a file that cannot be read changes nothing and no rerun loses an answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.files.conventions import RESPONSE_FORMAT, Question
from heave.files.response.questions import TYPED, ResponseQuestions, answer, held_against
from heave.files.response.reader import ResponseFile, hints, read_response_file
from heave.planning import Plan, rig
from heave.screens import every_page, file_questions, pieces, state
from heave.screens.figures.curves import response_figure
from heave.screens.inputs import button, folded, plain, sentence
from heave.units import counted, significant

LABEL: Final = "Response table (CSV, text or workbook)"
_HELP: Final = (
    "Long, a table for each heading, or one for each motion with headings over its columns. What it does not "
    "say is asked; see Method and sources."
)
_SLOT: Final = "response"
_DRAFT: Final = "response:draft"
_MOST_BUTTONS: Final = 13


@dataclass(frozen=True)
class Draft:
    """A file that is asked about: its bytes, what is known so far, and the draft before the last answer."""

    name: str
    data: bytes
    known: rig.ResponseConventions
    questions: tuple[Question, ...]
    hints: Mapping[str, str] = field(default_factory=dict)
    """By answer to the first question, what long waves say to it."""

    done: int = 0
    before: Draft | None = None


@dataclass(frozen=True)
class Ready:
    """A file that was read and waits to be used."""

    name: str
    data: bytes
    file: ResponseFile
    judged: rig.Plausibility


def box() -> None:
    """Bring an own response table: read, asked about, judged, looked at, used."""
    st.markdown("## Your own response table")
    pieces.upload(_SLOT, LABEL, ["csv", "txt", "xlsx", "dat", "out"], _take, help=_HELP)
    draft: Draft | None = state.kept(_DRAFT)
    if draft is not None:
        with st.container(border=True, key="asked-response"):
            _question(draft)
    ready: Ready | None = state.kept(_SLOT)
    if ready is not None:
        _show(ready)


def chart(plan: Plan, key: str, alt: str) -> bool:
    """The response of a plan's vessel over period; False where it has none without a sea."""
    curves = rig.response_curves(plan.vessel)
    if curves is not None:
        pieces.chart(response_figure(curves, every_page.look()), key, alt, name=alt)
    return curves is not None


def origin(found: rig.ResponseOrigin | None, place: str = "plan") -> None:
    """The file a response was read from and what its numbers were said to mean, folded, once in each `place`."""
    if found is not None:
        folded(plain(f"Read from {found.file}"), f"origin:{place}", partial(origin_lines, found))


def origin_lines(found: rig.ResponseOrigin) -> None:
    """Name, hash, notes and conventions of a file, as a list."""
    st.markdown("\n".join(f"- {words}" for words in _origin_words(found)))


def _origin_words(found: rig.ResponseOrigin) -> Iterator[str]:
    yield f"File {plain(found.file)}, SHA-256 `{found.sha256}`"
    yield from (plain(note) for note in found.notes)
    yield from (f"{plain(label)}: {plain(words)}" for label, words in found.conventions.said())


def _take(name: str, data: bytes) -> None:
    """Read a file by what was said of one with the same columns, else ask what it does not say."""
    _leave()
    known = state.plan().vessel.origin
    if known is not None:
        try:
            found = read_response_file(data, known.conventions, name=name)
        except InputError:
            found = None  # what was said of another file may not hold for this one
        if found is not None and found.origin.layout == known.layout != (RESPONSE_FORMAT,):
            _keep(name, data, found)
            said = f"{name} has the columns of {known.file}: read by what was said of that."
            state.note("good", f"{said} Look it through.")
            return
    _go(Draft(name, data, rig.ResponseConventions(), ()))


def _leave() -> None:
    state.keep(_DRAFT, None)
    state.keep(_SLOT, None)


def _keep(name: str, data: bytes, found: ResponseFile) -> None:
    state.keep(_DRAFT, None)
    state.keep(_SLOT, Ready(name, data, found, rig.plausibility(found.table, found.origin.conventions)))


def _go(draft: Draft) -> None:
    """Read the file, or keep what must be asked first."""
    try:
        found = read_response_file(draft.data, draft.known, name=draft.name)
    except ResponseQuestions as asked:
        said = hints(draft.data, asked.conventions, asked.questions[0])
        state.keep(_DRAFT, replace(draft, known=asked.conventions, questions=asked.questions, hints=said))
        return
    _keep(draft.name, draft.data, found)


def _question(draft: Draft) -> None:
    """One question with its answers as buttons, and what comes after it."""
    question = draft.questions[0]
    count = draft.done + len(draft.questions)
    st.markdown(f"## {plain(draft.name)}: question {draft.done + 1} of {count}")
    asked = f"{draft.name} does not say what its numbers mean. Please answer from what you know of the table."
    st.caption(plain(asked))
    st.markdown(f"**{plain(sentence(question.words))}**")
    shown = question.previews or question.options
    pairs = list(zip(question.options, shown, strict=True))[:_MOST_BUTTONS]
    buttons = {one: f"{words} ({draft.hints[one]})" if one in draft.hints else words for one, words in pairs}
    others = question.options[_MOST_BUTTONS:]
    column, typed = question.key.startswith("column:"), question.key in TYPED
    hint = "0 when it is the origin itself" if question.key.startswith("reference") else ""
    with st.container(horizontal=column, key="response-answers"):
        file_questions.answers(_SLOT, question.key, buttons, _answered, others=others, hint=hint, typed=typed)
    file_questions.ways_out(_SLOT, _DRAFT, draft.before, _leave)


def _answered(_: str, given: str) -> None:
    """Take an answer, and read on; a file that is then refused says why and is dropped."""
    draft: Draft = state.kept(_DRAFT)
    with state.noted():
        known = answer(draft.known, draft.questions[0], given)
        _leave()
        with state.noted(f"{draft.name} was not read and nothing was changed. "):
            _go(replace(draft, known=known, before=draft, done=draft.done + 1))


def _show(ready: Ready) -> None:
    """What was read, what long waves say to it, the response as a figure, and the buttons that use it."""
    table, found = ready.file.table, ready.file.origin
    periods = [2 * math.pi / float(omega) for omega in (table.omega[-1], table.omega[0])]
    st.markdown(
        f"Read from {plain(ready.name)}: {len(table.omega)} frequencies, periods {significant(periods[0])} to "
        f"{significant(periods[-1])}\u00a0s, {counted(len(table.heading), 'heading')} "
        f"{significant(float(table.heading[0]))}° to {significant(float(table.heading[-1]))}°."
    )
    st.markdown("\n".join(f"- {plain(note)}" for note in found.notes))
    _judgement(ready)
    origin(found, "new")

    def change(plan: Plan) -> Plan:
        return rig.with_response(plan, table, f"Vessel of {ready.name}"[:100], found)

    chart(change(state.plan()), "response:new", "Heave at the hoist of the response table just read")
    with st.container(horizontal=True):
        words = f"Using the response of {ready.name}."
        use = state.acting("use:response", partial(state.try_edit, change, words))
        button("Use this response", "response:use", use, type="primary")
        button("Ask again", "response:again", _again, ready)
        button("Forget the file", "response:forget", _leave)
    pieces.told("use:response")


def _again(ready: Ready) -> None:
    _leave()
    with state.noted():
        _go(Draft(ready.name, ready.data, rig.ResponseConventions(), ()))


def _judgement(ready: Ready) -> None:
    """What is wrong with a table and what would bring it right, as buttons: nothing is repaired by itself."""
    judged = ready.judged
    for finding in judged.findings:
        st.warning(plain(finding.words))
    own = ready.file.origin.layout == (RESPONSE_FORMAT,)
    if judged.repairs:
        what = ". Ask whoever made it which is true, and take that one."
        end = ": change it in the file." if own else what
        st.markdown(f"Long waves and both sides agree if **one** of these is read differently{end}")
        if own:
            st.markdown("\n".join(f"- {plain(repair.words)}" for repair in judged.repairs))
        for place, repair in enumerate(() if own else judged.repairs):
            words, read = plain(f"Read with {repair.words} instead"), (ready, repair.key, repair.value)
            button(words, f"response:repair:{place}", _repair, *read)
    elif judged.findings:
        st.markdown("No single convention, read differently, makes it agree: ask whoever made it.")
    elif not judged.not_judged:
        st.caption("Heave, roll and pitch go where long waves carry every hull, each with its phase.")
    for words in judged.not_judged:
        st.caption(plain(words))


def _repair(ready: Ready, key: str, value: str) -> None:
    with state.noted():
        known = held_against(ready.file.origin.conventions, key, value)
        _keep(ready.name, ready.data, read_response_file(ready.data, known, name=ready.name))
