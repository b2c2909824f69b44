"""What is tried to help, and where a caution begins: by hand, and on both sides of each bound."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from limit_plans import random_plans

import heave
from heave.files.rigs import demo_compensators, demo_hoisting
from heave.judging import cautions, remedies
from heave.judging.path_loads import line_power
from heave.planning import Operation, Plan, StaticOffsets
from heave.sea import SeaState, WaveSystem


@pytest.fixture(scope="module")
def plan() -> Plan:
    return heave.demo_plan()


def unit_of(kind: str) -> Any:
    return next(one for one in demo_compensators().values() if one.kind == kind)


def trials(plan: Plan) -> dict[str, Plan]:
    return {trial.label: trial.plan for trial in remedies._trials(heave.assess(plan))}


def test_what_is_tried_changes_what_it_says(plan: Plan) -> None:
    shut = plan.changed(compensator=replace(plan.compensator, gas_volume_shut=2.0), hookload_entered=None)
    found = trials(shut)
    assert found["Open the shut gas bottles"].compensator.gas_volume_shut == 0.0
    assert found["A tenth less hookload"].hookload == pytest.approx(0.9 * shut.hookload)
    opened = trials(shut.changed(compensator=replace(plan.compensator, gas_volume_shut=0.0)))
    assert "Open the shut gas bottles" not in opened


def test_weight_on_bit_is_tried_at_the_middle_of_its_band(plan: Plan) -> None:
    label = "Weight on bit at the middle of its band"
    for low, high, tried in (
        (60e3, 200e3, True),
        (99e3, 201e3, False),
        (98e3, 204e3, True),
        (None, 200e3, False),
    ):
        given = plan.changed(wob=150e3, operation=Operation(wob_low=low, wob_high=high))
        found = trials(given)
        assert (label in found) == tried, (low, high)
        if tried:
            assert found[label].wob == (low + high) / 2


def test_the_start_is_tried_where_both_ends_are_used_alike(plan: Plan) -> None:
    label = "Start at {} from mid-stroke"
    offsets = StaticOffsets(tide_rise=0.6, tide_fall=0.2)
    for start, tried in (
        (0.0, True),
        (-0.2, False),
        (-0.16, False),
        (-0.14, True),
        (-0.24, False),
        (-0.26, True),
    ):
        found = trials(plan.changed(offsets=replace(offsets, start_position=start)))
        assert (label in found) == tried, start
        if tried:
            assert found[label].offsets.start_position == pytest.approx(-0.2)


def test_a_lost_active_part_is_tried_in_use(plan: Plan) -> None:
    active = plan.changed(compensator=unit_of("active-assisted"), active=False)
    assert trials(active)["Bring the active part in"].active
    assert "Bring the active part in" not in trials(active.changed(active=True))
    assert "Bring the active part in" not in trials(plan)


def test_the_bow_is_turned_to_the_best_heading_in_its_sector(plan: Plan) -> None:
    """Every tenth degree tried one by one; the turn is told to the nearer side."""
    waves = plan.sea.systems[0].direction_from
    for heading, side in (((waves + 90.0) % 360.0, "port"), ((waves - 90.0) % 360.0, "starboard")):
        turned = plan.changed(heading=heading)
        (trial,) = remedies._turn(turned)
        middle = float(remedies.wave_origin(plan.sea.batch())[0])
        tried = [
            h
            for h in np.arange(0.0, 360.0, 10.0)
            if abs((h - middle + 180) % 360 - 180) <= plan.weather.sector
        ]
        closed = turned.changed(ranges=type(plan.ranges)(**dict.fromkeys(vars(plan.ranges), 0.0)))
        used = {h: heave.assess(closed.changed(heading=h)).governing.utilisation for h in tried}
        best = min(used, key=lambda h: (round(used[h], 12), h))
        assert used[trial.plan.heading] == pytest.approx(used[best], rel=1e-9)
        assert f"to {side};" in trial.side_effect
        angle = abs((trial.plan.heading - heading + 180) % 360 - 180)
        assert f"a turn of {angle:.0f}°" in trial.side_effect
        assert list(remedies._turn(trial.plan)) == []


def test_the_sector_is_about_its_middle_or_the_highest_waves(plan: Plan) -> None:
    sea = SeaState(
        (
            WaveSystem(hs=1.0, period=8.0, direction_from=90.0),
            WaveSystem(hs=2.0, period=9.0, direction_from=350.0),
        ),
        depth=plan.sea.depth,
    )
    batch = sea.batch()
    assert remedies.wave_origin(batch).tolist() == [350.0]
    headings = np.array([305.0, 304.9, 35.0, 35.1, 350.0, 170.0])
    within = [True, False, True, False, True, False]
    given = plan.changed(sea=sea, weather=replace(plan.weather, sector=45.0, sector_middle=None))
    assert remedies.in_sector(given, batch, headings)[0].tolist() == within
    middle = given.changed(weather=replace(given.weather, sector_middle=170.0))
    assert remedies.in_sector(middle, batch, headings)[0].tolist() == [False] * 5 + [True]


def said(plan: Plan, **figures: Any) -> str:
    """The cautions of the compensator for figures of the sea."""
    given = {"stroke": None, "residual": None, "bit": None, "active": None} | figures
    setting = SimpleNamespace(free_period_nominal=figures.get("period"))
    return "\n".join(cautions._compensator_cautions(plan, setting, SimpleNamespace(**given)))  # type: ignore[arg-type]


def test_travel_past_either_end_is_said(plan: Plan) -> None:
    past = "past the end of the stroke"
    for rising, falling, told in ((3.0, 3.0, False), (3.001, 1.0, True), (1.0, 3.001, True)):
        budget = SimpleNamespace(rising=rising, falling=falling, half_stroke=3.0)
        assert (past in said(plan, stroke=budget)) == told
    assert past not in said(plan)


def test_shut_bottles_are_told_by_how_much_they_stiffen(plan: Plan) -> None:
    unit = replace(plan.compensator, gas_volume_shut=plan.compensator.gas_volume * 0.6)
    assert "2.5 times as stiff" in said(plan.changed(compensator=unit))
    assert "as stiff as" not in said(plan.changed(compensator=replace(unit, gas_volume_shut=0.0)))


def test_a_period_in_the_swell_band_is_said_off_bottom(plan: Plan) -> None:
    landing = plan.changed(operation=Operation(kind="landing"))
    for period, told in ((4.0, False), (4.01, True), (24.99, True), (25.0, False), (None, False)):
        assert ("in the swell band" in said(landing, period=period)) == told
        assert "in the swell band" not in said(plan, period=period)
    assert f"shorter than {16.0 / math.sqrt(2):.1f}\u00a0s" in said(landing, period=16.0)


def test_a_unit_that_carries_the_hook_along_is_said(plan: Plan) -> None:
    landing = plan.changed(operation=Operation(kind="landing"))
    for share, told in ((0.9, False), (0.901, True)):
        left = SimpleNamespace(share=share, share_locked=1.0)
        assert ("hardly works" in said(landing, residual=left)) == told


def test_an_active_part_asked_for_more_than_it_has_is_said(plan: Plan) -> None:
    unit = replace(unit_of("active-assisted"), active_force_limit=2e5, active_velocity_limit=1.5)
    active = plan.changed(compensator=unit)
    for rising, falling, speed, told in (
        (2e5, 2e5, 1.5, False), (2.001e5, 0.0, 0.0, True), (0.0, 2.001e5, 0.0, True), (0.0, 0.0, 1.501, True),
    ):  # fmt: skip
        asked = SimpleNamespace(rising=rising, falling=falling, speed=speed)
        assert ("more than its limits" in said(active, active=asked)) == told
        assert "more than its limits" not in said(active.changed(active=False), active=asked)
    free = replace(unit, active_force_limit=None, active_velocity_limit=None)
    asked = SimpleNamespace(rising=9e9, falling=9e9, speed=99.0)
    assert "more than its limits" not in said(plan.changed(compensator=free), active=asked)


def test_worse_than_locked_is_told_as_a_ratio(plan: Plan) -> None:
    active = plan.changed(compensator=unit_of("active-assisted"))
    for elastic, told in ((100e3, False), (130e3, True)):
        bit = SimpleNamespace(elastic=elastic, locked=100e3)
        assert ("1.3 times that of a unit locked" in said(active, bit=bit)) == told
    assert "Worse than locked" not in said(active, bit=SimpleNamespace(elastic=1.0, locked=0.0))
    for share, told in ((0.8, False), (1.2, True)):
        left = SimpleNamespace(share=share, share_locked=0.8)
        assert ("1.5 times that of a unit locked" in said(active, residual=left)) == told


def test_mean_power_of_a_line_that_follows_the_heave(plan: Plan) -> None:
    """n σ_v √(2/π) of line, half of it hoisting; each sheave takes or gives a share K on the way from line to line.

    Hoisting the ten lines carry F/K to F/K¹⁰ of the drum's pull F, lowering F K to F K¹⁰.
    """
    path = replace(demo_hoisting(), lines=10)
    works = plan.changed(hoisting=None, compensator=replace(unit_of("drawworks"), lines=10)).changed(
        hoisting=path
    )
    power = line_power(works)
    assert power is not None
    figures = heave.assess(works)
    load, k = figures.setting.load + works.block_mass * 9.80665, path.sheave_factor
    line = 10 * float(figures.responses.velocity.sigma) * math.sqrt(2 / math.pi)
    hoisting, lowering = (load / sum(k ** (way * n) for n in range(1, 11)) for way in (-1, 1))
    assert power.hoisting == pytest.approx(hoisting * line / 2, rel=1e-6)
    assert power.lowering == pytest.approx(lowering * line / 2, rel=1e-6)
    assert power.sheaves == pytest.approx(power.hoisting - power.lowering)
    assert line_power(plan) is None
    assert line_power(works.changed(hoisting=None)) is None


def test_cautions_read_alike_in_every_unit_system(plan: Plan) -> None:
    """Words, ratios and the units that all systems share: no length, force or pressure, whatever the plan."""
    own = re.compile(r"\d[\u00a0 ](m|mm|m³|m/s|kN|N|t|kg|bar|kPa|MPa)\b")
    plans = [
        *random_plans(120, seed=5),
        plan.changed(sea=SeaState.single(7.0, 10.0, depth=13.0), offsets=StaticOffsets()),
    ]
    told = {caution for one in plans for caution in heave.assess(one).cautions}
    assert len(told) > 20
    assert any("the bottom limits" in caution for caution in told)
    assert [caution for caution in told if own.search(caution)] == []
