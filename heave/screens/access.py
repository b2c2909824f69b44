"""What the keyboard and those who hear a page need beyond what the platform gives: one small component for all pages.

It says a changed verdict once in a polite live region, keeps the focus where a redrawn page would drop it, takes it to
the heading of a page that the keyboard opened, and gives elements of the platform the roles they lack. It reads what
stands on the page, so nothing is sent to it.
"""

from __future__ import annotations

from heave.screens.every_page import NAME
from heave.screens.own_files import own_component


def draw() -> None:
    """Put the component on the page, before the page draws itself; it takes no room."""
    own_component("heave_access", "access.js", html="<i></i>")(key="heave:access")


def page_title(page: str) -> str:
    """The title of the browser's tab: the page first, so that tabs differ where they are cut."""
    return f"{page} · {NAME}"
