"""Limit curves: points assessed again are at the limit, closed forms, growth of waves, what cannot be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from limit_plans import at_limit, first_over, grown, random_plans
from plain_plans import HEAVE, plain_vessel
from plain_plans import plans as plain_plans

import heave
from heave.errors import InputError
from heave.judging import limit_map
from heave.judging.limit_curves import (
    HEADINGS,
    PERIODS,
    allowed_periods,
    growths,
    highest_sea,
    letters_of,
    limits_beside,
    limits_by_operation,
    limits_of,
    steepest,
)
from heave.judging.limiting import HIGHEST_TRIED, LADDER, LOWEST_TRIED
from heave.planning import CLOSED, HEAVE_BASES, OPERATIONS, Operation, Plan
from heave.sea import SeaState, WaveSystem

PLANS = random_plans(48, seed=20)


def test_points_of_curves_assessed_again_are_at_the_limit() -> None:
    """Every operation on every kind of unit, each way of growing: 1.000 ± 0.002, but where utilisation jumps past 1."""
    rng = np.random.default_rng(5)
    judged, jumped = 0, 0
    for place, plan in enumerate(PLANS):
        ways = growths(plan)
        for growth in {ways[place % len(ways)], ways[(place // 2 + 2) % len(ways)]}:
            periods = rng.choice(allowed_periods(plan, growth), 2, replace=False)
            found = limits_of(plan, growth, periods, [rng.uniform(0, 360)])
            for i, tp in enumerate(found.periods):
                for j, heading in enumerate(found.headings):
                    limit = found.at(i, j)
                    if not 0 < limit.at_most < math.inf:
                        continue
                    used, name, above = at_limit(plan, growth, limit.at_most, tp, heading)
                    judged += 1
                    assert used <= 1 + 1e-5
                    assert above >= 1 - 1e-5 or used >= 0.998
                    if used < 0.998:
                        jumped += 1
                        assert above > 1
                    else:
                        assert used == pytest.approx(1.0, abs=0.002)
                        assert name == limit.governing
    assert judged > 50
    assert jumped < 0.05 * judged
    assert {plan.operation.kind for plan in PLANS} == set(OPERATIONS)


def test_the_limit_is_the_first_height_over_of_many_tried() -> None:
    """Against one height after the other, 400 of them."""
    heights = np.geomspace(LOWEST_TRIED, HIGHEST_TRIED, 400)
    step = heights[1] / heights[0]
    for plan in PLANS[::4]:
        growth = growths(plan)[-1]
        tp = allowed_periods(plan, growth)[14]
        limit = limits_of(plan, growth, [tp]).at(0, 0).at_most
        brute = first_over(plan, growth, tp, plan.heading, heights)
        if limit == 0.0:
            assert brute == heights[0]
        elif math.isinf(limit):
            assert math.isinf(brute)
        else:
            assert limit < brute * (1 + 1e-6)
            assert brute <= limit * step * (1 + 1e-6)


def linear(systems: tuple[WaveSystem, ...], limit: float) -> Plan:
    """A plan that significant heave governs, on a vessel that heaves 0.6 m a metre at every period."""
    plan = next(p for p in plain_plans() if p.operation.kind == "waiting" and p.name == "moderate")
    basis = next(words for words in HEAVE_BASES if words.startswith("significant") and "double" in words)
    waits = Operation(kind="waiting", heave_limit=limit, heave_basis=basis)
    sea = SeaState(systems, depth=1500.0)
    return plan.changed(vessel=plain_vessel(), operation=waits, sea=sea, hoisting=None, ranges=CLOSED)


SWELL = WaveSystem(
    1.5, 13.0, direction_from=250.0, shape="gaussian-swell", spreading="long-crested", label="swell"
)
WIND = replace(SWELL, hs=1.0, period=9.0, label="wind sea")


def test_a_linear_vessel_has_its_closed_form() -> None:
    """H = 4σ = 0.6 Hs, so Hs = H/0.6 alone, √((H/0.6)² − Hs₂²) beside a swell, at every period and heading."""
    plan = linear((WIND, SWELL), 1.8)
    exact = 1.8 / HEAVE
    beside, swell, wind_alone, swell_alone, together = growths(plan)
    expected = {
        beside: math.sqrt(exact**2 - SWELL.hs**2),
        swell: math.sqrt(exact**2 - WIND.hs**2),
        wind_alone: exact,
        swell_alone: exact,
        together: exact,
    }
    for growth, height in expected.items():
        found = limits_of(plan, growth, [6.0, 10.0, 14.0], [0.0, 100.0, 250.0])
        assert found.hs == pytest.approx(np.full((3, 3), height), rel=3e-4), growth.words
        assert set(found.governed_by.ravel()) == {found.names.index("Heave limit of the rig")}


def test_wind_sea_against_swell_is_a_quarter_circle() -> None:
    plan = linear((WIND, SWELL), 1.8)
    exact, heights = 1.8 / HEAVE, (0.5, 1.0, 2.0, 2.5, 3.2)
    found = limits_beside(plan, 0, 1, heights)
    assert (found.name, found.other, found.x) == ("wind sea", "swell", heights)
    expected = [math.sqrt(max(exact**2 - height**2, 0.0)) for height in heights]
    assert found.limits.hs[:, 0] == pytest.approx(expected, rel=3e-4)
    assert found.limits.hs[-1, 0] == 0.0  # that swell is too much by itself
    by_period = limits_beside(plan, 0, 1, periods=(8.0, 12.0, 16.0))
    assert by_period.limits.hs[:, 0] == pytest.approx(math.sqrt(exact**2 - SWELL.hs**2), rel=3e-4)
    other_way = limits_beside(plan, 1, 0, heights)
    assert other_way.limits.hs == pytest.approx(found.limits.hs, rel=3e-4)
    with pytest.raises(InputError, match="two different wave systems"):
        limits_beside(plan, 0, 2)


def test_what_grows_is_said_and_the_others_stay_or_go() -> None:
    plan = heave.demo_plan()
    words = [growth.words for growth in growths(plan)]
    assert words == [
        "wind sea, swell as planned",
        "swell, wind sea as planned",
        "wind sea alone, no swell",
        "swell alone, no wind sea",
        "all waves together, by one factor",
    ]
    beside, swell, alone, _, together = growths(plan)
    assert limits_of(plan, beside).at(0, 0) == heave.limiting_sea(plan)
    assert limits_of(plan, together).at(0, 0) == heave.limiting_sea(plan, system=None)
    assert limits_of(plan, swell).hs[0, 0] == pytest.approx(heave.limiting_sea(plan, system=1).hs, rel=2e-4)
    one = plan.changed(sea=replace(plan.sea, systems=plan.sea.systems[:1]))
    assert limits_of(plan, alone).at(0, 0) == heave.limiting_sea(one)
    assert [growth.words for growth in growths(one)] == ["the wind sea, all there is"]
    twins = plan.changed(sea=replace(plan.sea, systems=(plan.sea.systems[0],) * 2))
    assert growths(twins)[0].words == "wind sea 1, wind sea 2 as planned"
    assert len(growths(twins)[0].sea(twins.sea).systems) == 2
    four = plan.changed(sea=replace(plan.sea, systems=(plan.sea.systems[0],) * 4))
    assert growths(four)[1].words == "wind sea 2, the other 3 systems as planned"
    assert growths(four)[5].words == "wind sea 2 alone, no other system"


def test_a_map_is_its_rows_and_columns() -> None:
    """Points worked together are those worked one by one."""
    plan = heave.demo_plan()
    found = limit_map(plan, [6.0, 9.0, 13.0], [0.0, 200.0, 240.0])
    for i, tp in enumerate(found.periods):
        for j, heading in enumerate(found.headings):
            one = heave.limiting_sea(plan, tp, heading)
            assert found.at(i, j).governing == one.governing
            assert found.hs[i, j] == pytest.approx(one.hs, rel=2e-4)


def test_every_operation_the_plan_can_be_set_to() -> None:
    plan = heave.demo_plan()
    found = limits_by_operation(plan, growths(plan)[2], [8.0, 12.0])
    assert set(found) == set(OPERATIONS)
    for kind, one in found.items():
        assert not isinstance(one, InputError)
        assert one.at(0, 0) == limits_of(plan.doing(kind), growths(plan)[2], [8.0, 12.0]).at(0, 0)
    bare = plan.changed(procedures=())
    assert np.isnan(limits_by_operation(bare, growths(plan)[2], [8.0])["casing"].hs).all()  # type: ignore[union-attr]
    locked = plan.changed(compensator=replace(plan.compensator, friction_fraction=0.0, hydraulic_loss=0.0))
    refused = limits_by_operation(locked, growths(plan)[2], [8.0])
    assert isinstance(refused["landing"], InputError)


def test_periods_that_a_shape_cannot_have_are_left_out() -> None:
    plan = heave.demo_plan()
    for shape, highest in (("torsethaugen", 25.0), ("jonswap", 30.0)):
        sea = SeaState.single(2.0, 9.0, shape=shape, depth=plan.sea.depth)
        there = plan.changed(sea=sea)
        assert allowed_periods(there, growths(there)[0], (1.0, 5.0, 24.0, 26.0, 29.0, 31.0)) == tuple(
            tp for tp in (5.0, 24.0, 26.0, 29.0) if tp <= highest
        )
    by_height = plan.changed(sea=SeaState((WaveSystem(2.0, None, shape="ochi-hubble"),), plan.sea.depth))
    assert allowed_periods(by_height, growths(by_height)[0]) == ()


def test_the_steepest_sea_is_that_of_the_recommended_practice() -> None:
    """DNV-RP-C205, 3.5.4: Sp = 1/15 for Tp 8 s and less, 1/25 for 15 s and more; from memory."""
    expected = [9.80665 * 64 / (2 * math.pi * 15), 9.80665 * 225 / (2 * math.pi * 25)]
    assert steepest([8.0, 15.0]) == pytest.approx(expected, rel=1e-12)
    assert steepest(5.0) == pytest.approx(9.80665 * 25 / (2 * math.pi * 15), rel=1e-12)
    middle = (1 / 15 + 1 / 25) / 2
    assert steepest([[11.5]]) == pytest.approx(
        np.array([[middle * 9.80665 * 11.5**2 / (2 * math.pi)]]), rel=1e-12
    )


def test_letters_name_the_checks_that_govern_the_most_frequent_first() -> None:
    plan = heave.demo_plan()
    found = limits_of(plan, growths(plan)[2], PERIODS[::4], HEADINGS[::3])
    letters = letters_of(found)
    governing = found.governed_by[found.governed_by >= 0]
    assert {found.keys[place] for place in np.unique(governing)} == set(letters)
    counts = [int((governing == found.keys.index(key)).sum()) for key in letters]
    assert counts == sorted(counts, reverse=True)
    assert list(letters.values())[:2] == ["A", "B"][: len(letters)]
    assert (len(PERIODS), len(HEADINGS)) == (40, 36)
    assert LADDER[[0, -1]] == pytest.approx([LOWEST_TRIED, HIGHEST_TRIED])


def test_of_all_waves_the_highest_sea_is_that_in_which_the_first_is_the_steepest() -> None:
    plan = heave.demo_plan()
    together = growths(plan)[-1]
    assert together.system is None
    (highest,) = highest_sea(plan, together, [9.0])
    first = grown(plan, together, float(highest), 9.0).sea.systems[0].hs
    assert first == pytest.approx(float(steepest(9.0)), rel=1e-9)
