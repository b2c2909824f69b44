"""The kept schema and page are those of the declarations, and every plan that is written keeps to the schema."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from make_plan_schema import fields_page, plan_schema, schema_text

import heave
from heave.files.codec import encode
from heave.files.plan import PAGE_FILE, SCHEMA_FILE, KeptForecast, plan_to_json
from heave.files.rigs import demo_compensators, demo_strings, demo_vessels
from heave.planning import OPERATIONS, Operation, Plan
from heave.planning.rig import closed_form_vessels

SCHEMA = Draft202012Validator(plan_schema())


def test_the_files_kept_are_those_of_the_declarations() -> None:
    """Else: PYTHONPATH=. python tests/files/make_plan_schema.py."""
    assert SCHEMA_FILE.read_text("utf-8") == schema_text()
    assert PAGE_FILE.read_text("utf-8") == fields_page()
    Draft202012Validator.check_schema(plan_schema())


def _plans() -> list[Plan]:
    plan = heave.demo_plan()
    return [
        plan,
        *(plan.changed(vessel=one) for one in (*demo_vessels().values(), *closed_form_vessels().values())),
        *(plan.changed(compensator=unit) for unit in demo_compensators().values()),
        *(plan.changed(string=string, wob=0.0) for string in demo_strings().values()),
        *(plan.changed(operation=Operation(kind=kind)) for kind in OPERATIONS),
    ]


@pytest.mark.parametrize("plan", _plans(), ids=lambda plan: plan.operation.kind)
def test_a_written_plan_keeps_to_the_schema(plan: Plan) -> None:
    forecast = KeptForecast("tuesday.csv", b"time;Hs (m)\n")
    assert [error.message for error in SCHEMA.iter_errors(json.loads(plan_to_json(plan, forecast)))] == []


def _set(*path: str | int, to: Any) -> Callable[[Any], None]:
    def apply(document: Any) -> None:
        for key in path[:-1]:
            document = document[key]
        document[path[-1]] = to

    return apply


@pytest.mark.parametrize(
    "breakage",
    [
        _set("version", to=5),
        _set("extra", to=1),
        _set("plan", "wobble", to=1),
        _set("plan", "wob_n", to="12"),
        _set("plan", "wob_n", to=-1.0),
        _set("plan", "wob_n", to=None),
        _set("plan", "heading_deg", to=360.0),
        _set("plan", "name", to="x" * 201),
        _set("plan", "sea", "systems", 0, "hs_m", to=0.0),
        _set("plan", "sea", "systems", 0, "shape", to="square"),
        _set("plan", "vessel", "response", "type", to="Raft"),
        _set("plan", "vessel", "response", "heave", to={"real": [[1.0]]}),
        _set("plan", "vessel", "response", "heave", "real", 0, 0, to="x"),
        _set("plan", "compensator", "kind", to="magnetic"),
        _set("plan", "compensator", "lines", to=12.0),
        _set("plan", "operation", "hs_limits", to={}),
        lambda document: document["plan"].pop("wob_n"),
        lambda document: document["plan"]["compensator"].pop("stroke_m"),
        lambda document: document["plan"]["vessel"]["response"].pop("type"),
    ],
)
def test_what_the_reader_refuses_field_by_field_the_schema_refuses_too(
    breakage: Callable[[Any], None],
) -> None:
    document = copy.deepcopy(json.loads(plan_to_json(heave.demo_plan())))
    assert SCHEMA.is_valid(document)
    breakage(document)
    assert not SCHEMA.is_valid(document)


def test_a_field_with_a_default_may_be_absent_and_the_default_is_the_readers() -> None:
    whole = json.loads(plan_to_json(heave.demo_plan()))
    told = plan_schema()["$defs"]["Plan"]
    optional = [key for key in whole["plan"] if key not in told["required"]]
    assert {"well", "ranges", "overpull_n", "weather", "active"} <= set(optional)
    for key in optional:
        document = copy.deepcopy(whole)
        del document["plan"][key]
        assert SCHEMA.is_valid(document), key
        read = encode(heave.read_plan(json.dumps(document).encode()))
        assert read[key] == told["properties"][key]["default"], key


def test_every_key_of_a_plan_stands_on_the_page() -> None:
    page = fields_page()

    def keys(value: Any) -> set[str]:
        if isinstance(value, dict):
            return set(value).union(*(keys(item) for item in value.values()))
        return set().union(*(keys(item) for item in value)) if isinstance(value, list) else set()

    missing = {key for key in keys(json.loads(plan_to_json(heave.demo_plan()))) if f"`{key}`" not in page}
    assert missing <= {"type", "kind"}
    assert "| `heading_deg` | Vessel heading. Compass, degrees true. | from 0 below 360 ° | needed |" in page
    assert "from 600 to 2592000 s | `10800.0`" in page
