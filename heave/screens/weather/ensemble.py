"""An ensemble on the page: how likely each hour, each start and each window is."""

from __future__ import annotations

import math
from functools import lru_cache, partial
from typing import Final

import numpy as np
import streamlit as st

from heave.arrays import FloatArray
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.screens import every_page, pieces, state
from heave.screens.figures.chances import members_figure
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import bound, inside, plain
from heave.screens.weather import line_tiles, store, table, under_way
from heave.screens.weather.begun import begun, calm_if, calm_start, said
from heave.screens.weather.clock import Clock, hours
from heave.screens.weather.summary import (
    IN_PIECES,
    NO_WINDOW,
    TOO_LONG,
    Headline,
    beside,
    draw_headline,
    not_covered,
    nothing_assessed,
    picked,
    to_confirm,
    wants,
    way_words,
)
from heave.units import per_cent
from heave.weather import EnsembleForecast, EnsembleResult, ProbableWindow
from heave.weather.outlook import clock_of
from heave.weather.results import seconds
from heave.weather.schedule import row_needed
from heave.weather.site_limits import NAMES

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
    member, asked = state.kept("member"), store.choices().needed
    alone = {place: f"Member {name} alone" for place, name in enumerate(whole.member_names)}
    names = {ALL: "All members"} | alone
    chosen = ALL if member is None else min(member, len(whole.members) - 1)
    about = "All of them, for shares of members; or one, as if it were the forecast."
    bound(left.selectbox, "Members", "heave:weather:member", chosen, _member_picked, names, help=about)
    if member is None:
        shares = {share: f"{per_cent(share)} of the members" for share in sorted({*SHARES, asked})}
        label, key = "A start must work in at least", "heave:weather:needed"
        take = partial(state.put, ("weather", "needed"))
        about = "A window is told where a start works in so many of the members."
        bound(right.selectbox, label, key, asked, take, shares, help=about)


def _member_picked(place: int) -> None:
    state.keep("member", None if place == ALL else place)


def headline(result: EnsembleResult, clock: Clock, now: np.datetime64 | None = None) -> Headline:
    """Whether enough members can start now, when they can, or never; how old the forecast is, with it.

    Parameters
    ----------
    result : the windows of the members
    clock : zone of local times
    now : the present time, UTC; None takes that of the page
    """
    at = store.present(result.ensemble) if now is None else now
    return beside(_answer(result, at, clock), result, at, clock)


def _unknown(result: EnsembleResult, now: np.datetime64) -> str:
    """How no member has a sea at the present time, in words; empty where one has."""
    one = result.ensemble.members[0]
    stands = [clock_of(member, seconds(now - one.times[0])) for member in result.ensemble.members]
    return "" if "in the forecast" in stands else not_covered(one, now, stands[0])


def _answer(result: EnsembleResult, now: np.datetime64, clock: Clock) -> Headline:
    members = len(result.ensemble.members)
    words = _unknown(result, now)
    if words:
        return Headline(NOT_ASSESSED, words, ("Whether work can start now is not known.",))
    longest = result.alpha.longest
    lacking = [block for block in result.campaign.blocks if row_needed(result.plan, block) > longest]
    if lacking:
        needed = hours(row_needed(result.plan, lacking[0]))
        why = f"No forecast factor α for **{needed}**: the longest row is {hours(longest)}."
        return Headline(NOT_ASSESSED, "Not assessed", (why, "Type in the rig's own row."))
    if result.plan.weather.under_way:
        missing = wants(result.plan, result.campaign)
        return Headline(*under_way.told(result.plan, result.under_way(now), now, clock, missing, members))
    windows = [window for window in result.windows if window.latest_start >= now]
    if not windows:
        return _none(result, now, clock)
    first, best = windows[0], max(windows[0].start, now)
    firm, calm = first.firm_until, result.calm_until(now)
    open_ = bool(first.start <= now)
    by, count = result.finished_by(best)
    start = "Start from" if not open_ else "A start works from"
    done = f"{begun(open_)} by {clock.both(by)} in **{count} of {members}** members"
    lines = [
        f"{start} **{clock.both(best)}** to **{clock.both(first.latest_start)}**; {done}, contingency used.",
        f"Each start works in **{round(first.lowest * members)} of {members}** members or more, all of them in "
        f"**{first.count} of {members}**.",
        f"What ends it in most members: **{inside(first.ends)}**, in {first.ends_in} of {members}.",
    ]
    lines += _near(result, first, now, calm, clock)
    if first.confirm is not None:
        lines.append(f"A forecast issued {clock.both(first.confirm)} or later must confirm it.")
    later = None if first.confirm is not None else result.to_be_confirmed(best)
    if later is not None:
        label, from_, issue = later
        lines.append(
            f"{plain(label)}, from {clock.both(from_)} in a member: a forecast issued {clock.both(issue)} or later "
            "must confirm it."
        )
    if firm is not None and now <= firm < first.latest_start:
        lines.append(f"After {clock.both(firm)} a later forecast must confirm the start.")
    if not all(block.weather_restricted for block in result.campaign.blocks):
        lines.append(TOO_LONG)
    if not open_:
        return Headline(NEAR, f"Opens in {hours(seconds(first.start - now))}", tuple(lines))
    decided = firm is not None and now <= firm
    if firm is not None and not decided:
        lines.append("For work of this length it is too old: a newer forecast must confirm it.")
    state = WITHIN if decided and calm is not None else NEAR
    return Headline(state, "Open now" if decided else "To be confirmed", tuple(lines))


