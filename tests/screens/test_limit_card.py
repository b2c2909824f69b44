"""The limit card: every cell assessed again at what is printed, and a tenth of a metre higher."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from limit_plans import grown

import heave
from heave.files.rigs import demo_vessels
from heave.judging.limit_card import CARD_PERIODS, LimitCard, bow_headings, limit_card, waves_from
from heave.judging.limit_curves import Growth, growths, limits_of
from heave.planning import CLOSED, Plan
from heave.screens.limits.card import NO_LIMIT, UNKNOWN, printed
from heave.vessel import relative_heading

PERIODS = (5.0, 9.0, 15.0)
DOUBTED = replace(CLOSED, heave=0.1, gas_index=1.0)


def used(plan: Plan, growth: Growth, hs: float, tp: float, heading: float, high: bool) -> float:
    """Highest utilisation of a plan assessed in a cell's sea, of the planned values or over the ranges."""
    result = heave.assess(grown(plan, growth, hs, tp, heading))
    return max(np.nan_to_num(check.high if high else check.utilisation) for check in result.checks)


def case(kind: str, vessel: int, way: int) -> tuple[Plan, Growth]:
    plan = heave.demo_plan().doing(kind).changed(ranges=DOUBTED)  # type: ignore[arg-type]
    plan = plan.changed(vessel=list(demo_vessels().values())[vessel])
    return plan, growths(plan)[way]


@pytest.mark.parametrize(("kind", "vessel", "way"), [("drilling", 0, 2), ("casing", 1, 0), ("landing", 0, 4)])
def test_every_cell_assessed_again_at_what_is_printed(kind: str, vessel: int, way: int) -> None:
    plan, growth = case(kind, vessel, way)
    card = limit_card(plan, growth, PERIODS)
    sides = (1, -1) if card.both_sides else (1,)
    reached = 0
    for i, tp in enumerate(card.periods):
        for j, angle in enumerate(card.angles):
            for limits, high in ((card.planned, False), (card.worst, True)):
                words = printed(float(limits.hs[i, j]), float(card.highest[i]), "metric")
                if words in (NO_LIMIT, UNKNOWN):
                    continue
                reached += 1
                here = float(words)
                headings = [bow_headings(plan, growth, [side * angle])[0] for side in sides]
                if here > 0:
                    for heading in headings:
                        assert used(plan, growth, here, tp, heading, high) <= 1.0
                above = [used(plan, growth, here + 0.11, tp, heading, high) for heading in headings]
                assert max(above) > 1.0
    assert reached > 20


def test_sides_that_agree_are_one_column_and_others_are_not() -> None:
    plan = heave.demo_plan()
    alone, beside = growths(plan)[2], growths(plan)[0]
    one = limit_card(plan, alone, PERIODS)
    assert one.both_sides
    assert one.angles == tuple(range(0, 181, 15))
    two = limit_card(plan, beside, PERIODS)
    assert not two.both_sides  # the swell comes from one side of the wind sea
    assert two.angles == tuple(range(0, 360, 30))
    off_centre = plan.changed(vessel=replace(plan.vessel, hoist_y=12.0))
    assert not limit_card(off_centre, alone, PERIODS).both_sides


def test_an_angle_off_the_bow_is_to_starboard() -> None:
    """Waves from the east on a vessel that heads north come from starboard, 90° off the bow, and travel to port."""
    plan = heave.demo_plan()
    sea = replace(plan.sea, systems=(replace(plan.sea.systems[0], direction_from=90.0),))
    east = plan.changed(sea=sea)
    growth = growths(east)[0]
    assert waves_from(east, growth) == 90.0
    assert bow_headings(east, growth, [0.0, 90.0, 180.0]) == [90.0, 0.0, 270.0]
    assert float(relative_heading(0.0, 90.0)) == 90.0
    card = limit_card(east, growth, (10.0,))
    assert card.planned.headings[6] == 0.0
    assert card.planned.hs[0, 6] == pytest.approx(heave.limiting_sea(east, 10.0, 0.0).hs, rel=3e-3)


def test_a_card_of_a_plan_that_is_not_assessed_has_no_figure() -> None:
    plan = heave.demo_plan().changed(procedures=()).doing("casing")
    card: LimitCard = limit_card(plan, growths(plan)[2], PERIODS)
    assert np.isnan(card.planned.hs[card.planned.at_most > 0]).all()
    assert printed(math.nan, 5.0, "metric") == UNKNOWN


def test_what_is_printed_is_rounded_down_in_either_unit() -> None:
    assert printed(4.199, 9.0, "metric") == "4.1"
    assert printed(4.2000001, 9.0, "metric") == "4.2"
    assert printed(0.07, 9.0, "metric") == "0.0"
    assert printed(4.2, 9.0, "oilfield") == "13.7"  # 13.78 ft
    assert printed(9.5, 9.0, "metric") == NO_LIMIT
    assert printed(math.inf, math.inf, "metric") == NO_LIMIT
    assert len(CARD_PERIODS) == 17


def test_of_two_sides_that_agree_the_lower_is_given() -> None:
    plan = heave.demo_plan().changed(ranges=CLOSED)
    plan = plan.changed(vessel=replace(plan.vessel, hoist_y=0.3))
    alone = growths(plan)[2]
    card = limit_card(plan, alone, (9.0,))
    assert card.both_sides
    sides = [
        limits_of(plan, alone, (9.0,), bow_headings(plan, alone, [side * angle for angle in card.angles]))
        for side in (1, -1)
    ]
    starboard, port = (side.at_most for side in sides)
    assert np.max(np.abs(starboard / port - 1)) > 1e-4  # so the lower is told from the higher
    assert card.planned.hs == pytest.approx(np.minimum(starboard, port), rel=1e-5)
