"""What the browser is sent of one or two runs, so that the film plays there without the server.

Every signal is sent at every time step of the run, as two bytes a sample between its own least and greatest: off by
1/131,070 of that span at most, less than the width of a line on any screen, and a third of what digits take.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.judging.checks import NEAR, OVER, WITHIN
from heave.screens.figures.look import Look
from heave.screens.figures.sides import PANELS, Side
from heave.screens.film.happened import flags_of, marks_of
from heave.screens.film.machine import hull_of, limits_of, machine_of, shut_of
from heave.simulation.scenario import Scenario
from heave.simulation.simulate import SimulationResult
from heave.units import unit_of

Parts = dict[str, Any]

LONGEST: Final = 600.0
"""Longest film [s]; of a longer run it shows so much about the instant at which it opens."""

AHEAD: Final = 5.0
"""How long before what is to be seen a film opens [s]."""

LEVELS: Final = 65535
"""Steps between the least and the greatest of a signal."""

SIGNALS: Final = ("heave", "block", "hook", "bit", "stroke", "hook_load", "bit_force")
"""Signals that every film has, by their names in a result."""

DASHES: Final = {"A": [], "B": [6, 3]}
"""How the lines of each side are drawn."""

Caption = tuple[float, float, str]
"""From when to when [s], and the words under the picture meanwhile."""


def film_of(
    sides: Sequence[Side],
    scenario: Scenario,
    look: Look,
    system: str,
    *,
    opens: float | None = None,
    captions: Sequence[Caption] = (),
) -> Parts:
    """The film of one or two runs as plain values that JSON can hold.

    Parameters
    ----------
    sides : the runs, over one time
    scenario : that they ran in
    look : colours
    system : unit system on the screen
    opens : the instant at which the film comes up [s]; None is shortly before the first thing that is made to happen,
        or else before the largest heave
    captions : words that go with stretches of the run

    Returns
    -------
    dict; `key` is another text whenever anything else in it is different
    """
    time = sides[0].result.time
    marks = marks_of(sides, scenario, system)
    at = opens_at(sides[0].result, marks) if opens is None else opens
    rows = stretch(time, at)
    names = " against ".join(f"{side.letter}, {side.variant.label}" for side in sides)
    film: Parts = {
        "look": _look(sides, look),
        "units": {kind: _unit(kind, system) for kind in ("length", "force", "pressure")}
        | {"time": _unit("period", system)},
        "start": round(float(time[rows][0]), 6),
        "step": sides[0].result.step,
        "count": rows.stop - rows.start,
        "opens": round(min(max(at, float(time[rows][0])), float(time[rows][-1])), 3),
        "panels": [{"name": name, "title": title, "kind": kind} for name, title, kind in PANELS],
        "marks": [mark for mark in marks if time[rows][0] <= mark["time"] <= time[rows][-1]],
        "captions": [{"from": start, "to": end, "text": text} for start, end, text in captions],
        "sea": _sea(sides[0].result, scenario, rows),
        "hull": hull_of(sides[0].variant),
        "sides": [_side(side, rows, look) for side in sides],
        "alt": f"Moving drawing of the rig with traces of heave, stroke, hook load and weight on bit: {names}",
    }
    return {"key": hashlib.blake2b(json.dumps(film).encode(), digest_size=8).hexdigest(), **film}


def opens_at(result: SimulationResult, marks: Sequence[Parts]) -> float:
    """Shortly before the first thing that is made to happen, or before the largest heave [s].

    The heave and not what comes of it: so a film of another set-up in the same sea stands where the last one stood.

    Parameters
    ----------
    result : of any side
    marks : as of `marks_of`
    """
    made = [mark["time"] for mark in marks if mark["made"]]
    ahead = min(made, default=float(result.time[int(np.abs(result.heave).argmax())])) - AHEAD
    return max(round(ahead, 1), 0.0)


def stretch(time: FloatArray, at: float) -> slice:
    """The samples that are sent: all, or those of `LONGEST` about the instant `at` [s].

    Parameters
    ----------
    time : of the samples [s]
    at : the instant
    """
    if len(time) < 2 or time[-1] - time[0] <= LONGEST:
        return slice(0, len(time))
    count = round(LONGEST / float(time[1] - time[0])) + 1
    first = int(np.searchsorted(time, at - LONGEST / 2))
    first = min(max(first, 0), len(time) - count)
    return slice(first, first + count)


def encoded(values: FloatArray) -> Parts:
    """A signal as its least and greatest and two bytes a sample: value = low + (high − low) × u / 65535.

    Parameters
    ----------
    values : finite
    """
    low, high = float(values.min()), float(values.max())
    share = (values - low) * (LEVELS / (high - low)) if high > low else np.zeros_like(values)
    return {"low": low, "high": high, "data": _text(np.rint(share).astype("<u2"))}


def _text(values: npt.NDArray[Any]) -> str:
    return base64.b64encode(values.tobytes()).decode("ascii")


def _side(side: Side, rows: slice, look: Look) -> Parts:
    result, machine = side.result, machine_of(side.variant)
    signals = {name: getattr(result, name)[rows] for name in SIGNALS}
    if side.variant.unit == "locked" and machine["stroke"] is not None:
        signals["stroke"] = np.full_like(signals["stroke"], machine["start"])  # it stays where it was locked
    if result.gas_pressure is not None:
        signals["gas_pressure"] = result.gas_pressure[rows]
    if machine["active"]:
        signals["active_force"] = result.active_force[rows]
    return {
        "letter": side.letter,
        "label": side.variant.label,
        "colour": side.colour(look),
        "dash": DASHES[side.letter],
        "machine": machine,
        "signals": {name: encoded(values) for name, values in signals.items()},
        "flags": _text(flags_of(side)[rows]),
        "limits": limits_of(side.variant),
        "bands": {panel: [asdict(band) for band in bands] for panel, bands in side.bands.items()},
        "drilled": result.plan.offsets.penetration_rate if result.plan.on_bottom else 0.0,
        "shut": shut_of(side.variant, result),
        "drills_until": min((e.time for e in result.events if e.kind == "power lost"), default=None),
    }


def _look(sides: Sequence[Side], look: Look) -> Parts:
    plain = {name: getattr(look, name) for name in ("name", "text", "muted", "line", "track", "ground")}
    states = {"over": look.words(OVER), "near": look.words(NEAR), "within": look.words(WITHIN)}
    return {**plain, "sides": [side.colour(look) for side in sides], **states}


def _unit(kind: str, system: str) -> Parts:
    unit = unit_of(kind, system)
    return {"symbol": unit.symbol, "factor": unit.factor}


def _sea(result: SimulationResult, scenario: Scenario, rows: slice) -> Parts:
    """What is known of the water: its period, and its elevation at the hull."""
    if result.surface is None:
        return {"known": False, "period": 0.0, "surface": None}
    period = scenario.period if scenario.source == "wave" else result.plan.sea.tp
    return {"known": True, "period": round(period, 3), "surface": encoded(result.surface[rows])}
