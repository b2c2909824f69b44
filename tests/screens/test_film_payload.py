"""The film's data: what the browser decodes is the run itself, whatever hangs between block and bit."""

from __future__ import annotations

import base64
import json
import struct
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from heave.compensator import GasUnit, InLine
from heave.files.rigs import demo_compensators, demo_plan
from heave.judging import assess
from heave.planning import Plan
from heave.planning.kinds import OperationKey
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.figures.sides import PANELS, Side
from heave.screens.film.happened import MOST_MARKS
from heave.screens.film.machine import limits_of
from heave.screens.film.payload import LONGEST, film_of
from heave.simulation.comparisons import Variant, variants, without_drilling
from heave.simulation.played import play
from heave.simulation.scenario import Happening, MeasuredHeave, Scenario
from heave.units import STANDARD_GRAVITY

UNITS = {
    "under the block": ("Demo in-line unit, 400 klbf", False),
    "under the crown": ("Demo crown-mounted unit, 600 klbf", False),
    "under the crown, active": ("Demo active-assisted unit, 600 klbf", True),
    "drawworks": ("Demo compensating drawworks", True),
    "driven by position": ("Demo unit driven by position, 600 klbf", True),
}
BYTES_A_SAMPLE = 9 * 2 * 4 / 3 + 4 / 3
"""Nine signals of two bytes and a byte of flags, in base64."""


def sides_of(drawn: Sequence[Variant], scenario: Scenario) -> list[Side]:
    return [
        Side(letter, variant, *play(variant, scenario)) for letter, variant in zip("AB", drawn, strict=False)
    ]


def film(plan: Plan, unit: str = "as planned", **how: Any) -> tuple[dict[str, Any], Side]:
    scenario = Scenario(**{"duration": 40.0, **how})
    (side,) = sides_of([Variant("it", plan, unit)], scenario)
    return json.loads(json.dumps(film_of([side], scenario, LIGHT, "metric"))), side


def decoded(signal: dict[str, Any]) -> np.ndarray:
    """As a browser does it: unsigned, two bytes, the lower first."""
    raw = base64.b64decode(signal["data"])
    steps = struct.unpack(f"<{len(raw) // 2}H", raw)
    return np.array([signal["low"] + (signal["high"] - signal["low"]) * u / 65535 for u in steps])


def flags(side: dict[str, Any], bit: int) -> np.ndarray:
    return np.array([bool(byte & bit) for byte in base64.b64decode(side["flags"])])


def with_unit(name: str) -> Plan:
    return demo_plan().changed(compensator=demo_compensators()[name])


def matches(side: dict[str, Any], result: Any, rows: slice = slice(None)) -> None:
    """Every signal is the run's own to a 65,000th of its span, or one level where it does not change."""
    for name, signal in side["signals"].items():
        own = getattr(result, name)[rows]
        found, span = decoded(signal), np.ptp(own)
        assert signal["high"] - signal["low"] == span
        assert np.abs(found - own).max() <= span / 65_000, name


@pytest.mark.parametrize("kind", UNITS)
def test_every_unit_decodes_to_its_own_run(kind: str) -> None:
    name, active = UNITS[kind]
    made, side = film(with_unit(name))
    (sent,) = made["sides"]
    machine, unit = sent["machine"], demo_compensators()[name]
    drawn = {"driven by position": "under the crown"}.get(kind, kind.split(",", maxsplit=1)[0])
    assert (machine["kind"], machine["active"], machine["locked"]) == (drawn, active, False)
    stroke = getattr(unit, "stroke", None)
    assert (machine["stroke"], machine["lines"], machine["contact"]) == (stroke, 12, "one-sided")
    assert machine["depth"] == pytest.approx(side.variant.plan.string.length)
    assert [piece["od"] for piece in machine["sections"]] == [
        section.outer_diameter for section in side.variant.plan.string.sections
    ]
    matches(sent, side.result)
    assert ("gas_pressure" in sent["signals"]) == (stroke is not None)
    assert ("active_force" in sent["signals"]) == active
    assert flags(sent, 16).all() == active
    assert made["count"] == len(side.result.time) == len(base64.b64decode(sent["flags"]))
    assert made["start"] == pytest.approx(side.result.time[0])
    assert made["step"] * (made["count"] - 1) == pytest.approx(side.result.time[-1] - side.result.time[0])


