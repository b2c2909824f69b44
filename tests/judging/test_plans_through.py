"""A share of the random plans: no crash, and every figure and word that is made of a plan is one."""

from __future__ import annotations

import random

import pytest
from plans_through import drawn, through


@pytest.mark.parametrize("number", range(16))
def test_all_that_is_made_of_a_random_plan_is_figures_and_words(number: int) -> None:
    plan = drawn(random.Random(f"suite {number}"))
    assert through(plan, slow=number % 8 == 0) in (
        "within limits",
        "near a limit",
        "over a limit",
        "not assessed",
    )
