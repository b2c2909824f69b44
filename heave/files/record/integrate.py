"""Slow parts and drift taken out of a record, and acceleration integrated twice, over frequency in one stated band.

What is kept whole has periods of 2 to 25 s; nothing is left over 40 s or under 1.5 s, and between goes half a cosine.
An acceleration a(ω) becomes heave −a(ω)/ω² in that band. What a filter makes of the ends of a record is not known, so
EDGE is given up at each. Below the band the waves of the sea make nothing, so the density there is the sensor's own:
carried on evenly into the band, its noise becomes heave of variance S/(3 (2π)⁴ f₁³), which is ∫ S/(2πf)⁴ df from f₁.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.record.faults import Fault, resolution, spread
from heave.units import STANDARD_GRAVITY, per_cent, significant

KEPT: Final = (2.0, 25.0)
"""Periods kept whole [s]."""

LOST: Final = (1.5, 40.0)
"""Periods from which nothing is left [s]: below the first and over the second."""

EDGE: Final = 60.0
"""Given up at each end of a filtered record [s]."""

_GIVEN_UP: Final = f"The first and the last {EDGE:g}\u00a0s are given up."

SHORTEST: Final = 300.0
"""Shortest acceleration record [s], ends included."""

LONGEST_STEP: Final = 0.5
"""Longest step of an acceleration record [s]: four values in the shortest period kept."""

MOST_NOISE: Final = 0.1
"""Most that the noise of the sensor may be in the heave, as a share of its deviation."""

MOST_SLOW: Final = 0.05
"""Share of the variance of a heave record over 40 s past which it is taken out."""

_AT_REST: Final = 0.1
"""How near the mean of an acceleration must be to nil or to gravity, as a share of gravity."""

_PIECE: Final = 200.0
_BELOW: Final = (0.015, 0.03)
"""Frequencies at which only the sensor has anything [Hz]."""

LEAST_OFFSET: Final = 0.1
"""Mean of a record, as a share of its deviation, from which it is told."""

LEAST_DRIFT: Final = 0.5
"""Drift over a record, as a share of its deviation, past which it is taken out."""

MOST_HEAVE: Final = 30.0
"""Most that heave may be off the sensor's nil [m]."""


def heave_of(acceleration: FloatArray, step: float, line: int) -> tuple[FloatArray, list[Fault]]:
    """Heave from vertical acceleration, with what was done.

    Parameters
    ----------
    acceleration : up positive, gravity included or not (nt,) [m/s²]
    step : time between values [s]
    line : of the first value, for a refusal

    Returns
    -------
    Heave (nt,) [m] with its ends, EDGE of which is not valid, and notes as faults

    Raises
    ------
    FileError
        If the record is too short or too coarse, its mean is neither nil nor gravity, or the noise of the sensor
        would be over a tenth of the heave.
    """
    duration = (len(acceleration) - 1) * step
    if duration < SHORTEST:
        allowed = f"at least {SHORTEST:g}, as {EDGE:g}\u00a0s at each end are lost to integration: ask for a longer one"
        length = float(f"{duration:.4g}")
        raise FileError("length of the acceleration record", length, "s", allowed, line=line)
    if step > LONGEST_STEP * 1.001:
        allowed = f"at most {LONGEST_STEP:g}, to be integrated twice: ask for a quicker one"
        raise FileError("time between accelerations", float(f"{step:.4g}"), "s", allowed, line=line)
    mean = float(acceleration.mean())
    gravity = abs(abs(mean) - STANDARD_GRAVITY) <= _AT_REST * STANDARD_GRAVITY
    if not gravity and abs(mean) > _AT_REST * STANDARD_GRAVITY:
        allowed = "a mean near nil or near 9.81: correct its unit, or give the vertical one"
        raise FileError("mean of the acceleration", float(f"{mean:.3g}"), "m/s²", allowed, line=line)
    moving = acceleration - mean
    found = _filtered(moving, step, twice=True)
    inner = found[valid_zone(len(found), step)]
    sigma = float(inner.std())
    noise = _noise(moving, step)
    if noise > MOST_NOISE * sigma:
        most = f"{per_cent(MOST_NOISE)} of the heave, {significant(sigma)}\u00a0m"
        allowed = f"at most {most}: the sensor is too noisy, or drifts; ask for its heave"
        raise FileError("noise in the integrated heave", float(f"{noise:.2g}"), "m", allowed, line=line)
    rest = "gravity is in it and taken out" if gravity else "gravity is not in it"
    words = (
        f"Acceleration integrated twice, periods of {KEPT[0]:g} to {KEPT[1]:g}\u00a0s kept whole and nothing over "
        f"{LOST[1]:g}\u00a0s; its mean is {significant(mean)}\u00a0m/s²: {rest}. Noise of the sensor makes about "
        f"{significant(noise, 2)}\u00a0m of it, standard deviation. {_GIVEN_UP}"
    )
    return found, [Fault("integrated", words)]


