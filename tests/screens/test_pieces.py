"""Pieces of pages that are plain functions."""

from __future__ import annotations

import re

import pytest

from heave.screens.pieces import LONGEST_NAME, dated


@pytest.mark.parametrize(
    ("plan", "named"),
    [
        ("Demo well, 12 1/4 in", "Demo-well-12-1-4-in_plan_"),
        ("Brønn 7 — vest", "Brønn-7-vest_plan_"),
        ("../../etc/passwd", "etc-passwd_plan_"),
        ("<b>=1+1|*?:", "b-1-1_plan_"),
        ("!!!", "plan_"),
        ("a" * 200, "a" * LONGEST_NAME + "_plan_"),
    ],
)
def test_a_file_is_named_by_its_plan_what_it_is_and_the_day(plan: str, named: str) -> None:
    assert re.fullmatch(re.escape(named) + r"\d{4}-\d\d-\d\d\.json", dated("plan.json", plan))
