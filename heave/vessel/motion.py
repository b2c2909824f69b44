"""Vertical motion at the hoist in a sea, or in a hundred thousand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from heave.arrays import ComplexArray, FloatArray, Floats
from heave.errors import InputError
from heave.sea.arguments import array
from heave.sea.batch import SeaBatch
from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.peaked import BLOCK
from heave.threads import one_thread_each
from heave.vessel.kernels import carried, kernel_above, relative_heading
from heave.vessel.response_table import Motion, ResponseTable
from heave.vessel.semisubmersible import Semisubmersible
from heave.vessel.vessel import Vessel
from heave.vessel.viscous import damped_response

MOMENT_ORDERS: Final = (0, 2, 4, 6)
"""Orders of the moments of the hoist's motion: of the motion, its speed, its acceleration and that one's rate."""


MOMENT_COLUMNS: Final = np.stack([OMEGA**order * WEIGHTS for order in MOMENT_ORDERS], axis=1)
"""What turns a spectrum on the grid into those moments, shape (nω, 4)."""


_STRIDE: Final = 8
_SHORTEST: Final = 1.0  # begin no later than this [rad/s]: every response reaches up to there


@dataclass(frozen=True, eq=False)
class HoistSpectrum:
    """Spectra of the vertical motion at the hoist on `sea.OMEGA`.

    ordinates : density, shape (n, nω) [m²·s]
    viscous_damping : the damping each sea settles at, shape (n,) [N·s/m]; None for a box hull, or a table that does
        not state its own
    """

    ordinates: FloatArray
    viscous_damping: FloatArray | None


def hoist_transfer(
    vessel: Vessel, omega: FloatArray, beta: FloatArray | float, viscous_damping: float | None = None
) -> ComplexArray:
    """Vertical motion at the hoist per wave amplitude, η3 + y η4 − x η5 (small angles, complex).

    x is the hoist's distance forward of the reference point of the response and y its distance to port.

    Source: a rigid body with small rotations, by definition.

    Parameters
    ----------
    vessel : the vessel
    omega : angular frequencies, shape (nω,) [rad/s]
    beta : direction of wave travel from the bow, shape (nβ,) or scalar [deg]
    viscous_damping : for a semisubmersible, its linear viscous damping, above 0; for a table that states its own, the
        damping in its place [N·s/m]

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
        motion = vessel.response.transfer(omega, beta)
        own = vessel.response.oscillator if isinstance(vessel.response, ResponseTable) else None
        if own is not None and viscous_damping is not None:
            points = np.atleast_1d(omega)
            heave = motion.heave * own.impedance(points) / own.impedance(points, viscous_damping)
            motion = motion._replace(heave=heave)
    return carried(motion, *vessel.arms)


def hoist_spectrum(vessel: Vessel, heading: FloatArray | float, batch: SeaBatch) -> HoistSpectrum:
    """Spectra of the vertical motion at the hoist, S_η(ω) = Σ over systems and directions of |H|² S D Δθ.

    Squared responses come from a table at whole degrees of relative heading, linear between them. For a
    semisubmersible, in closed form or by a table that states its damping, the viscous damping of each sea is found
    first (see `viscous.damped_response`).

    Source: linear superposition (St. Denis and Pierson 1953, from memory).

    Parameters
    ----------
    vessel : the vessel
    heading : compass heading of the bow, scalar or (n,) [deg]
    batch : n seas, few enough for n whole spectra; see `hoist_blocks` for many

    Returns
    -------
    HoistSpectrum of n rows; a row with a missing number is NaN

    Raises
    ------
    InputError
        If a heading is not finite, or there are neither one nor n of them.
    """
    found = np.zeros((batch.size, OMEGA.size))
    damping = np.empty(batch.size) if vessel.oscillator is not None else None
    for block in hoist_blocks(vessel, heading, batch):
        found[block.rows, block.points] = block.ordinates
        if damping is not None and block.damping is not None:
            damping[block.rows] = block.damping
    return HoistSpectrum(found, damping)


class HoistBlock(NamedTuple):
    """Spectra of the vertical motion at the hoist for some seas of a batch.

    rows : which cases, seas by headings
    points : which of the points of `sea.OMEGA`; below and above them nothing moves
    ordinates : density, shape (rows, m), in memory that the next block uses again [m²·s]
    damping : viscous damping each sea settles at, shape (rows,) [N·s/m]; None where `Vessel.oscillator` is
    """

    rows: slice
    points: slice
    ordinates: Floats
    damping: FloatArray | None


