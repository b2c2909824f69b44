"""A campaign: operations in sequence, how long each may take, and where it may be interrupted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from heave import fields
from heave.drill_string import HOOKLOAD, DrillString
from heave.planning.operations import EXPOSURE, Operation
from heave.quantities import DEPTH, DIRECTION
from heave.sea.arguments import MAX_HS

MAX_STEPS: Final = 20

RESTRICTED_PLANNED: Final = 72 * 3600.0
"""Planned period below which an operation may be weather-restricted [s] (DNV-OS-H101, from memory)."""

RESTRICTED_REFERENCE: Final = 96 * 3600.0
"""Reference period below which an operation may be weather-restricted [s] (DNV-OS-H101, from memory)."""


_PARTS: Final[dict[str, type]] = {"operation": Operation, "waits_in": Operation, "string": DrillString}
"""What the parts of a step have to be."""


def _site(label: str, kind: str, high: float) -> float | None:
    found: float | None = fields.quantity(
        label, kind, above=0.0, high=high, optional=True, help="The rig's own. Empty: not judged."
    )
    return found


@dataclass(frozen=True)
class OperationStep:
    """One operation of a campaign; its planned duration is `operation.duration`."""

    operation: Operation
    name: str = fields.text(
        "Step", default="", help="What the rig calls it; empty takes the operation's name."
    )
    contingency: float | None = fields.quantity(
        "Contingency time",
        "duration",
        low=0.0,
        high=60 * 86400.0,
        optional=True,
        help="Time kept for what may go wrong. Empty: not assessed, so as long as the planned duration.",
    )
    interruptible: bool = fields.flag(
        "Can be interrupted",
        default=False,
        help="The step can be left in a safe state, so a wait may stand between it and another such step.",
    )

    make_safe: float = fields.quantity(
        "Time to make safe",
        "duration",
        default=0.0,
        low=0.0,
        high=10 * 86400.0,
        help="Of a step that can be stopped: pick up off bottom, pull to the shoe, hang off or disconnect.",
    )
    waits_in: Operation | None = None
    """What the rig does while it waits after this step, with its own limits; None is not judged."""

    exposure: float | None = EXPOSURE.field(
        label="Time at risk",
        optional=True,
        help="Over which the extreme is taken. Empty: the plan's exposure, or T_R where that is shorter.",
    )
    string: DrillString | None = None
    """The string of this step; None takes the plan's."""

    bit_depth: float | None = fields.quantity(
        "Bit depth",
        "length",
        low=1.0,  # a string that hangs has some length
        high=DEPTH.high,
        optional=True,
        help="At its heaviest in this step; joints come off at the top. Empty: the whole string.",
    )
    hookload: float | None = HOOKLOAD.field(
        label="Hookload of the step",
        optional=True,
        help="As read or planned for this step. Empty: of its own string or depth, else the plan's.",
    )
    heading: float | None = DIRECTION.field(
        label="Own heading",
        optional=True,
        help="Held throughout this step. Empty: as chosen for the whole plan.",
    )
    wind_limit: float | None = _site("Wind limit", "speed", 100.0)
    gust_limit: float | None = _site("Gust limit", "speed", 100.0)
    current_limit: float | None = _site("Current limit", "speed", 10.0)
    riser_hs_limit: float | None = _site("Hs limit for the riser", "length", MAX_HS)
    riser_offset_limit: float | None = _site("Offset limit for the riser", "length", 1000.0)

    def __post_init__(self) -> None:
        fields.validate(self)
        fields.check_parts(self, _PARTS, ("waits_in", "string"))

    @property
    def label(self) -> str:
        """Name of the step, or of its kind of operation."""
        return self.name or self.operation.about.label

    @property
    def planned(self) -> float:
        """Planned duration T_POP, in whole seconds [s]."""
        return _whole(self.operation.duration)

    @property
    def contingency_used(self) -> float:
        """Contingency T_C [s]: as given, or as long as planned where it was not assessed."""
        return self.planned if self.contingency is None else _whole(self.contingency)

    @property
    def secured_in(self) -> float:
        """Time to make safe, in whole seconds [s]."""
        return _whole(self.make_safe)

    @property
    def reference(self) -> float:
        """Reference period T_R = T_POP + T_C [s]."""
        return self.planned + self.contingency_used


@dataclass(frozen=True)
class Block:
    """Steps that follow each other without a wait: one operation to the forecast.

    Parameters
    ----------
    first : index of its first step in the campaign
    steps : its steps in order
    """

    first: int
    steps: tuple[OperationStep, ...]

    @property
    def planned(self) -> float:
        """Planned period T_POP of the block [s]."""
        return sum(step.planned for step in self.steps)

    @property
    def reference(self) -> float:
        """Reference period T_R = T_POP + T_C of the block [s]."""
        return sum(step.reference for step in self.steps)

    @property
    def weather_restricted(self) -> bool:
        """True where a forecast may decide: T_POP < 72 h and T_R < 96 h."""
        return self.planned < RESTRICTED_PLANNED and self.reference < RESTRICTED_REFERENCE

    @property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """Earliest start and latest end of each step after the block's start [s].

        A step can begin as soon as the planned times before it allow, and end as late as all contingencies up
        to and including its own allow; its limits must hold over all of that.
        """
        early = late = 0.0
        found = []
        for step in self.steps:
            late += step.reference
            found.append((early, late))
            early += step.planned
        return tuple(found)

    @property
    def can_halt(self) -> bool:
        """True where it is one step that can be stopped at any time and left safe."""
        return len(self.steps) == 1 and self.steps[0].interruptible

    @property
    def no_return(self) -> float | None:
        """Planned time after the block's start from which it must be finished [s]; None where it never must."""
        early = 0.0
        for step in self.steps:
            if not step.interruptible:
                return early
            early += step.planned
        return None


@dataclass(frozen=True)
class Campaign:
    """Operation steps in the order they are done, and how long a wait may last where one is allowed."""

    steps: tuple[OperationStep, ...]
    longest_wait: float = fields.quantity(
        "Longest wait",
        "duration",
        default=48 * 3600.0,
        low=0.0,
        high=60 * 86400.0,
        help="Between two steps that can both be interrupted, or within one that can.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)
        allowed = f"from 1 to {MAX_STEPS} steps"
        fields.hold_tuple(
            self, "steps", OperationStep, "steps of the campaign", allowed, low=1, most=MAX_STEPS
        )

    @classmethod
    def of(cls, operation: Operation) -> Campaign:
        """A campaign of one `operation`, contingency not assessed."""
        return cls((OperationStep(operation),))

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The steps grouped: a wait may stand between two steps only if both can be interrupted."""
        found: list[Block] = []
        for index, step in enumerate(self.steps):
            if found and not (step.interruptible and self.steps[index - 1].interruptible):
                found[-1] = Block(found[-1].first, (*found[-1].steps, step))
            else:
                found.append(Block(index, (step,)))
        return tuple(found)

    @property
    def reference(self) -> float:
        """Reference period of all steps without waits [s]."""
        return sum(step.reference for step in self.steps)


def _whole(duration: float) -> float:
    """A duration rounded up to the second, the step in which times are counted; rounding noise is not a second."""
    return float(math.ceil(duration - 1e-6))
