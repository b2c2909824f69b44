"""What the page of operating limits draws, quick parts first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache, partial

import streamlit as st

from heave.errors import InputError, short
from heave.judging import Assessment, LimitingSea, LimitMap
from heave.judging.limit_curves import Growth, growth_asked, growths, highest_sea, letters_of
from heave.planning import OPERATIONS, Plan
from heave.screens import every_page, pieces, state
from heave.screens.figures.limit_lines import (
    Curve,
    limit_figure,
    limit_words,
    operations_figure,
    operations_words,
)
from heave.screens.figures.limit_polar import polar_figure, polar_words
from heave.screens.figures.look import Look
from heave.screens.inputs import bound, field, folded, pick, picks, plain, sentence
from heave.screens.limits import kept_limits, table, words
from heave.screens.limits.card import card_of
from heave.screens.limits.card_html import html_of
from heave.units import unit_of

LONGEST_TITLE = 28
"""Most letters of a system's name along an axis."""

CARD_HEIGHT = 1130
"""Of the frame the card stands in; about a page [px]."""

READING = (
    "Letters and marks name the check that reaches 1 there. Up to the dashed line, blue: within limits even at the "
    "worst ends of the ranges of what is not known; from there to the full line, orange: within limits on the planned "
    "values only. Hatched: steeper than seas can be (DNV-RP-C205, 3.5.4); a limit in there is no limit. Each point is "
    "found on the checks themselves."
)


@dataclass(frozen=True, eq=False)
class Shown:
    """What is on the screen: the plan and what grows; its limits are worked when they are first drawn."""

    plan: Plan
    growth: Growth
    result: Assessment
    look: Look
    system: str

    @classmethod
    def now(cls) -> Shown:
        """Of the session's plan, in the waves picked."""
        plan = state.plan()
        growth = growth_asked(plan)
        result = state.assessed(plan.changed(sea=growth.sea(plan.sea)))
        return cls(kept_limits.resting_on(plan), growth, result, every_page.look(), state.system())

    @property
    def over(self) -> Curve | None:
        """Limits over period."""
        return kept_limits.over_period(self.plan, self.growth)

    @property
    def around(self) -> Curve:
        """Limits around the vessel."""
        return kept_limits.around(self.plan, self.growth)

    def letters_with(self, *more: LimitMap) -> dict[str, str]:
        """The letters of the page, and the next ones for checks that govern in other maps only."""
        first = () if self.over is None else (self.over.planned,)
        return letters_of(*first, self.around.planned, *more)

    @property
    def own(self) -> tuple[LimitingSea, LimitingSea, float]:
        """The limiting seas at the plan's own period and heading, planned and worst, and the highest that can be."""
        return kept_limits.at_plan(self.plan, self.growth)


def growing() -> None:
    """What grows."""
    ways = picks({way.words: sentence(way.words) for way in growths(state.plan())})
    chosen = growth_asked(state.plan()).words
    about = "What is made higher until a check reaches its limit; all other waves stay as planned."
    bound(
        st.selectbox, "Waves that grow", "heave:limits:growth", chosen, kept_limits.choose, ways, help=about
    )


def headline(shown: Shown) -> None:
    """How far the plan's own sea is from the limit."""
    limit, worst, highest = shown.own
    tp, now = kept_limits.own_place(shown.plan, shown.growth)
    word, title = words.answer(shown.result, limit, now, highest, shown.system)
    lines = words.lines(shown.result, limit, worst, shown.growth, now, highest, shown.system)
    angle = kept_limits.own_angle(shown.plan, shown.growth)
    of = words.computed_for(shown.plan, shown.growth, tp, angle, shown.system)
    every_page.verdict(word, title, lines, of)


def curves(shown: Shown) -> None:
    """The limit over period at the plan's heading, and around the vessel at its period."""
    tp, now = kept_limits.own_place(shown.plan, shown.growth)
    angle = kept_limits.own_angle(shown.plan, shown.growth)
    left, right = st.container(key="curves").columns(2, gap="large")
    with left:
        st.subheader("Over period, at this heading")
        if shown.over is None:
            st.info("This sea has no peak period to vary: a measured spectrum, or one whose height sets it.")
        else:
            how = (shown.letters_with(), shown.look, shown.system)
            drawing = limit_figure(shown.over, *how, across="peak period", up="Hs", at=(tp, now))
            told = limit_words(shown.over, (tp, now), shown.system)
            pieces.chart(drawing, "limit-over", told, name="Limit over period, at this heading")
    with right:
        st.subheader("Around the vessel, at this period")
        how = (shown.letters_with(), shown.look, shown.system)
        drawing = polar_figure(shown.around, *how, (angle, now))
        unit = unit_of("length", shown.system).symbol
        told = polar_words(shown.around, (angle, now), shown.system)
        pieces.chart(drawing, "limit-around", told, name=f"Limit around the vessel, Hs in {unit}")
    st.caption(READING)