def test_a_hook_without_a_unit_goes_with_the_vessel() -> None:
    made, side = film(demo_plan(), "no compensator")
    (sent,) = made["sides"]
    assert (sent["machine"]["kind"], sent["machine"]["stroke"]) == ("none", None)
    matches(sent, side.result)
    hook, block = (decoded(sent["signals"][name]) for name in ("hook", "block"))
    assert np.abs(hook - block).max() < 2e-4
    assert "hook_load" not in sent["limits"]
    assert "stroke" not in sent["limits"]


def test_a_locked_unit_stays_where_it_was_locked() -> None:
    plan = demo_plan().changed(offsets=replace(demo_plan().offsets, start_position=0.8))
    made, side = film(plan, "locked")
    (sent,) = made["sides"]
    assert sent["machine"]["locked"]
    assert sent["machine"]["kind"] == "under the block"
    assert set(decoded(sent["signals"]["stroke"])) == {0.8}
    assert flags(sent, 8).all()
    assert not flags(sent, 4).any()
    for name in ("hook", "bit", "hook_load", "bit_force"):
        own = getattr(side.result, name)
        assert np.abs(decoded(sent["signals"][name]) - own).max() <= np.ptp(own) / 65_000
    unit = plan.compensator
    moving = plan.moving_mass * STANDARD_GRAVITY
    assert sent["limits"]["hook_load"] == [
        {"level": pytest.approx(unit.locked_rating - moving), "word": "rating locked"}
    ]


@pytest.mark.parametrize(("operation", "contact"), [("tripping", "none"), ("fixed", "held")])
def test_a_string_off_bottom_or_latched_is_sent_as_such(operation: OperationKey, contact: str) -> None:
    plan = demo_plan().changed(operation=replace(demo_plan().operation, kind=operation), wob=0.0)
    made, side = film(plan)
    (sent,) = made["sides"]
    assert sent["machine"]["contact"] == contact
    assert sent["drilled"] == 0.0
    matches(sent, side.result)
    assert not flags(sent, 1).any()
    swing = np.ptp(side.result.heave)
    assert (np.ptp(decoded(sent["signals"]["bit"])) < 0.01 * swing) == (contact == "held")


def test_two_sides_keep_their_letters_and_lines() -> None:
    scenario = Scenario(duration=40.0)
    sides = sides_of(variants(demo_plan(), "none"), scenario)
    made = film_of(sides, scenario, DARK, "oilfield")
    assert [side["letter"] for side in made["sides"]] == ["A", "B"]
    assert [side["dash"] for side in made["sides"]] == [[], [6, 3]]
    assert made["look"]["sides"] == [side["colour"] for side in made["sides"]]
    assert made["look"]["name"] == "dark"
    assert "A, as planned against B, no compensator" in made["alt"]
    for side, own in zip(made["sides"], sides, strict=True):
        matches(side, own.result)
    for kind, symbol, factor in (
        ("length", "ft", 0.3048),
        ("force", "klbf", 4448.2216),
        ("pressure", "psi", 6894.757),
    ):
        assert made["units"][kind]["symbol"] == symbol
        assert made["units"][kind]["factor"] == pytest.approx(factor, rel=1e-6)
    assert [panel["name"] for panel in made["panels"]] == [name for name, *_ in PANELS]


def test_flags_say_what_the_run_says() -> None:
    """A light bit on a bare hook lifts; each flag is the run's own, and a feed lasts as long as the block sinks."""
    light = without_drilling(demo_plan().changed(wob=60e3))
    made, side = film(light, "no compensator")
    (sent,) = made["sides"]
    assert flags(sent, 1).any()
    assert (flags(sent, 1) == side.result.lift_off).all()
    told = (Happening("driller feeds off", 20.0), Happening("compensator locked", 35.0))
    made, side = film(demo_plan(), happenings=told)
    (sent,) = made["sides"]
    result = side.result
    assert (flags(sent, 4) == (result.stuck & (result.time < 35.0))).all()
    assert (flags(sent, 8) == (result.time >= 35.0)).all()
    sinking = np.diff(result.block - result.heave) < -1e-6
    apart = abs(int(flags(sent, 32).sum()) - int(sinking.sum()))
    assert apart <= 10  # the block's motion is kept every 0.1 s
    assert result.time[flags(sent, 32)][0] == pytest.approx(20.0, abs=0.021)
    assert made["opens"] == 15.0
    unit = demo_plan().compensator
    assert isinstance(unit, InLine)
    small = replace(unit, stroke=1.0, end_reserve=0.0)
    made, side = film(demo_plan().changed(compensator=small), source="wave", height=8.0, period=14.0)
    assert side.result.stroke_out.any()
    assert (flags(made["sides"][0], 2) == side.result.stroke_out).all()


