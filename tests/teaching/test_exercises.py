"""Every exercise's answer against a computation of its own, for the demo plan and for others."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from heave.drill_string import first_on_bottom_period
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_plan
from heave.hoisting import Ledger, Tripping
from heave.judging import assess
from heave.judging.demands import demands
from heave.planning import OPERATIONS, Plan
from heave.simulation.simulate import regular_wave_heave, simulate
from heave.teaching.exercises import Exercise, Grade, exercises_for, grade

G = 9.80665
AIR = 101_325.0


def asked(plan: Plan) -> dict[str, Exercise]:
    return {exercise.key: exercise for exercise in exercises_for(plan)}


def steel_spring(plan: Plan) -> float:
    """Pull per metre of stretch, each section's tube cut from π/4 (D² − d²)."""
    stretch = 0.0
    for section in plan.string.sections:
        area = math.pi / 4 * (section.outer_diameter**2 - section.inner_diameter**2)
        stretch += section.length / (section.youngs_modulus * area)
    return 1 / stretch


def air_weight(plan: Plan) -> float:
    return G * sum(section.length * section.linear_mass for section in plan.string.sections)


def in_mud(plan: Plan) -> float:
    """Archimedes: weight less the weight of the mud that the steel displaces."""
    volume = air_weight(plan) / G / plan.string.steel_density
    return air_weight(plan) - volume * plan.string.mud_density * G


def load(plan: Plan) -> float:
    hanging = in_mud(plan) + plan.string.handling_mass * G + plan.string.drag
    return hanging + plan.compensator.moving_mass * G - plan.wob


def gas_slope(plan: Plan, shut: float = 0.0) -> float:
    """Load per metre of stroke, from P Vⁿ constant at two positions a millimetre either side."""
    unit = plan.compensator
    area, volume = unit.effective_area, (unit.gas_volume - unit.gas_volume_shut) * (1 - shut)
    pressure = load(plan) / area + AIR

    def force(x: float) -> float:
        return area * (pressure * (volume / (volume - area * x)) ** unit.index - AIR)

    return (force(1e-3) - force(-1e-3)) / 2e-3


def never_exceeded(plan: Plan) -> float:
    """Amplitude a for which (1 − e^(−N exp(−a²/2σ²))) is the accepted risk, by halving."""
    heave = assess(plan).responses.heave
    low, high = 0.0, 20 * heave.sigma
    for _ in range(80):
        middle = (low + high) / 2
        passed = 1 - math.exp(-heave.cycles * math.exp(-((middle / heave.sigma) ** 2) / 2))
        low, high = (middle, high) if passed > plan.risk else (low, middle)
    return low


def two_springs(plan: Plan) -> float:
    """Rise of one metre shared between gas and string so that both carry the same force, by halving."""
    low, high = 0.0, 1.0
    for _ in range(80):
        gas_part = (low + high) / 2
        low, high = (
            (gas_part, high)
            if gas_slope(plan) * gas_part < steel_spring(plan) * (1 - gas_part)
            else (low, gas_part)
        )
    return steel_spring(plan) * (1 - low)


def active_left(plan: Plan) -> float:
    """A sine less 0.9 of the same sine a tenth of a second late, its largest value."""
    period = assess(plan).responses.heave.period
    time = np.linspace(0, period, 200_001)
    omega = 2 * math.pi / period
    return float(np.max(np.sin(omega * time) - 0.9 * np.sin(omega * (time - 0.1))))


def stroke_left(plan: Plan) -> float:
    budget = assess(plan).responses.stroke
    left = plan.compensator.stroke / 2 - plan.compensator.end_reserve - plan.offsets.start_position
    return (left - budget.extreme) / plan.offsets.penetration_rate


def seals_let_go(plan: Plan) -> float:
    """Amplitude at which the largest acceleration of a sine is the friction share of gravity."""
    omega = 2 * math.pi / assess(plan).responses.heave.period
    return plan.compensator.friction_fraction * G / omega**2


