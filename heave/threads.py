"""The linear algebra of NumPy on one thread.

The matrices here are small, a few hundred rows at a time: shared between threads they take several times
longer than on one, most of it spent waiting. On two cores the checks of 20,000 seas took five times as long, and
a plan's checks by simulation nine times.
"""

from __future__ import annotations

import ctypes
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from typing import Any

import numpy as np

_SETTERS = tuple(
    f"{prefix}openblas_{{}}_num_threads{suffix}" for prefix in ("scipy_", "") for suffix in ("64_", "")
)


_lock = threading.Lock()
_before: list[int] = []
"""For each open block the number of threads to go back to after the last."""


@contextmanager
def one_thread_each() -> Iterator[None]:
    """Linear algebra on one thread inside the block; where the library has no such switch, nothing changes."""
    get, put = _switch()
    with _lock:
        _before.append(_before[0] if _before else get())
        put(1)
    try:
        yield
    finally:
        with _lock:
            found = _before.pop()
            if not _before:
                put(found)


@cache
def _switch() -> tuple[Callable[[], int], Callable[[int], Any]]:
    """What reads and sets the number of threads of the OpenBLAS that NumPy brings along."""
    try:
        library = ctypes.CDLL(np._core._multiarray_umath.__file__)  # type: ignore[attr-defined]
    except (AttributeError, OSError):
        return _none()
    for name in _SETTERS:
        get, put = (getattr(library, name.format(verb), None) for verb in ("get", "set"))
        if get is not None and put is not None:
            get.restype, put.argtypes, put.restype = ctypes.c_int, (ctypes.c_int,), None
            return get, put
    return _none()


def _none() -> tuple[Callable[[], int], Callable[[int], Any]]:
    return (lambda: 1), (lambda count: None)
