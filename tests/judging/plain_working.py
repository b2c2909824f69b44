"""Demand and capacity of every check, worked again in plain arithmetic of its own for the plain plans.

Taken from the planner are only the figures of the linear model of a working unit (travel, swing at the bit, motion of
the free end) and the levels that what friction does rests on: acceleration of the heave, force on a locked unit and
what that does to the end of the string. The first tests/compensator hold against closed forms and simulation; the
others are worked here as well (`heave_levels`, `locked_levels`), and so is what a hook that is driven feels
(`held_levels`).
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from plain_path import chain, drawworks_power, moving, straight, under_crown
from plain_plans import FREELY, HEAVE, PITCH, ROLL, SHALLOWER, WIDTH, heat
from plain_string import free, impedance, lifted, stiffness
from plain_turning import AIR, Turning, drives, range_of, soft_gas, turning

from heave.drill_string import DrillString
from heave.judging.demands import Demands
from heave.planning import HEAVE_BASES, OPERATIONS, Plan

G = 9.80665


def level(sigma: float, rate: float, plan: Plan) -> float:
    """The level a Gaussian motion exceeds once in the exposure with the accepted risk; `rate` in rad/s."""
    cycles = plan.exposure * rate / (2 * math.pi)
    return sigma * math.sqrt(2 * math.log(cycles / -math.log(1 - plan.risk)))


def heave_levels(plan: Plan) -> tuple[float, float, float, float, float]:
    """σ, levels of heave, speed and acceleration, and mean period: moments of a Gaussian bell over frequency."""
    m, s = np.zeros(4), WIDTH
    for wave in plan.sea.systems:
        f = 1 / wave.period
        powers = (1.0, f**2 + s**2, f**4 + 6 * f**2 * s**2 + 3 * s**4,
                  f**6 + 15 * f**4 * s**2 + 45 * f**2 * s**4 + 15 * s**6)  # fmt: skip
        m += [(HEAVE * wave.hs / 4) ** 2 * (2 * math.pi) ** (2 * n) * power for n, power in enumerate(powers)]
    levels = [level(math.sqrt(m[n]), math.sqrt(m[n + 1] / m[n]), plan) for n in range(3)]
    return (math.sqrt(m[0]), *levels, 2 * math.pi * math.sqrt(m[0] / m[1]))


def left_over(plan: Plan, omega: Any) -> Any:
    """|1 − H|² of a drive H: gain, delay, lag of first order and the slow loop; in real numbers, law of cosines."""
    unit = plan.compensator
    size, phase = unit.active_gain * np.ones_like(omega), -omega * unit.active_delay
    if getattr(unit, "active_bandwidth", None) is not None:
        lag = omega / (2 * math.pi * unit.active_bandwidth)
        size, phase = size / np.hypot(1, lag), phase - np.arctan(lag)
    if getattr(unit, "active_centring", None) is not None:
        slow = 2 * math.pi / (omega * unit.active_centring)
        size, phase = size / np.hypot(1, slow), phase + np.arctan(slow)
    return 1 + size**2 - 2 * size * np.cos(phase)


def held_levels(plan: Plan) -> tuple[float, float]:
    """Levels of the force on a hook that is driven, and of its bit force or free end: a share of the locked ones."""
    omega, hook, end = shaken(plan)
    share = left_over(plan, omega)
    return _level_of(share * hook, omega, plan), _level_of(share * end, omega, plan)


def locked_levels(plan: Plan) -> tuple[float, float, float]:
    """Levels of the force on a locked unit (string and the mass that moves with the hook, carried along), and of
    the bit force or the motion of the free end, and of the rate of that."""
    omega, hook, end = shaken(plan)
    return tuple(_level_of(power, omega, plan) for power in (hook, end, end * omega**2))  # type: ignore[return-value]


def _level_of(power: Any, omega: Any, plan: Plan) -> float:
    m0, m2 = (float(np.trapezoid(power * omega**order, omega)) for order in (0, 2))
    return level(math.sqrt(m0), math.sqrt(m2 / m0), plan)


def shaken(plan: Plan) -> tuple[Any, Any, Any]:
    """Frequencies, and spectra of the force on a locked unit and of what its string does at the far end."""
    f, bell = np.linspace(0.005, 0.3, 12001), np.zeros(12001)
    for wave in plan.sea.systems:
        spread = np.exp(-0.5 * ((f - 1 / wave.period) / WIDTH) ** 2) / (WIDTH * math.sqrt(2 * math.pi))
        bell += (HEAVE * wave.hs / 4) ** 2 * spread
    omega = 2 * math.pi * f
    u, pull = lifted(plan, omega, 0.04)
    hook = np.abs(pull / u - omega**2 * (moving(plan) + 20e3)) ** 2 * bell
    return omega, hook / (2 * math.pi), bell / np.abs(u) ** 2 / (2 * math.pi)


def worked(d: Demands) -> dict[str, tuple[float, float]]:
    """Demand and capacity of every check that may apply."""
    plan, unit, operation = d.plan, d.plan.compensator, d.plan.operation
    kind = OPERATIONS[operation.kind]
    sigma, z, speed, acceleration, period = heave_levels(plan)
    hung = (1.1e6 if plan.hookload_entered else _string_weight(plan.string) + 20e3 * G + 30e3) + moving(
        plan
    ) * G
    latched = kind.string == "fixed at the seabed"
    pull = 150e3
    whole = hung + (pull if latched else 0.0)
    load = whole - (plan.wob if kind.string == "on bottom" else 0.0)
    swing = locked_levels(plan)[0]
    made = {
        "heave_limit": (
            dict(zip(HEAVE_BASES, (4 * sigma, 2 * z, 2 * sigma, z), strict=True))[operation.heave_basis],
            2.5,
        ),
        "speed_limit": (speed, 1.2),
        "acceleration_limit": (acceleration, 0.9),
        # 10° off the bow a third of the way from no roll at 180° to all of it at 150°; else 60°
        "roll_limit": (z / HEAVE * ROLL * (1.0 if plan.heading == 260.0 else 1 / 3), 0.05),
        "pitch_limit": (z / HEAVE * PITCH, 0.03),
        "hs_limit": (
            math.hypot(*(wave.hs for wave in plan.sea.systems)),
            6.0 if plan.name in ("rough", *FREELY) else 5.0,
        ),
        "overpull": (straight(plan) * (hung + pull), 4e6),
        "locked_load": (straight(plan) * (hung + pull + swing), 4e6),
        "tension_if_locked": _tension(plan, hung, swing),
    }
    if kind.compensator == "locked":
        made |= {"hook_slack": (swing + 60e3, hung), "tension": _tension(plan, hung, swing)}
        return made | chain(plan, hung, hung + pull + swing, acceleration)
    turn = turning(d, load)
    made |= _bit_and_end(d, load, speed, turn)
    if unit.is_drawworks:
        added = held_levels(plan)[0] if plan.active else swing
        made |= {
            "compensated_load": (whole + added, 3e6),
            "tension": _tension(plan, hung, added),
            "hook_slack": (added + 60e3, load - moving(plan) * G),
            "latch_tension": (_high(d, turn), pull),
            "line_speed": (12 * speed, 20.0),
            "line_acceleration": (12 * acceleration, 15.0),
            "power": (load * speed, 3e6),
            "slack_line": (acceleration, G),
            "slack_line_speed": (speed, G * period / 4),
        }
        most = max(whole + added, hung + pull + swing if latched else 0.0)
        made |= chain(plan, hung, most, 0.0 if plan.active else acceleration, _drawn(d, z))
        return made | drawworks_power(plan, load, speed, acceleration)
    found, on_hook = _gas(d, z, speed, hung, whole, load, turn)
    made |= found
    # block and line feel what the hook feels, whatever the cylinder carries beside the active part
    most = max(on_hook, hung + pull + swing if latched else 0.0)
    ends = (3.5 + plan.offsets.start_position, 3.5 - plan.offsets.start_position)
    return made | chain(plan, hung, most, acceleration, ends if under_crown(plan) else (0.0, ends[1]))


def _drawn(d: Demands, z: float) -> tuple[float, float]:
    """How far a drawworks takes the block up and down: tide, draught and the like, and the heave."""
    rising, falling = slow_travel(d.plan, start=False)
    most = max(z, float(d.stroke_level[0]))
    return falling + most, rising + most


def _gas(
    d: Demands, z: float, speed: float, hung: float, whole: float, load: float, turn: Turning
) -> tuple[dict[str, Any], float]:
    """The checks of gas and active part, and the largest load on the hook."""
    plan, unit, active = d.plan, d.plan.compensator, d.plan.active_in_use
    rising, falling = (side + heat(plan)[1] for side in slow_travel(plan))
    begin, start = load + heat(plan)[0], plan.offsets.start_position
    friction, loss = turn.friction, unit.hydraulic_loss
    travel, v = max(_travel(d, load, turn), z), max(speed, _travel_speed(d, turn))

    def gas(x: float) -> float:
        return (begin + AIR * 0.1) * (1 - (x - start) / (65.0 - start)) ** -1.6 - AIR * 0.1

    moved, lossy = float(d.stroke.level[0]), loss * float(d.linear_speed[0]) ** 2
    low, high = gas(-min(falling + moved, 3.5)), gas(min(rising + moved, 3.5))
    pulled = float(d.locked[0])

    def swings(gains: float) -> float:
        slides = friction + math.hypot(gains, lossy)
        if active:
            sea = slides
        elif free(
            plan
        ):  # what the seals hold, what breaks loose, and in slow waves the pull of a locked unit
            loose, own = math.sqrt(turn.share), 2 * math.pi * math.sqrt(load / (G * soft_gas(plan, load)))
            along = min(max((1 - own / float(d.heave.period[0])) / 0.3, 0.0), 1.0)
            sea = min(pulled, friction) + loose * (slides - friction)
            sea += along * (1 - loose) * max(pulled - friction, 0.0)
        else:  # slow travel can leave the seals of a held string at either end of their friction
            sea = max(min(slides, pulled), friction)
        return range_of(plan, "load") * sea

    up, down = gas(min(rising, 3.5)), gas(-min(falling, 3.5))
    pushes = max(up - load, 0.0) + friction + math.hypot(high - up, lossy)
    pulls = max(load - down, 0.0) + friction + math.hypot(down - low, lossy)
    slow = max(up - load, load - down)
    most, holds = up + swings(high - up), down - swings(down - low)
    gain, pushed, slack, added = getattr(unit, "active_gain", 0.0), 0.0, 0.0, max(most - whole, 0.0)
    falls, at_latch = (
        max(load - holds, 0.0),
        _series(plan, soft_gas(plan, load)) * slow_travel(plan, start=False)[1],
    )
    if active:

        def leaves(gains: float) -> float:
            omega = 2 * math.pi / heave_levels(plan)[4]
            hook = (moving(plan) + 20e3) * float(d.acceleration.level[0])
            echo = min(math.hypot(turn.built, hook, 0.5 * friction), 2 * friction)
            sliding = turn.left + math.sqrt(left_over(plan, omega)) * math.hypot(gains, lossy)
            return range_of(plan, "hook") * max(sliding, echo - turn.left)

        swung = 0.0 if free(plan) else _high(d, turn) + abs(1 - gain) * (up - load)
        added, falls = max(load + max(leaves(high - load), swung) - whole, 0.0), leaves(load - low)
    at_latch = max(falls if active else load - holds, _high(d, turn) + at_latch)
    if drives(
        plan
    ):  # the drive has gas, friction and loss, and the hook the motion left and a held string's travel
        kind, sides = OPERATIONS[plan.operation.kind].string, slow_travel(plan, start=False)
        stiff = stiffness(plan)
        left = held_levels(plan)[0]
        gain, pushed = 1.0, left + (stiff * max(sides) if kind == "fixed at the seabed" else 0.0)
        slack = pushed + (stiff * sides[1] if kind == "on bottom" else 0.0)
        most, falls = load + pushed, slack + 60e3
        added = max(most - whole, 0.0)
        most = max(most, up + friction + math.hypot(high - up, lossy))
        at_latch = _high(d, turn) + stiff * sides[1]
    rates = [
        math.inf
        if side > 3.5
        else math.exp(-((3.5 - side) ** 2) / (2 * d.stroke.sigma[0] ** 2)) / d.stroke.period[0]
        for side in (rising, falling)
    ]
    made = {
        "stroke_rising": (rising + travel, 3.1),
        "stroke_falling": (falling + travel, 3.1),
        "stroke_rate": (v, 2.0),
        "active_velocity": (v, 1.5),
        "stroke_out": (sum(rates), 1e-3),
        "compensated_load": (straight(plan) * max(most, whole), 2e6),
        "gas_pressure": (gas(3.5) / 0.1, 2.4e7),
        "tension": _tension(plan, hung, added),
        "active_force": (
            pushes + pushed if drives(plan) else gain * max(most - load, 0.0),
            2e5,
        ),
        "active_force_falling": (
            pulls + slack if drives(plan) else gain * max(load - holds, 0.0),
            2e5,
        ),
        "active_power": (
            (gain * (slow + (high - up) / 2 + friction + loss * v**2) + pushed) * v,
            3e5,
        ),
        "hook_slack": (falls, load - moving(plan) * G),
        "latch_tension": (at_latch, 150e3),
        "runaway": (gain * soft_gas(plan, load), soft_gas(plan, load)),
    }
    return made, whole + added


def _wander(d: Demands, load: float) -> float:
    """Where friction lets a free hook rest, which it does not leave by more than the heave takes it."""
    rest = d.plan.compensator.friction_fraction * load / soft_gas(d.plan, load)
    return rest * float(d.heave.level[0]) / (rest + float(d.heave.level[0]))


def _travel(d: Demands, load: float, turn: Turning) -> float:
    linear = float(d.stroke.level[0])
    if d.residual is None or drives(d.plan):
        return linear
    return range_of(d.plan, "travel") * math.sqrt(turn.share) * math.hypot(linear, _wander(d, load))


def _travel_speed(d: Demands, turn: Turning) -> float:
    """The hook's own speed comes on top, in a string that is held less what the loss has taken off it."""
    linear = float(d.linear_speed[0])
    if d.residual is None:
        turned = turn.speed
        if d.plan.active_in_use and not drives(d.plan):
            turned = min(turned, turn.built / impedance(d.plan.string.sections[0]))
        return range_of(d.plan, "speed") * (linear + turn.share * turn.kept * turned)
    return range_of(d.plan, "speed") * math.sqrt(turn.share) * (linear + turn.speed / 4)


