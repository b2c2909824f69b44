"""The hoisting path of the plain plans, by plain arithmetic."""

from __future__ import annotations

import math
from typing import Any

from heave.planning import OPERATIONS, Plan

G = 9.80665


def under_crown(plan: Plan) -> bool:
    return plan.hoisting is not None and plan.compensator.name not in ("passive", "line")


def straight(plan: Plan) -> float:
    """Pull on a crown that moves over that of the lines to the block: two more of eight where they go to the floor."""
    return 10 / 8 if under_crown(plan) and plan.compensator.name in ("driven", "late") else 1.0


def moving(plan: Plan) -> float:
    """What stands still with the hook above the top drive, as it weighs there."""
    own = 5e3 if plan.compensator.is_drawworks else 6e3
    return (own + 4e3) / straight(plan) + 7e3 + 8 * 40 * 5.0 if under_crown(plan) else own


def pulls(plan: Plan) -> tuple[float, float, float, float]:
    """Of a load of 1 on the lines: fast and dead line while hoisting, then while lowering, sheave by sheave."""
    k = 1.09 if plan.compensator.name in ("passive", "driven", "late") else 1.04
    count, found = 12 if plan.compensator.is_drawworks else 8, []
    for passed in (1 / k, k):
        line, every = 1.0, []
        for _ in range(count):
            line *= passed
            every.append(line)
        found += [1 / sum(every), every[-1] / sum(every)]
    return found[0], found[1], found[2], found[3]


def chain(
    plan: Plan, hung: float, at_sea: float, shaken_by: float, ends: tuple[float, float] = (0.0, 0.0)
) -> dict[str, Any]:
    """The hoisting path: the load at the hook in this sea, or stuck pipe pulled on, down and up from there."""
    if plan.hoisting is None:
        return {}
    lines = (12 if plan.compensator.is_drawworks else 8) * 40 * 5.0
    body = 3e3 if plan.compensator.name == "passive" else 0.0
    fast, dead, lowering, dead_lowering = pulls(plan)

    def on_lines(at_hook: float) -> float:
        if under_crown(plan):
            return at_hook - 10e3 / straight(plan) * G
        return at_hook + (7e3 + lines + body) * (G + shaken_by)

    bottom = OPERATIONS[plan.operation.kind].string == "on bottom"
    hook = max(at_sea, hung + 150e3) if bottom else at_sea
    load, string = on_lines(hook), hook - moving(plan) * G - 20e3 * G
    own = (7e3 + lines) * (G if under_crown(plan) else G + shaken_by)
    return {
        "derrick": (load, 3e6),
        "crown_block": (load * (1 + fast + dead), 3.5e6),
        "drilling_line": (fast * on_lines(at_sea), 9e5 / (2.3 if plan.operation.kind == "casing" else 3.2)),
        "drilling_line_pulled": (fast * on_lines(hung + 150e3), 9e5 / 2.3),
        "dead_line": (load * dead_lowering, 3e5),
        "drawworks_pull": (load * fast, 4e5),
        "hoisting_pull": (load * fast, pull_at_speed(plan)),
        "lowering_power": (load * lowering * 0.7 * (12 if plan.compensator.is_drawworks else 8), 2e6),
        "travelling_block": (load - own, 2.9e6),
        "hook": (hook - moving(plan) * G, 2.8e6),
        "top_drive": (string, 2.7e6),
        "links": (string, 2.6e6),
        "elevators": (string, 2.5e6),
        "crown_clearance": (ends[0], 41.0 - 30.0 - 1.5),
        "floor_clearance": (ends[1], 12.0 - 1.5),
    }


def pull_at_speed(plan: Plan) -> float:
    """Pull there is at the planned speed: 1.5 MW, but for "line"; gears of 400 kN at 3 m/s, 200 at 8 and 100 at 20,
    but for "active". Straight on paper with both axes in logarithms, level below the slowest."""
    speed = (12 if plan.compensator.is_drawworks else 8) * (plan.operation.hoisting_speed or math.nan)
    power = 1.5e6 / speed
    if plan.compensator.name == "active":
        return power
    if speed < 8:
        turned = math.log2(max(speed, 3.0) / 3) / math.log2(8 / 3)  # of the way to half the pull
        gear = 4e5 / 2**turned
    else:
        gear = 2e5 / 2 ** (math.log2(speed / 8) / math.log2(20 / 8))
    return gear if plan.compensator.is_drawworks else min(gear, power)


def drawworks_power(plan: Plan, load: float, speed: float, acceleration: float) -> dict[str, Any]:
    """Hoisting and lowering the mean load at the speed of the heave, and half of what its parts' inertia asks."""
    if plan.hoisting is None:
        return {}
    fast, _, lowering, _ = pulls(plan)
    still, parts = load + (7e3 + 12 * 40 * 5.0) * G, 1e4 * 12 * acceleration / 2
    return {
        "power": (12 * speed * (fast * still + parts), 3e6),
        "brake_power": (12 * speed * (lowering * still + parts), 2e6),
    }
