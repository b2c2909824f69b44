"""Limiting sea and remedies: the root is a root, and what is offered really helps."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from functools import partial

import numpy as np
import pytest

import heave
from heave.arrays import FloatArray
from heave.formula import Formula
from heave.judging import RULES, LimitingSea, Rule, in_sector, room_left, what_would_help
from heave.judging.checks import Outcome
from heave.judging.demands import Demands
from heave.planning import CLOSED, HsLimit, Operation, Plan
from heave.sea import SeaState, WaveSystem


@pytest.mark.parametrize(("tp", "heading"), [(None, None), (7.0, 220.0), (12.0, 130.0), (15.0, 200.0)])
def test_governing_check_is_one_at_the_limiting_sea(tp: float | None, heading: float | None) -> None:
    plan = heave.demo_plan()
    found = heave.limiting_sea(plan, tp=tp, heading=heading)
    assert found.reached
    at = plan.changed(heading=found.heading, sea=plan.sea.with_primary(hs=found.hs, tp=found.tp))
    result = heave.assess(at)
    assert result.governing.utilisation == pytest.approx(1.0, abs=0.005)
    assert result.governing.name == found.governing
    assert float(found) == found.hs


def test_more_sea_than_the_limit_is_over_and_less_is_not() -> None:
    plan = heave.demo_plan()
    limit = heave.limiting_sea(plan).hs
    assert heave.assess(plan.changed(sea=plan.sea.with_primary(hs=1.02 * limit))).verdict == "over a limit"
    assert heave.assess(plan.changed(sea=plan.sea.with_primary(hs=0.98 * limit))).verdict != "over a limit"


def test_a_plan_over_its_limit_in_a_calm_has_no_sea_at_all() -> None:
    plan = heave.demo_plan()
    unit = dataclasses.replace(plan.compensator, compensated_rating=1e6)
    found = heave.limiting_sea(plan.changed(compensator=unit))
    assert found.hs == 0.0
    assert found.governing == "Compensated load"


def test_no_limit_is_infinite_and_named_none() -> None:
    plan = heave.demo_plan()
    calm = plan.changed(
        operation=Operation(kind="waiting", heave_limit=30.0),
        sea=SeaState.single(hs=1.0, tp=2.5, direction_from=220.0, depth=1200.0),
    )
    found = heave.limiting_sea(calm)
    assert math.isinf(found.hs)
    assert found.governing is None


def test_every_remedy_is_a_real_assessment_of_its_plan() -> None:
    result = heave.assess(heave.demo_plan())
    remedies = what_would_help(result)
    assert remedies
    for remedy in remedies:
        after = heave.assess(remedy.plan)
        assert remedy.after == after.governing.utilisation < result.governing.utilisation
        assert remedy.governed_by == after.governing.name


def test_opening_shut_bottles_is_offered_when_the_band_governs() -> None:
    plan = heave.demo_plan()
    unit = dataclasses.replace(plan.compensator, gas_volume=20.0, gas_volume_shut=11.0)
    tight = plan.changed(compensator=unit, operation=Operation(wob_low=100e3, wob_high=220e3))
    labels = [remedy.label for remedy in what_would_help(heave.assess(tight))]
    assert "Open the shut gas bottles" in labels


def test_waiting_is_offered_only_over_the_limit() -> None:
    plan = heave.demo_plan()
    over = heave.assess(plan.changed(sea=plan.sea.with_primary(hs=9.0)))
    assert any(remedy.plan is None for remedy in what_would_help(over))
    assert all(remedy.plan is not None for remedy in what_would_help(heave.assess(plan)))


def grown(plan: Plan, factor: float) -> Plan:
    """The plan with every wave system's height times `factor`."""
    systems = [dataclasses.replace(wave, hs=wave.hs * factor) for wave in plan.sea.systems]
    return plan.changed(sea=dataclasses.replace(plan.sea, systems=tuple(systems)))


