"""Where a room below computes what a formula says, for speed or over spectra, both give one number."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest

import heave
from heave import fields
from heave.compensator import BitSwing, GasSpring, plan_setting
from heave.compensator.linearisation import COULOMB, QUADRATIC
from heave.compensator.transfer import active_residual
from heave.files.rigs import demo_compensators
from heave.hoisting import line_pulls
from heave.judging import formulas as use
from heave.judging import reversal
from heave.judging.checks import Outcome
from heave.judging.demands import Demands, demands, drift_per_metre
from heave.judging.moments import setting_of, static_load
from heave.judging.rules import rules_for
from heave.judging.rules.load import PRESSURE
from heave.judging.rules.stroke import END_RATE
from heave.planning import OPERATIONS, Operation, StaticOffsets
from heave.planning.operations import HEAVE_BASES
from heave.screens.check.tiles import tile_texts
from heave.sea import SeaState, level_exceeded, upcrossing_rate
from heave.teaching.questions import WEIGHT_IN_MUD
from heave.units import STANDARD_GRAVITY

EXACT = {"rtol": 1e-12, "atol": 0.0}


def test_gas_law_and_its_stiffness() -> None:
    spring = GasSpring(1.5e6, 7.62, 10.0, 1.6, effective_area=0.1)
    x = np.linspace(-3.81, 3.81, 9)
    gas = use.GAS_LOAD(F_w=1.5e6, A_e=0.1, x_g=x, L=spring.length, n_h=1.6)
    np.testing.assert_allclose(gas.result.value, spring.load(x), **EXACT)
    stiffness = use.GAS_STIFFNESS(n=1.6, F_abs=spring.absolute_force, φ=10.0, S=7.62)
    assert stiffness.result.value == pytest.approx(spring.stiffness, rel=1e-12)


def test_level_of_a_gaussian_motion() -> None:
    sigma, cycles = np.array([0.0, 0.3, 2.0]), np.array([1.0, 50.0, 1e6])
    for risk in (1e-6, 0.01, 0.632):
        found = use.HEAVE(σ_z=sigma, N_z=cycles, p=risk).result.value
        np.testing.assert_allclose(found, level_exceeded(sigma**2, cycles, risk), **EXACT)


def test_what_is_set_on_the_unit() -> None:
    unit = heave.demo_plan().compensator
    setting = plan_setting(unit, 1.9e6, 2e5)
    load = use.LOAD(W_h=1.9e6 - 1e5, W_c=1e5, WOB=2e5)
    friction = use.FRICTION(μ=unit.friction_fraction, F_0=load)
    pressure = use.SET_PRESSURE(F_0=load, A_e=unit.effective_area)
    assert load.result.value == pytest.approx(setting.load, rel=1e-12)
    assert friction.result.value == pytest.approx(setting.friction_force, rel=1e-12)
    assert pressure.result.value == pytest.approx(setting.pressure, rel=1e-12)
    spring = unit.spring(setting.load, unit.index_high)
    top = use.GAS_LOAD(
        F_w=load, A_e=unit.effective_area, x_g=spring.stroke / 2, L=spring.length, n_h=unit.index_high
    )
    highest = PRESSURE(F_full=top, A_e=unit.effective_area)
    assert highest.result.value == pytest.approx(setting.pressure_max, rel=1e-12)


def test_sticking_and_what_an_active_part_leaves() -> None:
    stick = use.STICK(μ=0.02, T=9.0).result.value
    assert stick == pytest.approx(0.02 * STANDARD_GRAVITY / (2 * math.pi / 9.0) ** 2, rel=1e-12)
    left = use.ACTIVE_LEFT(G=0.9, τ=0.1, T=8.0).result.value
    assert left == pytest.approx(abs(active_residual(2 * math.pi / 8.0, 0.9, 0.1)), rel=1e-12)


def test_damping_of_friction_and_loss() -> None:
    found = use.DAMPING(F_f=3e4, c_q=2e4, σ_t=0.4).result.value
    assert found == pytest.approx(COULOMB * 3e4 / 0.4 + QUADRATIC * 2e4 * 0.4, rel=1e-12)


def test_drift_of_an_active_part_that_takes_too_much() -> None:
    """A gain of 1.1 leaves a tenth of the stiffness, the other way."""
    unit = next(unit for unit in demo_compensators().values() if unit.kind == "active-assisted")
    plan = heave.demo_plan().changed(compensator=dataclasses.replace(unit, active_gain=1.1))
    gas = setting_of(plan).stiffness_nominal
    found = use.SERIES_ACTIVE(k_c=gas, k_s=plan.string.stiffness, G=1.1).result.value
    assert found == pytest.approx(drift_per_metre(plan), rel=1e-12)
    assert found == pytest.approx(0.1 / (1 / gas + 1 / plan.string.stiffness), rel=1e-12)


@pytest.mark.parametrize("locked", [8e4, 2e5])
def test_swing_of_the_bit_force(locked: float) -> None:
    swing = use.BIT_SWING(a=7e4, F_r=2e4, b=3e4, A_k=locked).result.value
    assert swing == pytest.approx(BitSwing(np.array(7e4), 2e4, 3e4, locked).nominal, rel=1e-12)
    assert swing == pytest.approx(min(2e4 + math.hypot(7e4, 3e4), locked), rel=1e-12)


def test_crossings_of_an_end() -> None:
    sigma, period = np.array([0.5, 1.0, 2.0]), np.array([8.0, 10.0, 12.0])
    found = END_RATE["r"](S=7.62, x_r=0.4, σ_x=sigma, T_x=period).result.value
    np.testing.assert_allclose(
        found, upcrossing_rate(3.41, sigma**2, (sigma * 2 * math.pi / period) ** 2), **EXACT
    )


def test_weight_of_the_pipe_in_mud() -> None:
    string = heave.demo_plan().string
    found = WEIGHT_IN_MUD(W_air=string.mass * 9.80665, ρ_mud=string.mud_density, ρ_steel=string.steel_density)
    assert found.result.value == pytest.approx(string.buoyed_weight, rel=1e-12)


def judged(kind: str, unit: str, basis: str, high: float, active: bool) -> tuple[Demands, dict[str, Outcome]]:
    """Demands of the demo plan in another operation on another unit over five seas, and what each rule makes of them.

    The start position, where the gas is set, is far from mid-stroke.
    """
    limits = {"heave_limit": 2.0, "residual_motion_limit": 1.0, "residual_velocity_limit": 0.5}
    limits |= {"speed_limit": 1.1, "acceleration_limit": 1.2, "roll_limit": 0.05, "pitch_limit": 0.04}
    limits |= {"hoisting_speed": 0.8, "lowering_speed": 0.7}
    found = demo_compensators()[unit]
    plan = heave.demo_plan().changed(
        operation=Operation(
            kind, wob_low=60e3, wob_high=high, stroke_out_limit=1e-4, heave_basis=basis, **limits
        ),
        compensator=found if found.is_drawworks else dataclasses.replace(found, hydraulic_loss=4e4),
        offsets=StaticOffsets(start_position=-2.0, tide_rise=0.5, tide_fall=0.2),
        overpull=2e5,
        active=active,
    )
    sea = SeaState.single(hs=1.0, tp=11.0, direction_from=250.0, depth=1200.0)
    d = demands(plan, sea.batch().scaled(np.array([0.1, 1.0, 2.5, 5.0, 9.0])))
    return d, {rule.key: rule.work(d) for rule in rules_for(plan)}


def _crossings(d: Demands, room: float) -> Any:
    """Rice's rate of a Gaussian travel."""
    return 0.0 if d.stroke is None else upcrossing_rate(room, d.stroke.variance, d.stroke.rate)


