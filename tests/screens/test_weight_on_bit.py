"""The weight-on-bit page: what is asked is run, what is run is shown, exercises are graded, records reconciled."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from page_words import words_of as words
from streamlit.testing.v1 import AppTest

from heave.drill_string import HoleInterval, Well
from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_compensators, demo_plan
from heave.judging import assess
from heave.planning import Plan
from heave.screens.film.payload import film_of
from heave.screens.weight_on_bit import runs, watch
from heave.screens.weight_on_bit.record import LABEL
from heave.simulation.comparisons import COMPARISONS, variants, without_drilling
from heave.simulation.scenario import Happening, Scenario
from heave.teaching.exercises import exercises_for
from heave.units import show

APP = Path(__file__).resolve().parents[2] / "app.py"
PAGE = "heave/screens/weight_on_bit/page.py"
Words = Callable[[], str]


@pytest.fixture(autouse=True, scope="module")
def _nothing_kept() -> Iterator[None]:
    """Runs are shared between these tests as between sessions, and not with other files."""
    runs.forget()
    yield
    runs.forget()


@pytest.fixture
def page() -> AppTest:
    """The page as it opens on the demo plan, on a run of half a minute."""
    app = AppTest.from_file(str(APP), default_timeout=300)
    app.session_state["heave:wob:minutes:metric"] = "0.5"
    app.run()
    app.switch_page(PAGE).run()
    assert not app.exception
    return app


def by_label(items: Any, label: str) -> Any:
    found = [item for item in items if item.label == label]
    assert len(found) == 1, f"{len(found)} are called {label}"
    return found[0]


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def use(app: AppTest, plan: Plan) -> None:
    app.session_state["heave:plan"] = plan
    app.run()
    assert not app.exception


def open_tab(app: AppTest, name: str) -> None:
    app.session_state["heave:tab:wob"] = name
    app.run()
    assert not app.exception


def runs_kept(app: AppTest) -> Happening:
    """What happens in the run that was asked for last."""
    key = next(reversed(runs.KEPT._entries)).made_from
    happening: Happening = key[2].happenings[0]
    return happening


def height_run(app: AppTest) -> float:
    """Of the regular wave that was asked for last [m]."""
    made = next(reversed(runs.KEPT._entries)).made_from
    return float(made[2].height)


def record(factor: float = 1.0, minutes: float = 20.0) -> bytes:
    """A record of one sine with `factor` times the demo plan's standard deviation."""
    sigma = assess(demo_plan()).responses.heave.sigma
    time = np.arange(0, 60 * minutes + 0.25, 0.5)
    heave = factor * sigma * math.sqrt(2) * np.sin(2 * math.pi * time / 10)
    return (
        "time_s,heave_m\n" + "\n".join(f"{t:.1f},{z:.5f}" for t, z in zip(time, heave, strict=True))
    ).encode()


def bring(app: AppTest, data: bytes) -> None:
    by_label(app.file_uploader, LABEL).set_value([("record.csv", data, "text/csv")]).run()
    assert not app.exception


def test_the_page_opens_on_the_plan_alone(page: AppTest) -> None:
    text = words(page)
    assert "Simulated: Irregular sea of the plan, seed 1 · 0.5 min" in text
    assert f"WOB {show(demo_plan().wob, 'force', 'metric')}" in text
    for row in ("Weight on bit, lowest to highest", "Lift-offs", "Time outside the nominal band"):
        assert f"| {row} |" in text
    for line in ("z_block = z + d", "WOB = W_s − F_cell + F_i"):
        assert f"`{line}`" in text


@pytest.mark.parametrize("key", [key for key in COMPARISONS if key != "alone"])
def test_two_set_ups_stand_side_by_side(page: AppTest, key: str) -> None:
    by_label(page.selectbox, "Show").set_value(key).run()
    assert not page.exception
    text = words(page)
    for letter, variant in zip("AB", variants(demo_plan(), key), strict=True):
        assert f"{letter}: {variant.label}" in text
    assert text.count("WOB = W_s − F_cell + F_i") == 2


