"""A name under a calculation holds for the plan it was entered for, and for no other."""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields, replace
from typing import Any

import pytest

import heave
from heave.errors import FileError, InputError
from heave.files.plan import plan_to_json
from heave.files.seals import ROLES, in_hour, outdated, seal, signed, stale, text_hash
from heave.planning import MODEL_VERSION, Hour, OtherSeas, Plan, Record, Signed

pytestmark = pytest.mark.portable

RECORD = Record(
    well="7 A",
    rig="Demo rig",
    revision="B",
    date="2026-11-26",
    prepared_by="A. Author",
    note="Two lines:\nthe second.",
)


def stood_by() -> Plan:
    plan = heave.demo_plan().changed(record=RECORD)
    return signed(signed(plan, "checked", "B. Checker"), "approved", "C. Manager")


def test_the_hash_is_that_of_the_standard() -> None:
    """FIPS 180-4, the example of one block, "abc"."""
    assert text_hash("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_a_signed_plan_comes_back_from_its_file_with_its_names_as_they_were() -> None:
    plan = stood_by()
    again = heave.read_plan(plan_to_json(plan).encode())
    assert again == plan
    assert stale(again) == ()
    assert again.record.checked == Signed("B. Checker", seal(plan, "checked"), MODEL_VERSION)


@pytest.mark.parametrize(
    "change",
    [
        lambda plan: {"wob": plan.wob + 1.0},
        lambda plan: {"name": "another"},
        lambda plan: {"sea": replace(plan.sea, depth=1300.0)},
        lambda plan: {"weather": plan.weather.but(turn_rate=20.0)},
        *(
            lambda plan, name=item.name: {"record": replace(plan.record, **{name: "other"})}
            for item in fields(Record)
            if item.name not in (*ROLES, "hour")
        ),
    ],
)
def test_any_change_of_plan_title_block_or_note_shows(change: Any) -> None:
    plan = stood_by()
    other = plan.changed(**change(plan))
    assert stale(other) == ("changed since it was checked", "changed since it was approved")
    renewed = signed(other, "checked", "B. Checker")
    assert stale(renewed) == ("changed since it was approved",)  # the approval was of the check before
    assert stale(signed(renewed, "approved", "C. Manager")) == ()
    assert stale(other.changed(**{name: getattr(plan, name) for name in change(plan)})) == ()


def test_an_approval_covers_the_check_and_a_check_no_approval() -> None:
    plan = stood_by()
    assert stale(signed(plan, "checked", "D. Other")) == ("changed since it was approved",)
    assert stale(signed(plan, "approved", "")) == ()
    assert signed(plan, "approved", "").record.approved == Signed()


def test_another_model_is_said_before_anything_else() -> None:
    plan = stood_by()
    old = replace(plan.record.checked, model="2025.1")
    earlier = plan.changed(record=replace(plan.record, checked=old))
    assert outdated(earlier, "checked") == f"checked under model 2025.1; this is model {MODEL_VERSION}"


def test_an_hour_holds_for_its_sea_and_heading() -> None:
    plan = in_hour(heave.demo_plan(), "Tue 29 Dec 10:00 UTC of a file")
    assert stale(plan) == ()
    assert stale(plan.changed(wob=1e5)) == ()
    moved = ("sea or heading changed since the hour of the forecast was taken",)
    assert stale(plan.changed(heading=plan.heading + 1)) == moved
    assert stale(plan.changed(sea=replace(plan.sea, depth=900.0))) == moved
    assert in_hour(plan, "").record.hour == Hour()


def test_what_is_asked_of_other_seas_is_no_part_of_a_calculation() -> None:
    """So a name stays good beside a pick of the climate page, and one entered before plans had any stays too."""
    plan = stood_by()
    assert stale(plan.changed(other_seas=OtherSeas(headings="best", growth="all together"))) == ()
    document = json.loads(plan_to_json(plan)) | {"version": 7}
    del document["plan"]["other_seas"]
    with pytest.warns(UserWarning, match="other_seas"):
        assert stale(heave.read_plan(json.dumps(document).encode())) == ()


def test_the_seal_is_over_the_plan_as_its_file_has_it() -> None:
    plan = stood_by()
    document = json.loads(plan_to_json(plan))["plan"]
    document["record"]["checked"] = document["record"]["approved"] = {"by": "", "seal": "", "model": ""}
    del document["other_seas"]  # no calculation rests on it
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":")) + "\n"
    assert seal(plan, "checked") == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize(
    "wrong",
    [
        {"by": "X"},
        {"by": "X", "seal": "0" * 64},
        {"by": "X", "seal": "0" * 63, "model": "1"},
        {"seal": "0" * 64, "model": "1"},
        {"by": "X", "seal": "G" * 64, "model": "1"},
        {"model": "1"},
        {"by": "X\ny", "seal": "0" * 64, "model": "1"},
    ],
)
def test_a_name_without_what_it_was_entered_for_is_refused(wrong: dict[str, str]) -> None:
    with pytest.raises(InputError):
        Signed(**wrong)
    document = json.loads(plan_to_json(heave.demo_plan()))
    document["plan"]["record"]["checked"] |= wrong
    with pytest.raises(FileError, match=r"plan\.record\.checked"):
        heave.read_plan(json.dumps(document).encode())


def test_wrong_roles_names_and_records_are_refused() -> None:
    plan = heave.demo_plan()
    with pytest.raises(InputError, match=r"role: 'signed'.*checked, approved"):
        signed(plan, "signed", "X")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="at most 80 characters"):
        signed(plan, "checked", "X" * 81)
    with pytest.raises(InputError, match=r"record: .*a Record"):
        plan.changed(record=None)
    with pytest.raises(InputError, match=r"checked: None.*a Signed"):
        Record(checked=None)  # type: ignore[arg-type]
    with pytest.raises(InputError, match="seal"):
        Hour("an hour", "")
    with pytest.raises(InputError, match="lines of printable text of at most 2000 characters"):
        Record(note="a\tb")
    with pytest.raises(InputError, match="printable text of at most 200 characters"):
        Record(well="a\nb")


def test_a_file_without_a_title_block_has_an_empty_one() -> None:
    document = json.loads(plan_to_json(heave.demo_plan()))
    del document["plan"]["record"]
    document["version"] = 5
    assert heave.read_plan(json.dumps(document).encode()) == heave.demo_plan()


def test_the_title_block_moves_no_result() -> None:
    named, bare = (heave.assess(plan) for plan in (stood_by(), heave.demo_plan()))
    assert repr(named.checks) == repr(bare.checks)
    assert named.cautions == bare.cautions