def _gas_figures(d: Demands) -> dict[str, tuple[Any, Any]]:
    """Demand and capacity of the checks of a gas spring at work, from the rooms below and plain arithmetic."""
    plan, unit, setting = d.plan, d.plan.compensator, d.setting
    (rising, falling), half = plan.static_sides, unit.stroke / 2
    spring = unit.spring(setting.load, unit.index_high, plan.offsets.start_position)
    gas = spring.load(np.minimum(rising + d.stroke.level, half))
    low = spring.load(-np.minimum(falling + d.stroke.level, half))
    swing = 0.0 if d.bit is None else d.bit.high + drift_per_metre(plan) * plan.drift_sides[1]
    friction = setting.friction_force
    rest, free = spring.load(min(rising, half)), plan.operation.about.string == "free"
    down = spring.load(-min(falling, half))
    lossy = unit.hydraulic_loss * d.linear_speed**2
    limits = {name: getattr(unit, f"active_{name}_limit", None) for name in ("force", "power", "velocity")}
    slides = [
        friction + np.hypot(gas - rest, lossy),
        friction + np.hypot(down - low, lossy),
    ]
    if free and not plan.active_in_use:  # what the seals hold, and what breaks loose
        loose = np.clip((d.locked / friction - 1) / 1.4, 0, 1)
        along = np.clip((1 - setting.free_period_nominal / d.heave.period) / 0.3, 0, 1)
        seals = np.minimum(d.locked, friction) + along * (1 - loose) * np.maximum(d.locked - friction, 0)
        slides = [seals + loose * (side - friction) for side in slides]
    elif (
        not plan.active_in_use
    ):  # slow travel can leave the seals of a held string at either end of their friction
        slides = [np.maximum(np.minimum(side, d.locked), friction) for side in slides]
    sea, falls = slides
    passive, assisted = (1.04, 1.07) if free else (1.02, 1.01)
    working = rest + (assisted if plan.active_in_use else passive) * sea
    lost = setting.load - down + (assisted if plan.active_in_use else passive) * falls
    slow = max(rest - setting.load, setting.load - down)
    more, less = slow + (gas - rest) / 2, max(setting.load - down, 0.0)
    driven = [max(rest - setting.load, 0.0) + slides[0], less + slides[1]]
    used, held, speed = getattr(unit, "active_gain", 0.0), 0.0, d.travel_velocity
    at_latch, pushed = np.maximum(lost, swing), used * np.maximum(lost, 0.0)
    pulled = used * np.maximum(working - setting.load, 0.0)
    added = np.maximum(working - static_load(plan), 0.0)
    if plan.active_in_use and not plan.follows_position:  # the hook has what the active part leaves
        up, lost = (_assisted(d, side, lossy) for side in (gas - setting.load, setting.load - low))
        held_swing = 0.0 if free else d.bit.high + abs(1 - used) * (rest - setting.load)
        added = np.maximum(setting.load + np.maximum(up, held_swing) - static_load(plan), 0.0)
        at_latch = np.maximum(lost, swing)
    if plan.follows_position:  # the active part has all of it, and the hook feels the motion left
        string, stiff = plan.operation.about.string, plan.string.stiffness
        moved = max(plan.drift_sides) if string == "fixed at the seabed" else 0.0
        used, held = 1.0, d.force_left.level + stiff * moved
        added = np.maximum(setting.load + held - static_load(plan), 0.0)
        working = np.maximum(rest + slides[0], setting.load + held)
        lost = held + stiff * (plan.drift_sides[1] if string == "on bottom" else 0.0)
        pushed, pulled = driven[1] + lost, driven[0] + held
        at_latch = 0.0 if d.elastic is None else d.elastic + stiff * plan.drift_sides[1]
    return {
        "stroke_rising": (rising + d.travel, half - unit.end_reserve),
        "stroke_falling": (falling + d.travel, half - unit.end_reserve),
        "stroke_rate": (d.travel_velocity, unit.velocity_rating),
        "compensated_load": (np.maximum(working, static_load(plan)), unit.compensated_rating),
        "gas_pressure": (setting.pressure_max, unit.pressure_rating),
        "tension": _tension(d, added),
        "at_hook": (static_load(plan) + added, math.nan),
        "active_force": (pulled, limits["force"]),
        "active_force_falling": (pushed, limits["force"]),
        "active_power": (
            (used * (more + friction + unit.hydraulic_loss * speed**2) + held) * speed,
            limits["power"],
        ),
        "hook_slack": (np.maximum(lost, 0.0), setting.load - 9.80665 * plan.moving_mass),
        "latch_tension": (at_latch, plan.overpull),
        "active_velocity": (d.travel_velocity, limits["velocity"]),
        "runaway": (used * setting.stiffness_nominal, setting.stiffness_nominal),
        "stroke_out": (sum(_crossings(d, half - side) for side in d.static_sides), 1e-4),
    }


