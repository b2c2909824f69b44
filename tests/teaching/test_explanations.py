"""What an exercise says of its answer, and the film it opens, against the simulation and plain arithmetic."""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from random_calculations import plans
from teaching_plans import drawn

from heave.compensator import GasUnit
from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.planning import Plan
from heave.simulation.comparisons import for_the_bit, without_drilling
from heave.simulation.simulate import SimulationResult, regular_wave_heave, simulate
from heave.teaching import SCENES, Exercise, exercises_for, film_of
from heave.teaching.scene import runs_of
from heave.units import UNITS

PLANS = drawn(9)
G = 9.80665


@cache
def asked(place: int, system: str = "metric") -> dict[str, Exercise]:
    return {one.key: one for one in exercises_for(PLANS[place], system)}


def test_every_explanation_is_whole_sentences() -> None:
    for place in range(len(PLANS)):
        assert [one.key for one in asked(place).values() if not one.explanation.endswith(".")] == []


def drilling(plan: Plan) -> Plan:
    return for_the_bit(plan)[0]


def relation(one: float, other: float) -> str:
    if abs(one - other) <= 0.03 * max(one, other):
        return "about as much as"
    return "more than" if one > other else "less than"


def number(text: str, unit: str) -> float:
    """The first number of that unit in a text, SI."""
    found = re.search(rf"([\d\u202f.]+)[\u00a0 ]?{re.escape(unit)}(?![\w/])", text)
    assert found is not None, (unit, text)
    return float(found[1].replace("\u202f", "")) * UNITS[unit].factor


def slow(plan: Plan, amplitude: float, unit: str = "as planned", period: float = 20.0) -> SimulationResult:
    """The plan in a long regular wave in which the hoist heaves by ± `amplitude`, no hole made."""
    per_metre = float(np.abs(regular_wave_heave(plan, 1.0, period, 60.0).position).max())
    motion = regular_wave_heave(plan, min(amplitude / per_metre, 30.0), period, 100.0)
    return simulate(without_drilling(plan), heave=motion, unit=unit)


def steel_spring(plan: Plan) -> float:
    return 1 / sum(
        one.length / (one.youngs_modulus * math.pi / 4 * (one.outer_diameter**2 - one.inner_diameter**2))
        for one in plan.string.sections
    )


def smooth(plan: Plan) -> Plan:
    """The plan passive, without friction and loss, from mid-stroke, with so much weight that the bit stays down."""
    unit: Any = replace(plan.compensator, friction_fraction=0.0, hydraulic_loss=0.0)  # type: ignore[call-arg]
    middle = replace(plan.offsets, start_position=0.0)
    return plan.changed(compensator=unit, active=False, offsets=middle, wob=0.3 * plan.hookload)


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_stroke_that_is_over_is_not_asked_about_as_if_it_were_left(place: int) -> None:
    plan, exercise = PLANS[place], asked(place)["hole eats stroke"]
    budget = assess(drilling(plan)).responses.stroke
    rate = drilling(plan).offsets.penetration_rate or 15 / 3600
    left = math.inf if budget is None else budget.half_stroke - budget.reserve - budget.start - budget.extreme
    if left <= 0:
        assert "leaves no stroke" in exercise.question
        assert number(exercise.explanation, "m") == pytest.approx(-left, rel=6e-3)
        assert exercise.answer == pytest.approx(0.2 / rate, rel=1e-9)
    elif math.isfinite(left):
        assert number(exercise.question.split("compressed")[1], "m") == pytest.approx(left, rel=6e-4)
        assert exercise.answer == pytest.approx(left / rate, rel=1e-6)
        assert "nothing is left" not in exercise.explanation


