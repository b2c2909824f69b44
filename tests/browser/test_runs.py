"""What is owed to a page: told by the frames between it and the server, whatever the page shows meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from runs import Runs
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

WHOLE, EARLY = ForwardMsg.FINISHED_SUCCESSFULLY, ForwardMsg.FINISHED_EARLY_FOR_RERUN
PART, BROKEN = ForwardMsg.FINISHED_FRAGMENT_RUN_SUCCESSFULLY, ForwardMsg.FINISHED_WITH_COMPILE_ERROR


@pytest.fixture(autouse=True, scope="session")
def _browser_available() -> None:
    """No browser is needed here."""


class Channel:
    """A channel to the server, and by what is heard on it the page that opens it."""

    def __init__(self) -> None:
        self.listens: dict[str, Callable[[Any], None]] = {}

    def on(self, kind: str, listener: Callable[[Any], None]) -> None:
        self.listens[kind] = listener

    def ask(self, part: str = "", *, by_itself: bool = False) -> None:
        message = BackMsg()
        message.rerun_script.fragment_id = part
        message.rerun_script.is_auto_rerun = by_itself
        self.listens["framesent"](message.SerializeToString())

    def begin(self) -> None:
        message = ForwardMsg()
        message.new_session.name = "app"
        self.listens["framereceived"](message.SerializeToString())

    def end(self, how: ForwardMsg.ScriptFinishedStatus) -> None:
        self.listens["framereceived"](ForwardMsg(script_finished=how).SerializeToString())


@pytest.fixture
def page() -> Channel:
    return Channel()


@pytest.fixture
def heard(page: Channel) -> tuple[Runs, Channel]:
    runs, channel = Runs(), Channel()
    runs.over(page)  # type: ignore[arg-type]
    page.listens["websocket"](channel)
    return runs, channel


def test_what_is_asked_is_owed_until_a_run_that_began_later_has_ended(heard: tuple[Runs, Channel]) -> None:
    runs, server = heard
    assert not runs.owed
    server.ask()
    assert runs.owed
    server.end(WHOLE)  # that of a run from before
    assert (runs.owed, runs.ended) == (True, 1)
    server.begin()
    assert runs.owed
    server.end(EARLY)
    assert (runs.owed, runs.ended) == (True, 1)
    server.begin()
    server.end(WHOLE)
    assert (runs.owed, runs.ended) == (False, 2)


def test_what_is_asked_during_a_run_is_not_answered_by_its_end(heard: tuple[Runs, Channel]) -> None:
    runs, server = heard
    server.ask()
    server.begin()
    server.ask()
    server.end(WHOLE)
    assert runs.owed
    server.begin()
    server.end(WHOLE)
    assert not runs.owed


def test_the_end_of_a_part_answers_only_who_asked_for_a_part(heard: tuple[Runs, Channel]) -> None:
    runs, server = heard
    server.ask("a part")
    server.begin()
    server.end(PART)
    assert (runs.owed, runs.ended) == (False, 1)
    server.ask()
    server.ask("a part")
    server.begin()
    server.end(PART)
    assert (runs.owed, runs.ended) == (True, 2)
    server.begin()
    server.end(WHOLE)
    assert not runs.owed


def test_what_runs_by_itself_is_owed_to_nobody_and_an_error_is_an_answer(heard: tuple[Runs, Channel]) -> None:
    runs, server = heard
    server.ask("a clock", by_itself=True)
    assert not runs.owed
    server.ask()
    server.begin()
    server.end(BROKEN)
    assert (runs.owed, runs.ended) == (False, 0)


def test_a_channel_opened_anew_owes_nothing(heard: tuple[Runs, Channel], page: Channel) -> None:
    runs, server = heard
    server.ask()
    page.listens["websocket"](Channel())
    assert not runs.owed
