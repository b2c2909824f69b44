"""Changes of equipment in a plan, and what the equipment's own curves look like."""

from __future__ import annotations

from dataclasses import replace

from heave.compensator import Compensator, LoadCurve, Setting, load_curve
from heave.drill_string import DrillString, Section
from heave.planning.plan import Plan
from heave.sea import MeasuredSpectrum, SeaState
from heave.vessel import ResponseTable, Vessel

__all__ = [
    "LoadCurve",
    "load_over_stroke",
    "with_compensator",
    "with_measured_sea",
    "with_response",
    "with_sections",
    "with_string",
    "with_vessel",
]


def load_over_stroke(plan: Plan, setting: Setting) -> LoadCurve | None:
    """Load on the compensator over its stroke, vessel rising and falling; None without a gas spring.

    Parameters
    ----------
    plan : the plan, for its compensator
    setting : what is set on it
    """
    if plan.compensator.is_drawworks or setting.pressure is None:
        return None
    return load_curve(plan.compensator, setting)


def with_vessel(plan: Plan, vessel: Vessel) -> Plan:
    """The plan on another `vessel`."""
    return plan.changed(vessel=vessel)


def with_response(plan: Plan, table: ResponseTable, name: str) -> Plan:
    """The plan on its vessel with another response `table`, the vessel named `name`; hoist position kept."""
    return plan.changed(
        vessel=replace(plan.vessel, response=table, name=name, note="", provenance=table.source)
    )


def with_compensator(plan: Plan, compensator: Compensator) -> Plan:
    """The plan with another `compensator`; a start position it has no stroke for is refused."""
    return plan.changed(compensator=compensator)


def with_string(plan: Plan, string: DrillString) -> Plan:
    """The plan with another `string`."""
    return plan.changed(string=string)


def with_sections(plan: Plan, sections: tuple[Section, ...]) -> Plan:
    """The plan with other `sections` in its string, top down; mud and handling gear kept."""
    return plan.changed(string=replace(plan.string, sections=sections))


def with_measured_sea(plan: Plan, spectrum: MeasuredSpectrum) -> Plan:
    """The plan in a measured sea instead of wave systems; the water depth is kept."""
    return plan.changed(sea=SeaState(measured=spectrum, depth=plan.sea.depth))