def test_a_plan_whose_stroke_is_over_says_so() -> None:
    plan = demo_plan().changed(offsets=replace(demo_plan().offsets, start_position=3.2))
    exercise = {one.key: one for one in exercises_for(plan)}["hole eats stroke"]
    assert "leaves no stroke" in exercise.question
    assert "nothing is left" in exercise.explanation


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_the_springs_part_is_told_apart_from_the_swing(place: int) -> None:
    """A slow wave without friction: the gas takes its share of the rise; with friction the seals' part is compared."""
    exercise = asked(place)["both springs"]
    plan = drilling(PLANS[place])
    shares = re.search(r"the gas takes ([\d.]+)\u00a0%", exercise.explanation)
    assert shares is not None
    if isinstance(plan.compensator, GasUnit):
        easy = smooth(plan)
        run = slow(easy, 0.5)
        taken = np.ptp(run.stroke) / np.ptp(run.heave)
        # a lighter load makes a softer spring: the share is that of the plan's own load
        load = assess(plan).setting.load, assess(easy).setting.load
        gas = steel_spring(easy) * (1 / taken - 1) * load[0] / load[1]
        expected = steel_spring(plan) / (steel_spring(plan) + gas)
        assert float(shares[1]) / 100 == pytest.approx(expected, abs=0.03)
        friction = plan.compensator.friction_fraction * load[0]
        assert f"{relation(friction, exercise.answer)} what the springs make" in exercise.explanation


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_a_bank_shut_stiffens_the_springs_part_and_not_the_seals(place: int) -> None:
    """Half the peak to peak in a slow wave without friction, with all gas open and with 60 % shut."""
    plan, exercise = drilling(PLANS[place]), asked(place)["gas bank shut"]
    told = re.search(r"springs' part of the swing at the bit is ([\d.]+) times", exercise.explanation)
    assert told is not None
    unit = plan.compensator
    if not isinstance(unit, GasUnit):
        return
    easy = smooth(plan).changed(wob=plan.wob)
    gone = unit.gas_volume_shut + 0.6 * (unit.gas_volume - unit.gas_volume_shut)
    stiff = easy.changed(compensator=replace(easy.compensator, gas_volume_shut=gone))  # type: ignore[call-arg]
    amplitude = 0.3 * plan.wob / (2.5 * assess(easy).setting.stiffness_nominal)
    runs = [slow(one, min(amplitude, 0.4)) for one in (easy, stiff)]
    swings = [float(np.ptp(run.bit_force)) for run in runs]
    # the share of what moves with the hook speeds up and slows down alike in both; in so slow a wave it is small
    assert float(told[1]) == pytest.approx(swings[1] / swings[0], rel=0.12)
    assert float(told[1]) < 2.5


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_what_takes_the_weight_off_is_compared_with_the_heave(place: int) -> None:
    """With no compensator the bit lifts in a long wave as high as the heave it is compared with, or does not."""
    plan = drilling(PLANS[place])
    heave, rise = assess(plan).responses.heave, plan.wob / steel_spring(plan)
    for key, amplitude in (("no compensator", float(heave.level)), ("lift-off", 2 * float(heave.sigma))):
        text = asked(place)[key].explanation
        assert relation(amplitude, rise) in text, key
        if not 0.8 < amplitude / rise < 1.25:
            lifts = bool((slow(plan, amplitude, "no compensator").bit_force <= 0).any())
            assert lifts == ("more than" in text), key


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_the_extreme_is_told_by_its_own_ratio(place: int) -> None:
    plan, text = drilling(PLANS[place]), asked(place)["extreme heave"].explanation
    heave = assess(plan).responses.heave
    low, high = 0.0, 20.0
    for _ in range(60):
        middle = (low + high) / 2
        passed = 1 - math.exp(-heave.cycles * math.exp(-(middle**2) / 2))
        low, high = (middle, high) if passed > plan.risk else (low, middle)
    told = re.search(r"accept, ([\d.]+) times", text)
    assert told is not None
    assert float(told[1]) == pytest.approx(low / 2, abs=0.006)


def test_every_seventh_wave_passes_the_significant_amplitude() -> None:
    """Highest points between upward crossings, in an hour of the demonstration sea: e⁻² = 0.135 of them pass 2σ."""
    run = simulate(without_drilling(demo_plan()), 3600.0, seed=4)
    ups = np.flatnonzero((run.heave[:-1] < 0) & (run.heave[1:] >= 0))
    crests = np.array([run.heave[a:b].max() for a, b in itertools.pairwise(ups)])
    assert np.mean(crests > 2 * run.heave.std()) == pytest.approx(1 / 7, abs=0.04)


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_no_run_of_the_sea_goes_past_the_band_that_is_checked(place: int) -> None:
    plan = without_drilling(drilling(PLANS[place]))
    exercise = asked(place)["bit band"]
    band = assess(plan).responses.bit
    assert band is not None
    assert f"{relation(float(band.high), exercise.answer)} the nominal" in exercise.explanation
    run = simulate(plan, 600.0, seed=2)
    assert np.abs(run.bit_force - plan.wob).max() <= float(band.high) or (run.bit_force <= 0).any()


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_gain_or_delay_by_what_each_leaves_alone(place: int) -> None:
    plan, text = drilling(PLANS[place]), asked(place)["active delay"].explanation
    unit, period = plan.compensator, float(assess(plan).responses.heave.period)
    gain = getattr(unit, "active_gain", 0.9)
    delay = 0.1 if getattr(unit, "active_delay", None) is None else unit.active_delay
    time = np.linspace(0, period, 40_001)
    late = np.sin(2 * math.pi * time / period) - np.sin(2 * math.pi * (time - delay) / period)
    limit = "the gain" if abs(1 - gain) > np.abs(late).max() else "the delay"
    none = not np.abs(late).max() and gain == 1
    assert ("here neither leaves anything" if none else f"here it is {limit} that leaves more") in text
    assert "usually" not in text


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_seals_hold_or_let_go_as_told(place: int) -> None:
    """Off bottom, in a wave of the plan's period and significant amplitude that is well past the limit or below."""
    plan, exercise = PLANS[place], asked(place)["stuck seals"]
    heave = 2 * float(assess(drilling(plan)).responses.heave.sigma)
    past, below = "let go in most waves" in exercise.explanation, "hold in most waves" in exercise.explanation
    assert past == (heave > 1.3 * exercise.answer)
    assert below == (heave < exercise.answer / 1.3)
    unit = plan.compensator
    if not isinstance(unit, GasUnit) or not (past or below):
        return
    operation = replace(plan.operation, kind="landing")
    middle = replace(plan.offsets, start_position=0.0)
    free = plan.changed(operation=operation, wob=0.0, active=False, offsets=middle)
    period = float(assess(drilling(plan)).responses.heave.period)
    run = slow(free, heave, period=min(max(period, 2.0), 30.0))
    assert np.ptp(run.heave) == pytest.approx(2 * heave, rel=0.05)
    assert (np.ptp(run.stroke) > 0.02 * np.ptp(run.heave)) == past


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_lines_and_drum_by_plain_sums(place: int) -> None:
    exercise = asked(place)
    count = int(number_of_lines(exercise["lines strung"].question))
    factor = 1.04
    found = re.search(r"wants? ([\d.]+) times", exercise["fast line"].question)
    if found is not None:
        factor = float(found[1])
    pulls = [factor**place for place in range(count + 2)]
    lifted = [sum(pulls[:lines]) / (factor * pulls[lines - 1]) for lines in (count, count + 2)]
    text = exercise["ten lines"].explanation
    told = re.search(r"would lift ([\d.]+) times the pull, ([\d.]+) more", text)
    assert told is not None
    assert float(told[1]) == pytest.approx(lifted[1], rel=1e-2)
    assert float(told[2]) == pytest.approx(lifted[1] - lifted[0], abs=0.06)
    more = re.search(r"by ([\d.]+)\u00a0% more than when nothing moves", exercise["fast line"].explanation)
    assert more is not None
    assert float(more[1]) == pytest.approx(100 * (count / lifted[0] - 1), rel=0.03, abs=0.6)


