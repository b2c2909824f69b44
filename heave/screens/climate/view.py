"""What came of a climate: the headline, the picture by class, months and years, checks, headings, waits, line work."""

from __future__ import annotations

import math
from functools import lru_cache, partial

import streamlit as st

from heave.judging import unjudged_path
from heave.judging.checks import NOT_ASSESSED
from heave.planning import Plan
from heave.planning.other_seas import HEADING_RULES
from heave.screens import every_page, pieces, state
from heave.screens.climate import run, store, tables
from heave.screens.figures.climate_curves import climate_months_figure, spells_figure
from heave.screens.figures.sea_classes import Axes, classes_figure
from heave.screens.figures.tables import of_texts
from heave.screens.inputs import listed, numbered, plain
from heave.screens.weather import table
from heave.screens.weather.clock import hours
from heave.screens.weather.table import share_words
from heave.studies.climate import ClassShares, Operability, StepClimate
from heave.studies.line_years import LineYear, line_year
from heave.studies.persistence import persistence
from heave.studies.record_classes import classes_of_record
from heave.studies.scatter import Scatter
from heave.studies.waiting import waiting_times
from heave.units import show

NOT_JUDGED = (
    "On the checks judged. Not judged: the riser beyond the rig's own limits, station keeping and disconnecting, "
    "cranes and helicopters, what the rig waits in, and swell that crosses where the climate has none. It is a "
    "plan's figure and no permission to start."
)


def answer(found: Operability) -> StepClimate:
    """The headline of one operation, its tiles, and the picture of its seas; returns that operation."""
    place = _pick(found)
    step = found.steps[place]
    shares = step.shares
    with st.container(key="verdict-climate"):
        st.markdown(f"## {plain(headline(step))}")
        path = unjudged_path(found.plan, step.step.operation)
        for line in (*lines(step), *found.seas.lacking, *filter(None, (path,))):
            st.markdown(plain(line))
        st.caption(plain(NOT_JUDGED))
    rows = [
        ("Workable", share_words(shares.workable), "every check made and within limits"),
        ("Over a limit", share_words(shares.over), _dearest(step)),
        ("Not assessed", share_words(shares.unknown), "never counted as workable"),
    ]
    work = _line(found, step)
    if work is not None:
        hourly, yearly = (show(one, "line_work", state.system()) for one in (work.hourly, work.yearly))
        under = f"{hourly} an hour worked, {work.hours:.0f}\u00a0h a year"
        rows.append(("Line work of a year", yearly, under))
    pieces.tiles(rows, "-climate")
    return step


def headline(step: StepClimate) -> str:
    """The operation and how much of the time it can be worked, as planned."""
    name = step.step.label
    if step.shares.workable == 0 and step.shares.unknown > 0:
        return f"{name}: {NOT_ASSESSED}"
    unknown = f", {share_words(step.shares.unknown)} not assessed" if step.shares.unknown > 0 else ""
    return f"{name}: workable {share_words(step.shares.workable)} of the time{unknown}"


def lines(step: StepClimate) -> list[str]:
    """What stands under the headline: doubt, where in their classes the seas are, the years."""
    told = []
    shares = step.shares
    if step.doubtful > 0:
        least = share_words(shares.workable * (1 - step.doubtful))
        told.append(f"At the planned values. With all that is not known at its worst: {least} of the time.")
    classes = step.classes
    if classes is not None:
        told.append(
            f"Where a sea lies within its class is not known: from {share_words(classes.low)} (classes workable "
            f"throughout) to {share_words(classes.high)} (workable somewhere); by class middles "
            f"{share_words(classes.centre)}."
        )
    if step.years is not None:
        years = step.years
        told.append(
            f"Years differ: one in ten below {share_words(years.p10)}, half below {share_words(years.p50)}, one in ten "
            f"above {share_words(years.p90)} ({len(years.years)} years of the record, of the time that is known)."
        )
    if shares.unknown > 0 and not math.isnan(shares.of_known):
        told.append(f"Of the time that is known, {share_words(shares.of_known)} is workable.")
    return told


def _dearest(step: StepClimate) -> str:
    costs = [cost for cost in step.checks if cost.governs > 0]
    return f"{share_words(costs[0].governs)} by {costs[0].name.lower()}" if costs else "none"


def _pick(found: Operability) -> int:
    """Which operation is looked at; asked only where there are several."""
    names = numbered(one.step.label for one in found.steps)
    about = "Whose checks, months and classes are shown below."
    return listed("Operation", "heave:climate:step", "climate:step", names, about) if len(names) > 1 else 0


@lru_cache(maxsize=4)
def _line(found: Operability, step: StepClimate) -> LineYear | None:
    return line_year(found.plan, found.seas, step)


_waits = lru_cache(maxsize=2)(waiting_times)
_spells = lru_cache(maxsize=4)(persistence)
"""Worked once for what they are of."""


def details(found: Operability, step: StepClimate) -> None:
    """Everything under the headline, a tab each."""
    parts = {
        "Seas": partial(_seas, found, step),
        "Checks": partial(_checks, step),
        "Months and years": partial(_months, step),
        "Headings": partial(_headings, found.plan),
        "Waiting": partial(_waiting, found, step),
        "Notes": partial(_notes, found),
    }
    pieces.tabs("climate", parts)


