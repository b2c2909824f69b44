"""The plan file: what is written is read back the same, and whatever is wrong is named."""

from __future__ import annotations

import copy
import dataclasses
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import heave
from heave.drill_string import HoleInterval, Well
from heave.errors import FileError
from heave.files.plan import (
    MAX_PLAN_BYTES,
    plan_to_json,
)
from heave.files.rigs import as_edited, demo_compensators, demo_strings, demo_vessels
from heave.planning import (
    AS_NEW,
    OPERATIONS,
    Campaign,
    HsLimit,
    Operation,
    OperationStep,
    Plan,
    Tide,
    TideWater,
    WeatherChoices,
)
from heave.planning.rig import closed_form_vessels
from heave.sea import MeasuredSpectrum, SeaState
from heave.vessel import BoxHull, Vessel

VERSION_1 = Path(__file__).with_name("plan_version_1.json")

WELL = Well((HoleInterval(1200.0, diameter=0.45), HoleInterval(1800.0, 0.3, 0.25)), design_factor=1.15)

pytestmark = pytest.mark.portable


def _variants() -> list[Plan]:
    plan = heave.demo_plan()
    spectrum = MeasuredSpectrum(
        frequency=(0.05, 0.1, 0.15),
        bandwidth=(0.05, 0.05, 0.05),
        density=(0.4, 3.0, 1.1),
        direction_from=200.0,
    )
    box = BoxHull(length=200.0, beam=36.0, draught=11.0, block_coefficient=0.8)
    return [
        plan,
        plan.changed(vessel=demo_vessels()["Demo semisubmersible"], hookload_entered=1.2e6, active=False),
        plan.changed(sea=SeaState(measured=spectrum, depth=1200.0)),
        plan.changed(vessel=Vessel(name="Box", response=box)),
        *(plan.changed(compensator=unit) for unit in demo_compensators().values()),
        *(plan.changed(string=string, wob=0.0) for string in demo_strings().values()),
        *(plan.changed(operation=Operation(kind=kind, heave_limit=3.0)) for kind in OPERATIONS),
        plan.changed(well=WELL),
        plan.changed(string=replace(plan.string, mud_density=500.0, inside="empty, float closed")),
    ]