def nominal_swing(plan: Plan) -> float:
    """The hook is let go with the vessel's speed √(4 F a/k) and rings with it at the string's own period."""
    friction, found = plan.compensator.friction_fraction * load(plan), demands(plan, plan.sea.batch())
    mass = plan.string.handling_mass + plan.compensator.moving_mass
    own = first_on_bottom_period(plan.string, mass, gas_slope(plan))
    spring = steel_spring(plan)
    speed = math.sqrt(4 * friction * float(found.acceleration.level[0]) / spring)
    # over a quarter of the cycle the loss damps it, a third of the string swinging with the hook
    kept = math.exp(
        -plan.compensator.hydraulic_loss * float(found.stroke.level[0]) / (mass + plan.string.mass / 3)
    )
    in_step = 1 + math.exp(-(((own / float(found.heave.period[0]) - 0.29) / 0.06) ** 2)) / 5
    ringing = spring * speed * own / (2 * math.pi) * kept * in_step
    return friction + math.hypot(assess(plan).responses.bit.elastic, ringing)


def fast_line_share(lines: int) -> float:
    """Load over the pull of the fast line: lines each 1.04 times the one before carry it, and one sheave more pulls."""
    pulls = [1.04**place for place in range(lines)]
    return sum(pulls) / (1.04 * pulls[-1])


def hung(plan: Plan) -> float:
    """Block, body of the in-line unit, its moving parts, and lines, in mass; 40 t where there is no hoisting path."""
    path = plan.hoisting
    if path is None:
        return 40e3
    lines = path.lines * path.drop * path.line.linear_mass
    return path.block_mass + path.body_mass + plan.compensator.moving_mass + lines


def strung(plan: Plan) -> int:
    return 10 if plan.hoisting is None else 12


def lifted(plan: Plan) -> float:
    return plan.hookload + hung(plan) * G


def round_trip(plan: Plan) -> float:
    """Every section weighed on its own: its excess over the lightest goes out and in with the bit."""
    string, lost = plan.string, 1 - plan.string.mud_density / plan.string.steel_density
    pipe = G * lost * min(section.linear_mass for section in string.sections)
    excess = sum(section.length * (section.linear_mass * G * lost - pipe) for section in string.sections)
    assembly = (hung(plan) + string.handling_mass) * G
    trip = Tripping(28.5, pipe, assembly, excess).work("round trip", sum(s.length for s in string.sections))
    return float(trip)


def trips_left(plan: Plan) -> float:
    ledger = Ledger(0.4 * 3000e3 * G * 1e3, 3000e3 * G * 1e3, 30.0, 1000.0, 500.0)
    return float(ledger.time_left(round_trip(plan)))


ANSWERS: dict[str, Callable[[Plan], float]] = {
    "weight in mud": in_mud,
    "compensator load": load,
    "set pressure": lambda plan: load(plan) / plan.compensator.effective_area,
    "hidden by friction": lambda plan: plan.compensator.friction_fraction * load(plan),
    "gas stiffness": gas_slope,
    "gas bank shut": lambda plan: gas_slope(plan, shut=0.6),
    "no compensator": steel_spring,
    "lift-off": lambda plan: plan.wob / steel_spring(plan),
    "both springs": two_springs,
    "extreme heave": never_exceeded,
    "bit band": nominal_swing,
    "active delay": active_left,
    "hole eats stroke": stroke_left,
    "stuck seals": seals_let_go,
    "lines strung": lambda plan: lifted(plan) / strung(plan),
    "fast line": lambda plan: lifted(plan) / fast_line_share(strung(plan)),
    "ten lines": lambda plan: fast_line_share(strung(plan)),
    "ton-miles": round_trip,
    "slip and cut": trips_left,
}


@pytest.mark.parametrize("key", ANSWERS)
@pytest.mark.parametrize("path", [True, False])
def test_an_answer_agrees_with_another_way_to_it(key: str, path: bool) -> None:
    plan = demo_plan() if path else demo_plan().changed(hoisting=None)
    assert asked(plan)[key].answer == pytest.approx(ANSWERS[key](plan), rel=1e-4)


