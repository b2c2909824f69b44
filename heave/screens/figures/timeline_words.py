"""Everything about the samples of a forecast in lines of text, for the box that pointing opens and for a list."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Sequence
from os.path import commonprefix
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray, IntArray
from heave.judging.checks import utilisation_state
from heave.screens.figures.bow import bow_words
from heave.screens.figures.strips import ranked_checks
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.weather.clock import Clock
from heave.units import unit_of
from heave.weather import WindowResult
from heave.weather.headings import off_bow
from heave.weather.site_limits import NAMES

UNKNOWN = "–"
"""Stands where a number is not known, or a wave system is not there."""

_FIGURE: Final = re.compile(r"(0|[1-9]\d*)(\.\d+)?", re.ASCII)

Cells = list[str]
"""The text of one place of the lines, one for each sample."""


class Readings:
    """Lines with gaps in them, the same for every sample, and what fills the gaps of each: said once, sent once.

    The first column is the place of the sample and stands in no line.
    """

    def __init__(self, places: IntArray) -> None:
        self.lines: list[str] = []
        self.columns: list[Sequence[Any]] = [places.tolist()]

    def add(self, line: str, *columns: Sequence[Any]) -> None:
        """One more line; each {} in it takes the text of its column."""
        for column in columns:
            line = line.replace("{}", f"{{{len(self.columns)}}}", 1)
            self.columns.append(column)
        self.lines.append(line)

    def filled(self, place: int) -> list[str]:
        """The lines of one sample."""
        return self._with([str(column[place]) for column in self.columns])

    def sent(self) -> tuple[list[str], list[Sequence[Any]]]:
        """The lines as the browser fills them from custom data, and the columns of that, in as few bytes as can be."""
        gaps: list[str] = []
        columns: list[Sequence[Any]] = []
        for cells in self.columns:
            alike, form, kept = _lean(cells)
            gaps.append(alike + (f"%{{customdata[{len(columns)}]{form}}}" if kept else ""))
            columns += [kept] if kept else []
        return self._with(gaps), columns

    def _with(self, gaps: list[str]) -> list[str]:
        return [line.format(*gaps) for line in self.lines]


def _lean(cells: Sequence[Any]) -> tuple[str, str, Sequence[Any]]:
    """What the cells of a column begin with alike, the browser's format of the rest, and the rest: as numbers where
    that format writes them to the letter; nothing where all cells are the same.
    """
    if not isinstance(cells[0], str):
        return "", "", cells
    alike = commonprefix(cells)  # noqa: RUF071  of letters, not of folders
    rest = [cell[len(alike) :] for cell in cells]
    long = len(rest[0])
    if not any(rest):
        return alike, "", []
    if all(len(cell) == long and cell.isdecimal() for cell in rest):
        return alike, f":0{long}d", [int(cell) for cell in rest]
    decimals = len(cells[0].partition(".")[2])
    if all(_FIGURE.fullmatch(cell) and len(cell.partition(".")[2]) == decimals for cell in cells):
        return "", f":.{decimals}f", [float(cell) if decimals else int(cell) for cell in cells]
    return alike, "", rest


def hour_lines(result: WindowResult, step: int, place: int, clock: Clock, system: str) -> list[str]:
    """Times, every wave system, wind, heave and every check of one sample.

    Parameters
    ----------
    result : what the search found
    step : place of the step whose checks are told
    place : place of the sample
    clock : zone of local time
    system : unit system
    """
    return readings(result, step, np.array([place]), clock, system).filled(0)


def readings(result: WindowResult, step: int, places: IntArray, clock: Clock, system: str) -> Readings:
    """The same for many samples, as `hour_lines` tells it of one; a line in <b> holds no text of the user's."""
    forecast, judged = result.forecast, result.steps[step]
    metre = unit_of("length", system)
    hs = forecast.batch.hs

    def numbers(values: FloatArray, decimals: int, factor: float = 1.0) -> Cells:
        return _cells(values[places] / factor, lambda value: f"{value:.{decimals}f}")

    told = Readings(places)
    told.add("<b>{}</b>", [clock.both(when) for when in forecast.times[places]])
    told.add(f"Hs {{}}\u00a0{metre.symbol} in all", numbers(hs, 2, metre.factor))
    for name, slot in zip(forecast.system_names, forecast.batch.slots, strict=True):
        there = np.where(slot.hs > 0, 1.0, np.nan)
        tp = getattr(slot, "tp", np.full(forecast.size, np.nan))
        told.add(
            f"{name} {{}}\u00a0{metre.symbol}, Tp {{}}\u00a0s, from {{}}°",
            numbers(slot.hs * there, 2, metre.factor),
            numbers(tp * there, 1),
            numbers(slot.direction_from * there, 0),
        )
    speed = unit_of("speed", system)
    for name, way, values, bearing in (
        ("wind", "from", forecast.wind_speed, forecast.wind_direction_from),
        ("current", "to", forecast.current_speed, forecast.current_direction_to),
    ):
        words, cells = name, []
        if values is not None:
            words, cells = f"{name} {{}}\u00a0{speed.symbol}", [numbers(values, 1, speed.factor)]
        if bearing is not None:
            words, cells = f"{words} {way} {{}}°", [*cells, numbers(bearing, 0)]
            if name == "wind":
                angles = off_bow(bearing[places], result.bow(step)[places])
                words, cells = f"{words}, {{}}", [*cells, _cells(angles, bow_words)]
        if cells:
            told.add(words, *cells)
    told.add(f"heave {{}}\u00a0{metre.symbol}", numbers(judged.plain.heave_sigma, 2, metre.factor / 4))
    if judged.asked.factor is not None:
        alpha = hs / np.where(judged.design_hs > 0, judged.design_hs, np.nan)
        design = numbers(judged.design_hs, 2, metre.factor)
        told.add(f"α {{}}: judged in Hs {{}}\u00a0{metre.symbol}", numbers(alpha, 2), design)
    if np.ptp(result.heading) > 0 or judged.step.heading is not None:
        told.add("heading {}°", numbers(result.bow(step), 0))
    for key in ranked_checks(judged.reduced):
        told.add(f"{NAMES[key]} {{}} of 1", _cells(judged.reduced.by_check[key][places], utilisation_text))
    told.add("<b>{}</b>", _governs(result, step, places))
    told.add("{}", _starts(result, places))
    return told


def _cells(values: FloatArray, words: Callable[[float], str]) -> Cells:
    return [UNKNOWN if math.isnan(value) else words(value) for value in values.tolist()]


def _governs(result: WindowResult, step: int, places: Iterable[int]) -> Cells:
    """The governing check and its state, or why there is none."""
    table, missing = result.steps[step].reduced, result.forecast.missing
    words = []
    for place in places:
        used = float(table.governing[place])
        if missing[place]:
            words.append("sea not known: never inside")
        elif math.isnan(used):
            words.append("not assessed: never inside")
        else:
            name = NAMES[table.keys[int(table.governed_by[place])]]
            end = "" if table.assessed[place] else "; not assessed: never inside"
            state = utilisation_state(used, result.plan.caution_level, high=float(table.high[place]))
            words.append(f"{name} governs, {state}{end}")
    return words


def _starts(result: WindowResult, places: IntArray) -> Cells:
    """Whether the campaign can start."""
    times = result.forecast.times[places]
    within = np.zeros(times.size, dtype=np.bool_)
    for window in result.windows:
        within |= (times >= window.start) & (times <= window.end)
    words = np.where(within, "in a window, too late to start", "no start here")
    return [str(word) for word in np.where(result.start_works[places], "can start here", words)]
