"""The app opens on the demo plan with a verdict, at every width, and asks no other machine for anything."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable
from typing import Any

import pytest

import harness
from heave.screens.pages import PAGES

pytestmark = pytest.mark.browser

Opened = Callable[..., Any]
VERDICT = re.compile(r"\b(within limits|near a limit|over a limit|not assessed)\b", re.IGNORECASE)


def test_the_check_page_opens_with_a_verdict(opened: Opened) -> None:
    page = opened()
    assert page.get_by_role("heading", name="Compensator check").count() == 1
    assert VERDICT.search(page.get_by_test_id("stMain").inner_text())
    assert page.get_by_test_id("stException").count() == 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", harness.WIDTHS)
def test_the_check_page_fits_its_window(opened: Opened, width: int, scheme: str) -> None:
    page = opened(width=width, scheme=scheme)
    harness.no_sideways_overflow(page)
    assert VERDICT.search(page.get_by_test_id("stMain").inner_text())


def test_every_page_opens_without_trouble(page: Any, address: str) -> None:
    harness.open_page(page, address)
    names = [one.title for one in PAGES]
    assert "Compensator check" in names
    for name in names:
        harness.go_to(page, name)
        page.get_by_role("heading", name=name).first.wait_for()
        harness.wait_settled(page)
        assert page.get_by_role("heading", name=name).count() >= 1, name
        assert page.get_by_test_id("stException").count() == 0, name
        harness.no_sideways_overflow(page)


def test_the_icon_is_our_own(opened: Opened) -> None:
    page = opened()
    icon = page.locator('link[rel~="icon"]').first.get_attribute("href")
    expected = (harness.ROOT / "heave" / "screens" / "images" / "icon.png").read_bytes()
    assert icon == "data:image/png;base64," + b64encode(expected).decode("ascii")
