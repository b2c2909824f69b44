"""What changed from one forecast to the next in the hours to come."""

from __future__ import annotations

from typing import Final

import numpy as np

from heave.arrays import Indices
from heave.screens.weather import summary
from heave.screens.weather.clock import Clock, hours
from heave.units import show
from heave.weather import Window, WindowResult
from heave.weather.results import seconds

AHEAD: Final = 48
"""Hours told one by one."""


def coming(result: WindowResult) -> Indices:
    """Places of the samples from the present time on, as far as the sheet tells the hours; the one before it counts
    while the forecast goes on from there.
    """
    times, now = result.forecast.times, result.outlook.now
    over = result.outlook.clock in ("after it ended", "in a gap")
    first = max(int(np.searchsorted(times, now, side="right")) - (not over), 0)
    until = now + np.timedelta64(AHEAD, "h")
    return np.arange(first, int(np.searchsorted(times, until, side="left")))


def changes(before: WindowResult | None, after: WindowResult, clock: Clock, system: str) -> tuple[str, ...]:
    """How far the next window and the highest sea moved from the forecast used before; both judged as asked now.

    Parameters
    ----------
    before, after : windows of the same plan at the same time, by the two forecasts; None where there is one only
    clock : zone of local times
    system : unit system
    """
    if before is None:
        return ("No earlier forecast in this session.",)
    lines = [f"Against {before.forecast.name}:"]
    old, new = (next(iter(summary.ahead(one)), None) for one in (before, after))
    if old is None or new is None:
        lines.append(_gone(old, new, clock))
    else:
        lines += [
            f"Earliest start {_moved(seconds(new.start - old.start))}.",
            f"Latest safe start {_moved(seconds(new.latest_start - old.latest_start))}.",
            f"End {_moved(seconds(new.end - old.end))}.",
        ]
    highest = [_highest_coming(one) for one in (before, after)]
    if not any(map(np.isnan, highest)):
        was, now = (show(height, "length", system, 2) for height in highest)
        lines.append(f"Highest Hs of the next {AHEAD} h: {now}, was {was}.")
    return tuple(lines)


def _gone(old: Window | None, new: Window | None, clock: Clock) -> str:
    if old is None and new is None:
        return "No window, as before."
    if old is not None:
        return f"The window from {clock.both(old.start)} is gone."
    assert new is not None
    return f"There was no window; now one from {clock.both(new.start)}."


def _moved(span: float) -> str:
    if span == 0:
        return "as before"
    return f"{hours(abs(span))} {'later' if span > 0 else 'earlier'}"


def _highest_coming(result: WindowResult) -> float:
    heights = result.forecast.batch.hs[coming(result)]
    return float(np.nanmax(heights)) if heights.size and not np.isnan(heights).all() else float("nan")
