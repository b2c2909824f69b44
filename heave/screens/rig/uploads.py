"""Files a user brings: parsed at once, questions asked where a file is silent, seen before being used.

What was read is kept as a frozen value, so the upload box can be emptied and no rerun loses it. A file
that cannot be read says why, with line and column, and changes nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Final

import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.files.buoy import BuoyFile, read_buoy_file
from heave.files.conventions import ConventionNeeded, Question
from heave.files.response_table import read_response_table
from heave.files.string import read_string, string_text
from heave.planning import rig
from heave.screens import every_page, figures, state
from heave.screens.inputs import WORDS, plain, sentence
from heave.units import show, significant

_ANSWERS: Final = {
    "lead": "lead: ahead of the crest",
    "lag": "lag: behind the crest",
    "travel_from_bow": "the way waves travel, 180° head sea",
    "from_bow_clockwise": "where waves come from, 0° head sea, clockwise",
}
_RESPONSE, _ASKED, _BUOY, _STRING = "response", "response:asked", "buoy", "string"


def box(name: str, label: str, types: list[str], take: Callable[[str, bytes], None], help_: str) -> None:
    """An upload box whose file is handed to `take` at once and which is then emptied."""
    key = state.upload_key(name)
    st.file_uploader(label, type=types, key=key, on_change=_taken, args=(name, key, take), help=help_)


def _taken(name: str, key: str, take: Callable[[str, bytes], None]) -> None:
    upload = st.session_state.get(key)
    if upload is None:
        return
    try:
        take(upload.name, upload.getvalue())
    except InputError as error:
        state.note("bad", f"{upload.name} was not read and nothing was changed. {error}")
    state.empty_upload(name)


def response_box() -> None:
    """Bring an own response table: read, asked about, looked at, used."""
    st.markdown("##### Your own response table")
    box(
        "response",
        "Response table (CSV)",
        ["csv", "txt"],
        _take_response,
        "Columns period_s, heading_deg, heave_m_per_m, heave_phase_deg, roll and pitch; see Method and sources.",
    )
    asked = state.kept(_ASKED)
    if asked is not None:
        _ask(*asked)
    ready = state.kept(_RESPONSE)
    if ready is not None:
        name, table = ready
        periods = [2 * math.pi / float(omega) for omega in (table.omega[-1], table.omega[0])]
        st.markdown(
            f"Read from {plain(name)}: {len(table.omega)} frequencies, periods {significant(periods[0])} to "
            f"{significant(periods[-1])} s, {len(table.heading)} headings "
            f"{significant(float(table.heading[0]))}° to {significant(float(table.heading[-1]))}°."
        )
        for words in rig.table_cautions(table):
            st.warning(plain(words))
        tried = rig.with_response(state.plan(), table, _vessel_name(name)).vessel
        curves = rig.response_curves(tried)
        if curves is not None:
            st.plotly_chart(
                figures.response_figure(curves, every_page.look()),
                key="response:new",
                config=figures.HOVER,
                theme=None,
                alt="Heave at the hoist of the response table just read",
            )
        _use_or_not(_RESPONSE, "Use this response", _use_response)


def _take_response(name: str, data: bytes) -> None:
    state.keep(_RESPONSE, None)
    state.keep(_ASKED, None)
    try:
        state.keep(_RESPONSE, (name, read_response_table(data)))
    except ConventionNeeded as needed:
        state.keep(_ASKED, (name, data, needed.questions))


def _ask(name: str, data: bytes, questions: tuple[Question, ...]) -> None:
    """One input for each convention the file does not state; nothing is assumed."""
    st.info(
        plain(f"{name} does not say what its numbers mean. Please answer from where the table comes from:")
    )
    for question in questions:
        words = sentence(question.words)
        key = f"heave:answer:{question.key}"
        if question.options:
            st.selectbox(words, question.options, index=None, key=key, format_func=_answer_words)
        else:
            st.text_input(words, key=key, placeholder="0 when it is the origin itself")
    left, right = st.columns(2)
    left.button(
        "Read with these answers", key="heave:answer", on_click=_answered, args=(name, data, questions)
    )
    right.button("Leave the file", key="heave:answer:leave", on_click=state.keep, args=(_ASKED, None))


def _answer_words(option: str) -> str:
    return _ANSWERS.get(option, option)


def _answered(name: str, data: bytes, questions: tuple[Question, ...]) -> None:
    arguments: dict[str, Any] = {}
    try:
        for question in questions:
            answer = st.session_state.get(f"heave:answer:{question.key}")
            if answer is None or not str(answer).strip():
                raise InputError(question.words, "no answer", None, "an answer to every question")
            key = question.key.removesuffix("_m")
            if question.key == "symmetric":
                arguments[key] = answer == "yes"
            else:
                arguments[key] = answer if question.options else parse_number(answer, question.words, "m")
        state.keep(_RESPONSE, (name, read_response_table(data, **arguments)))
    except InputError as error:
        state.note("bad", str(error))
        return
    state.keep(_ASKED, None)


def _use_response() -> None:
    name, table = state.kept(_RESPONSE)
    state.try_edit(
        lambda plan: rig.with_response(plan, table, _vessel_name(name)),
        f"Using the response of {name}.",
    )


def _vessel_name(name: str) -> str:
    return f"Vessel of {name}"[:100]


def string_box() -> None:
    """Bring or take away the sections of a string as CSV."""
    st.markdown("##### Sections as a file")
    st.download_button(
        "Save the sections (CSV)",
        data=lambda: string_text(state.plan().string.sections),
        file_name="string.csv",
        mime="text/csv",
        key="heave:string:save",
        on_click="ignore",
    )
    box(
        "string",
        "Your own sections (CSV)",
        ["csv", "txt"],
        _take_string,
        "Columns name, length_m, od_mm or od_in, id_mm or id_in, mass_kg_per_m or weight_lb_per_ft, grade.",
    )
    ready = state.kept(_STRING)
    if ready is not None:
        name, sections = ready
        system = state.system()
        rows = [
            f"| {plain(s.name)} | {show(s.length, 'length', system, 4)} "
            f"| {show(s.outer_diameter, 'diameter', system, 4)} | {show(s.inner_diameter, 'diameter', system, 4)} "
            f"| {show(s.linear_mass, 'linear_mass', system)} |"
            for s in sections
        ]
        head = ["| Section | Length | Outside | Inside | Mass in air |", "|---|--:|--:|--:|--:|"]
        st.markdown(f"Read from {plain(name)}:\n\n" + "\n".join(head + rows))
        _use_or_not(_STRING, "Use these sections", _use_string)


def _take_string(name: str, data: bytes) -> None:
    state.keep(_STRING, None)
    state.keep(_STRING, (name, read_string(data)))


def _use_string() -> None:
    name, sections = state.kept(_STRING)
    state.try_edit(lambda plan: rig.with_sections(plan, sections), f"Using the sections of {name}.")


def buoy_box() -> None:
    """Bring buoy spectra, pick one, say where its waves come from, and take it as the sea."""
    box(
        "buoy",
        "Wave-buoy spectra (text)",
        ["txt", "data_spec", "csv", "spec"],
        _take_buoy,
        "Spectral density by frequency band, a record a line, times in UTC.",
    )
    ready = state.kept(_BUOY)
    if ready is None:
        return
    name, found = ready
    system = state.system()
    st.markdown(
        f"Read from {plain(name)}: {len(found.spectra)} records"
        + (f", {len(found.missing)} missing and left out." if found.missing else ".")
    )
    count = range(len(found.spectra))
    place = st.selectbox(
        "Record",
        count,
        index=len(count) - 1,
        key="heave:buoy:record",
        persist_state="session",
        format_func=lambda i: f"{found.spectra[i].time}  Hs {show(found.spectra[i].hs, 'length', system)}",
    )
    place = min(place or 0, len(count) - 1)
    one, two, three = st.columns(3)
    one.text_input(
        "Waves come from (°), which the file does not say", key="heave:buoy:from", persist_state="session"
    )
    two.selectbox(
        "Spreading",
        ("cos-n", "cos-2s", "long-crested"),
        key="heave:buoy:spreading",
        persist_state="session",
        format_func=lambda kind: WORDS[kind],
    )
    three.text_input("Exponent", "4", key="heave:buoy:exponent", persist_state="session")
    omega, density = rig.sea_curve(found.spectra[place])
    st.plotly_chart(
        figures.spectrum_preview(omega, density, every_page.look(), system),
        key="buoy",
        config=figures.HOVER,
        theme=None,
        alt="Measured spectrum over period",
    )
    _use_or_not(_BUOY, "Use as the sea", lambda: _use_buoy(found, place))


def _take_buoy(name: str, data: bytes) -> None:
    state.keep(_BUOY, None)
    state.keep(_BUOY, (name, read_buoy_file(data)))


def _use_buoy(found: BuoyFile, place: int) -> None:
    kept = st.session_state
    try:
        direction = parse_number(kept["heave:buoy:from"], "Waves come from", "°")
        exponent = parse_number(kept["heave:buoy:exponent"], "Exponent")
        spectrum = rig.directed(found.spectra[place], direction, kept["heave:buoy:spreading"], exponent)
    except InputError as error:
        state.note("bad", str(error))
        return
    if state.plan().sea.systems:
        state.keep("systems", state.plan().sea)
    state.try_edit(
        lambda plan: rig.with_measured_sea(plan, spectrum), "The measured spectrum is the sea now."
    )


def _use_or_not(name: str, words: str, use: Callable[[], None]) -> None:
    left, right = st.columns(2)
    left.button(words, key=f"heave:{name}:use", type="primary", on_click=use, width="stretch")
    right.button(
        "Forget the file", key=f"heave:{name}:forget", on_click=state.keep, args=(name, None), width="stretch"
    )
