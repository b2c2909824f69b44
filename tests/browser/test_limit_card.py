"""The limit card in a browser: shown on its page, printed on one page of either paper, saved as a file of its own."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pdf_text import sheets

import harness
import heave
from heave.judging.limit_card import limit_card
from heave.judging.limit_curves import growths, letters_of
from heave.planning import Record
from heave.screens.limits.card import card_of
from heave.screens.limits.card_html import html_of

pytestmark = pytest.mark.browser


def test_it_stands_on_the_page_and_its_button_prints_it_alone(page: Any, address: str) -> None:
    harness.open_page(page, address + "/operating-limits")
    frame = page.locator("iframe").content_frame
    frame.get_by_role("heading", name="Limit card").wait_for()
    frame.locator("body").evaluate(
        "() => { window.printed = 0; window.print = () => { window.printed += 1 } }"
    )
    frame.get_by_role("button", name="Print this sheet").click()
    assert frame.locator("body").evaluate("() => window.printed") == 1
    harness.no_sideways_overflow(page)


@pytest.mark.parametrize("kind", ["drilling", "landing", "casing", "bare"])
@pytest.mark.parametrize("way", [0, 2])
def test_it_prints_on_one_page_of_either_paper(context: Any, tmp_path: Path, kind: str, way: int) -> None:
    """Long names, both sides or one, assessed or not, in the units that take most room."""
    plan = heave.demo_plan().changed(name="A plan of the well " * 4)
    bare = kind == "bare"
    plan = plan.changed(procedures=()).doing("casing") if bare else plan.doing(kind)  # type: ignore[arg-type]
    plan = plan.changed(record=Record(revision="R" * 40, prepared_by=("A name " * 11).strip()))
    limits = limit_card(plan, growths(plan)[way])
    letters = letters_of(limits.planned)
    card = card_of(limits, heave.assess(plan), letters, "oilfield", "2026-11-26")
    assert sheets(context, tmp_path / "card.html", html_of(card)) == [1, 1]
