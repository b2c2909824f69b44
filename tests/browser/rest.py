"""Waiting until a page is at rest, by the page's own clock and not by how fast the machine is."""

from __future__ import annotations

import re
from typing import Any, Final

import harness

_SCRIPT: Final = (harness.ROOT / "heave" / "screens" / "access.js").read_text("utf-8")
QUIET: Final = int(re.findall(r"QUIET = (\d+)", _SCRIPT)[0])
"""How long the live region lets nothing move before it looks at the page [ms]."""

_REST: Final = """quiet => new Promise((done, fail) => {
    const rested = () => { observer.disconnect(); clearTimeout(last); requestAnimationFrame(() => done()) }
    let timer = setTimeout(rested, quiet)
    const observer = new MutationObserver(() => { clearTimeout(timer); timer = setTimeout(rested, quiet) })
    observer.observe(document.body, { childList: true, subtree: true, characterData: true,
        attributeFilter: ['data-stale', 'open', 'class'] })
    const last = setTimeout(() => { observer.disconnect(); clearTimeout(timer); fail('never at rest') }, 60_000)
})"""

_FRAMES: Final = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done())))"


def at_rest(page: Any) -> None:
    """Wait until the script has run and nothing has moved for longer than the live region waits.

    The page's timers come in their order, however late: whatever waits for a shorter quiet has had its turn.
    """
    harness.wait_settled(page)
    page.evaluate(_REST, QUIET + 100)


def drawn(page: Any) -> None:
    """Wait until the browser has drawn what was changed, and whatever asks for every frame was asked."""
    page.evaluate(_FRAMES)
