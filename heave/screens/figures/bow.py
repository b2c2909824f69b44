"""The bow over time, and the wind against it: where it comes from, and at which angle to the bow."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.screens.figures import thin
from heave.screens.figures.chart import UNREAD, Parts, line, points, row_name
from heave.screens.figures.look import Look
from heave.weather import Forecast, WindowResult
from heave.weather.headings import off_bow

HEIGHT: Final = 104
"""Of the panel [px]."""

ARROWS: Final = 24
"""Most arrows drawn; every sample has a dot."""

_LEAST: Final = 60.0
"""Least shown to either side of the bow [deg]."""

TITLE: Final = "Bow: line · wind: arrows, bow up · waves: dots"


def has_bow(result: WindowResult) -> bool:
    """Whether there is anything to draw: a bow that turns, or a wind whose direction is known."""
    wind = result.forecast.wind_direction_from
    return bool(np.ptp(result.heading) > 0 or (wind is not None and not np.isnan(wind).all()))


def bow_panel(result: WindowResult, step: int, axis: Parts, look: Look) -> tuple[list[Parts], Parts, Parts]:
    """Traces, axis and title of the panel: up and down is the compass, so the distance to the line is the angle off it.

    Parameters
    ----------
    result : what the search found
    step : place of the step whose bow is drawn
    axis : where the panel stands
    look : colours
    """
    forecast, heading = result.forecast, result.bow(step)
    bow = np.unwrap(heading, period=360.0)
    places = thin.bucket_starts(forecast.size)
    across = thin.along(forecast.times[places])

    def up(values: FloatArray) -> npt.NDArray[np.float32]:
        return values.astype(np.float32)

    main = bow + off_bow(_main_direction(forecast), heading)
    traces = [
        points("highest waves", **across, y=up(main[places]), marker={"size": 3, "color": look.muted}),
        line("bow", look.sea, 2.2, **across, y=up(bow[places])),
    ]
    traces[1]["line"] |= {"shape": "hv"}
    drawn = [bow - _LEAST, bow + _LEAST, main]
    if forecast.wind_direction_from is not None:
        angle = off_bow(forecast.wind_direction_from, heading)
        wind = bow + angle
        drawn.append(wind)
        few = places[:: math.ceil(places.size / ARROWS)]
        arrows = {"symbol": "arrow", "size": 13, "color": look.text, "angle": (angle[few] + 180.0) % 360.0}
        traces.append(points("wind", **across, y=up(wind[places]), marker={"size": 3, "color": look.text}))
        traces.append(points("wind", x=forecast.times[few], y=up(wind[few]), marker=arrows, cliponaxis=False))
    low, high = (float(ends(np.concatenate(drawn))) for ends in (np.nanmin, np.nanmax))
    ticks = np.arange(math.ceil(low / 90), math.floor(high / 90) + 1) * 90
    told = {
        "range": [low - 14, high + 14],
        "tickvals": ticks.tolist(),
        "ticktext": [f"{tick % 360:03d}°" for tick in ticks],
    }
    title = row_name(TITLE, axis["domain"][1], look.text, yref="paper")
    return [trace | {"yaxis": "y6", **UNREAD} for trace in traces], {**axis, **told}, title


def bow_words(angle: float) -> str:
    """An angle to the bow in words, of 35.2 '35° to starboard of the bow'.

    Parameters
    ----------
    angle : to starboard, negative to port, -180 to 180 [deg]
    """
    whole = round(abs(angle))
    if whole in (0, 180):
        return "astern" if whole else "ahead"
    return f"{whole}° to {'starboard' if angle > 0 else 'port'} of the bow"


def bow_cell(angle: float) -> str:
    """The same for a narrow column: '35 S', '35 P', '0', '180'."""
    whole = round(abs(angle))
    return str(whole) if whole in (0, 180) else f"{whole} {'S' if angle > 0 else 'P'}"


def _main_direction(forecast: Forecast) -> FloatArray:
    """Where the highest of the wave systems comes from at each sample; NaN where none is known [deg]."""
    heights = np.array([slot.hs for slot in forecast.batch.slots])
    ways = np.array([np.broadcast_to(slot.direction_from, forecast.size) for slot in forecast.batch.slots])
    highest = np.nan_to_num(heights).argmax(axis=0)[None, :]
    way = np.take_along_axis(ways, highest, axis=0)[0]
    return np.where(np.nan_to_num(heights).max(axis=0) > 0, way, np.nan)
