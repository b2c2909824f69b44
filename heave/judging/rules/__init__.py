"""The rules of all checks, a family a file, and which of them a plan calls for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from heave.judging.checks import Rule
from heave.judging.rules import (
    active,
    bit,
    chain,
    chain_speed,
    drawworks,
    free_end,
    hook,
    load,
    procedures,
    string,
    stroke,
)
from heave.planning.plan import Plan

__all__ = ["CHECK_NAMES", "RULES", "Rule", "rules_for"]

RULES: Final[list[Rule]] = [
    *(stroke.rising, stroke.falling, stroke.speed),
    *(load.compensated, hook.hook_slack, load.overpull, load.pressure),
    *(bit.lift_off, bit.band, bit.blow),
    *(free_end.motion, free_end.speed),
    *(string.tension, string.locked, string.tension_if_locked, string.latch),
    *(drawworks.line_speed, drawworks.line_acceleration, drawworks.power),
    *(drawworks.slack_line, drawworks.slack_line_speed),
    *(load.active_force, load.active_force_falling, stroke.active_speed, active.power),
    *(active.runaway, drawworks.brake_power),
    *(
        chain.derrick,
        chain.crown,
        chain.line,
        chain.line_pulled,
        chain.anchor,
        chain.pull,
        chain_speed.hoisting_pull,
        chain_speed.lowering_power,
        chain.block,
        chain.hook,
    ),
    *(chain.top_drive, chain.links, chain.elevators, chain.crown_clearance, chain.floor_clearance),
    *(procedures.heave_limit, procedures.speed_limit, procedures.acceleration_limit),
    *(procedures.roll_limit, procedures.pitch_limit, procedures.hs_limit, stroke.stroke_out),
]
"""Every rule the planner knows, in reading order. A rule added here is judged, shown and explained everywhere."""


class _Names(Mapping[str, str]):
    """Read from the rules at each look, so that a rule added later has its name too."""

    def __getitem__(self, key: str) -> str:
        return {rule.key: rule.name for rule in RULES}[key]

    def __iter__(self) -> Iterator[str]:
        return (rule.key for rule in RULES)

    def __len__(self) -> int:
        return len(RULES)


CHECK_NAMES: Final = _Names()
"""Name of every check by its key."""


def rules_for(plan: Plan) -> tuple[Rule, ...]:
    """The rules that apply to the plan's operation and compensator, in reading order."""
    return tuple(rule for rule in RULES if rule.applies(plan))