def _assisted(d: Demands, gas: Any, lossy: Any) -> Any:
    """Load that an active part leaves on the hook: its share of gas and loss with friction, or the turn of friction."""
    unit, friction, mass = d.plan.compensator, d.setting.friction_force, d.plan.string.handling_mass
    left, slip = abs(1 - unit.active_gain) * friction, reversal.turn(d)[0].result.value
    inertia = (mass + d.plan.moving_mass) * d.acceleration.level
    turned = np.minimum(np.sqrt(slip**2 + inertia**2 + 0.25 * friction**2), 2 * friction)
    share = abs(
        active_residual(
            2 * math.pi / d.heave.period, unit.active_gain, unit.active_delay, unit.active_bandwidth
        )
    )
    return 1.05 * np.maximum(left + share * np.hypot(gas, lossy), turned - left)


def _line_figures(d: Demands) -> dict[str, tuple[Any, Any]]:
    """The same of a compensating drawworks."""
    plan, unit = d.plan, d.plan.compensator
    # one that has lost its compensation holds the block still
    sea = d.force_left.level if plan.active else d.locked
    return {
        "compensated_load": (static_load(plan) + sea, unit.compensated_rating),
        "tension": _tension(d, sea),
        "hook_slack": (sea, d.setting.load - 9.80665 * plan.moving_mass),
        "latch_tension": (0.0 if d.bit is None else d.bit.high, plan.overpull),
        "slack_line": (d.acceleration.level, 9.80665),
        "slack_line_speed": (d.velocity.level, 9.80665 * d.heave.period / 4),
        "line_speed": (unit.lines * d.velocity.level, unit.line_speed_limit),
        "line_acceleration": (unit.lines * d.acceleration.level, unit.line_acceleration_limit),
        **_line_power(d),
    }


