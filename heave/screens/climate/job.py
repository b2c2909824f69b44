"""Work in a thread of its own that the page looks at and may stop."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

from heave.errors import InputError
from heave.weather import CancelledError
from heave.weather.evaluation import Progress


class Job:
    """A piece of work, how far it is, and what came of it."""

    def __init__(self, name: str, work: Callable[[Progress], Any]) -> None:
        self.name = name
        self.share = 0.0
        self.stop = threading.Event()
        self.result: Any = None
        self.error = "The run ended without a result."
        self.thread = threading.Thread(target=self._run, args=(work,), name="climate", daemon=True)
        self.start = self.thread.start

    def _run(self, work: Callable[[Progress], Any]) -> None:
        try:
            self.result = work(self._tell)
        except CancelledError:
            self.error = "Stopped before the end; nothing was kept."
        except InputError as error:
            self.error = str(error)

    def _tell(self, share: float) -> None:
        self.share = share
        if self.stop.is_set():
            raise CancelledError
