"""The job of a plan: its well, the pull that tripping meets, and the cautions that its figures call for."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import heave
from heave.drill_string import (
    DrillString,
    HoleInterval,
    Well,
    drill_pipe,
    hookload_at,
    neutral_height,
    vertical,
)
from heave.errors import InputError
from heave.judging.cases import cases
from heave.judging.job import job_cautions
from heave.planning import Operation, Plan
from heave.planning.job import bottom_hole_of, buckling_of, first_well, job_of, with_intervals
from heave.units import STANDARD_GRAVITY

BASE = heave.demo_plan()
LEANING = Well(
    (
        HoleInterval(1200.0),
        HoleInterval(800.0, math.radians(20.0), 0.2, 0.3112),
        HoleInterval(1000.0, math.radians(40.0), 0.25, 0.2159),
    )
)


def plan_with(well: Well | None = LEANING, **changes: Any) -> Plan:
    return BASE.changed(well=well, **changes)


def said(plan: Plan) -> str:
    return "\n".join(job_cautions(plan))


def test_without_a_well_nothing_is_different() -> None:
    assert BASE.well is None
    assert BASE.job_hookload == BASE.hookload
    assert said(BASE) == ""
    with pytest.raises(InputError, match="well"):
        job_of(BASE)


def test_a_straight_hole_changes_no_check() -> None:
    plain, drilled = heave.assess(BASE), heave.assess(plan_with(vertical(3000.0)))
    assert [c.key for c in plain.checks] == [c.key for c in drilled.checks]
    for one, other in zip(plain.checks, drilled.checks, strict=True):
        assert other.utilisation == pytest.approx(one.utilisation, rel=1e-9, nan_ok=True), one.key
    assert plain.verdict == drilled.verdict


def test_the_hookload_is_that_of_the_string_as_it_hangs_in_the_well() -> None:
    """At 30° cos is 0.866: of a string without gear the hook carries 0.866 times what hangs free, and the drag."""
    bare = replace(BASE.string, handling_mass=0.0, drag=50e3)
    lean = plan_with(Well((HoleInterval(3000.0, math.radians(30.0)),)), string=bare)
    hangs = math.cos(math.radians(30.0)) * bare.buoyed_weight
    assert lean.hookload == lean.own_hookload == pytest.approx(hangs + 50e3)
    rubs = lean.changed(well=Well((HoleInterval(3000.0, math.radians(30.0), 0.2),)))
    assert rubs.hookload == pytest.approx(hangs), "friction of the well takes the place of the allowance"
    setting = heave.assess(lean).setting
    assert setting.load == pytest.approx(hangs + 50e3 + lean.moving_mass * STANDARD_GRAVITY - lean.wob)


def test_an_entered_hookload_is_held_against_the_string_in_its_well() -> None:
    lean = plan_with(Well((HoleInterval(3000.0, math.radians(50.0)),)))
    assert not lean.changed(hookload_entered=1.1 * lean.own_hookload).hookload_to_confirm
    assert lean.changed(hookload_entered=BASE.hookload).hookload_to_confirm


def test_lower_sections_of_a_string_that_the_well_carries_are_taken_to_hang_free() -> None:
    lean = plan_with(Well((HoleInterval(3000.0, math.radians(50.0)),)))
    assert lean.tension_margins() == BASE.tension_margins() == BASE.string.tension_margins(BASE.hookload)
    entered = lean.changed(hookload_entered=9e5, hookload_confirmed=9e5)
    assert entered.tension_margins() == BASE.string.tension_margins(9e5)
    near = lean.changed(hookload_entered=lean.own_hookload + 20e3)
    assert near.tension_margins() == BASE.string.tension_margins(BASE.hookload + 20e3)
    heavier = next(case.plan for case in cases(entered) if case.plan.hookload > 9e5)
    assert heavier.tension_margins() == BASE.string.tension_margins(heavier.hookload)


@pytest.mark.parametrize("wrong", ["deep", 3000.0, LEANING.intervals])
def test_a_well_is_a_well(wrong: Any) -> None:
    with pytest.raises(InputError, match=r"well.*a Well, or None"):
        plan_with(wrong)


def test_a_plan_whose_string_does_not_fit_its_well_is_refused() -> None:
    with pytest.raises(InputError, match=r"Length of the string: 2980.*up to 2900\u00a0m"):
        plan_with(Well((HoleInterval(2900.0),)))
    with pytest.raises(InputError, match=r"Hole diameter: 0\.2\u00a0m.*interval 1"):
        plan_with(Well((HoleInterval(3000.0, diameter=0.2),)))


def test_the_pull_of_the_job_is_what_the_soft_string_makes_of_friction() -> None:
    plan = plan_with()
    soft = hookload_at(plan.string, LEANING, plan.string.length)
    assert plan.job_hookload == pytest.approx(float(soft.pulling_out[0]))
    assert plan.job_hookload > plan.hookload
    smooth = plan_with(with_friction(0.0), string=replace(BASE.string, drag=70e3))
    assert smooth.job_hookload == smooth.hookload == pytest.approx(smooth.own_hookload)


def test_drag_comes_on_top_of_a_hookload_that_was_entered() -> None:
    rough = with_friction(0.5)
    own = hookload_at(BASE.string, rough, BASE.string.length)
    plan = plan_with(rough, hookload_entered=1.2e6)
    assert plan.job_hookload == pytest.approx(1.2e6 + float(own.pulling_out[0] - own.rotating[0]))


def with_friction(friction: float) -> Well:
    return Well(tuple(replace(interval, friction=friction) for interval in LEANING.intervals))


def test_tripping_is_said_to_be_judged_for_the_pull() -> None:
    rough = plan_with(with_friction(0.9))
    ratio = rough.job_hookload / rough.hookload
    assert f"takes {ratio:.2f} times the hookload judged here" in said(rough)
    assert "tripping and running casing are judged with that" in said(rough)
    assert "drag allowance" not in said(rough)
    dragging = plan_with(with_friction(0.9), string=replace(BASE.string, drag=20e3))
    assert "The drag allowance is in that hookload and not counted beside friction." in said(dragging)
    assert "Pulling out from" not in said(plan_with(with_friction(0.0)))
    assert said(rough).split("\n")[0] in heave.assess(rough).cautions


def test_a_pull_that_is_highest_on_the_way_out_is_told_with_its_place() -> None:
    """2000 m straight down and then level: the pull is highest with the bit at the bend, 2000 of 2980 m."""
    well = Well((HoleInterval(2000.0), HoleInterval(1000.0, math.radians(90.0), 0.05)))
    assert "On the way out the pull is highest with the bit at 67.1\u00a0% of its depth" in said(
        plan_with(well)
    )
    read = 1.5 * job_of(plan_with(well)).extremes("pulling out").highest
    heavier = plan_with(well, hookload_entered=read, hookload_confirmed=read)
    assert "On the way out" not in said(heavier)


def test_pulls_above_the_ratings_are_told_at_their_edges() -> None:
    plan = plan_with(with_friction(0.9))
    unit = plan.compensator
    weight = job_of(plan).extremes("pulling out").highest + unit.moving_mass * STANDARD_GRAVITY
    for factor, locked in ((1.001, False), (0.999, True)):
        rated = replace(
            unit, compensated_rating=0.5 * weight, locked_rating=factor * (weight + plan.overpull)
        )
        words = said(plan.changed(compensator=rated))
        assert ("times the rating of the locked unit" in words) == locked
        assert ("2.00 times the rating of the working unit" in words) != locked
    for factor, above in ((1.001, False), (0.999, True)):
        rated = replace(unit, compensated_rating=factor * weight, locked_rating=2 * (weight + plan.overpull))
        assert ("rating of the working unit" in said(plan.changed(compensator=rated))) == above


def test_a_hookload_that_was_entered_counts_against_the_ratings() -> None:
    plan = plan_with(hookload_entered=1.5 * BASE.hookload, hookload_confirmed=1.5 * BASE.hookload)
    assert plan.job_hookload > 1.3 * job_of(plan).extremes("pulling out").highest
    weight = plan.job_hookload + plan.compensator.moving_mass * STANDARD_GRAVITY + plan.overpull
    unit = replace(plan.compensator, compensated_rating=0.5 * weight, locked_rating=0.99 * weight)
    assert "1.01 times the rating of the locked unit" in said(plan.changed(compensator=unit))


def test_a_string_that_friction_holds_up_is_told() -> None:
    """At 80° a friction of 0.3 carries more than the weight pulls: 0.3 tan 80° is 1.70."""
    level = HoleInterval(2000.0, math.radians(80.0), 0.3)
    slow = plan_with(Well((HoleInterval(1000.0), level)), wob=0.0)
    job = job_of(slow)
    assert np.all(job.running_in > slow.string.handling_weight * (1 - 1e-9))
    assert "Running in" not in said(slow)
    shallow = plan_with(Well((HoleInterval(50.0), replace(level, length=2950.0))), wob=0.0)
    shallow = shallow.changed(string=replace(shallow.string, handling_mass=1e3))
    assert "Running in, the string does not go down by itself, nor with the gear" in said(shallow)
    light = plan_with(Well((HoleInterval(3000.0, math.radians(75.0), 0.3),)), wob=0.0)
    light = light.changed(string=replace(light.string, handling_mass=5e3))
    assert 0 < job_of(light).running_in.min() < 20e3
    assert "Running in, the string does not go down by its own weight" in said(light)


def test_the_neutral_point_above_the_assembly_is_told_while_drilling_only() -> None:
    available = bottom_hole_of(BASE).available
    for factor, told in ((0.999, False), (1.01, True)):
        plan = BASE.changed(wob=factor * available)
        assert ("The neutral point is above the bottom-hole assembly" in said(plan)) == told
        assert ("1.01 times what collars" in said(plan)) == told
        assert said(plan.changed(operation=Operation(kind="tripping"))) == ""
    bare = DrillString((drill_pipe("5 in", "19.50", "S-135", 3000.0),), 1200.0, handling_mass=22e3)
    assert "no collars or heavy-weight pipe" in said(BASE.changed(string=bare))
    lying = Well((HoleInterval(2600.0), HoleInterval(400.0, math.radians(95.0))))
    assert "gives no weight along the hole" in said(plan_with(lying))


def test_an_assembly_short_of_its_design_factor_is_told() -> None:
    available = bottom_hole_of(plan_with()).available
    for factor, told in ((1.1, False), (1.2, True)):
        plan = plan_with(replace(LEANING, design_factor=factor), wob=available / 1.15)
        assert ("weighs only 1.15 times the weight on bit" in said(plan)) == told


def test_buckling_of_the_pipe_above_is_told_by_its_formula() -> None:
    available = bottom_hole_of(plan_with()).available
    little, much = plan_with(wob=available + 60e3), plan_with(wob=available + 300e3)
    for plan, words in ((little, "does not buckle yet"), (much, "That pipe buckles")):
        pressed = buckling_of(plan)
        assert pressed is not None
        assert pressed.critical is not None
        assert words in said(plan)
        share = pressed.force / pressed.critical
        assert (share > 1) == (plan is much)
        shown = f"{share:.2f} times" if share > 1 else f"{100 * share:.1f}\u00a0%"
        assert shown in said(plan)
        assert f"in interval {pressed.interval + 1} of the well" in said(plan)
        assert "Dawson and Paslay 1984" in said(plan)
    blank = Well(tuple(replace(interval, diameter=None) for interval in LEANING.intervals))
    assert "the hole diameter is missing" in said(little.changed(well=blank))
    assert "in interval" not in said(BASE.changed(wob=bottom_hole_of(BASE).available + 10e3))


def test_a_first_well_is_parted_at_the_seabed() -> None:
    assert [one.length for one in first_well(BASE).intervals] == [1200.0, BASE.string.length - 1200.0]
    for depth in (None, 2980.0, 5000.0):
        sea = replace(BASE.sea, depth=depth)
        offsets = replace(BASE.offsets, vessel_offset=0.0)
        assert len(first_well(BASE.changed(sea=sea, offsets=offsets)).intervals) == 1
    assert plan_with(first_well(BASE)).job_hookload == pytest.approx(BASE.hookload)


def test_other_intervals_keep_the_design_factor() -> None:
    well = replace(LEANING, design_factor=1.2)
    changed = with_intervals(plan_with(well), LEANING.intervals[:1] * 3)
    assert changed.well is not None
    assert (changed.well.design_factor, len(changed.well.intervals)) == (1.2, 3)
    new = with_intervals(BASE, LEANING.intervals).well
    assert new == LEANING


def test_a_latched_string_run_dry_stands_up_to_where_its_own_weight_is() -> None:
    """The share that stands in compression rests on the weight in mud of each section as it is, filled or dry."""
    dry = replace(BASE.string, mud_density=300.0, inside="empty, float closed")
    first = dry.sections[-1]
    force = 0.5 * first.length * (first.linear_mass - 300.0 * math.pi / 4 * first.outer_diameter**2)
    assert neutral_height(dry, force * STANDARD_GRAVITY) == pytest.approx(first.length / 2)


def test_cautions_of_the_job_are_the_same_in_every_system_of_units() -> None:
    """Words and ratios: no unit of force or length stands in them."""
    words = said(plan_with(with_friction(0.9), wob=bottom_hole_of(plan_with()).available + 300e3))
    assert len(words) > 400
    for unit in (" kN", " N ", " m ", " m,", "klbf", " ft", "\u00a0"):
        assert unit not in words


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(
            *(st.floats(0.05, 1.0), st.floats(0.0, math.radians(100.0)), st.floats(0.0, 1.0)),
            st.none() | st.floats(0.21, 1.5),
        ),
        min_size=1,
        max_size=6,
    ),
    st.floats(0.0, 1e6),
    st.none() | st.floats(1.0, 3.0),
)
def test_any_well_has_a_pull_and_cautions_with_figures(
    parts: list[tuple[float, float, float, float | None]], wob: float, factor: float | None
) -> None:
    scale = BASE.string.length * (1 + 1e-9) / sum(part[0] for part in parts)
    intervals = tuple(HoleInterval(max(share * scale, 0.1), *rest) for share, *rest in parts)
    well = Well((*intervals, HoleInterval(10.0)), factor)
    hangs = float(hookload_at(BASE.string, well, BASE.string.length).rotating[0])
    if hangs < BASE.string.handling_weight:
        with pytest.raises(InputError, match="Hookload off bottom"):
            plan_with(well, wob=0.0)
        return
    plan = plan_with(well, wob=min(wob, hangs - 1000.0))
    assert plan.job_hookload >= plan.hookload
    assert math.isfinite(plan.job_hookload)
    for words in job_cautions(plan):
        assert "not known:" in words or "not known" not in words
        assert "no limit" not in words


@pytest.mark.parametrize("kind", ["tripping", "casing"])
@pytest.mark.parametrize("entered", [None, 1.3e6])
def test_a_string_that_is_run_is_judged_for_pulling_out_and_running_in(
    kind: str, entered: float | None
) -> None:
    """The soft string pulled out is the highest load and run in the lowest; an entered hookload is that turning."""
    rough = with_friction(0.5)
    plain = BASE.changed(operation=Operation(kind=kind, heave_limit=3.0), hookload_entered=entered)
    soft = hookload_at(plain.string, rough, plain.string.length)
    out, still, running = (float(v[0]) for v in (soft.pulling_out, soft.rotating, soft.running_in))
    high = out if entered is None else entered + out - still
    low = running if entered is None else entered + running - still
    plan = plain.changed(well=rough)
    assert plan.hookload == plan.job_hookload == pytest.approx(high)
    before, after = ({c.key: c for c in heave.assess(one).checks} for one in (plain, plan))
    more = high - plain.hookload
    keys = ("locked_load", "derrick", "hook", "elevators")
    for key in (*keys, "tension") if entered else keys:
        assert after[key].demand == pytest.approx(before[key].demand + more, rel=1e-6), key
    moving = plan.moving_mass * STANDARD_GRAVITY
    slack = after["hook_slack"]
    assert slack.capacity == pytest.approx(high + moving)
    assert slack.demand == pytest.approx(before["hook_slack"].demand + high - low, rel=1e-6)
    waiting = plan.changed(operation=Operation(kind="waiting", heave_limit=3.0))
    assert waiting.hookload == waiting.still_hookload == pytest.approx(entered or still)


def test_ranges_of_the_hookload_leave_the_friction() -> None:
    plan = BASE.changed(operation=Operation(kind="tripping", heave_limit=3.0), well=with_friction(0.5))
    friction = plan.hookload - plan.still_hookload
    share = plan.ranges.hookload
    loads = {round((case.plan.hookload - friction) / plan.still_hookload, 9) for case in cases(plan)}
    assert loads == {1 - share, 1.0, 1 + share}