def test_room_of_the_whole_sea_and_of_each_system() -> None:
    plan = heave.demo_plan()
    assert len(plan.sea.systems) > 1
    room = room_left(plan)
    assert room.factor == pytest.approx(room.together.hs / math.hypot(*(w.hs for w in plan.sea.systems)))
    assert heave.assess(grown(plan, room.factor)).governing.utilisation == pytest.approx(1.0, abs=0.005)
    for place, limit in enumerate(room.alone):
        systems = list(plan.sea.systems)
        systems[place] = dataclasses.replace(systems[place], hs=limit.hs)
        sea = dataclasses.replace(plan.sea, systems=tuple(systems))
        assert heave.assess(plan.changed(sea=sea)).governing.utilisation == pytest.approx(1.0, abs=0.005)
    # growing together each needs less than it may grow by alone
    assert all(room.factor * w.hs < limit.hs for w, limit in zip(plan.sea.systems, room.alone, strict=True))


def test_room_holds_the_peak_period_of_a_system_told_by_another() -> None:
    """A peak factor by rule follows the height, so that the same Tz is another Tp at the limit."""
    plan = heave.demo_plan()
    wave = WaveSystem(2.5, 5.5, period_kind="Tz", direction_from=plan.heading)
    sea = SeaState((wave,), plan.sea.depth)
    limit = room_left(plan.changed(sea=sea)).together.hs
    peaked, told = (
        dataclasses.replace(wave, hs=limit, **about)
        for about in ({"period": wave.tp, "period_kind": "Tp"}, {})
    )
    assert told.tp < wave.tp - 0.1
    found = heave.assess(plan.changed(sea=dataclasses.replace(sea, systems=(peaked,))))
    assert found.governing.utilisation == pytest.approx(1.0, abs=0.001)


def test_a_swell_left_in_is_no_calm() -> None:
    """With too much swell the wind sea has no room at all, and yet the whole sea can fall to where it is safe."""
    plan = heave.demo_plan()
    over = grown(plan, 2.0 * room_left(plan).factor)
    systems = tuple(dataclasses.replace(wave, hs=max(wave.hs, 3.0)) for wave in over.sea.systems)
    room = room_left(over.changed(sea=dataclasses.replace(over.sea, systems=systems)))
    assert room.alone[0].hs == 0.0
    assert room.together.hs > 0.0


def test_only_headings_in_the_sector_are_offered() -> None:
    plan = heave.demo_plan()
    highest = max(plan.sea.systems, key=lambda wave: wave.hs).direction_from
    for heading in range(0, 360, 30):
        turned = plan.changed(heading=float(heading))
        for remedy in what_would_help(heave.assess(turned)):
            if remedy.label.startswith("Turn"):
                off = abs((remedy.plan.heading - highest + 180) % 360 - 180)
                assert off <= 45
    headings = np.arange(0.0, 360.0, 10.0)
    wide = plan.changed(weather=dataclasses.replace(plan.weather, sector=180.0))
    assert in_sector(wide, plan.sea.batch(), headings).all()
    narrow = plan.changed(weather=dataclasses.replace(plan.weather, sector=20.0))
    near = [h for h in range(0, 360, 10) if abs((h - highest + 180) % 360 - 180) <= 20]
    assert len(near) in (4, 5)
    assert headings[in_sector(narrow, plan.sea.batch(), headings)[0]].tolist() == near


def test_no_ship_is_offered_a_stern_sea() -> None:
    """A sea of 5 m from any side: every turn offered brings the bow to it, and some are offered."""
    plan, offered = heave.demo_plan(), 0
    for heading in range(0, 360, 45):
        for operation in ("drilling", "landing", "casing"):
            turned = plan.doing(operation).changed(heading=float(heading))
            turned = turned.changed(sea=SeaState.single(hs=5.0, tp=11.0, direction_from=220.0, depth=1200.0))
            for remedy in what_would_help(heave.assess(turned)):
                if remedy.label.startswith("Turn"):
                    offered += 1
                    assert abs((remedy.plan.heading - 220.0 + 180) % 360 - 180) <= 45
    assert offered > 5