def _line_power(d: Demands) -> dict[str, tuple[Any, Any]]:
    plan, path = d.plan, d.plan.hoisting
    still = d.setting.load + 9.80665 * plan.block_mass
    inertia = path.rotating_mass * 12 * d.acceleration.level / 2
    up, down = (line_pulls(still, 12, motion=motion)[..., 0] + inertia for motion in ("hoisting", "lowering"))
    return {
        "power": (12 * d.velocity.level * up, plan.compensator.power_limit),
        "brake_power": (12 * d.velocity.level * down, path.brake_power),
    }


def _path_figures(d: Demands, hook: Any) -> dict[str, tuple[Any, Any]]:
    """The hoisting path above and below `hook`, the largest load there in each sea, by the reeving."""
    plan, path, crown = d.plan, d.plan.hoisting, d.plan.compensator.mounting == "crown"
    locked = plan.operation.about.compensator == "locked"
    still = crown or (plan.compensator.is_drawworks and plan.active and not locked)
    shaken = 9.80665 + (0.0 if still else d.acceleration.level)
    above = 9.80665 * (plan.moving_mass - plan.block_mass)
    stuck = plan.hookload + 9.80665 * plan.moving_mass + plan.overpull
    most = np.maximum(hook, stuck) if plan.on_bottom else hook
    sea, load, pulled = (
        one - above if crown else one + plan.block_mass * shaken for one in (hook, most, stuck)
    )
    string = most - 9.80665 * plan.moving_mass - plan.string.handling_weight
    pull, strength = line_pulls(load, 12)[..., 0], path.line.strength
    own = (path.block_mass + path.line_mass) * shaken
    factor = path.line_factor_heavy if plan.operation.kind == "casing" else path.line_factor
    unit, travel = plan.compensator, d.travel
    start = plan.offsets.start_position
    ends = (
        [1.0, 1.0]
        if getattr(unit, "stroke", None) is None
        else [unit.stroke / 2 + start, unit.stroke / 2 - start]
    )
    if unit.is_drawworks:
        ends = [plan.drift_sides[1] + travel, plan.drift_sides[0] + travel]
    return {
        "derrick": (load, path.derrick_rating),
        "crown_block": (line_pulls(load, 12).sum(axis=-1), path.crown_rating),
        "drilling_line": (line_pulls(sea, 12)[..., 0], strength / factor),
        "drilling_line_pulled": (line_pulls(pulled, 12)[..., 0], strength / path.line_factor_heavy),
        "dead_line": (line_pulls(load, 12, motion="lowering")[..., -1], path.anchor_rating),
        "drawworks_pull": (pull, path.drawworks_pull),
        "lowering_power": (12 * 0.7 * line_pulls(load, 12, motion="lowering")[..., 0], path.brake_power),
        "hoisting_pull": (pull, path.drawworks_power / (12 * 0.8)),
        "travelling_block": (load - own, path.block_rating),
        "hook": (most - 9.80665 * plan.moving_mass, path.hook_rating),
        "top_drive": (string, path.top_drive_rating),
        "links": (string, path.links_rating),
        "elevators": (string, path.elevators_rating),
        "crown_clearance": (ends[0], path.crown_stop - path.highest_block - path.clearance),
        "floor_clearance": (ends[1], path.lowest_block - path.clearance),
    }


