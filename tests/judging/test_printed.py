"""What the working prints is what was computed: every line read back by a small reader of its own."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

import numpy as np
import pytest
from printed_reader import POUND_FORCE, read, same

from heave.files.rigs import demo_compensators, demo_plan
from heave.formula import Formula, Step
from heave.judging import RULES, Assessment, assess
from heave.planning import OPERATIONS, HsLimit, Operation, Plan, StaticOffsets
from heave.planning.operations import HEAVE_BASES
from heave.sea import SeaState
from heave.teaching import exercises_for
from heave.teaching.questions import QUESTIONS

GEARS = {"low_gear_pull": 4e5, "low_gear_speed": 6.0, "high_gear_pull": 1e5, "high_gear_speed": 20.0}


def plans() -> Iterator[Plan]:
    """Two plans of each kind of operation on each kind of compensator, the rest drawn; then too much gain, a lag."""
    draw, base = np.random.default_rng(11), demo_plan()
    for kind in OPERATIONS:
        for number, unit in enumerate(demo_compensators().values()):
            for odd in (False, True):
                limits = Operation(
                    kind=kind,
                    wob_low=60e3 if odd or number else None,
                    wob_high=300e3 if odd or not number or unit.follows_position else None,
                    residual_motion_limit=1.0,
                    residual_velocity_limit=0.5,
                    heave_limit=3.0,
                    heave_basis=HEAVE_BASES[odd + 2 * (number % 2)],
                    speed_limit=1.0,
                    acceleration_limit=1.0,
                    roll_limit=0.05,
                    pitch_limit=0.05,
                    stroke_out_limit=1e-4,
                    hoisting_speed=0.9 if odd else 0.3,
                    lowering_speed=0.8,
                    hs_limits=(HsLimit(4.0),),
                )
                path, line = base.hoisting, "straight to the floor" if odd else "kept by sheaves on arms"
                yield base.changed(
                    operation=limits,
                    hoisting=None
                    if (odd and number < 2) or (unit.is_drawworks and kind == "coring")
                    else dataclasses.replace(
                        path,
                        lines_of_crown=line,
                        brake_power=4e6,
                        rotating_mass=2e4,
                        **(GEARS if odd else {}),
                    ),
                    compensator=unit if unit.is_drawworks else dataclasses.replace(unit, hydraulic_loss=4e4),
                    sea=SeaState.single(
                        hs=draw.uniform(0.5, 8.0),
                        tp=draw.uniform(5.0, 16.0),
                        direction_from=draw.uniform(0, 360),
                        depth=1200.0,
                    ),
                    risk=float(draw.choice([1e-5, 0.01, 0.5])),
                    active=not odd,
                    offsets=StaticOffsets(
                        start_position=draw.uniform(-1.5, 1.5), tide_rise=4.0 if odd else 0.3, tide_fall=0.4
                    ),
                )
    force = next(unit for unit in demo_compensators().values() if unit.kind == "active-assisted")
    yield base.changed(compensator=dataclasses.replace(force, active_gain=1.1))
    lagging = dataclasses.replace(force, active_bandwidth=1.0, hydraulic_loss=4e4)
    for kind in OPERATIONS:
        asked = Operation(
            kind=kind, wob_low=60e3, wob_high=300e3, residual_motion_limit=1.0, residual_velocity_limit=0.5
        )
        yield base.changed(operation=asked, compensator=lagging)


@lru_cache(maxsize=1)
def assessed() -> list[Assessment]:
    return [assess(plan) for plan in plans()]


def steps() -> Iterator[Step]:
    for result in assessed():
        for check in result.checks:
            yield from check.working


def test_the_reader_reads() -> None:
    """Worked by hand: 2 klbf over 2 in² is 1 000 psi, and so on."""
    assert read("2\u00a0klbf / 2\u00a0in²") == pytest.approx(1000 * POUND_FORCE / 0.0254**2)
    assert read("(−3.0\u00a0m)² × √(4)") == 18.0
    assert read("1\u202f000\u00a0kN − −ln(1 − 50%)") == pytest.approx(1e6 - math.log(2))
    assert math.isinf(read("no limit + 3/h"))
    assert math.isinf(read("always + 3/h"))


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_every_line_of_working_comes_to_its_number(system: str) -> None:
    """Symbols with SI values, and the numbers as printed in either system, give the result that was computed."""
    count = 0
    for step in steps():
        expected = step.result.value
        values = {name: np.float64(term.value) for name, term in step.terms.items()}
        assert same(read(step.symbols().partition(" = ")[2], **values), expected), step.symbols()
        line = step.numbers(system, digits=17)
        _, printed, answer = line.split(" = ")
        assert same(read(printed), expected), line
        assert same(read(answer), expected, 1e-14), line
        count += 1
    assert count > 1000


def test_the_last_lines_are_demand_and_capacity() -> None:
    for result in assessed():
        for check in result.checks:
            numbers = [step.result.value for step in check.working]
            assert any(same(check.demand, number, 1e-15) for number in numbers), check.key
            used = check.demand / check.capacity if check.capacity > 0 else check.utilisation
            assert same(used, check.utilisation)


def test_a_number_carried_on_is_the_one_worked_out() -> None:
    """Within a check a symbol is one number: where it is worked out and wherever it is used after."""
    for result in assessed():
        for check in result.checks:
            known: dict[str, float] = {}
            for step in check.working:
                for symbol, term in (*step.terms.items(), (step.symbol, step.result)):
                    assert same(known.setdefault(symbol, term.value), term.value, 1e-12), (check.key, symbol)


def test_a_symbol_means_one_thing_everywhere() -> None:
    meanings: dict[str, tuple[Any, ...]] = {}
    formulas = [f for rule in RULES for f in rule.formulas] + [f for q in QUESTIONS for f in q.formulas]
    for formula in formulas:
        for symbol in (*formula.terms, formula.symbol):
            meaning = formula.symbols[symbol]
            assert meanings.setdefault(symbol, meaning) == meaning, symbol
        assert formula.source


def test_rules_name_the_formulas_they_use_and_no_others() -> None:
    used: dict[str, set[str]] = {rule.key: set() for rule in RULES}
    for result in assessed():
        for check in result.checks:
            used[check.key] |= {step.symbols() for step in check.working}
    for rule in RULES:
        assert used[rule.key] == {formula.text for formula in rule.formulas}, rule.key


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_exercises_come_to_their_numbers_too(system: str) -> None:
    for name in demo_compensators():
        plan = demo_plan().changed(compensator=demo_compensators()[name])
        for exercise in exercises_for(plan, system):
            for step in exercise.steps:
                _, printed, answer = step.numbers(system, digits=17).split(" = ")
                assert read(printed) == pytest.approx(step.result.value, rel=1e-9), exercise.key
                assert read(answer) == pytest.approx(step.result.value, rel=1e-12), exercise.key


def _all_formulas() -> list[Formula]:
    return list({f.text: f for rule in RULES for f in rule.formulas}.values())


@pytest.mark.parametrize("formula", _all_formulas(), ids=lambda formula: formula.symbol)
def test_notation_is_balanced(formula: Formula) -> None:
    tex = formula.latex()
    assert tex.count("{") == tex.count("}")
    assert tex.count(r"\left(") == tex.count(r"\right)")
    assert tex.isascii()
