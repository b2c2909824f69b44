"""How a chart is sent, and read while other threads import."""

from __future__ import annotations

import base64
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from heave.screens.figures.chart import Chart


@pytest.mark.parametrize(
    ("values", "kind"),
    [
        (np.array([0.1, 0.7, np.nan]), "f4"),
        (1e9 + np.array([0.1, 0.7, np.nan]), "f8"),
        (np.array([1e300, 0.0]), "f8"),
        (np.full(3, 0.1), "f8"),
        (np.full(3, np.nan), "f4"),
    ],
)
def test_figures_travel_in_single_precision_where_nobody_could_see_it(values: Any, kind: str) -> None:
    """A hundred-thousandth of what is shown is less than a hundredth of a pixel."""
    sent = Chart([{"type": "scatter", "x": values, "y": values}], {}).to_dict()["data"][0]
    assert (sent["x"]["dtype"], sent["y"]["dtype"]) == ("f8", kind)
    found = np.frombuffer(base64.b64decode(sent["y"]["bdata"]), kind)
    assert np.allclose(
        found,
        values,
        rtol=0,
        atol=1e-5 * (np.nanmax(values, initial=0.0) - np.nanmin(values, initial=0.0)),
        equal_nan=True,
    )


HALF = """
import sys, threading
import numpy as np
from heave.screens.figures.chart import Chart
chart = Chart([{"type": "scatter", "x": np.arange(3.0), "y": [1.0, 2.0, 3.0]}], {})
thread = threading.Thread(target=__import__, args=("pandas",))
thread.start()
while "pandas" not in sys.modules:
    pass
assert thread.is_alive() and not hasattr(sys.modules["pandas"], "Series")
assert list(chart.data[0].y) == [1.0, 2.0, 3.0]
"""


def test_a_figure_is_read_whole_while_another_thread_imports_pandas() -> None:
    """Plotly takes what stands among the imported modules, whether or not it is all there yet."""
    root = Path(__file__).resolve().parents[2]
    assert subprocess.run([sys.executable, "-c", HALF], cwd=root, timeout=120, check=False).returncode == 0
