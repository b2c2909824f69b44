"""Random plans, and everything that is made of one: checks, sheets, limits card, weather windows, film.

`drawn` takes demonstration equipment and changes a dozen of a plan's numbers within what a field allows; `through`
works all that a page would show of it and looks for figures and words that are none.
"""

from __future__ import annotations

import json
import math
import random
import re
from dataclasses import fields, is_dataclass, replace
from functools import cache
from typing import Any, Final

from heave.drill_string import DrillString
from heave.errors import InputError
from heave.fields import Quantity
from heave.files.calculation_json import calculation_to_json
from heave.files.plan import plan_to_json, read_plan_file
from heave.files.rigs import demo_compensators, demo_plan, demo_strings, demo_vessels
from heave.judging import Assessment, assess
from heave.judging.limit_card import limit_card
from heave.judging.limit_curves import growths
from heave.planning import OPERATIONS, Plan
from heave.planning.rig import closed_form_vessels
from heave.screens.calculation import sheet as calculation_sheet
from heave.screens.check import verdict
from heave.screens.figures.look import LIGHT
from heave.screens.figures.sides import Side
from heave.screens.film.payload import film_of
from heave.screens.limits import card, card_html
from heave.screens.weather import sheet, sheet_html
from heave.screens.weather.clock import Clock
from heave.screens.weather.store import sample
from heave.sea import SeaState, WaveSystem
from heave.simulation.comparisons import Variant
from heave.simulation.played import play
from heave.simulation.scenario import Scenario
from heave.weather import weather_windows

ODD: Final = re.compile(r"(?<![\w-])-?(?:nan|inf)(?![\w-])", re.I)
SYSTEMS: Final = "metric", "oilfield"


class Odd(Exception):
    """What must not come of a plan."""


@cache
def _library() -> tuple[tuple[Any, ...], tuple[Any, ...], tuple[Any, ...]]:
    vessels = (*demo_vessels().values(), *closed_form_vessels().values())
    return vessels, tuple(demo_compensators().values()), tuple(demo_strings().values())


def drawn(draw: random.Random) -> Plan:
    """A plan of demonstration equipment with up to a dozen numbers changed; draws again where they do not fit."""
    while True:
        try:
            return _drawn(draw)
        except InputError:
            continue


def _drawn(draw: random.Random) -> Plan:
    vessels, compensators, strings = _library()
    height = math.exp(draw.uniform(math.log(0.2), math.log(14.0)))
    systems = tuple(
        WaveSystem(
            height * draw.uniform(0.3, 1.0),
            draw.uniform(3.0, 24.0),
            draw.choice(("Tp", "Tz", "T1", "Te")),
            draw.uniform(0, 360),
        )
        for _ in range(draw.choice((1, 2, 2, 3, 8)))
    )
    string: DrillString = draw.choice(strings)
    kind = draw.choice(tuple(OPERATIONS))
    plan = demo_plan().changed(
        vessel=draw.choice(vessels),
        compensator=draw.choice(compensators),
        string=string,
        hookload_entered=None,
    )
    plan = plan.doing(kind).changed(
        sea=SeaState(systems, draw.choice((None, 90.0, 400.0, 1500.0, 12_000.0))),
        heading=draw.uniform(0.0, 360.0),
        risk=draw.choice((1e-4, 0.01, 0.1, 0.5)),
        exposure=draw.choice((600.0, 3600.0, 21_600.0, 864_000.0)),
        active=draw.random() < 0.7,
    )
    for _ in range(draw.choice((0, 1, 3, 8, 12))):
        try:
            plan = _with_another_number(plan, draw)
        except InputError:
            continue
    return plan


