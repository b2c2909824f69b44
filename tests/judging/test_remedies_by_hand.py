"""What would help, each rule of what is offered on both sides of where it turns."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from test_small_parts import plan_of

from heave.judging import remedies
from heave.judging.remedies import Remedy, _remedy, _Trial, _trials, _turn, _wait, what_would_help
from heave.planning import Plan

GOVERNING: Any = SimpleNamespace(key="tension", utilisation=1.1)


def waited(used: float, hs: float, reached: bool = True) -> list[Remedy]:
    limit = SimpleNamespace(reached=reached, at_most=hs, governing="String tension")
    check: Any = SimpleNamespace(utilisation=used)
    return list(_wait(SimpleNamespace(plan=None), check, SimpleNamespace(together=limit)))  # type: ignore[arg-type]


def test_waiting_is_for_a_plan_over_its_limit_in_a_sea_that_can_fall_to_one() -> None:
    (found,) = waited(1.0, 2.5)
    assert (found.before, found.after, found.governed_by, found.plan) == (1.0, 1.0, "String tension", None)
    assert found.amount is not None
    assert found.amount.value == 2.5
    assert found.words() == "Wait until the whole sea's Hs is below 2.50\u00a0m"
    assert waited(math.nextafter(1.0, 0), 2.5) == []
    assert waited(1.3, 0.0) == []
    assert waited(1.3, math.inf, reached=False) == []


@pytest.mark.parametrize(
    ("hs", "metric", "feet"), [(3.4551, "3.45", "11.3"), (3.4690, "3.46", "11.3"), (11.99, "11.9", "39.3")]
)
def test_a_sea_to_wait_for_is_never_told_higher_than_its_limit(hs: float, metric: str, feet: str) -> None:
    """Rounded to the nearest 3.4551 m is 3.46 m, a sea in which a plan with that limit is over it."""
    (found,) = waited(1.3, hs)
    assert found.words() == f"Wait until the whole sea's Hs is below {metric}\u00a0m"
    assert found.words("oilfield").endswith(f"below {feet}\u00a0ft")
    assert max(float(metric), 0.3048 * float(feet)) <= hs


def tried(
    monkeypatch: pytest.MonkeyPatch, before: dict[str, float], after: dict[str, float], index: int = 0
) -> Any:
    """The remedy of a change after which the checks are used so much, and the plans that were asked about."""
    plan, asked = plan_of(caution_level=0.8), []

    def used(changed: Plan, batch: object) -> Any:
        asked.append(changed.ranges)
        return SimpleNamespace(
            keys=tuple(after),
            governed_by=[index],
            governing=[max(after.values())],
            by_check={key: [value] for key, value in after.items()},
            verdicts=lambda level: ("near a limit",),
        )

    monkeypatch.setattr(remedies, "utilisations", used)
    rules = [
        SimpleNamespace(
            key=key, name=key, work=lambda _, used=used: SimpleNamespace(utilisation=np.array([used]))
        )
        for key, used in after.items()
    ]
    monkeypatch.setattr(remedies, "rules_for", lambda plan: rules)
    checks = [SimpleNamespace(key=key, utilisation=value) for key, value in before.items()]
    governing = max(checks, key=lambda one: one.utilisation)
    trial = _Trial("Do {}", plan, "costs nothing")
    result: Any = SimpleNamespace(checks=checks)
    return _remedy(trial, result, governing), asked, plan  # type: ignore[arg-type]


def test_a_change_is_offered_from_two_hundredths_on(monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked, plan = tried(monkeypatch, {"a": 0.5, "b": 0.2}, {"a": 0.48, "b": 0.2})
    assert (found.before, found.after, found.governed_by) == (0.5, 0.48, "a")
    assert (found.label, found.verdict, found.side_effect, found.plan) == (
        "Do {}",
        "near a limit",
        "costs nothing",
        plan,
    )
    assert asked == [plan.ranges]
    assert tried(monkeypatch, {"a": 0.5}, {"a": 0.4801})[:2] == (None, [])  # no other check was asked
    assert tried(monkeypatch, {"a": 0.5, "b": 0.4}, {"a": 0.4, "b": 0.4801})[:2] == (None, [plan.ranges])
    assert tried(monkeypatch, {"a": 0.5}, {"a": 0.6})[0] is None
    nothing, _, _ = tried(monkeypatch, {"a": 0.5}, {"a": 0.3}, index=-1)
    assert nothing is None


def test_no_other_check_pays_for_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Another may grow below near, here at 0.8, not to it; one that is past near already may not grow at all."""
    assert tried(monkeypatch, {"a": 1.2, "b": 0.5}, {"a": 1.0, "b": 0.7999})[0] is not None
    assert tried(monkeypatch, {"a": 1.2, "b": 0.5}, {"a": 1.0, "b": 0.8})[0] is None
    assert tried(monkeypatch, {"a": 1.2, "b": 0.9}, {"a": 1.0, "b": 0.9})[0] is not None
    assert tried(monkeypatch, {"a": 1.2, "b": 0.9}, {"a": 1.0, "b": 0.9 * (1 + 2e-6)})[0] is None
    assert tried(monkeypatch, {"a": 1.2, "b": 0.9}, {"a": 1.0, "b": 0.85})[0] is not None
    assert tried(monkeypatch, {"a": 1.2}, {"a": 0.9})[0] is not None


