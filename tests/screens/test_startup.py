"""Start-up brings in what the first page needs, the rest after it, freezes both, and never the slowest two."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

SCRIPT = """
import gc, json, sys, threading
import heave.screens.startup as startup
first = gc.get_freeze_count()
early = [name for name in ("pandas", "scipy") if name in sys.modules]
left_first = len(gc.get_objects())
startup.PAUSE = 0.0
with startup.page_run():
    thread = startup.warm_up()
    again = startup.warm_up()
    while not all(name in sys.modules for name in startup.LATER):
        thread.join(0.05)
    thread.join(0.5)
    beside = [name for name in startup.ALONE if name in sys.modules]
thread.join()
frozen = gc.get_freeze_count()
import heave.screens.startup
print(json.dumps({
    "missing": [name for name in (*startup.HEAVY, *startup.LATER, *startup.ALONE) if name not in sys.modules],
    "early": early,
    "beside": beside,
    "slow": [name for name in ("scipy.stats", "scipy.signal", "plotly.express") if name in sys.modules],
    "first": first,
    "frozen": frozen,
    "again": gc.get_freeze_count(),
    "once": again is None,
    "waits": thread.daemon,
    "left_first": left_first,
    "left": len(gc.get_objects()),
}))
"""

FIRST_PAGE = """
import sys
from streamlit.testing.v1 import AppTest
page = AppTest.from_file("app.py", default_timeout=300).run()
assert not page.exception
print([name for name in ("numpy.ma", "pandas", "scipy", "PIL.PngImagePlugin") if name in sys.modules])
"""


def test_the_first_page_leaves_alone_what_it_can_do_without() -> None:
    """Masked arrays, an imaging library, pandas and SciPy: 2, 3, 60 and 30 MB of a server's memory."""
    root = Path(__file__).resolve().parents[2]
    ours = {
        key: value for key, value in os.environ.items() if not key.startswith("HEAVE_")
    }  # workers simulate
    about: dict[str, Any] = {"cwd": root, "capture_output": True, "text": True}
    source = FIRST_PAGE.replace("app.py", str(root / "app.py"))
    run = [sys.executable, "-c", source]
    ran = subprocess.run(run, check=False, env={**ours, "PYTHONPATH": str(root)}, **about)
    assert ran.stdout == "[]\n", (ran.stdout, ran.stderr[-2000:])


def test_start_up_freezes_what_is_heavy_once() -> None:
    root = Path(__file__).resolve().parents[2]
    answer = subprocess.run(
        [sys.executable, "-c", SCRIPT], cwd=root, capture_output=True, text=True, timeout=300, check=True
    )
    told = json.loads(answer.stdout)
    assert told["missing"] == []
    assert told["early"] == []  # no page waits for what only other pages use
    assert told["beside"] == []  # a page that runs would find it half imported
    assert told["slow"] == []
    assert told["first"] > 50_000
    assert told["left_first"] < 5_000
    assert told["frozen"] > 100_000  # the objects of NumPy, pandas, SciPy, Plotly and Streamlit
    assert told["again"] <= told["frozen"]
    assert told["once"]
    assert told["waits"]  # a server that is stopped does not wait for it
    assert told["left"] < 5_000  # what a collection after each run still walks


def test_the_first_page_needs_no_pandas() -> None:
    """Streamlit imports it to look whether a list that a component is handed is a table."""
    root = Path(__file__).resolve().parents[2]
    script = f"""
import os, sys
import heave.screens.startup as startup
from streamlit.testing.v1 import AppTest
startup.PAUSE = 600.0
page = AppTest.from_file({str(root / "app.py")!r}, default_timeout=300).run()
print([name for name in ("pandas", "pyarrow", "scipy") if name in sys.modules], len(page.exception), len(page.title))
sys.stdout.flush()
os._exit(0)
"""
    answer = subprocess.run(
        [sys.executable, "-c", script],
        cwd=root,
        env={**os.environ, "HEAVE_WORKERS": "1"},
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )
    assert answer.stdout.splitlines()[-1] == "[] 0 1"
