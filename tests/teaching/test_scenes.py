"""Scenes of the lesson against their own runs, measured again: every number, every comparison, every right choice."""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from plain_scenes import ANSWERS, CLAIMS, MEASURED, Film
from random_calculations import plans
from teaching_plans import drawn

from heave.files.rigs import demo_compensators, demo_plan
from heave.planning import Plan
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Scenario, run
from heave.simulation.simulate import SimulationResult
from heave.teaching import SCENES
from heave.teaching.measures import factor, moved
from heave.teaching.scene import Scene, Told

PLANS = drawn(9)
KEYS = list(SCENES)


@cache
def ran(variant: Variant, scenario: Scenario) -> SimulationResult:
    """A run that several films hold, of a scene and of what is tried, is simulated once."""
    return run(variant, scenario)


@cache
def shown(key: str, place: int, system: str = "metric") -> tuple[Film, Told]:
    """The films of a scene for one of the plans, and what is told of them."""
    return made(SCENES[key], PLANS[place], system)


def made(scene: Scene, plan: Plan, system: str) -> tuple[Film, Told]:
    staged, stage = scene.staged(plan, system)
    play, tried = (tuple(ran(one, of.scenario) for one in of.variants) for of in (staged.play, staged.tried))
    film = Film(staged, play, tried)
    return film, scene.tell(staged, film.play, film.tried, stage)


def words(told: Told) -> str:
    parts = (*(one.text for one in told.captions), *told.why, told.change, told.expect, told.learned)
    return " ".join(parts).replace("\u00a0", " ")


@pytest.mark.parametrize("place", range(len(PLANS)))
@pytest.mark.parametrize("key", KEYS)
def test_numbers_comparisons_and_the_right_choice_are_those_of_the_run(key: str, place: int) -> None:
    film, told = shown(key, place)
    measured = MEASURED[key](film)
    for name, value in measured.items():
        assert told.numbers[name] == pytest.approx(value, rel=2e-3, abs=2e-3), name
    right = ANSWERS[key](measured | {"wob": film.play[0].plan.wob})
    assert told.answer == right, told.choices
    text = words(told)
    for claim in CLAIMS[key]:
        assert claim(measured) in text


@pytest.mark.parametrize("place", range(len(PLANS)))
@pytest.mark.parametrize("key", KEYS)
def test_whatever_grows_or_falls_does_so_by_its_own_figures(key: str, place: int) -> None:
    _, told = shown(key, place)
    number = r"(\u2212?\d[\d\u202f]*(?:\.\d+)?)"
    found = re.findall(rf"(grows|falls) from {number}(\S* ?\S*) to {number}\3", words(told))
    assert len(found) == len(re.findall("(?:grows|falls) from", words(told)))
    for word, before, _, after in found:
        low, high = (
            float(one.replace("\u202f", "").replace("\u2212", "-"))
            for one in ((before, after) if word == "grows" else (after, before))
        )
        assert low <= high
    assert "nan" not in words(told).lower()
    assert "not known" not in words(told)


@pytest.mark.parametrize("place", range(len(PLANS)))
@pytest.mark.parametrize("key", KEYS)
def test_captions_follow_one_another_inside_the_run(key: str, place: int) -> None:
    film, told = shown(key, place)
    end = film.play[0].time[-1]
    assert 0 <= told.opens < end - 10
    assert told.captions[0].start == 0
    assert len(told.captions) >= 3
    for one, after in itertools.pairwise(told.captions):
        assert one.start < one.end <= after.start
    assert told.captions[-1].start < end
    assert told.captions[-1].end > told.opens
    assert 60 <= film.staged.play.scenario.duration <= 240
    for name, moment in told.moments.items():
        assert 0 <= moment <= end, name
    sketch = told.sketch
    assert 0 <= sketch.start < sketch.end <= end + 0.1
    assert hasattr(film.play[0], sketch.trace)


def test_captions_stand_at_what_they_tell_of() -> None:
    """The instants are found in the run: lift-off, landing, the piston at its end, the vessel at its highest."""
    film, told = shown("lift-off", 0)
    leaving, landing = (
        next(one for one in told.captions if start in one.text)
        for start in ("nothing left to give", "the bit lands")
    )
    bit = dict(zip(film.play[1].time.round(2), film.play[1].bit_force, strict=True))
    assert bit[round(leaving.start - 0.02, 2)] > 0 >= bit[round(leaving.start, 2)]
    assert bit[round(landing.start - 0.02, 2)] <= 0 < bit[round(landing.start, 2)]
    film, told = shown("stroke-out", 0)
    meets = next(one for one in told.captions if "meets its end" in one.text)
    run = film.play[0]
    assert abs(run.stroke[run.time.searchsorted(meets.start)]) > run.plan.compensator.stroke / 2
    assert max(abs(run.stroke[run.time < meets.start - 0.01])) <= run.plan.compensator.stroke / 2
    film, told = shown("seals", 0)
    top = next(one for one in told.captions if "at its highest" in one.text)
    run = film.play[0]
    inside = (run.time >= top.start) & (run.time <= top.end)
    assert run.heave[inside].max() == pytest.approx(run.heave.max(), rel=1e-3)


@cache
def of_every_kind(seed: int) -> tuple[Plan, ...]:
    return tuple(plans(24, seed))