def test_an_active_part_that_is_lost_is_at_work_no_longer() -> None:
    plan = with_unit("Demo active-assisted unit, 600 klbf")
    made, side = film(plan, happenings=(Happening("active unit lost", 12.0),))
    assert (flags(made["sides"][0], 16) == (side.result.time < 12.0)).all()
    made, _ = film(plan.changed(active=False))
    assert not flags(made["sides"][0], 16).any()
    assert not made["sides"][0]["machine"]["active"]


def test_limits_are_the_plans_own() -> None:
    made, side = film(demo_plan())
    limits, plan = made["sides"][0]["limits"], side.variant.plan
    unit = plan.compensator
    assert isinstance(unit, InLine)
    assert [one["level"] for one in limits["bit_force"]] == [plan.operation.wob_low, plan.operation.wob_high]
    assert {one["level"] for one in limits["stroke"]} >= {unit.stroke / 2, -unit.stroke / 2}
    assert limits["gas_pressure"][0]["level"] == unit.pressure_rating
    moving = plan.moving_mass * STANDARD_GRAVITY
    assert limits["hook_load"][0]["level"] == pytest.approx(unit.compensated_rating - moving)


def test_a_band_is_sent_for_the_sea_it_was_computed_for_and_what_is_checked_is_named() -> None:
    made, side = film(demo_plan())
    checked = [one for one in made["sides"][0]["bands"]["bit_force"] if one["checked"]]
    band = assess(demo_plan()).responses.bit
    assert band is not None
    assert [(one["low"], one["high"]) for one in checked] == [pytest.approx(band.span(band.high))]
    wave, _ = film(demo_plan(), source="wave")
    assert (wave["sea"]["known"], wave["sea"]["period"]) == (True, 10.0)
    assert not any(band["checked"] for bands in wave["sides"][0]["bands"].values() for band in bands)
    heave = MeasuredHeave("of that hour", 0.4 * np.sin(np.arange(0.0, 120.0, 0.5)), 0.5)
    record, side = film(demo_plan(), source="record", record=heave)
    assert record["sea"] == {"known": False, "period": 0.0, "surface": None}
    assert record["sides"][0]["bands"] == {}
    assert side.without


def test_the_water_at_the_hull_is_the_runs_own() -> None:
    made, side = film(demo_plan())
    surface = side.result.surface
    assert surface is not None
    assert np.abs(decoded(made["sea"]["surface"]) - surface).max() <= np.ptp(surface) / 65_000
    assert made["sea"]["period"] == demo_plan().sea.tp


def test_marks_say_what_was_made_to_happen_and_what_came_of_it() -> None:
    told = (Happening("power lost", 20.0),)
    made, side = film(demo_plan(), happenings=told)
    assert [mark for mark in made["marks"] if mark["made"]] == [
        {"time": 20.0, "word": "Power lost", "kind": "power lost", "side": "A", "made": True}
    ]
    assert [mark["time"] for mark in made["marks"]] == sorted(mark["time"] for mark in made["marks"])
    assert made["sides"][0]["drills_until"] == 20.0
    rock = made["sides"][0]["drilled"] * np.minimum(side.result.time, 20.0)
    assert (side.result.bit + rock)[~side.result.lift_off].max() < 1e-3  # no hole is made without power
    assert not flags(made["sides"][0], 32)[side.result.time > 20.0].any()


def test_of_many_marks_the_telling_ones_stay() -> None:
    """A light bit on a bare hook leaves the rock with every wave: what was asked for is never crowded out."""
    light = without_drilling(demo_plan().changed(wob=60e3))
    scenario = Scenario(duration=600.0, happenings=(Happening("block lowered", 590.0, amount=0.1, over=5.0),))
    sides = sides_of([Variant("bare", light, "no compensator")], scenario)
    assert len(sides[0].result.happened) > MOST_MARKS
    marks = film_of(sides, scenario, LIGHT, "oilfield")["marks"]
    assert len(marks) == MOST_MARKS
    assert [mark["time"] for mark in marks if mark["made"]] == [590.0]
    kept = {mark["time"] for mark in marks if mark["kind"] == "landing"}
    landings = [mark for mark in sides[0].result.happened if mark.kind == "landing"]
    dropped = [mark.force or 0.0 for mark in landings if round(mark.time, 3) not in kept]
    assert max(dropped, default=0.0) <= min(
        mark.force or 0.0 for mark in landings if round(mark.time, 3) in kept
    )
    assert all("klbf" in mark["word"] for mark in marks if mark["kind"] == "landing")


