"""A plan in a link comes back the same; whatever happened to the link on its way is refused in words."""

from __future__ import annotations

import base64
import dataclasses
import json
import random
import time
import zlib
from typing import Any

import pytest

import heave
from heave.errors import FileError, InputError
from heave.files.link import MAX_LINK, MAX_LINK_BYTES, plan_to_link, read_link
from heave.files.plan import PlanFile, plan_to_json
from heave.files.rigs import demo_compensators, demo_vessels
from heave.planning import OPERATIONS, Plan
from heave.planning.rig import closed_form_vessels
from heave.vessel import ResponseTable

pytestmark = pytest.mark.portable

PLAN = heave.demo_plan()


def link_of(document: Any) -> str:
    """A link of any JSON value, as the planner packs its own."""
    return in_letters(zlib.compress(json.dumps(document).encode(), 9))


def in_letters(data: bytes) -> str:
    return base64.urlsafe_b64encode(data).decode().rstrip("=")


def unpacked(text: str) -> Any:
    return json.loads(zlib.decompress(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))))


def small_table() -> ResponseTable:
    """A table of one's own, small enough for a link: every eighth frequency, every fourth heading."""
    table = PLAN.vessel.response
    assert isinstance(table, ResponseTable)
    parts = {name: getattr(table, name)[::4, ::8] for name in ("heave", "roll", "pitch")}
    return dataclasses.replace(table, omega=table.omega[::8], heading=table.heading[::4], **parts)


@pytest.mark.parametrize(
    "plan",
    [
        PLAN.changed(name="Brønn 7 — vest «prøve» 深水", heading=17.5),
        PLAN.changed(vessel=demo_vessels()["Demo semisubmersible"]),
        PLAN.changed(vessel=dataclasses.replace(PLAN.vessel, name="Own", response=small_table())),
        *(PLAN.changed(vessel=vessel) for vessel in closed_form_vessels().values()),
        *(PLAN.changed(compensator=unit) for unit in demo_compensators().values()),
        *(PLAN.doing(kind) for kind in OPERATIONS),
    ],
    ids=lambda plan: plan.operation.kind,
)
def test_a_plan_comes_back_from_its_link(plan: Plan) -> None:
    text = plan_to_link(plan)
    assert len(text) <= MAX_LINK
    found = read_link(text)
    assert found.plan == plan
    assert plan_to_json(found.plan) == plan_to_json(plan)
    assert (found.another_model, found.defaulted, found.forecast) == ("", (), None)


def test_a_table_of_the_library_is_named_and_not_packed() -> None:
    text = plan_to_link(PLAN)
    assert len(text) < 4500
    response = unpacked(text)["plan"]["vessel"]["response"]
    assert set(response) == {"library", "sha256"}
    for changed in ({"library": "Another ship"}, {"sha256": "0" * 64}, {"library": 7}, {"more": 1}):
        document = unpacked(text)
        document["plan"]["vessel"]["response"] = response | changed
        with pytest.raises(FileError, match=r"response of the library.*ask for the plan file"):
            read_link(link_of(document))


def test_a_plan_too_large_for_a_link_is_refused_with_what_to_do() -> None:
    table = dataclasses.replace(PLAN.vessel.response, source="own")  # type: ignore[type-var]
    plan = PLAN.changed(vessel=dataclasses.replace(PLAN.vessel, response=table))
    with pytest.raises(InputError, match=r"length of the link.*characters.*save the plan as a file"):
        plan_to_link(plan)


def refused(text: str, whole: PlanFile) -> bool:
    """Whether a spoilt link is refused; if not it must be the same plan.

    A few bits stand for nothing, or point to another copy of the same letters (RFC 1951).
    """
    try:
        assert read_link(text) == whole
    except FileError:
        return True
    return False


def test_a_bit_turned_over_is_refused_and_never_gives_another_plan() -> None:
    text = plan_to_link(PLAN)
    whole, chance, count = read_link(text), random.Random(7), 0
    data = bytearray(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)))
    for _ in range(300):
        place, bit = chance.randrange(len(data)), 1 << chance.randrange(8)
        data[place] ^= bit
        count += refused(in_letters(bytes(data)), whole)
        data[place] ^= bit
    assert count > 290


def test_any_letter_changed_or_lost_is_refused() -> None:
    text = plan_to_link(PLAN)
    whole, count, tried = read_link(text), 0, 0
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
    chance = random.Random(11)
    for place in (*chance.sample(range(len(text)), 200), len(text) - 1):
        for letter in {*chance.sample(letters, 3)} - {text[place]}:
            count += refused(text[:place] + letter + text[place + 1 :], whole)
            tried += 1
        with pytest.raises(FileError):
            read_link(text[:place] + text[place + 1 :])
    assert count > 0.95 * tried
    for length in (0, 1, 10, 1000, len(text) - 1):
        with pytest.raises(FileError):
            read_link(text[:length])
    for other in (text + "A", text + "=", text + "==", " " + text, text + "\n", text.replace(text[5], "/")):
        with pytest.raises(FileError, match="link"):
            read_link(other)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("A" * (MAX_LINK + 1), "at most 7000 characters"),
        ("javascript:alert(1)", "a whole link"),
        ("<script>", "a whole link"),
        (in_letters(b"no zlib"), "a whole link"),
        (in_letters(zlib.compress(b"{}") + b"more"), "a whole link"),
        (in_letters(zlib.compress(bytes(MAX_LINK_BYTES + 1), 9)), "at most 0.5\u00a0MB"),
        (in_letters(zlib.compress(b"\xff\xfe\x00")), "UTF"),
        (link_of([]), "an object"),
        (link_of({"format": "heave-plan", "version": 99, "plan": {}}), "version.*99"),
        (link_of({"format": "other", "version": 6, "plan": {}}), "format"),
        (link_of({"format": "heave-plan", "version": 6, "plan": []}), "plan.*object"),
        (link_of({"format": "heave-plan", "version": 6}), "plan"),
    ],
)
def test_what_is_no_link_is_refused(text: str, message: str) -> None:
    with pytest.raises(FileError, match=f"(?s){message}"):
        read_link(text)


def test_a_bomb_is_refused_before_it_is_unpacked() -> None:
    """Of the five million bytes that a link can be made to hold at most the half million allowed are made."""
    bomb = in_letters(zlib.compress(b" " * 5_000_000, 9))
    assert len(bomb) <= MAX_LINK
    start = time.thread_time()
    with pytest.raises(FileError, match=r"at most 0.5\u00a0MB"):
        read_link(bomb)
    assert time.thread_time() - start < 1.0


def test_values_are_held_to_the_bounds_of_a_file() -> None:
    document = unpacked(plan_to_link(PLAN))
    document["plan"]["wob_n"] = -1.0
    with pytest.raises(FileError, match=r"Weight on bit.*-1"):
        read_link(link_of(document))


def test_a_link_of_another_model_and_with_absent_fields_says_so() -> None:
    document = unpacked(plan_to_link(PLAN))
    document["model"] = "2025.1"
    del document["plan"]["overpull_n"]
    found = read_link(link_of(document))
    assert "2025.1" in found.another_model
    assert [(one.path, one.value) for one in found.defaulted] == [("plan.overpull_n", 0.0)]
    assert found.plan == PLAN.changed(overpull=0.0)
