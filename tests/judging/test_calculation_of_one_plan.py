"""One plan at a time: what the calculation prints can be worked again, and ends in the verdict's own numbers."""

from __future__ import annotations

import numpy as np
import pytest
from printed_reader import same
from random_calculations import KINDS, drawn
from test_calculation import problems

from heave.judging import assess
from heave.judging.calculation import calculation
from heave.planning import OPERATIONS
from heave.units import UNIT_SYSTEMS

PAIRS = [
    (kind, KINDS[(place + third * len(KINDS) // 3) % len(KINDS)])
    for place, kind in enumerate(OPERATIONS)
    for third in range(3)
]
"""Every operation on three kinds of unit, every kind of unit in four operations."""

SOLVED = (("c_a", "c_eqa", 1e-3), ("c_b", "c_eqb", 1e-3), ("k_D", "k_m", 1e-6), ("H_s", "H_m", 1e-3))
"""What was found by iteration, and the other side of its equation."""


@pytest.mark.parametrize(("number", "kind", "unit"), [(n, *pair) for n, pair in enumerate(PAIRS)])
def test_the_calculation_closes_and_ends_in_the_verdict(number: int, kind: str, unit: str) -> None:
    plan = drawn(np.random.default_rng(1000 + number), kind, unit, number)
    result = assess(plan)
    chapters = calculation(result)
    assert list(problems(chapters, UNIT_SYSTEMS[number % len(UNIT_SYSTEMS)])) == []
    known = {one.symbol: one.term.value for chapter in chapters for one in chapter.given}
    known |= {step.symbol: step.result.value for chapter in chapters for step in chapter.steps}
    of_checks = {chapter.check: chapter for chapter in chapters if chapter.check}
    for check in result.checks:
        chapter = of_checks[check.key]
        assert same(known[chapter.demand], check.demand), check.key
        assert same(known[chapter.capacity], check.capacity), check.key
        if check.capacity > 0 and np.isfinite(check.utilisation):
            assert same(chapter.steps[-1].result.value, check.utilisation), check.key
        for step in check.working:
            assert any(same(step.result.value, value) for value in known.values()), (check.key, step.symbol)
    for solved, again, share in SOLVED:
        if solved in known and again in known:
            assert known[solved] == pytest.approx(known[again], rel=share)
