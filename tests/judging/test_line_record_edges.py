"""The record of the line where one of its numbers is missing, and on both sides of where it turns."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from heave.hoisting import DrillingLine, HoistingPath, Ledger, PullCurve
from heave.judging.line_record import (
    HeaveWork,
    WorkThrough,
    _can_cut,
    _cut,
    _drum,
    _hook_speed,
    _planned,
    _shortest,
)
from heave.planning import LineWork

LINE = DrillingLine(0.035, "other", own_strength=9e5, own_mass=5.0)
LAP = math.pi * 0.835
HEAVE = HeaveWork(np.array([7.2e6]), np.array([10.0]), np.array([2.0]))


def path(**given: Any) -> HoistingPath:
    about = {"lines": 12, "line": LINE, "drop": 45.0, "highest_block": 40.0, "lowest_block": 10.0}
    return HoistingPath(**(about | given))


def record(**given: Any) -> LineWork:
    about = {"drum_core": 0.8, "drum_width": 1.4, "drum_layers": 5.0, "on_drum": 420.0, "cut_length": 25.0}
    return LineWork(**(about | given))


def test_crown_to_block_at_its_highest() -> None:
    """45 m less the 30 m that the block goes up; where that cannot be told, crown to block at its lowest."""
    assert _shortest(path()) == 15.0
    assert _shortest(path(highest_block=None)) == 45.0
    assert _shortest(path(lowest_block=None)) == 45.0
    assert _shortest(path(drop=None)) is None
    assert _shortest(path(drop=30.5)) == 0.5
    for too_short in (30.0, 29.0):
        assert _shortest(path(drop=too_short)) == too_short


def test_work_planned_needs_the_weights_and_the_sea_only_where_they_are_used() -> None:
    weights: Any = SimpleNamespace()
    jobs: Any = (SimpleNamespace(),)

    def planned(weights: Any, done: tuple[float, ...], heave: HeaveWork | None, **given: Any) -> float | None:
        about: Any = SimpleNamespace(**({"jobs": jobs, "compensating": 0.0} | given))
        return _planned(about, weights, done, heave)

    assert planned(weights, (1e6, 2e6), None) == 3e6
    assert planned(None, (), None) is None
    assert planned(weights, (1e6,), HEAVE, compensating=1800.0) == 1e6 + 3.6e6
    assert planned(None, (), HEAVE, jobs=(), compensating=1800.0) == 3.6e6
    assert planned(weights, (1e6,), None, compensating=1800.0) is None
    assert planned(None, (), None, jobs=(), compensating=0.0) is None
    assert planned(None, (), HEAVE, jobs=()) is None


def test_a_cut_needs_line_to_slip_and_line_to_cut() -> None:
    def ledger(on_reel: float, on_drum: float) -> Ledger:
        return Ledger(0.0, 1e9, cut_length=25.0, on_reel=on_reel, on_drum=on_drum, slip_length=20.0)

    assert _can_cut(ledger(20.0, 5.0))
    assert not _can_cut(ledger(19.9, 5.0))
    assert not _can_cut(ledger(20.0, 4.9))
    assert ledger(20.0, 5.0).after_cut().on_drum == 0.0


def test_cut_and_drum_that_are_not_known() -> None:
    assert _cut(path(), record()) == pytest.approx(9.5 * LAP + LAP)  # 25 m are 9.53 laps
    for way, given in (
        (path(line=None), record()),
        (path(), record(cut_length=None)),
        (path(), record(drum_width=None)),
    ):
        assert _cut(way, given) is None
    capacity = 40 * math.pi * (5 * 0.835 + 2 * 0.9 * 0.035 * 10)
    held, left = _drum(path(), record(), None)
    assert held == pytest.approx(capacity)
    assert left == pytest.approx((420.0 - 12 * 30.0) / LAP)
    assert _drum(path(line=None), record(), None) == (None, None)
    for way, given in (
        (path(highest_block=None), record()),
        (path(lowest_block=None), record()),
        (path(), record(on_drum=None)),
    ):
        found = _drum(way, given, None)
        assert found == (pytest.approx(capacity), None)


def test_wraps_left_go_to_none_as_the_block_takes_all_the_line() -> None:
    """30 m and 2 m of heave on 12 lines are 384 m."""
    assert _drum(path(), record(), HEAVE)[1] == pytest.approx(36.0 / LAP)
    assert _drum(path(), record(on_drum=384.0), HEAVE)[1] == pytest.approx(0.0, abs=1e-9)
    assert _drum(path(), record(on_drum=383.0), HEAVE)[1] == 0.0


def test_speed_of_the_hook_on_both_sides_of_each_gear() -> None:
    """Pull of 12 lines at 80 %; above the lowest gear's none, below the highest gear's that gear's speed."""
    curve = PullCurve(((4.0, 300e3), (20.0, 60e3)))
    way: Any = SimpleNamespace(pull_curve=curve, drawworks_power=None, count=12)

    def speed(pull: float, power: float | None = None) -> float | None:
        way.drawworks_power = power
        return _hook_speed(way, pull * 12 * 0.8, 0.8)

    assert speed(300e3) == pytest.approx(4.0 / 12)
    assert speed(300.1e3) is None
    assert speed(60e3) == pytest.approx(20.0 / 12)
    assert speed(10e3) == pytest.approx(20.0 / 12)
    assert speed(10e3, power=60e3) == pytest.approx(60e3 / (10e3 * 12))
    assert speed(10e3, power=1e6) == pytest.approx(20.0 / 12)
    way.pull_curve = None
    assert speed(300e3, power=6e5) == pytest.approx(6e5 / (300e3 * 12))
    assert speed(300e3) is None


def test_sums_through_seas_leave_out_what_is_not_known() -> None:
    """Two hours of each of three seas, the second missing: 2 × (5 + 1) of work and 2 × (30 + 10) bends in 4 hours."""
    found = WorkThrough.of(np.array([5.0, np.nan, 1.0]), np.array([30.0, np.nan, 10.0]), 7200.0)
    assert found == (12.0, 4 * 3600.0, 80.0)
