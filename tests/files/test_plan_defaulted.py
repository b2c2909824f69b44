"""What a plan file does not say is taken as stated and named; so is the model that wrote it."""

from __future__ import annotations

import json
import warnings
from pathlib import Path
from typing import Any

import pytest

import heave
from heave.errors import FileError
from heave.files.plan import plan_to_json, read_plan_file
from heave.files.rigs import demo_compensators
from heave.planning import MODEL_VERSION

pytestmark = pytest.mark.portable

VERSION_1 = Path(__file__).with_name("plan_version_1.json")


def _without(*paths: str) -> bytes:
    document: Any = json.loads(plan_to_json(heave.demo_plan()))
    for path in paths:
        *above, last = path.split(".")
        inner = document
        for key in above:
            inner = inner[int(key)] if key.isdigit() else inner[key]
        del inner[last]
    return json.dumps(document).encode()


def test_a_file_written_now_leaves_nothing_out() -> None:
    found = read_plan_file(plan_to_json(heave.demo_plan()).encode())
    assert found.defaulted == ()
    assert (found.version, found.model, found.another_model) == (8, MODEL_VERSION, "")


@pytest.mark.parametrize(
    ("path", "label", "words", "oilfield"),
    [
        ("plan.overpull_n", "Overpull margin", "0 kN", "0 klbf"),
        ("plan.exposure_s", "Exposure", "3.00 h", "3.00 h"),
        ("plan.active", "Active part in use", "yes", "yes"),
        ("plan.well", "well", "not given", "not given"),
        ("plan.procedures", "procedures", "not given", "not given"),
        ("plan.offsets.tide_rise_m", "Tide still to rise", "0 m", "0 ft"),
        ("plan.weather.heading", "Vessel heading over time", "fixed", "fixed"),
        ("plan.vessel.provenance", "Where the response comes from", "empty", "empty"),
        ("plan.sea.systems.0.gamma", "Peak factor γ", "not given", "not given"),
    ],
)
def test_an_absent_field_is_named_with_what_it_was_taken_as(
    path: str, label: str, words: str, oilfield: str
) -> None:
    (one,) = read_plan_file(_without(path)).defaulted
    assert one.path == path.replace(".0.", "[0].")
    assert one.label == label
    assert one.words().replace("\u00a0", " ") == words
    assert one.words("oilfield").replace("\u00a0", " ") == oilfield


def test_an_absent_object_is_named_by_each_of_its_fields() -> None:
    """Nothing hides behind a word: the ranges of what is not known are figures that a verdict rests on."""
    found = {one.path: one.value for one in read_plan_file(_without("plan.ranges")).defaulted}
    ranges = json.loads(plan_to_json(heave.demo_plan()))["plan"]["ranges"]
    assert found == {f"plan.ranges.{key}": value for key, value in ranges.items()}
    assert len(found) == 8


def test_a_field_of_the_compensators_own_kind_is_named_and_none_of_another() -> None:
    unit = demo_compensators()["Demo active-assisted unit, 600 klbf"]
    document = json.loads(plan_to_json(heave.demo_plan().changed(compensator=unit)))
    del document["plan"]["compensator"]["mounting"]
    (one,) = read_plan_file(json.dumps(document).encode()).defaulted
    assert (one.path, one.words()) == ("plan.compensator.mounting", "crown")


def test_a_file_of_version_1_names_all_it_did_not_know() -> None:
    found = read_plan_file(VERSION_1)
    assert found.version == 1
    assert found.another_model == (
        f"It was written by model 2026.11, and this is model {MODEL_VERSION}: results can differ."
    )
    paths = [one.path for one in found.defaulted]
    assert len(set(paths)) == len(paths)
    for path in (
        "plan.well",
        "plan.hoisting",
        "plan.ranges.heave",
        "plan.string.inside",
        "plan.tide",
        "plan.needed",
    ):
        assert path in paths
    assert not [path for path in paths if path.startswith("plan.weather")]
    assert "plan.campaign.steps[1].make_safe_s" in paths


def test_a_file_that_names_no_model_says_so() -> None:
    document = json.loads(plan_to_json(heave.demo_plan()))
    del document["model"]
    found = read_plan_file(json.dumps(document).encode())
    assert found.model is None
    assert "does not say which model wrote it" in found.another_model


def test_a_plan_read_from_python_warns_of_what_was_taken() -> None:
    with pytest.warns(
        UserWarning, match=r"plan\.overpull_n \(Overpull margin\) as 0.kN; plan\.risk .* as 1\.00.%\."
    ):
        heave.read_plan(_without("plan.overpull_n", "plan.risk"))
    document = json.loads(plan_to_json(heave.demo_plan())) | {"model": "2025.1"}
    with pytest.warns(UserWarning, match=r"written by model 2025\.1.*results can differ\.$"):
        heave.read_plan(json.dumps(document).encode())
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        heave.read_plan(plan_to_json(heave.demo_plan()).encode())


@pytest.mark.parametrize("model", [7, {}, "x" * 41, "a\nb"])
def test_a_model_that_is_no_name_is_refused(model: Any) -> None:
    document = json.loads(plan_to_json(heave.demo_plan()))
    document["model"] = model
    with pytest.raises(FileError, match="model"):
        read_plan_file(json.dumps(document).encode())


def test_a_row_of_a_table_is_a_line_and_the_file_short() -> None:
    """Indented value by value the demo plan was 249,766 bytes in 7,234 lines."""
    text = plan_to_json(heave.demo_plan())
    table = heave.demo_plan().vessel.response
    assert len(text.encode()) < 165_000
    assert text.count("\n") < 600
    rows = [line for line in text.splitlines() if line.count(",") > 50]
    assert len(rows) == 6 * len(table.heading) + 1  # type: ignore[union-attr]
