"""What the browser is handed for paper, and what stands there in place of a canvas."""

from __future__ import annotations

import dataclasses
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import heave
from heave.files.plan import plan_to_json
from heave.files.seals import signed, text_hash
from heave.planning import MODEL_DATE, MODEL_VERSION
from heave.screens import paper
from heave.screens.figures.look import DARK, LIGHT, Look
from heave.screens.printing import LONGEST_NAME, foot

HASHED = text_hash(plan_to_json(heave.demo_plan()))


def test_the_title_block_is_of_the_plan() -> None:
    plan = heave.demo_plan()
    told = dict(paper.title(plan, "oilfield"))
    assert told["Plan"] == plan.name
    assert told["Rig"] == plan.vessel.name
    assert told["Well"] == told["Revision"] == "none given"
    assert told["Model"] == f"{MODEL_VERSION} of {MODEL_DATE}"
    assert told["Units"] == "oilfield"
    named = plan.changed(record=replace(plan.record, well="7 A", rig="Rig 1", revision="B"))
    told = dict(paper.title(named, "metric"))
    assert (told["Well"], told["Rig"], told["Revision"]) == ("7 A", "Rig 1", "B")


def test_only_the_demo_plan_is_called_that() -> None:
    plan = heave.demo_plan()
    assert paper.work_words(plan, HASHED) == f"The demo plan, invented equipment. Plan file {HASHED[:12]}."
    other = plan.changed(heading=plan.heading + 1.0)
    assert paper.work_words(other, HASHED) == f"Plan file {HASHED[:12]}."


def test_a_name_that_is_out_of_date_is_told() -> None:
    plan = signed(heave.demo_plan(), "checked", "B. Checker")
    assert "changed since" not in paper.work_words(plan, HASHED)
    moved = plan.changed(heading=plan.heading + 1.0)
    assert paper.work_words(moved, HASHED).endswith("changed since it was checked.")


def test_the_foot_has_a_name_of_bounded_length() -> None:
    plan = heave.demo_plan()
    assert foot(plan, HASHED) == f"{plan.name} · plan {HASHED[:12]} · model {MODEL_VERSION}"
    long = plan.changed(name="x" * (LONGEST_NAME + 1), record=replace(plan.record, revision="B"))
    assert foot(long, HASHED).startswith("x" * (LONGEST_NAME - 1) + "… · revision B · plan ")


def colours_of(look: Look) -> dict[str, str]:
    """Every colour of a look by where it stands."""
    found: dict[str, str] = {}
    for item in dataclasses.fields(look):
        value = getattr(look, item.name)
        parts = value.items() if isinstance(value, dict) else [("", value)]
        found |= {f"{item.name} {key}": text.lower() for key, text in parts}
    return found


def test_every_colour_of_the_dark_look_has_one_on_paper() -> None:
    table = dict(paper.colours())
    light = colours_of(LIGHT)
    for name, colour in colours_of(DARK).items():
        assert table[colour] == light[name], name


def test_no_colour_of_the_dark_look_stands_for_two() -> None:
    pairs = set(paper.colours())
    assert len(pairs) == len(dict(pairs))


def test_a_canvas_has_its_rows_as_a_table(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn: list[str] = []
    monkeypatch.setattr("streamlit.markdown", drawn.append)
    paper.twin("none", [])
    assert drawn == []
    rows: list[dict[str, Any]] = [{"Name": "a|b *c*", "Vary": True}, {"Name": "http://x", "Vary": False}]
    paper.twin("some", rows)
    head, _, first, second = drawn[0].splitlines()
    assert head == "| Name | Vary |"
    assert first == r"| a\|b \*c\* | yes |"
    assert second.endswith("| no |")
    assert "http://" not in second


def test_text_reaches_paper_as_text_only() -> None:
    script = (Path(paper.__file__).parent / "paper.js").read_text("utf-8")
    assert not {"innerHTML", "outerHTML", "insertAdjacentHTML", "document.write"} & set(
        script.replace("(", " ").replace(".", " ").split()
    )
