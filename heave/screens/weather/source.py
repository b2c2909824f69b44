"""Bringing an own forecast: read at once, asked about where its file is silent, kept until another is taken."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

import streamlit as st

from heave import fields
from heave.errors import FileError, InputError
from heave.fields import parse_number
from heave.files.forecast.questions import ForecastQuestions, suggest_mapping
from heave.files.forecast.reader import read_forecast
from heave.planning import ColumnMeaning, ForecastMapping
from heave.planning.columns import UNITS_OF
from heave.screens import pieces, state
from heave.screens.inputs import bound, plain, sentence
from heave.screens.weather import store
from heave.screens.weather.clock import Clock, hours
from heave.units import significant
from heave.weather import EnsembleForecast, Forecast

TYPES: Final = ["csv", "txt", "dat", "tsv"]
HEAD_BYTES: Final = 400_000
"""Most of a file that is read again at every change of its mapping [bytes]."""

_HELP: Final = (
    "A table with one row a time: comma, semicolon, tab or spaces between columns, in any order. Columns whose names "
    "are not known are mapped by hand with a preview."
)


@dataclass(frozen=True)
class Draft:
    """A file whose columns are being mapped: its name, its bytes, and what is understood so far."""

    name: str
    data: bytes
    mapping: ForecastMapping
    header: tuple[str, ...]
    preview: tuple[tuple[str, ...], ...]


def upload(slot: str, label: str, **how: Any) -> None:
    """An upload box of one slot, 'forecast' or 'hindcast'; its file is read at once."""
    refused = "was not read; the forecast in use is as it was"
    pieces.upload(slot, label, TYPES, partial(take, slot), refused=refused, help=_HELP, **how)


def take(slot: str, name: str, data: bytes) -> None:
    """Read a file by the plan's mapping where that has the same columns, else by its names; ask what is not said.

    Raises
    ------
    FileError
        Where the file cannot be read whatever its columns mean; nothing is changed then.
    """
    remembered = _remembered(data)
    try:
        forecast = read_forecast(data, remembered, name=name_of(name))
    except ForecastQuestions:
        start_draft(slot, name, data, remembered)
        return
    _use(slot, name, data, forecast)


def _remembered(data: bytes) -> ForecastMapping | None:
    """The plan's mapping, if it is of a file with these very columns."""
    known = store.choices().forecast_mapping
    if known is None:
        return None
    try:
        header = suggest_mapping(head(data)).header
    except FileError:
        # What is wrong with the file is told by the reader, or two columns for one thing are mapped by hand.
        return known
    return known if {meaning.column for meaning in known.columns} == set(header) else None


def name_of(file_name: str) -> str:
    """What to call a forecast: its file's name, printable and short enough."""
    kept = "".join(character for character in file_name if character.isprintable())
    return kept[: fields.MAX_TEXT] or "forecast"


def head(data: bytes) -> bytes:
    """The first part of a large file, whole lines: enough to see its columns and to try a mapping at once."""
    if len(data) <= HEAD_BYTES:
        return data
    end = data.rfind(b"\n", 0, HEAD_BYTES)
    return data[: end + 1] if end > 0 else data


def start_draft(slot: str, name: str, data: bytes, mapping: ForecastMapping | None = None) -> None:
    """Begin mapping a file's columns by hand."""
    guessed = suggest_mapping(head(data))
    draft = Draft(name, data, mapping or guessed.mapping, guessed.header, guessed.preview)
    state.keep(f"{slot}:draft", draft)


def _use(slot: str, name: str, data: bytes, forecast: Forecast | EnsembleForecast) -> None:
    state.keep(f"{slot}:draft", None)
    if slot == "forecast":
        store.use(store.Source(name, forecast, data))
    else:
        state.keep(slot, store.Source(name, forecast))
    state.note("good", f"Using {name}: {about(forecast)}.")


