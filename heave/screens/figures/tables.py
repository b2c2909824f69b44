"""What a figure draws, as a table: read off the values it is drawn from, for those who do not see it."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from heave.judging import Check
from heave.judging.results import BitBand, StrokeBudget
from heave.planning.rig import LoadCurve
from heave.screens.figures.chart import Chart, Parts
from heave.simulation.proof import Simulated
from heave.units import unit_of

Cell = str | float
Across = tuple[str, Callable[[Any], Any]]
"""Title of the column of places, and what makes its figures of the places of the chart."""

DIGITS: Final = 4
"""Of a figure in a table on the page."""


@dataclass(frozen=True)
class Table:
    """Titles with units, and rows of words and figures; a figure that is not known is NaN."""

    head: tuple[str, ...]
    rows: list[tuple[Cell, ...]]

    def texts(self, most: int) -> list[tuple[str, ...]]:
        """The rows as text to be read; where there are more than `most`, even steps of them."""
        step = max(-(-len(self.rows) // most), 1)
        return [tuple(map(_cell, row)) for row in self.rows[::step]]


def _cell(cell: Cell) -> str:
    if isinstance(cell, str):
        return cell
    return "" if np.isnan(cell) else f"{cell:.{DIGITS}g}".replace("-", "\u2212")


PERIOD: Final[Across] = ("period, s", lambda omega: 2 * np.pi / omega)
"""The places of a figure drawn over angular frequency [rad/s] and marked with periods [s]."""


def of_chart(chart: Chart, across: Across | None = None) -> list[Table]:
    """The traces of a chart: a table for each set of places, a column for each trace over it.

    Parameters
    ----------
    chart : lines, points, bars or lines around
    across : title and figures of the places, where the axis is marked with others than it is drawn on
    """
    traces, layout = chart.parts["data"], chart.parts["layout"]
    found: list[tuple[str, list[Cell], dict[str, list[Cell]]]] = []
    for trace, following in zip(traces, [*traces[1:], {}], strict=True):
        name = _name(trace, following)
        if not name:
            continue
        title, places, unit, values = _series(trace, layout, across)
        columns = {name if not unit else unit if unit.startswith(name) else f"{name}: {unit}": values}
        if "error_y" in trace:
            columns |= {
                f"{name}, {end}": _list(np.asarray(trace["y"]) + sign * np.asarray(trace["error_y"][held]))
                for end, sign, held in (("low end", -1, "arrayminus"), ("high end", 1, "array"))
            }
        same = next((one for one in found if one[0] == title and one[1] == places), None)
        if same is None:
            found.append((title, places, columns))
        else:
            same[2].update(columns)
    return [
        Table((title, *columns), list(zip(places, *columns.values(), strict=True)))
        for title, places, columns in found
        if places
    ]


def _name(trace: Parts, following: Parts) -> str:
    """What a trace is called; empty for one that draws no figures: outlines, grounds, what only pointing finds.

    The nameless edge that another is filled to is the low end of that one.
    """
    name, filled = _words(str(trace.get("name", ""))), following.get("fill") == "tonexty"
    if not name:
        over = _words(str(following.get("name", "")))
        return f"{over}, low end" if filled and over else ""
    unseen = trace.get("line", {}).get("width") == 0 and "fill" not in trace and not filled
    return "" if unseen else name


def _series(trace: Parts, layout: Parts, across: Across | None) -> tuple[str, list[Cell], str, list[Cell]]:
    """Title and figures of the places, and title and figures of what is drawn over them."""
    if "r" in trace:
        scale = layout.get("polar", {}).get("radialaxis", {})
        return "direction, °", _list(trace["theta"]), _title(scale), _list(trace["r"])
    along, up = (_axis(trace, layout, letter) for letter in "xy")
    values = trace["y"]
    places = _even(trace["x0"], trace["dx"], len(values)) if "x0" in trace else trace["x"]
    if across is not None:
        return across[0], _list(across[1](np.asarray(places))), _title(up), _list(values)
    return _title(along) or "place", _list(places), _title(up), _list(values)


def _even(first: Any, step: float, count: int) -> Any:
    """Places in even steps, of time where the first is one: the step is then in milliseconds."""
    if not isinstance(first, str):
        return first + step * np.arange(count)
    return np.datetime64(first) + np.arange(count) * np.timedelta64(round(step), "ms")


def _axis(trace: Parts, layout: Parts, letter: str) -> Parts:
    return dict(layout.get(f"{letter}axis{trace.get(letter + 'axis', letter)[1:]}", {}))


def _title(axis: Parts | None) -> str:
    given = (axis or {}).get("title", "")
    return _words(str(given.get("text", "")) if isinstance(given, dict) else str(given))


def _words(marked: str) -> str:
    """Words of a chart without their marks."""
    return html.unescape(re.sub(r"<br>", " ", re.sub(r"</?(b|i|span|sub|sup)[^>]*>", "", marked))).strip()


def _list(values: Any) -> list[Cell]:
    if isinstance(values, np.ndarray) and values.dtype.kind == "M":
        values = np.datetime_as_string(values, "m").tolist()
    given = values.tolist() if isinstance(values, np.ndarray) else list(values)
    return [one if isinstance(one, str) else _number(one) for one in given]


def _number(value: Any) -> Cell:
    if value is None:
        return float("nan")
    return float(value) if isinstance(value, int | float | np.number) else str(value)


def of_checks(checks: Sequence[Check], system: str, simulated: Mapping[str, Simulated]) -> list[Table]:
    """Every bar of the checks: demand of capacity, utilisation with the high end of its range, simulated, state."""
    nan = float("nan")
    rows: list[tuple[Cell, ...]] = []
    for check in checks:
        run = simulated.get(check.key)
        found = (check.utilisation, check.high, nan if run is None else run.utilisation)
        rows.append((check.name, check.headline(system), *map(float, found), check.state))
    head = ("check", "demand of capacity", "utilisation", "in doubt up to", "simulated", "state")
    return [Table(head, rows)]


def of_load(curve: LoadCurve, system: str) -> list[Table]:
    """Load of a compensator over its stroke, from mid-stroke, the gas compressed being positive."""
    force, length = unit_of("force", system), unit_of("length", system)
    loads = ("vessel rising", "gas alone", "vessel falling")
    head = (f"stroke, {length.symbol}", *(f"{name}, {force.symbol}" for name in loads))
    columns = (curve.rising, (curve.rising + curve.falling) / 2, curve.falling)
    places = (curve.x / length.factor).tolist()
    return [Table(head, list(zip(places, *((one / force.factor).tolist() for one in columns), strict=True)))]


def of_shares(rows: Sequence[tuple[str, float, float]]) -> list[Table]:
    """Shares of a variance with their standard errors: name, share and error of each."""
    head = ("input", "share, %", "standard error, %")
    return [Table(head, [(name, 100 * share, 100 * error) for name, share, error in rows])]


def of_texts(rows: Sequence[Mapping[str, str]]) -> list[Table]:
    """Rows of text that a page has already, under the names of their columns."""
    return [Table(tuple(rows[0]), [tuple(row.values()) for row in rows])] if rows else []


def of_stroke(budget: StrokeBudget, system: str) -> list[Table]:
    """The levels of the stroke column on both sides, from mid-stroke, the gas compressed being positive."""
    unit = unit_of("length", system)
    slow, falls = budget.static_rising, -budget.static_falling
    levels = (
        ("end of the stroke", budget.half_stroke, -budget.half_stroke),
        ("end reserve from", budget.half_stroke - budget.reserve, budget.reserve - budget.half_stroke),
        ("extreme", budget.rising, -budget.falling),
        ("significant", slow + budget.significant, falls - budget.significant),
        ("slow travel to", slow, falls),
        ("start position", budget.start, budget.start),
    )
    head = ("level", f"vessel rising, {unit.symbol}", f"vessel falling, {unit.symbol}")
    return [Table(head, [(name, *(float(end) / unit.factor for end in ends)) for name, *ends in levels])]


def of_bit(band: BitBand, system: str, low: float | None, high: float | None) -> list[Table]:
    """The bands of weight on bit, and the limits they are held to."""
    unit = unit_of("force", system)
    nan = float("nan")
    rows: list[tuple[Cell, ...]] = []
    for name in ("low", "nominal", "high"):
        rows.append((name, *(end / unit.factor for end in band.span(getattr(band, name)))))
    limits = tuple(nan if limit is None else limit / unit.factor for limit in (low, high))
    rows.append(("limits of the plan", *limits))
    return [Table(("band", f"from, {unit.symbol}", f"to, {unit.symbol}"), rows)]