def test_a_turn_says_how_far_and_which_way() -> None:
    plan = heave.demo_plan()
    turns = {}
    for heading in (170.0, 280.0):
        for remedy in what_would_help(heave.assess(plan.changed(heading=heading))):
            if remedy.label.startswith("Turn"):
                turns[heading] = (remedy.plan.heading, remedy.side_effect)
    assert turns
    for heading, (new, words) in turns.items():
        change = (new - heading + 180) % 360 - 180
        assert f"a turn of {abs(change):.0f}° to {'starboard' if change > 0 else 'port'}" in words


def test_no_remedy_brings_another_check_near() -> None:
    for factor in (0.7, 1.0, 1.4):
        for heading in (100.0, 200.0, 250.0):
            result = heave.assess(grown(heave.demo_plan(), factor).changed(heading=heading))
            before = {check.key: check.utilisation for check in result.checks}
            for remedy in what_would_help(result):
                if remedy.plan is None:
                    continue
                for check in heave.assess(remedy.plan).checks:
                    if check.key != result.governing.key and check.utilisation >= 0.85:
                        assert check.utilisation <= before[check.key] * (1 + 1e-6)


def test_a_stop_beyond_its_band_is_not_bought_with_another() -> None:
    """Sharing the stroke evenly is refused where the other end would then be near."""
    plan = heave.demo_plan()
    offsets = dataclasses.replace(plan.offsets, start_position=2.4)
    lopsided = plan.changed(offsets=offsets, sea=plan.sea.with_primary(hs=6.0))
    result = heave.assess(lopsided)
    assert result.governing.key == "stroke_rising"
    labels = [remedy.label for remedy in what_would_help(result)]
    after = heave.assess(
        lopsided.changed(
            offsets=dataclasses.replace(offsets, start_position=result.responses.stroke.best_start)
        )
    )
    assert ("Start at {} from mid-stroke" in labels) == (after.check("stroke_falling").utilisation < 0.85)


def test_a_required_check_not_made_is_no_limit_but_a_bound() -> None:
    """Running casing needs a limit that only the rig has: without it no sea is a limiting one."""
    plan = heave.demo_plan().changed(operation=Operation(kind="casing"))
    found = heave.limiting_sea(plan)
    assert heave.assess(plan).verdict == "not assessed"
    assert math.isnan(found.hs)
    assert not found.assessed
    assert (
        found.at_most
        == heave.limiting_sea(plan.changed(operation=Operation(kind="casing", heave_limit=30.0))).hs
    )
    doubted = heave.demo_plan().changed(hookload_entered=2.0 * heave.demo_plan().own_hookload)
    assert doubted.hookload_to_confirm
    whole = heave.limit_map(doubted, [7.0, 11.0], [200.0, 240.0])
    assert np.isnan(whole.hs[whole.at_most > 0]).all()


def test_over_in_a_calm_is_over_whatever_could_not_be_made() -> None:
    plan = heave.demo_plan()
    unit = dataclasses.replace(plan.compensator, compensated_rating=1e6, locked_rating=1e6)
    found = heave.limiting_sea(plan.changed(compensator=unit, operation=Operation(kind="casing")))
    assert found.hs == found.at_most == 0.0
    assert found.assessed


def test_a_row_of_hs_limits_that_covers_no_such_period_is_not_assessed() -> None:
    plan = heave.demo_plan()
    short = HsLimit(hs=5.0, period_from=2.0, period_to=9.0)
    waits = plan.changed(operation=Operation(kind="waiting", hs_limits=(short,)))
    waits = waits.changed(sea=dataclasses.replace(plan.sea, systems=plan.sea.systems[:1]))
    found = heave.limit_map(waits, [7.0, 12.0])
    assert found.hs[0, 0] == pytest.approx(5.0, rel=2e-4)
    assert found.at(0, 0).governing == "Hs limit of the rig"
    assert math.isnan(found.hs[1, 0])