def about(forecast: Forecast | EnsembleForecast) -> str:
    """A forecast in a line: samples, span, step, members."""
    members = f", {len(forecast.members)} members" if isinstance(forecast, EnsembleForecast) else ""
    first, last = (Clock().full(when) for when in (forecast.times[0], forecast.times[-1]))
    return f"{forecast.size} times from {first} to {last} UTC, every {hours(_one(forecast).step)}{members}"


def _one(forecast: Forecast | EnsembleForecast) -> Forecast:
    """A forecast as it is; of an ensemble its first member."""
    return forecast.members[0] if isinstance(forecast, EnsembleForecast) else forecast


def mapping_form(slot: str) -> None:
    """While a file is being mapped: its first rows, a line for each column, what is still asked, and the reading."""
    draft: Draft | None = state.kept(f"{slot}:draft")
    if draft is None:
        return
    with st.container(border=True, key=f"mapping-{slot}"):
        st.markdown(f"##### What the columns of {plain(draft.name)} hold")
        rows = [dict(zip(draft.header, row, strict=True)) for row in draft.preview]
        st.dataframe(rows, hide_index=True, height=176, key=f"heave:{slot}:preview")
        ready = _reading(draft)
        for place, meaning in enumerate(draft.mapping.columns):
            _column(slot, draft, place, meaning)
        with st.expander("Zone of times, missing swell, repeated times"):
            _whole_file(slot, draft)
        if slot == "forecast":
            st.caption(f"Until it is used, the answer below is still of {plain(store.source().name)}.")
        left, right = st.columns(2)
        use = "Use this forecast" if slot == "forecast" else "Use this record"
        how: dict[str, Any] = {"type": "primary", "disabled": not ready, "width": "stretch"}
        left.button(use, key=f"heave:{slot}:use", on_click=_use_draft, args=(slot,), **how)
        leave = partial(state.keep, f"{slot}:draft", None)
        right.button("Leave the file", key=f"heave:{slot}:leave", on_click=leave, width="stretch")


def _reading(draft: Draft) -> bool:
    """What is still to be answered, or how the file reads with these answers; True where it can be used."""
    try:
        forecast = read_forecast(head(draft.data), draft.mapping, name=name_of(draft.name))
    except ForecastQuestions as asked:
        lines = [f"- {plain(sentence(question.words))}" for question in asked.questions]
        st.info("Still to be answered below:\n" + "\n".join(lines))
        return False
    except InputError as error:
        st.error(plain(str(error)))
        return False
    one = _one(forecast)
    lines = []
    for row in range(min(3, one.size)):
        parts = [
            f"{name} {significant(float(slot.hs[row]))} m, Tp {significant(float(slot.tp[row]))} s "  # type: ignore[union-attr]
            f"from {float(slot.direction_from[row]):.0f}°"
            for name, slot in zip(one.system_names, one.batch.slots, strict=True)
        ]
        words = "sea missing" if one.missing[row] else "; ".join(parts)
        lines.append(f"- {Clock().full(one.times[row])} UTC: {plain(words)}")
    part = "Its first part reads as" if len(head(draft.data)) < len(draft.data) else "Reads as"
    st.success(f"{part} {plain(about(forecast))}:\n" + "\n".join(lines))
    return True


def _column(slot: str, draft: Draft, place: int, meaning: ColumnMeaning) -> None:
    """What one column holds, and what else has to be said of that."""
    one, two, three, four = st.columns([3, 3, 3, 3], vertical_alignment="bottom")
    first = draft.preview[0][place] if draft.preview and place < len(draft.preview[0]) else ""
    one.markdown(f"**{plain(meaning.column)}**  \n:small[:gray[first: {plain(first) or 'empty'}]]")
    with two:
        _pick(slot, place, meaning, "quantity")
    if meaning.quantity in ("height", "period", "direction"):
        with three:
            _pick(slot, place, meaning, "system")
    last = {"height": "unit", "wind speed": "unit", "period": "period_kind", "direction": "sense"}
    if meaning.quantity in last:
        with four:
            _pick(slot, place, meaning, last[meaning.quantity])