@pytest.mark.parametrize("plan", _variants(), ids=lambda plan: plan.operation.kind)
def test_a_plan_comes_back_as_it_was(plan: Plan, tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    heave.write_plan(plan, path)
    again = heave.read_plan(path)
    assert again == plan
    assert plan_to_json(again) == plan_to_json(plan)
    assert heave.assess(again).verdict == heave.assess(plan).verdict


def test_a_file_without_a_well_has_none_and_its_string_is_filled() -> None:
    plan = heave.demo_plan()
    document = json.loads(plan_to_json(plan))
    assert document["plan"].pop("well") is None
    assert document["plan"]["string"].pop("inside") == "filled"
    assert heave.read_plan(json.dumps(document).encode()) == plan
    assert heave.read_plan(VERSION_1).well is None


@pytest.mark.parametrize(
    ("breakage", "message"),
    [
        (lambda well: well.update(intervals=[]), r"plan\.well.*intervals: 0"),
        (lambda well: well["intervals"][0].pop("length_m"), r"intervals\[0\]\.length_m.*missing"),
        (
            lambda well: well["intervals"][1].update(friction=1.5),
            r"intervals\[1\].*Friction coefficient: 1\.5",
        ),
        (lambda well: well["intervals"][1].update(inclination_rad=2.0), r"intervals\[1\].*Inclination: 2\.0"),
        (lambda well: well["intervals"][1].update(inclination_deg=20.0), "only the keys.*inclination_rad"),
        (lambda well: well["intervals"][1].update(length_m=100.0), "Length of the string.*up to 1300\u00a0m"),
        (lambda well: well.update(design_factor="1.2"), "design_factor.*a number"),
    ],
)
def test_a_broken_well_is_refused_by_name(breakage: Callable[[Any], None], message: str) -> None:
    document = json.loads(plan_to_json(heave.demo_plan().changed(well=WELL)))
    breakage(document["plan"]["well"])
    with pytest.raises(FileError, match=message):
        heave.read_plan(json.dumps(document).encode())


def test_names_in_other_scripts_survive(tmp_path: Path) -> None:
    plan = heave.demo_plan().changed(name="Brønn 7 — vest «prøve» 深水")
    heave.write_plan(plan, tmp_path / "p.json")
    assert heave.read_plan(tmp_path / "p.json").name == plan.name


def test_a_file_that_writes_out_the_empty_fields_of_other_kinds_is_still_read() -> None:
    plan = heave.demo_plan().changed(compensator=demo_compensators()["Demo compensating drawworks"])
    document = json.loads(plan_to_json(plan))
    unit = document["plan"]["compensator"]
    assert "friction_fraction" not in unit
    unit |= dict.fromkeys(
        ("effective_area_m2", "gas_volume_m3", "pressure_rating_pa", "active_force_limit_n")
    )
    unit |= {"gas_volume_shut_m3": 0.0, "index_low": 1.1, "index": 1.3, "index_high": 1.6}
    unit |= {"friction_fraction": 0.02, "hydraulic_loss_ns2_per_m2": 0.0}
    assert heave.read_plan(json.dumps(document).encode()) == plan
    for key, value, label in (
        ("friction_fraction", 0.03, "seal friction"),
        ("gas_volume_m3", 9.0, "gas volume, all bottles"),
        ("index", 1.2, "polytropic index"),
    ):
        broken = copy.deepcopy(document)
        broken["plan"]["compensator"][key] = value
        with pytest.raises(FileError, match=f"plan.compensator.*{label}.*drawworks"):
            heave.read_plan(json.dumps(broken).encode())


def _change(*path: str | int, to: Any) -> Callable[[Any], None]:
    def apply(document: Any) -> None:
        for key in path[:-1]:
            document = document[key]
        document[path[-1]] = to

    return apply


def _drop(*path: str | int) -> Callable[[Any], None]:
    def apply(document: Any) -> None:
        for key in path[:-1]:
            document = document[key]
        del document[path[-1]]

    return apply


FIRST_SYSTEM = ("plan", "sea", "systems", 0)

BROKEN = [
    (_change("format", to="other"), "format"),
    (_change("version", to=9), "version.*9.*version 1 or 2 or 3 or 4 or 5 or 6 or 7 or 8"),
    (_change("version", to=True), "version"),
    (_change("version", to="1"), "version"),
    (_drop("plan"), "plan"),
    (_change("extra", to=1), "extra"),
    (_change("plan", to=[]), "plan.*object"),
    (_change("plan", "wob_n", to=-1.0), "Weight on bit.*-1"),
    (_change("plan", "wob_n", to="12"), "plan.wob_n.*a number"),
    (_change("plan", "wob_n", to=None), "plan.wob_n.*not null"),
    (_change("plan", "wob_n", to=True), "plan.wob_n"),
    (_change("plan", "wob_n", to=1.9e6), "Weight on bit.*less than the hookload"),
    (_drop("plan", "wob_n"), "plan.wob_n.*missing"),
    (_change("plan", "wobble", to=1), "plan.wobble.*only the keys"),
    (_change("plan", "heading_deg", to=360.0), "Vessel heading.*360"),
    (_change("plan", "risk", to=0.0), "Accepted risk"),
    (_change("plan", "risk", to=0.9), "Accepted risk"),
    (_change("plan", "exposure_s", to=1.0), "Exposure"),
    (_change("plan", "caution_level", to=1.0), "Near a limit"),
    (_change("plan", "active", to="yes"), "plan.active.*true or false"),
    (_change("plan", "name", to="a\u0000b"), "name"),
    (_change("plan", "name", to="x" * 201), "name"),
    (_change("plan", "sea", "systems", to=[]), "sea state"),
    (_change("plan", "sea", "systems", to={}), "systems.*a list"),
    (_change("plan", "sea", "depth_m", to=None), "Water depth"),
    (_change(*FIRST_SYSTEM, "hs_m", to=0), "wave height.*0"),
    (_change(*FIRST_SYSTEM, "hs_m", to=-2.0), "wave height.*-2"),
    (_change(*FIRST_SYSTEM, "hs_m", to=40.0), "wave height.*40"),
    (_change(*FIRST_SYSTEM, "period_s", to=0.0), "[Pp]eriod.*0"),
    (_change(*FIRST_SYSTEM, "period_kind", to="Tq"), "Tq"),
    (_change(*FIRST_SYSTEM, "shape", to="square"), "square"),
    (_change(*FIRST_SYSTEM, "direction_from_deg", to=400.0), "400"),
    (_change(*FIRST_SYSTEM, "gamma", to=50.0), "50"),
    (_change("plan", "vessel", "response", "type", to="Raft"), "response.type.*Raft.*one of"),
    (_drop("plan", "vessel", "response", "type"), "response.type"),
    (_change("plan", "vessel", "response", "heave", to={"real": [[1.0]]}), "real and imag"),
    (_change("plan", "vessel", "response", "heave", "real", 0, 0, to="x"), r"a number"),
    (_drop("plan", "vessel", "response", "heave", "real", 0, 0), "one length"),
    (_change("plan", "compensator", "kind", to="magnetic"), "magnetic"),
    (_change("plan", "compensator", "stroke_m", to=None), "stroke"),
    (_change("plan", "compensator", "kind", to={}), "kind of compensator"),
    (_change("plan", "compensator", "kind", to=[]), "kind of compensator"),
    (_drop("plan", "compensator", "stroke_m"), "stroke"),
    (_drop("plan", "compensator", "name"), "plan.compensator.*compensator: None"),
    (_drop("plan", "compensator", "kind"), "kind"),
    (_change("plan", "compensator", "lines", to=12), "lines strung.*in-line"),
    (_change("plan", "compensator", "friction_fraction", to=None), "friction"),
    (_change("plan", "compensator", "springs", to=1), "springs.*only the keys"),
    (_change("plan", "compensator", "gas_volume_m3", to=0.1), "gas volume"),
    (_change("plan", "compensator", "index", to=3.0), "polytropic"),
    (_change("plan", "string", "sections", to=[]), "sections"),
    (_change("plan", "string", "sections", 0, "inner_diameter_m", to=0.5), "diameter"),
    (_change("plan", "operation", "wob_low_n", to=9e5), "Lowest WOB"),
    (_change("plan", "operation", "kind", to="juggling"), "juggling"),
    (_change("plan", "offsets", "vessel_offset_m", to=900.0), "vessel offset.*20\u00a0%"),
    (_change("plan", "offsets", "start_position_m", to=5.0), "Start position"),
]


@pytest.mark.parametrize(("breakage", "message"), BROKEN)
def test_a_broken_plan_is_refused_by_name(breakage: Callable[[Any], None], message: str) -> None:
    document = copy.deepcopy(json.loads(plan_to_json(heave.demo_plan())))
    breakage(document)
    with pytest.raises(FileError, match=f"(?s){message}"):
        heave.read_plan(json.dumps(document).encode())


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "nothing in it"),
        (b"{", "JSON"),
        (b"[1, 2]", "object"),
        (b'{"format": "heave-plan", "format": "heave-plan", "version": 1}', "format"),
        (b'{"format": "heave-plan", "version": 1, "plan": {"wob_n": NaN}}', "NaN"),
        (b'{"format": "heave-plan", "version": 1, "plan": {"wob_n": 1e999}}', "1e999"),
        (b"[" * 100_000, "nest|deep|level"),
        ('{"format": "heave-plan"}'.encode("utf-16"), "UTF-8"),
        (b"\x00\x01\x02\xff", "UTF-8|binary|NUL"),
        (b" " * (MAX_PLAN_BYTES + 1), "bytes"),
    ],
)
def test_what_is_not_a_plan_file_is_refused(data: bytes, message: str) -> None:
    with pytest.raises(FileError, match=message):
        heave.read_plan(data)


