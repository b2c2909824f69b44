"""Start-up: import what the first page needs, and keep all that is imported out of the garbage collector's way.

The server collects garbage after every run of a script, and a full collection walks every object of every
imported package: measured on two cores, a light page took 80–100 ms to run again with pandas and SciPy
loaded. What is frozen is never walked, and the same page takes 15 ms. It is done twice in a process:

- `freeze_imports`, before the first page, which `app.py` imports this module for before anything else;
- `warm_up`, once the first page is out, in a thread of its own: it imports what other pages will need, so
  that none of them waits for it, and freezes that together with what the first runs left behind for good,
  some 26,000 objects that every later collection would walk (16 ms against 1 ms).

To freeze is one step in which no other thread runs. What another session is using at that moment is still
let go when it is no longer used, unless it refers to itself in a circle, and that happens once.
"""

from __future__ import annotations

import gc
import importlib
import threading
import time
from typing import Final

HEAVY: Final = ("numpy", "plotly.graph_objects", "plotly.io", "streamlit", "heave")
"""What the first page uses that is slow to import."""

LATER: Final = (
    "heave.screens.weather.view",
    "heave.screens.weight_on_bit.watch",
    "heave.screens.method.chapters",
    "scipy.interpolate",
    "scipy.linalg",
    "pandas",
)
"""What other pages use; never scipy.stats or scipy.signal (a second each)."""

PAUSE: Final = 1.0
"""How long the first page is left to itself before the rest is imported [s]."""

_first = threading.Lock()


def freeze(names: tuple[str, ...]) -> None:
    """Import packages, then freeze everything that is alive."""
    for name in names:
        importlib.import_module(name)
    gc.collect()
    gc.freeze()


def warm_up() -> threading.Thread | None:
    """Import the rest in the background and freeze again; the first call in a process does it, later ones nothing."""
    if not _first.acquire(blocking=False):
        return None

    def work() -> None:
        time.sleep(PAUSE)
        freeze(LATER)

    thread = threading.Thread(target=work, name="warm-up", daemon=True)
    thread.start()
    return thread


freeze(HEAVY)
