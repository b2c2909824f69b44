"""No label of a chart covers another, none is struck through and none is cut; the whole run is `overlap.py`."""

from __future__ import annotations

from typing import Any

import overlap
import pytest
from crowded import crowded

from heave.files.link import plan_to_link

pytestmark = pytest.mark.browser

PLANTED = """
<div data-testid="stApp"><div data-testid="stImage"><img width="300" height="200" src="data:image/svg+xml,%3Csvg
 xmlns='http://www.w3.org/2000/svg' width='300' height='200'%3E%3Ctitle%3Eplanted%3C/title%3E
%3Ctext x='20' y='50'%3Efirst words%3C/text%3E%3Ctext x='40' y='52'%3Esecond words%3C/text%3E
%3Ctext x='20' y='100'%3Estruck%3C/text%3E%3Cline x1='0' x2='300' y1='95' y2='95' stroke='black'/%3E
%3Ctext x='270' y='150'%3Epast the edge%3C/text%3E%3C/svg%3E"></div>
<p style="width:60px;overflow:hidden;text-overflow:ellipsis;white-space:nowrap">words that do not fit here</p></div>
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
    ):
        assert words in found


@pytest.mark.parametrize("plan", ["demo", "crowded"])
def test_the_first_page_has_no_label_over_another(page: Any, address: str, plan: str) -> None:
    link = f"/?plan={plan_to_link(crowded())}" if plan == "crowded" else ""
    for width in (1440, 390):
        for _, found in overlap.findings(page, address + link, (width,), unfold=False):
            assert not found