def test_the_worst_ends_of_the_ranges_allow_less() -> None:
    plan = heave.demo_plan().changed(
        ranges=dataclasses.replace(CLOSED, heave=0.1, sea_height=0.05, gas_index=1.0)
    )
    for system in (0, 1, None):
        planned = heave.limiting_sea(plan, system=system)
        worst = heave.limiting_sea(plan, system=system, worst=True)
        assert 0 < worst.hs < planned.hs
        sea = plan.sea
        if system is None:
            at = grown(plan, worst.hs / sea.hs)
        else:
            systems = list(sea.systems)
            systems[system] = dataclasses.replace(systems[system], hs=worst.hs)
            at = plan.changed(sea=dataclasses.replace(sea, systems=tuple(systems)))
        result = heave.assess(at)
        assert max(check.high for check in result.checks) == pytest.approx(1.0, abs=2e-4)
        assert result.governing.utilisation < 1.0
    # gas ten degrees warmer or colder than planned lifts the bit in any sea
    assert heave.limiting_sea(heave.demo_plan(), worst=True).hs == 0.0
    exact = plan.changed(ranges=CLOSED)
    assert heave.limiting_sea(exact, worst=True) == heave.limiting_sea(exact)


ANY = Formula("b = 1 × s_t", {"b": ("length", "a bump"), "s_t": ("length", "spread of heave")}, "made up")


def shaped(plan: Plan, used: Callable[[FloatArray], FloatArray]) -> LimitingSea:
    """The limiting sea of a plan that one made-up check governs, its utilisation a function of the heave in metres."""

    @partial(Rule, "shaped", "Shaped", "length", "Invented", lambda plan: True, (ANY,))
    def rule(d: Demands) -> Outcome:
        """Anything at all."""
        return Outcome(used(np.asarray(d.heave.sigma)), np.asarray(1.0), (ANY(s_t=d.heave.sigma),))

    RULES.append(rule)
    try:
        return heave.limiting_sea(plan, system=None)
    finally:
        RULES.remove(rule)


def metres(plan: Plan, hs: float) -> float:
    """Spread of heave of the plan with its whole sea at a height [m]."""
    return float(heave.assess(grown(plan, hs / plan.sea.hs)).responses.heave.sigma)


def test_the_first_crossing_from_below_is_the_limit() -> None:
    """A check that is over in a low sea, passes in a higher one and is over again."""
    plan = heave.demo_plan()
    one, two = metres(plan, 0.5), metres(plan, 1.1)

    def hump(sigma: FloatArray) -> FloatArray:
        return np.where(sigma < two, 1.5 * np.sin(np.pi * sigma / (2 * one)) ** 2, sigma / (4 * two))

    found = shaped(plan, hump)
    sigma = float(metres(plan, found.hs))
    assert hump(np.asarray(sigma)) == pytest.approx(1.0, abs=2e-4)
    assert sigma < one
    assert found.governing == "Shaped"
    # from its other side the hump is crossed too, higher up
    assert hump(np.asarray(2 * one - sigma)) == pytest.approx(1.0, abs=2e-4)
    assert hump(np.asarray(metres(plan, 1.0))) < 1


def test_a_jump_past_the_limit_leaves_the_last_height_below_it() -> None:
    plan = heave.demo_plan()
    edge = metres(plan, 1.3)
    for high in (1.7, math.inf):
        found = shaped(plan, lambda sigma, high=high: np.where(sigma < edge, 0.2, high))  # type: ignore[misc]
        assert found.hs == pytest.approx(1.3, rel=3e-4)
        assert metres(plan, found.hs) < edge
        assert found.governing == "Shaped"


@pytest.mark.parametrize("power", [0.05, 1.0, 6.0])
def test_a_limit_is_close_below_one_however_flat_or_steep(power: float) -> None:
    plan = heave.demo_plan()
    at = metres(plan, 1.2)
    found = shaped(plan, lambda sigma: (sigma / at) ** power)
    reached = (metres(plan, found.hs) / at) ** power
    assert 1 - 1e-4 < reached <= 1 + 2e-6
