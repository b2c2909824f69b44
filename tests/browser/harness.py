"""Start the app on a free port, drive it in headless Chromium, and notice anything that goes wrong.

Used by the browser tests and by `make_screenshots.py`. The app runs as a process of its own on
127.0.0.1 and is stopped through that process; nothing else on the machine is touched.
"""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import urlsplit

from runs import Runs

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Locator, Page

ROOT: Final = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))  # for what is run here without the tests
SHOTS: Final = Path(__file__).resolve().parent / "shots"
PATIENCE: Final = 180.0
"""For a page to open, or to be drawn again, on a machine that others use too [s]."""

MUST_RUN: Final = "HEAVE_BROWSER_TESTS"
"""Set this environment variable to `must-run` and a missing browser is a failure, not a skip."""

WIDTHS: Final = (1440, 1024, 390)
"""Screen widths looked at [CSS px]: a desktop, a tablet held flat and a telephone."""

LAUNCH: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)
"""The last one keeps the browser on this machine, without a hand in every request that would cost it its cache."""

_LOCAL_HOSTS: Final = {"127.0.0.1"}
_LOCAL_SCHEMES: Final = {"data", "blob", "about"}


def chromium_path() -> str | None:
    """Where Chromium is installed, or None."""
    fixed = Path("/usr/bin/chromium")
    return str(fixed) if fixed.exists() else shutil.which("chromium")


def why_not() -> str | None:
    """Why browser tests cannot run on this machine, or None if they can."""
    try:
        import playwright.sync_api  # noqa: F401  (the question is whether it is there)
    except ImportError:
        return "the Python package playwright is not installed"
    if chromium_path() is None:
        return "Chromium is not installed (Debian: apt-get install chromium)"
    return None


def must_run() -> bool:
    """True when browser tests have to run, as they do in continuous integration."""
    return os.environ.get(MUST_RUN) == "must-run"


@contextmanager
def serve(script: Path = ROOT / "app.py", *, port: int = 0, patience: float = PATIENCE) -> Iterator[str]:
    """Serve `script` on a local port, a free one unless given, and give its address; stop it by its own process.

    Raises RuntimeError with the server's own words if it is not healthy within `patience` seconds.
    """
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind(("127.0.0.1", port))
        port = probe.getsockname()[1]
    address = f"http://127.0.0.1:{port}"
    command = [sys.executable, "-m", "streamlit", "run", str(script)]
    command += ["--server.port", str(port), "--browser.serverPort", str(port)]
    ours = ("STREAMLIT_", "HEAVE_")  # the app is served as it is to users, workers and all
    environment = {key: value for key, value in os.environ.items() if not key.startswith(ours)}
    with tempfile.TemporaryFile("w+") as log:
        process = subprocess.Popen(
            command,
            cwd=script.parent,
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=subprocess.STDOUT,
            env=environment,
        )
        try:
            if not _healthy(address, process, patience):
                log.seek(0)
                raise RuntimeError(f"the app did not start within {patience:g} s:\n{log.read()[-4000:]}")
            yield address
        finally:
            process.terminate()
            try:
                process.wait(timeout=10)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait(timeout=10)


def _healthy(address: str, process: subprocess.Popen[bytes], patience: float) -> bool:
    deadline = time.monotonic() + patience
    while time.monotonic() < deadline and process.poll() is None:
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health", timeout=2) as answer:
                if answer.status == 200:
                    return True
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    return False