def test_bit_from_cell_agrees_with_the_simulated_string() -> None:
    """A frictionless unit in a small regular wave: swings of bit and load cell at the wave's own frequency."""
    plan = demo_plan()
    exercise = asked(plan)["hook load and bit load"]
    smooth = replace(plan.compensator, friction_fraction=0.0, hydraulic_loss=0.0)
    still = replace(plan.offsets, penetration_rate=0.0, feed_interval=0.0)
    run = simulate(
        plan.changed(compensator=smooth, offsets=still),
        heave=regular_wave_heave(plan, 1.0, 6.0, duration=120.0),
    )
    wave = np.exp(-2j * math.pi * run.time / 6.0)
    whole = run.time <= 120.0
    bit, cell = (
        abs(np.mean(trace[whole] * wave[whole]))
        for trace in (run.bit_force, run.hook_load - run.hook_load.mean())
    )
    assert "6\u00a0s" in exercise.question
    assert exercise.answer / 50e3 == pytest.approx(bit / cell, rel=0.02)
    assert exercise.answer > 1.2 * 50e3  # the point of it: the bit swings more than the cell


def test_published_numbers() -> None:
    """Reference spring F0 1500 kN, 7.62 m, φ 10, n 1.2 over 3000 m of 5 in 19.5 (API RP 7G areas).

    Gas 1.2 × 1500/(10 × 7.62) = 23.62 kN/m and string 234.6 kN/m in series give 21.46 kN/m, computed from
    the stated formula; the air's push adds 1.2 × 10.13/76.2 = 0.16 kN/m to the gas, so 21.59.
    """
    from heave.drill_string import drill_pipe

    plan = demo_plan()
    unit = replace(
        plan.compensator,
        gas_volume=76.2 * 0.1,
        gas_volume_shut=0.0,
        index=1.2,
        effective_area=0.1,
        moving_mass=0.0,
    )
    string = replace(
        plan.string, sections=(drill_pipe("5 in", "19.50", "S-135", 3000.0),), handling_mass=0.0, drag=0.0
    )
    set_so = plan.changed(compensator=unit, string=string, wob=150e3, hookload_entered=1650e3)
    found = asked(set_so)
    assert found["gas stiffness"].answer == pytest.approx((23.622 + 0.160) * 1e3, rel=1e-3)
    assert found["no compensator"].answer == pytest.approx(234.6e3, rel=1e-3)
    gas, steel = 23.782, 234.6
    assert found["both springs"].answer == pytest.approx(gas * steel / (gas + steel) * 1e3, rel=1e-3)
    assert found["set pressure"].answer == pytest.approx(15e6, rel=1e-9)


def test_lines_of_a_drawworks_are_its_own_and_ten_lift_eight_times() -> None:
    """E 0.8111 for ten lines on roller bearings, 0.7821 for twelve (API RP 9B, computed)."""
    plan = demo_plan().changed(hoisting=None)
    assert asked(plan)["ten lines"].answer == pytest.approx(8.111, abs=5e-4)
    assert asked(demo_plan())["ten lines"].answer == pytest.approx(12 * 0.7821, abs=1e-3)
    works = next(unit for unit in demo_compensators().values() if unit.is_drawworks)
    on_twelve = asked(plan.changed(compensator=replace(works, lines=12)))["ten lines"]
    assert on_twelve.answer == pytest.approx(12 * 0.7821, abs=1e-3)
    assert "With 12 lines" in on_twelve.question


def test_there_are_at_least_ten_and_the_last_is_about_hook_and_bit() -> None:
    found = exercises_for(demo_plan())
    assert len(found) >= 10
    assert len({exercise.key for exercise in found}) == len(found)
    assert "hook load is not bit load" in found[-1].explanation
    assert set(ANSWERS) | {"hook load and bit load"} == {exercise.key for exercise in found}


