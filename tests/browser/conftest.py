"""Fixtures of the browser tests: one server and one browser context a session, one watched page a test.

A test that only looks takes a page that is `opened` once for all of them; one that edits a plan has its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import cache
from typing import Any

import pytest
from keeper import Keeper

import harness


@pytest.fixture(scope="session", autouse=True)
def _browser_available() -> None:
    reason = harness.why_not()
    if reason is None:
        return
    if harness.must_run():
        pytest.fail(f"{harness.MUST_RUN} says the browser tests must run, but {reason}")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def browser(_browser_available: None) -> Iterator[Any]:
    """One headless Chromium for all browser tests."""
    with harness.chromium() as running:
        yield running


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    """Where the app is served for this test session."""
    with harness.serve() as served:
        yield served


@pytest.fixture(scope="session")
def context(browser: Any) -> Iterator[Any]:
    """One context for all pages: the app's code is fetched and compiled once."""
    with harness.open_context(browser) as (shared, _):
        yield shared


@pytest.fixture
def page(context: Any) -> Iterator[Any]:
    """A desktop page; the test fails if anything on it went wrong or asked for another machine."""
    with harness.open_view(context) as page_:
        yield page_


@pytest.fixture(scope="session")
def opened(context: Any, address: str) -> Iterator[Callable[..., Any]]:
    """Opens a page once at a path, width and scheme, to be looked at and left as it is; fails on any trouble."""
    with ExitStack() as open_pages:

        @cache
        def made(path: str, width: int, scheme: str) -> Any:
            page_ = open_pages.enter_context(harness.open_view(context, width=width, scheme=scheme))
            harness.open_page(page_, address + path)
            return page_

        yield lambda path="", width=1440, scheme="light": made(path, width, scheme)


@pytest.fixture
def phone(context: Any) -> Iterator[Any]:
    """The same at a telephone's width."""
    with harness.open_view(context, width=390, height=844) as page_:
        yield page_


def _keeper(browser: Any) -> Iterator[Keeper]:
    with harness.open_context(browser, forgets=False) as (context, watch):
        yield Keeper(context, watch)


_here = pytest.fixture(scope="session", name="_here")(_keeper)
_elsewhere = pytest.fixture(scope="session", name="_elsewhere")(_keeper)


@pytest.fixture
def keeping(_here: Keeper) -> Iterator[Keeper]:
    """A browser that keeps what its pages keep, empty at first; what goes wrong on them fails the test."""
    with _here.lent() as keeper:
        yield keeper


@pytest.fixture
def elsewhere(_elsewhere: Keeper) -> Iterator[Keeper]:
    """Another such browser, somebody else's."""
    with _elsewhere.lent() as keeper:
        yield keeper
