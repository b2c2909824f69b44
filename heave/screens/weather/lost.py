"""Stretches of a timeline in which work could start but for something: the forecast factor, or the swell."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from heave.arrays import BoolArray
from heave.screens.figures.timeline_bars import Span
from heave.weather import LostStarts, Window, WindowResult


def lost_to_factor(result: WindowResult) -> tuple[Span, ...]:
    """Whole windows that would be there if the forecast were exact."""
    return tuple((lost.start, lost.end) for lost in result.lost_to_factor)


def lost_to_swell(result: WindowResult, lost: tuple[LostStarts, ...]) -> tuple[Span, ...]:
    """Stretches of samples in which the campaign could start but for the swell; what α alone takes is not counted."""
    times = result.forecast.times

    def within(spans: Iterable[Window | LostStarts]) -> BoolArray:
        covered = np.zeros(times.size, dtype=np.bool_)
        for span in spans:
            covered |= (times >= span.start) & (times <= span.latest_start)
        return covered

    gone = within(lost) & ~result.start_works & ~within(result.without_factor)
    change = np.diff(np.concatenate(([False], gone, [False])).astype(np.int8))
    runs = zip(np.flatnonzero(change == 1), np.flatnonzero(change == -1) - 1, strict=True)
    return tuple((times[first], times[last]) for first, last in runs if last > first)
