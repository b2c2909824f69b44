"""The demo rigs: invented vessels, compensators, strings and one complete plan."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, Final

from heave.compensator import Compensator
from heave.drill_string import DrillString
from heave.files.codec import decode
from heave.files.json_text import read_document
from heave.files.response_table import read_response_table
from heave.hoisting import HoistingPath
from heave.planning import Operation, Plan, StaticOffsets
from heave.planning.rig import closed_form_vessels
from heave.sea import SeaState, WaveSystem
from heave.vessel import Vessel

RIGS: Final = Path(__file__).resolve().parent.parent / "rigs"
"""Folder of the demo data."""

_MADE: Final = (
    "Invented hull; response computed by a boundary-element method in deep water at zero speed. "
    "The table's own header says how."
)

_INVENTED: Final = "invented with the demo rig, those that nobody has replaced by the rig's own"


@cache
def demo_vessels() -> dict[str, Vessel]:
    """The invented demo vessels by name."""
    vessels = (
        Vessel(
            name="Demo drillship",
            response=read_response_table(RIGS / "demo_drillship_response.csv"),
            hoist_x=4.0,
            length=210.0,
            draught=11.0,
            note="Invented drillship, 210 × 36 × 11 m.",  # a name, as the plan file keeps it
            provenance=_MADE,
        ),
        Vessel(
            name="Demo semisubmersible",
            response=read_response_table(RIGS / "demo_semisubmersible_response.csv"),
            length=110.0,
            draught=19.0,
            note="Invented semisubmersible, four columns on two pontoons, 19 m draught.",  # a name
            provenance=_MADE,
        ),
    )
    return {vessel.name: vessel for vessel in vessels}


@cache
def demo_compensators() -> dict[str, Compensator]:
    """The invented demo compensators by name."""
    return {unit.name: unit for unit in _demo(tuple[Compensator, ...], "compensators")}


def _demo(hint: Any, what: str) -> Any:
    """What the annotation `hint` promises, from the demo file of its name."""
    document = read_document(RIGS / f"demo_{what}.json", f"heave-{what}", 1)
    return decode(hint, document[what], what)


@cache
def demo_strings() -> dict[str, DrillString]:
    """The invented demo strings by name."""
    document = read_document(RIGS / "demo_strings.json", "heave-strings", 1)
    return {
        item["name"]: decode(DrillString, item["string"], f"strings[{index}]")
        for index, item in enumerate(document["strings"])
    }


def as_edited(plan: Plan) -> Plan:
    """The plan with the name of invented equipment taken from whatever is not that equipment any more.

    A vessel or compensator that has the name of one of the library and differs from it is called the same with
    ", edited", and says so where it says what it is from.

    Parameters
    ----------
    plan : after a change
    """
    vessels, units = {**demo_vessels(), **closed_form_vessels()}, demo_compensators()
    vessel, unit = plan.vessel, plan.compensator
    changes: dict[str, Any] = {}
    if vessel != vessels.get(vessel.name, vessel):
        made = f"{vessel.name}, edited. {vessel.provenance}"
        changes["vessel"] = replace(vessel, name=f"{vessel.name}, edited", provenance=made)
    if unit != units.get(unit.name, unit):
        note = f"{unit.name}, edited. {unit.note}"
        changes["compensator"] = replace(unit, name=f"{unit.name}, edited", note=note)
    return plan.changed(**changes) if changes else plan


@cache
def demo_hoisting() -> HoistingPath:
    """The invented hoisting path of the demo rig."""
    found: HoistingPath = _demo(HoistingPath, "hoisting")
    return found


@cache
def demo_operations() -> tuple[Operation, ...]:
    """The invented limits of the demo rig, an operation of each kind; each says that it is invented."""
    return tuple(replace(one, limits_from=_INVENTED) for one in _demo(tuple[Operation, ...], "operations"))


@cache
def demo_plan() -> Plan:
    """A complete invented plan: the demo drillship drilling in a wind sea with a swell on the bow quarter."""
    return Plan(
        name="Demo plan",
        sea=SeaState(
            systems=(
                WaveSystem(hs=2.8, period=8.8, direction_from=225.0, label="wind sea"),
                WaveSystem(
                    hs=1.4,
                    period=13.0,
                    direction_from=255.0,
                    shape="gaussian-swell",
                    spreading_exponent=10.0,
                    label="swell",
                ),
            ),
            depth=1200.0,
        ),
        heading=220.0,
        vessel=demo_vessels()["Demo drillship"],
        compensator=next(iter(demo_compensators().values())),
        string=next(iter(demo_strings().values())),
        operation=next(one for one in demo_operations() if one.kind == "drilling"),
        procedures=demo_operations(),
        wob=180e3,
        offsets=StaticOffsets(
            tide_rise=0.3,
            tide_fall=0.3,
            vessel_offset=20.0,
            space_out_error=0.2,
            penetration_rate=12 / 3600.0,
            feed_interval=300.0,
        ),
        hoisting=demo_hoisting(),
        overpull=300e3,
        exposure=6 * 3600.0,
        risk=0.01,
    )