def _tension(d: Demands, added: Any) -> tuple[Any, Any]:
    """Tension and what is allowed, at the section with the highest share of its own yield."""
    rows = d.plan.string.tension_margins(d.plan.hookload)
    pull = np.broadcast_to(added + d.plan.overpull, d.locked.shape)
    worst = [max(rows, key=lambda row, more=more: (row.tension + more) / row.capacity) for more in pull]
    tension = np.array([row.tension for row in worst]) + pull
    return tension, d.plan.yield_fraction * np.array([row.capacity for row in worst])


@pytest.mark.parametrize("kind", OPERATIONS)
@pytest.mark.parametrize("unit", sorted(demo_compensators()))
@pytest.mark.parametrize(
    ("basis", "high", "active"), [(HEAVE_BASES[0], 250e3, True), (HEAVE_BASES[1], 9e5, False)]
)
def test_every_rule_comes_to_the_figures_of_the_rooms_below(
    kind: str, unit: str, basis: str, high: float, active: bool
) -> None:
    d, found = judged(kind, unit, basis, high, active)
    plan, about, unit_used = d.plan, d.plan.operation.about, d.plan.compensator
    hanging = plan.hookload + 9.80665 * plan.moving_mass
    expected: dict[str, tuple[Any, Any]] = {
        "heave_limit": (4 * d.heave.sigma if basis == HEAVE_BASES[0] else 2 * d.heave.level, 2.0),
        "speed_limit": (d.velocity.level, 1.1),
        "acceleration_limit": (d.acceleration.level, 1.2),
        "roll_limit": (d.turns.roll.level, 0.05),
        "pitch_limit": (d.turns.pitch.level, 0.04),
        "hook_slack": (d.locked, hanging),
        "overpull": (hanging + 2e5, unit_used.locked_rating),
        "locked_load": (hanging + 2e5 + d.locked, unit_used.locked_rating),
        "tension": _tension(d, d.locked),
        "tension_if_locked": _tension(d, d.locked),
        "residual_motion": (d.residual_motion, 1.0),
        "residual_velocity": (d.residual_velocity, 0.5),
    }
    if about.compensator == "working":
        expected |= _line_figures(d) if plan.compensator.is_drawworks else _gas_figures(d)
    if plan.on_bottom:
        less, more = (d.bit.high + drift_per_metre(plan) * slow for slow in plan.drift_sides)
        below, above = plan.wob - 60e3, high - plan.wob
        worse = less / below >= more / above
        expected["lift_off"] = (less, plan.wob)
        end = plan.string.sections[-1]
        struck = 2 * end.youngs_modulus * end.area / end.wave_speed * d.velocity.level
        expected["bit_blow"] = (struck * np.sqrt(np.maximum(1 - (plan.wob / less) ** 2, 0.0)), high)
        expected["wob_band"] = (np.where(worse, less, more), np.where(worse, below, above))
    unit_carries = "compensated_load" if about.compensator == "working" else "locked_load"
    # the path feels what the hook feels, whatever the cylinder has beside an active part
    at_hook = expected.get("at_hook", expected[unit_carries])[0]
    if about.string == "fixed at the seabed":
        at_hook = np.maximum(at_hook, expected["locked_load"][0])
    expected |= _path_figures(d, at_hook)
    for key, outcome in found.items():
        demand, capacity = expected[key]
        np.testing.assert_allclose(outcome.demand, demand, err_msg=key, **EXACT)
        np.testing.assert_allclose(outcome.capacity, capacity, err_msg=key, **EXACT)