_UNITS: Final = {quantity: ("", *UNITS_OF[quantity]) for quantity in ("height", "wind speed")}
_SAID: Final = {"from": "where they come from", "to": "where they go to", "": "not said"}


def _pick(slot: str, place: int, meaning: ColumnMeaning, name: str) -> None:
    described = fields.about(meaning, name)
    options = _UNITS.get(meaning.quantity, described.options) if name == "unit" else described.options  # type: ignore[union-attr]
    if name in ("period_kind", "sense"):
        options = (None, *options)
    value = getattr(meaning, name)
    bound(
        st.selectbox,
        f"{described.label}: {meaning.column}",
        f"heave:{slot}:{place}:{name}",
        value if value in options else options[0],
        partial(_picked, slot, place, name),
        {option: _SAID.get(option or "", str(option)) for option in options},
        placeholder="not said",
    )


def _picked(slot: str, place: int, name: str, value: Any) -> None:
    """Another meaning of a column; what was said of it falls with its quantity."""
    changed: dict[str, Any] = {name: value}
    if name == "quantity":
        units = {"period": "s", "direction": "deg"}
        changed |= {"unit": units.get(value, ""), "period_kind": None, "sense": None}
    columns = list(state.kept(f"{slot}:draft").mapping.columns)
    columns[place] = replace(columns[place], **changed)
    _map(slot, columns=tuple(columns))


def _map(slot: str, **fields_: Any) -> None:
    """Change some of the mapping."""
    draft: Draft = state.kept(f"{slot}:draft")
    state.keep(f"{slot}:draft", replace(draft, mapping=replace(draft.mapping, **fields_)))


_WHOLE: Final = ("time_zone", "direction_from", "empty_swell", "repeated_times")


def _whole_file(slot: str, draft: Draft) -> None:
    """What holds for the whole file."""
    for name in _WHOLE:
        described = fields.about(draft.mapping, name)
        label, help_, value = described.label, described.help, getattr(draft.mapping, name)
        key = f"heave:{slot}:whole:{name}"
        said: dict[str, Any] = {"on_change": _said, "args": (slot, name, key)}
        if isinstance(described, fields.Choice):
            st.session_state[key] = value
            st.selectbox(label, described.options, key=key, help=help_, **said)
        else:
            st.session_state.setdefault(key, "" if value is None else str(value))
            st.text_input(label, key=key, help=help_, **said)


def _said(slot: str, name: str, key: str) -> None:
    given = st.session_state[key]
    with state.noted():
        if name == "direction_from":
            _map(slot, direction_from=parse_number(given, "Direction from", "°") if given.strip() else None)
        else:
            _map(slot, **{name: given})


def _use_draft(slot: str) -> None:
    """Take the mapped file into use and remember the mapping in the plan."""
    draft: Draft = state.kept(f"{slot}:draft")
    with state.noted():
        forecast = read_forecast(draft.data, draft.mapping, name=name_of(draft.name))
        store.choose(forecast_mapping=draft.mapping)
        _use(slot, draft.name, draft.data, forecast)


def forecast_inputs() -> None:
    """The forecast in use, another one, and how it was read."""
    current = store.source()
    invented = " It is invented: no place, no real days." if current.sample else ""
    st.markdown(f"Using **{plain(current.name)}**: {plain(about(current.forecast))}.{invented}")
    upload("forecast", "Your own forecast (CSV or text)")
    left, right = st.columns(2)
    if current.data:
        back = partial(store.use, None)
        left.button("Map its columns again", key="heave:forecast:again", on_click=_again, width="stretch")
        right.button("Back to the sample", key="heave:forecast:sample", on_click=back, width="stretch")
    for note in current.forecast.notes:
        st.caption(plain(note))


def _again() -> None:
    current = store.source()
    start_draft("forecast", current.name, current.data, _remembered(current.data))


def label() -> str:
    """The forecast in use in a few words."""
    current = store.source()
    return f"Forecast: {plain(current.name)}" + (" (invented sample)" if current.sample else "")
