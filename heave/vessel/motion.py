"""Vertical motion at the hoist in a sea, or in a hundred thousand: spectra, statistics and cautions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.errors import InputError
from heave.sea.batch import SeaBatch
from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.statistics import level_exceeded, mean_period, most_probable_maximum
from heave.vessel.kernels import gathered, kernel, relative_heading
from heave.vessel.response_table import ComplexArray, FloatArray
from heave.vessel.semisubmersible import Semisubmersible
from heave.vessel.vessel import Vessel
from heave.vessel.viscous import damped_response

CHUNK: Final = 512
"""Seas worked on at a time, so that their spectra stay in the processor's cache."""

SHORTEST_EXPOSURE: Final = 60.0
"""Shortest exposure for which statistics of cycles have a meaning [s]."""

_ORDERS = np.stack([OMEGA**order * WEIGHTS for order in (0, 2, 4, 6)], axis=1)


@dataclass(frozen=True, eq=False)
class HoistSpectrum:
    """Spectra of the vertical motion at the hoist on `sea.OMEGA`.

    ordinates : density, shape (n, nω) [m²·s]
    viscous_damping : the damping each sea settles at, shape (n,) [N·s/m]; None for a table or a box hull
    """

    ordinates: FloatArray
    viscous_damping: FloatArray | None


@dataclass(frozen=True, eq=False)
class AmplitudeStatistics:
    """Statistics of one Gaussian quantity over an exposure, each of shape (n,); amplitudes are single.

    sigma : standard deviation [unit]
    period : mean zero-crossing period [s], NaN where nothing moves
    cycles : number of cycles in the exposure [-]
    most_probable_maximum : exceeded in 63.2 % of exposures [unit]
    level : exceeded in the stated share (risk) of exposures [unit]
    """

    sigma: FloatArray
    period: FloatArray
    cycles: FloatArray
    most_probable_maximum: FloatArray
    level: FloatArray

    @property
    def significant_single(self) -> FloatArray:
        """Significant single amplitude 2σ, shape (n,) [unit]."""
        return 2.0 * self.sigma

    @property
    def significant_double(self) -> FloatArray:
        """Significant double amplitude 4σ, crest to trough, shape (n,) [unit]."""
        return 4.0 * self.sigma


@dataclass(frozen=True, eq=False)
class MotionStatistics:
    """Heave [m], velocity [m/s] and acceleration [m/s²] at the hoist over an exposure [s] at a risk [-]."""

    heave: AmplitudeStatistics
    velocity: AmplitudeStatistics
    acceleration: AmplitudeStatistics
    exposure: float
    risk: float

    @property
    def sigma_heave(self) -> FloatArray:
        """Standard deviation of heave, shape (n,) [m]."""
        return self.heave.sigma

    @property
    def sigma_velocity(self) -> FloatArray:
        """Standard deviation of heave velocity, shape (n,) [m/s]."""
        return self.velocity.sigma

    @property
    def sigma_acceleration(self) -> FloatArray:
        """Standard deviation of heave acceleration, shape (n,) [m/s²]."""
        return self.acceleration.sigma

    @property
    def period(self) -> FloatArray:
        """Mean zero-crossing period of heave, shape (n,) [s]."""
        return self.heave.period


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


def hoist_spectrum(vessel: Vessel, heading: FloatArray | float, batch: SeaBatch) -> HoistSpectrum:
    """Spectra of the vertical motion at the hoist, S_η(ω) = Σ over systems and directions of |H|² S D Δθ.

    Squared responses come from a table at whole degrees of relative heading, linear between them. For a
    semisubmersible the viscous damping of each sea is found first (see `viscous.damped_response`).

    Parameters
    ----------
    vessel : the vessel
    heading : compass heading of the bow, scalar or (n,) [deg]
    batch : n seas; call with about a thousand at a time

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
    total: FloatArray | None = None
    for slot in batch.spectra():
        rows, step = kernel(vessel.response, forward, port, slot.spreading, slot.exponent)
        part = gathered(rows, step, relative_heading(bow, slot.direction_from))
        part *= slot.ordinates
        if total is None:
            total = part
        else:
            total += part
    if total is None:
        raise InputError("sea states", "no wave system", None, "at least one wave system")
    if isinstance(vessel.response, Semisubmersible):
        return HoistSpectrum(*damped_response(vessel.response, total))
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
    for start in range(0, batch.size, CHUNK):
        rows = slice(start, start + CHUNK)
        spectra = hoist_spectrum(vessel, bow[rows], batch.take(rows)).ordinates
        np.matmul(spectra, _ORDERS, out=found[rows])
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


def statistics_from_moments(
    m0: FloatArray, m2: FloatArray, m4: FloatArray, m6: FloatArray, *, exposure: float, risk: float
) -> MotionStatistics:
    """Statistics of a motion, its velocity and its acceleration from the moments of the motion's spectrum.

    Velocity has variance m2 and period 2π√(m2/m4), acceleration m4 and 2π√(m4/m6).

    Parameters
    ----------
    m0, m2, m4, m6 : moments, each of shape (n,) [m², m²/s², m²/s⁴, m²/s⁶]
    exposure : duration, from 60 [s]
    risk : probability of exceeding `level`, above 0 to 0.632 [-]

    Returns
    -------
    MotionStatistics of arrays (n,)

    Raises
    ------
    InputError
        As `amplitude_statistics`.
    """
    heave, velocity, acceleration = (
        amplitude_statistics(variance, rate, exposure, risk)
        for variance, rate in ((m0, m2), (m2, m4), (m4, m6))
    )
    return MotionStatistics(heave, velocity, acceleration, float(exposure), float(risk))


def amplitude_statistics(m0: FloatArray, m2: FloatArray, exposure: float, risk: float) -> AmplitudeStatistics:
    """Statistics of a Gaussian, narrow-banded quantity from the moments of its spectrum.

    Mean period 2π√(m0/m2), N cycles in the exposure, most probable maximum √(2m0 ln N), level exceeded with
    probability p √(2m0 ln(N/−ln(1 − p))); see `sea.statistics`.

    Parameters
    ----------
    m0 : variance, scalar or (n,), from 0 [unit²]
    m2 : variance of its rate, scalar or (n,), from 0 [unit²/s²]
    exposure : duration, from 60 [s]
    risk : probability of exceeding `level`, above 0 to 0.632 [-]

    Returns
    -------
    AmplitudeStatistics of the shape of the moments; where nothing moves the amplitudes are 0, the period NaN

    Raises
    ------
    InputError
        If the exposure or the risk is out of its range, or fewer than one cycle fits in the exposure.
    """
    if not (np.isfinite(exposure) and exposure >= SHORTEST_EXPOSURE):
        raise InputError("Exposure", exposure, "s", f"at least {SHORTEST_EXPOSURE:g} s")
    variance, rate = np.asarray(m0, dtype=np.float64), np.asarray(m2, dtype=np.float64)
    period = mean_period(variance, rate)
    still = rate == 0.0
    cycles = np.where(still, 1.0, exposure / period)
    return AmplitudeStatistics(
        sigma=np.sqrt(variance),
        period=period,
        cycles=np.where(still, 0.0, cycles),
        most_probable_maximum=most_probable_maximum(variance, cycles),
        level=level_exceeded(variance, cycles, risk),
    )


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
