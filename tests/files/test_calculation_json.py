"""The calculation for machines: every number is the assessment's, every step can be worked, the plan comes back."""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np
import pytest

import heave
from heave.errors import FileError, InputError
from heave.files.calculation_json import WIND, calculation_to_json
from heave.files.listing import LONGEST_ROW, Input, inputs_of
from heave.files.plan import plan_to_json
from heave.files.rigs import demo_compensators, demo_vessels
from heave.files.seals import in_hour, signed
from heave.files.sheet_plan import plan_block, plan_source
from heave.formula import Formula
from heave.judging import assess
from heave.judging.calculation import calculation
from heave.planning import MODEL_VERSION, Campaign, Operation, OperationStep, Plan, Record
from heave.units import UNITS

pytestmark = pytest.mark.portable

HOSTILE = '</script><img src=x onerror="alert(1)">&amp;&\\u003c\\ =1+1 \'"{x}%'
UNITS_OF_KIND = {unit.kind: unit for unit in demo_compensators().values()}


def hostile() -> Plan:
    plan = heave.demo_plan()
    record = Record(*[HOSTILE[:40]] * 5, note=f"{HOSTILE}\n{HOSTILE}")
    vessel = replace(plan.vessel, note=HOSTILE)
    return signed(plan.changed(name=HOSTILE, record=record, vessel=vessel), "checked", HOSTILE)


def plans() -> list[Plan]:
    plan = heave.demo_plan()
    step = OperationStep(plan.operation, name="a step", interruptible=True, contingency=3600.0)
    path = plan.hoisting
    assert path is not None
    drawworks = UNITS_OF_KIND["drawworks"]
    return [
        plan,
        hostile(),
        plan.changed(compensator=UNITS_OF_KIND["active-assisted"]),
        plan.changed(
            compensator=drawworks, hoisting=replace(path, lines=int(getattr(drawworks, "lines", 12)))
        ),
        plan.changed(operation=Operation(kind="casing"), hoisting=None),
        plan.changed(vessel=demo_vessels()["Demo semisubmersible"], hookload_entered=2.2e6),
        plan.changed(weather=plan.weather.but(campaign=Campaign((step, step)))),
    ]


@pytest.mark.parametrize("plan", plans(), ids=range(len(plans())))
def test_the_plan_comes_back_from_json_and_from_html(plan: Plan, tmp_path: Any) -> None:
    text = calculation_to_json(assess(plan))
    kept = json.loads(text)["plan"]
    assert kept["text"] == plan_to_json(plan)
    assert kept["sha256"] == hashlib.sha256(kept["text"].encode()).hexdigest()
    page = f"<!doctype html><html><body>words{plan_block(plan_to_json(plan))}</body></html>"
    for name, one in (("a.json", text), ("a.html", page)):
        assert heave.read_plan(one.encode()) == plan
        (tmp_path / name).write_text(one, "utf-8")
        assert heave.read_plan(tmp_path / name) == plan
        assert heave.read_plan(b"\xef\xbb\xbf" + one.encode()) == plan


def test_a_plan_file_itself_is_handed_on_as_it_is(tmp_path: Any) -> None:
    data = plan_to_json(heave.demo_plan()).encode()
    assert plan_source(data) is data
    (tmp_path / "plan.json").write_bytes(data)
    assert plan_source(tmp_path / "plan.json") == tmp_path / "plan.json"


def test_nothing_in_a_plan_can_end_its_block_of_data() -> None:
    block = plan_block(plan_to_json(hostile()))
    inner = block.removeprefix('<script type="application/json" id="heave-plan">').removesuffix("</script>")
    assert len(inner) == len(block) - 48 - 9
    assert not set("<>&") & set(inner)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda kept: kept.update(text=kept["text"].replace("Demo plan", "Demo plam")), "sha256"),
        (lambda kept: kept.update(sha256="0" * 64), "the hash of this text is"),
        (lambda kept: kept.pop("sha256"), "sha256 and text"),
        (lambda kept: kept.update(text=7), "sha256 and text"),
        (lambda kept: kept.update(more=1), "sha256 and text"),
    ],
)
def test_a_plan_that_is_not_what_its_hash_was_made_of_is_refused(change: Any, message: str) -> None:
    document = json.loads(calculation_to_json(assess(heave.demo_plan())))
    change(document["plan"])
    with pytest.raises(FileError, match=message):
        heave.read_plan(json.dumps(document).encode())


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("<!doctype html><p>no plan</p>", "a page without a plan"),
        (2 * plan_block("{}"), "<!doctype|more than one plan"),
        ('<script type="application/json" id="heave-plan">{', "a page without a plan"),
        ('<script type="application/json" id="heave-plan">[1]</script>', "sha256 and text"),
        ('{"format": "heave-calculation", "version": 2}', "version 1"),
        ('{"format": "heave-calculation", "version": 1}', "sha256 and text"),
        ('{"format": "heave-calculations", "version": 1}', "heave-plan"),
    ],
)
def test_other_pages_and_versions_are_refused_in_words(text: str, message: str) -> None:
    with pytest.raises(FileError, match=message):
        heave.read_plan(text.encode())