@contextmanager
def chromium() -> Iterator[Browser]:
    """A headless Chromium that makes no network calls of its own."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=chromium_path(), args=list(LAUNCH), timeout=PATIENCE * 1e3
        )
        try:
            yield browser
        finally:
            browser.close()


_WATCHES: Final[dict[Page, Watch]] = {}
"""Who listens to each page."""

_RUNS: Final[dict[Page, Runs]] = {}
"""What each page asked the server for, whoever listens."""


def _listener(page: Page) -> Watch:
    return _WATCHES[page]


@dataclass
class Watch:
    """Everything that went wrong on the pages of one browser context."""

    troubles: list[str] = field(default_factory=list)

    def over(self, page: Page) -> None:
        """Listen to `page`, in place of who did: errors, console, addresses it asks for."""
        heard = page in _WATCHES
        _WATCHES[page] = self
        if heard:
            return
        page.on("pageerror", lambda error: _listener(page).troubles.append(f"page error: {error}"))
        page.on("console", lambda message: _listener(page)._console(message))
        page.on("request", lambda request: _listener(page)._address(request.url))
        page.on("websocket", lambda channel: _listener(page)._address(channel.url))
        page.on("crash", lambda _: _listener(page).troubles.append("the page crashed"))
        _RUNS[page] = Runs()
        _RUNS[page].over(page)

    def _console(self, message: Any) -> None:
        if message.type != "error":
            return
        place = str((message.location or {}).get("url", ""))
        if not (message.text.startswith("Failed to load resource") and _base_path_probe(place)):
            self.troubles.append(f"console error: {message.text} {place}".rstrip())

    def _address(self, url: str) -> None:
        parts = urlsplit(url)
        if parts.scheme not in _LOCAL_SCHEMES and parts.hostname not in _LOCAL_HOSTS:
            self.troubles.append(f"request that leaves this machine: {url}")


def _base_path_probe(url: str) -> bool:
    """True for the question by which Streamlit's page learns, when a page's own address is opened, that it
    is not itself the root: it asks `/<page>/_stcore/…` first and is told 404 before it asks `/_stcore/…`.
    """
    parts = urlsplit(url).path.strip("/").split("/")
    return len(parts) == 3 and parts[1] == "_stcore" and parts[2] in {"health", "host-config"}


_FORGET: Final = "if (location.protocol.startsWith('http')) { localStorage.clear(); sessionStorage.clear() }"

_IDLE: Final[dict[BrowserContext, list[Page]]] = {}
"""Blank tabs of each context: the app opens in one for a third of the work that a new tab takes."""


@contextmanager
def open_context(
    browser: Browser, *, width: int = 1440, height: int = 1000, scheme: str = "light", forgets: bool = True
) -> Iterator[tuple[BrowserContext, Watch]]:
    """A fresh browser context in a light or dark colour scheme, every page of it watched.

    It forgets at every load what pages kept in it, unless told otherwise.
    """
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
        locale="en-GB",
        timezone_id="UTC",
        reduced_motion="reduce",
    )
    context.set_default_timeout(PATIENCE * 1e3)
    if forgets:
        context.add_init_script(_FORGET)
    watch = Watch()
    context.on("page", watch.over)
    try:
        yield context, watch
    finally:
        context.close()


@contextmanager
def open_view(
    context: BrowserContext, *, width: int = 1440, height: int = 1000, scheme: str = "light"
) -> Iterator[Page]:
    """A page of its own in a shared context, which has read the app's code before; fails on any trouble on it."""
    idle = _IDLE.setdefault(context, [])
    page = idle.pop() if idle else context.new_page()
    watch = Watch()
    watch.over(page)
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    try:
        yield page
    except BaseException:
        page.close()
        raise
    page.goto("about:blank")
    idle.append(page)
    assert not watch.troubles, "\n".join(watch.troubles)


@contextmanager
def rerun(page: Page) -> Iterator[None]:
    """Around what a person does that makes the script run: waits for that run, and for the page to settle."""
    runs = _RUNS[page]
    before = runs.ended
    yield
    wait_until(page, lambda: runs.ended > before, "a run of the script", timeout=PATIENCE)
    wait_settled(page)


def wait_until(page: Page, holds: Callable[[], bool], what: str, *, timeout: float = PATIENCE) -> None:
    """Ask again until it holds; after `timeout` seconds fail with `what` was waited for."""
    deadline = time.monotonic() + timeout
    while not holds():
        if time.monotonic() > deadline:
            raise TimeoutError(f"waited {timeout:g} s for {what}")
        page.wait_for_timeout(50)


_WORDS_OF_CHARTS: Final = """[...document.querySelectorAll('[data-testid=stPlotlyChart]')]
    .filter(one => one.checkVisibility()).map(one => one.querySelectorAll('text').length || -Math.random())
    .reduce((sum, one) => sum + one, 0)"""


def wait_settled(page: Page, *, timeout: float = PATIENCE) -> None:
    """Wait until all that was asked of the script is answered, nothing is stale, and every chart has its words."""
    page.wait_for_selector("[data-testid=stApp][data-test-script-state=notRunning]", timeout=timeout * 1e3)
    still, drawn, deadline = 0, -1, time.monotonic() + timeout
    while still < 3:
        if time.monotonic() > deadline:
            raise TimeoutError(f"the page was still running after {timeout:g} s")
        page.wait_for_timeout(60)
        state = page.locator('[data-testid="stApp"]').get_attribute("data-test-script-state")
        busy = page.locator('[data-testid="stSkeleton"], [data-stale="true"]').count()
        before, drawn = drawn, page.evaluate(_WORDS_OF_CHARTS)  # never the same while a chart has none
        rests = state == "notRunning" and busy == 0 and not _RUNS[page].owed
        still = still + 1 if rests and drawn == before else 0