def test_what_cannot_be_compared_says_why(page: AppTest) -> None:
    use(page, demo_plan().changed(compensator=demo_compensators()["Demo compensating drawworks"]))
    by_label(page.selectbox, "Show").set_value("bottles").run()
    assert not page.exception
    assert "has no bottles to shut" in words(page)
    assert words(page).count("WOB = W_s − F_cell + F_i") == 1


def test_a_string_longer_than_the_hole_is_refused_and_the_plan_shown_alone(page: AppTest) -> None:
    use(page, demo_plan().changed(well=Well((HoleInterval(3500.0),))))
    by_label(page.selectbox, "Show").set_value("depth").run()
    assert not page.exception
    assert "This cannot be set side by side." in words(page)
    assert words(page).count("WOB = W_s − F_cell + F_i") == 1


def test_a_regular_wave_and_another_seed_are_run(page: AppTest) -> None:
    before = words(page)
    by_label(page.text_input, "Seed of the sea").set_value("7").run()
    assert "seed 7" in words(page)
    assert words(page) != before
    by_label(page.selectbox, "Heave from").set_value("wave").run()
    by_label(page.text_input, "Wave height, crest to trough (m)").set_value("2,5").run()
    assert "Regular wave of 2.50\u00a0m crest to trough, 10.0\u00a0s" in words(page)


def test_a_number_goes_along_when_the_units_are_changed(page: AppTest) -> None:
    """What is in the box is what is run, to the last figure, in either units and back."""

    def crest(unit: str) -> Any:
        return by_label(page.text_input, f"Wave height, crest to trough ({unit})")

    by_label(page.selectbox, "Heave from").set_value("wave").run()
    crest("m").set_value("5").run()
    page.session_state["heave:units"] = "oilfield"
    page.run()
    assert "of 16.4\u00a0ft crest to trough" in words(page)
    assert crest("ft").value == "16.4"
    assert height_run(page) == 5.0
    crest("ft").set_value("20").run()
    assert height_run(page) == pytest.approx(6.096)
    page.session_state["heave:units"] = "metric"
    page.run()
    assert crest("m").value == "6.096"
    assert height_run(page) == pytest.approx(6.096)
    assert not page.exception


@pytest.mark.parametrize(
    ("box", "typed_", "reason"),
    [
        ("Seed of the sea", "1.5", "a whole number from 0"),
        ("Seed of the sea", "-1", "a whole number from 0"),
        ("Time simulated, min", "61", "from 0.5 to 60"),
        ("Time simulated, min", "0", "from 0.5 to 60"),
        ("Time simulated, min", "five", "one number"),
    ],
)
def test_what_cannot_be_run_is_said_and_the_last_good_stays(
    page: AppTest, box: str, typed_: str, reason: str
) -> None:
    before = next(line for line in words(page).splitlines() if line.startswith("Simulated:"))
    by_label(page.text_input, box).set_value(typed_).run()
    assert not page.exception
    text = words(page)
    assert "**Not taken.**" in text
    assert reason in text
    assert before in text


def test_things_happen_when_they_are_told_to(page: AppTest) -> None:
    by_label(page.checkbox, "Shut a bank of gas bottles").check().run()
    by_label(page.text_input, "Shut a bank of gas bottles: after, s").set_value("10").run()
    by_label(page.checkbox, "Lose the active part").check().run()
    assert not page.exception
    assert "gas bank shut at 10 s" in words(page)
    assert "Lose the active part changes nothing for as planned. No active part is at work." in words(page)
    by_label(page.text_input, "Shut a bank of gas bottles: after, s").set_value("50").run()
    assert "**After the end of the run:**" in words(page)


