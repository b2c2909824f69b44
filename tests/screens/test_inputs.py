"""Inputs: no misread comma, a bad value keeps the old one, and a number only shown is never rewritten."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from streamlit.testing.v1 import AppTest

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.planning import Plan
from heave.screens import state
from heave.screens.check.verdict import governs
from heave.screens.inputs import LONGEST_PICK, in_units, inside, picks, plain, sentence, shown_number
from heave.units import KINDS, stored_value

Box = Callable[[str], Any]


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def test_a_decimal_comma_is_a_decimal_comma(app: AppTest, box: Box) -> None:
    box("Hs 1 (m)").set_value("2,5").run()
    assert plan_of(app).sea.systems[0].hs == 2.5
    assert box("Hs 1 (m)").value == "2.5"


@pytest.mark.parametrize("typed", ["1,290", "2,5,5", "abc", "", "nan", "inf", "0", "-1", "99", "3.2 m"])
def test_a_bad_value_keeps_the_old_one_and_says_why(app: AppTest, box: Box, typed: str) -> None:
    before = plan_of(app)
    box("Hs 1 (m)").set_value(typed).run()
    assert not app.exception
    assert plan_of(app) == before
    assert box("Hs 1 (m)").value == typed
    said = [item.value for item in app.markdown if "Not taken" in item.value]
    assert len(said) == 1
    told = said[0].replace("\\", "")
    assert "Significant wave height" in told
    assert "Still used: 2.8\u00a0m" in told
    box("Hs 1 (m)").set_value("3").run()
    assert plan_of(app).sea.systems[0].hs == 3.0
    assert not [item for item in app.markdown if "Not taken" in item.value]


def test_the_error_speaks_the_units_on_the_screen(app: AppTest, box: Box) -> None:
    app.segmented_control(key="heave:pick:units").set_value("oilfield").run()
    box("WOB (klbf)").set_value("5000").run()
    told = next(item.value for item in app.markdown if "Not taken" in item.value).replace("\\", "")
    assert "5000\u00a0klbf" in told
    assert "to 450\u00a0klbf" in told


def test_a_cross_check_is_told_in_screen_units(app: AppTest, box: Box) -> None:
    before = plan_of(app)
    box("WOB (kN)").set_value("1500").run()
    told = next(item.value for item in app.markdown if "Not taken" in item.value).replace("\\", "")
    assert "kN" in told
    assert " N " not in told
    assert plan_of(app) == before


def test_an_empty_box_is_none_where_that_is_allowed(app: AppTest, box: Box) -> None:
    box("Hookload (kN)").set_value("1 250").run()
    assert plan_of(app).hookload_entered == pytest.approx(1.25e6)
    box("Hookload (kN)").set_value("").run()
    assert plan_of(app).hookload_entered is None


def test_units_change_labels_and_not_the_plan(app: AppTest, box: Box) -> None:
    before = plan_of(app)
    app.segmented_control(key="heave:pick:units").set_value("oilfield").run()
    assert box("Hs 1 (ft)").value == "9.186"
    for label in ("Hs 1 (ft)", "WOB (klbf)", "Start position from mid-stroke (ft)"):
        found = [item for item in app.text_input if item.label == label]
        if found:
            found[0].set_value(found[0].value).run()
    app.segmented_control(key="heave:pick:units").set_value("metric").run()
    assert plan_of(app) == before
    assert box("Hs 1 (m)").value == "2.8"


def test_typing_what_is_shown_rewrites_nothing(app: AppTest, box: Box) -> None:
    app.segmented_control(key="heave:pick:units").set_value("oilfield").run()
    box("Hs 1 (ft)").set_value("10").run()
    stored = plan_of(app).sea.systems[0].hs
    box("Hs 1 (ft)").set_value(" 10 ").run()
    assert plan_of(app).sea.systems[0].hs == stored
    assert stored == pytest.approx(3.048)


@given(st.floats(1e-3, 1e7), st.sampled_from(sorted(KINDS)), st.sampled_from(["metric", "oilfield"]))
def test_shown_numbers_are_plain_and_near(value: float, kind: str, system: str) -> None:
    from heave.units import display_value

    text = shown_number(value, kind, system)
    shown = display_value(value, kind, system)
    assert "," not in text
    if abs(shown) >= 1e-6:
        assert "e" not in text
        assert math.isclose(float(text), shown, rel_tol=5e-4)  # four figures of what has no end


@given(st.integers(1, 999_999), st.integers(0, 3), st.sampled_from(["length", "force", "pressure", "period"]))
def test_what_was_typed_is_shown_to_its_last_figure(whole: int, decimals: int, kind: str) -> None:
    for system in ("metric", "oilfield"):
        typed = whole / 10**decimals
        assert float(shown_number(stored_value(typed, kind, system), kind, system)) == typed


def test_metres_in_feet_are_no_tail_of_figures() -> None:
    assert shown_number(2.8, "length", "oilfield") == "9.186"
    assert shown_number(3000.0, "length", "oilfield") == "9843"
    assert shown_number(1396.35e3, "force", "oilfield") == "313.9"
    assert shown_number(1396.35e3, "force", "metric") == "1396.35"


def test_none_is_shown_empty() -> None:
    assert shown_number(None, "force", "metric") == ""


def test_text_of_unknown_origin_is_escaped() -> None:
    hostile = "![x](http://198.51.100.1/p) <b> $a$ :red[x] `c` **d** https://e.example @f"
    escaped = plain(hostile)
    for mark in ("![", "](", "<b", "$a", ":red", "`c", "**", "://", " @"):
        assert mark not in escaped.replace("\\" + mark[0], "\0")


def test_words_in_sentences() -> None:
    assert inside("WOB band") == "WOB band"
    assert inside("Stroke, vessel rising") == "stroke, vessel rising"
    assert sentence("wind sea") == "Wind sea"


def test_errors_are_put_in_screen_units() -> None:
    error = InputError("Weight on bit", 2e6, "N", "less than the hookload, 1.364e+06 N")
    told = in_units(error, "metric")
    assert "kN cannot be used" in told
    assert "1\u202f364\u00a0kN" in told


def test_changed_replaces_deep_down_and_nothing_else() -> None:
    before = demo_plan()
    after = state.changed(before, ("sea", "systems", 1, "hs"), 2.0)
    assert after.sea.systems[1].hs == 2.0
    assert after.sea.systems[0] == before.sea.systems[0]
    assert after.vessel is before.vessel
    assert before.sea.systems[1].hs == 1.4


def test_a_hookload_of_another_string_is_confirmed_by_a_button(app: AppTest, box: Box) -> None:
    labels = [item.label for item in app.button]
    assert "Confirm the hookload" not in labels
    own = plan_of(app).string.hookload
    box("Hookload (kN)").set_value(f"{1.5 * own / 1e3:.0f}").run()
    assert "1.5 times that of the string" in state.assessed(plan_of(app)).cautions[0]
    headline = governs(state.assessed(plan_of(app)), "metric").replace("\\", "")
    assert headline.startswith("The hookload entered is 1.5 times")
    next(item for item in app.button if item.label == "Confirm the hookload").click().run()
    assert plan_of(app).hookload_confirmed == plan_of(app).hookload_entered
    assert "Confirm the hookload" not in [item.label for item in app.button]


@pytest.mark.parametrize(
    ("words", "kept_apart"),
    [
        ("see http://e.test", "see http:|//e.test"),
        ("HTTPS://E.TEST", "HTTPS:|//E.TEST"),
        ("www.e.test", "www|.e.test"),
        ("a@e.test", "a|@e.test"),
        ("a -- b", "a -|- b"),
        ("-> a", "-|> a"),
        ("a <= b", "a <|= b"),
        (":streamlit:", ":|streamlit:"),
        ("    code", "|    code"),
        ("a - b, 2 < 3, x@ y, wwww", "a - b, 2 < 3, x|@ y, wwww"),
    ],
)
def test_what_a_page_would_rewrite_is_kept_apart(words: str, kept_apart: str) -> None:
    safe = plain(words)
    assert re.sub(r"\\(.)", r"\1", safe) == kept_apart.replace("|", "\u2060")


@pytest.mark.parametrize(
    ("allowed", "told"),
    [
        ("from 4 to 8\u00a0m", "from 13.12 to 26.25\u00a0ft"),
        ("from 4 to 8 m", "from 13.12 to 26.25\u00a0ft"),
        ("above 2 below 8\u00a0m or empty", "above 6.562 below 26.25\u00a0ft or empty"),
        ("to 15\u202f000\u00a0m", "to 49\u202f210\u00a0ft"),
        ("within \u22122 to 2\u00a0m, of 3 waves", "within \u22126.562 to 6.562\u00a0ft, of 3 waves"),
        ("at most 3\u00a0m/s", "at most 3\u00a0m/s"),
    ],
)
def test_both_ends_of_what_is_allowed_are_put_in_screen_units(allowed: str, told: str) -> None:
    """Of a range only the end beside the unit was converted, and of thousands their last digits."""
    assert in_units(InputError("Stroke", 3.0, "m", allowed), "oilfield").endswith(f"allowed: {told}")


def test_a_pick_of_long_names_shows_both_ends_and_never_two_alike() -> None:
    name = "run the second string of casing through the old window of the well"
    shown = picks({0: f"1: {name}", 1: "2: trip"})
    assert shown[1] == "2: trip"
    assert len(shown[0]) == LONGEST_PICK
    assert (shown[0][:6], shown[0][-4:]) == ("1: run", "well")
    alike = {one: f"{name[:30]} {one} {name[30:]}" for one in "ab"}
    assert picks(alike) == alike
