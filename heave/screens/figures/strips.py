"""Utilisation of every check over time as strips of colour, with marks that do not need colour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt
import plotly.graph_objects as go

from heave.judging import CHECK_NAMES, NEAR, OVER, WITHIN, Utilisations
from heave.screens.figures.look import Look
from heave.screens.figures.thin import bucket_starts, highest_in, milliseconds, place_of_highest
from heave.units import significant
from heave.weather import Forecast, WindowResult

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
Times = npt.NDArray[np.datetime64]

ROW: Final = 40
"""Height of one check, its name above its strip [px]."""

TOP: Final = 1.4
"""Utilisation at which the colour no longer changes."""

_HIGH, _LOW = 0.50, 0.88
"""Where in its row a strip begins and ends."""


@dataclass(frozen=True)
class Strips:
    """Traces and notes of all strips, and how many rows they take."""

    traces: list[Any]
    notes: list[dict[str, Any]]
    count: int


def strips(result: WindowResult, step: int, look: Look) -> Strips:
    """A strip for every check that was assessed, the most used first.

    Colour runs from the ground through blue to the caution level, orange to 1, vermillion above. Apart from
    colour: above 1 a strip is hatched, where a check governs there is a bar under it, and the highest
    figure stands at its right.
    """
    table = result.steps[step].reduced
    shown = ranked_checks(table)
    starts, left, right = columns_of(result.forecast)
    places = _places(left, right)
    worst = place_of_highest(table.governing, starts)
    governs = table.governed_by[worst]
    traces: list[Any] = []
    notes = []
    hatched: list[tuple[Any, Any, float]] = []
    ruled: list[tuple[Any, Any, float]] = []
    for row, key in enumerate(shown):
        values = highest_in(table.by_check[key], starts)
        traces.append(_strip(values, places, row))
        hatched += [(left[a], right[b], row) for a, b in runs_of(values >= 1.0, left, right)]
        chosen = governs == table.keys.index(key)
        ruled += [(left[a], right[b], row) for a, b in runs_of(chosen, left, right)]
        notes += _notes(key, float(np.nanmax(table.by_check[key])), row, result.plan.caution_level, look)
    traces += [_hatch(hatched, look), _rule(ruled, look)]
    return Strips(traces, notes, max(len(shown), 1))


def ranked_checks(table: Utilisations) -> list[str]:
    """Keys of the checks that were assessed at any sample, the one that comes highest first."""
    peaks = {
        key: float(np.nanmax(values)) for key, values in table.by_check.items() if not np.isnan(values).all()
    }
    return sorted(peaks, key=lambda key: -peaks[key])


def state_word(used: float, caution_level: float) -> str:
    """The state a utilisation stands for."""
    return OVER if used >= 1.0 else NEAR if used > caution_level else WITHIN


def used_words(used: float) -> str:
    """A utilisation as the timeline writes it: two decimals, three figures from 100 on."""
    if np.isinf(used):
        return "no room"
    return f"{used:.2f}" if used < 100 else significant(used)


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
    starts = bucket_starts(forecast.size)
    begin, end = cells_of(forecast)
    return starts, begin[starts], end[np.append(starts[1:], forecast.size) - 1]


def colours(caution_level: float, look: Look) -> dict[str, Any]:
    """The colour axis all strips share."""
    return {"cmin": 0.0, "cmax": TOP, "colorscale": scale(caution_level, look), "showscale": False}


def scale(caution_level: float, look: Look) -> list[list[Any]]:
    """Our ramp over 0 to `TOP`: pale to blue up to the caution level, orange to 1, vermillion above."""
    near, one = caution_level / TOP, 1.0 / TOP
    pale, deep = (look.track, "#2C8FCB") if look.name == "light" else (look.track, "#1F7FBE")
    return [
        [0.0, pale],
        [near * 0.5, "#A9CFE9" if look.name == "light" else "#23506F"],
        [near, deep],
        [near, "#F2BE4A"],
        [one, look.fill(NEAR)],
        [one, "#E4712A"],
        [1.0, "#A34700"],
    ]


@dataclass(frozen=True)
class _Places:
    """Where the columns stand on the time axis, and which of them are holes, told as shortly as can be."""

    axis: dict[str, Any]
    holes: IntArray


def _places(left: Times, right: Times) -> _Places:
    wide = right - left
    holes = np.flatnonzero(left[1:] > right[:-1]) + 1
    if not holes.size and (wide == wide[0]).all():
        return _Places({"x0": str(left[0] + wide[0] // 2), "dx": milliseconds(wide[0])}, holes)
    return _Places({"x": np.append(np.insert(left, holes, right[holes - 1]), right[-1])}, holes)


def _strip(values: FloatArray, places: _Places, row: int) -> go.Heatmap:
    shades = np.insert(np.minimum(values, TOP), places.holes, np.nan)
    return go.Heatmap(
        **places.axis,
        y=[row + _HIGH, row + _LOW],
        z=shades[None, :].astype(np.float32),
        yaxis="y4",
        coloraxis="coloraxis",
        hoverinfo="skip",
        zsmooth=False,
    )


def runs_of(chosen: npt.NDArray[np.bool_], left: Times, right: Times) -> list[tuple[int, int]]:
    """First and last place of every unbroken run of columns; a gap between two columns breaks it."""
    joined = chosen[1:] & chosen[:-1] & (left[1:] <= right[:-1])
    first = chosen & ~np.append(False, joined)
    last = chosen & ~np.append(joined, False)
    return list(zip(np.flatnonzero(first).tolist(), np.flatnonzero(last).tolist(), strict=True))


def _hatch(runs: list[tuple[Any, Any, float]], look: Look) -> go.Scatter:
    """A hatched field over every run above 1."""
    x: list[Any] = []
    y: list[Any] = []
    for begin, end, row in runs:
        x += [str(begin), str(end), str(end), str(begin), None]
        y += [row + _HIGH, row + _HIGH, row + _LOW, row + _LOW, None]
    return go.Scatter(
        x=x,
        y=y,
        yaxis="y4",
        mode="lines",
        line={"width": 0},
        fill="toself",
        fillpattern={
            "shape": "/",
            "size": 7,
            "solidity": 0.25,
            "fgcolor": look.ground,
            "bgcolor": "rgba(0,0,0,0)",
        },
        hoverinfo="skip",
        showlegend=False,
        name="over a limit",
    )


def _rule(runs: list[tuple[Any, Any, float]], look: Look) -> go.Scatter:
    """A bar under every run in which a check governs."""
    x: list[Any] = []
    y: list[Any] = []
    for begin, end, row in runs:
        x += [str(begin), str(end), None]
        y += [row + _LOW + 0.06, row + _LOW + 0.06, None]
    return go.Scatter(
        x=x,
        y=y,
        yaxis="y4",
        mode="lines",
        line={"width": 3.5, "color": look.text},
        hoverinfo="skip",
        showlegend=False,
        name="governs",
    )


def _notes(key: str, peak: float, row: int, caution_level: float, look: Look) -> list[dict[str, Any]]:
    """Name at the left and highest figure at the right, above the strip."""
    state = state_word(peak, caution_level)
    base = {"xref": "paper", "y": row + _HIGH - 0.04, "yref": "y4", "yanchor": "bottom", "showarrow": False}
    name = CHECK_NAMES[key]
    return [
        {**base, "x": 0, "xanchor": "left", "text": name, "font": {"size": 12.5, "color": look.text}},
        {
            **base,
            "x": 1,
            "xanchor": "right",
            "text": f"highest <b>{used_words(peak)}</b>, {state}",
            "font": {"size": 12.5, "color": look.words(state)},
        },
    ]
