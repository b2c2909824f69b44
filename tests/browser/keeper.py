"""A browser context that keeps what its pages keep, lent to one test after another with nothing in it.

A context of a test's own fetches and compiles the app's code anew, and a new tab costs half as much again as one that
was blanked: a page opened in a lent one takes 2 s of processor, in a new one 4 to 7.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final
from urllib.parse import urlsplit

import harness

_WORK: Final = "localStorage.getItem('heave:work')"


@contextmanager
def kept(page: Any) -> Iterator[None]:
    """Around a change of the plan: waits until the browser keeps it, which is after the page shows it."""
    before = page.evaluate(_WORK) if page.url.startswith("http") else None
    yield
    harness.wait_until(page, lambda: page.evaluate(_WORK) not in (None, before), "the work to be kept")


class Keeper:
    """One context and its tabs."""

    def __init__(self, context: Any, watch: harness.Watch) -> None:
        self.context = context
        self._watch = watch
        self._idle: list[Any] = []

    def new_page(self) -> Any:
        """A further tab, blank."""
        return self._idle.pop() if self._idle else self.context.new_page()

    def open(self, address: str) -> Any:
        """A further tab at `address`, once it is settled."""
        page = self.new_page()
        harness.open_page(page, address)
        return page

    @contextmanager
    def lent(self) -> Iterator[Keeper]:
        """For a test, with every tab blank and nothing kept; fails on any trouble on its pages."""
        self._watch.troubles.clear()
        try:
            yield self
        finally:
            self._empty()
        assert not self._watch.troubles, "\n".join(self._watch.troubles)

    def _empty(self) -> None:
        origins = {page.url for page in self.context.pages if page.url.startswith("http")}
        for page in self.context.pages:
            if page.url.startswith("http"):
                page.evaluate("sessionStorage.clear()")
            page.goto("about:blank")
        self._idle = list(self.context.pages)
        # only now: a page that is left keeps its work once more
        for origin in {"{0.scheme}://{0.netloc}".format(urlsplit(url)) for url in origins}:
            session = self.context.new_cdp_session(self._idle[0])
            session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"})
            session.detach()