def test_the_numbers_of_what_happens_are_asked_as_their_fields_say(page: AppTest) -> None:
    by_label(page.checkbox, "Driller lowers the block too far").check().run()
    by_label(page.text_input, "Driller lowers the block too far: after, s").set_value("5").run()
    assert not page.exception
    assert "block lowered at 5 s" in words(page)
    by_label(page.text_input, "Block moved (m)").set_value("0,5").run()
    film = runs_kept(page)
    assert (film.kind, film.amount, film.over) == ("block lowered", 0.5, 20.0)
    by_label(page.text_input, "Block moved (m)").set_value("50").run()
    assert "Block moved: 50\u00a0m cannot be used; allowed: from 0.100 to 20.0\u00a0m or empty" in words(page)
    assert runs_kept(page).amount == 0.5
    assert not page.exception


def test_hole_is_made_when_asked_for(page: AppTest) -> None:
    box = next(item for item in page.checkbox if item.label.startswith("Hole is made"))
    assert "12.0\u00a0m/h" in box.label
    still = next(line for line in words(page).splitlines() if line.startswith("| Stroke used"))
    box.check().run()
    assert next(line for line in words(page).splitlines() if line.startswith("| Stroke used")) != still
    use(page, without_drilling(demo_plan()))
    assert not [item for item in page.checkbox if item.label.startswith("Hole is made")]


def test_a_plan_off_bottom_is_shown_drilling_and_kept_as_it_is(page: AppTest) -> None:
    tripping = demo_plan().changed(operation=replace(demo_plan().operation, kind="tripping"))
    use(page, tripping)
    assert "the bit is put on bottom, drilling ahead" in words(page)
    assert plan_of(page) == tripping


def test_choices_outlive_a_visit_to_another_page(page: AppTest) -> None:
    by_label(page.selectbox, "Show").set_value("none").run()
    page.switch_page("heave/screens/check/page.py").run()
    page.switch_page(PAGE).run()
    assert "B: no compensator" in words(page)
    assert "0.5 min" in words(page)


