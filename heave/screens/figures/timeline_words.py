"""Everything about one sample of a forecast in lines of text, for the box that pointing opens."""

from __future__ import annotations

import html

import numpy as np

from heave.judging.checks import NEAR, OVER, WITHIN
from heave.screens.figures.strips import NAMES
from heave.screens.weather.clock import Clock
from heave.units import show, significant
from heave.weather import WindowResult


def hour_words(result: WindowResult, step: int, place: int, clock: Clock, system: str) -> str:
    """Times, every wave system, wind, heave and every check of one sample, joined by line breaks.

    Parameters
    ----------
    result : what the search found
    step : place of the step whose checks are told
    place : place of the sample
    clock : zone of local time
    system : unit system
    """
    return "<br>".join(
        html.escape(line) if "<b>" not in line else line
        for line in hour_lines(result, step, place, clock, system)
    )


def hour_lines(result: WindowResult, step: int, place: int, clock: Clock, system: str) -> list[str]:
    """The same as a list of lines; a line that holds <b> has no text of the user's in it."""
    forecast, found = result.forecast, result.steps[step]
    when = forecast.times[place]
    lines = [f"<b>{clock.both(when)}</b>"]
    if forecast.missing[place]:
        return [*lines, "sea not known: never inside"]
    lines += _sea_lines(result, place, system)
    sigma = found.plain.heave_sigma[place]
    heave = f"heave {show(4 * float(sigma), 'length', system)}"
    if found.row is not None:
        design = float(found.design_hs[place])
        alpha = float(forecast.batch.hs[place]) / design if design else 1.0
        heave += f"; α {alpha:.2f}: judged in Hs {show(design, 'length', system)}"
    lines.append(heave)
    if np.ptp(result.heading) > 0:
        lines.append(f"heading {result.heading[place]:.0f}°")
    table = found.reduced
    ranked = sorted(
        (key for key in table.keys if not np.isnan(table.by_check[key][place])),
        key=lambda key: -float(table.by_check[key][place]),
    )
    for rank, key in enumerate(ranked):
        value = float(table.by_check[key][place])
        text = f"{NAMES[key]} {_number(value)} {_state(value, result.plan.caution_level)}"
        lines.append(f"<b>{text}, governs</b>" if rank == 0 else text)
    if not table.assessed[place]:
        lines.append("not assessed: never inside")
    lines.append(_start_words(result, place))
    return lines


def _sea_lines(result: WindowResult, place: int, system: str) -> list[str]:
    forecast = result.forecast
    lines = [f"Hs {show(float(forecast.batch.hs[place]), 'length', system)} in all"]
    for name, slot in zip(forecast.system_names, forecast.batch.slots, strict=True):
        if slot.hs[place] > 0:
            period = getattr(slot, "tp", None)
            tp = "" if period is None else f", Tp {show(float(period[place]), 'period', system)}"
            lines.append(
                f"{name} {show(float(slot.hs[place]), 'length', system)}{tp}, from {slot.direction_from[place]:.0f}°"
            )
    if forecast.wind_speed is not None and not np.isnan(forecast.wind_speed[place]):
        lines.append(f"wind {show(float(forecast.wind_speed[place]), 'speed', system)}")
    return lines


def _start_words(result: WindowResult, place: int) -> str:
    if result.start_works[place]:
        return "the campaign can start here"
    when = result.forecast.times[place]
    if any(window.start <= when <= window.end for window in result.windows):
        return "in a window, too late to start"
    return "no start here"


def _number(value: float) -> str:
    if np.isinf(value):
        return "no room"
    return f"{value:.2f}" if value < 100 else significant(value)


def _state(value: float, caution_level: float) -> str:
    return OVER if value >= 1.0 else NEAR if value > caution_level else WITHIN
