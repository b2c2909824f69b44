"""The level of a heave record: a straight drift taken out, an offset told, and what is beyond any vessel refused."""

from __future__ import annotations

from typing import Final

import numpy as np

from heave.errors import FileError
from heave.files.record.faults import Fault, spread
from heave.files.record.integrate import SHORTEST
from heave.files.rows import FloatArray
from heave.units import significant

LEAST_OFFSET: Final = 0.1
"""Mean of a record, as a share of its deviation, from which it is told."""

LEAST_DRIFT: Final = 0.5
"""Drift over a record, as a share of its deviation, past which it is taken out."""

MOST_HEAVE: Final = 30.0
"""Most that heave may be off the sensor's nil [m]."""


def without_drift(heave: FloatArray, step: float) -> tuple[FloatArray, list[Fault]]:
    """Heave without a straight drift of more than half its deviation over the record; its mean is kept."""
    time = np.arange(len(heave)) * step
    slope = float(np.polyfit(time - time.mean(), heave, 1)[0])
    drift = slope * float(time[-1])
    level = heave - slope * (time - time.mean())
    if abs(drift) <= LEAST_DRIFT * float(level.std()) or float(time[-1]) < SHORTEST:
        return heave, []
    words = (
        f"The level drifts by {significant(drift)}\u00a0m over the record, {significant(60 * slope)}\u00a0m a minute: "
        "the straight line is taken out, the mean kept."
    )
    return level, [Fault("drift", words)]


def offset(heave: FloatArray) -> list[Fault]:
    """What is to be said of the mean of a record."""
    mean = float(heave.mean())
    if abs(mean) <= LEAST_OFFSET * float(heave.std()):
        return []
    found = f"The record has an offset: its mean is {significant(mean)}\u00a0m"
    return [Fault("offset", f"{found}. It is kept; run and comparison take it out.")]


def check_size(heave: FloatArray, step: float, line: int) -> None:
    """Refuse heave beyond what any vessel has."""
    place = int(np.argmax(np.abs(heave)))
    if abs(heave[place]) > MOST_HEAVE:
        what = f"heave {significant(place * step)}\u00a0s from the first value"
        allowed = f"from -{MOST_HEAVE:g} to {MOST_HEAVE:g}: correct the unit, or the sensor's nil"
        raise FileError(what, float(f"{heave[place]:.4g}"), "m", allowed, line=line)
    if spread(heave) <= 0.0:
        raise FileError("heave record", float(heave[0]), "m", "values that move most of the time", line=line)