def _high(d: Demands, turn: Turning) -> float:
    """Swing at the lower end: friction that turns round and then rings, never more than a locked unit gives."""
    if d.elastic is None:
        return math.nan
    if drives(d.plan):
        return float(d.elastic[0])
    most = 1.0 if d.plan.compensator.is_drawworks else range_of(d.plan, "swing")
    swing = turn.left + math.hypot(float(d.elastic[0]), turn.ring)
    return most * min(swing, float(d.locked_end.level[0]))


def _series(plan: Plan, soft: float) -> float:
    """Gas and string end to end; an active part leaves what its gain is off 1, or drives the string alone."""
    if drives(plan):
        return stiffness(plan)
    left = abs(1 - plan.compensator.active_gain) if plan.active_in_use else 1.0
    return left / (1 / soft + 1 / stiffness(plan))


def _bit_and_end(d: Demands, load: float, speed: float, turn: Turning) -> dict[str, Any]:
    plan, operation = d.plan, d.plan.operation
    line = plan.compensator.is_drawworks
    series = 0.0 if line else _series(plan, soft_gas(plan, load))
    heated = 0.0 if drives(plan) else heat(plan)[0]
    rising, falling = slow_travel(plan, start=False)
    less, more = (_high(d, turn) + series * slow for slow in (rising, falling))
    less, more = less + max(heated, 0.0), more + max(-heated, 0.0)
    below, above = plan.wob - operation.wob_low, operation.wob_high - plan.wob
    made: dict[str, Any] = {
        "lift_off": (less, 150e3),
        "wob_band": max((less, below), (more, above), key=lambda pair: pair[0] / pair[1]),
        "bit_blow": (
            2 * impedance(plan.string.sections[-1]) * speed * math.sqrt(max(1 - (150e3 / less) ** 2, 0.0)),
            operation.wob_high,
        ),
    }
    if d.residual is not None:
        moved, fast = float(d.residual.level[0]), float(d.residual_speed.level[0])
        held, held_fast = float(d.locked_end.level[0]), float(d.locked_end_speed.level[0])
        if not line and not drives(plan):
            slipping = math.hypot(moved, _wander(d, load)) + turn.left / stiffness(plan)
            moved = range_of(plan, "end motion") * ((1 - turn.share) * held + turn.share * slipping)
            between = (1 - turn.share) * held_fast + turn.share * fast
            fast = range_of(plan, "end speed") * (between + math.sqrt(turn.share) * turn.speed / 4)
        made["residual_motion"] = (moved, 1.5)
        made["residual_velocity"] = (fast, 0.9)
    return made