def test_a_file_of_version_1_still_reads() -> None:
    """Written by version 1, which kept steps, factors and columns beside the sea and knew no more of the weather."""
    plan = heave.read_plan(VERSION_1)
    assert plan.name == "Stored by version 1"
    asked = plan.weather
    assert asked.campaign is not None
    assert [step.label for step in asked.campaign.steps] == ["Drill", "Tripping"]
    assert asked.campaign.steps[0].contingency == 3600.0
    assert asked.campaign.longest_wait == 6 * 3600.0
    assert [row.factors for row in asked.alpha.rows] == [(0.7, 0.8, 0.8, 0.9), (0.6, 0.7, 0.75, 0.8)]
    assert asked.alpha.source == "the rig's own"
    assert asked.forecast_mapping is not None
    assert asked.forecast_mapping.columns[1].sense == "to"
    assert asked.forecast_mapping.time_zone == "+02:00"
    assert dataclasses.replace(asked, campaign=None, alpha=AS_NEW.alpha, forecast_mapping=None) == AS_NEW
    again = plan_to_json(plan)
    assert json.loads(again)["version"] == 8
    assert heave.read_plan(again.encode()) == plan


def test_a_file_of_version_2_still_reads() -> None:
    """It knew no limits in wave height, none for other operations and nothing of where limits are from."""
    limits = Operation(kind="casing", heave_limit=1.5)
    plan = heave.demo_plan().changed(operation=limits, procedures=())
    document = json.loads(plan_to_json(plan))
    document["version"] = 2
    del document["plan"]["procedures"]
    for key in ("hs_limits", "limits_from"):
        del document["plan"]["operation"][key]
    assert heave.read_plan(json.dumps(document).encode()) == plan


