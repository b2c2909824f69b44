"""A campaign: operations in sequence, how long each may take, and where it may be interrupted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from heave import fields
from heave.errors import InputError
from heave.planning.operations import Operation

MAX_STEPS: Final = 20

RESTRICTED_PLANNED: Final = 72 * 3600.0
"""Planned period below which an operation may be weather-restricted [s] (DNV-OS-H101, from memory)."""

RESTRICTED_REFERENCE: Final = 96 * 3600.0
"""Reference period below which an operation may be weather-restricted [s] (DNV-OS-H101, from memory)."""


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
        default=None,
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

    def __post_init__(self) -> None:
        fields.validate(self)
        if not isinstance(self.operation, Operation):
            raise InputError("operation of a step", self.operation, None, "an Operation")

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
        help="Between two steps that can both be interrupted. What the rig stands while it waits is not checked.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)
        steps = tuple(self.steps)
        if not 1 <= len(steps) <= MAX_STEPS or any(not isinstance(step, OperationStep) for step in steps):
            raise InputError("steps of the campaign", len(steps), None, f"from 1 to {MAX_STEPS} steps")
        object.__setattr__(self, "steps", steps)

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