def beside(shown: Shown) -> None:
    """The limit of the first wave system over the height or the period of the second."""
    sea = shown.plan.sea
    if len(sea.systems) < 2:
        return
    names = {False: "Over its height", True: "Over its period"}
    st.subheader("One wave system beside the other")
    label, about = "Beside the second system", "What of the second system is drawn along the axis."
    bare = {"default": False, "required": True, "label_visibility": "collapsed"}
    by_period: bool = pick(st.segmented_control, label, "limits:beside", names, about, **bare)
    answer = kept_limits.beside(shown.plan, by_period)
    if answer is None:
        st.info("The second system has no period to vary: its height sets it.")
        return
    curve, name, other = answer
    kind = "period" if by_period else "length"
    own = (sea.systems[1].tp if by_period else sea.systems[1].hs, sea.systems[0].hs)
    across = f"{'peak period' if by_period else 'Hs'} of {short(other, LONGEST_TITLE)}"
    how = (shown.letters_with(curve.planned), shown.look, shown.system)
    up = f"Hs of {short(name, LONGEST_TITLE)}"
    drawing = limit_figure(curve, *how, across=across, up=up, at=own, x_kind=kind)
    told = limit_words(curve, own, shown.system, kind)
    pieces.chart(drawing, "limit-beside", told, name="One wave system beside the other")
    st.caption(
        f"Largest {plain(name)} at its own period that can be added to each {plain(other)}, at this heading."
    )


def operations(shown: Shown) -> None:
    """Every operation the plan can be set to, on one axis."""
    st.subheader("Operations side by side")
    answers = kept_limits.by_operation(shown.plan, shown.growth)
    maps = {kind: one for kind, one in answers.items() if not isinstance(one, InputError)}
    if shown.over is not None:
        limits = {OPERATIONS[kind].label: one.hs[:, 0] for kind, one in maps.items()}
        periods = next(iter(maps.values())).periods
        highest = highest_sea(shown.plan, shown.growth, periods)
        own = shown.plan.operation.about.label
        drawing = operations_figure(periods, limits, own, highest, shown.look, shown.system)
        told = operations_words(limits, shown.system)
        pieces.chart(drawing, "limit-operations", told, name="Operations side by side")
        st.caption(
            "On the planned values, at this heading; thick: the plan's operation. Each with the limits the rig has "
            "for it. A stretch without a line has no limit in any possible sea, or none at all."
        )
    missing = words.left_out(answers, shown.plan)
    if missing:
        st.markdown(missing)


def tables(shown: Shown) -> None:
    """The curve as a table, and the whole map as a file."""
    over = shown.over
    if over is not None:
        folded("Limits over period as a table", "limits:table", partial(_table, over, shown))
    words, data = (
        "Save the whole map, periods by headings (CSV)",
        partial(table.map_csv, shown.plan, shown.growth),
    )
    pieces.save(words, data, "operating_limits.csv", "heave:save:limits")


def _table(over: Curve, shown: Shown) -> None:
    head, rows = table.rows(over, shown.letters_with(), shown.system)
    pieces.wide_table("limits", head, rows, "Limits are rounded down.")


def card(shown: Shown) -> None:
    """The limit card as it prints, revision and author of the plan's title block, and a button that saves it."""
    st.subheader("Limit card")
    left, right = st.columns(2)
    with left:
        field(("record", "revision"))
    with right:
        field(("record", "prepared_by"))
    limits = kept_limits.card(shown.plan, shown.growth)
    letters = tuple(shown.letters_with(limits.planned).items())
    date = f"{datetime.now(UTC):%Y-%m-%d}"
    text = _text(state.plan(), shown.growth, shown.system, letters, date)
    pieces.one_page("card", text, "limit_card.html", "The limit card", CARD_HEIGHT)


@lru_cache(maxsize=4)
def _text(plan: Plan, growth: Growth, system: str, letters: tuple[tuple[str, str], ...], date: str) -> str:
    """The file, made once for what stands in it."""
    limits = kept_limits.card(kept_limits.resting_on(plan), growth)
    return html_of(card_of(limits, state.assessed(plan), dict(letters), system, date))