def test_a_calm_moves_nothing_and_is_judged() -> None:
    """Without waves there is no travel, no stroke-out and no swing; loads that need no sea stay."""
    plan = heave.demo_plan()
    calm = SeaState.single(hs=1.0, tp=9.0, direction_from=220.0, depth=1200.0).batch()
    still = calm.scaled(np.array([0.0]))
    for kind in ("drilling", "landing"):
        limits = Operation(kind=kind, heave_limit=2.0, stroke_out_limit=1e-4, residual_motion_limit=1.0)
        d = demands(plan.changed(operation=limits), still)
        found = {rule.key: float(np.ravel(rule.work(d).demand)[0]) for rule in rules_for(d.plan)}
        assert found["stroke_out"] == found["heave_limit"] == found["stroke_rate"] == 0.0
        assert found["gas_pressure"] > 0
        assert not any(math.isnan(value) for key, value in found.items() if key != "residual_velocity")


def test_travel_at_an_end_already_is_a_stroke_out_without_end() -> None:
    plan = heave.demo_plan()
    gone = plan.changed(offsets=dataclasses.replace(plan.offsets, tide_rise=6.0))
    limited = gone.changed(operation=Operation(stroke_out_limit=1e-3))
    check = heave.assess(limited).check("stroke_out")
    assert math.isinf(check.demand)
    assert check.state == "over a limit"
    assert check.headline().startswith("always of ")
    assert check.working[-1].numbers().endswith("= always")
    assert "no limit" not in check.working[-1].numbers()
    tiles = {title: figure for title, figure, _ in tile_texts(heave.assess(limited), "metric")}
    assert tiles["Stroke-out"] == "always"


def test_the_risk_of_a_stroke_is_for_each_end() -> None:
    """Two ends equally near: the chance of passing one of them in the exposure, from the crossing rates, is 2 p."""
    plan = heave.demo_plan().changed(offsets=StaticOffsets())
    sea = plan.sea.with_primary(hs=9.0)
    rough = heave.assess(plan.changed(sea=sea))
    stroke = demands(rough.plan, sea.batch()).stroke
    assert stroke is not None
    rate = upcrossing_rate(
        stroke.level[0], stroke.sigma[0] ** 2, (stroke.sigma[0] * 2 * math.pi / stroke.period[0]) ** 2
    )
    both = 1 - math.exp(-2 * float(rate) * plan.exposure)
    assert both == pytest.approx(2 * plan.risk, rel=0.01)
    assert "up to twice" in rough.check("stroke_rising").basis
    about = fields.about(heave.Plan, "risk")
    assert "each end of the stroke" in about.help
