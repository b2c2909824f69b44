"""The morning sheet on the page: shown as it prints, with a button that saves it as one file."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import streamlit as st

from heave.errors import InputError
from heave.judging import Assessment
from heave.screens import pieces, state
from heave.screens.weather import dialogue, store, summary, view
from heave.screens.weather.changes import AHEAD
from heave.screens.weather.clock import Clock
from heave.screens.weather.sheet import sheet_of, worst_sample
from heave.screens.weather.sheet_html import html_of
from heave.weather import EnsembleResult, Forecast, WindowResult

HEIGHT = 1180
"""Of the frame the sheet stands in; about a page [px]."""


def draw() -> None:
    """The sheet of the forecast in use; of an ensemble, that of its highest member with the chance beside it."""
    if dialogue.waiting("forecast"):
        st.info(
            "A forecast is being asked about, or was refused, under Forecast: until then there is no sheet."
        )
        return
    found, chance = store.answer(), None
    if isinstance(found, EnsembleResult):
        chance, found = found, store.answer_for(_highest_member(found))
    if isinstance(found, InputError):
        summary.draw_headline(summary.not_assessed(found))
        return
    assert isinstance(found, WindowResult)
    text = _text(found, store.clock(), state.system(), store.answer_before(), chance)
    pieces.one_page("sheet", text, "morning_sheet.html", "The morning sheet", HEIGHT)


@lru_cache(maxsize=4)
def _text(
    result: WindowResult,
    clock: Clock,
    system: str,
    before: WindowResult | None,
    chance: EnsembleResult | None,
) -> str:
    """The file, made once for what stands in it."""
    worst = [_worst(result, step) for step in range(len(result.steps))]
    return html_of(sheet_of(result, clock, system, worst, before, chance))


def _worst(result: WindowResult, step: int) -> Assessment | InputError:
    try:
        return state.assessed(view.plan_at(result, step, worst_sample(result, step)))
    except InputError as error:
        return error


def _highest_member(chance: EnsembleResult) -> Forecast:
    """The member with the highest sea of the coming hours."""
    times, now = chance.ensemble.times, store.present(chance.ensemble)
    soon = (times >= now) & (times <= now + np.timedelta64(AHEAD, "h"))
    return max(
        chance.ensemble.members, key=lambda one: np.nan_to_num(one.batch.hs[soon], nan=0.0).max(initial=0.0)
    )
