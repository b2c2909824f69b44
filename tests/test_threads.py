"""Linear algebra goes back to the threads it had, however the blocks nest or end."""

from __future__ import annotations

import numpy as np
import pytest

from heave import threads


def test_threads_are_given_back() -> None:
    get, put = threads._switch()
    before = get()
    with threads.one_thread_each():
        inside = get()
        with threads.one_thread_each():
            assert get() == inside
        assert get() == inside
    assert inside == 1
    assert get() == before
    put(before)


def test_threads_are_given_back_after_an_error() -> None:
    before = threads._switch()[0]()
    with pytest.raises(ZeroDivisionError), threads.one_thread_each():
        1 / 0  # noqa: B018
    assert threads._switch()[0]() == before


def test_without_a_switch_nothing_happens(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(threads, "_switch", threads._none)
    with threads.one_thread_each():
        assert np.ones(2) @ np.ones(2) == 2
