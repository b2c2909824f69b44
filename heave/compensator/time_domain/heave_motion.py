"""Heave of the hoist over time at a constant step: regular, or measured."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Quantity

SAMPLE_STEP: Final = 0.1
"""Time step at which heave is kept [s]; cubic between samples, good to 1e-5 for waves from 2 s."""

MEASURED_STEP: Final = Quantity("step of the record", "period", low=0.01, high=2.0)
"""Of measured heave: two seconds still give ten samples a swell."""

SIMULATED: Final = Quantity("time simulated", "period", low=1.0, high=48 * 3600.0)

LEAD_IN: Final = 60.0
"""Time before zero in which the heave grows from nothing [s], so that nothing starts with a jolt."""


@dataclass(frozen=True, eq=False)
class HeaveMotion:
    """Heave of n cases at a constant step, the vessel's rise positive.

    step : [s]
    position, velocity : (nt, n) [m], [m/s]
    lead : how much of it lies before time zero [s]
    """

    step: float
    position: FloatArray
    velocity: FloatArray
    lead: float = 0.0

    def __post_init__(self) -> None:
        shapes = f"{self.position.shape} and {self.velocity.shape}"
        if self.position.ndim != 2 or self.position.shape != self.velocity.shape or len(self.position) < 2:
            raise InputError("shapes of heave and its velocity", shapes, None, "one shape (nt, n), nt from 2")
        if not (np.all(np.isfinite(self.position)) and np.all(np.isfinite(self.velocity))):
            raise InputError("heave", "a value that is not finite", "m", "finite numbers")

    @property
    def duration(self) -> float:
        """Time covered after the lead-in [s]."""
        return (len(self.position) - 1) * self.step - self.lead

    @property
    def cases(self) -> int:
        """Number of cases n."""
        return int(self.position.shape[1])

    def delayed(self, delay: float) -> HeaveMotion:
        """The same motion `delay` [s] later, at rest before it begins."""
        whole = math.ceil(delay / self.step - 1e-12)
        share = (whole - delay / self.step,)
        before = np.zeros((whole, self.cases))
        padded = HeaveMotion(
            self.step,
            np.concatenate([before, self.position, self.position[-1:]]),
            np.concatenate([before, self.velocity, self.velocity[-1:]]),
        )
        place, rate = padded._between(share, 0, len(self.position))
        return HeaveMotion(self.step, place, rate, self.lead)

    def refined(self, first: int, count: int, parts: int) -> tuple[FloatArray, FloatArray]:
        """Position and velocity on a finer grid, cubic between samples (Hermite).

        Parameters
        ----------
        first : sample to start from
        count : samples to cover
        parts : fine steps per sample step

        Returns
        -------
        Two arrays (count × parts, n), the points after the first sample
        """
        return self._between(tuple(n / parts for n in range(1, parts + 1)), first, count)

    def _between(self, share: tuple[float, ...], first: int, count: int) -> tuple[FloatArray, FloatArray]:
        """Cubic values at `share` of the way through each of `count` sample steps."""
        rows, after = slice(first, first + count), slice(first + 1, first + count + 1)
        corners = np.stack(
            [self.position[rows], self.position[after], self.velocity[rows], self.velocity[after]]
        ).reshape(4, -1)
        found = (_cubic(share, self.step) @ corners).reshape(2, len(share), count, self.cases).swapaxes(1, 2)
        place, rate = found.reshape(2, count * len(share), self.cases)
        return place, rate


@lru_cache(64)
def _cubic(share: tuple[float, ...], step: float) -> FloatArray:
    """Weights of Hermite's cubic at `share` of a step: place and rate from both ends' places, then their rates."""
    s = np.array(share)
    place = [1 - 3 * s**2 + 2 * s**3, 3 * s**2 - 2 * s**3, step * (s - 2 * s**2 + s**3), step * (s**3 - s**2)]
    rate = [6 * (s**2 - s) / step, 6 * (s - s**2) / step, 1 - 4 * s + 3 * s**2, 3 * s**2 - 2 * s]
    return np.stack([np.stack(place, axis=1), np.stack(rate, axis=1)])


def regular_heave(
    amplitude: float | FloatArray, period: float, duration: float, lead: float = LEAD_IN, phase: float = 0.0
) -> HeaveMotion:
    """Heave amplitude × sin(2πt/period + phase), growing from nothing in the lead-in.

    Source: by definition.

    Parameters
    ----------
    amplitude : single amplitude, scalar or (n,) [m]
    period : [s], from 2
    duration : after the lead-in [s]
    lead : time before zero [s]
    phase : at time zero [rad]

    Raises
    ------
    InputError
        If amplitude, period or duration is out of range.
    """
    size = np.atleast_1d(np.asarray(amplitude, dtype=np.float64))
    SIMULATED.check(duration)
    if not (np.all(np.isfinite(size)) and np.all(size >= 0)):
        raise InputError("heave amplitude", amplitude, "m", "zero or above")
    Quantity("heave period", "period", low=2.0, high=60.0).check(period)
    time = np.arange(math.ceil((duration + lead) / SAMPLE_STEP - 1e-9) + 1) * SAMPLE_STEP - lead
    omega = 2 * math.pi / period
    position = np.sin(omega * time + phase)[:, None] * size
    velocity = omega * np.cos(omega * time + phase)[:, None] * size
    return grown(position, velocity, SAMPLE_STEP, lead)


def sampled_heave(position: npt.ArrayLike, step: float) -> HeaveMotion:
    """Measured heave at a constant step as a motion; velocity by centred differences of its own cubic.

    The first value is held and grown into over the lead-in, and the mean is taken out.

    Source: differences of a sampled motion, by definition.

    Parameters
    ----------
    position : (nt,) [m]
    step : [s], 0.01 to 2

    Raises
    ------
    InputError
        If there are fewer than ten values, one is not finite, or the step is out of range.
    """
    measured = np.asarray(position, dtype=np.float64)
    if measured.ndim != 1 or len(measured) < 10 or not np.all(np.isfinite(measured)):
        raise InputError("measured heave", f"shape {measured.shape}", "m", "ten finite values or more")
    MEASURED_STEP.check(step)
    from scipy.interpolate import CubicSpline

    time = np.arange(len(measured)) * step
    spline = CubicSpline(time, measured - measured.mean())
    wanted = np.arange(math.floor(time[-1] / SAMPLE_STEP + 1e-9) + 1) * SAMPLE_STEP
    before = round(LEAD_IN / SAMPLE_STEP)
    place = np.concatenate([np.full(before, spline(0.0)), spline(wanted)])
    rate = np.concatenate([np.zeros(before), spline(wanted, 1)])
    return grown(place[:, None], rate[:, None], SAMPLE_STEP, before * SAMPLE_STEP)


def grown(position: FloatArray, velocity: FloatArray, step: float, lead: float) -> HeaveMotion:
    """The motion times a half cosine that rises from 0 to 1 over the lead-in.

    Parameters
    ----------
    position, velocity : (nt, n) [m], [m/s]
    step : [s]
    lead : time of growth, all of it before time zero [s]
    """
    if lead <= 0:
        return HeaveMotion(step, np.ascontiguousarray(position), np.ascontiguousarray(velocity), 0.0)
    phase = np.minimum(np.arange(len(position)) * step / lead, 1.0) * math.pi
    growth = ((1 - np.cos(phase)) / 2)[:, None]
    slope = (np.sin(phase) * math.pi / lead / 2)[:, None]
    return HeaveMotion(step, growth * position, growth * velocity + slope * position, lead)
