"""Runs take turns: who owes an answer goes first, and nothing that happens to a run holds the others."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import pytest

from heave.screens import run_queue
from heave.screens.run_queue import LATER, SOON, RunQueue

PATIENCE = 60.0
"""Longest wait of a test for what has to happen [s]."""


class Superseded(Exception):
    """The session asked for something else."""


class Session:
    """A run in a thread of its own that does one step after the other, each when it is told to."""

    def __init__(self, of: RunQueue, *steps: Callable[[], object]) -> None:
        self.done = 0
        self.error: BaseException | None = None
        self._go = threading.Semaphore(0)
        self._of, self._steps, self._changed = of, steps, threading.Condition()
        self.thread = threading.Thread(target=self._run, daemon=True)
        there = list(of._runs)
        self.thread.start()
        end = time.monotonic() + PATIENCE
        while (
            all(one in there for one in list(of._runs)) and self.thread.is_alive() and time.monotonic() < end
        ):
            time.sleep(0.001)  # until it has its place: whoever is made after this one comes after it

    def _run(self) -> None:
        try:
            with self._of.run():
                self._count()
                for step in self._steps:
                    self._go.acquire()
                    step()
                    self._count()
                self._go.acquire()
        except BaseException as error:
            self.error = error

    def _count(self) -> None:
        with self._changed:
            self.done += 1
            self._changed.notify_all()

    def step(self) -> None:
        """Take the next step, or the end, whenever it is its turn."""
        self._go.release()

    def has_done(self, count: int) -> bool:
        """Whether so many steps are done soon, the first of them that the run began."""
        with self._changed:
            return self._changed.wait_for(lambda: self.done >= count, PATIENCE)

    def waits_at(self, count: int) -> bool:
        """Whether so many steps are done and no more for a while."""
        time.sleep(0.1)
        return self.done == count

    def end(self) -> None:
        """Let it run to its end."""
        for _ in range(9):
            self._go.release()
        self.thread.join(PATIENCE)
        assert not self.thread.is_alive()


@pytest.fixture
def of() -> RunQueue:
    """A queue of sessions that never ask for something else."""
    return RunQueue(lambda: None)


def test_one_answer_after_the_other_in_order_of_arrival(of: RunQueue) -> None:
    first = Session(of)
    assert first.has_done(1)
    second = Session(of)
    third = Session(of)
    assert second.waits_at(0)
    assert third.waits_at(0)
    first.end()
    assert second.has_done(1)
    assert third.waits_at(0)
    second.end()
    assert third.has_done(1)
    third.end()


def test_what_stands_under_an_answer_waits_for_every_answer(of: RunQueue) -> None:
    under = Session(of, lambda: of.step_back(LATER), of.pause)
    assert under.has_done(1)
    under.step()
    assert under.has_done(2), "alone it goes on at once"
    owes = Session(of)
    assert owes.has_done(1), "an answer begins beside what is drawn under another"
    under.step()
    assert under.waits_at(2)
    owes.end()
    assert under.has_done(3)
    under.end()


def test_one_after_the_other_under_the_answers_too(of: RunQueue) -> None:
    first = Session(of, lambda: of.step_back(LATER), of.pause)
    assert first.has_done(1)
    first.step()
    assert first.has_done(2)
    second = Session(of, lambda: of.step_back(LATER))
    assert second.has_done(1)
    second.step()
    assert second.waits_at(1)
    first.step()
    assert first.has_done(3), "the one that came first goes on"
    first.end()
    assert second.has_done(2)
    second.end()


def test_of_what_waits_under_answers_the_newest_begins_first(of: RunQueue) -> None:
    begun = Session(of, lambda: of.step_back(LATER), of.pause)
    assert begun.has_done(1)
    begun.step()
    assert begun.has_done(2)
    old = Session(of, lambda: of.step_back(LATER))
    assert old.has_done(1)
    old.step()
    assert old.waits_at(1)
    new = Session(of, lambda: of.step_back(LATER))
    assert new.has_done(1)
    new.step()
    assert new.waits_at(1)
    begun.step()
    assert begun.has_done(3), "what has begun goes on"
    begun.end()
    assert new.has_done(2)
    assert old.waits_at(1)
    new.end()
    assert old.has_done(2)
    old.end()


def test_what_stands_beside_an_answer_goes_before_what_stands_under_one(of: RunQueue) -> None:
    under = Session(of, lambda: of.step_back(LATER), of.pause)
    assert under.has_done(1)
    under.step()
    assert under.has_done(2)
    beside = Session(of, lambda: of.step_back(SOON), lambda: of.step_back(LATER))
    assert beside.has_done(1)
    beside.step()
    assert beside.has_done(2)
    under.step()
    assert under.waits_at(2)
    beside.step()
    assert under.has_done(3), "it steps back to what has begun before it"
    assert beside.waits_at(2)
    under.end()
    assert beside.has_done(3)
    beside.end()


def test_a_run_long_without_an_answer_lets_others_go_first(
    of: RunQueue, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(run_queue, "QUICK", 0.0)
    long = Session(of, of.pause)
    assert long.has_done(1)
    monkeypatch.setattr(run_queue, "QUICK", 1e9)
    owes = Session(of)
    assert owes.waits_at(0), "before it looks, it is its turn"
    monkeypatch.setattr(run_queue, "QUICK", 0.0)
    long.step()
    assert owes.has_done(1)
    assert long.waits_at(1)
    owes.end()
    assert long.has_done(2)
    long.end()


def test_a_long_page_goes_before_what_is_under_an_answer(
    of: RunQueue, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(run_queue, "QUICK", 0.0)
    under = Session(of, lambda: of.step_back(LATER), of.pause)
    assert under.has_done(1)
    under.step()
    assert under.has_done(2)
    long = Session(of, of.pause)
    assert long.has_done(1)
    long.step()
    assert long.has_done(2)
    under.step()
    assert under.waits_at(2)
    long.end()
    assert under.has_done(3)
    under.end()


def test_an_error_gives_the_turn_away(of: RunQueue) -> None:
    def fails() -> None:
        raise ValueError

    first = Session(of, fails)
    assert first.has_done(1)
    second = Session(of)
    first.step()
    assert second.has_done(1)
    second.end()
    first.thread.join(PATIENCE)
    assert isinstance(first.error, ValueError)


@pytest.mark.parametrize("where", ["begins", "pauses"])
def test_a_session_that_goes_away_while_it_waits_holds_nobody(where: str) -> None:
    gone = threading.Event()

    def look() -> None:
        if gone.is_set():
            raise Superseded

    of = RunQueue(look)
    if where == "begins":
        holds = Session(of)
        assert holds.has_done(1)
        waits = Session(of)
    else:
        waits = Session(of, lambda: of.step_back(LATER), of.pause)
        assert waits.has_done(1)
        waits.step()
        assert waits.has_done(2)
        holds = Session(of)
        assert holds.has_done(1)
        waits.step()
    time.sleep(0.1)
    gone.set()
    waits.thread.join(PATIENCE)
    assert isinstance(waits.error, Superseded)
    gone.clear()
    holds.end()
    last = Session(of)
    assert last.has_done(1)
    last.end()


def test_who_waits_for_something_else_lets_others_go(of: RunQueue) -> None:
    answers, back = threading.Event(), threading.Event()

    def asks() -> None:
        with of.aside():
            assert answers.wait(PATIENCE)
        back.set()

    first = Session(of, asks)
    assert first.has_done(1)
    first.step()
    second = Session(of)
    assert second.has_done(1), "the first waits for something else"
    answers.set()
    assert not back.wait(0.1), "and comes back behind it"
    second.end()
    assert back.wait(PATIENCE)
    first.end()


def test_an_error_while_aside_comes_out_at_once(of: RunQueue) -> None:
    def fails() -> None:
        with of.aside(), of.aside():
            raise ValueError

    first = Session(of, fails)
    assert first.has_done(1)
    holds = Session(of, of.pause)
    first.step()
    assert holds.has_done(1)
    first.thread.join(PATIENCE)
    assert isinstance(first.error, ValueError)
    holds.end()


def test_nothing_is_waited_for_for_ever(of: RunQueue, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run_queue, "LONGEST", 0.1)
    hangs, other = Session(of), Session(of)
    assert hangs.has_done(1)
    assert other.has_done(1)
    other.end()
    hangs.end()


def test_still_waits_only_in_a_crowd(of: RunQueue) -> None:
    with of.run():
        begun = time.monotonic()
        of.still(PATIENCE)
        assert time.monotonic() - begun < 0.5 * PATIENCE, "nobody else is there"
        other = Session(of)
        begun = time.monotonic()
        of.still(0.2)
        assert time.monotonic() - begun >= 0.2
        assert other.has_done(1), "others go on meanwhile"
        other.end()


def test_one_s_own_last_run_is_no_crowd(of: RunQueue) -> None:
    with of.run():
        pass
    with of.run():
        begun = time.monotonic()
        of.still(PATIENCE)
        assert time.monotonic() - begun < 0.5 * PATIENCE


def test_outside_a_run_nothing_happens(of: RunQueue) -> None:
    holds = Session(of)
    assert holds.has_done(1)
    begun = time.monotonic()
    of.pause()
    of.step_back(LATER)
    with of.aside():
        of.still(0.0)
    assert time.monotonic() - begun < 0.5 * PATIENCE, "nobody who is in no run waits for one"
    holds.end()


def test_many_runs_all_come_to_their_end(of: RunQueue) -> None:
    order: list[str] = []

    def run(name: str) -> None:
        with of.run():
            order.append(f"answer {name}")
            of.step_back(LATER)
            for _ in range(20):
                of.pause()
            with of.aside():
                time.sleep(0.001)
            order.append(f"rest {name}")

    threads = [threading.Thread(target=run, args=(str(number),), daemon=True) for number in range(30)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(4 * PATIENCE)
    assert len(order) == len(set(order)) == 60