def test_it_opens_before_the_largest_heave_and_where_it_is_told() -> None:
    """So another set-up in the same sea comes up at the same instant."""
    scenario = Scenario(duration=120.0)
    sides = sides_of(variants(demo_plan(), "bottles"), scenario)
    largest = sides[0].result.time[np.abs(sides[0].result.heave).argmax()]
    opens = [film_of([side], scenario, LIGHT, "metric")["opens"] for side in sides]
    assert opens == pytest.approx([largest - 5.0] * 2, abs=0.06)
    told = film_of(
        sides, scenario, LIGHT, "metric", opens=50.0, captions=[(48.0, 55.0, "Look at the piston.")]
    )
    assert told["opens"] == 50.0
    assert told["captions"] == [{"from": 48.0, "to": 55.0, "text": "Look at the piston."}]


def test_the_film_is_told_how_much_gas_is_shut_and_when() -> None:
    """A share of what is open: six tenths of three quarters are shut, and a quarter was before."""
    unit = demo_plan().compensator
    assert isinstance(unit, GasUnit)
    plan = demo_plan().changed(compensator=replace(unit, gas_volume_shut=0.25 * unit.gas_volume))
    scenario = Scenario(duration=60.0, happenings=(Happening("gas bank shut", 30.0, 0.6),))
    (side,) = film_of(sides_of(variants(plan, "alone"), scenario), scenario, LIGHT, "metric")["sides"]
    assert side["shut"] == [pytest.approx((0.0, 0.25)), pytest.approx((30.0, 0.25 + 0.6 * 0.75))]
    bare = film_of(
        sides_of(variants(plan, "alone"), Scenario(duration=60.0)), Scenario(duration=60.0), LIGHT, "metric"
    )
    assert bare["sides"][0]["shut"] == [pytest.approx((0.0, 0.25))]


def test_of_a_long_run_ten_minutes_are_sent_about_the_instant() -> None:
    scenario = Scenario(duration=900.0)
    sides = sides_of(variants(demo_plan(), "alone"), scenario)
    for opens, start in ((450.0, 150.0), (5.0, 0.02), (899.0, 300.0)):
        made = film_of(sides, scenario, LIGHT, "metric", opens=opens)
        assert made["start"] == pytest.approx(start, abs=0.021)
        assert made["count"] * made["step"] == pytest.approx(LONGEST, abs=0.03)
        first = round(made["start"] / made["step"]) - 1
        matches(made["sides"][0], sides[0].result, slice(first, first + made["count"]))


def test_it_is_light_and_its_key_says_when_anything_changed() -> None:
    scenario = Scenario(duration=300.0)
    sides = sides_of(variants(demo_plan(), "bottles"), scenario)
    made = film_of(sides, scenario, LIGHT, "metric")
    assert len(json.dumps(made)) < 2 * made["count"] * BYTES_A_SAMPLE + 12_000
    keys = {made["key"]}
    for other in (
        film_of(sides, scenario, DARK, "metric"),
        film_of(sides, scenario, LIGHT, "oilfield"),
        film_of(sides, scenario, LIGHT, "metric", opens=3.0),
        film_of(sides[:1], scenario, LIGHT, "metric"),
        film_of(sides[:1], scenario, LIGHT, "metric", captions=[(1.0, 2.0, "Now.")]),
    ):
        keys.add(other["key"])
    assert len(keys) == 6
    assert film_of(sides, scenario, LIGHT, "metric")["key"] == made["key"]


def test_a_bit_that_hangs_is_not_held_to_the_weights_of_a_programme() -> None:
    """Its 0 kN would stand as below the lowest weight allowed."""
    plan = demo_plan()
    off = plan.changed(operation=replace(plan.operation, kind="landing"), wob=0.0)
    assert "bit_force" in limits_of(Variant("on", plan))
    assert "bit_force" not in limits_of(Variant("off", off))
    assert "hook_load" in limits_of(Variant("off", off))
