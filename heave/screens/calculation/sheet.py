"""The calculation sheet as one HTML file: it prints on A4 and Letter, asks nothing of a network and holds its plan."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from html import escape
from typing import Final

from heave.files.calculation_json import WIND
from heave.files.listing import inputs_of
from heave.files.plan import plan_to_json
from heave.files.seals import ROLES, outdated, stale, text_hash
from heave.files.sheet_plan import plan_block
from heave.judging import OVER, WITHIN, Assessment, Check, unjudged_path
from heave.judging.calculation import calculation
from heave.judging.path_loads import path_loads
from heave.planning import Plan, Signed
from heave.planning.rig import load_over_stroke
from heave.screens import printing
from heave.screens.calculation.working import chapters_html, inputs_html
from heave.screens.check.verdict import answer_words, computed_for, governs, quiet_words, without_quiet_links
from heave.screens.figures.bit_band import bit_figure
from heave.screens.figures.look import LIGHT
from heave.screens.figures.printed_curves import load_printed, spectra_printed
from heave.screens.figures.reeving import reeving_figure
from heave.screens.figures.stroke_column import stroke_figure
from heave.screens.figures.utilisation import utilisation_figure, utilisation_text
from heave.screens.inputs import sentence
from heave.screens.printing import section, tag, words
from heave.units import show, show_apart, significant

ROWS: Final = 12
"""Most checks in one picture, which has to find room on a page."""

HASHED: Final = (
    "Of the file that Save the plan writes, byte for byte, while no forecast of your own is in use; a file that holds "
    "a forecast has another hash."
)
"""How a reader comes to the hash of the plan file."""


_BESIDE: Final = ("weather", "other_seas", "procedures")
"""Parts of a plan that are listed apart: no check of it rests on them."""

_TONED: Final = re.compile(r"(?<!\\):(?:blue|orange|red|gray)\[([^\]\\]*)\]")
"""Words that the page colours; on paper they stand by themselves."""


_ON_SCREEN: Final = ": the box stands under Operation in the sidebar"
"""What the page says of itself, which no paper has."""


def html_of(assessment: Assessment, system: str = "metric", *, with_plan: bool = True) -> str:
    """The whole sheet, made of the values that made the verdict; every text on it is escaped.

    Parameters
    ----------
    assessment : of the plan
    system : units on the paper
    with_plan : whether the plan's own text is in it, from which it can be read again
    """
    plan = assessment.plan
    text = plan_to_json(plan.without_progress)
    hashed = text_hash(text)
    groups = inputs_of(plan)
    judged = [one for one in groups if not one.path.startswith((*_BESIDE, "ranges"))]
    ranges = [one for one in groups if one.path.startswith("ranges")]
    rest = [one for one in groups if one.path.startswith(_BESIDE)]
    body = (
        words("h1", "Calculation sheet"),
        _title_block(plan, hashed, system),
        _answer(assessment, system),
        _names(plan),
        section("Note of the author", words("p", plan.record.note or "None.", "note")),
        section("Checks", _checks_table(assessment.checks, system)),
        section("Figures", "".join(_figures(assessment, system))),
        section("Inputs", inputs_html(judged, system)),
        section(
            "Assumptions and ranges", printing.items(_assumptions(plan, system)) + inputs_html(ranges, system)
        ),
        section("Calculation", chapters_html(calculation(assessment), assessment, system)),
        _active_lost(assessment, system),
        section("Cautions", printing.items(assessment.cautions)),
        section("Not judged here, and who decides", printing.items(_not_judged(plan))),
        section("Where the inputs are from", printing.items(_origins(plan))),
        section("Rest of the plan, no part of this calculation", inputs_html(rest, system)) if rest else "",
    )
    style = printing.style_of("pages", "calculation") + printing.page_style(printing.foot(plan, hashed))
    data = plan_block(text) if with_plan else ""
    return printing.document(f"Calculation sheet, {plan.name}", style, "".join(body), data=data)


def _title_block(plan: Plan, hashed: str, system: str) -> str:
    cells = [words("td", label) + words("td", value) for label, value in printing.title_pairs(plan, system)]
    rows = ["".join(cells[place : place + 2]) for place in range(0, len(cells), 2)]
    if plan.record.hour.words:
        rows.append(words("td", "Hour of a forecast") + _wide(escape(plan.record.hour.words)))
    told = words("div", HASHED, "quiet")
    rows.append(words("td", "SHA-256 of the plan file") + _wide(words("span", hashed, "hash") + told))
    return tag("table", tag("tbody", "".join(tag("tr", row) for row in rows)), "block")


def _wide(content: str) -> str:
    return f'<td colspan="3">{content}</td>'


def headline(assessment: Assessment) -> str:
    """The verdict as the large word of the sheet, with what must not be missed beside it.

    Parameters
    ----------
    assessment : of the plan
    """
    plan = assessment.plan
    said = answer_words(assessment, None)
    if plan.record.hour.words and assessment.verdict != OVER:
        said += ", wind and current not judged"
    return ", ".join((said, *stale(plan)))


def _answer(assessment: Assessment, system: str) -> str:
    """Verdict, what governs, what is missing, and what the numbers were."""
    told = governs(assessment, system).replace(_ON_SCREEN, "").split("  \n")
    lines = [printing.marked(_TONED.sub(r"\1", line)) for line in told]
    lines.append(escape("Not judged here: " + "; ".join(_elsewhere(assessment.plan)) + "."))
    word = tag("p", printing.mark(assessment.verdict, 40) + words("span", headline(assessment)), "word")
    computed = tag("p", printing.marked(computed_for(assessment, system)), "quiet")
    return tag("div", word + "".join(tag("p", line) for line in lines), "answer") + computed


def _names(plan: Plan) -> str:
    """Who prepared, checked and approved it, whether that holds for the plan as it is, and room to sign."""
    rows = [("Prepared", plan.record.prepared_by, "")]
    for role in ROLES:
        entry: Signed = getattr(plan.record, role)
        state = outdated(plan, role) or (f"for this plan, model {entry.model}" if entry.by else "")
        rows.append((sentence(role), entry.by, state))
    head = ("", "Name", "Entered", "Signature", "Date")
    return tag("div", printing.table(head, [(*row, "", "") for row in rows], "names"), "whole")


def _checks_table(checks: Iterable[Check], system: str) -> str:
    head = ("Check", "Demand", "Capacity", "Used", "To", "State")
    rows, states = [], []
    for check in checks:
        demand, capacity = show_apart(check.demand, check.capacity, check.kind, system, 4)
        used, high = utilisation_text(check.utilisation), utilisation_text(check.high)
        rows.append((check.name, demand, capacity, used, high, check.state))
        states.append(check.state)
    told = "Used is demand over capacity; To is the highest over the ranges of what is not known."
    return tag("div", printing.table(head, rows, "figures", states), "wide") + words("p", told, "quiet")


def _figures(assessment: Assessment, system: str) -> Iterator[str]:
    """The pictures of the check page and the hoisting page, on white."""
    plan, look, responses = assessment.plan, LIGHT, assessment.responses
    states = {check.key: check.state for check in assessment.checks}
    shown, quiet = without_quiet_links(assessment.by_utilisation)
    told = "Checks, most used first; a thin line goes on to the highest over the ranges."
    left = f" {quiet_words(quiet)}: see the table." if quiet else ""
    rows = math.ceil(len(shown) / math.ceil(len(shown) / ROWS))
    for place in range(0, len(shown), rows):
        drawing = utilisation_figure(shown[place : place + rows], plan.caution_level, look, system)
        yield printing.figure(drawing, told + left, f"used{place}")
    told = "Sea and heave at the hoist: areas are energy."
    yield printing.figure(spectra_printed(responses, system), told, "spectra")
    working = plan.operation.compensated
    curve = load_over_stroke(plan, assessment.setting) if working else None
    if curve is not None:
        told = "Load over the stroke; seal friction parts the lines."
        yield printing.figure(load_printed(curve, system), told, "load")
    tall = []
    if responses.stroke is not None:
        sides = (states.get("stroke_rising", WITHIN), states.get("stroke_falling", WITHIN))
        drawing = stroke_figure(responses.stroke, look, system, *sides)
        tall.append(printing.figure(drawing, "Stroke column, to scale.", "stroke"))
    found = path_loads(plan)
    if plan.hoisting is not None and found is not None:
        drawing = reeving_figure(plan, plan.hoisting, found, found.states(assessment.checks), look, system)
        tall.append(printing.figure(drawing, "The reeved system and the load on every part.", "path"))
    yield tag("div", "".join(tall), "beside")
    if responses.bit is not None:
        limits = (plan.operation.wob_low, plan.operation.wob_high)
        drawing = bit_figure(responses.bit, look, system, *limits)
        yield printing.figure(drawing, "Weight on bit between its limits.", "bit")


def _assumptions(plan: Plan, system: str) -> Iterator[str]:
    yield (
        f"Extremes are the level that is exceeded in 1 of {significant(1 / plan.risk)} exposures of "
        f"{show(plan.exposure, 'duration', system)}, at each end by itself; the sea stays as it is meanwhile."
    )
    yield (
        "The sea is Gaussian, the vessel's response linear in wave height, the compensator made linear for this sea; "
        "Method and sources has the reasons."
    )
    yield (
        "Amplitudes are single unless named otherwise, Hs is crest to trough, directions are where waves come from in "
        "degrees true, and a relative heading of 180° is a head sea."
    )
    yield (
        "Every check is worked at the planned values, and again at the worst of the ranges below together; it is near "
        f"a limit from {significant(plan.caution_level)} as planned, or where the worst of the ranges reaches 1."
    )
    yield "Sources marked common practice or from memory were not looked up in a document."
    if plan.compensator.has_active:
        lost = (
            " What it comes to when it is lost stands under Active part lost." if plan.active_in_use else ""
        )
        yield f"The active part is {'at work' if plan.active else 'taken as lost'}.{lost}"


def _active_lost(assessment: Assessment, system: str) -> str:
    """The second verdict, with its checks."""
    lost = assessment.lost
    if lost is None:
        return ""
    governing = "" if lost.governing is None else f", governed by {lost.governing.name}"
    line = f"{printing.mark(lost.verdict)} <b>{escape(sentence(lost.verdict))}</b>{escape(governing)}."
    how = "The steps are those above with the active part off; its own sheet prints them when it is set so."
    content = tag("p", line) + _checks_table(lost.checks, system) + words("p", how, "quiet")
    return section("Active part lost", content)


def _not_judged(plan: Plan) -> Iterator[str]:
    yield from filter(None, (unjudged_path(plan),))
    yield from _elsewhere(plan)


def _elsewhere(plan: Plan) -> Iterator[str]:
    """What others judge, and who."""
    if plan.record.hour.words:
        yield WIND
    yield from plan.operation.about.elsewhere
    yield from printing.OTHERS


def _origins(plan: Plan) -> Iterator[str]:
    """Where the inputs are from, as far as somebody said."""
    yield f"Vessel: {plan.vessel.provenance or 'nobody said where its response is from'}"
    source = getattr(plan.vessel.response, "source", "")
    if source:
        yield f"Response table: {source}"
    yield f"Compensator: {plan.compensator.note or 'nobody said where its data are from'}"
    yield f"Limits of the operation: {plan.operation.limits_from or 'as entered in the plan'}"
    entered = plan.hookload_entered is not None
    yield f"Hookload: {'as entered' if entered else 'worked out from the string'}"
    sea = plan.sea.measured
    if sea is not None:
        yield f"Sea: measured spectrum {sea.label}".strip()
    elif plan.record.hour.words:
        yield f"Sea: {plan.record.hour.words}"
    else:
        yield "Sea: as entered in the plan"
    mapping = plan.weather.forecast_mapping
    if mapping is not None:
        columns = "; ".join(
            f"{one.column}: {one.quantity} of {one.system}"
            + "".join(f", {said}" for said in (one.unit, one.period_kind, one.sense) if said)
            for one in mapping.columns
        )
        yield f"Conventions answered when the forecast was read: {columns}"
