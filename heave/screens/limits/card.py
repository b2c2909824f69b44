"""The limit card: limiting heights as they are printed, and what they hold for."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from heave import fields
from heave.files.plan import plan_to_json
from heave.files.seals import text_hash
from heave.judging import NOT_ASSESSED, Assessment, unjudged_path, wanted
from heave.judging.limit_card import LimitCard
from heave.judging.limiting import HIGHEST_TRIED
from heave.planning import MODEL_DATE, MODEL_VERSION, Plan
from heave.screens.check.tiles import tile_texts
from heave.screens.check.verdict import floored
from heave.screens.inputs import inside, names_of, sentence, shown_number
from heave.units import fixed, show, significant, unit_of, with_unit

NO_LIMIT: Final = "\u2013"
UNKNOWN: Final = "?"


@dataclass(frozen=True)
class Cell:
    """One cell as printed.

    limit : planned values, rounded down; '–' where no sea that can be reaches it, '?' where not assessed
    letter : of the check that reaches 1; empty where none does
    worst : the same at the worst ends of the ranges
    """

    limit: str
    letter: str
    worst: str


@dataclass(frozen=True)
class Card:
    """What stands on the card; every text plain.

    missing : why it is not assessed; empty where it is
    columns : angles off the bow; under_columns the relative headings of the planner
    rows : peak period, cells, steepest sea
    legend : letter and name of each check
    """

    title: str
    plan: str
    what: str
    missing: str
    unit: str
    columns: tuple[str, ...]
    under_columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...], str], ...]
    legend: tuple[tuple[str, str], ...]
    reading: str
    settings: tuple[str, ...]
    ranges: tuple[str, ...]
    valid: tuple[str, ...]
    not_judged: tuple[str, ...]
    cautions: tuple[str, ...]
    footer: tuple[str, ...]


def printed(hs: float, highest: float, system: str) -> str:
    """A limit as printed, rounded down to a tenth of the unit; see `Cell`.

    Parameters
    ----------
    hs : limiting height, infinite, or NaN where not assessed [m]
    highest : highest sea that can be [m]
    system : units
    """
    if math.isnan(hs):
        return UNKNOWN
    if hs > highest or math.isinf(hs):
        return NO_LIMIT
    return fixed(floored(hs / unit_of("length", system).factor, 1), 1)


def card_of(card: LimitCard, result: Assessment, letters: dict[str, str], system: str, date: str) -> Card:
    """The card of limits in words and figures.

    Parameters
    ----------
    card : limits
    result : assessment of its plan, for settings, cautions and title block
    letters : of the checks by key, every check that governs on the card among them
    system : units
    date : of issue, ISO 8601
    """
    plan, unit = result.plan, unit_of("length", system).symbol
    revision, author = (words or "_" * 16 for words in (plan.record.revision, plan.record.prepared_by))
    hashed, missing = text_hash(plan_to_json(plan.without_progress)), _missing(card)
    names = dict(zip(card.planned.keys, card.planned.names, strict=True))
    rows = []
    for i, tp in enumerate(card.periods):
        highest = float(card.highest[i])
        cells = tuple(_cell(card, letters, i, j, system) for j in range(len(card.angles)))
        steep = "" if math.isinf(highest) else printed(highest, math.inf, system)
        rows.append((f"{tp:.3g}", cells, steep))
    used = {cell.letter for _, cells, _ in rows for cell in cells}
    return Card(
        title=f"Limit card: {inside(plan.operation.about.label)}",
        plan=plan.name or "Plan without a name",
        what=f"Significant wave height Hs, {unit}, of {card.growth.words}",
        missing=missing,
        unit=unit,
        columns=tuple(_column(angle, card.both_sides) for angle in card.angles),
        under_columns=tuple(f"{_relative(angle):.0f}" for angle in card.angles),
        rows=tuple(rows),
        legend=tuple((letter, names[key]) for key, letter in letters.items() if letter in used),
        reading=_reading(card, system),
        settings=_settings(result, system),
        ranges=_ranges(plan, system),
        valid=_valid(card, system),
        not_judged=_not_judged(result),
        cautions=tuple(line for line in result.cautions if line not in _of_own_sea(plan)),
        footer=(
            f"Revision {revision} · issued {date} by {author} · approved "
            "________________ · replaces every card of an earlier date for this operation",
            f"Model {MODEL_VERSION} of {MODEL_DATE} · SHA-256 of the plan file, without a forecast, {hashed}",
        ),
    )


def _cell(card: LimitCard, letters: dict[str, str], i: int, j: int, system: str) -> Cell:
    highest = float(card.highest[i])
    limit = printed(float(card.planned.hs[i, j]), highest, system)
    place = card.planned.governed_by[i, j]
    reached = limit not in (NO_LIMIT, UNKNOWN) and place >= 0
    letter = letters[card.planned.keys[place]] if reached else ""
    return Cell(limit, letter, printed(float(card.worst.hs[i, j]), highest, system))


def _missing(card: LimitCard) -> str:
    if not any(map(math.isnan, card.planned.hs.ravel())):
        return ""
    return "; ".join(wanted(card.plan)) or "a required check could not be made in every sea"


def _column(angle: float, both_sides: bool) -> str:
    whole = round(angle)
    if whole in (0, 180):
        return "ahead" if whole == 0 else "astern"
    off = min(whole, 360 - whole)
    return f"{off}°" if both_sides else f"{off}° {'S' if whole < 180 else 'P'}"


def _relative(angle: float) -> float:
    """The planner's relative heading of waves from an angle off the bow: 180 a head sea, both sides alike."""
    return abs(180.0 - angle)


