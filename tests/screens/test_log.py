"""The operator's log tells what went wrong and where, and nothing of anyone's work."""

from __future__ import annotations

import logging
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
from streamlit import config
from streamlit.runtime.scriptrunner import StopException
from streamlit.testing.v1 import AppTest

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.screens import log, state
from heave.screens.check import verdict

NAME = "Well of Zanzibar 77"
HEADING = "123.456"


@pytest.fixture
def written(tmp_path: Path) -> Iterator[Path]:
    """A log begun at a path, and everything as it was afterwards."""
    loggers = [log._LOG, *map(logging.getLogger, log._ERRORS)]
    before = [(one, one.handlers[:], one.filters[:], one.propagate) for one in loggers]
    path, rich = tmp_path / "heave.log", config.get_option("logger.enableRich")
    handler = log.begin(str(path))
    yield path
    assert handler is not None
    handler.close()
    config.set_option("logger.enableRich", rich)
    for one, handlers, filters, propagate in before:
        one.handlers, one.filters, one.propagate = handlers, filters, propagate


def test_nothing_of_the_plan_is_in_it(
    root: Path, written: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """A page, what an entry calls, and what raises from another error, all with name and value in the message."""
    plan = demo_plan()
    calm = replace(plan.sea, systems=(replace(plan.sea.systems[0], hs=0.5),))  # nothing to simulate
    app = AppTest.from_file(str(root / "app.py"), default_timeout=300)
    app.session_state["heave:plan"] = plan.changed(name=NAME, sea=calm)
    app.run()
    assert not app.exception
    words = f"{NAME} with heading {HEADING}"

    def broken(*given: object) -> str:
        try:
            raise InputError(NAME, HEADING, "deg", "nothing")
        except InputError as error:
            raise ValueError(words) from error

    governs = verdict.governs
    monkeypatch.setattr(verdict, "governs", broken)
    app.run()
    assert app.exception
    monkeypatch.setattr(verdict, "governs", governs)
    monkeypatch.setattr(state, "edit", broken)
    next(item for item in app.text_input if item.label.startswith("Heading")).set_value(HEADING).run()
    text = written.read_text("utf-8")
    assert text.count("ValueError at test_log.py") == 2
    assert text.count("caused by InputError") == 2
    assert "page.py:" in text
    for said in (text, *capfd.readouterr()):
        assert NAME not in said
        assert HEADING not in said


def test_start_and_slow_pages_are_told(written: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with log.slow("Quick"):
        pass
    monkeypatch.setattr(log, "SLOW", -1.0)
    with log.slow("Compensator check"):
        pass
    with suppress(StopException), log.slow("Ended by an edit"):
        raise StopException
    start, slow = written.read_text("utf-8").splitlines()
    assert " INFO start: model " in start
    assert re.search(r" WARNING slow: Compensator check took \d+\.\d s, \d+\.\d s of processor$", slow)


def test_it_is_put_away_when_it_is_full(written: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(log, "SLOW", -1.0)
    handler = next(one for one in log._LOG.handlers if isinstance(one, logging.handlers.RotatingFileHandler))
    handler.maxBytes = 2000
    for _ in range(200):
        with log.slow("Compensator check"):
            pass
    files = sorted(written.parent.iterdir())
    assert len(files) == log.KEPT + 1
    assert max(file.stat().st_size for file in files) <= 2000


def test_without_the_variable_nothing_is_written_and_with_a_bad_one_it_says_so(root: Path) -> None:
    assert log.begin(None) is None
    assert log.begin("") is None
    command = [sys.executable, "-c", "import heave.screens.log"]
    bad = {"PYTHONPATH": str(root), log.VARIABLE: str(root / "no such folder" / "heave.log")}
    failed = subprocess.run(command, env=bad, capture_output=True, text=True, check=False)
    assert "FileNotFoundError" in failed.stderr
