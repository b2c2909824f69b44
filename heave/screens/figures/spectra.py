"""Sea and heave spectra with the heave per metre of wave between them, read by period."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray
from heave.judging.results import Responses
from heave.screens.figures.chart import Chart, Parts, faint, figure, line, note, reading, stroke, upright
from heave.screens.figures.look import Look
from heave.units import Unit, significant, unit_of

HEIGHT: Final = 340
_PERIODS: Final = np.array(
    [40.0, 25.0, 20.0, 16.0, 14.0, 12.0, 10.0, 9.0, 8.0, 7.0, 6.0, 5.0, 4.5, 4.0, 3.5, 3.0]
)
_SLOWEST, _FASTEST = 0.2, 1.75
"""Ends of the axis [rad/s]; it is stretched when the spectra need more."""


def spectra_figure(
    responses: Responses,
    look: Look,
    system: str = "metric",
    free_period: tuple[float, float, float] | None = None,
) -> Chart:
    """Sea and heave spectra over frequency, labelled by period, and heave per wave on the right.

    The axis is even in frequency, so areas are energy, and its marks are the periods. `free_period`
    is the off-bottom natural period on the gas spring at the low, nominal and high index [s].
    """
    keep = _window(responses.omega, responses.sea_spectrum, responses.heave_spectrum)
    omega, transfer = responses.omega[keep], responses.transfer[keep]
    unit, per = unit_of("spectral_density", system), unit_of("heave_per_wave", system)
    sea = _spectrum("sea", look.sea, omega, responses.sea_spectrum[keep], unit, **_filled(look))
    heave = _spectrum("heave at the hoist", look.heave, omega, responses.heave_spectrum[keep], unit)
    gain = {"x": omega, "y": transfer, "yaxis": "y2", "hovertemplate": reading(per.symbol)}
    highest = max(sea["y"].max(), heave["y"].max())
    shapes, notes = _off_bottom(free_period, look, (float(omega[0]), float(omega[-1])))
    beside = {"title": f"heave per wave, {per.symbol}", "overlaying": "y", "side": "right"}
    room = {"range": [0, _headroom(transfer.max())], "showgrid": False, "tickmode": "auto"}
    return figure(
        look,
        [sea, heave, line("heave per wave", look.muted, 1.6, "dot", **gain)],
        height=HEIGHT,
        head=34,
        xaxis=_period_axis(omega),
        yaxis={"title": f"spectral density, {unit.symbol}", "range": [0, _headroom(highest)]},
        yaxis2={**beside, **room},
        shapes=shapes,
        annotations=notes,
    )


def spectrum_preview(omega: FloatArray, density: FloatArray, look: Look, system: str = "metric") -> Chart:
    """One sea spectrum on the same period axis, for a spectrum about to be taken from a file."""
    keep = _window(omega, density)
    unit = unit_of("spectral_density", system)
    sea = _spectrum("sea", look.sea, omega[keep], density[keep], unit, **_filled(look))
    up = {"title": f"spectral density, {unit.symbol}", "rangemode": "tozero"}
    along = _period_axis(omega[keep])
    return figure(look, [sea], height=240, head=8, showlegend=False, xaxis=along, yaxis=up)


def _spectrum(
    name: str, colour: str, omega: FloatArray, density: FloatArray, unit: Unit, **more: Any
) -> Parts:
    hover = reading(unit.symbol)
    return line(name, colour, x=omega, y=density / unit.factor, hovertemplate=hover, **more)


def _filled(look: Look) -> Parts:
    return {"fill": "tozeroy", "fillcolor": faint(look.sea, 0.14)}


def _headroom(highest: float) -> float:
    """Top of an axis that leaves room for words over the highest point."""
    return 1.22 * float(highest) or 1.0


def _window(omega: FloatArray, *spectra: FloatArray) -> slice:
    """The grid points to draw: the usual wave band, wider where a spectrum needs it."""
    used = (omega >= _SLOWEST) & (omega <= _FASTEST)
    for spectrum in spectra:
        used |= spectrum > 0.01 * np.max(spectrum)
    places = np.flatnonzero(used)
    return slice(places[0], places[-1] + 1)


def _period_axis(omega: FloatArray) -> Parts:
    """Even in frequency, marked with periods that stand far enough apart to read."""
    span = float(omega[-1] - omega[0])
    marks: list[float] = []
    for mark in 2 * np.pi / _PERIODS:
        if omega[0] <= mark <= omega[-1] and (not marks or mark - marks[-1] > 0.085 * span):
            marks.append(float(mark))
    return {
        "title": "period, s",
        "range": [float(omega[0]), float(omega[-1])],
        "tickvals": marks,
        "ticktext": [f"{2 * np.pi / mark:.3g}" for mark in marks],
        "hoverformat": ".3f",
        "unifiedhovertitle": {"text": "%{x:.3f} rad/s"},
        "tickangle": 0,
    }


def _off_bottom(
    free_period: tuple[float, float, float] | None, look: Look, span: tuple[float, float]
) -> tuple[list[Parts], list[Parts]]:
    """The off-bottom natural period as a line within its band over the polytropic index."""
    if free_period is None:
        return [], []
    first, middle, last = (2 * np.pi / period for period in sorted(free_period, reverse=True))
    if not span[0] < middle < span[1]:
        return [], []
    shapes = [
        upright(first, last, fillcolor=look.track, line=stroke(look.muted, 1), layer="below"),
        upright(middle, middle, line=stroke(look.text, 1.4, "dashdot"), layer="below"),
    ]
    side, shift = ("left", 4) if middle < sum(span) / 2 else ("right", -4)
    placed = {"yref": "paper", "yanchor": "top", "xanchor": side, "align": side, "xshift": shift}
    words = f"off-bottom period<br>{significant(2 * np.pi / middle)}\u00a0s"
    ground = {"bgcolor": look.ground, "opacity": 0.9}
    return shapes, [note(words, middle, 1.0, look.text, 12, **placed, **ground)]