@pytest.mark.parametrize("plan", plans()[:5], ids=range(5))
def test_verdict_and_checks_are_those_of_the_assessment(plan: Plan) -> None:
    result = assess(plan)
    document = json.loads(calculation_to_json(result))
    assert document["format"] == "heave-calculation"
    assert document["model"]["version"] == MODEL_VERSION
    assert document["verdict"]["word"] == result.verdict
    assert document["verdict"]["governing"] == (result.governing.key if result.governing else None)
    assert [one["key"] for one in document["checks"]] == [check.key for check in result.checks]
    for told, check in zip(document["checks"], result.checks, strict=True):
        assert told["state"] == check.state
        for name, value in (("demand", check.demand), ("capacity", check.capacity)):
            assert told[name] == (None if math.isnan(value) else value)
        if told["utilisation"] not in (None, "infinite"):
            assert told["utilisation"] == pytest.approx(told["demand"] / told["capacity"], rel=1e-12)
        assert told["source"] == check.source
    lost = document["active_part_lost"]
    assert (lost is None) == (result.lost is None)
    if result.lost is not None:
        assert lost["word"] == result.lost.verdict
        assert [one["utilisation"] for one in lost["checks"]] == [
            None if math.isnan(check.utilisation) else check.utilisation for check in result.lost.checks
        ]
    assert document["cautions"] == list(result.cautions)
    assert any("hoisting path" in words for words in document["not_judged"]) == (plan.hoisting is None)


@pytest.mark.parametrize("plan", plans()[:5], ids=range(5))
def test_every_step_can_be_worked_from_what_stands_beside_it(plan: Plan) -> None:
    """Each formula, read from its text with the values and units of its terms, gives the result that is told."""
    document = json.loads(calculation_to_json(assess(plan)))
    worked = 0
    for chapter in document["chapters"]:
        for step in chapter["steps"]:
            terms = step["terms"]
            if None in [term["value"] for term in (*terms.values(), step["result"])]:
                continue
            kinds = {name: ("number", "") for name in (*terms, step["symbol"])}
            try:
                formula = Formula(f"{step['symbol']} = {step['formula']}", kinds, "")
            except InputError:  # an integral, a root or a rule, which is stated in words
                continue
            values = {
                name: float(str(term["value"]).replace("infinite", "inf")) for name, term in terms.items()
            }
            with np.errstate(all="ignore"):
                found = float(formula(**values).result.value)
            told = float(str(step["result"]["value"]).replace("infinite", "inf"))
            assert found == pytest.approx(told, rel=1e-9, abs=1e-12), step
            assert all(term["unit"] in UNITS for term in (*terms.values(), step["result"]))
            worked += 1
    assert worked >= sum(len(chapter.steps) for chapter in calculation(assess(plan))) / 2


def _stored(value: Any, path: str = "") -> list[str]:
    """Paths of all plain values of an object, by a walk of its own."""
    found = []
    for item in fields(value):
        given, where = getattr(value, item.name), f"{path}.{item.name}".lstrip(".")
        if not item.init or where in ("record", "progress"):
            continue
        if is_dataclass(given):
            found += _stored(given, where)
        elif isinstance(given, tuple) and given and is_dataclass(given[0]):
            for place, one in enumerate(given):
                found += _stored(one, f"{where}[{place}]")
        else:
            found.append(where)
    return found


def _at(plan: Plan, path: str) -> Any:
    value: Any = plan
    for step in path.replace("[", ".[").split("."):
        value = value[int(step[1:-1])] if step.startswith("[") else getattr(value, step)
    return value


@pytest.mark.parametrize("plan", plans(), ids=range(len(plans())))
def test_every_value_of_the_plan_is_listed_once_with_its_own_number(plan: Plan) -> None:
    listed = {one.path: one for group in inputs_of(plan) for one in group.inputs}
    assert len(listed) == sum(len(group.inputs) for group in inputs_of(plan))
    stored = _stored(plan)
    assert set(stored) <= set(listed)
    assert {path.rpartition(".")[2] for path in set(listed) - set(stored)} <= {"kind", "response"}
    for path in stored:
        value, told = _at(plan, path), listed[path]
        if told.kind or isinstance(value, str | bool):
            assert told.value == value, path
        elif value is None:
            assert told.value is None, path


def test_a_long_list_is_told_by_its_size_and_hash() -> None:
    plan = heave.demo_plan()
    listed = {one.path: one for group in inputs_of(plan) for one in group.inputs}
    heave_response = plan.vessel.response.heave  # type: ignore[union-attr]
    digest = hashlib.sha256(np.ascontiguousarray(heave_response).tobytes()).hexdigest()
    shape = " × ".join(map(str, heave_response.shape))
    assert len(heave_response) > LONGEST_ROW
    assert listed["vessel.response.heave"] == Input(
        "vessel.response.heave", "heave", f"{shape} values, SHA-256 of their bytes {digest[:16]}…"
    )


def test_a_step_says_where_it_is_from_and_what_an_hour_of_a_forecast_leaves_unjudged() -> None:
    plan = in_hour(heave.demo_plan(), "an hour")
    document = json.loads(calculation_to_json(assess(plan)))
    told = [step for chapter in document["chapters"] for step in chapter["steps"]]
    ours = [step for chapter in calculation(assess(plan)) for step in chapter.steps]
    assert [(step["source"], step["stated"]) for step in told] == [
        (step.source, step.stated) for step in ours
    ]
    assert all(step["source"] for step in told)
    assert WIND in document["not_judged"]
    assert WIND not in json.loads(calculation_to_json(assess(heave.demo_plan())))["not_judged"]
