"""What of the lesson was done is kept with the plan, and is no part of what is judged, signed, compared or sent."""

from __future__ import annotations

import json
from typing import Any

import pytest

import heave
from heave.errors import FileError, InputError
from heave.files.calculation_json import calculation_to_json
from heave.files.comparison import comparison_text
from heave.files.link import plan_to_link, read_link
from heave.files.listing import inputs_of
from heave.files.plan import plan_to_json, read_plan_file
from heave.files.seals import outdated, seal, signed
from heave.judging import assess
from heave.planning import NOTHING_DONE, Answered, Plan, Progress
from heave.screens import memory
from heave.studies.compare import differences, sides

DONE = Progress(("calm", "lift-off"), (Answered("set pressure", "0123456789abcdef"),))


def studied() -> Plan:
    return heave.demo_plan().changed(progress=DONE)


def test_it_reads_back_as_it_was_written() -> None:
    found = read_plan_file(plan_to_json(studied()).encode())
    assert found.plan.progress == DONE
    assert found.defaulted == ()
    document = json.loads(plan_to_json(studied()))
    assert document["version"] == 8
    assert document["plan"]["progress"] == {
        "scenes": ["calm", "lift-off"],
        "answers": [{"key": "set pressure", "numbers": "0123456789abcdef"}],
    }


def test_an_older_file_has_nothing_done_and_that_is_said() -> None:
    document = json.loads(plan_to_json(studied())) | {"version": 6}
    del document["plan"]["progress"]
    found = read_plan_file(json.dumps(document).encode())
    assert found.plan.progress == NOTHING_DONE
    assert [(one.path, one.words()) for one in found.defaulted] == [
        ("plan.progress.scenes", "not given"),
        ("plan.progress.answers", "not given"),
    ]


@pytest.mark.parametrize(
    ("progress", "message"),
    [
        ({"scenes": "calm", "answers": []}, "a list"),
        ({"scenes": ["calm", "calm"], "answers": []}, "each once"),
        ({"scenes": ["x" * 61], "answers": []}, "60"),
        ({"scenes": [f"{n}" for n in range(101)], "answers": []}, "at most 100"),
        ({"scenes": [], "answers": [{"key": "a", "numbers": "12"}]}, "16 digits"),
        ({"scenes": [], "answers": [{"key": "a", "numbers": "0123456789ABCDEF"}]}, "16 digits"),
        ({"scenes": [], "answers": [{"key": "a"}]}, "numbers"),
        ({"scenes": [], "answers": [], "grade": 1}, "only the keys"),
    ],
)
def test_what_is_not_as_it_should_be_is_refused(progress: Any, message: str) -> None:
    document = json.loads(plan_to_json(heave.demo_plan()))
    document["plan"]["progress"] = progress
    with pytest.raises(FileError, match=message):
        read_plan_file(json.dumps(document).encode())


def test_what_is_done_twice_is_done_once_and_the_last_numbers_count() -> None:
    again = DONE.with_scene("calm").with_scene("locked").with_answer("set pressure", "f" * 16)
    assert again.scenes == ("calm", "lift-off", "locked")
    assert again.answers == (Answered("set pressure", "f" * 16),)
    assert again.numbers_of("set pressure") == "f" * 16
    assert again.numbers_of("weight in mud") == ""
    assert again.with_answer("set pressure", "f" * 16) is again
    with pytest.raises(InputError, match="progress"):
        heave.demo_plan().changed(progress=None)


def test_two_lists_join_and_the_first_says_for_which_numbers() -> None:
    other = Progress(("locked", "calm"), (Answered("set pressure", "f" * 16), Answered("lift-off", "e" * 16)))
    both = DONE.joined(other)
    assert both.scenes == ("calm", "lift-off", "locked")
    assert both.answers == (*DONE.answers, Answered("lift-off", "e" * 16))
    assert DONE.joined(DONE) == DONE


def test_nothing_of_it_is_judged_signed_or_compared() -> None:
    plain, done = heave.demo_plan(), studied()
    assert plain == done
    assert hash(plain) == hash(done)
    assert differences([plain, done]) == ()
    pair = [
        comparison_text(sides([("a", plain), ("b", plain)])),
        comparison_text(sides([("a", plain), ("b", done)])),
    ]
    assert pair[0] == pair[1]
    assert [side.verdict for side in sides([("a", plain), ("b", done)])] == [assess(plain).verdict] * 2
    assert inputs_of(plain) == inputs_of(done)
    for role in ("checked", "approved"):
        assert seal(plain, role) == seal(done, role)
        by_hand = signed(plain, role, "A. Name")
        assert outdated(by_hand.changed(progress=DONE), role) == ""
        assert signed(done, role, "A. Name").progress == DONE


def test_what_is_sent_to_others_says_nothing_of_it() -> None:
    assert plan_to_link(studied()) == plan_to_link(heave.demo_plan())
    assert read_link(plan_to_link(studied())).plan.progress == NOTHING_DONE
    assert calculation_to_json(assess(studied())) == calculation_to_json(assess(heave.demo_plan()))


def test_the_browser_keeps_it() -> None:
    """Equal plans are one to what is kept of them, so a scene just seen must not be taken for the plan before it."""
    texts = [memory.packed(plan, None) for plan in (heave.demo_plan(), studied())]
    found = [memory.unpacked(text).plan.progress for text in texts]
    assert found == [NOTHING_DONE, DONE]
