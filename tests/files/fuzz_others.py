"""Records, response tables, strings, spectra, scatter diagrams and tides to be spoilt, and what is read of them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any, Final

import numpy as np
import record_layouts
from fuzz_forecasts import BEGIN, LENGTHS, Answers, hours, wave
from response_layouts import Style as ResponseStyle
from scatter_text import CELLS, HS, TZ
from spoiling import Column, Facts, Fault, Table

from heave.drill_string import DrillString
from heave.errors import InputError
from heave.files.buoy import BuoyFile
from heave.files.record.reader import RecordFile
from heave.files.response.reader import ResponseFile
from heave.files.rigs import demo_plan
from heave.judging import Assessment, assess
from heave.planning import Plan
from heave.planning.rig import with_measured_sea
from heave.screens.weather.tide import read as read_tide
from heave.simulation.reconcile import reconcile
from heave.studies.climate import operability
from heave.studies.climate_seas import seas_of_scatter
from heave.studies.scatter import Scatter


def judged(plan: Plan) -> Assessment:
    """The assessment of a plan, every figure of it a number or said not to be known."""
    result = assess(plan)
    for check in result.checks:
        known = math.isfinite(check.demand) and math.isfinite(check.utilisation)
        if not known and check.state != "not assessed" and not math.isinf(check.utilisation):
            raise Fault(f"{check.key}: {check.demand} of {check.capacity} is {check.state}")
        if "nan" in check.headline().lower().split():
            raise Fault(f"{check.key}: {check.headline()}")
    return result


def within(change: Callable[[], Plan]) -> None:
    """A plan with what was read in it, judged; a plan may refuse what a file may hold."""
    try:
        plan = change()
    except InputError:
        return
    judged(plan)


def record_table(name: str, head: str, scale: float, digits: int) -> Table:
    time = np.arange(0.0, 60.0, 0.5)
    heave = record_layouts.heave(time, 3)
    return Table(
        (
            Column(name, tuple(f"{one:.1f}" for one in time)),
            Column(
                head, tuple(f"{one / scale:.{digits}f}" for one in heave), "raw", "m", {**LENGTHS, "cm": 0.01}
            ),
        )
    )


def record_facts(found: RecordFile) -> Facts:
    heave = found.record.heave
    if not np.isfinite(heave).all() or np.abs(heave).max() > 40.0:
        raise Fault("no heave")
    told = " ".join(found.record.notes) + " ".join(fault.kind for fault in found.record.faults)
    if not told and len(found.raw) == len(heave) and not np.allclose(heave, found.raw, atol=1e-9):
        raise Fault("heave is not what was read, and nothing is said")
    return {round(float(t), 3): {"raw": float(v)} for t, v in zip(found.time, found.raw, strict=True)}


def record_use(found: RecordFile) -> None:
    try:
        against = reconcile(demo_plan(), found.record.heave, found.record.step)
    except InputError:
        return
    if not math.isfinite(against.ratio):
        raise Fault("no ratio of the record")


RESPONSE: Final = ResponseStyle().conventions()


def response_own() -> Table:
    rows = [(period, heading) for period in (7, 10, 14, 18) for heading in (0, 45, 90, 135, 180)]
    head = (
        "heave_m_per_m",
        "heave_phase_deg",
        "roll_deg_per_m",
        "roll_phase_deg",
        "pitch_deg_per_m",
        "pitch_phase_deg",
    )
    size = [f"{0.1 + 0.05 * period * (1 - heading / 900):.4f}" for period, heading in rows]
    roll = [f"{0.0 if heading in (0, 180) else 0.4:.2f}" for _, heading in rows]
    cells = (size, ["10"] * 20, roll, ["90"] * 20, ["0.3"] * 20, ["-90"] * 20)
    facts = "heave", "", "roll", "", "pitch", ""
    told = (
        "phase: lag",
        "symmetric: yes",
        "reference_x_m: 1",
        "reference_y_m: 0",
        "heading_convention: travel_from_bow",
    )
    return Table(
        (
            Column("period_s", tuple(str(period) for period, _ in rows)),
            Column("heading_deg", tuple(str(heading) for _, heading in rows)),
            *(
                Column(name, tuple(column), fact)
                for name, column, fact in zip(head, cells, facts, strict=True)
            ),
        ),
        above=("# format: heave-response-table 1", *(f"# {one}" for one in told)),
    )


def response_long() -> Table:
    own = response_own()
    names = "Period (s)", "Heading (deg)", "Heave amp (m/m)", "Heave phase (deg)"
    more = "Roll amp (deg/m)", "Roll phase (deg)", "Pitch amp (deg/m)", "Pitch phase (deg)"
    columns = tuple(replace(one, head=name) for one, name in zip(own.columns, (*names, *more), strict=True))
    return Table(columns, above=("Response of the vessel",))


def response_facts(found: ResponseFile) -> Facts:
    table = found.table
    motions = {name: np.abs(getattr(table, name)) for name in ("heave", "roll", "pitch")}
    if not all(np.isfinite(values).all() for values in motions.values()):
        raise Fault("no response")
    facts: Facts = {}
    for place, omega in reversed(list(enumerate(table.omega))):
        for row, heading in enumerate(table.heading):
            if heading <= 180.0:
                key = round(2 * math.pi / float(omega), 6), float(heading)
                facts[key] = {name: float(values[row, place]) for name, values in motions.items()}
    return facts


def response_use(found: ResponseFile) -> None:
    plan = demo_plan()
    within(lambda: plan.changed(vessel=replace(plan.vessel, response=found.table, origin=found.origin)))


def string_table() -> Table:
    return Table(
        (
            Column("name", ("Drill pipe", "Heavy weight", "Collar")),
            Column("length_{}", ("2500.5", "120.25", "150"), "length", "m", LENGTHS),
            Column("od_{}", ("5.0", "5.0", "8.0"), "od", "in", {"in": 0.0254, "mm": 0.001}),
            Column("id_{}", ("4.276", "3.0", "2.8125"), "id", "in", {"in": 0.0254, "mm": 0.001}),
            Column("weight_lb_per_ft", ("22.6", "50.1", "150.0"), "mass"),
            Column("grade", ("S-135", "E-75", "E-75")),
        ),
        mark=";",
    )


def string_facts(found: Any) -> Facts:
    return {
        one.name: {
            "length": one.length,
            "od": one.outer_diameter,
            "id": one.inner_diameter,
            "mass": one.linear_mass,
        }
        for one in found
    }


def string_use(found: Any) -> None:
    plan = demo_plan()
    within(lambda: plan.changed(string=DrillString(found, plan.string.mud_density)))


def spectra_table() -> Table:
    stamps, _ = hours(6, step=1.0)
    names = ("#YY", "%Y"), ("MM", "%m"), ("DD", "%d"), ("hh", "%H"), ("mm", "%M")
    centres = [f"{0.07 + 0.01 * place:.4f}" for place in range(9)]
    return Table(
        (
            *(Column(name, tuple(when.strftime(form) for when in stamps)) for name, form in names),
            *(
                Column(centre.lstrip("0"), wave(6, 4.0 / (1 + place), 0.3, 2), str(place))
                for place, centre in enumerate(centres)
            ),
        ),
        mark=" ",
    )


def spectra_facts(found: BuoyFile) -> Facts:
    facts: Facts = {}
    for one in found.spectra:
        if not math.isfinite(one.hs):
            raise Fault("no height of a spectrum")
        time = datetime.fromisoformat(str(one.time).removesuffix("Z"))
        facts[time] = {str(place): float(value) for place, value in enumerate(one.density)}
    return facts


def spectra_use(found: BuoyFile) -> None:
    within(lambda: with_measured_sea(demo_plan(), found.spectra[-1], 220.0, "cos-n", 4.0))


def scatter_table() -> Table:
    return Table(
        (
            Column(r"Hs_{}\Tz_s", tuple(map(str, HS)), "height", "m", LENGTHS),
            *(
                Column(str(period), tuple(str(row[place]) for row in CELLS), str(period))
                for place, period in enumerate(TZ)
            ),
        )
    )


def scatter_facts(found: Scatter) -> Facts:
    cells = sum(part.cells for part in found.parts)
    if not np.isfinite(cells).all() or np.any(cells < 0):
        raise Fault("no counts")
    middles = found.period_middles
    facts: Facts = {}
    for row in range(len(cells)):
        facts[row] = {f"{period:g}": float(cell) for period, cell in zip(middles, cells[row], strict=True)}
        facts[row]["height"] = float(found.hs_limits[row] + found.hs_limits[row + 1]) / 2
    return facts


def scatter_use(found: Scatter) -> None:
    plan = demo_plan()
    try:
        result = operability(plan, seas_of_scatter(plan, found, split=1), "fixed")
    except InputError:
        return
    shares = result.all_steps
    if not math.isclose(shares.workable + shares.over + shares.unknown, 1.0):
        raise Fault(f"shares {shares}")


def tide_table() -> Table:
    stamps = tuple(BEGIN + timedelta(hours=6.2 * row) for row in range(8))
    return Table(
        (
            Column("", tuple(f"{when:%Y-%m-%d}" for when in stamps)),
            Column("", tuple(f"{when:%H:%M}" for when in stamps)),
            Column("", wave(8, 1.0, 0.9, 2), "height"),
        ),
        mark=" ",
    )


def tide(data: bytes, answers: Answers) -> Any:
    return read_tide(data.decode("utf-8", "replace"))


def tide_facts(found: Any) -> Facts:
    return {datetime.fromisoformat(one.when): {"height": one.height} for one in found.waters}


def tide_use(found: Any) -> None:
    if not np.isfinite(found.level(found.times)).all():
        raise Fault("no tide")
