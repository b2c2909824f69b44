"""Runs of the app's script that a page asked the server for, and whether it was told of their end.

What a page shows of a run comes later than what it asks: a click may find the page as quiet as before, its run not yet
begun on a busy server. So nobody looks at the page alone to learn that nothing more is to come.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page, WebSocket


@dataclass
class Runs:
    """Of one page, by what it sends to the server and hears from it."""

    ended: int = 0
    """Runs that came to their end, parts of the page that run by themselves among them."""
    owed: bool = False
    """Whether a run that was asked for has not come to its end."""
    _whole: bool = False
    """Whether what is owed is a run of the whole page: the end of a part's is no answer then."""
    _begun: bool = False

    def over(self, page: Page) -> None:
        """Listen to every channel that `page` opens to the server."""
        page.on("websocket", self._opened)

    def _opened(self, channel: WebSocket) -> None:
        # what was asked before was asked of another server, or by a page that is left
        self.owed = self._whole = self._begun = False
        channel.on("framesent", self._asked)
        channel.on("framereceived", self._heard)

    def _asked(self, frame: bytes | str) -> None:
        from streamlit.proto.BackMsg_pb2 import BackMsg

        if isinstance(frame, str):
            return
        message = BackMsg()
        message.ParseFromString(frame)
        asked = message.rerun_script
        if message.WhichOneof("type") != "rerun_script" or asked.is_auto_rerun:
            return
        self._whole = not asked.fragment_id or (self.owed and self._whole)
        self.owed, self._begun = True, False

    def _heard(self, frame: bytes | str) -> None:
        """The server says when a run of the script begins and has come to its end; the page may draw two as one."""
        from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

        if isinstance(frame, str):
            return
        message = ForwardMsg()
        message.ParseFromString(frame)
        kind, part = message.WhichOneof("type"), ForwardMsg.FINISHED_FRAGMENT_RUN_SUCCESSFULLY
        if kind == "new_session":
            self._begun = True
        if kind != "script_finished" or message.script_finished == ForwardMsg.FINISHED_EARLY_FOR_RERUN:
            return
        self.ended += message.script_finished in (ForwardMsg.FINISHED_SUCCESSFULLY, part)
        if self._begun and not (self._whole and message.script_finished == part):
            self.owed = False
