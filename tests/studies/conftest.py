"""Made-up climates: a plan with one hour of drilling, records from heights, and a small diagram."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest

import heave
from heave.planning import Operation, Plan
from heave.planning.ranges import CLOSED
from heave.sea import SeaBatch, SystemSlot
from heave.weather.forecast import Forecast

HOUR = 3600.0
Maker = Callable[..., Forecast]


@pytest.fixture(scope="session")
def plan() -> Plan:
    """The demo plan with four hours of drilling, nothing in doubt."""
    return heave.demo_plan().changed(operation=Operation(kind="drilling", duration=4 * HOUR), ranges=CLOSED)


@pytest.fixture(scope="session")
def make() -> Maker:
    """A record from heights: a wind sea of 9 s from the plan's own direction, a sample an hour."""

    def record(
        heights: Sequence[float],
        *,
        start: str = "2026-05-01T00:00:00",
        step: float = HOUR,
        gaps: Sequence[int] = (),
        direction: Sequence[float] | None = None,
    ) -> Forecast:
        size = len(heights)
        whence = np.full(size, 225.0) if direction is None else np.array(direction, float)
        slot = SystemSlot(np.array(heights, float), np.full(size, 9.0), whence)
        times = np.datetime64(start, "s") + np.arange(size) * np.timedelta64(round(step), "s")
        # a gap after sample i moves everything later on by a week
        for after in gaps:
            times[after + 1 :] += np.timedelta64(7, "D")
        gap_after = np.array([i in gaps for i in range(size - 1)], dtype=np.bool_)
        return Forecast(times, SeaBatch((slot,), 1200.0), ("wind sea",), step, gap_after)

    return record
