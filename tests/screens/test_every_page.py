"""Every page and every tab of the rig page opens without an error, on any Python and library we allow."""

from __future__ import annotations

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

SCREENS = Path(__file__).resolve().parents[2] / "heave" / "screens"
PAGES = sorted(str(path.relative_to(SCREENS.parents[1])) for path in SCREENS.glob("*/page.py"))

pytestmark = pytest.mark.portable


@pytest.mark.parametrize("page", PAGES)
def test_a_page_opens(app: AppTest, page: str) -> None:
    app.switch_page(page).run()
    assert not app.exception
    assert app.title[0].value


def test_a_tab_stays_open_while_its_fields_are_edited(app: AppTest) -> None:
    app.session_state["heave:tab:rig"] = "Compensator"
    app.switch_page("heave/screens/rig/page.py").run()
    next(box for box in app.text_input if box.label == "Stroke (m)").set_value("6,1").run()
    assert not app.exception
    assert app.session_state["heave:plan"].compensator.stroke == 6.1
    assert [box for box in app.text_input if box.label == "Stroke (m)"]