def open_page(page: Page, address: str) -> None:
    """Go to `address` and wait until the app has drawn itself."""
    with rerun(page):
        page.goto(address)


def reload(page: Page) -> None:
    """Load the page anew and wait until the app has drawn itself."""
    with rerun(page):
        page.reload()


def box(page: Page, label: str) -> Locator:
    """The input box whose accessible name is `label`; a telephone's folded sidebar is opened first."""
    found = page.get_by_label(label, exact=True).locator("visible=true")
    opener = page.get_by_test_id("stExpandSidebarButton")
    if found.count() == 0 and opener.count() and opener.first.is_visible():
        opener.first.click()
        found.first.wait_for()
        wait_until(page, lambda: _stands_still(found.first), f"{label} to come to rest in the sidebar")
    return found.first


def _stands_still(found: Locator) -> bool:
    """True when it is inside the window and has not moved between two looks."""
    place = found.bounding_box()
    found.page.wait_for_timeout(60)
    return place is not None and place["x"] >= 0 and place == found.bounding_box()


def go_to(page: Page, title: str) -> None:
    """Click a page of the navigation: in sight, in a section that opens, or on a phone in the sidebar."""
    name = re.compile(rf"^\s*{re.escape(title)}\s*$")
    with rerun(page):
        for kind in ("stTopNavLink", "stSidebarNavLink"):
            link = page.get_by_test_id(kind).filter(has_text=name).locator("visible=true")
            if link.count():
                link.first.click()
                return
        for section in page.get_by_test_id("stTopNavSection").locator("visible=true").all():
            section.click()
            listed = page.get_by_test_id("stTopNavPopoverBody")
            listed.wait_for()
            link = listed.get_by_test_id("stTopNavDropdownLink").filter(has_text=name)
            if link.count():
                link.first.click()
                return
            page.keyboard.press("Escape")
            listed.wait_for(state="detached")
        raise LookupError(f"no page is called {title}")


def plan_file(page: Page) -> None:
    """Open the fold of the plan's file in the sidebar, where it is closed."""
    if not page.get_by_role("button", name="Save the plan").locator("visible=true").count():
        with rerun(page):
            page.get_by_test_id("stSidebar").locator("summary", has_text="Plan: ").click()


def set_number(page: Page, label: str, value: float | str) -> None:
    """Type `value` into the box called `label`, press Enter as a person would, and wait."""
    field_ = box(page, label)
    with rerun(page):
        field_.fill(str(value))
        field_.press("Enter")


def sideways_overflow(page: Page) -> float:
    """How far the widest block of the page reaches past the window [CSS px]; 0 when nothing does."""
    overflow: float = page.evaluate(
        """() => {
            const inner = '[data-testid="stMain"], [data-testid="stSidebarContent"]';
            const areas = [document.documentElement, ...document.querySelectorAll(inner)];
            return Math.max(0, ...areas.map(area => area.scrollWidth - area.clientWidth));
        }"""
    )
    return overflow


def no_sideways_overflow(page: Page, *, patience: float = 10.0) -> None:
    """Fail if the page has to be scrolled sideways, and still has to when what was drawn last has been laid out [s]."""
    deadline = time.monotonic() + patience
    while (overflow := sideways_overflow(page)) > 1 and time.monotonic() < deadline:
        page.wait_for_timeout(50)
    assert overflow <= 1, f"the page is {overflow:g} px wider than its window"


def shot(page: Page, path: Path, *, full: bool = True) -> Path:
    """Save a picture of the page, all of it, although the app scrolls inside its own frame."""
    path.parent.mkdir(parents=True, exist_ok=True)
    size = page.viewport_size or {"width": 1440, "height": 1000}
    if full:
        tall: int = page.evaluate(
            """() => Math.max(...[...document.querySelectorAll('[data-testid="stMain"]')]
                                .map(area => area.scrollHeight), document.documentElement.scrollHeight)"""
        )
        page.set_viewport_size({"width": size["width"], "height": min(max(tall, size["height"]), 8000)})
        wait_settled(page)
        page.wait_for_timeout(300)
    page.screenshot(path=path)
    page.set_viewport_size(size)
    return path
