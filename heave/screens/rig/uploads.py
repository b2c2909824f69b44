"""Files a user brings: parsed at once, questions asked where a file is silent, seen before being used.

What was read is kept as a frozen value, so the upload box can be emptied and no rerun loses it. A file
that cannot be read says why, with line and column, and changes nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import Any, Final

import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.files.buoy import BuoyFile, read_buoy_file
from heave.files.conventions import ConventionNeeded, Question
from heave.files.response_table import read_response_table
from heave.files.string import read_string, string_text
from heave.planning import Plan, rig
from heave.screens import every_page, figures, pieces, state
from heave.screens.inputs import STAYS, WORDS, plain, sentence
from heave.units import show, significant

_ANSWERS: Final = {
    "lead": "lead: ahead of the crest",
    "lag": "lag: behind the crest",
    "travel_from_bow": "the way waves travel, 180° head sea",
    "from_bow_clockwise": "where waves come from, 0° head sea, clockwise",
}
_RESPONSE, _ASKED, _BUOY, _STRING = "response", "response:asked", "buoy", "string"


def response_box() -> None:
    """Bring an own response table: read, asked about, looked at, used."""
    st.markdown("##### Your own response table")
    pieces.upload(
        _RESPONSE,
        "Response table (CSV)",
        ["csv", "txt"],
        _take_response,
        help="Columns period_s, heading_deg, heave_m_per_m, heave_phase_deg, roll and pitch; see Method and sources.",
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

        def change(plan: Plan) -> Plan:
            return rig.with_response(plan, table, f"Vessel of {name}"[:100])

        alt = "Heave at the hoist of the response table just read"
        response_chart(change(state.plan()), "response:new", alt)
        _use_or_not(_RESPONSE, "Use this response", change, f"Using the response of {name}.")


def response_chart(plan: Plan, key: str, alt: str) -> bool:
    """The response of a plan's vessel over period; False where it has none without a sea."""
    curves = rig.response_curves(plan.vessel)
    if curves is not None:
        pieces.chart(figures.response_figure(curves, every_page.look()), key, alt)
    return curves is not None


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
            options = question.options
            st.selectbox(words, options, None, lambda option: _ANSWERS.get(option, option), key=key)
        else:
            st.text_input(words, key=key, placeholder="0 when it is the origin itself")
    left, right = st.columns(2)
    asked = (name, data, questions)
    left.button("Read with these answers", key="heave:answer", on_click=_answered, args=asked)
    right.button("Leave the file", key="heave:answer:leave", on_click=state.keep, args=(_ASKED, None))


def _answered(name: str, data: bytes, questions: tuple[Question, ...]) -> None:
    with state.noted():
        answers = {question.key.removesuffix("_m"): _answer(question) for question in questions}
        state.keep(_RESPONSE, (name, read_response_table(data, **answers)))
        state.keep(_ASKED, None)


def _answer(question: Question) -> Any:
    """What was answered, as the reader takes it."""
    answer = st.session_state.get(f"heave:answer:{question.key}")
    if answer is None or not str(answer).strip():
        raise InputError(question.words, "no answer", None, "an answer to every question")
    if question.key == "symmetric":
        return answer == "yes"
    return answer if question.options else parse_number(answer, question.words, "m")


def string_box() -> None:
    """Bring or take away the sections of a string as CSV."""
    st.markdown("##### Sections as a file")
    pieces.save(
        "Save the sections (CSV)",
        partial(string_text, state.plan().string.sections),
        "string.csv",
        "heave:string:save",
    )
    pieces.upload(
        _STRING,
        "Your own sections (CSV)",
        ["csv", "txt"],
        partial(_take, _STRING, read_string),
        help="Columns name, length_m, od_mm or od_in, id_mm or id_in, mass_kg_per_m or weight_lb_per_ft, grade.",
    )
    ready = state.kept(_STRING)
    if ready is not None:
        name, sections = ready
        system = state.system()
        rows = (
            (
                plain(section.name),
                show(section.length, "length", system, 4),
                show(section.outer_diameter, "diameter", system, 4),
                show(section.inner_diameter, "diameter", system, 4),
                show(section.linear_mass, "linear_mass", system),
            )
            for section in sections
        )
        head = ("Section", "Length", "Outside", "Inside", "Mass in air")
        st.markdown(f"Read from {plain(name)}:\n\n{pieces.markdown_table(head, rows)}")
        _use_or_not(
            _STRING,
            "Use these sections",
            lambda plan: rig.with_sections(plan, sections),
            f"Using the sections of {name}.",
        )


def _take(slot: str, read: Callable[[bytes], Any], name: str, data: bytes) -> None:
    """Keep what is read under its slot; a file that is refused leaves it empty."""
    state.keep(slot, None)
    state.keep(slot, (name, read(data)))


def buoy_box() -> None:
    """Bring buoy spectra, pick one, say where its waves come from, and take it as the sea."""
    pieces.upload(
        _BUOY,
        "Wave-buoy spectra (text)",
        ["txt", "data_spec", "csv", "spec"],
        partial(_take, _BUOY, read_buoy_file),
        help="Spectral density by frequency band, a record a line, times in UTC.",
    )
    ready = state.kept(_BUOY)
    if ready is None:
        return
    name, file = ready
    system = state.system()
    missing = f", {len(file.missing)} missing and left out." if file.missing else "."
    st.markdown(f"Read from {plain(name)}: {len(file.spectra)} records{missing}")
    last = len(file.spectra) - 1
    place = st.selectbox(
        "Record",
        range(last + 1),
        last,
        lambda row: f"{file.spectra[row].time}  Hs {show(file.spectra[row].hs, 'length', system)}",
        key="heave:buoy:record",
        **STAYS,
    )
    place = min(place or 0, last)
    one, two, three = st.columns(3)
    one.text_input("Waves come from (°), which the file does not say", key="heave:buoy:from", **STAYS)
    kinds = ("cos-n", "cos-2s", "long-crested")
    two.selectbox("Spreading", kinds, 0, lambda kind: WORDS[kind], key="heave:buoy:spreading", **STAYS)
    three.text_input("Exponent", "4", key="heave:buoy:exponent", **STAYS)
    figure = figures.spectrum_preview(*rig.sea_curve(file.spectra[place]), every_page.look(), system)
    pieces.chart(figure, "buoy", "Measured spectrum over period")
    words = "The measured spectrum is the sea now."
    _use_or_not(_BUOY, "Use as the sea", partial(_with_spectrum, file, place), words)


def _with_spectrum(file: BuoyFile, place: int, plan: Plan) -> Plan:
    """A plan in a measured sea, from where and as wide as typed; the wave systems it had are kept for the way back."""
    typed = {name: st.session_state[f"heave:buoy:{name}"] for name in ("from", "spreading", "exponent")}
    direction = parse_number(typed["from"], "Waves come from", "°")
    exponent = parse_number(typed["exponent"], "Exponent")
    changed = rig.with_measured_sea(plan, file.spectra[place], direction, typed["spreading"], exponent)
    if plan.sea.systems:
        state.keep("systems", plan.sea)
    return changed


def _use_or_not(slot: str, words: str, change: Callable[[Plan], Plan], done: str) -> None:
    left, right = st.columns(2)
    use, forget = partial(state.try_edit, change, done), partial(state.keep, slot, None)
    left.button(words, key=f"heave:{slot}:use", type="primary", on_click=use, width="stretch")
    right.button("Forget the file", key=f"heave:{slot}:forget", on_click=forget, width="stretch")
