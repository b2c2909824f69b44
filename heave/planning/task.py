"""What a sea is judged for: an operation with its own load, time at risk and heading, as one step has it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from heave.drill_string import DrillString
from heave.planning.campaign import OperationStep
from heave.planning.operations import Operation
from heave.planning.plan import Plan

SHORTEST_EXPOSURE: Final = 600.0
"""Shortest time over which an extreme is taken [s], as a plan has it."""


@dataclass(frozen=True)
class Task:
    """All of a step that judging a sea depends on; steps that share it are judged once.

    operation : what is done, with its limits
    exposure : time at risk [s]; None takes the plan's
    string, bit_depth, hookload : the load, as a step has it
    heading : own heading [deg]; None takes the one asked for
    """

    operation: Operation
    exposure: float | None = None
    string: DrillString | None = None
    bit_depth: float | None = None
    hookload: float | None = None
    heading: float | None = None

    @classmethod
    def of(cls, step: OperationStep, plan: Plan) -> Task:
        """The task of a step: where it has no time at risk, the plan's, or its own T_R if that is shorter.

        Parameters
        ----------
        step : the step
        plan : the plan it is part of
        """
        own = min(plan.exposure, max(step.reference, SHORTEST_EXPOSURE))
        exposure = own if step.exposure is None else step.exposure
        return cls(step.operation, exposure, step.string, step.bit_depth, step.hookload, step.heading)

    @classmethod
    def waiting(cls, step: OperationStep) -> Task | None:
        """What the rig does while it waits after a step, with the load of that step; None where it is not said.

        Parameters
        ----------
        step : the step
        """
        if step.waits_in is None:
            return None
        return cls(step.waits_in, None, step.string, step.bit_depth, step.hookload, step.heading)


def plan_for(plan: Plan, task: Task) -> Plan:
    """The plan while it does a task: its operation, time at risk and load.

    A string or depth of the task's own takes the place of a hookload that was entered for the whole plan.

    Parameters
    ----------
    plan : the plan
    task : what is done

    Raises
    ------
    InputError
        If the task does not fit the plan, or its bit is deeper than its string is long.
    """
    changes: dict[str, Any] = {"operation": task.operation}
    if task.exposure is not None:
        changes["exposure"] = task.exposure
    if task.string is not None or task.bit_depth is not None:
        string = task.string or plan.string
        changes["string"] = string if task.bit_depth is None else string.cut_to(task.bit_depth)
        changes["hookload_entered"] = None
    if task.hookload is not None:
        changes["hookload_entered"] = task.hookload
    if task.heading is not None:
        changes["heading"] = task.heading
    return plan.changed(**changes)


def with_tide(plan: Plan, rise: float, fall: float) -> Plan:
    """The plan with so much tide still to rise and to fall.

    Parameters
    ----------
    plan : the plan
    rise, fall : from 0 [m]
    """
    return plan.changed(offsets=replace(plan.offsets, tide_rise=rise, tide_fall=fall))
