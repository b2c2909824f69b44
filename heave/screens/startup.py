"""Start-up: import what the first page needs, and keep all that is imported out of the garbage collector's way.

A full collection walks every object of every imported package: measured on two cores, a light page took 80–100 ms
to run again with pandas and SciPy loaded, for one was made after every run of a script. What is frozen is never walked,
and the same page takes 15 ms. It is done twice in a process:

- before the first page, when `app.py` imports this module before anything else;
- once the first page is out, in a thread of its own, which imports what other pages will need, so that none
  of them waits for it, and freezes that together with what the first runs left behind for good: some 26,000
  objects that every later collection would walk (16 ms against 1 ms).

What sessions hold is walked even so: with fifty of them 60 ms, half of all that an entry cost. So the server's own
collection after every run is turned off (`runner.postScriptGC`) and one is made here, seldom.

pandas needs care: Plotly and others look for it among the imported modules and find it half imported while
another thread imports it. So that import and the second freeze wait for a moment in which no page runs; a
page that is asked for in that half second, once in the life of a process, waits for its end.
"""

from __future__ import annotations

import gc
import importlib
import threading
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Final

HEAVY: Final = (
    "numpy",
    "plotly.graph_objects",
    "plotly.io",
    "streamlit",
    "heave.judging",
    "heave.files.rigs",
)
"""What the first page uses that is slow to import."""

LATER: Final = (
    "heave.screens.weather.view",
    "heave.screens.weight_on_bit.watch",
    "heave.screens.limits.view",
    "heave.screens.hoisting.loads",
    "heave.screens.hoisting.ledger",
    "heave.screens.hoisting.hookload",
    "heave.screens.calculation.view",
    "heave.screens.method.chapters",
    "heave.screens.sensitivity.ranges",
    "heave.screens.sensitivity.swings",
    "heave.screens.sensitivity.chances",
    "heave.screens.compare.tables",
)
"""What other pages use."""

TO_SIMULATE: Final = ("scipy.linalg",)
"""What simulating uses, where no worker does it; never scipy.stats or scipy.signal (a second each)."""

ALONE: Final = ("pandas",)
"""What tables use, imported while no page runs."""

PAUSE: float = 1.0
"""How long the first page is left to itself before the rest is imported [s]."""

SELDOM: Final = 10.0
"""Least time between two full collections, each at the end of a run [s]."""

_gate = threading.Condition()
_running = 0
_begun = False
_collected = 0.0


@contextmanager
def page_run() -> Iterator[None]:
    """Around a run of the app; the end of the first one in a process starts the warm-up."""
    global _running  # noqa: PLW0603  (counted for the whole process)
    with _gate:
        _running += 1
    try:
        yield
    finally:
        with _gate:
            _running -= 1
            _gate.notify_all()
        warm_up()
        _tidy()


def _tidy() -> None:
    """Collect what runs have left behind in circles, where it was not done just now."""
    global _collected  # noqa: PLW0603  (for the whole process)
    now = time.monotonic()
    if now - _collected > SELDOM:
        _collected = now
        gc.collect()


def warm_up() -> threading.Thread | None:
    """Import the rest in the background and freeze again; the first call in a process does it, later ones nothing."""
    global _begun  # noqa: PLW0603  (once in a process)
    with _gate:
        if _begun:
            return None
        _begun = True
    thread = threading.Thread(target=_warm, name="warm-up", daemon=True)
    thread.start()
    return thread


def _warm() -> None:
    time.sleep(PAUSE)
    _import(LATER)
    from heave.screens.workers import WORKERS  # not before the first page is out

    if WORKERS.most:
        WORKERS.warm()
    else:
        _import(TO_SIMULATE)
    with _gate:  # held to the end: no page begins
        _gate.wait_for(lambda: _running == 0)
        _import(ALONE)
        freeze()


def _import(names: Iterable[str]) -> None:
    for name in names:
        importlib.import_module(name)


def freeze() -> None:
    """Take everything that is alive out of the garbage collector's way, for good."""
    gc.collect()
    gc.freeze()


def know_the_address() -> None:
    """Let the server hold its own address for known, which is allowed already.

    Else it asks a public address for it as soon as a page of another origin tries to connect.
    """
    from streamlit import net_util

    net_util._internal_ip = net_util._external_ip = "127.0.0.1"


def know_it_is_served() -> None:
    """Let Streamlit hold its warning to whoever runs a page without a server for given.

    Else it reads the source of every module before the first element is sent, to find out: 0.07 s of the first page.
    """
    from streamlit import delta_generator

    delta_generator._use_warning_has_been_displayed = True


_import(HEAVY)
know_the_address()
know_it_is_served()
freeze()
