"""Vertical motion at the hoist in a sea, or in a hundred thousand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from heave.errors import InputError
from heave.sea.batch import SeaBatch
from heave.sea.grid import OMEGA, WEIGHTS
from heave.threads import WORKERS, side_by_side
from heave.vessel.kernels import gathered, kernel, relative_heading
from heave.vessel.response_table import ComplexArray, FloatArray
from heave.vessel.semisubmersible import Semisubmersible
from heave.vessel.statistics import MotionStatistics, statistics_from_moments
from heave.vessel.vessel import Vessel
from heave.vessel.viscous import damped_response

CHUNK: Final = 1024
"""Seas whose spectra are made at a time; memory does not grow beyond this."""

BLOCK: Final = 256
"""Seas of a chunk that meet the response at a time, so that the work stays in the processor's cache."""

_ORDERS = np.stack([OMEGA**order * WEIGHTS for order in (0, 2, 4, 6)], axis=1)


class HoistBuffers(NamedTuple):
    """Memory for `hoist_spectrum` to work in, chunk after chunk; fresh memory costs more than the sums."""

    sea: list[FloatArray]
    total: FloatArray
    part: FloatArray
    scratch: FloatArray

    @classmethod
    def of(cls, batch: SeaBatch, rows: int) -> HoistBuffers:
        """Buffers for chunks of at most `rows` seas of this batch."""
        size = min(rows, batch.size)
        part, scratch = (np.empty((min(size, BLOCK), OMEGA.size)) for _ in range(2))
        return cls(batch.make_buffers(rows), np.empty((size, OMEGA.size)), part, scratch)


@dataclass(frozen=True, eq=False)
class HoistSpectrum:
    """Spectra of the vertical motion at the hoist on `sea.OMEGA`.

    ordinates : density, shape (n, nω) [m²·s]
    viscous_damping : the damping each sea settles at, shape (n,) [N·s/m]; None for a table or a box hull
    """

    ordinates: FloatArray
    viscous_damping: FloatArray | None


def hoist_transfer(
    vessel: Vessel, omega: FloatArray, beta: FloatArray | float, viscous_damping: float | None = None
) -> ComplexArray:
    """Vertical motion at the hoist per wave amplitude, η3 + y η4 − x η5 (small angles, complex).

    x is the hoist's distance forward of the reference point of the response and y its distance to port.

    Parameters
    ----------
    vessel : the vessel
    omega : angular frequencies, shape (nω,) [rad/s]
    beta : direction of wave travel from the bow, shape (nβ,) or scalar [deg]
    viscous_damping : for a semisubmersible, its linear viscous damping, above 0 [N·s/m]

    Returns
    -------
    Complex amplitude ratio for Re{H ζ e^(+iωt)}, shape (nβ, nω) [m/m]

    Raises
    ------
    InputError
        If a value is not finite, or a semisubmersible is asked for without its damping.
    """
    if isinstance(vessel.response, Semisubmersible):
        motion = vessel.response.transfer(omega, beta, viscous_damping)
    else:
        motion = vessel.response.transfer(np.asarray(omega, dtype=np.float64), beta)
    forward, port = _arms(vessel)
    return np.asarray(motion.heave + port * motion.roll - forward * motion.pitch, dtype=np.complex128)


