"""The steps on the morning sheet: when each starts, by when it must be left, what ends or confirms it."""

from __future__ import annotations

from operator import itemgetter
from typing import Final

import numpy as np

from heave.screens.inputs import inside
from heave.screens.weather.clock import Clock
from heave.screens.weather.summary import safe_cell
from heave.weather import WindowResult
from heave.weather.schedule import pieces_of

UNKNOWN: Final = "–"

Row = tuple[str, ...]


def steps_of(result: WindowResult, clock: Clock) -> tuple[Row, ...]:
    """Steps and waits if begun as early as can be from now on: when each starts and stops, and what ends it.

    Parameters
    ----------
    result : what the search found
    clock : zone of local times
    """
    if not result.schedule and result.work:
        return _pieces(result, clock)
    if not result.schedule:
        return tuple((step.step.label, *(UNKNOWN,) * 5) for step in result.steps)
    rows: list[tuple[np.datetime64, Row]] = []
    for step in result.schedule:
        times = map(clock.brief, (step.start, step.planned_end, step.latest_end))
        ends = f"{inside(step.limit.words)}, {clock.brief(step.limit_at)}"
        rows.append((step.start, (step.label, *times, safe_cell(step, clock), ends)))
    for wait in result.waits:
        times = map(clock.brief, (wait.start, wait.end))
        rows.append((wait.start, (f"wait: {wait.state or 'not judged'}", *times, "", "", "")))
    return tuple(row for _, row in sorted(rows, key=itemgetter(0)))


def _pieces(result: WindowResult, clock: Clock) -> tuple[Row, ...]:
    """The work in pieces, where it can be done in no other way: by when each is left, and what must confirm it."""
    pieces = pieces_of(result.plan, result.forecast, result.campaign, result.work[0])
    rows: list[Row] = []
    for number, piece in enumerate(pieces, 1):
        step, begin, end = result.steps[piece.step].step, clock.brief(piece.start), clock.brief(piece.end)
        confirmed = "this forecast decides it"
        if piece.confirm is not None:
            confirmed = f"a forecast issued {clock.brief(piece.confirm)} or later must confirm it"
        safe = end if step.interruptible else "cannot be stopped"
        rows.append((f"{step.label}, piece {number}", begin, end, "", safe, confirmed))
    return tuple(rows)