def test_a_film_is_made_once_for_what_it_shows(page: AppTest, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[int] = []

    def counted(sides: Any, scenario: Scenario, *rest: Any, **how: Any) -> Any:
        made.append(scenario.seed)
        return film_of(sides, scenario, *rest, **how)

    monkeypatch.setattr(watch, "film_of", counted)
    page.run()
    assert made == []
    by_label(page.text_input, "Seed of the sea").set_value("3").run()
    page.run()
    assert made == [3]
    by_label(page.selectbox, "Show").set_value("locked").run()
    by_label(page.selectbox, "Show").set_value("alone").run()
    assert made == [3, 3]
    assert not page.exception


def test_equations_follow_the_film_until_it_opens_anew() -> None:
    """A time told by the film that was there before is not taken for one of the new film."""
    told: dict[str, Any] = {}

    def at(opens: float, said: float | None) -> float:
        return watch.rested({"opens": opens, "start": 0.02, "step": 0.02, "count": 3000}, "k", said)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(watch.state, "kept", told.get)
        patch.setattr(watch.state, "keep", told.__setitem__)
        assert at(12.0, None) == 12.0
        assert at(12.0, 31.5) == 31.5
        assert at(44.0, 31.5) == 44.0
        assert at(44.0, 45.0) == 45.0
        assert at(44.0, 400.0) == pytest.approx(60.0)


def test_oilfield_units_reach_everything(page: AppTest) -> None:
    page.session_state["heave:units"] = "oilfield"
    page.session_state["heave:wob:minutes:oilfield"] = "0.5"
    page.run()
    assert not page.exception
    text = words(page)
    assert "klbf" in text
    assert "kN" not in text.replace("kN·", "")


def test_many_seeds_stand_against_the_band(page: AppTest) -> None:
    by_label(page.text_input, "Seeds").set_value("2").run()
    by_label(page.text_input, "Time of each, min").set_value("10").run()
    by_label(page.button, "Run the seeds").click().run()
    assert not page.exception
    assert "Of 2 seeds " in words(page)


def test_every_exercise_can_be_answered_and_the_last_word_is_hook_load(page: AppTest) -> None:
    open_tab(page, "Exercises")
    asked = exercises_for(plan_of(page))
    for place, exercise in enumerate(asked):
        assert f"{place + 1}. {exercise.title}" in words(page)
        unit = show(exercise.answer, exercise.kind, "metric", 6).replace("\u202f", "")
        number = "".join(c for c in unit.replace("\u2212", "-") if c in "-.0123456789")
        label = next(item.label for item in page.text_input if item.label.startswith("Your answer"))
        by_label(page.text_input, label).set_value(number).run()
        assert "Right: " in words(page), exercise.key
        if place < len(asked) - 1:
            by_label(page.button, "Next").click().run()
    assert not page.exception
    assert "All answered correctly" in words(page)
    assert words(page).rstrip().count("hook load is not bit load") >= 1


def test_a_wrong_answer_gets_a_hint_and_no_mark(page: AppTest) -> None:
    open_tab(page, "Exercises")
    exercise = exercises_for(plan_of(page))[0]
    box = next(item for item in page.text_input if item.label.startswith("Your answer"))
    for reply, hint in (
        (str(exercise.answer), "by a factor of 1"),
        (f"{exercise.answer / 1e3 * 1.2}", "too large"),
        ("1", "too small"),
        (f"-{exercise.answer / 1e3}", "without a sign"),
        ("about a lot", "Not read"),
    ):
        box.set_value(reply).run()
        assert hint in words(page), reply
        assert "Right: " not in words(page)
    by_label(page.toggle, "Show the working").set_value(True).run()
    assert exercise.explanation in words(page)


def test_another_plan_asks_anew(page: AppTest) -> None:
    open_tab(page, "Exercises")
    exercise = exercises_for(plan_of(page))[0]
    box = next(item for item in page.text_input if item.label.startswith("Your answer"))
    box.set_value(str(exercise.answer / 1e3)).run()
    assert "Right: " in words(page)
    string = replace(demo_plan().string, mud_density=1800.0)
    use(page, demo_plan().changed(string=string))
    assert "Right: " not in words(page)


def test_a_record_is_reconciled_calibrates_and_is_taken_out_again(page: AppTest) -> None:
    open_tab(page, "Measured heave")
    bring(page, record(1.2, minutes=120.0))
    text = words(page)
    assert "**1.20**" in text
    assert "one standard error" in text  # a bare ± would be read as an end that is not passed
    assert "Zero-crossing period | 10.0\u00a0s" in text
    button = next(item for item in page.button if item.label.startswith("Calibrate"))
    button.click().run()
    assert plan_of(page).heave_calibration == pytest.approx(1.2, abs=0.002)
    assert read_plan(plan_to_json(plan_of(page)).encode()) == plan_of(page)
    for path in ("check", "rig", "method", "weight_on_bit"):
        page.switch_page(f"heave/screens/{path}/page.py").run()
        assert "**Heave × 1.20**" in words(page), path
    page.switch_page("heave/screens/check/page.py").run()
    assert "calibrated from a record" in words(page)
    by_label(page.button, "Remove the calibration").click().run()
    assert plan_of(page) == demo_plan()
    assert "**Heave ×" not in words(page)


def test_a_record_far_off_is_not_offered(page: AppTest) -> None:
    open_tab(page, "Measured heave")
    bring(page, record(2.0))
    assert "that is no calibration" in words(page)
    assert not [item for item in page.button if item.label.startswith("Calibrate")]


def test_a_short_record_runs_but_does_not_calibrate(page: AppTest) -> None:
    by_label(page.selectbox, "Heave from").set_value("record").run()
    assert "Bring a record under Measured heave first" in words(page)
    open_tab(page, "Measured heave")
    bring(page, record(1.0, minutes=2.0))
    assert "it cannot calibrate" in words(page)
    open_tab(page, "Watch")
    assert "Simulated: Measured heave of record.csv" in words(page)


def test_a_broken_record_says_where_and_changes_nothing(page: AppTest) -> None:
    open_tab(page, "Measured heave")
    bring(page, record(1.0))
    bring(page, b"time_s,heave_m\n0,0.1\n1,much\n")
    told = words(page)
    assert "record.csv was not read" in told
    assert "line 3" in told
    assert plan_of(page) == demo_plan()
