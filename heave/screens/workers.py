"""Worker processes that simulate beside the server, so that its one interpreter is left to the pages.

A run of a film is half of what an edit costs. In threads of one process it would wait for the pages and they for it;
here it is worked out on another core. The workers (`heave.simulation.worker`) are started when first needed, end with
the server, and give to the last bit what the server itself would. Where none can be started or one fails twice, the
server works it out itself and says so in the log, which holds nothing of a plan.
"""

from __future__ import annotations

import atexit
import logging
import math
import os
import pickle
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import streamlit as st

from heave.errors import InputError
from heave.screens.run_queue import RUN_QUEUE
from heave.simulation import worker

NUMBER: Final = "HEAVE_WORKERS"
"""Environment variable with the number of worker processes; 0 works everything out in the server."""

USUAL: Final = 2
"""Most workers where the variable is not set: one for each core, no more than this."""

MOST: Final = 16
"""Most workers that can be asked for."""

TICK: Final = 0.1
"""How often whoever waits hears how far it is, so that an edit ends what it makes needless [s]."""

TO_START: Final = 60.0
"""Longest time a worker may take to start [s]."""

TO_STOP: Final = 10.0
"""Longest time a worker may take to leave a question that is not wanted any more [s]."""

TRIES: Final = 2
"""How many workers a question is put to, and how many may fail to start, before the server does without."""

COMMAND: Final = (sys.executable, "-m", "heave.simulation.worker")
_ROOT: Final = Path(__file__).resolve().parents[2]
_LOG: Final = logging.getLogger(__name__)

Tell = Callable[[float], None]
"""Hears which share of the work is done, several times a second; what it raises ends the work."""


class Superseded(Exception):
    """The same session asked for something else before this was begun."""


class _Lost(Exception):
    """The worker ended, or said what is no message."""


class _Worker:
    """One worker process, as the server sees it."""

    def __init__(self, command: tuple[str, ...], changed: threading.Condition) -> None:
        self.process = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=_ROOT,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
        self.ready = self.busy = self.lost = self.long = False
        self.deadline = time.monotonic() + TO_START
        self._changed, self._number = changed, 0
        self._heard: queue.SimpleQueue[tuple[str, Any]] = queue.SimpleQueue()
        threading.Thread(target=self._listen, name="worker's answers", daemon=True).start()

    def answer(self, question: bytes, tell: Tell) -> Any:
        """What the worker, taken for this, answers; what it or `tell` raises."""
        assert self.process.stdin is not None
        heard: queue.SimpleQueue[tuple[str, Any]] = queue.SimpleQueue()
        self._heard = heard
        self._number += 1
        share, ended = 0.0, False
        try:
            try:
                worker.send(self.process.stdin, (self._number, question))
            except OSError:
                self.process.kill()
            while True:
                try:
                    kind, value = heard.get(timeout=TICK)
                except queue.Empty:
                    kind, value = ("lost", None) if self.lost else (worker.SHARE, share)
                if kind == worker.SHARE:
                    share = value
                    tell(share)
                    continue
                ended = True
                if kind == worker.ANSWER:
                    return pickle.loads(value)
                raise worker.unpacked(value) if kind == worker.ERROR else _Lost
        finally:
            if not ended:
                self._stop()

    def _stop(self) -> None:
        """The question is not wanted any more; the worker is free again when it says so."""
        assert self.process.stdin is not None
        self.deadline = time.monotonic() + TO_STOP
        try:
            worker.send(self.process.stdin, (self._number, None))
        except OSError:
            self.process.kill()

    def _listen(self) -> None:
        """Hear the worker until it ends; words that are no message end it."""
        assert self.process.stdout is not None
        try:
            while True:
                number, kind, value = worker.received(self.process.stdout)
                if number == self._number:
                    self._heard.put((kind, value))  # before another may take the worker
                if kind == worker.READY or (number == self._number and kind != worker.SHARE):
                    self._free()
        except Exception:  # whatever it was, it was no message
            self.process.kill()
        self.process.wait()
        with self._changed:
            self.lost = True
            self._changed.notify_all()
        self._heard.put(("lost", None))

    def _free(self) -> None:
        with self._changed:
            self.ready, self.busy, self.deadline = True, False, math.inf
            self._changed.notify_all()

    def end(self) -> None:
        """End the process, now."""
        self.process.kill()
        self.process.wait()


class _Ticket:
    """A place in the queue."""

    def __init__(self, owner: str, long: bool) -> None:
        self.owner, self.long, self.dropped = owner, long, False