def hoist_blocks(
    vessel: Vessel, heading: FloatArray | float, batch: SeaBatch, motion: Motion = "heave"
) -> Iterator[HoistBlock]:
    """The spectra of `hoist_spectrum` block by block, in memory that stays in the processor's cache.

    Source: as `hoist_spectrum`.

    Parameters
    ----------
    vessel : the vessel
    heading : compass heading of the bow, scalar, (n,), or (n, k) or (1, k) for k headings in each sea [deg]
    batch : n seas, any number
    motion : vertical at the hoist, or roll or pitch of the vessel, which it must know

    Yields
    ------
    HoistBlock of at most `sea.BLOCK` cases or those of one sea, in order; the k headings of a sea are rows next to
    each other, and its wave spectrum is worked once for all of them

    Raises
    ------
    InputError
        If a heading is not finite, or there is not one row for all or one for each sea.
    """
    bow = array(heading, "Heading", "deg", missing=False)
    bow = bow if bow.ndim == 2 else bow.reshape(-1, 1)
    if len(bow) not in (1, batch.size):
        allowed = f"one, or one for each of {batch.size} seas"
        raise InputError("Heading", f"{np.shape(heading)} values", "deg", allowed)
    bow = np.broadcast_to(bow, (batch.size, bow.shape[1]))
    first = 0
    heave = vessel.oscillator if motion == "heave" else None
    if heave is None:  # an oscillator may resonate below its sea
        first = int(np.searchsorted(OMEGA, min(batch.felt_from, _SHORTEST))) // _STRIDE * _STRIDE
    kernels = [
        kernel_above(
            vessel.response,
            *vessel.arms,
            s.spreading,
            s.spreading_exponent,
            first,
            motion if heave is None else "force",
        )
        for s in batch.slots
    ]
    axis, many = kernels[0].axis, bow.shape[1]
    points = slice(first, first + axis.omega.size)
    seas = max(min(BLOCK // many, batch.size), 1)
    wide = (
        min(BLOCK, batch.size) // seas * seas
    )  # waves are written as for one heading, however many there are
    memory = [axis.memory(wide) for _ in batch.slots]
    scratch, space = axis.memory(max(wide, seas * many)), axis.memory(seas * many)
    spectra: list[Floats] = []
    with one_thread_each():
        for start in range(0, batch.size, seas):
            rows = slice(start, min(start + seas, batch.size))
            if start % wide == 0:
                written = slice(start, min(start + wide, batch.size))
                spectra = [batch.write(i, axis, written, kept, scratch) for i, kept in enumerate(memory)]
            near = slice(start % wide, start % wide + rows.stop - start)
            total = None
            for place, (slot, response) in enumerate(zip(batch.slots, kernels, strict=True)):
                beta = relative_heading(bow[rows], slot.direction_from[rows, None]).ravel()
                part = response.at(beta, space[1 if place else 0], scratch[0])
                turned = part.reshape(-1, many, axis.omega.size)
                np.multiply(turned, spectra[place][near, None, :], out=turned)
                total = part if total is None else np.add(total, part, out=total)
            cases = slice(rows.start * many, rows.stop * many)
            assert total is not None
            if heave is not None:
                yield HoistBlock(cases, points, *damped_response(heave, total))
            else:
                yield HoistBlock(cases, points, total, None)


def hoist_moments(
    vessel: Vessel, heading: FloatArray | float, batch: SeaBatch, motion: Motion = "heave"
) -> FloatArray:
    """Moments m0, m2, m4, m6 of the vertical motion at the hoist, or of roll or pitch, in blocks of bounded memory.

    m6 has a meaning because the response itself fades out well below the last frequency of the grid.

    Source: definition of the moments.

    Parameters
    ----------
    vessel : the vessel
    heading : compass heading of the bow, scalar, (n,), or (n, k) for k headings in each sea [deg]
    batch : n seas, any number
    motion : which

    Returns
    -------
    Shape (n, 4) [m², m²/s², m²/s⁴, m²/s⁶], or (n·k, 4), of angles [rad², ...]; NaN where the vessel's response does
    not have the motion
    """
    many = np.shape(heading)[1] if np.ndim(heading) == 2 else 1
    found = np.full((batch.size * many, len(MOMENT_ORDERS)), np.nan)
    if not vessel.knows(motion):
        return found
    for rows, points, ordinates, _ in hoist_blocks(vessel, heading, batch, motion):
        found[rows] = ordinates @ MOMENT_COLUMNS[points].astype(ordinates.dtype)
    return found
