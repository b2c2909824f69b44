"""Questions for a worker that take as long as a test wants them to."""

from __future__ import annotations

import time
from collections.abc import Callable


def sleep(seconds: float, progress: Callable[[float], None]) -> None:
    """Sleep without a word of progress."""
    time.sleep(seconds)


def naps(progress: Callable[[float], None]) -> None:
    """Sleep until it is stopped."""
    while True:
        time.sleep(0.02)
        progress(0.5)
