"""No label of a chart covers another, none is struck through and none is cut; the whole run is `overlap.py`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import overlap
import plotly
import pytest
from crowded import crowded

from heave.files.link import plan_to_link
from heave.screens.figures.chart import figure, line
from heave.screens.figures.look import LIGHT

pytestmark = pytest.mark.browser

PLANTED = """
<div data-testid="stApp"><div data-testid="stImage"><img width="300" height="200" src="data:image/svg+xml,%3Csvg
 xmlns='http://www.w3.org/2000/svg' width='300' height='200'%3E%3Ctitle%3Eplanted%3C/title%3E
%3Ctext x='20' y='50'%3Efirst words%3C/text%3E%3Ctext x='40' y='52'%3Esecond words%3C/text%3E
%3Ctext x='20' y='100'%3Estruck%3C/text%3E%3Cline x1='0' x2='300' y1='95' y2='95' stroke='black'/%3E
%3Ctext x='270' y='150'%3Epast the edge%3C/text%3E%3C/svg%3E"></div>
<p style="width:60px;overflow:hidden;text-overflow:ellipsis;white-space:nowrap">words that do not fit here</p>
<div class="st-key-tile-list"><ul><li style="width:60px"><strong style="display:block;white-space:nowrap">12.8 to 62.9
 klbf</strong></li></ul></div></div>
"""


def test_what_is_planted_is_found(page: Any) -> None:
    page.set_content(PLANTED)
    page.wait_for_function("document.querySelector('img').complete")
    found = " ".join(page.evaluate(overlap.LOOKED))
    for words in (
        '"first words" covers "second words"',
        'runs through "struck"',
        '"past the edge" is cut',
        "fit here",
        "runs out of its tile",
    ):
        assert words in found


@pytest.mark.parametrize("plan", ["demo", "crowded"])
def test_the_first_page_has_no_label_over_another(page: Any, address: str, plan: str) -> None:
    link = f"/?plan={plan_to_link(crowded())}" if plan == "crowded" else ""
    for width in (1440, 390):
        for _, found in overlap.findings(page, address + link, (width,), unfold=False):
            assert not found


_DRAWN = """([chart, fresh, width]) => {
    if (fresh) Plotly.purge('chart')
    return Plotly.react('chart', chart.data, {...chart.layout, width}).then(drawn => {
        const legend = drawn.querySelector('.legend').getBoundingClientRect()
        return [legend.top, legend.bottom, drawn._fullLayout._size.t]
    })
}"""


def test_a_legend_stays_over_the_axes_when_the_window_is_narrowed(page: Any) -> None:
    names = ("weight on bit", "what the driller reads", "hook", "limit of the riser analysis", "string alone")
    traces = [line(name, "#0072B2", x=[0, 1], y=[0, 1]) for name in names]
    chart = figure(LIGHT, traces, xaxis={"title": "time, s"}, yaxis={"title": "force, kN"}).to_dict()
    page.set_content("<body style='margin:0'><div id='chart'></div></body>")
    page.add_script_tag(path=Path(plotly.__file__).parent / "package_data" / "plotly.min.js")
    wide = page.evaluate(_DRAWN, [chart, True, 1200])
    narrowed = page.evaluate(_DRAWN, [chart, False, 360])
    assert narrowed == page.evaluate(_DRAWN, [chart, True, 360])
    assert narrowed[1] > wide[1] + 40
    for top, bottom, axes in (wide, narrowed):
        assert 0 <= top < bottom < axes
