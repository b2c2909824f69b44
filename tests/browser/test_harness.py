"""The harness sees what it has to see: tried on a throw-away app of its own."""

from __future__ import annotations

import http.client
import json
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import harness

pytestmark = pytest.mark.browser

APP = """\
import streamlit as st

st.set_page_config(page_title="Throw-away", layout="wide")
st.title("Throw-away")
hs = st.sidebar.number_input("Hs [m]", 0.0, 20.0, 3.0)
st.write(f"Hs is {hs:.2f}")
"""


@pytest.fixture(scope="module")
def throwaway(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    folder = tmp_path_factory.mktemp("throwaway")
    (folder / ".streamlit").mkdir()
    settings = (harness.ROOT / ".streamlit" / "config.toml").read_text("utf-8")
    (folder / ".streamlit" / "config.toml").write_text(settings, "utf-8")
    (folder / "app.py").write_text(APP, "utf-8")
    with harness.serve(folder / "app.py") as served:
        yield served


def test_a_number_reaches_the_script(page: Any, throwaway: str) -> None:
    harness.open_page(page, throwaway)
    harness.set_number(page, "Hs [m]", 4.5)
    assert page.get_by_text("Hs is 4.50").count() == 1
    harness.no_sideways_overflow(page)


def test_a_number_reaches_the_script_from_a_folded_sidebar(phone: Any, throwaway: str) -> None:
    harness.open_page(phone, throwaway)
    harness.set_number(phone, "Hs [m]", 4.5)
    assert phone.get_by_text("Hs is 4.50").count() == 1


def test_troubles_are_noticed(browser: Any, throwaway: str) -> None:
    with harness.open_context(browser) as (context, watch):
        page = context.new_page()
        harness.open_page(page, throwaway)
        assert watch.troubles == []
        page.evaluate("console.error('a console error')")
        page.evaluate("setTimeout(() => { throw new Error('a page error') }, 1)")
        page.evaluate("fetch('https://heave.invalid/far').catch(() => null)")
        # Each by its words, not by their number: the request alone may be told of twice, before the page's error.
        for told in ("a console error", "a page error", "leaves this machine: https://heave.invalid/far"):
            harness.wait_until(
                page, lambda told=told: told in "\n".join(watch.troubles), f"{told!r} to be heard of"
            )


def test_a_missing_resource_is_noticed_with_its_address(browser: Any, throwaway: str) -> None:
    with harness.open_context(browser) as (context, watch):
        page = context.new_page()
        harness.open_page(page, throwaway)
        page.evaluate("fetch('/page/_stcore/health')")  # answered first, so that its trouble would come first
        page.evaluate("fetch('/media/none.png')")
        harness.wait_until(page, lambda: bool(watch.troubles), "the missing picture to be heard of")
    assert len(watch.troubles) == 1
    assert watch.troubles[0].endswith("/media/none.png")


def test_sideways_overflow_is_noticed(browser: Any, throwaway: str) -> None:
    with harness.open_context(browser) as (context, _):
        page = context.new_page()
        harness.open_page(page, throwaway)
        page.evaluate(
            """document.querySelector('[data-testid="stMain"]')
                       .insertAdjacentHTML('beforeend', '<div style="width: 3000px">wide</div>')"""
        )
        with pytest.raises(AssertionError, match="px wider than its window"):
            harness.no_sideways_overflow(page, patience=0.5)


def test_a_picture_shows_the_whole_page(page: Any, throwaway: str, tmp_path: Path) -> None:
    harness.open_page(page, throwaway)
    picture = harness.shot(page, tmp_path / "whole.png").read_bytes()
    assert picture.startswith(b"\x89PNG")
    assert int.from_bytes(picture[16:20], "big") == 1440


def test_a_foreign_host_header_is_refused(throwaway: str) -> None:
    """What a page elsewhere would send after pointing its own name at this machine."""
    assert _handshake(throwaway, "127.0.0.1") == 101
    assert _handshake(throwaway, "planner.invalid") == 403


def _handshake(address: str, host: str) -> int:
    """The status the server answers to a WebSocket request that claims to be from `host`."""
    port = int(address.rsplit(":", 1)[1])
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    connection.putrequest("GET", "/_stcore/stream", skip_host=True)
    for name, value in (
        ("Host", f"{host}:{port}"),
        ("Origin", f"http://{host}:{port}"),
        ("Connection", "Upgrade"),
        ("Upgrade", "websocket"),
        ("Sec-WebSocket-Version", "13"),
        ("Sec-WebSocket-Key", "AAAAAAAAAAAAAAAAAAAAAA=="),
    ):
        connection.putheader(name, value)
    connection.endheaders()
    status = connection.getresponse().status
    connection.close()
    return status


def test_a_server_that_cannot_start_says_why(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError, match="did not start"), harness.serve(tmp_path / "none.py", patience=20):
        pytest.fail("it started")


def test_health_is_plain(throwaway: str) -> None:
    with urllib.request.urlopen(f"{throwaway}/_stcore/health", timeout=60) as answer:
        assert answer.read() == b"ok"
    with urllib.request.urlopen(f"{throwaway}/_stcore/host-config", timeout=60) as answer:
        assert isinstance(json.load(answer), dict)


def test_a_missing_browser_is_named_and_may_be_insisted_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(harness, "chromium_path", lambda: None)
    assert "Chromium is not installed" in (harness.why_not() or "")
    monkeypatch.setenv(harness.MUST_RUN, "must-run")
    assert harness.must_run()
    monkeypatch.delenv(harness.MUST_RUN)
    assert not harness.must_run()