class Workers:
    """Worker processes and the queue before them.

    Who came first is served first; of a session only the latest question waits. Long work keeps off one worker, where
    there are two or more, so that a film never waits for many seeds.

    Parameters
    ----------
    most : workers; 0 works everything out where it is asked
    command : that starts one
    """

    def __init__(self, most: int, command: tuple[str, ...] = COMMAND) -> None:
        self.most, self._command = most, command
        self._changed = threading.Condition()
        self._workers: list[_Worker] = []
        self._queue: list[_Ticket] = []
        self._failed = 0

    def ask(
        self, function: Callable[..., Any], *arguments: Any, tell: Tell, owner: str = "", long: bool = False
    ) -> Any:
        """What `function(*arguments, progress=tell)` gives, worked out by a worker.

        Parameters
        ----------
        function : of a module, which a worker finds by its name
        arguments : values that can be pickled
        tell : hears of progress; what it raises ends the work
        owner : the session that asks
        long : it takes seconds, not tenths of one

        Raises
        ------
        Superseded
            If the session asked for something else before this was begun.
        """
        if self.most:
            question = pickle.dumps((function, arguments), pickle.HIGHEST_PROTOCOL)
            for _ in range(TRIES):
                found = self._taken(_Ticket(owner, long), tell)
                if found is None:
                    break
                try:
                    return found.answer(question, tell)
                except _Lost:
                    _LOG.warning("A worker process ended in the middle of its work.")
            _LOG.warning("No worker process could do it: worked out in the server's own process.")
        return function(*arguments, progress=tell)

    def warm(self) -> None:
        """Have one worker ready before it is needed."""
        with self._changed:
            if self.most and not self._workers:
                self._begin()

    def end(self) -> None:
        """End every worker; a question after this starts new ones."""
        with self._changed:
            workers, self._workers = self._workers, []
        for one in workers:
            one.end()

    def _taken(self, ticket: _Ticket, tell: Tell) -> _Worker | None:
        """A worker, when it is this one's turn; None where there is none to be had."""
        with self._changed:
            for other in self._queue:
                other.dropped |= other.owner == ticket.owner != ""
            self._queue.append(ticket)
        try:
            while True:
                with self._changed:
                    found = self._turn(ticket)
                    if found is not None or not self.most:
                        return found
                    self._changed.wait(TICK)
                if ticket.dropped:
                    raise Superseded
                tell(0.0)
        finally:
            with self._changed:
                self._queue.remove(ticket)
                self._changed.notify_all()

    def _turn(self, ticket: _Ticket) -> _Worker | None:
        """An idle worker if it is the turn of `ticket`, else none; one more is started where all are at work."""
        self._look_after()
        idle = [one for one in self._workers if one.ready and not one.busy]
        coming = [one for one in self._workers if not one.ready]
        if not idle and not coming and len(self._workers) < self.most:
            self._begin()
        room = sum(one.busy and one.long for one in self._workers) < max(self.most - 1, 1)
        first = next((one for one in self._queue if not one.dropped and (room or not one.long)), None)
        if not idle or first is not ticket:
            return None
        idle[0].busy, idle[0].long = True, ticket.long
        return idle[0]

    def _look_after(self) -> None:
        """Let go of workers that ended, and end those that should have started or stopped long since."""
        for one in list(self._workers):
            if one.lost:
                self._workers.remove(one)
                self._failed += not one.ready
            elif time.monotonic() > one.deadline:
                one.process.kill()
        if self._failed >= TRIES and len(self._workers) < self.most:
            self._do_without("ended before they were ready")

    def _begin(self) -> None:
        try:
            self._workers.append(_Worker(self._command, self._changed))
        except (OSError, ValueError) as error:
            self._do_without(f"cannot be started ({type(error).__name__})")

    def _do_without(self, why: str) -> None:
        self.most = len(self._workers)
        _LOG.warning("Worker processes %s: no more than %d from now on.", why, self.most)


def number_asked() -> int:
    """How many workers the environment asks for, or one for each core up to `USUAL`.

    Raises
    ------
    InputError
        If it is no whole number from 0 to `MOST`.
    """
    text = os.environ.get(NUMBER, "").strip()
    if not text:
        return min(getattr(os, "process_cpu_count", os.cpu_count)() or 1, USUAL)
    if not (text.isascii() and text.isdigit() and int(text[:9]) <= MOST):
        raise InputError(NUMBER, text, None, f"a whole number from 0 to {MOST}, or nothing")
    return int(text)


@contextmanager
def until_superseded() -> Iterator[None]:
    """Around what a run of the page asks: where the session has asked for something else since, this run ends."""
    try:
        with RUN_QUEUE.aside():
            yield
    except Superseded:
        st.stop()


WORKERS: Final = Workers(number_asked())
"""The workers of this server."""

atexit.register(WORKERS.end)