def slow_travel(plan: Plan, start: bool = True) -> tuple[float, float]:
    """Towards the rising and the falling end: tide, draught, offset² / 2 × depth, space-out and hole made."""
    drilled = 0.004 * 200.0 if plan.on_bottom else 0.0
    rough = plan.offsets is SHALLOWER
    rising = 0.5 + (0.6 if rough else 0.0) + 30.0**2 / 3000.0 + 0.2 + drilled
    falling = 0.7 + (0.0 if rough else 0.4) + 0.2
    begin = plan.offsets.start_position if start else 0.0
    return rising + begin, falling - begin


def _string_weight(string: DrillString) -> float:
    return (string.sections[0].length * 33.6 + 150.0 * 220.0) * G * (1 - 1200.0 / 7850.0)


def _tension(plan: Plan, hung: float, sea: float) -> tuple[float, float]:
    """Tension at the top of the section that uses most of its yield, overpull on."""
    top = hung - moving(plan) * G - 20e3 * G + sea + 150e3
    lower = top - plan.string.sections[0].length * 33.6 * G * (1 - 1200.0 / 7850.0)
    pairs = [(top, 0.85 * math.pi / 4 * (0.127**2 - 0.1086**2) * 9.3e8), (lower, 0.85 * 0.0055 * 2.0e8)]
    return max(pairs, key=lambda pair: pair[0] / pair[1])
