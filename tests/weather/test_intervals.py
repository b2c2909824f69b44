"""Closed intervals of time, against answers worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from heave.weather.intervals import common, holds_at, less, merged, next_start, sample_runs, starts_within


def test_runs_end_at_their_last_good_sample() -> None:
    inside = np.array([True, True, False, True, False, True, True, True])
    gaps = np.array([False, False, False, False, False, True, False])
    assert sample_runs(inside, gaps).tolist() == [[0, 1], [3, 3], [5, 5], [6, 7]]


def test_nothing_and_everything() -> None:
    assert sample_runs(np.zeros(3, bool), np.zeros(2, bool)).shape == (0, 2)
    assert sample_runs(np.ones(3, bool), np.zeros(2, bool)).tolist() == [[0, 2]]
    assert sample_runs(np.ones(1, bool), np.zeros(0, bool)).tolist() == [[0, 0]]


def test_starts_fit_exactly_or_not_at_all() -> None:
    runs = np.array([[0.0, 4.0], [10.0, 13.0]])
    assert starts_within(runs, 0.0, 4.0).tolist() == [[0.0, 0.0]]
    assert starts_within(runs, 0.0, 4.5).tolist() == []
    assert starts_within(runs, 1.0, 3.0).tolist() == [[-1.0, 1.0], [9.0, 10.0]]


def test_what_two_sets_share() -> None:
    one = np.array([[0.0, 5.0], [8.0, 9.0]])
    other = np.array([[2.0, 3.0], [4.0, 8.5], [9.0, 12.0]])
    assert common(one, other).tolist() == [[2.0, 3.0], [4.0, 5.0], [8.0, 8.5], [9.0, 9.0]]
    assert common(one, np.empty((0, 2))).shape == (0, 2)


def test_overlapping_and_touching_intervals_become_one() -> None:
    mixed = np.array([[6.0, 7.0], [0.0, 4.0], [1.0, 2.0], [4.0, 5.0]])
    assert merged(mixed).tolist() == [[0.0, 5.0], [6.0, 7.0]]


def test_next_start_waits_for_the_next_interval() -> None:
    starts = np.array([[2.0, 3.0], [6.0, 6.0]])
    times = np.array([0.0, 2.0, 3.0, 3.5, 6.0, 6.1])
    assert next_start(starts, times).tolist() == [2.0, 2.0, 3.0, 6.0, 6.0, np.inf]
    assert holds_at(starts, times).tolist() == [False, True, True, False, True, False]
    assert next_start(np.empty((0, 2)), times) == pytest.approx(np.full(6, np.inf))


def test_what_is_left_of_one_set_without_another() -> None:
    one = np.array([[0.0, 10.0], [20.0, 22.0], [30.0, 30.0]])
    other = np.array([[2.0, 3.0], [8.0, 21.0]])
    assert less(one, other).tolist() == [[0.0, 2.0], [3.0, 8.0], [21.0, 22.0], [30.0, 30.0]]
    assert less(one, one).tolist() == []
    assert less(one, np.empty((0, 2))).tolist() == one.tolist()
    assert less(np.empty((0, 2)), one).shape == (0, 2)
