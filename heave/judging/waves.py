"""What a procedure's limits in wave height ask of each sea: heights, periods and relative headings of its systems."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.planning.operations import Operation
from heave.sea import OMEGA, MeasuredSlot, SeaBatch
from heave.vessel import relative_heading


class Waves(NamedTuple):
    """The wave systems of n cases; a system of no height is not there.

    hs, tp : significant height and peak period (systems, n) [m], [s]
    heading : relative heading, 180 a head sea, both sides alike (systems, n), 0 to 180 [deg]
    """

    hs: FloatArray
    tp: FloatArray
    heading: FloatArray

    @property
    def largest(self) -> FloatArray:
        """Height of the highest system (n,) [m]."""
        return np.asarray(self.hs.max(axis=0))

    @property
    def others(self) -> FloatArray:
        """Height of all the other systems together, √(ΣHs² − Hs_max²) (n,) [m]; energies add, by definition."""
        return np.asarray(np.sqrt(np.maximum(np.square(self.hs).sum(axis=0) - self.largest**2, 0.0)))


def waves_of(
    operation: Operation, batch: SeaBatch, heading: npt.ArrayLike, height: float = 1.0
) -> Waves | None:
    """The wave systems of every sea; None where the operation has no limits in wave height.

    Parameters
    ----------
    operation : for its limits
    batch : n sea states
    heading : of the vessel, scalar, (n,), or (n, k) for k headings in each sea, next to each other in the answer [deg]
    height : factor on every wave height
    """
    if not operation.hs_limits:
        return None
    bow = np.asarray(heading, dtype=np.float64)
    bow = bow if bow.ndim == 2 else np.broadcast_to(bow, (batch.size,))[:, None]
    hs, tp, off = [], [], []
    for slot in batch.slots:
        if isinstance(slot, MeasuredSlot):
            tp.append(2 * math.pi / OMEGA[np.argmax(slot.measured, axis=1)])
        else:
            tp.append(slot.tp)
        hs.append(height * slot.hs)
        turned = relative_heading(bow, np.asarray(slot.direction_from)[:, None])
        off.append(np.minimum(turned, 360.0 - turned).ravel())
    many = bow.shape[1]
    return Waves(np.repeat(hs, many, axis=1), np.repeat(tp, many, axis=1), np.stack(off))


def limits_of(operation: Operation, waves: Waves) -> FloatArray:
    """The height allowed in each sea: the lowest of the rows that cover any of its systems (n,) [m].

    NaN where a system that is there is covered by no row, for then the procedure says nothing of this sea.

    Parameters
    ----------
    operation : for its limits
    waves : from `waves_of`
    """
    each = np.full(waves.hs.shape, math.inf)
    for row in operation.hs_limits:
        covered = (row.period_from <= waves.tp) & (waves.tp <= row.period_to)
        covered &= (row.heading_from <= waves.heading) & (waves.heading <= row.heading_to)
        each = np.where(covered, np.minimum(each, row.hs), each)
    there = waves.hs != 0  # NaN, a height that is not known, is there
    lowest = np.min(np.where(there, each, math.inf), axis=0)
    unknown = np.any(there & np.isinf(each), axis=0)
    calm = ~np.any(there, axis=0)
    every = max((row.hs for row in operation.hs_limits), default=math.nan)
    return np.where(unknown, math.nan, np.where(calm, every, lowest))