def labels(monkeypatch: pytest.MonkeyPatch, plan: Plan, best: float | None = None) -> dict[str, _Trial]:
    """What is tried on a plan whose start position is best at so many metres, or that has no stroke."""
    monkeypatch.setattr(remedies, "_turn", lambda plan: iter(()))
    budget = None if best is None else SimpleNamespace(best_start=best, start=plan.offsets.start_position)
    result: Any = SimpleNamespace(plan=plan, responses=SimpleNamespace(stroke=budget))
    return {trial.label: trial for trial in _trials(result)}


def test_changes_that_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Shut bottles, the start from 5 cm on, a tenth of the load, the middle of the band from 1 kN on."""
    plan = plan_of()
    operation = plan.operation
    start = plan.offsets.start_position
    shut = "Open the shut gas bottles"
    place, band = "Start at {} from mid-stroke", "Weight on bit at the middle of its band"
    assert labels(monkeypatch, plan)[shut].plan.compensator.gas_volume_shut == 0.0
    opened = plan.changed(compensator=replace(plan.compensator, gas_volume_shut=0.0))
    assert shut not in labels(monkeypatch, opened)
    assert place not in labels(monkeypatch, plan)
    for off, offered in ((0.0501, True), (0.0499, False), (-0.0501, True), (-0.0499, False)):
        assert (place in labels(monkeypatch, plan, start + off)) == offered
    moved = labels(monkeypatch, plan, 0.456)[place]
    assert moved.plan.offsets.start_position == 0.46  # as it is said
    assert moved.amount is not None
    assert moved.amount.value == 0.46
    lighter = labels(monkeypatch, plan)["A tenth less hookload"]
    assert lighter.plan.hookload_entered == pytest.approx(0.9 * plan.still_hookload)
    for low, high, offered in (
        (None, 350e3, False),
        (50e3, None, False),
        (50e3, 250e3, False),
        (50e3, 252e3, True),
        (50e3, 251.9e3, False),
        (48e3, 250e3, True),
    ):
        banded = plan.changed(operation=replace(operation, wob_low=low, wob_high=high))
        found = labels(monkeypatch, banded)
        assert (band in found) == offered, (low, high)
        if offered:
            assert found[band].plan.wob == pytest.approx((low + high) / 2)  # type: ignore[operator]
    active = plan_of(unit="active")
    join = "Bring the active part in"
    assert join not in labels(monkeypatch, plan)
    assert join not in labels(monkeypatch, active)
    assert labels(monkeypatch, active.changed(active=False))[join].plan.active


@pytest.mark.parametrize(
    ("heading", "best", "words", "turn"),
    [
        (0.0, 90.0, "90° to starboard", 90.0),
        (90.0, 0.0, "90° to port", 0.0),
        (350.0, 20.0, "30° to starboard", 20.0),
        (20.0, 350.0, "30° to port", 350.0),
        (180.0, 0.0, "180° to starboard", 0.0),
        (40.0, 40.0, "", None),
    ],
)
def test_a_turn_goes_the_short_way_round(
    monkeypatch: pytest.MonkeyPatch, heading: float, best: float, words: str, turn: float | None
) -> None:
    plan = plan_of().changed(heading=heading)
    seen: list[Any] = []

    def used(changed: Plan, batch: object, headings: Any) -> Any:
        seen.append(headings)
        return SimpleNamespace(governing=np.where(headings[0] == best, 0.3, 0.5))

    monkeypatch.setattr(remedies, "utilisations", used)
    monkeypatch.setattr(
        remedies, "in_sector", lambda plan, batch, headings: np.ones((1, headings.size), dtype=bool)
    )
    found = list(_turn(plan))
    np.testing.assert_array_equal(seen[0][0], np.arange(36) * 10.0)
    if turn is None:
        assert found == []
        return
    (trial,) = found
    assert trial.plan.heading == turn
    assert words in trial.side_effect
    assert trial.amount is not None
    assert trial.amount.value == turn


def test_no_turn_where_no_heading_is_allowed_or_known(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = plan_of()
    unknown = SimpleNamespace(governing=np.full(36, np.nan))
    monkeypatch.setattr(remedies, "utilisations", lambda *given: unknown)
    for allowed in (False, True):
        monkeypatch.setattr(
            remedies, "in_sector", lambda plan, batch, headings, a=allowed: np.full((1, headings.size), a)
        )
        assert list(_turn(plan)) == []


def test_without_a_check_that_governs_nothing_helps() -> None:
    assert what_would_help(SimpleNamespace(governing=None)) == ()  # type: ignore[arg-type]
