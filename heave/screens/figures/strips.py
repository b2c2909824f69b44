"""Utilisation of every check over time as strips of colour, with marks that do not need colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, IntArray, Times
from heave.judging import NEAR, OVER, Utilisations
from heave.judging.checks import utilisation_state
from heave.screens.figures import thin
from heave.screens.figures.chart import UNREAD, Parts, line, note, row_name
from heave.screens.figures.look import Look
from heave.screens.figures.utilisation import utilisation_text
from heave.weather import Forecast, WindowResult
from heave.weather.site_limits import NAMES

ROW: Final = 40
"""Height of one check, its name above its strip [px]."""

TOP: Final = 1.4
"""Utilisation at which the colour no longer changes."""

_NEAR_STEP, _OVER_STEP, _STEPS = 120, 180, 240
"""Steps of colour up to the caution level, up to 1, and up to `TOP`."""

_HIGH, _LOW = 0.50, 0.88
"""Where in its row a strip begins and ends."""

_FITTING: Final = 49
"""Letters of 12.5 px beside each other on a telephone."""

_STRIP: Final = {"yaxis": "y4", "coloraxis": "coloraxis", "hoverinfo": "skip", "zsmooth": False}

_Corner = tuple[str | None, float | None]
_BREAK: Final = (None, None)
"""Between two outlines of one trace."""


def strips(result: WindowResult, step: int, look: Look) -> tuple[list[Parts], list[Parts], int]:
    """Traces and notes of a strip for every check that was assessed, the most used first, and the rows they take.

    Colour runs from the ground through blue to the caution level, orange to 1, vermillion above. Apart from
    colour: near 1 a strip is dotted, above it hatched, where a check governs there is a bar under it, and the highest
    figure stands at its right.
    """
    table = result.steps[step].reduced
    shown = ranked_checks(table)
    starts, left, right = columns_of(result.forecast)
    axis, holes = _places(left, right)
    governs = table.governed_by[thin.place_of_highest(table.governing, starts)]
    traces, notes = [], []
    near, over, rules = list[_Corner](), list[_Corner](), list[_Corner]()
    for row, key in enumerate(shown):
        high, low = row + _HIGH, row + _LOW
        values = thin.highest_in(table.by_check[key], starts)
        shades = np.insert(shades_of(values, result.plan.caution_level), holes, np.nan)[None, :]
        traces.append({"type": "heatmap", **axis, "y": [high, low], "z": _small(shades), **_STRIP})
        close = (values >= result.plan.caution_level) & (values < 1.0)
        for chosen, fields in ((close, near), (values >= 1.0, over)):
            for first, last in runs_of(chosen, left, right):
                begin, end = str(left[first]), str(right[last])
                fields += [(begin, high), (end, high), (end, low), (begin, low), _BREAK]
        for first, last in runs_of(governs == table.keys.index(key), left, right):
            rules += [(str(left[first]), low + 0.06), (str(right[last]), low + 0.06), _BREAK]
        notes += _notes(key, float(np.nanmax(table.by_check[key])), high, result.plan.caution_level, look)
    grain = {"fgcolor": look.ink, "bgcolor": "rgba(0,0,0,0)"}
    dots, hatch = (
        {"shape": ".", "size": 6, "solidity": 0.2, **grain},
        {"shape": "/", "size": 7, "solidity": 0.25, **grain},
    )
    traces += [
        line("near a limit", look.words(NEAR), 1.2, **_outlines(near), fill="toself", fillpattern=dots),
        line("over a limit", look.words(OVER), 1.2, **_outlines(over), fill="toself", fillpattern=hatch),
        line("governs", look.text, 3.5, **_outlines(rules)),
    ]
    return traces, notes, max(len(shown), 1)


def _outlines(corners: Sequence[_Corner]) -> Parts:
    places = {"x": [when for when, _ in corners], "y": [height for _, height in corners]}
    return {**places, "yaxis": "y4", **UNREAD}


def _notes(key: str, peak: float, y: float, caution_level: float, look: Look) -> list[Parts]:
    """Name at the left and highest figure at the right, above the strip."""
    state = utilisation_state(peak, caution_level)
    used = utilisation_text(peak)
    size = letters(f"{NAMES[key]}{used}, {state}")
    right = {"xref": "paper", "yref": "y4", "xanchor": "right"}
    return [
        row_name(NAMES[key], y - 0.04, look.text, size, yref="y4"),
        note(f"<b>{used}</b>, {state}", 1, y - 0.04, look.words(state), size, **right),
    ]


def letters(words: str) -> float:
    """Size of the letters over a strip [px]: smaller where name and figure would else meet on a telephone.

    Parameters
    ----------
    words : name and figure
    """
    return 12.5 * min(1.0, _FITTING / len(words))


def ranked_checks(table: Utilisations) -> list[str]:
    """Keys of the checks that were assessed at any sample, the one that comes highest first."""
    known = {key: values for key, values in table.by_check.items() if not np.isnan(values).all()}
    peaks = {key: float(np.nanmax(values)) for key, values in known.items()}
    return sorted(peaks, key=lambda key: -peaks[key])


def cells_of(forecast: Forecast) -> tuple[Times, Times]:
    """Begin and end of the time each sample stands for: half way to its neighbours, half a step at a gap; (n,)."""
    times = forecast.times
    half = np.timedelta64(max(round(forecast.step / 2), 1), "s")
    middle = times[:-1] + np.diff(times) // 2
    end = np.append(np.where(forecast.gap_after, times[:-1] + half, middle), times[-1] + half)
    begin = np.append(times[0] - half, np.where(forecast.gap_after, times[1:] - half, middle))
    return begin.astype("datetime64[s]"), end.astype("datetime64[s]")


def columns_of(forecast: Forecast) -> tuple[IntArray, Times, Times]:
    """First sample, begin and end of every column drawn: one for each sample, or for each piece of a long series."""
    starts = thin.bucket_starts(forecast.size)
    begin, end = cells_of(forecast)
    return starts, begin[starts], end[np.append(starts[1:], forecast.size) - 1]


def shades_of(values: FloatArray, caution_level: float) -> FloatArray:
    """Utilisations as steps of the ramp, which turns at the caution level and at 1 and not before; NaN stays NaN.

    Parameters
    ----------
    values : utilisations
    caution_level : from which a check is near its limit
    """
    turns = (0.0, caution_level, 1.0, TOP)
    return np.floor(np.interp(values, turns, (0, _NEAR_STEP, _OVER_STEP, _STEPS)))


def _small(shades: FloatArray) -> npt.NDArray[Any]:
    """A byte a column where all are known: a byte cannot say that nothing is."""
    return shades.astype(np.float32 if np.isnan(shades).any() else np.uint8)


def colours(look: Look) -> Parts:
    """The colour axis all strips share."""
    return {"cmin": 0, "cmax": _STEPS, "colorscale": scale(look), "showscale": False}


def scale(look: Look) -> list[list[Any]]:
    """Our ramp over its steps: pale to blue up to the caution level, orange to 1, vermillion above."""
    near, one = _NEAR_STEP / _STEPS, _OVER_STEP / _STEPS
    middle, deep = ("#A9CFE9", "#2C8FCB") if look.name == "light" else ("#23506F", "#1F7FBE")
    blues = [[0.0, look.track], [near * 0.5, middle], [near, deep]]
    return [*blues, [near, "#F2BE4A"], [one, look.fill(NEAR)], [one, "#E4712A"], [1.0, "#A34700"]]


def _places(left: Times, right: Times) -> tuple[Parts, IntArray]:
    """Where the columns stand on the time axis, told as shortly as can be, and which of them are holes."""
    wide = right - left
    holes = np.flatnonzero(left[1:] > right[:-1]) + 1
    if not holes.size and (wide == wide[0]).all():
        return {"x0": str(left[0] + wide[0] // 2), "dx": thin.milliseconds(wide[0])}, holes
    return {"x": np.append(np.insert(left, holes, right[holes - 1]), right[-1])}, holes


def runs_of(chosen: BoolArray, left: Times, right: Times) -> list[tuple[int, int]]:
    """First and last place of every unbroken run of columns; a gap between two columns breaks it."""
    joined = chosen[1:] & chosen[:-1] & (left[1:] <= right[:-1])
    first = chosen & ~np.append(False, joined)
    last = chosen & ~np.append(joined, False)
    return list(zip(np.flatnonzero(first).tolist(), np.flatnonzero(last).tolist(), strict=True))
