"""A measured heave record: read, looked at, set against the prediction, run, and offered as a calibration."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.files.conventions import Question
from heave.files.record.layout import record_sheet
from heave.files.record.questions import TYPED, RecordQuestions
from heave.files.record.questions import given as allowed
from heave.files.record.reader import RecordFile, read_record_file
from heave.screens import calibration, every_page, file_questions, pieces, state
from heave.screens.check.working import steps_text
from heave.screens.figures.bit_share import record_figure
from heave.screens.figures.record_trace import trace_figure
from heave.screens.figures.tables import PERIOD
from heave.screens.inputs import button, folded, plain, sentence
from heave.screens.weight_on_bit.controls import RECORD
from heave.simulation.reconcile import Reconciliation, reconcile, unlike
from heave.simulation.scenario import MeasuredHeave
from heave.units import show, significant

LABEL: Final = "Heave record (CSV, text or workbook)"
HOW: Final = (
    "Heave, or vertical acceleration, in columns of any names and units; words above the table and other columns may "
    "be there. What the file does not say is asked. Columns time_s and heave_m, up positive, need no answer."
)
_DRAFT: Final = "heave record:draft"
_READY: Final = "heave record:ready"
_FILE: Final = "heave record:file"
_ANSWERS: Final = "heave record:answers"


@dataclass(frozen=True)
class Draft:
    """A file that is asked about: its bytes, what was answered, and the draft before the last answer."""

    name: str
    data: bytes
    answers: Mapping[str, str] = field(default_factory=dict)
    questions: tuple[Question, ...] = ()
    before: Draft | None = None


def measured() -> None:
    """The upload box, what is asked, what was found in the file, and what the record says beside the prediction."""
    st.markdown(
        "Heave measured at the hoist over ten minutes or more, in the sea and at the heading of this plan, tells "
        "whether the response of the vessel is right. Put the sea of that hour in the sidebar first."
    )
    pieces.upload("heave", LABEL, ["csv", "txt", "dat", "log", "xlsx"], _take, help=HOW)
    st.caption(
        "The record, and what is answered of it, are lost when the page is reloaded; bring the file again then. "
        "A calibration taken from it is part of the plan and stays."
    )
    draft: Draft | None = state.kept(_DRAFT)
    if draft is not None:
        with st.container(border=True, key="asked-record"):
            _question(draft)
    ready: RecordFile | None = state.kept(_READY)
    if ready is not None:
        with st.container(border=True, key="found-record"):
            _before_use(ready)
    record: MeasuredHeave | None = state.kept(RECORD)
    if record is None:
        return
    _told(record)
    try:
        against = reconcile(state.plan(), record.position, record.step)
    except InputError as error:
        st.warning(plain(f"The record can be run under Watch, but it cannot calibrate. {error}"))
        return
    _compared(against)
    _offered(against, record)


def _take(name: str, data: bytes) -> None:
    """Read a file by what was answered of one with the same columns, else ask; one that is refused changes nothing."""
    known: Mapping[tuple[str, ...], Mapping[str, str]] = state.kept(_ANSWERS) or {}
    answers = known.get(record_sheet(data).table.header, {})
    if answers:
        try:
            _go(Draft(name, data, answers))
        except InputError:
            answers = {}  # what was said of another file may not hold for this one
        else:
            state.note("good", f"{name} has the columns of a file before it: read by what was said of that.")
            return
    _go(Draft(name, data))


def _go(draft: Draft) -> None:
    """Read the file; keep what must be asked first, what must be looked at, or the record."""
    try:
        found = read_record_file(draft.data, draft.answers, name=draft.name)
    except RecordQuestions as asked:
        state.keep(_DRAFT, replace(draft, questions=asked.questions))
        state.keep(_READY, None)
        return
    _leave()
    if found.answers:
        state.keep(_ANSWERS, {**(state.kept(_ANSWERS) or {}), found.layout: found.answers})
    if found.answers or found.record.faults or _unlike(found):
        state.keep(_READY, found)
    else:
        _use(found)


def _leave() -> None:
    state.keep(_DRAFT, None)
    state.keep(_READY, None)


def _use(found: RecordFile) -> None:
    """Take a record in the place of the one before."""
    state.keep(_READY, None)
    state.keep(_FILE, found)
    state.keep(RECORD, MeasuredHeave(found.name, found.record.heave, found.record.step))


def _unlike(found: RecordFile) -> tuple[str, ...]:
    return unlike(state.plan(), found.record.heave, found.record.step, state.system())


def _question(draft: Draft) -> None:
    """One question with its answers, and the way back."""
    question = draft.questions[0]
    st.markdown(f"## {plain(draft.name)}: question {len(draft.answers) + 1}")
    st.caption(plain(f"{draft.name} does not say this. Please answer from what you know of the record."))
    st.markdown(f"**{plain(sentence(question.words))}**")
    shown = question.previews or question.options
    buttons = dict(zip(question.options, shown, strict=True))
    typed = question.key in TYPED
    with st.container(key="record-answers"):
        file_questions.answers("record", question.key, buttons, _answered, typed=typed, hint="such as 10")
    file_questions.ways_out("record", _DRAFT, draft.before, _leave)


def _answered(_: str, given: str) -> None:
    """Take an answer, and read on; a file that is then refused says why and is dropped."""
    draft: Draft = state.kept(_DRAFT)
    question = draft.questions[0]
    answers = {**draft.answers, question.key: given}
    with state.noted():
        allowed(answers, question)
        _leave()
        with state.noted(f"{draft.name} was not read and nothing was changed. "):
            _go(replace(draft, answers=answers, before=draft))


def _before_use(found: RecordFile) -> None:
    """What was found in a file and done about it, its picture, and the buttons that use it or leave it."""
    doubts = " ".join(_unlike(found))
    st.markdown(f"## {plain(found.name)}: look at it before it is used")
    st.markdown(_length(found))
    if doubts:
        st.warning(plain(f"Is this a record of this unit, in the sea of this plan? {doubts}"))
    _found(found, "new")
    with st.container(horizontal=True):
        words = "It is of this unit: use it" if doubts else "Use this record"
        button(words, "record:use", _use, found, type="primary")
        if found.answers:
            button("Ask again", "record:again", _again)
        button("Leave the file", "record:leave", _leave)


def _again() -> None:
    """Forget what was answered of files with these columns; the file is brought anew."""
    found, answers = state.kept(_READY), state.kept(_ANSWERS) or {}
    _leave()
    state.keep(_ANSWERS, {key: said for key, said in answers.items() if key != found.layout})
    state.note("good", f"What was said of {found.name} is forgotten. Bring it again.")


def _found(found: RecordFile, place: str) -> None:
    """Faults and what was done, notes of the reading, and the picture of file and use."""
    faults = found.record.faults
    lines = (f"- **{plain(sentence(fault.kind))}.** {plain(fault.words)}" for fault in faults)
    st.markdown("\n".join(lines) or "No spike, gap, drift or other fault was found.")
    told = {fault.words for fault in faults}
    for note in found.record.notes:
        if note not in told:
            st.caption(plain(note))
    for key, said in found.answers.items():
        st.caption(f"Answered: {plain(key.replace(':', ' of column ', 1).replace('_', ' '))}: {plain(said)}.")
    figure = trace_figure(found, every_page.look(), state.system())
    alt = "The record as its file has it under the heave that is used, faults marked, what is not used shaded"
    pieces.chart(figure, f"record:trace:{place}", alt, name=f"The record in {found.name}")


def _length(found: RecordFile) -> str:
    record = found.record
    given_up = sum(record.given_up)
    mean = show(float(record.heave.mean()), "length", state.system())
    words = (
        f"{len(record.heave)} values every {record.step:.6g} s, {record.duration / 60:.4g} min, mean {mean}"
    )
    unused = f"; {significant(given_up)} s of the file are not used"
    return f"{words}{unused if given_up > record.step else ''}."


def _told(record: MeasuredHeave) -> None:
    length = (len(record.position) - 1) * record.step
    st.markdown(
        f"Read from {plain(record.name)}: {len(record.position)} values every {record.step:.6g} s, "
        f"{length / 60:.4g} min. Watch can run it: choose Measured heave there. A reload forgets it: keep its file."
    )
    found: RecordFile | None = state.kept(_FILE)
    if found is not None:
        folded("What was found in the file", "record:found", partial(_found, found, "used"))
    button("Forget the record", "record:forget", state.keep, RECORD, None)


def _compared(against: Reconciliation) -> None:
    system = state.system()

    def length(value: float) -> str:
        return show(value, "length", system)

    predicted = against.predicted_sigma
    periods = [show(value, "period", system) for value in (against.period, against.predicted_period)]
    rows = [
        ("Standard deviation", length(against.sigma), length(predicted)),
        ("Significant, single amplitude", length(against.significant), length(2 * predicted)),
        ("Significant, double amplitude", length(against.significant_double), length(4 * predicted)),
        ("Zero-crossing period", *periods),
        ("Highest · lowest", f"{length(against.highest)} · {length(against.lowest)}", ""),
    ]
    st.markdown(pieces.markdown_table(("Heave at the hoist", "Measured", "Predicted, uncalibrated"), rows))
    figure = record_figure(against, every_page.look(), system)
    alt = "Measured heave spectrum in steps over the predicted one"
    pieces.chart(figure, "record", alt, name="Heave spectra, measured and predicted", across=PERIOD)


def _offered(against: Reconciliation, record: MeasuredHeave) -> None:
    st.header("Measured over predicted")
    st.markdown(
        f"**{plain(significant(against.ratio))}**, known to ± {significant(100 * against.uncertainty, 2)} % from the "
        "length of the record alone: one standard error, and in a third of such records it is more."
    )
    st.markdown(steps_text(against.working, state.system()))
    if against.factor is None:
        st.warning(plain(against.refused))
        return
    words = f"Calibrate the heave of this plan by {significant(against.factor)}"
    take, taken = state.acting("calibration", calibration.take), (against.factor, against.margin, record.name)
    button(words, "calibration:take", take, *taken, type="primary")
    pieces.told("calibration")
    st.caption(
        f"With it goes {significant(100 * against.margin, 2)} % for the length of the record, so that the checks use "
        "the safe end. It multiplies the heave at the hoist in every figure, is kept in the plan file, and stands at "
        "the top of every page until it is removed. Bounds: 0.5 to 1.5."
    )
