"""Simulated figures on the check page: after the answer, kept for the plan, and an honest headline."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from heave.files.rigs import demo_plan
from heave.judging import Check, assess
from heave.planning import Plan
from heave.planning.ranges import CLOSED
from heave.screens.check import proofs, verdict
from heave.screens.check.working import working_text
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.figures.utilisation import utilisation_figure, utilisation_words
from heave.simulation.proof import Proof, Simulated
from heave.units import show

Box = Callable[[str], Any]
Words = Callable[[], str]
Unfold = Callable[..., None]


def figure_of(check: Check, ratio: float) -> Simulated:
    """A simulated figure that is so many times the quick one, give or take 3 %."""
    demand = ratio * check.demand
    ends = 0.97 * demand, 1.03 * demand
    return Simulated(check.key, check.name, check.kind, demand, *ends, check.capacity, check.utilisation)


def proof_of(plan: Plan, **ratios: float) -> Proof:
    checks = {check.key: check for check in assess(plan).checks}
    return Proof(plan, tuple(figure_of(checks[key], ratio) for key, ratio in ratios.items()), hours=12.0)


@pytest.fixture(autouse=True)
def runs(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Plan]]:
    """Which plans were simulated; what simulation finds is made up, but for the real run below."""
    asked: list[Plan] = []

    def made_up(plan: Plan, progress: Callable[[float], None]) -> Proof:
        asked.append(plan)
        progress(0.5)
        return proof_of(plan, stroke_rising=0.95, lift_off=0.8)

    proofs.forget()
    monkeypatch.setattr(proofs, "simulated", made_up)
    yield asked
    proofs.forget()


def test_a_plan_near_its_limit_is_simulated_once(app: AppTest, words: Words, runs: list[Plan]) -> None:
    assert runs == [demo_plan()]
    assert (
        "Simulation finds less than the quick method: stroke, vessel rising **0.85 (0.83 to 0.88)**"
        in words()
    )
    assert "12 h of this sea" in words()
    app.run()
    assert "0.85 (0.83 to 0.88)" in words()
    assert runs == [demo_plan()]


def test_within_limits_is_simulated_when_asked(app: AppTest, words: Words, runs: list[Plan]) -> None:
    sea = demo_plan().sea
    calmer = replace(sea, systems=tuple(replace(wave, hs=0.4 * wave.hs) for wave in sea.systems))
    within = demo_plan().changed(sea=calmer, ranges=CLOSED)
    assert assess(within).verdict == "within limits"
    app.session_state["heave:plan"] = within
    app.run()
    assert within not in runs
    assert "Simulat" not in words()
    app.button(key="heave:simulate").click().run()
    assert not app.exception
    assert runs[-1] == within
    assert "Simulation finds less" in words()
    assert not [button for button in app.button if button.key == "heave:simulate"]


def test_a_locked_unit_is_not_simulated(app: AppTest, words: Words, runs: list[Plan]) -> None:
    runs.clear()
    app.selectbox(key="heave:pick:operation").set_value("tripping").run()
    assert runs == []
    assert "Not simulated, because the compensator is locked" in words()


def test_open_working_is_told_what_was_simulated(app: AppTest, words: Words, unfold: Unfold) -> None:
    proofs.forget()
    unfold("working:lift_off")
    found = proof_of(demo_plan(), lift_off=0.8).of("lift_off")
    assert found is not None
    demand, low, high, capacity = (
        show(value, "force", "metric") for value in (found.demand, found.low, found.high, found.capacity)
    )
    shares = (
        f"{found.utilisation:.2f} ({found.low / found.capacity:.2f} to {found.high / found.capacity:.2f})"
    )
    assert f"Simulated: {demand} ({low} to {high}) of {capacity}, {shares}" in words()


def test_the_headline_says_what_only_simulation_has_over(
    app: AppTest, box: Box, words: Words, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(proofs, "simulated", lambda plan, progress: proof_of(plan, stroke_rising=1.2))
    box("Heading (°)").set_value("221").run()
    assert "[Near a limit, but over in simulation]" in words()
    assert "Simulation finds over its limit what the quick method does not" in words()


def test_the_verdict_words_do_not_change(app: AppTest) -> None:
    result = assess(demo_plan())
    assert verdict.answer_words(result, None) == "Near a limit"
    assert verdict.answer_words(result, proof_of(demo_plan(), stroke_rising=0.9)) == "Near a limit"
    over = assess(demo_plan().changed(wob=300e3, heading=130.0))
    assert over.verdict == "over a limit"
    assert verdict.answer_words(over, proof_of(over.plan, tension=3.0)) == "Over a limit"


@pytest.mark.parametrize(
    ("ratio", "words"),
    [(1.0, "Simulation agrees: "), (0.8, "Simulation finds less"), (1.1, "Simulation finds more")],
)
def test_the_sentence_follows_the_figures(ratio: float, words: str) -> None:
    result = assess(demo_plan())
    assert verdict.simulation(result, proof_of(demo_plan(), stroke_rising=ratio)).startswith(words)


def test_other_checks_that_come_near_are_named_and_a_fail_stays() -> None:
    plan = demo_plan()
    found = verdict.simulation(assess(plan), proof_of(plan, stroke_rising=1.0, compensated_load=1.15))
    assert "More than the quick method: compensated load **0.91" in found
    over = assess(plan.changed(heading=130.0))
    governing = over.governing
    assert over.verdict == "over a limit"
    assert governing is not None
    less = verdict.simulation(over, proof_of(over.plan, **{governing.key: 0.9 / governing.utilisation}))
    assert less.endswith("The verdict stays with the quick method.")
    assert verdict.simulation(over, None) == ""


def test_a_governing_check_that_cannot_be_simulated_is_named_before_the_others() -> None:
    result = assess(demo_plan())
    governing = result.governing
    assert governing is not None
    said = verdict.simulation(result, proof_of(demo_plan(), tension=1.0))
    assert governing.key == "stroke_rising"
    named = "Not simulated: stroke, vessel rising, which governs. Simulation agrees: string tension **0"
    assert said.startswith(named)
    assert "Not simulated" not in verdict.simulation(result, proof_of(demo_plan(), **{governing.key: 1.0}))


def test_diamonds_stand_under_their_bars() -> None:
    result = assess(demo_plan())
    told = {one.key: one for one in proof_of(demo_plan(), stroke_rising=0.95, lift_off=0.8).figures}
    bare = utilisation_figure(result.by_utilisation, 0.85, LIGHT)
    for look in (LIGHT, DARK):
        drawn = utilisation_figure(result.by_utilisation, 0.85, look, simulated=told)
        # one each, and one that says what it is
        assert drawn.count('d="M 0 -5 L 5 0') == 3
        assert f'fill="{look.ground}" stroke="{look.text}"' in drawn
        assert "0.85 (0.83 to 0.88)" in drawn
    assert 'd="M 0 -5 L 5 0' not in bare
    words = utilisation_words(result.by_utilisation, told)
    assert "simulated 0.85 (0.83 to 0.88)" in words
    assert words.count("simulated") == 2


def test_a_diamond_lies_at_its_figure_on_the_scale_of_the_bars() -> None:
    result = assess(demo_plan())
    check = result.check("stroke_rising")
    same = {check.key: figure_of(check, 1.0)}
    drawn = utilisation_figure([check], 0.85, LIGHT, simulated=same)
    inner = drawn.split("<svg x=")[-1].split('"')[1]
    bar = next(part for part in drawn.split("<rect ") if LIGHT.fill(check.state) in part)
    assert inner == bar.split('width="')[1].split('"')[0]


def test_working_without_and_with_a_figure() -> None:
    check = assess(demo_plan()).check("stroke_rising")
    assert "Simulated" not in working_text(check, "metric")
    told = working_text(check, "oilfield", replace(figure_of(check, 1.0), capacity=2 * check.capacity))
    assert "Simulated: " in told
    assert "ft" in told.rsplit("Simulated: ", 1)[1]
