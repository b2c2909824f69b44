"""Which climate is looked at: the example, an own scatter diagram with what must be asked of it, or a hindcast."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

import streamlit as st

from heave.files.conventions import Question
from heave.files.scatter import ScatterQuestions, read_scatter
from heave.planning.other_seas import HEADING_RULES
from heave.screens import file_questions, pieces, state
from heave.screens.climate import store
from heave.screens.inputs import bound, button, plain, sentence
from heave.screens.weather import hindcast
from heave.studies.climate_headings import rule_words
from heave.units import show

_SCATTER: Final = "Your own scatter diagram (CSV or text)"
_ASKED: Final = "climate:asked"
_HELP: Final = (
    "A matrix with a line of periods over rows that begin with a height, in counts, per cent or probabilities; one or "
    "several for direction sectors or months. What the file does not say is asked."
)
_BEARINGS: Final = {"plan": "From where the plan's sea comes from", "all round": "From all round alike"}


@dataclass(frozen=True)
class Draft:
    """A diagram that is asked about: its file, and what was answered."""

    name: str
    data: bytes
    answers: Mapping[str, str]
    questions: tuple[Question, ...] = ()


def draw() -> bool:
    """The choice of climate and headings; False while a file has first to be asked about or brought."""
    about = "A scatter diagram tells how often; a hindcast, in order of time, also how long the rig waits."
    key, keep, how = "heave:climate:kind", partial(state.keep, "climate:kind"), {"required": True}
    bound(st.segmented_control, "Climate", key, store.kind(), keep, store.KINDS, **how, help=about)
    ready = {"example": _example, "scatter": _own, "record": _record}[store.kind()]()
    if ready:
        _headings()
    return ready


def _example() -> bool:
    st.warning(plain(store.EXAMPLE_CAUTION))
    return True


def _own() -> bool:
    draft: Draft | None = state.kept(_ASKED)
    if draft is not None:
        _question(draft)
        return False
    types = ["csv", "txt", "dat", "tsv", "asc", "prn"]
    pieces.upload("climate", _SCATTER, types, lambda name, data: _go(Draft(name, data, {})), help=_HELP)
    brought = store.own()
    if brought is None:
        st.info("Bring a scatter diagram of your site, or look at the example.")
        return False
    found = brought.scatter
    heights, periods = found.cells.shape
    parts = f", {len(found.parts)} matrices" if len(found.parts) > 1 else ""
    mean = f", mean Hs {show(found.mean_hs, 'length', state.system())}"
    mean = mean if math.isfinite(found.mean_hs) else ""
    st.markdown(
        f"Using **{plain(brought.name)}**: Hs by {found.period_kind}, {heights} × {periods} classes{parts}"
        f"{plain(mean)}."
    )
    return True


def _go(draft: Draft) -> None:
    """Read a diagram, or keep it to be asked about."""
    try:
        name = file_questions.name_of(draft.name, 60, "scatter diagram")
        found = read_scatter(draft.data, name=name, **draft.answers)
    except ScatterQuestions as asked:
        state.keep(_ASKED, replace(draft, questions=asked.questions))
        return
    state.keep(_ASKED, None)
    state.keep("climate:scatter", store.OwnScatter(draft.name, found))
    state.note("good", f"Using {draft.name}.")


def _question(draft: Draft) -> None:
    """The first question of a file with its answers as buttons, and the first lines of the file."""
    question = draft.questions[0]
    with st.container(border=True, key="asked-climate"):
        st.markdown(f"## {plain(draft.name)}: {len(draft.questions)} to answer")
        st.markdown(f"**{plain(sentence(question.words))}**")
        for option in question.options:
            key, take = f"climate:answer:{question.key}:{option}", (draft, question.key, option)
            button(plain(option), key, _answered, *take, width="stretch")
        head = draft.data[:600].decode("utf-8", "replace")
        st.code("\n".join(line[:100] for line in head.splitlines()[:4]), language=None)
        button("Leave the file", "climate:leave", state.keep, _ASKED, None)


def _answered(draft: Draft, key: str, option: str) -> None:
    state.keep(_ASKED, None)
    with state.noted(f"{draft.name} was not read. "):
        _go(Draft(draft.name, draft.data, {**draft.answers, key: option}))


def _record() -> bool:
    """The record of the weather-window page: one upload serves both."""
    return hindcast.brought() and hindcast.in_use() is not None


_UNSAID: Final = "The diagram does not say where its waves come from."


def _headings() -> None:
    """By which headings, and where the waves come from where nothing says so."""
    plan = state.plan()
    left, right = st.columns(2)
    names = {rule: rule_words(plan, rule) for rule in HEADING_RULES}
    with left:
        about = "How the vessel heads in each sea; the more freely it may turn, the more can be worked."
        key, keep = "heave:climate:rule", partial(state.put, ("other_seas", "headings"))
        bound(st.selectbox, "Headings", key, store.rule(), keep, names, help=about)
    diagram = store.diagram()
    if diagram is not None and not diagram.directional:
        with right:
            key, keep = "heave:climate:bearing", partial(state.put, ("other_seas", "bearing"))
            bound(st.selectbox, "Waves come", key, store.bearing(), keep, _BEARINGS, help=_UNSAID)