def number_of_lines(question: str) -> str:
    found = re.search(r"and (\d+) lines are strung", question)
    assert found is not None
    return found[1]


@pytest.mark.parametrize("place", range(len(PLANS)))
def test_bit_over_cell_is_told_by_the_answer(place: int) -> None:
    exercise = asked(place)["hook load and bit load"]
    told = re.search(r"the bit swings (?:([\d.]+) times|about as much as) the cell", exercise.explanation)
    assert told is not None
    assert float(told[1] or 1.0) == pytest.approx(exercise.answer / 50e3, rel=0.06)


@pytest.mark.parametrize("key", [one.key for one in exercises_for(demo_plan())])
def test_every_exercise_opens_its_film_at_an_instant_of_it(key: str) -> None:
    place = len(key) % len(PLANS)
    exercise = asked(place)[key]
    assert exercise.film[0] in (*SCENES, "sea")
    films, opens, _ = film_of(exercise, PLANS[place])
    runs = tuple(run for of_film in runs_of(*films) for run in of_film)
    moment = opens(runs)
    assert 0 <= moment <= runs[0].time[-1]
    at = int(runs[0].time.searchsorted(moment))
    if key == "extreme heave":
        assert abs(runs[0].heave[at]) == pytest.approx(np.abs(runs[0].heave).max(), rel=1e-2)
    if key == "bit band":
        away = np.abs(runs[0].bit_force - runs[0].bit_force.mean())
        assert away[at] == pytest.approx(away.max(), rel=1e-6)
    if key == "lift-off":
        assert runs[1].bit_force[at] <= 0 or not (runs[1].bit_force <= 0).any()
    if key == "stuck seals":
        assert runs[0].heave[at] == pytest.approx(runs[0].heave.max(), rel=1e-2)


def test_numbers_of_an_answer_are_those_of_the_plan_in_any_units() -> None:
    metric, oilfield = (exercises_for(demo_plan(), system) for system in ("metric", "oilfield"))
    assert [one.numbers for one in metric] == [one.numbers for one in oilfield]
    assert len({one.numbers for one in metric}) == len(metric)
    muddy = demo_plan().changed(string=replace(demo_plan().string, mud_density=1201.0))
    changed = {
        one.key
        for one, other in zip(metric, exercises_for(muddy), strict=True)
        if one.numbers != other.numbers
    }
    assert {"weight in mud", "compensator load", "set pressure"} <= changed
    assert "no compensator" not in changed
    named = demo_plan().changed(name="another name")
    assert [one.numbers for one in exercises_for(named)] == [one.numbers for one in metric]


@pytest.mark.parametrize("plan", list(plans(24, seed=9))[::5], ids=lambda plan: plan.name)
def test_no_explanation_has_a_number_that_is_not_known(plan: Plan) -> None:
    for system in ("metric", "oilfield"):
        for exercise in exercises_for(plan, system):
            for text in (exercise.question, exercise.explanation):
                assert "not known" not in text
                assert "no limit" not in text or "locked" in text
                assert "{" not in text