def _with_another_number(plan: Plan, draw: random.Random) -> Plan:
    """One number of the plan, its unit, string, operation, offsets, ranges or hoisting drawn anew."""
    part = draw.choice(("", "compensator", "string", "operation", "offsets", "ranges", "hoisting"))
    holder = getattr(plan, part) if part else plan
    if not is_dataclass(holder):
        return plan
    named = [one for one in fields(holder) if isinstance(one.metadata.get("about"), Quantity) and one.init]
    one = draw.choice(named)
    about, value = one.metadata["about"], getattr(holder, one.name)
    low, high = (-1e9 if about.low is None else about.low), (1e9 if about.high is None else about.high)
    ends = [end for end in (about.low, about.high) if end is not None]
    if draw.random() < 0.25 and ends:
        value = draw.choice(ends)
    elif value:
        value = min(max(value * math.exp(draw.uniform(-1.5, 1.5)), low), high)
    else:
        value = draw.uniform(0.0, min(high, 10.0))
    changed = replace(holder, **{one.name: value})
    return plan.changed(**{part: changed}) if part else changed


def through(plan: Plan, *, slow: bool, sheets: bool = True) -> str:
    """The verdict of a plan; what is made of it is figures and words: checks, file, `sheets`, and what is `slow`."""
    result = assess(plan)
    _figures(result)
    for system in SYSTEMS if slow else SYSTEMS[:1]:
        _words("verdict", verdict.governs(result, system), verdict.computed_for(result, system))
        _words("checks", *(one.headline(system) for one in result.checks))
        if sheets:
            _words("calculation sheet", calculation_sheet.html_of(result, system))
    _words("cautions", *map(str, result.cautions))
    if sheets:
        json.loads(calculation_to_json(result), parse_constant=_refuse)
    again = read_plan_file(plan_to_json(plan).encode()).plan
    if again != plan:
        raise Odd("another plan when it is read again")
    if slow:
        _limits(result)
        _windows(plan)
        _film(result)
    return result.verdict


def _refuse(word: str) -> None:
    raise Odd(f"{word} in JSON")


def _figures(result: Assessment) -> None:
    for check in result.checks:
        known = math.isfinite(check.demand) and not math.isnan(check.utilisation)
        if not known and check.state != "not assessed" and not math.isinf(check.utilisation):
            raise Odd(f"{check.key} is {check.state} at {check.demand} of {check.capacity}")
        if check.state != "not assessed" and math.isnan(check.high):
            raise Odd(f"{check.key} is {check.state} with no worst end")
        # of a unit that starts near one end the travel towards the other may not come back to mid-stroke
        below = check.kind == "temperature" or check.key in ("stroke_rising", "stroke_falling")
        if check.demand < -1e-6 * max(1.0, abs(check.capacity)) and not below:
            raise Odd(f"{check.key} asks for {check.demand}")


def _words(where: str, *texts: str) -> None:
    for text in texts:
        found = ODD.search(re.sub(r"<script.*?</script>|data:[^\"')]*", "", text, flags=re.S))
        if found:
            raise Odd(f"{where}: ...{text[max(found.start() - 80, 0) : found.end() + 40]}...")


def _limits(result: Assessment) -> None:
    growth = growths(result.plan)[-1]
    try:
        found = limit_card(result.plan, growth, (8.0, 13.0))
    except InputError:
        return
    letters = {key: chr(65 + place) for place, key in enumerate(found.planned.keys)}
    letters |= {key: letters.get(key, "Z") for key in found.worst.keys}
    for system in SYSTEMS:
        _words("limits card", card_html.html_of(card.card_of(found, result, letters, system, "2026-01-01")))


def _windows(plan: Plan) -> None:
    try:
        result = weather_windows(plan, sample().forecast)
    except InputError:
        return
    why = InputError("sea state", "not looked at", None, "a sea")
    made = sheet.sheet_of(result, Clock(), "metric", [why] * len(result.campaign.steps))
    _words("morning sheet", sheet_html.html_of(made))


def _film(result: Assessment) -> None:
    plan, scenario = result.plan, Scenario(duration=30.0)
    variant = Variant("it", plan, "as planned")
    try:
        played = play(variant, scenario)
    except InputError:
        return
    made = film_of([Side("A", variant, *played)], scenario, LIGHT, "metric")
    json.dumps(made, allow_nan=False)
