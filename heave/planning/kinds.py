"""Operations: what string and compensator are doing, what a pass must have answered, and where it is answered.

A pass says that everything which can hurt was compared. So each kind of operation states its questions, and from
where each is answered: from checks of physics, from a limit that only the rig can give, or not here at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from heave.compensator import Condition

OperationKey = Literal["drilling", "coring", "tripping", "casing", "landing", "wireline", "fixed", "waiting"]
"""The kinds of operation."""

StringState = Literal["on bottom", "free", "fixed at the seabed"]
"""What the lower end of the string does."""

UnitState = Literal["working", "locked"]
"""What the compensator does."""

LineUse = Literal["hoisting", "setting casing"]
"""What the drilling line does in an operation, by which its least design factor goes (API RP 9B)."""

Question = Literal[
    "motion at the rotary",
    "highest load",
    "lowest load",
    "string",
    "weight on bit",
    "motion at the load",
    "seabed",
    "equipment",
]
"""What may have to be asked of an operation before it can pass."""


@dataclass(frozen=True)
class Answer:
    """Where the answer to a question comes from: checks, limits of the rig, or somewhere else; more than one may say.

    checks : keys of the checks that answer it, as far as the compensator has them
    limits : groups of limits of the rig; of each group one is needed
    elsewhere : what is not judged here, and who judges it
    """

    checks: tuple[str, ...] = ()
    limits: tuple[tuple[str, ...], ...] = ()
    elsewhere: str = ""


@dataclass(frozen=True)
class OperationKind:
    """What one kind of operation asks of the planner; `answers` has the questions that a pass must have answered."""

    key: OperationKey
    label: str
    string: StringState
    compensator: UnitState
    answers: Mapping[Question, Answer]
    about: str
    runs_string: bool = False
    """Whether the string is pulled and run, so that friction of the hole adds to its load and takes off it."""

    line_use: LineUse = "hoisting"
    """What the drilling line does: its least design factor follows."""

    @property
    def condition(self) -> Condition:
        """The mechanical condition the linear response is computed for."""
        if self.compensator == "working":
            return "free" if self.string == "free" else "on bottom"
        return "locked free" if self.string == "free" else "locked on bottom"

    @property
    def needs(self) -> tuple[tuple[str, ...], ...]:
        """Groups of limits of the rig of which one each is needed; the first of a group is the one asked for."""
        return tuple(group for answer in self.answers.values() for group in answer.limits)

    @property
    def elsewhere(self) -> tuple[str, ...]:
        """What is not judged here, and who judges it."""
        return tuple(answer.elsewhere for answer in self.answers.values() if answer.elsewhere)


_CONNECTIONS: Final = Answer(elsewhere="connections in slips, the rig's own heave limit if it has one")
# How far, how fast or how hard the rotary moves, or the sea that does it; roll and pitch alone do not say.
_ROTARY: Final = Answer(
    ("heave_limit", "hs_limit", "speed_limit", "acceleration_limit", "roll_limit", "pitch_limit"),
    (("heave_limit", "speed_limit", "acceleration_limit", "hs_limits"),),
)
_PATH: Final = (
    *(
        "derrick",
        "crown_block",
        "drilling_line",
        "drilling_line_pulled",
        "dead_line",
        "drawworks_pull",
        "travelling_block",
        "hook",
    ),
    *("top_drive", "links", "elevators", "crown_clearance", "floor_clearance"),
)
_LOCKED: Final[Mapping[Question, Answer]] = {
    "motion at the rotary": _ROTARY,
    "highest load": Answer(("locked_load",)),
    "lowest load": Answer(("hook_slack",)),
    "string": Answer(("tension",)),
    "equipment": Answer(("locked_load", *_PATH)),
}
_RUNNING: Final[Mapping[Question, Answer]] = {
    **_LOCKED,
    "equipment": Answer(("locked_load", *_PATH, "hoisting_pull", "lowering_power")),
}
_GAS: Final = ("stroke_rising", "stroke_falling", "stroke_rate", "gas_pressure", "stroke_out")
_ACTIVE: Final = ("active_force", "active_force_falling", "active_velocity", "active_power", "runaway")
_LINE: Final = ("line_speed", "line_acceleration", "power", "slack_line", "slack_line_speed", "brake_power")
_WORKING: Final[Mapping[Question, Answer]] = {
    "highest load": Answer(("compensated_load",)),
    "lowest load": Answer(("hook_slack",)),
    "string": Answer(("tension",)),
    "equipment": Answer((*_GAS, *_ACTIVE, *_LINE, *_PATH, "compensated_load")),
}
_RISER: Final = Answer(elsewhere="riser and its angle, the riser analysis")
_ON_BOTTOM: Final[Mapping[Question, Answer]] = {
    **_WORKING,
    "motion at the rotary": _CONNECTIONS,
    "highest load": Answer(("compensated_load", "overpull")),
    "seabed": _RISER,
}
_WHEN_TO_STOP: Final = "when to stop and hang off, the master and well control"


OPERATIONS: Final[dict[OperationKey, OperationKind]] = {
    kind.key: kind
    for kind in (
        OperationKind(
            "drilling",
            "Drilling ahead",
            "on bottom",
            "working",
            {**_ON_BOTTOM, "weight on bit": Answer(("lift_off", "wob_band", "bit_blow"))},
            "Bit on bottom, compensator working: stroke, load and weight on bit decide.",
        ),
        OperationKind(
            "coring",
            "Coring",
            "on bottom",
            "working",
            {
                **_ON_BOTTOM,
                "weight on bit": Answer(("lift_off", "wob_band", "bit_blow"), (("wob_low",), ("wob_high",))),
            },
            "As drilling, with a narrower weight-on-bit band that the coring programme must give, both ends of it.",
        ),
        OperationKind(
            "tripping",
            "Tripping",
            "free",
            "locked",
            {**_RUNNING, "seabed": _RISER},
            "String off bottom on a locked compensator, in and out of slips: motion at the rotary decides, and the "
            "rig alone can say how much; the hook carries the string and its inertia.",
            runs_string=True,
        ),
        OperationKind(
            "casing",
            "Running casing",
            "free",
            "locked",
            {**_RUNNING, "seabed": _RISER},
            "Heavy string off bottom on a locked compensator, in and out of slips: motion at the rotary decides, and "
            "the rig alone can say how much; load high and low and string tension beside it.",
            runs_string=True,
            line_use="setting casing",
        ),
        OperationKind(
            "landing",
            "Landing equipment on the seabed",
            "free",
            "working",
            {
                **_WORKING,
                "motion at the load": Answer(
                    ("residual_motion", "residual_velocity"),
                    (("residual_motion_limit",), ("residual_velocity_limit",)),
                ),
                "seabed": Answer(
                    elsewhere="where the equipment lands and in which current, the plan of its landing"
                ),
            },
            "Off bottom with the compensator working: what motion is left at the load decides.",
        ),
        OperationKind(
            "wireline",
            "Wireline below the compensator",
            "free",
            "working",
            {**_WORKING, "motion at the load": Answer(("residual_motion",), (("residual_motion_limit",),))},
            "Tools hung below a working compensator: the motion left at the lower end decides.",
        ),
        OperationKind(
            "fixed",
            "String fixed at the seabed",
            "fixed at the seabed",
            "working",
            {
                **_WORKING,
                "highest load": Answer(("compensated_load", "locked_load")),
                "lowest load": Answer(("latch_tension", "hook_slack")),
                "string": Answer(("tension", "tension_if_locked", "latch_tension")),
                "seabed": Answer(elsewhere="latch, riser and well, the riser and well analysis"),
            },
            "String latched at the seabed: stroke decides, the tension left at the latch, and the pull if the "
            "compensator locks.",
        ),
        OperationKind(
            "waiting",
            "Waiting, string off bottom",
            "free",
            "locked",
            {**_LOCKED, "seabed": Answer(elsewhere=_WHEN_TO_STOP)},
            "Waiting on weather with the string hung from a locked compensator: how much heave the rig waits in is "
            "the rig's to say.",
        ),
    )
}
"""The kinds of operation by key."""