def _of_a_well() -> Plan:
    plan = heave.demo_plan()
    step = OperationStep(
        Operation(kind="tripping", heave_limit=2.0),
        "Out of hole",
        3600.0,
        True,
        make_safe=5400.0,
        waits_in=Operation(kind="waiting", heave_limit=6.0),
        exposure=1800.0,
        string=plan.string,
        bit_depth=900.0,
        hookload=9e5,
        heading=200.0,
        wind_limit=25.0,
        gust_limit=35.0,
        current_limit=1.2,
        riser_hs_limit=5.0,
        riser_offset_limit=30.0,
    )
    tide = Tide((TideWater("2026-05-01T02:10", 0.4), TideWater("2026-05-01T08:20", 3.1)))
    asked = WeatherChoices(
        Campaign((step,)), forecast_interval=21600.0, oldest=28800.0, under_way=True, tide=tide
    )
    return plan.changed(weather=asked)


def test_a_well_with_loads_limits_and_tide_is_kept() -> None:
    plan = _of_a_well()
    assert heave.read_plan(plan_to_json(plan).encode()) == plan


def test_a_file_of_version_3_still_reads() -> None:
    """Its steps had an operation, a name, contingency and whether they can be interrupted; forecasts had no age."""
    plan = _of_a_well()
    document = json.loads(plan_to_json(plan))
    document["version"] = 3
    asked = document["plan"]["weather"]
    for key in ("forecast_interval_s", "oldest_s", "under_way", "tide"):
        del asked[key]
    step = asked["campaign"]["steps"][0]
    for key in list(step):
        if key not in ("operation", "name", "contingency_s", "interruptible"):
            del step[key]
    read = heave.read_plan(json.dumps(document).encode()).weather
    assert read.campaign is not None
    assert read.campaign.steps == (
        OperationStep(Operation(kind="tripping", heave_limit=2.0), "Out of hole", 3600.0, True),
    )
    assert (read.forecast_interval, read.oldest, read.under_way, read.tide) == (43200.0, 43200.0, False, None)


