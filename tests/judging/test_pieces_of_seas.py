"""Seas worked a few at a time come to what they do all at once, whatever is left over for the last piece."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from test_small_parts import plan_of

from heave.judging import utilisation, utilisations
from heave.sea import SeaBatch


def batch_of(plan: Any, count: int) -> SeaBatch:
    """Seas that each differ in height, from slight to past the limits."""
    one = plan.sea.batch()
    return one.scaled(np.linspace(0.3, 6.0, count))


@pytest.mark.parametrize(("piece", "shares"), [
    (3, (3 / 7, 6 / 7, 1.0)), (7, (1.0,)), (8, (1.0,)), (1, tuple(n / 7 for n in range(1, 8))),
])  # fmt: skip
def test_one_heading_a_sea(piece: int, shares: tuple[float, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    plan, told = plan_of(), list[float]()
    batch = batch_of(plan, 7)
    whole = utilisations(plan, batch)
    assert np.all(np.diff(whole.heave_sigma) > 0)
    monkeypatch.setattr(utilisation, "PIECE", piece)
    same(utilisations(plan, batch, progress=told.append), whole)
    assert told == pytest.approx(shares)


@pytest.mark.parametrize(("piece", "count"), [(2, 7), (4, 4), (5, 4), (100, 1)])
def test_two_headings_a_sea_count_as_two(piece: int, count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    plan, told = plan_of(), list[float]()
    batch = batch_of(plan, 7)
    bow = np.stack([np.full(7, 210.0), 200.0 + np.arange(7.0)], axis=1)
    whole = utilisations(plan, batch, bow)
    monkeypatch.setattr(utilisation, "PIECE", piece)
    same(utilisations(plan, batch, bow, told.append), whole)
    assert len(told) == count
    single = [
        utilisations(replace(plan, heading=float(bow[4, side])), batch.take(np.array([4]))) for side in (0, 1)
    ]
    assert whole.governing[8:10] == pytest.approx([float(one.governing[0]) for one in single], rel=1e-6)


def same(one: Any, other: Any) -> None:
    for item in fields(one):
        made, wanted = getattr(one, item.name), getattr(other, item.name)
        if item.name == "by_check":
            assert made.keys() == wanted.keys()
            made, wanted = list(made.values()), list(wanted.values())
        if item.name == "keys":
            assert made == wanted
        else:
            np.testing.assert_allclose(made, wanted, rtol=1e-6)  # in single precision
