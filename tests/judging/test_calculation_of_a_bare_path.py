"""The calculation closes for a hoisting path of which one number and another is not given."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from test_calculation import problems

import heave
from heave.files.rigs import demo_compensators
from heave.judging import assess
from heave.judging.calculation import calculation
from heave.planning.ranges import CLOSED


@pytest.mark.parametrize(
    "unit", [one for one in demo_compensators().values() if not one.is_drawworks], ids=lambda u: u.name
)
@pytest.mark.parametrize(
    ("given", "lines"),
    [({}, True), ({"line": None}, False), ({"drop": None}, False), ({"line": None, "drop": None}, False)],
    ids=["all", "no line", "no drop", "neither"],
)
def test_lines_weigh_where_both_their_size_and_their_length_are_known(
    unit: Any, given: dict[str, Any], lines: bool
) -> None:
    base = heave.demo_plan()
    assert base.hoisting is not None
    path = replace(base.hoisting, block_mass=12_000.0, lines_of_crown="straight to the floor", **given)
    plan = base.changed(hoisting=path, compensator=unit, ranges=CLOSED)
    chapters = calculation(assess(plan))
    assert list(problems(chapters, "metric")) == []
    known = {one.symbol: one.term.value for chapter in chapters for one in chapter.given}
    known |= {step.symbol: step.result.value for chapter in chapters for step in chapter.steps}
    if lines:
        assert known["m_li"] == pytest.approx(path.lines * path.drop * path.line.linear_mass)  # type: ignore[operator,union-attr]
    else:
        assert known["m_li"] == 0.0
    assert known["m_t"] == pytest.approx(12_000.0 + known["m_li"])