@pytest.mark.parametrize("number", range(24))
def test_every_kind_of_plan_can_be_shown_every_scene(number: int) -> None:
    """A third of the scenes for each of 24 plans: every operation on every sort of unit, in either unit system."""
    plan = of_every_kind(3 + number % 2)[number]
    for key in KEYS[number % 3 :: 3]:
        film, told = made(SCENES[key], plan, ("metric", "oilfield")[number % 2])
        assert 0 <= told.answer < len(told.choices)
        assert all(math.isfinite(value) for name, value in told.numbers.items() if name != "met")
        assert len(film.staged.play.variants) in (1, 2)
        assert len(film.staged.tried.variants) in (1, 2)


def test_what_is_not_as_planned_is_said() -> None:
    for key in KEYS:
        staged, _ = SCENES[key].staged(demo_plan())
        changed = any(variant.plan != demo_plan() for variant in staged.play.variants)
        assert staged.said, key
        assert changed <= bool(staged.said)
        assert not any("  " in one or not one.endswith(".") for one in staged.said), staged.said
        assert all(variant.plan.progress == demo_plan().progress for variant in staged.play.variants)


def test_scenes_come_in_the_units_asked_for() -> None:
    for key in ("calm", "lift-off", "drum"):
        metric, oilfield = (words(shown(key, 0, system)[1]) for system in ("metric", "oilfield"))
        assert re.search(r"\d kN", metric) or "m/s" in metric
        assert re.search(r"\d klbf", oilfield) or "ft/s" in oilfield
        assert not re.search(r"\d (kN|m|m/s|m/h)\b", oilfield)
        assert not re.search(r"\d (klbf|ft)\b", metric)
    _, one = shown("calm", 0)
    _, other = shown("calm", 0, "oilfield")
    assert one.numbers == other.numbers
    assert one.answer == other.answer


def quick(**changes: Any) -> Plan:
    """The demonstration plan on a compensating drawworks, which holds the hook, with a short stiff string."""
    base = demo_plan()
    short = replace(
        base.string, sections=(replace(base.string.sections[0], length=900.0), *base.string.sections[1:])
    )
    drum = demo_compensators()["Demo compensating drawworks"]
    return base.changed(compensator=drum, string=short, hoisting=None, wob=0.0, **changes)


@pytest.mark.parametrize("rate", [0.0, 30 / 3600])
def test_hole_in_the_calm_never_takes_the_bit_off_the_rock(rate: float) -> None:
    """A bit off the rock makes no hole, and what was drilled is then neither sunk nor stretched."""
    plan = quick(offsets=replace(demo_plan().offsets, penetration_rate=rate))
    film, told = made(SCENES["calm"], plan, "metric")
    assert not any(run.lift_off.any() for run in (*film.play, *film.tried))
    n, spring = told.numbers, film.play[0].plan.string.stiffness
    assert n["set"] - n["late"] == pytest.approx(spring * (n["drilled"] - n["sunk"]), rel=0.05)
    assert told.answer == 0


def test_a_rate_of_penetration_that_the_plan_does_not_have_is_not_called_the_plans() -> None:
    plan = demo_plan().changed(offsets=replace(demo_plan().offsets, penetration_rate=0.0))
    _, told = made(SCENES["calm"], plan, "metric")
    assert "at 15\u00a0m/h it was" in told.expect
    assert "the plan's rate" not in told.expect


@pytest.mark.parametrize("key", ["lift-off", "locked"])
def test_a_drawworks_that_is_shown_at_work_works(key: str) -> None:
    """Its active part lost, it would be as locked as what it is set against."""
    film, told = made(SCENES[key], quick(active=False), "metric")
    assert "The active part is switched on." in film.staged.said
    if key == "lift-off":
        assert told.answer == 2  # only with none
    else:
        assert told.numbers["after"] > 3 * told.numbers["before"]


def test_words_follow_the_numbers() -> None:
    def tell(value: float) -> str:
        return f"{value:g}"

    assert moved(1.0, 2.0, tell) == "grows from 1 to 2"
    assert moved(2.0, 1.0, tell) == "falls from 2 to 1"
    assert moved(2.0, 2.05, tell) == "stays at about 2"
    assert moved(0.0, 0.0, tell) == "stays at about 0"


def test_a_factor_that_rounds_to_one_is_no_factor() -> None:
    assert factor(104.0, 100.0) == factor(100.0, 102.9) == "about as much as"
    assert factor(105.1, 100.0) == "1.1 times"
    assert factor(96.0, 100.0) == "0.96 times"


def test_a_unit_that_stands_in_starts_from_mid_stroke_and_stays_within_what_a_unit_may_be() -> None:
    """On a drum the start position may lie past any stroke, and its ratings past those of a unit on gas."""
    far = replace(demo_plan().offsets, start_position=9.0)
    heavy = demo_plan().changed(
        compensator=demo_compensators()["Demo compensating drawworks"],
        hoisting=None,
        offsets=far,
        hookload_entered=15e6,
        hookload_confirmed=15e6,
    )
    for key in ("hook load", "seals", "bottles", "swell", "stroke-out", "driller"):
        staged, _ = SCENES[key].staged(heavy)
        for variant in staged.play.variants:
            assert variant.plan.compensator.compensated_rating <= 20e6, key
            assert key == "stroke-out" or variant.plan.offsets.start_position == 0, key
    rated = replace(demo_plan().compensator, locked_rating=50e6)
    staged, _ = SCENES["drum"].staged(demo_plan().changed(compensator=rated))
    assert staged.play.variants[0].plan.compensator.locked_rating == 50e6
    long = replace(demo_plan().compensator, stroke=30.0, gas_volume=40.0)
    staged, _ = SCENES["stroke-out"].staged(demo_plan().changed(compensator=long))
    assert staged.play.variants[0].plan.offsets.start_position == 10.0