def _seas(found: Operability, step: StepClimate) -> None:
    axes, shares = _classes(found, step)
    table.draw(tables.operations_table(found), "operations", "operability.csv", "Save the operations (CSV)")
    drawing = classes_figure(axes, shares, every_page.look(), state.system())
    rows = tables.classes_table(axes.hs, axes.period, axes.kind, shares)
    pieces.picture(drawing, "Seas by class", partial(of_texts, rows))
    st.caption(
        "Each box is a class of the diagram with its share of the time in per cent, small where it is rare. Filled "
        "from below as far as it can be worked; hatched above that: over a limit; open with dots: not assessed."
    )
    if found.seas.record is not None:
        words = "Classes of the total Hs and the Tp of the highest system; seas that are missing are in none."
        st.caption(words)
    table.save(rows, "classes", "classes.csv", "Save the classes (CSV)")


@lru_cache(maxsize=4)
def _classes(found: Operability, step: StepClimate) -> tuple[Axes, ClassShares]:
    """The classes of a diagram, or those that a record falls in."""
    source = found.seas.source
    if step.classes is not None and isinstance(source, Scatter):
        return Axes(source.hs_limits, source.period_limits, source.period_kind), step.classes
    hs, period, shares = classes_of_record(found.seas, step)
    return Axes(hs, period, "Tp"), shares


def _checks(step: StepClimate) -> None:
    rows = tables.checks_table(step)
    if not rows:
        st.markdown("No check is over its limit in any of these seas.")
        return
    table.draw(rows, "climate-checks", "checks.csv", "Save the checks (CSV)")
    st.caption(
        "Shares of all the time. Governs: over and the highest, these add up to the time over a limit. Over: whatever "
        "others are. Alone over: what would be won if this check alone could be met."
    )


def _months(step: StepClimate) -> None:
    rows = tables.months_table(step)
    if not rows:
        words = "This scatter diagram is of the whole year: it tells nothing by month, nor of one year against another."
        st.info(words)
        return
    figure = climate_months_figure(step, every_page.look())
    alt = "Share of each month that can be worked, and how years differ"
    pieces.chart(figure, "climate-months", alt, name="Workable by month")
    table.draw(rows, "climate-months", "months.csv", "Save the months (CSV)")
    if any(step.month_years):
        st.caption(
            "Years: share of the time that is known, of months known for nine tenths; quantiles linear in between."
        )


def _headings(plan: Plan) -> None:
    """All rules of headings side by side."""
    diagram = store.diagram()
    if diagram is not None:
        found = {rule: store.of_scatter(plan, diagram, rule) for rule in HEADING_RULES}
        rules = {rule: one for rule, one in found.items() if isinstance(one, Operability)}
    else:
        counted = run.results()
        same = {rule for rule, one in counted.items() if store.same_question(one.plan, plan)}
        rules = {rule: counted[rule] for rule in HEADING_RULES if rule in same}
        lacking = tuple(rule for rule in HEADING_RULES if rule not in rules)
        if lacking:
            run.button("Work out the other headings", lacking, "others")
    rows = tables.headings_table(plan, rules)
    table.draw(rows, "climate-headings", "headings.csv", "Save the headings (CSV)")
    st.caption(
        "Share of the time that each operation can be worked. The more freely the vessel may turn, the more is "
        "workable; how fast it turns, and wind and current that hold the bow elsewhere, are not counted."
    )


def _waiting(found: Operability, step: StepClimate) -> None:
    if found.seas.record is None:
        st.info(
            "A scatter diagram has no order in time: it cannot tell how long the rig waits, nor how long a spell "
            "lasts. For that bring a hindcast."
        )
        return
    waits = _waits(found)
    whole = waits.overall
    planned = hours(sum(block.planned for block in waits.campaign.blocks))
    rows = (
        ("Wait P50", hours(whole.p50), "all steps, half of the start dates wait no longer"),
        ("Wait P90", hours(whole.p90), "nine in ten wait no longer"),
        ("Done after P50", hours(whole.done_p50), f"planned {planned}"),
        ("Done after P90", hours(whole.done_p90), "from the start date, waits included"),
    )
    pieces.tiles(rows, "-waits")
    st.subheader("Waiting for weather, by month of the start date")
    table.draw(tables.waits_table(waits), "climate-waits", "waiting.csv", "Save the waits (CSV)")
    st.subheader("How long spells last")
    spells = _spells(found, found.steps.index(step))
    figure, alt = spells_figure(spells, every_page.look()), "Share of spells that last at least so long"
    pieces.chart(figure, "climate-spells", alt, name="How long spells last")
    table.draw(tables.spells_table(spells), "climate-spells", "spells.csv", "Save the spells (CSV)")
    st.caption(
        "Workable spells are counted from their first to their last sample, those over a limit from the sample before "
        "to the one after. Cut short: the record, a gap or a missing sea ends it, so it was at least that long."
    )
    every_page.cautions(waits.notes)


def _notes(found: Operability) -> None:
    record = found.seas.record
    of_record = () if record is None else tuple(f"Record: {note}" for note in record.notes)
    every_page.cautions((*found.notes, *of_record))
