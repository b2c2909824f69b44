"""Whose turn it is: an answer goes before all that is drawn under answers, whoever asked for it.

All sessions share one interpreter. Left alone, their runs of the script take it in slices, so that each of twenty is
twenty times as slow and nobody has an answer before all have drawn their figures. So runs take turns, by class: first
those that still owe their answer, in order of arrival; then what stands beside answers, and pages that are long at it;
then what stands under answers. Of those two the newest begins first, for in a crowd the oldest is about to be ended by
its session's next entry, and what has begun is done before another begins. A run looks whether it is still its turn
wherever `pause` stands, so a better one begins beside it at once and has the interpreter alone soon after. While it
waits, an edit of its own session ends it.
"""

from __future__ import annotations

import itertools
import math
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

import streamlit as st

ANSWER, SOON, LATER = range(3)
"""Classes of a run, the best first: it owes its answer; it has been long at that, or draws what is to be seen beside
an answer that is on the screen; it draws all that stands under one."""

QUICK: Final = 0.2
"""Processor time a run without an answer may take before those that have taken less go first [s]."""

TICK: Final = 0.1
"""How often a run that waits looks whether its session has asked for something else [s]."""

LONGEST: Final = 20.0
"""Longest a run waits before it goes on whoever else is there, so that nothing can hold it for ever [s]."""

CROWD: Final = 3.0
"""How long others count as at work after they ended a run [s]."""


class _Run:
    """A run of the script: its class, its place in that, and what wakes it."""

    def __init__(self, place: int) -> None:
        self.level, self.aside = ANSWER, False
        self.place: float = place
        self.begun = time.thread_time()
        self.turn = threading.Event()


def end_if_superseded() -> None:
    """End this run of the script here where its session has asked for another, or is gone."""
    "heave:plan" in st.session_state  # noqa: B015  (the server ends a run wherever that is looked into)


class RunQueue:
    """The runs that are on, one of which is to go on.

    Parameters
    ----------
    look : called while a run waits; what it raises ends the run
    """

    def __init__(self, look: Callable[[], None] = end_if_superseded) -> None:
        self._look = look
        self._lock = threading.Lock()
        self._places = itertools.count()
        self._runs: list[_Run] = []
        self._of = threading.local()
        self._ended = (-CROWD, -CROWD)  # when the last two runs ended: one of them is perhaps one's own

    @contextmanager
    def run(self) -> Iterator[None]:
        """Around a run of the script, which begins when it is its turn."""
        one = _Run(next(self._places))
        with self._lock:
            self._runs.append(one)
        self._of.run = one
        try:
            self._wait(one)
            yield
        finally:
            self._of.run = None
            with self._lock:
                self._runs.remove(one)
                self._ended = (self._ended[1], time.monotonic())
                self._call()

    def pause(self) -> None:
        """Let whoever is before this run go first; outside a run nothing happens."""
        one = self._mine()
        if one is None:
            return
        if one.level == ANSWER and time.thread_time() - one.begun > QUICK:
            self._place(one, SOON)
        self._wait(one)

    def step_back(self, level: int) -> None:
        """What this run still draws is of another class, and waits for its turn in that.

        Parameters
        ----------
        level : SOON or LATER
        """
        one = self._mine()
        if one is not None:
            self._place(one, level)
            self._wait(one)

    @contextmanager
    def aside(self) -> Iterator[None]:
        """Around what waits for something else than the interpreter: others go on meanwhile."""
        one = self._mine()
        if one is None or one.aside:
            yield
            return
        with self._lock:
            one.aside = True
            self._call()
        try:
            yield
        finally:
            with self._lock:
                one.aside = False
                self._put(one)
        self._wait(one)

    def still(self, seconds: float) -> None:
        """Where others are at work, go on only once this session has asked for nothing else for so long."""
        if not self._crowded():
            return
        with self.aside():
            until = time.monotonic() + seconds
            while (left := until - time.monotonic()) > 0:
                time.sleep(min(TICK, left))
                self._look()

    def _crowded(self) -> bool:
        mine = self._mine()
        with self._lock:
            others = any(one is not mine and not one.aside for one in self._runs)
            return others or time.monotonic() - self._ended[0] < CROWD

    def _mine(self) -> _Run | None:
        found: _Run | None = getattr(self._of, "run", None)
        return found

    def _place(self, one: _Run, level: int) -> None:
        with self._lock:
            one.level = level
            self._put(one)
            self._call()

    def _put(self, one: _Run) -> None:
        """A place in its class: of answers the last, else the first but for what has begun."""
        place = next(self._places)
        one.place = place if one.level == ANSWER else -place

    def _first(self) -> _Run | None:
        return min(
            (one for one in self._runs if not one.aside), key=lambda one: (one.level, one.place), default=None
        )

    def _call(self) -> None:
        """Wake the one whose turn it is."""
        first = self._first()
        if first is not None:
            first.turn.set()

    def _wait(self, one: _Run) -> None:
        """Until it is this one's turn."""
        until = time.monotonic() + LONGEST
        while True:
            with self._lock:
                if self._first() is one or time.monotonic() > until:
                    if one.level != ANSWER:
                        one.place = -math.inf  # it has begun
                    return
                one.turn.clear()
            one.turn.wait(TICK)
            self._look()


RUN_QUEUE: Final = RunQueue()
"""Of all sessions of this server."""