def _reading(card: LimitCard, system: str) -> str:
    unit = unit_of("length", system).symbol
    sides = (
        "Angles are off the bow, to either side: port and starboard agree within 0.2\u00a0% and the lower is given. "
        if card.both_sides
        else "Angles are off the bow, S to starboard, P to port: the two sides differ. "
    )
    rows = "" if card.plan.sea.measured is not None else "Rows: peak period Tp in seconds. "
    return (
        f"{rows}Columns: where these waves come from. {sides}Large: up to it no check that is judged is over its "
        "limit on the planned values, and the letter names the check that reaches it first. Small: the same with all "
        f"that is not known at its worst. All rounded down to 0.1 {unit}; 0.0 is no sea at all. {NO_LIMIT}: not "
        "reached in any possible sea, up to the steepest of the period (last column; DNV-RP-C205, 3.5.4) and to "
        f"{show(HIGHEST_TRIED, 'length', system)}, the highest tried. {UNKNOWN}: not assessed."
    )


def _settings(result: Assessment, system: str) -> tuple[str, ...]:
    plan = result.plan
    active = ""
    if plan.compensator.has_active:
        active = ", active part in use" if plan.active else ", active part taken as lost"
    told = tuple(f"{title} {figure}; {under}" for title, figure, under in tile_texts(result, system)[:2])
    return (
        f"{plan.compensator.name}, {plan.operation.about.compensator}{active}",
        f"Hookload {show(plan.hookload, 'force', system, 4)}, WOB {show(plan.wob_used, 'force', system)}, "
        f"overpull {show(plan.overpull, 'force', system)}, mud {show(plan.string.mud_density, 'density', system, 4)}",
        *told,
    )


def _ranges(plan: Plan, system: str) -> tuple[str, ...]:
    """Each range of what is not known, as its box in the sidebar has it."""
    lines = []
    for name in names_of(plan.ranges):
        about = fields.about(plan.ranges, name)
        value = getattr(plan.ranges, name)
        if value and isinstance(about, fields.Quantity):
            shown = with_unit(shown_number(value, about.kind, system), unit_of(about.kind, system).symbol)
            lines.append(f"{sentence(about.label)} ± {shown}")
    return tuple(lines) or ("None: every value taken as exact",)


def _valid(card: LimitCard, system: str) -> tuple[str, ...]:
    plan = card.plan
    seas = _waves(card, system) or ["the measured spectrum of the plan, scaled as a whole"]
    depth = plan.sea.depth
    water = "deep water" if depth is None else f"water {show(depth, 'length', system, 4)} deep"
    factor = f", heave × {shown_number(plan.heave_factor, 'number', system)}"
    calibrated = factor if plan.heave_calibration != 1 else ""
    beside = " Where the sea has other waves as well, this card does not hold." if card.growth.parted else ""
    return (
        f"This plan only: {plan.vessel.name}{calibrated}, string {show(plan.string.length, 'length', system, 4)}, "
        f"{water}.",
        f"Sea: {'; '.join(seas)}.{beside}",
        f"Exposure {show(plan.exposure, 'duration', system)}, accepted risk {show(plan.risk, 'fraction', system)}: "
        f"levels that 1 in {significant(1 / plan.risk)} such periods exceeds.",
        "Any other hookload, WOB, mud, setting, unit, draught or operation needs a card of its own. No forecast factor "
        "is in these heights: compare them with the sea that is there.",
    )


def _waves(card: LimitCard, system: str) -> list[str]:
    """Each wave system of the card, and where it comes from beside the first, whose angle the columns give."""
    sea = card.growth.sea(card.plan.sea)
    lines = []
    for place, wave in enumerate(sea.systems):
        line = f"{wave.label}: {wave.shape} spectrum, spreading {wave.spreading}"
        if place:
            first = sea.systems[0]
            # where all grow by one factor, the height of this one is a share of the whole
            height = show(wave.hs, "length", system)
            if card.growth.system is None:
                height = f"{show(wave.hs / sea.hs, 'fraction', system)} of the whole"
            turn = (wave.direction_from - first.direction_from) % 360.0
            line += (
                f", Hs {height}, Tp {show(wave.tp, 'period', system)}, from {show(turn, 'direction', system)} "
                f"clockwise of the {first.label}"
            )
        lines.append(line)
    return lines


def _of_own_sea(plan: Plan) -> set[str]:
    """Cautions that speak of the plan's own sea, or stand on the card under a heading of their own."""
    elsewhere = f"Not judged here, and who judges it: {'; '.join(plan.operation.about.elsewhere)}."
    return {*plan.sea.warnings(), elsewhere, unjudged_path(plan)}


def _not_judged(result: Assessment) -> tuple[str, ...]:
    open_ = [c.name.lower() for c in result.checks if c.state == NOT_ASSESSED and not c.required]
    lines = [unjudged_path(result.plan), *result.plan.operation.about.elsewhere]
    if open_:
        lines.append(f"No limit given, so not judged: {', '.join(open_)}.")
    return tuple(sentence(line) for line in lines if line)
