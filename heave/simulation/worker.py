"""A process beside the planner's own that works out what it is asked: `python -m heave.simulation.worker`.

It is started by the planner (`heave.screens.workers`), hears questions on its standard input, answers on its standard
output, and ends when its input ends, which is also when the planner dies. A question is a function by its name with its
arguments; the function hears of `progress`, and a question that is stopped ends at its next word of that. Messages are
pickles behind their length: they go between a process and its own child only, and never to or from a file.
"""

from __future__ import annotations

import importlib
import os
import pickle
import queue
import signal
import struct
import threading
import time
from typing import IO, Any, Final

HEAVY: Final = ("heave.simulation.played", "heave.simulation.proof", "scipy.linalg")
"""What questions use that is slow to import; a heave record that was measured brings the rest of SciPy, 24 MB."""

LENGTH: Final = struct.Struct("!Q")
"""How many bytes follow."""

MOST: Final = 1 << 32
"""Most bytes of a message; words that get among messages make a length above it."""

PATIENT: Final = 10
"""How far the process steps back where the machine is busy: the planner's pages go before it."""

OFTEN: Final = 0.05
"""Least time between two words of progress [s]."""

READY, SHARE, ANSWER, ERROR, STOPPED = "ready", "share", "answer", "error", "stopped"
"""Kinds of message from a worker: it has imported what it needs; how far it is; how a question ended."""


class Stopped(BaseException):
    """The question is no longer wanted."""


def send(stream: IO[bytes], message: Any) -> None:
    """Write a message.

    Parameters
    ----------
    stream : to the other process
    message : what can be pickled

    Raises
    ------
    OSError
        If nobody reads it any more.
    """
    body = pickle.dumps(message, pickle.HIGHEST_PROTOCOL)
    stream.write(LENGTH.pack(len(body)))
    stream.write(body)
    stream.flush()


def received(stream: IO[bytes]) -> Any:
    """The next message.

    Parameters
    ----------
    stream : from the other process

    Raises
    ------
    EOFError
        If there is none, or not the whole of it.
    ValueError
        If it is none: its length cannot be.
    """
    (length,) = LENGTH.unpack(_whole(stream, LENGTH.size))
    if length > MOST:
        raise ValueError(f"a message of {length} bytes")
    return pickle.loads(_whole(stream, length))


def _whole(stream: IO[bytes], length: int) -> bytes:
    found = stream.read(length)
    if len(found) < length:
        raise EOFError
    return found


def packed(error: BaseException) -> tuple[Any, ...]:
    """An error so that it can be sent: class, arguments and what is known of it, or its words where those cannot.

    Parameters
    ----------
    error : what a question raised
    """
    parts = type(error), error.args, dict(vars(error))
    try:
        pickle.loads(pickle.dumps(parts))
    except Exception:
        return RuntimeError, (f"{type(error).__name__}: {error}",), {}
    return parts


def unpacked(parts: tuple[Any, ...]) -> BaseException:
    """The error that was sent; it is not made by its own initialiser, which asks for other things than it keeps.

    Parameters
    ----------
    parts : as of `packed`
    """
    kind, arguments, known = parts
    error: BaseException = kind.__new__(kind, *arguments)
    error.args = arguments
    vars(error).update(known)
    return error


class _Desk:
    """Questions as they come in, and answers as they go out."""

    def __init__(self, inbox: IO[bytes], outbox: IO[bytes]) -> None:
        self._inbox, self._outbox = inbox, outbox
        self._questions: queue.SimpleQueue[tuple[int, bytes]] = queue.SimpleQueue()
        self._stopped = 0

    def listen(self) -> None:
        """Take in questions, and stops of the one being worked on; at the end of them the process ends at once."""
        try:
            while True:
                number, body = received(self._inbox)
                if body is None:
                    self._stopped = max(self._stopped, number)
                else:
                    self._questions.put((number, body))
        finally:
            os._exit(0)

    def work(self) -> None:
        """Answer one question after the other."""
        while True:
            number, body = self._questions.get()
            self._say(number, *self._answer(number, body))

    def _answer(self, number: int, body: bytes) -> tuple[str, Any]:
        last = time.monotonic()

        def tell(share: float) -> None:
            nonlocal last
            if self._stopped >= number:
                raise Stopped
            if time.monotonic() - last >= OFTEN:
                last = time.monotonic()
                self._say(number, SHARE, float(share))

        try:
            function, arguments = pickle.loads(body)
            return ANSWER, pickle.dumps(function(*arguments, progress=tell), pickle.HIGHEST_PROTOCOL)
        except Stopped:
            return STOPPED, None
        except Exception as error:
            return ERROR, packed(error)

    def _say(self, number: int, kind: str, value: Any) -> None:
        try:
            send(self._outbox, (number, kind, value))
        except OSError:  # nobody hears it
            os._exit(0)

    def ready(self) -> None:
        """Say that questions are answered without delay from now on."""
        self._say(0, READY, None)


def main() -> None:
    """Answer questions until there are no more."""
    if hasattr(os, "nice"):
        os.nice(PATIENT)
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is for the planner, whose end ends this
    desk = _Desk(os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb"))
    # nothing that is printed gets among the messages
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    threading.Thread(target=desk.listen, daemon=True).start()
    for name in HEAVY:
        importlib.import_module(name)
    desk.ready()
    desk.work()


if __name__ == "__main__":
    main()
