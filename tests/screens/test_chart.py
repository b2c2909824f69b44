"""How a chart is put together and sent: arrays whole, text as it stands."""

from __future__ import annotations

import base64
import html
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from heave.screens.figures import chart
from heave.screens.figures.chart import Chart
from heave.screens.figures.look import LIGHT


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


@pytest.mark.parametrize(
    "values", [np.array([1.5, np.nan]), np.array([1, 2**40]), np.array([3, -4]), np.arange(6.0).reshape(2, 3)]
)
def test_arrays_travel_whole(values: Any) -> None:
    """As bytes where the browser knows the kind, else as digits; the browser has no eight-byte integers."""
    sent = Chart([{"type": "heatmap", "z": values}], {}).to_dict()["data"][0]["z"]
    if isinstance(sent, dict):
        found = np.frombuffer(base64.b64decode(sent["bdata"]), sent["dtype"])
        shape = tuple(int(n) for n in sent["shape"].split(",")) if "shape" in sent else found.shape
        sent = found.reshape(shape)
    assert np.array_equal(sent, values, equal_nan=values.dtype.kind == "f")


def test_no_text_of_a_file_or_a_person_is_read_as_tags_in_a_chart() -> None:
    words = "<b>a & b</b> <a href='http://e.test'>l</a>"
    named = [chart.line(words, LIGHT.text), chart.points(words)]
    sent = chart.figure(LIGHT, named, xaxis={"title": words}).to_dict()
    told = [sent["data"][0]["name"], sent["data"][1]["name"], sent["layout"]["xaxis"]["title"]["text"]]
    assert {html.unescape(one) for one in told} == {words}
    assert not any("<" in one for one in told)


HALF = """
import sys, threading
import numpy as np
from heave.screens.figures.chart import Chart

class Held:
    def find_spec(self, name, *where):
        if name == "pandas.core.api" and not there.is_set():  # the last of pandas's own: Series is not there yet
            there.set()
            go_on.wait(60)

there, go_on = threading.Event(), threading.Event()
sys.meta_path.insert(0, Held())
chart = Chart([{"type": "scatter", "x": np.arange(3.0), "y": [1.0, 2.0, 3.0]}], {})
thread = threading.Thread(target=__import__, args=("pandas",))
thread.start()
assert there.wait(60) and not hasattr(sys.modules["pandas"], "Series")
threading.Timer(0.5, go_on.set).start()  # a figure that waits for nobody is read long before
assert list(chart.data[0].y) == [1.0, 2.0, 3.0]
"""


def test_a_figure_is_read_whole_while_another_thread_imports_pandas() -> None:
    """Plotly takes what stands among the imported modules, whether or not it is all there yet."""
    root = Path(__file__).resolve().parents[2]
    assert subprocess.run([sys.executable, "-c", HALF], cwd=root, timeout=300, check=False).returncode == 0
