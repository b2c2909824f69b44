"""Squared response at the hoist on the sea grid, averaged over spreading, for every whole degree of heading.

The response of a vessel does not depend on the height of the sea (for a semisubmersible, its wave force
does not), so it is worked out once for 360 headings and kept. A sea then costs two rows of a table.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, Literal, NamedTuple

import numpy as np

from heave.arrays import ComplexArray, FloatArray, Floats, Indices
from heave.sea.grid import OMEGA, quadrature
from heave.sea.peaked import Axis, view
from heave.sea.spreading import spreading_weights
from heave.threads import one_thread_each
from heave.vessel.box import SHORT_WAVE_FADE, SHORTEST_PERIOD, BoxHull
from heave.vessel.response_table import (
    TAPER_END,
    Motion,
    MotionTransfer,
    ResponseTable,
)
from heave.vessel.semisubmersible import Semisubmersible
from heave.vessel.vessel import Response

SPREADING_STEP: Final = 1.0
"""Step between the directions a short-crested sea is divided into [deg]."""

_TURN: Final = 360
_FEW: Final = 60
"""Headings worked at a time: all at once take 70 MB, which a server then keeps."""

_NOT_FELT: Final = 1e-12


def relative_heading(vessel_heading: FloatArray | float, direction_from: FloatArray | float) -> FloatArray:
    """Direction of wave travel from the bow, (heading − from + 180) mod 360.

    180 is a head sea, 0 a following sea, 90 a sea that travels to port.

    Source: a convention of the planner, by definition.

    Parameters
    ----------
    vessel_heading : compass heading of the bow, scalar or (n,) [deg]
    direction_from : compass direction the waves come from, scalar or (n,) [deg]

    Returns
    -------
    Angle, broadcast shape, 0 to below 360 [deg]; NaN where the direction is missing
    """
    turned = np.subtract(vessel_heading, direction_from, dtype=np.float64) + 180.0
    turned = turned - 360.0 * np.floor(turned / 360.0)  # a third of what `np.mod` costs
    # Rounding can make a hair less than a turn a whole one.
    return np.asarray(np.where(turned >= 360.0, 0.0, turned), dtype=np.float64)


def carried(motion: MotionTransfer, forward: float, port: float) -> ComplexArray:
    """Vertical motion η3 + y η4 − x η5, x forward of and y to port of the reference point."""
    return np.asarray(motion.heave + port * motion.roll - forward * motion.pitch, dtype=np.complex128)


class Kernel(NamedTuple):
    """Squared response at headings of 0, 1 … 359 degrees, and its step to the next heading.

    rows, step : shape (360, m), read-only, single precision
    axis : m neighbouring points of the grid; above them the response is nil
    """

    rows: Floats
    step: Floats
    axis: Axis

    def at(self, beta: FloatArray, out: Floats, scratch: Floats) -> Floats:
        """Rows at headings between whole degrees, by linear interpolation.

        Parameters
        ----------
        beta : relative headings, 0 to below 360 or NaN, shape (n,) [deg]
        out, scratch : memory to work in, each of at least n × m values

        Returns
        -------
        Shape (n, m), in `out`; a row of NaN where the heading is missing
        """
        found, more = (view(space, beta.size, self.axis.omega.size) for space in (out, scratch))
        known = np.isfinite(beta)
        angle = np.where(known, beta, 0.0)
        whole = np.floor(angle)
        index = whole.astype(np.intp)
        share = np.where(known, angle - whole, np.nan)[:, None].astype(self.axis.dtype)
        np.take(self.rows, index, axis=0, out=found, mode="clip")
        np.take(self.step, index, axis=0, out=more, mode="clip")
        np.multiply(more, share, out=more)
        return np.add(found, more, out=found)


@lru_cache(maxsize=64)
def kernel_above(
    response: Response,
    forward: float,
    port: float,
    spreading: str,
    exponent: float,
    first: int,
    motion: Motion | Literal["force"] = "heave",
) -> Kernel:
    """The `kernel` without its first points, as many as `first`, next to each other in memory.

    Parameters
    ----------
    response, forward, port, spreading, exponent, motion : as for `kernel`
    first : point of the grid to begin with
    """
    whole = kernel(response, forward, port, spreading, exponent, motion=motion)
    rows, step = (np.ascontiguousarray(part[:, first:]) for part in (whole.rows, whole.step))
    return Kernel(rows, step, axis_of(first, whole.axis.omega.size))


@lru_cache(maxsize=32)
def kernel(
    response: Response,
    forward: float,
    port: float,
    spreading: str,
    exponent: float,
    motion: Motion | Literal["force"] = "heave",
) -> Kernel:
    """Squared response averaged over spreading, as `Kernel`.

    Parameters
    ----------
    response : table or box hull (squared vertical motion, m²/m²), or semisubmersible (squared force, N²/m²)
    forward : hoist forward of the reference point [m]
    port : hoist to port of the reference point [m]
    spreading : kind of spreading, as `sea.spreading_weights` takes it
    exponent : its exponent [-]
    motion : vertical at the hoist, or roll or pitch of the vessel, which the hoist's place does not change (rad²/m²);
        or the wave force in heave of a table that is stated as an oscillator (N²/m²)
    """
    rows = np.arange(_TURN)
    with one_thread_each():
        straight = _long_crested(response, forward, port, False, motion)
        averaged = _turned(rows, spreading, exponent) @ straight
    step = np.roll(averaged, -1, axis=0) - averaged
    axis = axis_of(0, straight.shape[1])
    return Kernel(_kept(averaged, axis), _kept(step, axis), axis)


def held_at(
    response: Response, forward: float, port: float, spreading: str, exponent: float, heading: float
) -> FloatArray:
    """As a row of the `kernel`, at one heading, with the last value of a table held above its range.

    That shows what a table that ends too early might lack; it is asked for one sea at a time, so no kernel is kept.

    Parameters
    ----------
    response, forward, port, spreading, exponent : as for `kernel`
    heading : relative heading, 0 to below 360 or NaN [deg]

    Returns
    -------
    Shape (m,), the first points of the grid [m²/m²]; NaN where the heading is missing
    """
    whole = np.floor(heading)
    near = np.array((whole, whole + 1.0)) if np.isfinite(heading) else np.zeros(2)
    share = np.array((whole + 1.0 - heading, heading - whole))
    straight = _long_crested(response, forward, port, True, "heave")
    return np.asarray(share @ _turned(near.astype(np.intp), spreading, exponent) @ straight, dtype=np.float64)


def _turned(headings: Indices, spreading: str, exponent: float) -> FloatArray:
    """Shares of seas that travel at 0, 1 … 359 degrees in one that spreads about each heading, shape (n, 360)."""
    spread = spreading_weights(spreading, exponent, SPREADING_STEP)
    turning = np.zeros(_TURN)
    for offset, weight in zip(spread.offsets, spread.weights, strict=True):
        turning[round(offset) % _TURN] += weight
    shares: FloatArray = turning[(headings[:, None] - np.arange(_TURN)) % _TURN]
    return shares


def _kept(values: FloatArray, axis: Axis) -> Floats:
    found = values.astype(axis.dtype)
    found.setflags(write=False)
    return found


@lru_cache(maxsize=32)
def axis_of(first: int, end: int) -> Axis:
    """Points of the grid from `first` to before `end`, in the single precision many seas are computed in."""
    return Axis(OMEGA[first:end], np.float32)


@lru_cache(maxsize=8)
def _long_crested(
    response: Response, forward: float, port: float, held: bool, asked: Motion | Literal["force"]
) -> FloatArray:
    """Squared response in long-crested waves at whole degrees, up to the last point where it is felt."""
    beta = np.arange(float(_TURN))
    if isinstance(response, Semisubmersible):
        force = np.abs(response.excitation(OMEGA, beta)) ** 2
        felt = force.max(axis=0) > _NOT_FELT * force.max()
        return np.ascontiguousarray(force[:, : int(np.flatnonzero(felt)[-1]) + 1])
    if asked == "force" and isinstance(response, ResponseTable) and response.oscillator is not None:
        bends = np.append(response.omega, TAPER_END * response.omega[-1])
        omega, weights = quadrature(OMEGA[: int(np.searchsorted(OMEGA, bends[-1])) + 2], bends)
        heave = response.transfer(omega, beta).heave
        return np.maximum(np.abs(heave * response.oscillator.impedance(omega)) ** 2 @ weights, 0.0)
    if held and isinstance(response, ResponseTable):
        omega, weights = quadrature(OMEGA, response.omega)
        motion = response.held
    else:
        if isinstance(response, BoxHull):
            bends = np.array([1.0, SHORT_WAVE_FADE]) * 2.0 * np.pi / SHORTEST_PERIOD
        else:
            bends = np.append(response.omega, TAPER_END * response.omega[-1])
        last = int(np.searchsorted(OMEGA, bends[-1])) + 2  # points to have the cubic through the last bend
        omega, weights = quadrature(OMEGA[:last], bends)
        motion = response.transfer
    # What a cubic leaves below zero where a squared response touches it is a few thousandths of its neighbours.
    found = np.empty((_TURN, weights.shape[1]))
    for few in range(0, _TURN, _FEW):
        moves = motion(omega, beta[few : few + _FEW])
        moved = carried(moves, forward, port) if asked == "heave" else getattr(moves, asked)
        np.maximum((moved.real**2 + moved.imag**2) @ weights, 0.0, out=found[few : few + _FEW])
    return found
