"""Hookload over the whole job: against the depth of the bit, running in, turning, drilling and pulling out.

The soft string of `heave.drill_string.well` for every depth of the bit at once: the string is built from its lower end,
and each piece counts with the inclination and friction of the interval in which it then is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal, get_args

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.drill_string.sections import DrillString
from heave.drill_string.well import ROUNDING, Well
from heave.errors import InputError
from heave.fields import Quantity

Motion = Literal["running in", "rotating off bottom", "drilling", "pulling out"]
"""What the string does."""

MOTIONS: Final[tuple[Motion, ...]] = get_args(Motion)

Drag = Literal["friction of the well", "drag allowance of the string", "none"]
"""What a pull counts beside weight: never friction and the allowance both."""

WEIGHT_ON_BIT: Final = Quantity("Weight on bit", "force", low=0.0, high=2e6)

_EVEN: Final = 200
"""Pieces the depths of a job are cut into, beside the depths at which a curve bends."""


@dataclass(frozen=True)
class Extremes:
    """Highest and lowest hookload of a motion and the bit depths they come at; `at_end` is the deepest bit's [N, m].

    All NaN where the string can nowhere give the weight on bit that is asked for.
    """

    motion: Motion
    highest: float
    highest_at: float
    lowest: float
    lowest_at: float
    at_end: float


@dataclass(frozen=True, eq=False)
class JobHookload:
    """Hookload below the compensator over bit depth, arrays of one shape (n,) [N]; `depth` along the hole [m].

    `drilling` is `rotating` less the weight on bit, and NaN where the string itself does not weigh as much.
    `drag_from` says what `pulling_out` counts beside weight. Extremes are definitions.
    """

    depth: FloatArray
    running_in: FloatArray
    rotating: FloatArray
    drilling: FloatArray
    pulling_out: FloatArray
    drag_from: Drag

    def of(self, motion: Motion) -> FloatArray:
        """The hookload of one motion over `depth` [N], (n,).

        Parameters
        ----------
        motion : one of `MOTIONS`
        """
        curves = (self.running_in, self.rotating, self.drilling, self.pulling_out)
        return curves[MOTIONS.index(motion)]

    def extremes(self, motion: Motion) -> Extremes:
        """Highest and lowest hookload of one motion, and where; of several equal ones the deepest.

        Parameters
        ----------
        motion : one of `MOTIONS`
        """
        known = ~np.isnan(self.of(motion))
        if not known.any():
            return Extremes(motion, math.nan, math.nan, math.nan, math.nan, math.nan)
        depth, load = self.depth[known], self.of(motion)[known]
        alike = ROUNDING * float(np.abs(load).max())
        high = np.flatnonzero(load >= load.max() - alike)[-1]
        low = np.flatnonzero(load <= load.min() + alike)[-1]
        highest, lowest, end = float(load[high]), float(load[low]), float(self.of(motion)[-1])
        return Extremes(motion, highest, float(depth[high]), lowest, float(depth[low]), end)


def hookload_at(string: DrillString, well: Well, depth: npt.ArrayLike, wob: float = 0.0) -> JobHookload:
    """Hookload with the bit at each of many depths: Σ w L (cos θ ± μ sin θ) + handling gear.

    Source: Johancsik, Friesen and Dawson (1984) without the term of curvature; see the head of
    `heave.drill_string.well`. Pulling out counts the friction of the well where any is given there, and otherwise the
    whole drag allowance of the string at every depth; never both. Nothing is counted for either in any other motion
    but the friction of the well in running in. Below 0 the string does not go down by what it and the gear weigh.

    Parameters
    ----------
    string : the whole string; its lower end is the first to go in
    well : at least as long as the string
    depth : of the bit along the hole, from 0 to the length of the string [m], shape (n,) or scalar
    wob : weight on bit while drilling [N]

    Returns
    -------
    JobHookload, arrays of shape (n,)

    Raises
    ------
    InputError
        If string and well do not fit, a depth is outside the string, or the weight on bit is out of bounds.
    """
    well.check_holds(string)
    WEIGHT_ON_BIT.check(wob)
    bit = np.atleast_1d(np.asarray(depth, dtype=np.float64))
    if not np.all((bit >= 0) & (bit <= string.length * (1 + ROUNDING))):
        raise InputError("Bit depth", depth, "m", f"from 0 to {string.length:g}\u00a0m, the whole string")
    weight, friction = (_pull(string, well, bit, share) for share in (well.cosines, well.drags))
    rotating = weight + string.handling_weight
    drag: Drag = "friction of the well" if well.has_friction else "none"
    pulled = friction
    if not well.has_friction and string.drag > 0:
        drag, pulled = "drag allowance of the string", np.full(bit.shape, string.drag)
    drilling = np.where(weight >= wob * (1 - ROUNDING), rotating - wob, np.nan)
    return JobHookload(bit, rotating - friction, rotating, drilling, rotating + pulled, drag)


@lru_cache(maxsize=64)
def hookload_at_depth(string: DrillString, well: Well) -> tuple[float, float, float]:
    """Hookload with all of the string in the hole: pulling out, turning off bottom and running in [N].

    Source: as `hookload_at`; kept, for a plan is asked for it many times an edit.

    Parameters
    ----------
    string, well : as for `hookload_at`

    Raises
    ------
    InputError
        If string and well do not fit.
    """
    job = hookload_at(string, well, string.length)
    return float(job.pulling_out[0]), float(job.rotating[0]), float(job.running_in[0])


def hookload_over_job(string: DrillString, well: Well, wob: float = 0.0) -> JobHookload:
    """Hookload from the first joint to the whole string, with every depth at which a curve bends or begins.

    Source: as `hookload_at`. Between the depths given every curve is straight, so that the extremes are exact.

    Parameters
    ----------
    string, well, wob : as for `hookload_at`

    Returns
    -------
    JobHookload, depths rising from 0 to the length of the string

    Raises
    ------
    InputError
        As `hookload_at`.
    """
    end = string.length
    bends = np.add.outer(string.heights, well.bounds).ravel()
    depth = np.unique(np.concatenate((bends[bends < end], np.linspace(0.0, end, _EVEN + 1))))
    over = hookload_at(string, well, depth, wob).rotating - string.handling_weight - wob
    turns = np.flatnonzero(over[:-1] * over[1:] < 0)
    share = over[turns] / (over[turns] - over[turns + 1])
    begins = depth[turns] + share * (depth[turns + 1] - depth[turns])
    return hookload_at(string, well, np.union1d(depth, begins), wob)


def _pull(string: DrillString, well: Well, bit: FloatArray, per_weight: FloatArray) -> FloatArray:
    """Σ w ∫ `per_weight` along what of each section is in the hole, for every bit depth [N]."""
    weights = [string.weight_in_mud(section) for section in reversed(string.sections)]
    summed = np.concatenate(([0.0], np.cumsum(np.diff(well.bounds) * per_weight)))
    ends = np.maximum(bit[:, None] - string.heights, 0.0)
    reached = np.interp(ends, well.bounds, summed)
    return np.asarray((reached[:, :-1] - reached[:, 1:]) @ np.array(weights))