def hoist_spectrum(
    vessel: Vessel, heading: FloatArray | float, batch: SeaBatch, buffers: HoistBuffers | None = None
) -> HoistSpectrum:
    """Spectra of the vertical motion at the hoist, S_η(ω) = Σ over systems and directions of |H|² S D Δθ.

    Squared responses come from a table at whole degrees of relative heading, linear between them. For a
    semisubmersible the viscous damping of each sea is found first (see `viscous.damped_response`).

    Parameters
    ----------
    vessel : the vessel
    heading : compass heading of the bow, scalar or (n,) [deg]
    batch : n seas; call with at most CHUNK or so at a time
    buffers : memory to work in, which the answer then shares; None for fresh memory

    Returns
    -------
    HoistSpectrum of n rows; a row with a missing number is NaN

    Raises
    ------
    InputError
        If a heading is not finite, or there are neither one nor n of them.
    """
    bow = _headings(heading, batch.size)
    forward, port = _arms(vessel)
    work = HoistBuffers.of(batch, batch.size) if buffers is None else buffers
    total = work.total[: batch.size]
    for place, slot in enumerate(batch.spectra(work.sea)):
        rows, step = kernel(vessel.response, forward, port, slot.spreading, slot.exponent)
        beta = relative_heading(bow, slot.direction_from)
        for start in range(0, batch.size, BLOCK):
            block = slice(start, min(start + BLOCK, batch.size))
            sum_ = total[block]
            part = work.part[: len(sum_)] if place else sum_
            gathered(rows, step, beta[block], part, work.scratch[: len(sum_)])
            part *= slot.ordinates[block]
            if place:
                sum_ += part
    if isinstance(vessel.response, Semisubmersible):
        damping = np.empty(batch.size)
        for start in range(0, batch.size, BLOCK):
            block = slice(start, start + BLOCK)
            total[block], damping[block] = damped_response(vessel.response, total[block])
        return HoistSpectrum(total, damping)
    return HoistSpectrum(total, None)


def hoist_moments(vessel: Vessel, heading: FloatArray | float, batch: SeaBatch) -> FloatArray:
    """Moments m0, m2, m4, m6 of the vertical motion at the hoist, in chunks of bounded memory.

    m6 has a meaning because the response itself fades out well below the last frequency of the grid.

    Parameters
    ----------
    vessel : the vessel
    heading : compass heading of the bow, scalar or (n,) [deg]
    batch : n seas, any number

    Returns
    -------
    Shape (n, 4) [m², m²/s², m²/s⁴, m²/s⁶]
    """
    bow = _headings(heading, batch.size)
    found = np.empty((batch.size, _ORDERS.shape[1]))
    starts = range(0, batch.size, CHUNK)

    def work(strip: range) -> None:
        buffers = HoistBuffers.of(batch, CHUNK)
        for start in strip:
            rows = slice(start, start + CHUNK)
            spectra = hoist_spectrum(vessel, bow[rows], batch.take(rows), buffers).ordinates
            np.matmul(spectra, _ORDERS, out=found[rows])

    strips = [starts[first::WORKERS] for first in range(min(WORKERS, len(starts)))]
    for _ in side_by_side(work, strips):
        pass
    return found


def motion_statistics(
    vessel: Vessel, heading: FloatArray | float, batch: SeaBatch, exposure: float, risk: float
) -> MotionStatistics:
    """Statistics of heave, velocity and acceleration at the hoist in each of n seas.

    Parameters
    ----------
    vessel : the vessel
    heading : compass heading of the bow, scalar or (n,) [deg]
    batch : n seas, any number
    exposure : duration the statistics hold for, from 60 [s]
    risk : probability with which `level` is exceeded in that time, above 0 to 0.632 [-]

    Returns
    -------
    MotionStatistics of arrays (n,)

    Raises
    ------
    InputError
        If the exposure or the risk is out of its range, or a heading is not finite.
    """
    moments = hoist_moments(vessel, heading, batch)
    m0, m2, m4, m6 = moments.T
    return statistics_from_moments(m0, m2, m4, m6, exposure=exposure, risk=risk)


def _arms(vessel: Vessel) -> tuple[float, float]:
    x, y = vessel.reference
    return vessel.hoist_x - x, vessel.hoist_y - y


def _headings(heading: FloatArray | float, size: int) -> FloatArray:
    bow = np.asarray(heading, dtype=np.float64)
    if not np.all(np.isfinite(bow)):
        raise InputError("Heading", heading, "deg", "finite numbers")
    if bow.shape not in ((), (1,), (size,)):
        raise InputError("Heading", f"{bow.shape} values", "deg", f"one, or one for each of {size} seas")
    return np.broadcast_to(bow.reshape(-1), (size,))