def without_slow(heave: FloatArray, step: float) -> tuple[FloatArray, list[Fault]]:
    """Heave without its slow parts where they are over 5 % of its variance; the mean is kept.

    Parameters
    ----------
    heave : (nt,) [m]
    step : [s]

    Returns
    -------
    Heave (nt,), and the fault if there was one; the ends are then not valid
    """
    if (len(heave) - 1) * step < SHORTEST:
        return heave, []
    mean = float(heave.mean())
    moving = heave - mean
    slow = _slow(moving, step)
    share = float(slow.var() / moving.var())
    if share <= MOST_SLOW:
        return heave, []
    words = (
        f"The level wanders slowly over {significant(float(np.ptp(slow)))}\u00a0m, which is "
        f"{significant(100 * share, 2)}\u00a0% of the variance: periods over {LOST[1]:g}\u00a0s taken out, those to "
        f"{KEPT[1]:g}\u00a0s kept whole. {_GIVEN_UP}"
    )
    return mean + _filtered(moving, step, twice=False, highest=False), [Fault("wander", words)]


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


def valid_zone(count: int, step: float) -> slice:
    """The values of a filtered record that are valid."""
    edge = math.ceil(EDGE / step - 1e-9)
    return slice(edge, count - edge)


def _filtered(moving: FloatArray, step: float, *, twice: bool, highest: bool = True) -> FloatArray:
    """A record in the band, integrated twice or not; its ends fade out before what is laid round them."""
    count, edge = len(moving), round(EDGE / step)
    fade = np.minimum(1.0, (np.arange(count) + 0.5) / (edge / 2))
    fade = (1 - np.cos(math.pi * np.minimum(fade, fade[::-1]))) / 2
    size = 1 << math.ceil(math.log2(count + 2 * edge))
    frequency = np.asarray(np.fft.rfftfreq(size, step), dtype=np.float64)
    gain = _band(frequency, highest)
    if twice:
        squared = (2 * math.pi * frequency) ** 2
        gain = gain * np.divide(-1.0, squared, out=np.zeros_like(frequency), where=frequency > 0)
    return np.asarray(np.fft.irfft(gain * np.fft.rfft(moving * fade, size), size)[:count])


def _band(frequency: FloatArray, highest: bool) -> FloatArray:
    """What the band leaves of each frequency, 0 to 1."""
    rise = np.clip((frequency - 1 / LOST[1]) / (1 / KEPT[1] - 1 / LOST[1]), 0.0, 1.0)
    gain = (1 - np.cos(math.pi * rise)) / 2
    if highest:
        fall = np.clip((frequency - 1 / KEPT[0]) / (1 / LOST[0] - 1 / KEPT[0]), 0.0, 1.0)
        gain = gain * (1 + np.cos(math.pi * fall)) / 2
    return np.asarray(gain)


def _slow(moving: FloatArray, step: float) -> FloatArray:
    """The part of a record over 40 s, as means over 40 s."""
    size = max(1, round(LOST[1] / step))
    whole = np.concatenate(([0.0], np.cumsum(moving)))
    return np.asarray((whole[size:] - whole[:-size]) / size)


def _noise(moving: FloatArray, step: float) -> float:
    """Deviation of the heave that the sensor's noise makes [m], by the density under the band and by its steps."""
    size = round(_PIECE / step)
    size -= size % 2
    window = np.hanning(size)
    pieces = [moving[a : a + size] for a in range(0, len(moving) - size + 1, size // 2)]
    power = [np.abs(np.fft.rfft((piece - piece.mean()) * window)) ** 2 for piece in pieces]
    density = 2 * step * np.mean(power, axis=0) / float(np.sum(window**2))
    frequency = np.fft.rfftfreq(size, step)
    below = (frequency >= _BELOW[0] - 1e-9) & (frequency <= _BELOW[1] + 1e-9)
    level = max(float(density[below].mean()), resolution(moving) ** 2 / 6 * step)
    return math.sqrt(level / (3 * (2 * math.pi) ** 4 * (1 / KEPT[1]) ** 3))
