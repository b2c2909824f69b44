"""The reeved system: its actual lines, where the compensator sits, one scale, the weakest link by word and shape."""

from __future__ import annotations

import re

import pytest
from hoisting_plans import UNITS, drawn, loads_of, places, unit_of_kind, with_path

import heave
from heave.compensator import Compensator
from heave.judging import assess
from heave.screens.figures.reeved_parts import Drawing, layout


def lines_between(picture: str, made: Drawing) -> int:
    """Upright lines that begin at the crown and end in the block."""
    ends = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', picture)
    crown, block = made.heights.crown, made.places["travelling_block"].y
    near = [(float(y), float(y2)) for x, y, x2, y2 in ends if x == x2]
    return sum(abs(y - crown) < 0.01 and abs(y2 - block) < 0.01 for y, y2 in near)


@pytest.mark.parametrize("lines", range(4, 17, 2))
def test_the_picture_has_the_actual_number_of_lines(lines: int) -> None:
    plan = with_path(lines=float(lines), crown_sheaves=9.0)
    picture, made = drawn(plan), places(plan)
    assert lines_between(picture, made) == lines
    sheaves = [float(y) for y in re.findall(r'<circle [^>]*cy="([\d.]+)"', picture)]
    assert sum(abs(y - made.heights.crown) < 0.01 for y in sheaves) == lines // 2 + 1
    assert sum(abs(y - made.places["travelling_block"].y) < 0.01 for y in sheaves) == lines // 2
    assert f"{lines} lines to the block" in picture


@pytest.mark.parametrize("unit", UNITS.values(), ids=list(UNITS))
def test_the_compensator_is_drawn_where_it_sits(unit: Compensator) -> None:
    made = places(heave.demo_plan().changed(compensator=unit))
    at = {key: place.y for key, place in made.places.items()}
    own = at[made.unit_key]
    if unit.mounting == "crown":
        assert at["crown_block"] < own < at["travelling_block"]
    elif unit.mounting == "block":
        assert at["travelling_block"] < own < at["hook"]
    else:
        assert abs(own - at["drawworks_pull"]) < 40
    order = [
        at[key] for key in ("crown_block", "travelling_block", "hook", "top_drive", "links", "elevators")
    ]
    assert order == sorted(order)


def test_arms_are_drawn_only_where_sheaves_keep_the_lines() -> None:
    plan = with_path(lines_of_crown="straight to the floor").changed(
        compensator=unit_of_kind("crown-mounted")
    )
    kept = heave.demo_plan().changed(compensator=unit_of_kind("crown-mounted"))
    assert drawn(kept).count("<circle") == drawn(plan).count("<circle") + 2


def test_a_locked_unit_has_bars_across_its_rod() -> None:
    bar = r'<path d="M[\d. ]+L[\d. ]+"[^>]*stroke-width="3"'
    locked, working = (
        len(re.findall(bar, drawn(heave.demo_plan().doing(kind)))) for kind in ("tripping", "landing")
    )
    assert locked == working + 2


@pytest.mark.parametrize("unit", UNITS.values(), ids=list(UNITS))
def test_heights_and_stroke_are_to_one_scale(unit: Compensator) -> None:
    plan = heave.demo_plan().changed(compensator=unit)
    assert plan.hoisting is not None
    heights = layout(plan.hoisting, unit)
    assert heights.per_metre is not None
    assert heights.at(38.0) - heights.at(46.0) == pytest.approx(8.0 * heights.per_metre)
    assert heights.block == pytest.approx(heights.at(38.0))
    assert heights.crown == pytest.approx(heights.at(8.0 + 45.0))
    assert heights.stroke == pytest.approx(heights.per_metre * (getattr(unit, "stroke", 0.0)))
    words = re.search(r"to scale: (\d+) (m|ft) is (\d+) px", drawn(plan, "oilfield"))
    assert words is not None
    assert int(words[3]) == pytest.approx(heights.per_metre * int(words[1]) * 0.3048, abs=1)


def test_without_heights_the_picture_says_that_it_is_not_to_scale() -> None:
    none = {"highest_block": None, "lowest_block": None, "crown_stop": None}
    assert "Not to scale: heights not given." in drawn(with_path(**none))
    low = {"highest_block": 12.0, "lowest_block": 8.0, "crown_stop": 46.0}
    assert "Not to scale: the heights given leave no room for the parts." in drawn(with_path(**low))


def test_the_weakest_link_is_marked_by_words_and_shape() -> None:
    plan = with_path(hook_rating=1.7e6)
    found, picture = loads_of(plan), drawn(plan)
    assert found.weakest_link == "hook"
    state = assess(plan).check("hook").state
    assert state == "near a limit"
    assert picture.count(">weakest link<") == 1
    assert f">{state}<" in picture
    made = places(plan).places["hook"]
    heads = re.findall(r'd="M([\d.]+) ([\d.]+)l(-?9) -6v12Z"', picture)
    assert [(float(x), float(y), way) for x, y, way in heads] == [
        (pytest.approx(made.left - 4), pytest.approx(made.y, abs=1e-3), "-9"),
        (pytest.approx(made.right + 4), pytest.approx(made.y, abs=1e-3), "9"),
    ]
