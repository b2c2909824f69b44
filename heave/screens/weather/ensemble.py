"""An ensemble on the page: how likely each hour, each start and each window is."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import streamlit as st

from heave.judging import NEAR, OVER, WITHIN
from heave.screens import every_page, state
from heave.screens.figures import HOVER, Chart, Look
from heave.screens.figures.chances import members_figure
from heave.screens.inputs import plain
from heave.screens.weather import store, table
from heave.screens.weather.clock import Clock, hours
from heave.screens.weather.summary import Headline, draw_headline, draw_tiles
from heave.weather import EnsembleForecast, EnsembleResult
from heave.weather.results import seconds

SHARES: Final = (0.5, 0.7, 0.8, 0.9, 0.95, 1.0)
"""Shares of the members of an ensemble that are offered."""

ALL: Final = -1
"""Picked where all members are looked at together."""


def pick_member() -> None:
    """All members together, or one of them as a forecast of its own; nothing for a single forecast."""
    whole = store.source().forecast
    if not isinstance(whole, EnsembleForecast):
        return
    left, right = st.columns(2)
    key = "heave:weather:member"
    options = (ALL, *range(len(whole.members)))
    member = store.looked().member
    st.session_state[key] = ALL if member is None else min(member, len(whole.members) - 1)
    left.selectbox(
        "Members",
        options,
        key=key,
        format_func=lambda place: (
            "All members" if place == ALL else f"Member {whole.member_names[place]} alone"
        ),
        on_change=_member_picked,
        args=(key,),
    )
    if member is None:
        needed, needed_now = "heave:weather:needed", store.choices().needed
        st.session_state[needed] = needed_now
        right.selectbox(
            "A start must work in at least",
            tuple(sorted({*SHARES, needed_now})),
            key=needed,
            format_func=lambda share: f"{100 * share:.0f} % of the members",
            on_change=_needed_picked,
            args=(needed,),
        )


def _member_picked(key: str) -> None:
    place = st.session_state[key]
    store.view(member=None if place == ALL else place)


def _needed_picked(key: str) -> None:
    store.choose(needed=st.session_state[key])


def headline(result: EnsembleResult, clock: Clock) -> Headline:
    """Whether enough members can start now, when they can, or never."""
    now = store.present(result.ensemble)
    share = f"{100 * result.needed:.0f} %"
    windows = [window for window in result.windows if window.latest_start >= now]
    if not windows:
        best = float(result.start_probability[result.ensemble.times >= now].max(initial=0.0))
        return Headline(
            OVER, "No window", (f"No start works in {share} of the members; the best in {100 * best:.0f} %.",)
        )
    first = windows[0]
    begin = clock.both(max(first.start, now))
    lines = (
        f"Start from **{begin}** to **{clock.both(first.latest_start)}**; done by {clock.both(first.end)}.",
        f"Each start works in **{100 * first.lowest:.0f} %** or more of {len(result.ensemble.members)} members, all of "
        f"them in **{100 * first.probability:.0f} %**.",
    )
    if first.start <= now:
        return Headline(WITHIN, "Open now", lines)
    return Headline(NEAR, f"Opens in {hours(seconds(first.start - now))}", lines)


def answer(result: EnsembleResult) -> None:
    """The verdict of the members and its figures."""
    clock = store.clock()
    draw_headline(
        headline(result, clock),
        every_page.look(),
        f"Computed for {plain(store.source().name)} · {plain(result.plan.name)}",
    )
    now = store.present(result.ensemble)
    place = int((result.ensemble.times <= now).sum()) - 1
    draw_tiles(
        [
            ("Members", str(len(result.ensemble.members)), "each searched by itself"),
            ("Hour holds now", _share(result.hour_probability[0], place), "first step, share of members"),
            ("Can start now", _share(result.start_probability, place), "whole campaign, share of members"),
            (
                "Best start",
                f"{100 * float(result.start_probability.max()):.0f}\u00a0%",
                clock.stamp(result.ensemble.times[int(result.start_probability.argmax())]),
            ),
            ("Reference period T_R", hours(result.campaign.reference), "planned + contingency"),
        ]
    )


def shares(result: EnsembleResult) -> None:
    """The shares over time, and the table of windows."""
    clock = store.clock()
    st.plotly_chart(
        _picture(result, clock, every_page.look(), state.system()),
        key="members",
        config=HOVER,
        theme=None,
        alt="Heights of all members, and the share of members that hold each hour and each start",
    )
    st.subheader("Windows")
    table.draw(table.ensemble_table(result, clock), "members", "weather_windows.csv", "Save the table (CSV)")
    st.subheader("Notes")
    every_page.cautions(result.notes)


@lru_cache(maxsize=4)
def _picture(result: EnsembleResult, clock: Clock, look: Look, system: str) -> Chart:
    """The figure, drawn once for what it shows."""
    return members_figure(result, clock, look, system)


def _share(values: object, place: int) -> str:
    if place < 0:
        return "not known"
    return f"{100 * float(values[place]):.0f}\u00a0%"  # type: ignore[index]
