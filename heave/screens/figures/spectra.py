"""Sea and heave spectra with the heave per metre of wave between them, read by period."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from heave.judging.results import FloatArray, Responses
from heave.screens.figures.look import Chart, Look, figure, scatter
from heave.units import display_value, significant, unit_of

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
    keep = slice(*_window(responses.omega, responses.sea_spectrum, responses.heave_spectrum))
    omega = responses.omega[keep]
    unit = unit_of("spectral_density", system)
    per = unit_of("heave_per_wave", system)
    shown = [s[keep] / unit.factor for s in (responses.sea_spectrum, responses.heave_spectrum)]
    hover = "%{y:.3~g} " + unit.symbol
    traces = [
        scatter(
            x=omega,
            y=shown[0],
            name="sea",
            line={"color": look.sea, "width": 2},
            fill="tozeroy",
            fillcolor=_faint(look.sea),
            hovertemplate=hover,
        ),
        scatter(
            x=omega,
            y=shown[1],
            name="heave at the hoist",
            line={"color": look.heave, "width": 2},
            hovertemplate=hover,
        ),
        scatter(
            x=omega,
            y=responses.transfer[keep],
            name="heave per wave",
            yaxis="y2",
            line={"color": look.transfer, "width": 1.6, "dash": "dot"},
            hovertemplate="%{y:.2f} " + per.symbol,
        ),
    ]
    shapes, notes = _off_bottom(free_period, look, (float(omega[0]), float(omega[-1])))
    return figure(
        look,
        traces,
        height=HEIGHT,
        margin={"l": 8, "r": 8, "t": 34, "b": 8},
        xaxis=_period_axis(omega),
        yaxis={"title": {"text": f"spectral density, {unit.symbol}"}, "range": [0, _headroom(*shown)]},
        yaxis2={
            "title": {"text": f"heave per wave, {per.symbol}"},
            "overlaying": "y",
            "side": "right",
            "range": [0, _headroom(responses.transfer[keep])],
            "showgrid": False,
            "tickmode": "auto",
        },
        shapes=shapes,
        annotations=notes,
    )


def spectrum_preview(omega: FloatArray, density: FloatArray, look: Look, system: str = "metric") -> Chart:
    """One sea spectrum on the same period axis, for a spectrum about to be taken from a file."""
    keep = slice(*_window(omega, density, density))
    unit = unit_of("spectral_density", system)
    trace = scatter(
        x=omega[keep],
        y=density[keep] / unit.factor,
        name="sea",
        line={"color": look.sea, "width": 2},
        fill="tozeroy",
        fillcolor=_faint(look.sea),
        hovertemplate="%{y:.3~g} " + unit.symbol,
    )
    return figure(
        look,
        [trace],
        height=240,
        showlegend=False,
        xaxis=_period_axis(omega[keep]),
        yaxis={"title": {"text": f"spectral density, {unit.symbol}"}, "rangemode": "tozero"},
    )


def _headroom(*curves: FloatArray) -> float:
    """Top of an axis that leaves room for words over the highest curve."""
    return 1.22 * max(float(np.max(curve, initial=0.0)) for curve in curves) or 1.0


def _window(omega: FloatArray, *spectra: FloatArray) -> tuple[int, int]:
    """First and last grid point to draw: the usual wave band, wider where a spectrum needs it."""
    used = np.zeros(omega.shape, dtype=bool)
    for spectrum in spectra:
        peak = float(np.max(spectrum, initial=0.0))
        used |= spectrum > 0.01 * peak
    used |= (omega >= _SLOWEST) & (omega <= _FASTEST)
    places = np.flatnonzero(used)
    return int(places[0]), int(places[-1]) + 1


def _period_axis(omega: FloatArray) -> dict[str, Any]:
    """Even in frequency, marked with periods that stand far enough apart to read."""
    span = float(omega[-1] - omega[0])
    marks: list[float] = []
    for mark in 2 * np.pi / _PERIODS:
        if omega[0] <= mark <= omega[-1] and (not marks or mark - marks[-1] > 0.085 * span):
            marks.append(float(mark))
    return {
        "title": {"text": "period, s"},
        "range": [float(omega[0]), float(omega[-1])],
        "tickvals": np.array(marks),
        "ticktext": [f"{2 * np.pi / mark:.3g}" for mark in marks],
        "hoverformat": ".3f",
        "unifiedhovertitle": {"text": "%{x:.3f} rad/s"},
        "tickangle": 0,
    }


def _off_bottom(
    free_period: tuple[float, float, float] | None, look: Look, span: tuple[float, float]
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """The off-bottom natural period as a line within its band over the polytropic index."""
    if free_period is None:
        return [], []
    first, middle, last = (2 * np.pi / period for period in sorted(free_period, reverse=True))
    if not span[0] < middle < span[1]:
        return [], []
    base = {"yref": "paper", "y0": 0, "y1": 1, "layer": "below"}
    shapes = [
        {**base, "type": "rect", "x0": first, "x1": last, "fillcolor": look.track, "line": {"width": 0}},
        {
            **base,
            "type": "line",
            "x0": middle,
            "x1": middle,
            "line": {"color": look.text, "width": 1.4, "dash": "dashdot"},
        },
    ]
    words = f"off-bottom period<br>{significant(display_value(2 * np.pi / middle, 'period', 'metric'))} s"
    right = middle < sum(span) / 2
    note = {
        "x": middle,
        "y": 1.0,
        "yref": "paper",
        "text": words,
        "showarrow": False,
        "xanchor": "right" if not right else "left",
        "yanchor": "top",
        "align": "left" if right else "right",
        "xshift": 4 if right else -4,
        "font": {"size": 12, "color": look.text},
        "bgcolor": look.ground,
        "opacity": 0.9,
    }
    return shapes, [note]


def _faint(colour: str) -> str:
    red, green, blue = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
    return f"rgba({red},{green},{blue},0.14)"
