"""Files a user brings: parsed at once, questions asked where a file is silent, seen before being used.

What was read is kept as a frozen value, so the upload box can be emptied and no rerun loses it. A file
that cannot be read says why, with line and column, and changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, Final

import streamlit as st

from heave.fields import parse_number
from heave.files.buoy import BuoyFile, read_buoy_file
from heave.files.string import read_string, string_text
from heave.planning import Plan, rig
from heave.screens import every_page, pieces, state
from heave.screens.figures.spectra import spectrum_preview
from heave.screens.figures.tables import PERIOD
from heave.screens.inputs import STAYS, WORDS, button, plain
from heave.units import counted, show

_BUOY: Final = "buoy"
_STRING: Final = "string"


def string_box() -> None:
    """Bring or take away the sections of a string as CSV."""
    st.markdown("## Sections as a file")
    data = partial(string_text, state.plan().string.sections)
    pieces.save("Save the sections (CSV)", data, "string.csv", "heave:string:save")
    about = (
        "Columns name, length_m, od_mm or od_in, id_mm or id_in, mass_kg_per_m or weight_lb_per_ft, grade."
    )
    take = partial(_take, _STRING, read_string)
    pieces.upload(_STRING, "Your own sections (CSV)", ["csv", "txt"], take, help=about)
    ready = state.kept(_STRING)
    if ready is not None:
        name, sections = ready
        system, rows = state.system(), []
        for one in sections:
            length, mass = show(one.length, "length", system, 4), show(one.linear_mass, "linear_mass", system)
            sizes = (show(size, "diameter", system, 4) for size in (one.outer_diameter, one.inner_diameter))
            rows.append((plain(one.name), length, *sizes, mass))
        head = ("Section", "Length", "Outside", "Inside", "Mass in air")
        st.markdown(f"Read from {plain(name)}:\n\n{pieces.markdown_table(head, rows)}")
        words = f"Using the sections of {name}."
        _use_or_not(_STRING, "Use these sections", lambda plan: rig.with_sections(plan, sections), words)


def _take(slot: str, read: Callable[[bytes], Any], name: str, data: bytes) -> None:
    """Keep what is read under its slot; a file that is refused leaves it empty."""
    state.keep(slot, None)
    state.keep(slot, (name, read(data)))


def buoy_box() -> None:
    """Bring buoy spectra, pick one, say where its waves come from, and take it as the sea."""
    about = "Spectral density by frequency band, a record a line, times in UTC."
    types, take = ["txt", "data_spec", "csv", "spec"], partial(_take, _BUOY, read_buoy_file)
    pieces.upload(_BUOY, "Wave-buoy spectra (text)", types, take, help=about)
    ready = state.kept(_BUOY)
    if ready is None:
        return
    name, file = ready
    system = state.system()
    missing = f", {len(file.missing)} missing and left out." if file.missing else "."
    st.markdown(f"Read from {plain(name)}: {counted(len(file.spectra), 'record')}{missing}")
    last = len(file.spectra) - 1
    place = st.selectbox(
        "Record",
        range(last + 1),
        last,
        lambda row: f"{file.spectra[row].time}  Hs {show(file.spectra[row].hs, 'length', system)}",
        key="heave:buoy:record",
        help="The time whose spectrum is looked at, and taken as the sea.",
        **STAYS,
    )
    place = min(place or 0, last)
    one, two, three = st.columns(3)
    label = "Waves come from (°), which the file does not say"
    about = "Compass, degrees true. Where the file has directions by band, those are used."
    one.text_input(label, key="heave:buoy:from", help=about, **STAYS)
    kinds = ("cos-n", "cos-2s", "long-crested")
    two.selectbox("Spreading", kinds, 0, lambda kind: WORDS[kind], key="heave:buoy:spreading", **STAYS)
    three.text_input("Exponent", "4", key="heave:buoy:exponent", **STAYS)
    figure = spectrum_preview(*rig.sea_curve(file.spectra[place]), every_page.look(), system)
    name = "Measured spectrum over period"
    pieces.chart(figure, "buoy", name, name=name, across=PERIOD)
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
    use = state.acting(f"use:{slot}", partial(state.try_edit, change, done))
    forget = partial(state.keep, slot, None)
    button(words, f"{slot}:use", use, at=left, type="primary", width="stretch")
    button("Forget the file", f"{slot}:forget", forget, at=right, width="stretch")
    pieces.told(f"use:{slot}")
