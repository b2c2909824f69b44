"""The hoisting path as a value, what it weighs on the unit, and the loads of its parts."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.drill_string import HoleInterval, Well, hookload_at
from heave.errors import InputError
from heave.files.plan import plan_to_json
from heave.files.rigs import demo_compensators, demo_hoisting
from heave.hoisting import MOTIONS, DrillingLine, HoistingPath, efficiency, line_pulls
from heave.judging.path_loads import RATINGS, line_power, path_loads
from heave.planning import Plan
from heave.sea import OMEGA

G = 9.80665
UNITS = {unit.kind: unit for unit in reversed(demo_compensators().values())}


def with_unit(kind: str, **changes: object) -> Plan:
    return heave.demo_plan().changed(compensator=UNITS[kind], hoisting=replace(demo_hoisting(), **changes))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"lines": 9}, "lines strung"),
        ({"lines": 22}, "lines strung"),
        ({"lines": 0}, "lines strung"),
        ({"lines": 14, "crown_sheaves": 7}, "at most 12, with 7 sheaves"),
        ({"crown_sheaves": 6.5}, "sheaves of the crown block"),
        ({"derrick_rating": 1.5e5}, "derrick, static hook load.*above"),
        ({"crown_rating": 1.5e5}, "crown block rating.*above"),
        ({"block_rating": 8e4}, "travelling block rating.*above"),
        ({"block_mass": -1.0}, "mass of the travelling block"),
        ({"hook_rating": -1.0}, "hook rating"),
        ({"lowest_block": 39.0}, "lowest block position.*below the highest"),
        ({"lowest_block": 1.0}, "lowest block position.*clearance"),
        ({"highest_block": 45.0}, "highest block position.*crown stop"),
        ({"line": 4.0}, "drilling line"),
        ({"bearing": "magnetic"}, "bearings"),
        ({"low_gear_pull": 3e5}, "low gear, line speed.*go together"),
        ({"high_gear_speed": 9.0}, "high gear, pull.*go together"),
        ({"low_gear_pull": 3e5, "low_gear_speed": 4.0}, "two or three points"),
        (
            {"low_gear_pull": 3e5, "low_gear_speed": 9.0, "high_gear_pull": 1e5, "high_gear_speed": 4.0},
            "line speed: 4.0\u00a0m/s.*above 9",
        ),
    ],
)
def test_a_wrong_path_is_refused_by_name(changes: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        replace(demo_hoisting(), **changes)


def test_lines_of_a_compensating_drawworks_and_of_the_path_must_agree() -> None:
    assert with_unit("drawworks").hoisting.lines == 12
    with pytest.raises(InputError, match=r"lines strung.*12, the lines strung on the compensating drawworks"):
        with_unit("drawworks", lines=10)


def test_what_hangs_on_a_unit_goes_by_where_it_sits() -> None:
    """In line: its own moving parts. Under the crown: crown block, lines and block too; the rest stays out."""
    path = demo_hoisting()
    lines = 12 * path.drop * path.line.linear_mass
    assert with_unit("in-line").moving_mass == UNITS["in-line"].moving_mass
    assert with_unit("drawworks").moving_mass == UNITS["drawworks"].moving_mass
    own = UNITS["crown-mounted"].moving_mass + path.crown_mass
    assert with_unit("crown-mounted").moving_mass == pytest.approx(own + path.block_mass + lines)
    straight = with_unit("crown-mounted", lines_of_crown="straight to the floor")
    assert straight.moving_mass == pytest.approx(own * 12 / 14 + path.block_mass + lines)
    assert straight.crown_ratio == pytest.approx(14 / 12)
    assert with_unit("in-line", lines_of_crown="straight to the floor").crown_ratio == 1
    assert with_unit("in-line").block_mass == pytest.approx(path.block_mass + lines + path.body_mass)
    assert with_unit("crown-mounted").block_mass == pytest.approx(path.block_mass + lines)


def test_a_unit_under_the_crown_is_set_for_block_and_crown_too() -> None:
    plain = heave.demo_plan().changed(compensator=UNITS["crown-mounted"], hoisting=None)
    more = with_unit("crown-mounted")
    added = (more.moving_mass - plain.moving_mass) * G
    assert heave.assess(more).setting.load == pytest.approx(heave.assess(plain).setting.load + added)


def test_line_pull_enters_the_load_of_a_unit_under_a_crown_whose_lines_go_to_the_floor() -> None:
    kept, straight = (
        {c.key: c.demand for c in heave.assess(with_unit("crown-mounted", lines_of_crown=lead)).checks}
        for lead in ("kept by sheaves on arms", "straight to the floor")
    )
    own = (UNITS["crown-mounted"].moving_mass + demo_hoisting().crown_mass) * G
    still = kept["overpull"] - own
    assert straight["overpull"] == pytest.approx(still * 14 / 12 + own)
    assert straight["hook"] == pytest.approx(kept["hook"], rel=1e-3)


def test_parts_are_judged_only_where_they_are_rated_and_a_lower_rating_is_used_more() -> None:
    for key, field in RATINGS.items():
        used = {}
        for rating in (None, 6e6, 3e6):
            checks = {
                c.key: c
                for c in heave.assess(heave.demo_plan().changed(hoisting=_path(**{field: rating}))).checks
            }
            used[rating] = checks[key].utilisation if key in checks else None
        assert used[None] is None, key
        assert used[3e6] == pytest.approx(2 * used[6e6]), key


def _path(**changes: float | None) -> HoistingPath:
    return replace(demo_hoisting(), **changes)


def test_without_a_path_nothing_of_it_is_judged_and_nothing_else_moves() -> None:
    """Of an in-line unit, which does not carry what stands above it."""
    with_path, without = (
        {c.key: c.utilisation for c in heave.assess(plan).checks}
        for plan in (heave.demo_plan(), heave.demo_plan().changed(hoisting=None))
    )
    assert set(with_path) > set(without)
    for key, used in without.items():
        assert with_path[key] == used or math.isnan(used), key


def test_loads_of_the_parts_hang_together() -> None:
    """From the elevators up each part carries what the one below does and its own weight; friction sets the line."""
    plan = heave.demo_plan()
    path, loads = plan.hoisting, path_loads(plan)
    part = {one.key: one for one in loads.parts}
    for motion in MOTIONS:
        load = {key: getattr(one, motion) for key, one in part.items()}
        assert load["elevators"] == load["links"] == load["top_drive"]
        assert load["hook"] == pytest.approx(load["elevators"] + plan.string.handling_weight)
        above = (path.body_mass + plan.compensator.moving_mass) * G
        assert load["travelling_block"] == pytest.approx(load["hook"] + above)
        assert load["derrick"] == pytest.approx(
            load["travelling_block"] + (path.block_mass + path.line_mass) * G
        )
        assert load["crown_block"] == pytest.approx(
            load["derrick"] + load["drawworks_pull"] + load["dead_line"]
        )
        assert sum(loads.lines[motion][1:-1]) == pytest.approx(load["derrick"])
    fast = part["drawworks_pull"]
    assert fast.hoisting == pytest.approx(part["derrick"].hoisting / (12 * efficiency(12)))
    assert fast.lowering < fast.holding < fast.hoisting < fast.extreme
    checks = {c.key: c for c in heave.assess(plan).checks}
    for key, one in part.items():
        assert one.extreme == pytest.approx(checks[key].demand), key
        assert one.utilisation == pytest.approx(checks[key].utilisation), key
    assert loads.weakest == max(part, key=lambda key: part[key].utilisation)


def test_loads_without_ratings_or_without_a_path() -> None:
    bare = HoistingPath(lines=10)
    loads = path_loads(heave.demo_plan().changed(hoisting=bare))
    assert loads.weakest is None
    assert all(one.rating is None and math.isnan(one.utilisation) for one in loads.parts)
    assert path_loads(heave.demo_plan().changed(hoisting=None)) is None


def test_unusual_sizes_are_said() -> None:
    """Usual sizes of crown blocks, blocks, hooks and drawworks: common practice, no other source."""
    assert demo_hoisting().unusual() == ()
    for field, low, high in (
        ("crown_rating", 3.6e6, 12.5e6),
        ("block_rating", 0.85e6, 11.2e6),
        ("hook_rating", 1.5e6, 9e6),
        ("drawworks_power", 4e5, 3.1e6),
    ):
        assert "times the least" in _path(**{field: low}).unusual()[0]
        assert "times the most" in _path(**{field: high}).unusual()[0]


def test_a_plan_keeps_its_path_in_the_file() -> None:
    plan = with_unit("crown-mounted", lines_of_crown="straight to the floor", brake_power=3e6)
    assert heave.read_plan(plan_to_json(plan).encode()) == plan


def test_an_unusual_line_is_said() -> None:
    """Drilling lines of 7/8 to 2 in, 22 to 51 mm: common practice, no other source."""
    for diameter, words in ((0.0195, "0.89 times the least"), (0.06, "1.2 times the most")):
        line = DrillingLine(diameter, "other", own_strength=4e5, own_mass=6.0)
        (said,) = _path(line=line).unusual()
        assert said.startswith("Line diameter is")
        assert words in said


def test_an_unusual_size_is_a_caution() -> None:
    plan = heave.demo_plan().changed(hoisting=_path(hook_rating=9e6))
    assert any("Hook rating is" in words for words in heave.assess(plan).cautions)


def test_power_of_a_line_that_follows_the_heave_is_that_of_a_long_record() -> None:
    """The heave as a sum of sines: pull times speed of the line, averaged over an hour."""
    plan = with_unit("drawworks")
    result, found = heave.assess(plan), line_power(plan)
    spectrum = result.responses.heave_spectrum
    step = 2 * math.pi / 3600 / 4
    grid = np.arange(0.15, 2.2, step)
    size = np.sqrt(2 * np.interp(grid, OMEGA, spectrum) * step)
    phase = np.random.default_rng(5).uniform(0, 2 * math.pi, grid.size)
    time = np.arange(0.0, 2 * math.pi / step, 0.25)
    speed = np.zeros_like(time)
    for omega, amplitude, lag in zip(grid, size, phase, strict=True):
        speed += omega * amplitude * np.cos(omega * time + lag)
    load = result.setting.load + plan.block_mass * G
    pull = float(line_pulls(load, 12)[..., 0]), float(line_pulls(load, 12, motion="lowering")[..., 0])
    assert found.hoisting == pytest.approx(12 * pull[0] * np.maximum(speed, 0).mean(), rel=0.02)
    assert found.lowering == pytest.approx(12 * pull[1] * np.maximum(-speed, 0).mean(), rel=0.02)
    spread = float(
        result.responses.velocity.sigma
    )  # mean of |v| of a Gaussian speed: 0.797885 of it (Rice, 1944)
    assert found.hoisting == pytest.approx(6 * pull[0] * 0.7978845608 * spread, rel=1e-8)
    assert found.lowering == pytest.approx(6 * pull[1] * 0.7978845608 * spread, rel=1e-8)
    assert found.sheaves == found.hoisting - found.lowering > 0
    assert line_power(heave.demo_plan()) is None


def test_friction_of_the_well_adds_to_a_string_that_is_hoisted_and_takes_off_one_lowered() -> None:
    rough = Well((HoleInterval(1500.0), HoleInterval(1500.0, math.radians(40.0), 0.3)))
    plan = heave.demo_plan().changed(well=rough)
    soft = hookload_at(plan.string, rough, plan.string.length)
    hook = path_loads(plan).link("hook")
    moved = (soft.pulling_out, soft.rotating, soft.running_in)
    assert (hook.hoisting, hook.holding, hook.lowering) == pytest.approx([float(one[0]) for one in moved])
    top = path_loads(plan).link("top_drive")
    assert hook.lowering - top.lowering == pytest.approx(plan.string.handling_weight)