def test_limits_in_wave_height_and_of_other_operations_are_kept() -> None:
    rows = (HsLimit(3.0, 2.0, 9.5), HsLimit(2.0, 9.5, 30.0, 90.0, 180.0))
    plan = heave.demo_plan().changed(
        operation=Operation(kind="casing", hs_limits=rows, limits_from="Procedure 7, rev. B")
    )
    again = heave.read_plan(plan_to_json(plan).encode())
    assert again == plan
    assert again.operation.hs_limits == rows
    assert again.procedures == heave.demo_plan().procedures


@pytest.mark.parametrize(
    ("breakage", "message"),
    [
        (_change("plan", "weather", to={}), "plan.weather.*weather.*version 2"),
        (_change("plan", "alpha", "rows", 0, "at_2m", to="x"), r"plan.alpha.rows\[0\].at_2m.*a number"),
        (_change("plan", "campaign", "steps", to=[]), "plan.campaign.*from 1 to 20 steps"),
        (_change("plan", "turn_rate_deg_per_h", to=5.0), "turn_rate.*only the keys"),
        (_change("plan", to=[]), "plan.*object"),
    ],
)
def test_a_broken_file_of_version_1_is_refused_by_name(breakage: Callable[[Any], None], message: str) -> None:
    document = json.loads(VERSION_1.read_text("utf-8"))
    breakage(document)
    with pytest.raises(FileError, match=f"(?s){message}"):
        heave.read_plan(json.dumps(document).encode())


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="nowhere"):
        heave.read_plan(tmp_path / "nowhere.json")


def test_every_number_of_a_plan_has_its_unit_in_its_key() -> None:
    document = json.loads(plan_to_json(heave.demo_plan()))["plan"]
    assert {"wob_n", "heading_deg", "exposure_s"} <= set(document)
    assert {"stroke_m", "effective_area_m2", "pressure_rating_pa"} <= set(document["compensator"])
    assert len(dataclasses.fields(Plan)) == len(document)


def test_edited_equipment_does_not_keep_the_name_of_the_invented_one() -> None:
    plan = heave.demo_plan()
    assert as_edited(plan) is plan
    stronger = plan.changed(compensator=replace(plan.compensator, compensated_rating=2.0e6))
    found = as_edited(stronger)
    assert found.compensator.name == f"{plan.compensator.name}, edited"
    assert found.compensator.note.startswith(f"{plan.compensator.name}, edited. ")
    assert found.compensator.compensated_rating == 2.0e6
    assert found.vessel is plan.vessel
    assert as_edited(found) is found
    for vessel in (*demo_vessels().values(), *closed_form_vessels().values()):
        assert as_edited(plan.changed(vessel=vessel)).vessel == vessel
        moved = as_edited(plan.changed(vessel=replace(vessel, hoist_x=9.0))).vessel
        assert moved.name == f"{vessel.name}, edited"
        assert moved.provenance.startswith(f"{vessel.name}, edited. ")
    own = plan.changed(vessel=replace(plan.vessel, name="Our ship", hoist_x=9.0))
    assert as_edited(own) is own


@pytest.mark.parametrize("kind", [[], {}, 5, None, "Raft"])
def test_a_kind_of_response_that_is_no_name_is_refused_by_its_place(kind: object) -> None:
    document = json.loads(plan_to_json(heave.demo_plan()))
    document["plan"]["vessel"]["response"]["type"] = kind
    with pytest.raises(FileError, match=r"vessel\.response\.type"):
        heave.read_plan(json.dumps(document).encode())
