"""What is asked of other seas goes wherever a plan goes: file, link, what the browser keeps, plans side by side."""

from __future__ import annotations

import json
from typing import Any

import pytest

import heave
from heave.errors import FileError
from heave.files.link import plan_to_link, read_link
from heave.files.listing import inputs_of
from heave.files.plan import plan_to_json, read_plan_file
from heave.planning import OtherSeas
from heave.planning.other_seas import AS_USUAL
from heave.screens.memory import packed, unpacked
from heave.studies.compare import differences

ASKED = OtherSeas(headings="sector", bearing="all round", growth="one alone", growing_system="second")
PLAN = heave.demo_plan().changed(other_seas=ASKED)


def document() -> Any:
    return json.loads(plan_to_json(PLAN))


def test_it_comes_back_from_a_file_a_link_and_the_browser() -> None:
    for found in (
        read_plan_file(plan_to_json(PLAN).encode()),
        read_link(plan_to_link(PLAN)),
        unpacked(packed(PLAN, None)),
    ):
        assert found.plan == PLAN
        assert found.plan.other_seas == ASKED
        assert found.defaulted == ()


def test_what_the_browser_keeps_changes_with_it() -> None:
    assert packed(PLAN, None) != packed(heave.demo_plan(), None)
    assert unpacked(packed(heave.demo_plan(), None)).plan.other_seas == AS_USUAL


def test_it_stands_in_the_file_by_names() -> None:
    assert document()["plan"]["other_seas"] == {
        "headings": "sector",
        "bearing": "all round",
        "growth": "one alone",
        "growing_system": "second",
    }


def test_a_file_of_before_is_read_as_usual_and_what_was_taken_is_said() -> None:
    old = document() | {"version": 7}
    del old["plan"]["other_seas"]
    found = read_plan_file(json.dumps(old).encode())
    assert found.plan == heave.demo_plan()
    told = [(one.path, one.label, one.words()) for one in found.defaulted]
    assert told == [
        ("plan.other_seas.headings", "Headings over a climate", "fixed"),
        ("plan.other_seas.bearing", "Waves of a climate come from", "plan"),
        ("plan.other_seas.growth", "Waves that grow to the limit", "one beside the others"),
        ("plan.other_seas.growing_system", "Wave system that grows", "first"),
    ]


@pytest.mark.parametrize(
    ("key", "value", "message"),
    [
        ("headings", "any", "other_seas.*Headings over a climate.*fixed, head, sector, best"),
        ("bearing", 3, "other_seas.bearing.*text"),
        ("growth", "one", "other_seas.*Waves that grow.*all together"),
        ("growing_system", "ninth", "other_seas.*Wave system that grows.*first, second.*eighth"),
        ("growing_system", 2, "other_seas.growing_system.*text"),
        ("grows", 1, "other_seas.grows.*only the keys"),
    ],
)
def test_what_is_not_allowed_in_a_file_is_refused_by_place(key: str, value: Any, message: str) -> None:
    wrong = document()
    wrong["plan"]["other_seas"][key] = value
    with pytest.raises(FileError, match=message):
        heave.read_plan(json.dumps(wrong).encode())


def test_plans_side_by_side_differ_in_it() -> None:
    found = differences([heave.demo_plan(), PLAN])
    assert {one.part for one in found} == {"Other seas"}
    told = {one.label: one.words() for one in found}
    assert told["Headings over a climate"] == ("fixed", "sector")
    assert told["Wave system that grows"] == ("first", "second")
    assert len(told) == 4


def test_a_calculation_lists_it_as_no_part_of_itself() -> None:
    (group,) = [one for one in inputs_of(PLAN) if one.path == "other_seas"]
    assert group.title == "Asked of a climate and of limiting seas, no part of this calculation"
    assert [one.value for one in group.inputs] == ["sector", "all round", "one alone", "second"]
