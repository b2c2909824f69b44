"""Start-up: import the heavy packages once and take them out of the garbage collector's way.

The server collects garbage after every run of a script, and a full collection walks every object of
every imported package: measured on two cores, a light page took 80–100 ms to run again with pandas
and SciPy loaded. Everything imported here is moved to the collector's permanent generation, which it
never walks, and the same page takes 15 ms. `app.py` imports this module before anything else, so
that no later import grows what has to be walked.
"""

from __future__ import annotations

import gc
import importlib
from typing import Final

HEAVY: Final = (
    "numpy",
    "pandas",
    "scipy.integrate",
    "scipy.optimize",
    "scipy.special",
    "plotly.graph_objects",
    "plotly.subplots",
    "streamlit",
    "heave",
)
"""What the screens use that is slow to import; never scipy.stats or scipy.signal (a second each)."""


def freeze_imports() -> None:
    """Import every heavy package, then freeze what is alive; Python runs this once a process."""
    for name in HEAVY:
        importlib.import_module(name)
    gc.collect()
    gc.freeze()


freeze_imports()