def _near(
    result: EnsembleResult,
    window: ProbableWindow,
    now: np.datetime64,
    calm: np.datetime64 | None,
    clock: Clock,
) -> list[str]:
    """What keeps a start now from being within limits in every member, or a later one in the window: no start that
    works, what is near a limit, or in doubt, in the members by themselves in which a start of it works.
    """
    members, lines = len(result.ensemble.members), list[str]()
    works = result.members_at(max(window.start, now))
    if works < members:
        lines.append(f"Not in every member: that start works in **{works} of {members}**.")
    done = result.calm_done(now)
    if done is not None:
        by, put_off = done
        lines.append(calm_if(now, put_off, by, clock))
    later = calm_start(calm, window.latest_start, clock)
    if later is None:
        return lines
    if window.doubtful:
        words = (
            f"in doubt in **{window.doubtful} of {members}** members: with all that is not known at its worst, a start "
            f"works in as few as **{round(window.sure * members)} of {members}**."
        )
        lines.append(said(later, words))
    if window.near:
        words = (
            f"near a limit in **{window.near} of {members}** members: **{plain(NAMES[window.closest])}** reaches "
            f"{utilisation_text(window.highest)} in one."
        )
        lines.append(said(later, words))
    if window.worst >= 1 and not window.doubtful:
        words = (
            f"in doubt: **{plain(NAMES[window.worst_of])}** could reach "
            f"{utilisation_text(window.worst)} in a member, with all that is not known at its worst."
        )
        lines.append(said(later, words))
    return lines


def _none(result: EnsembleResult, now: np.datetime64, clock: Clock) -> Headline:
    """The answer where no start works in enough members: work in pieces that can be begun in enough, or none."""
    if result.unassessed:
        return nothing_assessed(result.plan, result.campaign, result.unassessed)
    members, best = len(result.ensemble.members), result.best_from(now)[1]
    words = f"No start works in {per_cent(result.needed)} of the members; the best in {best} of {members}."
    work = result.in_pieces(now)
    if work is None:
        return Headline(OVER, NO_WINDOW, (words,))
    member = result.ensemble.members[work.place]
    begin, by = member.when(work.begin), work.done
    done = f"in **{work.done_in} of {members}** it is done in this forecast."
    if math.isfinite(by):
        done = f"done by **{clock.both(member.when(by))}** in **{work.done_in} of {members}**."
    name = result.ensemble.member_names[work.place]
    whose = "" if members == 1 else f"Member {name}, the slowest of {result.enough}: "
    lines = (
        f"Work can be begun **{clock.both(begin)}** in **{work.members} of {members}** members; {done}",
        *_first_piece(result, begin, clock),
        f"{plain(whose)}**{plain(way_words(work.way, result.campaign, member, clock))}**.",
        *to_confirm(result.plan, member, work.way, clock),
        words,
    )
    return Headline(NEAR, IN_PIECES, lines)


def _first_piece(result: EnsembleResult, begin: np.datetime64, clock: Clock) -> list[str]:
    """By when to begin making safe a first step that can be stopped, for enough members, if it is begun at a time."""
    step, stands = result.campaign.steps[0], result.under_way(begin)
    by = stands.held_for - step.secured_in
    if not result.campaign.blocks[0].can_halt or not 0.0 < by < math.inf:
        return []
    until, safe = (begin + np.timedelta64(round(span), "s") for span in (stands.held_for, by))
    among = f"in **{stands.holds_in} of {len(result.ensemble.members)}** members"
    return [
        f"Begun then, start making safe by **{clock.both(safe)}**: it holds until {clock.both(until)} {among}."
    ]


def answer(result: EnsembleResult) -> None:
    """The verdict of the members and its figures."""
    clock = store.clock()
    under = f"Computed for {plain(store.source().name)} · {plain(result.plan.name)}."
    draw_headline(picked(headline(result, clock), store.apart()), under)
    use = line_tiles.over_forecast(result.plan, result.ensemble, store.source().sample, state.system())
    pieces.tiles([*tiles(result, store.present(result.ensemble), clock), *use])


def tiles(result: EnsembleResult, now: np.datetime64, clock: Clock) -> list[pieces.Tile]:
    """Shares of the members now and at the best start to come; now is not known where no member has a sea."""
    times = result.ensemble.times
    place = -1 if _unknown(result, now) else int((times <= now).sum()) - 1
    members, (when, works) = len(result.ensemble.members), result.best_from(now)
    start = "not known" if place < 0 else per_cent(result.members_at(now) / members)
    return [
        ("Members", str(members), "each searched by itself"),
        ("Hour holds now", _share(result.hour_probability[0], place), "first step, share of members"),
        ("Can start now", start, "whole campaign, share of members"),
        ("Best start", per_cent(works / members), clock.stamp(when) if works else "no start to come works"),
        ("Reference period T_R", hours(result.campaign.reference), "planned + contingency"),
    ]


def shares(result: EnsembleResult) -> None:
    """The shares over time, and the table of windows."""
    clock = store.clock()
    figure = _picture(result, clock, every_page.look(), state.system())
    alt = "Heights of all members, and the share of members that hold each hour and each start"
    pieces.chart(figure, "members", alt, name="Members over the hours")
    st.subheader("Windows")
    table.draw(table.ensemble_table(result, clock), "members", "weather_windows.csv", "Save the table (CSV)")
    st.subheader("Notes")
    every_page.cautions(result.notes)


_picture = lru_cache(maxsize=4)(members_figure)
"""The figure, drawn once for what it shows."""


def _share(values: FloatArray, place: int) -> str:
    return "not known" if place < 0 else per_cent(float(values[place]))
