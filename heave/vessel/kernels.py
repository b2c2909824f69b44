"""Squared response at the hoist on the sea grid, averaged over spreading, for every whole degree of heading.

The response of a vessel does not depend on the height of the sea (for a semisubmersible, its wave force
does not), so it is worked out once for 360 headings and kept. A sea then costs two rows of a table.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from heave.errors import InputError
from heave.sea.grid import OMEGA
from heave.sea.spreading import spreading_weights
from heave.vessel.response_table import FloatArray, MotionTransfer, ResponseTable
from heave.vessel.semisubmersible import Semisubmersible
from heave.vessel.vessel import Response

SPREADING_STEP: Final = 1.0
"""Step between the directions a short-crested sea is divided into [deg]."""

_TURN: Final = 360


def relative_heading(vessel_heading: FloatArray | float, direction_from: FloatArray | float) -> FloatArray:
    """Direction of wave travel from the bow, (heading − from + 180) mod 360.

    180 is a head sea, 0 a following sea, 90 a sea that travels to port.

    Parameters
    ----------
    vessel_heading : compass heading of the bow, scalar or (n,) [deg]
    direction_from : compass direction the waves come from, scalar or (n,) [deg]

    Returns
    -------
    Angle, broadcast shape, 0 to below 360 [deg]; NaN where the direction is missing
    """
    turned = np.mod(np.subtract(vessel_heading, direction_from, dtype=np.float64) + 180.0, 360.0)
    return np.asarray(np.where(turned >= 360.0, 0.0, turned), dtype=np.float64)


def carried(motion: MotionTransfer, forward: float, port: float) -> FloatArray:
    """Squared vertical motion |η3 + y η4 − x η5|², x forward of and y to port of the reference point."""
    vertical = motion.heave + port * motion.roll - forward * motion.pitch
    return np.asarray(vertical.real**2 + vertical.imag**2, dtype=np.float64)


@lru_cache(maxsize=32)
def kernel(
    response: Response, forward: float, port: float, spreading: str, exponent: float, held: bool = False
) -> tuple[FloatArray, FloatArray]:
    """Squared response on OMEGA at headings of 0, 1 … 359 degrees, and its step to the next heading.

    Parameters
    ----------
    response : table or box hull (squared vertical motion, m²/m²), or semisubmersible (squared force, N²/m²)
    forward : hoist forward of the reference point [m]
    port : hoist to port of the reference point [m]
    spreading : kind of spreading, as `sea.spreading_weights` takes it
    exponent : its exponent [-]
    held : hold the last value of a table above its range, to see what the table might lack

    Returns
    -------
    Two read-only arrays of shape (360, nω)
    """
    straight = _long_crested(response, forward, port, held)
    spread = spreading_weights(spreading, exponent, SPREADING_STEP)
    turning = np.zeros(_TURN)
    for offset, weight in zip(spread.offsets, spread.weights, strict=True):
        whole = round(offset)
        if abs(whole - offset) > 1e-9:
            raise InputError("Spreading direction", offset, "deg", "whole degrees")
        turning[whole % _TURN] += weight
    used = np.flatnonzero(turning)
    rows = np.arange(_TURN)
    mixing = np.zeros((_TURN, _TURN))
    for shift in used:
        mixing[rows, (rows - shift) % _TURN] = turning[shift]
    averaged = mixing @ straight
    step = np.roll(averaged, -1, axis=0) - averaged
    for part in (averaged, step):
        part.setflags(write=False)
    return averaged, step


def gathered(
    rows: FloatArray,
    step: FloatArray,
    beta: FloatArray,
    out: FloatArray | None = None,
    scratch: FloatArray | None = None,
) -> FloatArray:
    """Kernel rows at headings between whole degrees, by linear interpolation.

    Parameters
    ----------
    rows, step : from `kernel`
    beta : relative headings, 0 to below 360 or NaN, shape (n,) [deg]
    out, scratch : memory to work in, shape (n, nω); fresh where None

    Returns
    -------
    Shape (n, nω), in `out` if that is given; a row of NaN where the heading is missing
    """
    known = np.isfinite(beta)
    angle = np.where(known, beta, 0.0)
    whole = np.floor(angle)
    index = whole.astype(np.intp)
    share = np.where(known, angle - whole, np.nan)[:, None]
    found = np.take(rows, index, axis=0, out=out, mode="clip")
    more = np.take(step, index, axis=0, out=scratch, mode="clip")
    more *= share
    found += more
    return found


@lru_cache(maxsize=8)
def _long_crested(response: Response, forward: float, port: float, held: bool) -> FloatArray:
    beta = np.arange(float(_TURN))
    if isinstance(response, Semisubmersible):
        return np.asarray(np.abs(response.excitation(OMEGA, beta)) ** 2, dtype=np.float64)
    if held and isinstance(response, ResponseTable):
        return carried(response.held(OMEGA, beta), forward, port)
    return carried(response.transfer(OMEGA, beta), forward, port)
