"""A check made of a rule: its numbers are those as planned, its word counts the worst of what is not known."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from heave.formula import Formula
from heave.judging.checks import NEAR, NOT_ASSESSED, OVER, WITHIN, Check, Outcome, Rule, check_of, outcome

TWICE = Formula("d = 2 × s", {"d": ("length", "demand"), "s": ("length", "sea")}, "invented")
PLAN = SimpleNamespace(caution_level=0.8, operation=SimpleNamespace(missing=()))


def work(found: Any) -> Outcome:
    """Twice the sea,
    against its capacity."""
    return outcome(TWICE(s=np.array(found.sea)), capacity=found.capacity)


def made(*seas: float, capacity: float = 10.0, shown: dict[int, Any] | None = None) -> Check:
    """The check of one sea as planned, then of its ranges; a second sea beside it is another's."""
    rule = Rule("swing", "Swing", "length", "invented", lambda plan: True, (TWICE,), work)
    found: Any = [SimpleNamespace(plan=PLAN, sea=[sea, 99.0], capacity=capacity) for sea in seas]
    return check_of(rule, found, {} if shown is None else shown)


def test_numbers_are_those_as_planned() -> None:
    check = made(2.0, 4.5, 1.0)
    assert (check.key, check.name, check.kind, check.source) == ("swing", "Swing", "length", "invented")
    assert (check.demand, check.capacity, check.utilisation, check.high) == (4.0, 10.0, 0.4, 0.9)
    assert (check.basis, check.required) == ("Twice the sea, against its capacity.", True)
    assert [step.result.value for step in check.working] == [4.0]
    assert check.headline() == "4.00\u00a0m of 10.0\u00a0m"

    # what is over its limit, or just below it, does not read as being at it
    assert made(5.0004).headline() == "10.001\u00a0m of 10.000\u00a0m"
    assert made(4.999).headline() == "9.998\u00a0m of 10.00\u00a0m"
    assert made(5.0).headline() == "10.0\u00a0m of 10.0\u00a0m"


@pytest.mark.parametrize(
    ("seas", "state"),
    [
        ((2.0, 3.0), WITHIN),
        ((2.0, 4.99), WITHIN),
        ((2.0, 5.0), NEAR),
        ((2.0, 1.0, 5.0), NEAR),
        ((3.99, 1.0), WITHIN),
        ((4.0, 1.0), NEAR),
        ((5.0, 1.0), OVER),
        ((2.0, math.nan), NOT_ASSESSED),
        ((math.nan, 1.0), NOT_ASSESSED),
        ((5.0, math.nan), OVER),
    ],
)
def test_a_range_that_is_over_is_near_and_one_not_known_is_not_assessed(
    seas: tuple[float, ...], state: str
) -> None:
    check = made(*seas)
    assert check.state == state
    assert math.isnan(check.high) == any(map(math.isnan, seas))


def test_steps_of_one_sea_are_kept_and_shared() -> None:
    """A step that two checks work with is the same one in both."""
    step = TWICE(s=np.array([3.0, 4.0]))
    rule = Rule(
        "swing", "Swing", "length", "invented", lambda plan: True, (), lambda d: outcome(step, capacity=10.0)
    )
    shown: dict[int, Any] = {}
    found: Any = [SimpleNamespace(plan=PLAN)]
    one, other = check_of(rule, found, shown), check_of(rule, found, shown)
    assert one.working[0] is other.working[0]
    assert one.working[0].result.value == 6.0


def test_a_limit_that_may_be_left_empty() -> None:
    """Required where it is given, or where the operation misses it; a rule without limits of the rig always."""

    def required(limits: tuple[str, ...], gives: str = "", missing: tuple[str, ...] = ()) -> bool:
        rule = Rule("a", "A", "length", "invented", lambda plan: True, (), work, limits)
        operation = SimpleNamespace(gives=lambda name: name == gives, missing=missing)
        return rule.required(SimpleNamespace(operation=operation))  # type: ignore[arg-type]

    assert required(())
    assert not required(("heave_limit",))
    assert required(("heave_limit",), gives="heave_limit")
    assert required(("heave_limit", "speed_limit"), missing=("speed_limit",))
    assert not required(("heave_limit",), gives="speed_limit", missing=("roll_limit",))
