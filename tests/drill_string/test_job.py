"""Hookload over the job against hand figures, closed forms and a loop that walks down the string piece by piece."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.drill_string import (
    MOTIONS,
    DrillString,
    HoleInterval,
    Section,
    Well,
    collar,
    drill_pipe,
    hookload_at,
    hookload_over_job,
    vertical,
)
from heave.errors import InputError
from heave.units import STANDARD_GRAVITY, to_si

PIPE = Section("pipe", 1500.0, 0.127, 0.1086, 33.0, 9.3e8)
COLLAR = Section("collars", 100.0, 0.2, 0.07, 220.0, 7e8)
STRING = DrillString((PIPE, COLLAR), 1200.0, handling_mass=20e3)
GEAR = 20e3 * STANDARD_GRAVITY


@pytest.mark.parametrize(
    ("mud_ppg", "factor"), [(8.34, 0.8727), (10.0, 0.8473), (12.0, 0.8168), (16.0, 0.7557)]
)
def test_a_vertical_well_carries_the_buoyed_weight(mud_ppg: float, factor: float) -> None:
    """1000 ft of 8 × 2-13/16 in collar, 149.7 lb/ft in air, times the printed factor (API RP 7G)."""
    section = collar(to_si(8.0, "in"), to_si(2.8125, "in"), to_si(1000.0, "ft"))
    string = DrillString((section,), to_si(mud_ppg, "ppg"), steel_density=to_si(65.5, "ppg"))
    found = hookload_at(string, vertical(section.length), [section.length / 2, section.length])
    for motion in MOTIONS:
        in_lbf = found.of(motion) / to_si(1.0, "lbf")
        assert in_lbf == pytest.approx([149_700 * factor / 2, 149_700 * factor], rel=5e-4)


@given(st.floats(0.0, 1.0), st.just(0.0) | st.floats(0.2, 1400.0))
def test_in_a_vertical_well_friction_does_nothing(friction: float, depth: float) -> None:
    found = hookload_at(STRING, Well((HoleInterval(1600.0, 0.0, friction),)), depth)
    want = GEAR if depth == 0 else STRING.cut_to(depth).hookload
    for motion in MOTIONS:
        assert found.of(motion)[0] == pytest.approx(want, rel=1e-6)


@given(st.floats(0.0, math.radians(100.0)), st.floats(0.0, 1.0))
def test_one_inclined_interval_is_the_closed_form(inclination: float, friction: float) -> None:
    """A uniform string on a slope: weight × (cos θ ± μ sin θ), by the forces on a block on a plane."""
    string = DrillString((PIPE,), 1200.0)
    weight = 1500 * 33.0 * STANDARD_GRAVITY * (1 - 1200 / 7850)
    along, across = weight * math.cos(inclination), weight * math.sin(inclination)
    found = hookload_at(string, Well((HoleInterval(1500.0, inclination, friction),)), 1500.0)
    assert found.rotating[0] == pytest.approx(along, abs=1e-6 * weight)
    assert found.pulling_out[0] == pytest.approx(along + friction * across, abs=1e-6 * weight)
    assert found.running_in[0] == pytest.approx(along - friction * across, abs=1e-6 * weight)


def test_a_level_hole_takes_friction_alone_and_the_string_has_to_be_pushed() -> None:
    """At 90° a string hangs nothing on the hook: the pull is μ w L, and so is the push."""
    string = DrillString((PIPE,), 0.0)
    found = hookload_at(string, Well((HoleInterval(1500.0, math.pi / 2, 0.3),)), 1000.0)
    pull = 0.3 * 1000 * 33.0 * STANDARD_GRAVITY
    assert found.pulling_out[0] == pytest.approx(pull)
    assert found.running_in[0] == pytest.approx(-pull)


def test_worked_by_hand_in_three_intervals() -> None:
    """1600 m of string in 900 m of riser, 400 m at 30° and 300 m at 60°: collars and 200 m of pipe in the last."""
    well = Well(
        (
            HoleInterval(900.0),
            HoleInterval(400.0, math.radians(30.0), 0.2),
            HoleInterval(300.0, math.radians(60.0), 0.3),
        )
    )
    buoyed = STANDARD_GRAVITY * (1 - 1200 / 7850)
    pipe, collars = 33.0 * buoyed, 220.0 * buoyed
    root = math.sqrt(3) / 2
    found = hookload_at(STRING, well, 1600.0, wob=50e3)
    still = GEAR + 900 * pipe + 400 * pipe * root + (200 * pipe + 100 * collars) * 0.5
    rub = 0.2 * 400 * pipe * 0.5 + 0.3 * (200 * pipe + 100 * collars) * root
    assert found.rotating[0] == pytest.approx(still, rel=1e-12)
    assert found.pulling_out[0] == pytest.approx(still + rub, rel=1e-12)
    assert found.running_in[0] == pytest.approx(still - rub, rel=1e-12)
    assert found.drilling[0] == pytest.approx(still - 50e3, rel=1e-12)


def walked(string: DrillString, well: Well, bit: float, sign: int, step: float = 0.25) -> float:
    """Metre by metre from the bit up to the rotary, each piece in the interval its middle is in."""
    load, reach = 0.0, bit
    for section in reversed(string.sections):
        count = max(math.ceil(section.length / step), 1)
        piece = section.length / count
        for _ in range(count):
            middle, reach = reach - piece / 2, reach - piece
            if middle < 0:
                continue
            begins = 0.0
            for interval in well.intervals:
                begins += interval.length
                if middle < begins:
                    break
            share = math.cos(interval.inclination) + sign * interval.friction * math.sin(interval.inclination)
            load += piece * string.weight_in_mud(section) * share
    return load + string.handling_weight


@st.composite
def jobs(draw: st.DrawFn) -> tuple[DrillString, Well]:
    lengths = draw(st.lists(st.floats(5.0, 400.0), min_size=1, max_size=4))
    sections = tuple(
        replace(PIPE, length=length, linear_mass=draw(st.floats(30.0, 300.0))) for length in lengths
    )
    inside = draw(st.sampled_from(["filled", "empty, float closed"]))
    string = DrillString(sections, draw(st.floats(0.0, 1500.0)), handling_mass=15e3, inside=inside)
    parts = draw(st.lists(st.floats(0.05, 1.0), min_size=1, max_size=5))
    scale = string.length * draw(st.floats(1.0, 2.0)) * (1 + 1e-9) / sum(parts)
    intervals = tuple(
        HoleInterval(part * scale, draw(st.floats(0.0, math.radians(100))), draw(st.floats(0.0, 0.6)))
        for part in parts
    )
    return string, Well(intervals)


@settings(max_examples=60, deadline=None)
@given(jobs(), st.floats(0.0, 1.0))
def test_the_quick_sum_is_the_slow_one(job: tuple[DrillString, Well], share: float) -> None:
    """Within what a piece of 0.25 m on either side of a bend can weigh."""
    string, well = job
    bit = share * string.length
    found = hookload_at(string, well, bit)
    ends = len(string.sections) + len(well.intervals)
    room = 2 * 0.25 * 300.0 * STANDARD_GRAVITY * 1.6 * ends
    for motion, sign in (("running in", -1), ("rotating off bottom", 0), ("pulling out", 1)):
        assert found.of(motion)[0] == pytest.approx(walked(string, well, bit, sign), abs=room)  # type: ignore[arg-type]


@settings(max_examples=60, deadline=None)
@given(jobs())
def test_pulling_is_never_less_than_turning_nor_turning_than_running_in(
    job: tuple[DrillString, Well],
) -> None:
    string, well = job
    found = hookload_over_job(string, well)
    assert np.all(found.pulling_out >= found.rotating)
    assert np.all(found.rotating >= found.running_in)
    smooth = Well(tuple(replace(interval, friction=0.0) for interval in well.intervals))
    alike = hookload_over_job(string, smooth)
    assert np.array_equal(alike.pulling_out, alike.rotating)
    assert np.array_equal(alike.running_in, alike.rotating)
    assert alike.drag_from == "none"


@settings(max_examples=60, deadline=None)
@given(jobs(), st.integers(0, 100))
def test_the_extremes_are_those_of_any_depth(job: tuple[DrillString, Well], seed: int) -> None:
    """No depth drawn at random is higher than the highest or lower than the lowest."""
    string, well = job
    over = hookload_over_job(string, well)
    assert over.depth[0] == 0.0
    assert over.depth[-1] == string.length
    drawn = hookload_at(string, well, np.random.default_rng(seed).uniform(0.0, string.length, 200))
    room = 1e-9 * float(np.abs(over.pulling_out).max())
    for motion in ("running in", "rotating off bottom", "pulling out"):
        found = over.extremes(motion)  # type: ignore[arg-type]
        assert drawn.of(motion).max() <= found.highest + room  # type: ignore[arg-type]
        assert drawn.of(motion).min() >= found.lowest - room  # type: ignore[arg-type]
        there = hookload_at(string, well, [found.highest_at, found.lowest_at]).of(motion)  # type: ignore[arg-type]
        assert there == pytest.approx([found.highest, found.lowest], rel=1e-12, abs=1e-6)


def test_the_highest_may_lie_on_the_way() -> None:
    """Heavy collars weigh most as they leave the vertical part: by hand, 1000 m of bit depth."""
    string = DrillString((replace(PIPE, length=1300.0, linear_mass=10.0), COLLAR), 0.0)
    well = Well((HoleInterval(1000.0), HoleInterval(400.0, math.radians(90.0))))
    found = hookload_over_job(string, well).extremes("rotating off bottom")
    assert found.highest_at == pytest.approx(1000.0)
    assert found.highest == pytest.approx((900 * 10.0 + 100 * 220.0) * STANDARD_GRAVITY)
    assert (found.lowest, found.lowest_at) == (0.0, 0.0)
    assert found.at_end == pytest.approx(1000 * 10.0 * STANDARD_GRAVITY)


def test_of_equal_loads_the_deepest_is_named() -> None:
    """A uniform string hangs as much in a level hole wherever its bit is: what hangs is what stands in the riser."""
    string = DrillString((replace(PIPE, length=1700.0),), 1200.0)
    found = hookload_over_job(string, Well((HoleInterval(1000.0), HoleInterval(700.0, math.radians(90.0)))))
    most = found.extremes("rotating off bottom")
    assert most.highest_at == 1700.0
    assert most.highest == pytest.approx(1000.0 * string.weight_in_mud(PIPE))
    assert found.extremes("running in").highest == pytest.approx(most.highest)


def test_friction_of_the_well_and_drag_of_the_string_are_never_both_counted() -> None:
    dragging = replace(STRING, drag=60e3)
    smooth = Well((HoleInterval(1600.0, math.radians(40.0)),))
    rough = Well((HoleInterval(1600.0, math.radians(40.0), 0.25),))
    depths = [0.0, 700.0, 1600.0]
    found = hookload_at(dragging, smooth, depths)
    assert found.drag_from == "drag allowance of the string"
    assert found.pulling_out - found.rotating == pytest.approx([60e3] * 3)
    assert np.array_equal(found.running_in, found.rotating)
    rubbing = hookload_at(dragging, rough, depths)
    assert rubbing.drag_from == "friction of the well"
    assert np.array_equal(rubbing.pulling_out, hookload_at(STRING, rough, depths).pulling_out)
    straight = hookload_at(dragging, vertical(1600.0), 1600.0)
    assert straight.pulling_out[0] == pytest.approx(dragging.hookload)


def test_drilling_begins_where_the_string_weighs_as_much_as_is_set_on_the_bit() -> None:
    """Collars of 220 kg/m give 100 kN after L = 100e3/(220 g BF) of them."""
    found = hookload_over_job(STRING, vertical(1600.0), wob=100e3)
    begins = 100e3 / (220.0 * STANDARD_GRAVITY * (1 - 1200 / 7850))
    known = ~np.isnan(found.drilling)
    assert found.depth[known][0] == pytest.approx(begins, rel=1e-9)
    assert np.array_equal(known, found.depth >= found.depth[known][0])
    assert found.rotating[known] - found.drilling[known] == pytest.approx(np.full(known.sum(), 100e3))
    lowest = found.extremes("drilling")
    assert (lowest.lowest, lowest.lowest_at) == pytest.approx((GEAR, begins), rel=1e-9)
    never = hookload_over_job(STRING, vertical(1600.0), wob=2e6).extremes("drilling")
    assert all(math.isnan(value) for value in (never.highest, never.lowest, never.highest_at, never.at_end))


def test_scalar_and_array_agree() -> None:
    well = Well((HoleInterval(500.0), HoleInterval(1200.0, 0.9, 0.3)))
    depths = [10.0, 600.0, 1599.0]
    together = hookload_at(STRING, well, depths, 20e3)
    for motion in MOTIONS:
        apart = [hookload_at(STRING, well, depth, 20e3).of(motion)[0] for depth in depths]
        assert together.of(motion) == pytest.approx(apart, rel=1e-14, nan_ok=True)


def test_sixty_sections_in_sixty_intervals() -> None:
    string = DrillString(tuple(replace(PIPE, length=20.0 + place) for place in range(60)), 1200.0)
    part = string.length / 60
    well = Well(tuple(HoleInterval(part * (1 + 1e-9), 0.02 * place, 0.2) for place in range(60)))
    found = hookload_over_job(string, well)
    assert found.depth.size > 1600
    assert found.pulling_out[-1] == pytest.approx(walked(string, well, string.length, 1), rel=1e-3)


@pytest.mark.parametrize("depth", [-1.0, 1600.1, math.nan, [10.0, math.inf]])
def test_a_bit_outside_the_string_is_refused(depth: float | list[float]) -> None:
    with pytest.raises(InputError, match=r"Bit depth.*1600\u00a0m, the whole string"):
        hookload_at(STRING, vertical(2000.0), depth)


@pytest.mark.parametrize("wob", [-1.0, math.nan, 2.1e6])
def test_a_wrong_weight_on_bit_is_refused(wob: float) -> None:
    with pytest.raises(InputError, match="Weight on bit"):
        hookload_over_job(STRING, vertical(1600.0), wob)


def test_a_well_too_short_is_refused() -> None:
    with pytest.raises(InputError, match="Length of the string"):
        hookload_at(STRING, vertical(1500.0), 10.0)


def test_the_pull_of_a_drill_stem_designed_to_its_margin() -> None:
    """API RP 7G, worked design of a drill stem (from memory): 8,749 ft of 4-1/2 in 16.60 lb/ft E-75 premium pipe of
    18.37 lb/ft over 630 ft of collars of 90 lb/ft in 10 lb/gal mud leave 50,000 lbf of overpull at 0.9 of 260,165."""
    pipe = drill_pipe(
        "4-1/2 in", "16.60", "E-75", to_si(8749.0, "ft"), pipe_class="premium", linear_mass=to_si(18.37, "lb/ft")
    )  # fmt: skip
    bore, outside = to_si(2.25, "in"), to_si(6.25, "in")
    collars = replace(collar(outside, bore, to_si(630.0, "ft")), linear_mass=to_si(90.0, "lb/ft"))
    string = DrillString((pipe, collars), to_si(10.0, "ppg"), steel_density=to_si(65.5, "ppg"))
    pull = hookload_at(string, vertical(string.length), string.length).pulling_out[0]
    assert pipe.tensile_capacity / to_si(1.0, "lbf") == pytest.approx(260_165, abs=2.0)
    assert 0.9 * pipe.tensile_capacity - pull == pytest.approx(to_si(50_000.0, "lbf"), rel=2e-3)
