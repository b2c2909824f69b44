"""What is kept on screens: bounded by bytes, a session at a time, made once for all who ask."""

from __future__ import annotations

import threading
from typing import Any

import numpy as np
import pytest

from heave.files.rigs import demo_plan
from heave.screens.bounded_cache import LEAST, BoundedCache, size_of
from heave.simulation.simulate import simulate

KB = 1000


def page(kilobytes: int) -> np.ndarray:
    return np.zeros(kilobytes * KB, dtype=np.uint8)


def test_bytes_are_those_of_arrays_and_texts() -> None:
    assert size_of(page(7)) == 7 * KB
    assert size_of({"a": [{"data": "x" * 5000}], "n": 3.0}) == 5000
    assert size_of(None) == LEAST
    result = simulate(demo_plan(), 30.0)
    arrays = [value for value in vars(result).values() if isinstance(value, np.ndarray)]
    assert len(arrays) > 12
    assert size_of(result) == sum(array.nbytes for array in arrays)


def test_it_is_made_once_and_what_was_asked_for_longest_ago_makes_room() -> None:
    cache, made = BoundedCache(10 * KB, 10 * KB), []

    def ask(name: str) -> None:
        cache.kept(name, lambda: made.append(name) or page(4))

    for name in ("a", "b", "a", "c", "a", "b"):
        ask(name)
    assert made == ["a", "b", "c", "b"]
    assert cache.size == 8 * KB


def test_one_session_lets_go_of_its_own_first() -> None:
    cache = BoundedCache(100 * KB, 10 * KB)
    cache.kept("theirs", lambda: page(4), "other")
    for name in ("a", "b", "c", "d"):
        cache.kept(name, lambda: page(4), "one")
    assert [name in cache for name in ("theirs", "a", "b", "c", "d")] == [True, False, False, True, True]
    cache.kept("theirs", lambda: page(4), "one")
    for name in ("e", "f", "g"):
        cache.kept(name, lambda: page(4), "one")
    assert "theirs" in cache  # still the other's
    assert cache.size == 12 * KB


def test_all_together_have_a_bound_and_the_newest_always_stays() -> None:
    cache = BoundedCache(10 * KB, 8 * KB)
    for place in range(5):
        cache.kept(place, lambda: page(4), str(place))
    assert [place in cache for place in range(5)] == [False, False, False, True, True]
    cache.kept("long", lambda: page(30), "one")
    assert "long" in cache
    assert cache.size == 30 * KB


def test_whoever_asks_meanwhile_waits_and_gets_the_same() -> None:
    cache, begun, go_on = BoundedCache(10 * KB, 10 * KB), threading.Event(), threading.Event()
    made: list[int] = []
    found: list[Any] = []

    def make() -> Any:
        begun.set()
        go_on.wait(60)
        made.append(1)
        return page(1)

    threads = [threading.Thread(target=lambda: found.append(cache.kept("k", make))) for _ in range(3)]
    threads[0].start()
    begun.wait(60)
    for thread in threads[1:]:
        thread.start()
    go_on.set()
    for thread in threads:
        thread.join(60)
    assert made == [1]
    assert found[0] is found[1] is found[2]


def test_what_fails_is_not_kept_and_may_be_tried_again() -> None:
    cache = BoundedCache(10 * KB, 10 * KB)

    def fail() -> Any:
        raise ValueError("stopped")

    with pytest.raises(ValueError, match="stopped"):
        cache.kept("k", fail)
    assert "k" not in cache
    assert cache.kept("k", lambda: 3) == 3
