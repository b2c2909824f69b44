"""Equipment of a plan: changing it, choosing pipe for it, and the curves it is known by."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator import (
    Compensator,
    DataSheet,
    Drawworks,
    GasUnit,
    LoadCurve,
    Remark,
    Setting,
    load_curve,
    plan_setting,
    remarks,
)
from heave.drill_string import (
    GRADES,
    HEAVY_WEIGHT_CHOICES,
    PIPE_CHOICES,
    PIPE_CLASSES,
    Section,
    collar,
    drill_pipe,
    heavy_weight,
)
from heave.hoisting import LINES_OF_CROWN, DrillingLine, HoistingPath
from heave.planning.plan import Plan
from heave.sea import OMEGA, MeasuredSpectrum, SeaState
from heave.vessel import (
    BoxHull,
    Plausibility,
    ResponseConventions,
    ResponseOrigin,
    ResponseTable,
    Semisubmersible,
    Vessel,
    hoist_transfer,
    plausibility,
    table_cautions,
)

CURVE_HEADINGS: Final = (180.0, 135.0, 90.0, 0.0)
"""Relative headings shown for a response: head sea, bow quarter, beam, following [deg]."""

_CONCEPT: Final = "Closed form from main dimensions, which are invented: concept stage only."


@dataclass(frozen=True)
class ResponseCurves:
    """Heave at the hoist per metre of wave over wave period, a row for each of `headings`."""

    period: FloatArray
    headings: tuple[float, ...]
    heave: FloatArray


def load_over_stroke(plan: Plan, setting: Setting) -> LoadCurve | None:
    """Load on the compensator over its stroke, vessel rising and falling; None without a gas spring.

    Parameters
    ----------
    plan : the plan, for its compensator
    setting : what is set on it
    """
    return None if setting.pressure is None else load_curve(plan.compensator, setting)


def curve_at(unit: GasUnit, load: float) -> LoadCurve:
    """Load over the stroke of a `unit` that carries `load` [N] at mid-stroke."""
    return load_curve(unit, plan_setting(unit, load, 0.0))


def unit_remarks(unit: Compensator, load: float, system: str, ratio: float) -> tuple[Remark, ...]:
    """What the numbers of a `unit` say of each other and of the `load` at the hook [N], in units of `system`; `ratio`
    is the load on the unit over that."""
    return remarks(unit, load, system, ratio)


def response_curves(vessel: Vessel) -> ResponseCurves | None:
    """Magnitude of the heave at the hoist at `CURVE_HEADINGS`, periods 4 to 30 s.

    None for a semisubmersible in closed form, whose response depends on the sea through its viscous damping.

    Parameters
    ----------
    vessel : the vessel, with its hoist position
    """
    if isinstance(vessel.response, Semisubmersible):
        return None
    period = np.linspace(4.0, 30.0, 131)
    order = np.argsort(2 * np.pi / period)
    found = np.abs(hoist_transfer(vessel, (2 * np.pi / period)[order], np.array(CURVE_HEADINGS)))
    return ResponseCurves(period[order][::-1], CURVE_HEADINGS, found[:, ::-1])


def sea_curve(spectrum: MeasuredSpectrum) -> tuple[FloatArray, FloatArray]:
    """A measured `spectrum` on the computing grid: angular frequency [rad/s] and density [m²·s]."""
    return OMEGA, SeaState(measured=spectrum).spectrum()


def closed_form_vessels() -> dict[str, Vessel]:
    """Vessels whose response comes from main dimensions alone, by name; dimensions invented."""
    ship = BoxHull(length=200.0, beam=36.0, draught=11.0)
    semi = Semisubmersible(
        columns=4,
        column_diameter=15.0,
        column_spacing=55.0,
        pontoon_length=105.0,
        pontoon_breadth=15.0,
        pontoon_height=9.5,
        pontoon_spacing=60.0,
        draught=19.0,
        added_mass=4.0e7,
    )
    vessels = (
        Vessel("Box-hull ship, closed form", ship, length=200.0, provenance=_CONCEPT),
        Vessel("Semisubmersible, closed form", semi, length=105.0, provenance=_CONCEPT),
    )
    return {vessel.name: vessel for vessel in vessels}


def with_response(plan: Plan, table: ResponseTable, name: str, origin: ResponseOrigin | None = None) -> Plan:
    """The plan on its vessel with another response `table`, the vessel named `name`; hoist position kept.

    Parameters
    ----------
    plan : the plan
    table : the response
    name : of the vessel
    origin : the file the table was read from
    """
    changes = {"response": table, "name": name, "draught": None, "note": "", "origin": origin}
    return plan.changed(vessel=replace(plan.vessel, **changes, provenance=table.source))  # type: ignore[arg-type]


def with_kind(plan: Plan, kind: str, pattern: Compensator) -> Plan:
    """The plan with its compensator made one of another `kind`: what both have is kept, the rest as `pattern`."""
    unit = plan.compensator
    own = {item.name for item in fields(unit) if getattr(unit, item.name) is not None}
    rest = {item.name: getattr(pattern, item.name) for item in fields(pattern) if item.name not in own}
    return with_unit(plan, unit.as_kind(kind, **rest))


def with_unit(plan: Plan, unit: Compensator) -> Plan:
    """The plan with another compensator; a drawworks gets the lines strung of the plan's hoisting path."""
    path = plan.hoisting
    if path is not None and isinstance(unit, Drawworks):
        unit = _strung(unit, path.lines)
    return plan.changed(compensator=unit)


def with_path(plan: Plan, path: HoistingPath | None) -> Plan:
    """The plan with another hoisting path, or none; a compensating drawworks gets its lines strung."""
    unit = plan.compensator
    if path is not None and isinstance(unit, Drawworks):
        unit = _strung(unit, path.lines)
    return plan.changed(hoisting=path, compensator=unit)


def _strung(unit: Drawworks, lines: float) -> Drawworks:
    """The drawworks with so many lines; one that has them already stays the very same."""
    return unit if unit.lines == lines else replace(unit, lines=lines)


def with_sections(plan: Plan, sections: tuple[Section, ...]) -> Plan:
    """The plan with other `sections` in its string, top down; mud and handling gear kept."""
    return plan.changed(string=replace(plan.string, sections=sections))


def with_measured_sea(
    plan: Plan, spectrum: MeasuredSpectrum, direction: float, spreading: str, exponent: float
) -> Plan:
    """The plan in a measured sea instead of wave systems; the water depth is kept.

    Parameters
    ----------
    plan : the plan
    spectrum : as measured
    direction : that it comes from [deg]
    spreading, exponent : how it spreads about that
    """
    sea = replace(spectrum, direction_from=direction, spreading=spreading, spreading_exponent=exponent)
    return plan.changed(sea=SeaState(measured=sea, depth=plan.sea.depth))
