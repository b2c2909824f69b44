"""Made-up forecasts for the window tests: heights hour by hour, and a plan that judges them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest

import heave
from heave.planning import Operation, Plan
from heave.sea import SeaBatch, SystemSlot
from heave.weather.forecast import Forecast

HOUR = 3600.0
Maker = Callable[..., Forecast]


@pytest.fixture(scope="session")
def plan() -> Plan:
    """The demo plan with four hours of drilling."""
    return heave.demo_plan().changed(operation=Operation(kind="drilling", duration=4 * HOUR))


@pytest.fixture(scope="session")
def make() -> Maker:
    """A forecast from heights: a wind sea of 9 s, and where asked a swell of 14 s, both on the bow."""

    def forecast(
        heights: Sequence[float],
        swell: Sequence[float] | None = None,
        *,
        start: str = "2026-05-01T00:00:00",
        step: float = HOUR,
        gaps: Sequence[int] = (),
    ) -> Forecast:
        size = len(heights)
        slots = [SystemSlot(np.array(heights, float), np.full(size, 9.0), np.full(size, 220.0))]
        if swell is not None:
            slots.append(
                SystemSlot(
                    np.array(swell, float),
                    np.full(size, 14.0),
                    np.full(size, 230.0),
                    shape="gaussian-swell",
                    spreading_exponent=10.0,
                )
            )
        times = np.datetime64(start, "s") + np.arange(size) * np.timedelta64(round(step), "s")
        # A gap after sample i moves everything later on by a week.
        for after in gaps:
            times[after + 1 :] += np.timedelta64(7, "D")
        gap_after = np.array([i in gaps for i in range(size - 1)], dtype=np.bool_)
        names = ("wind sea", "swell")[: len(slots)]
        return Forecast(times, SeaBatch(tuple(slots), 1200.0), names, step, gap_after)

    return forecast
