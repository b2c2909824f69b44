"""Start-up brings every heavy package in once, freezes it, and never brings the slowest two."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

SCRIPT = """
import gc, json, sys
import heave.screens.startup as startup
frozen = gc.get_freeze_count()
import heave.screens.startup
print(json.dumps({
    "missing": [name for name in startup.HEAVY if name not in sys.modules],
    "slow": [name for name in ("scipy.stats", "scipy.signal", "plotly.express") if name in sys.modules],
    "frozen": frozen,
    "again": gc.get_freeze_count(),
    "left": len(gc.get_objects()),
}))
"""


def test_start_up_freezes_what_is_heavy_once() -> None:
    root = Path(__file__).resolve().parents[2]
    answer = subprocess.run(
        [sys.executable, "-c", SCRIPT], cwd=root, capture_output=True, text=True, timeout=60, check=True
    )
    told = json.loads(answer.stdout)
    assert told["missing"] == []
    assert told["slow"] == []
    assert told["frozen"] > 100_000  # the objects of NumPy, pandas, SciPy, Plotly and Streamlit
    assert told["again"] <= told["frozen"]
    assert told["left"] < 5_000  # what a collection after each run still walks
