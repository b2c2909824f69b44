"""Hookload over the depth of the bit: a curve for each motion, its highest and lowest, what it is held against."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from heave.judging.checks import OVER
from heave.planning.job import MOTIONS, Extremes, JobHookload, Motion
from heave.screens.figures.chart import Chart, Parts, figure, line, note, points, reading, stroke, upright
from heave.screens.figures.look import Look
from heave.screens.figures.thin import kept_points
from heave.units import show, unit_of

HEIGHT: Final = 460
_NEAR: Final = 1.4
"""A load to compare with is drawn up to this many times the highest of the curves: a far line flattens them."""

_WORDS_AT: Final = ((0.02, "bottom"), (0.5, "middle"), (0.98, "top"))
"""Heights of the words along upright lines, in turn, so that those of close lines stay apart."""


def shown_motions(job: JobHookload) -> tuple[Motion, ...]:
    """The motions that have a curve of their own: drilling only with weight on the bit."""
    same = np.array_equal(job.drilling, job.rotating)
    return tuple(motion for motion in MOTIONS if motion != "drilling" or not same)


def hookload_figure(
    job: JobHookload, against: Mapping[str, float], look: Look, system: str = "metric"
) -> Chart:
    """Hookload across, bit depth downwards, the highest and lowest of every curve marked.

    Loads `against` which it is held [N] are upright lines with their names along them; one called a rating has the
    colour of a limit.
    """
    force, length = unit_of("force", system), unit_of("length", system)
    styles = {
        "running in": (look.sea, 2, "dash"),
        "rotating off bottom": (look.text, 2, ""),
        "drilling": (look.muted, 2, "dot"),
        "pulling out": (look.heave, 2.4, ""),
    }
    found = [job.extremes(motion) for motion in shown_motions(job)]
    traces = []
    for one in found:
        load = job.of(one.motion)
        kept = kept_points(load)
        drawn = {"x": load[kept] / force.factor, "y": job.depth[kept] / length.factor}
        told = reading(force.symbol, "x")
        traces.append(line(one.motion, *styles[one.motion], **drawn, hovertemplate=told))
    ends = (
        ("highest", "triangle-right", [(one.highest, one.highest_at) for one in found]),
        ("lowest", "triangle-left", [(one.lowest, one.lowest_at) for one in found]),
    )
    for name, symbol, places in ends:
        loads, depths = np.array(places).T
        marks = {"symbol": symbol, "size": 11, "color": look.text}
        at = {"x": loads / force.factor, "y": depths / length.factor, "marker": marks}
        traces.append(points(name, **at, hoverinfo="skip"))
    top = _NEAR * max(one.highest for one in found if not np.isnan(one.highest))
    near = {name: load / force.factor for name, load in against.items() if load <= top}
    shapes, notes = _uprights(near, look)
    along = {"title": f"hookload below the compensator, {force.symbol}"}
    down = {"title": f"bit depth along the hole, {length.symbol}", "autorange": "reversed"}
    layout: Parts = {"xaxis": along, "yaxis": down, "shapes": shapes, "annotations": notes}
    return figure(look, traces, height=HEIGHT, hovermode="y unified", **layout)


def _uprights(near: Mapping[str, float], look: Look) -> tuple[list[Parts], list[Parts]]:
    shapes, notes = [], []
    for count, (name, load) in enumerate(near.items()):
        rating = name.startswith("rating")
        height, end = _WORDS_AT[count % len(_WORDS_AT)]
        held = {"yref": "paper", "textangle": -90, "xanchor": "right", "yanchor": end}
        colour = look.fill(OVER) if rating else look.muted
        shapes.append(upright(load, load, line=stroke(colour, 1.6, "" if rating else "dash")))
        notes.append(note(name, load, height, look.words(OVER) if rating else look.muted, 12, **held))
    return shapes, notes


def hookload_words(job: JobHookload, system: str = "metric") -> str:
    """The figure in words, for those who cannot see it."""
    told = "; ".join(_extremes_words(job.extremes(motion), system) for motion in shown_motions(job))
    return f"Hookload over bit depth: {told}"


def _extremes_words(found: Extremes, system: str) -> str:
    return (
        f"{found.motion} {show(found.lowest, 'force', system)} at {show(found.lowest_at, 'length', system)} to "
        f"{show(found.highest, 'force', system)} at {show(found.highest_at, 'length', system)}"
    )