@pytest.mark.parametrize("kind", OPERATIONS)
@pytest.mark.parametrize("unit", sorted(demo_compensators()))
def test_every_plan_can_be_asked_about(kind: str, unit: str) -> None:
    plan = demo_plan()
    changed = plan.changed(
        operation=replace(plan.operation, kind=kind), compensator=demo_compensators()[unit], wob=0.0
    )
    for exercise in exercises_for(changed):
        assert math.isfinite(exercise.answer)
        assert exercise.answer > 0
        assert exercise.question.endswith("?")
        assert exercise.steps[-1].result.value == exercise.answer


def test_questions_hold_the_numbers_in_the_units_asked_for() -> None:
    metric, oilfield = (
        {e.key: e for e in exercises_for(demo_plan(), system)} for system in ("metric", "oilfield")
    )
    assert "bar" not in oilfield["set pressure"].question
    assert "kN" in metric["set pressure"].question
    assert "klbf" in oilfield["set pressure"].question
    assert metric["set pressure"].answer == oilfield["set pressure"].answer
    assert "slowly rises 1\u00a0m" in metric["no compensator"].question
    assert "slowly rises 3\u00a0ft" in oilfield["no compensator"].question
    three_feet = oilfield["no compensator"].answer / metric["no compensator"].answer
    assert three_feet == pytest.approx(0.9144)


@pytest.mark.parametrize("exercise", exercises_for(demo_plan()), ids=lambda exercise: exercise.key)
def test_grading_has_its_stated_tolerance(exercise: Exercise) -> None:
    edge = exercise.tolerance
    assert 0.01 <= edge <= 0.05
    assert grade(exercise, exercise.answer).right
    assert grade(exercise, exercise.answer * (1 + 0.99 * edge)).right
    assert grade(exercise, exercise.answer * (1 - 0.99 * edge)).right
    assert not grade(exercise, exercise.answer * (1 + 1.01 * edge)).right
    assert not grade(exercise, exercise.answer * (1 - 1.01 * edge)).right
    assert not grade(exercise, -exercise.answer).right
    assert grade(exercise, exercise.answer * 1.5).off == pytest.approx(0.5)


@pytest.mark.parametrize("reply", [math.nan, math.inf, True])
def test_no_number_is_not_graded(reply: float) -> None:
    with pytest.raises(InputError, match="answer"):
        grade(exercises_for(demo_plan())[0], reply)


def perfect() -> Plan:
    """On a drum with full gain and no delay nothing is left of the heave, and no seals rub."""
    drum = replace(demo_compensators()["Demo compensating drawworks"], active_gain=1.0, active_delay=0.0)
    return demo_plan().changed(compensator=drum, hoisting=None)


@pytest.mark.parametrize("key", ["active delay", "bit band", "hidden by friction", "stuck seals"])
def test_an_answer_that_is_none_is_right_when_told_as_none(key: str) -> None:
    """A share of nothing is no tolerance: none is right, and anything that could be told apart from it is not."""
    smooth = replace(demo_plan().compensator, friction_fraction=0.0)
    rubbing = key in ("hidden by friction", "stuck seals")
    exercise = asked(demo_plan().changed(compensator=smooth) if rubbing else perfect())[key]
    assert exercise.answer == 0
    assert grade(exercise, 0.0) == Grade(True, 0.0)
    large = {"force": 100.0, "length": 0.01, "fraction": 0.01}[exercise.kind]
    assert grade(exercise, large) == Grade(False, math.inf)
    assert grade(exercise, -large) == Grade(False, -math.inf)


def test_nothing_left_is_not_laid_to_the_delay() -> None:
    assert "here neither leaves anything" in asked(perfect())["active delay"].explanation


def test_what_a_drawworks_has_not_is_asked_of_a_unit_that_stands_in() -> None:
    """Of gas, seals and stroke, and of nothing else; a plan with a gas unit is asked about its own."""
    of_gas = {
        *(
            "set pressure",
            "hidden by friction",
            "gas stiffness",
            "gas bank shut",
            "both springs",
            "stuck seals",
        ),
        "hole eats stroke",
    }
    said = {
        key for key, one in asked(perfect()).items() if "say a gas unit stands in its place" in one.question
    }
    assert said == of_gas
    assert not any("stands in its place" in one.question for one in asked(demo_plan()).values())
