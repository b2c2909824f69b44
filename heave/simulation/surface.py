"""The water at the hull that belongs to the heave of a run: the same waves, so hull and water can be drawn together.

With heave η = H ζ for a wave from one direction, a sea of many directions and systems has the cross spectrum
S_ζη = Σ H S over them, and of the elevation's components A what the heave's components Z say is

    A = S*_ζη/S_η Z + A',      E|A'|² = 2 (S_ζ − |S_ζη|²/S_η) Δω,

with A' independent of the heave: waves that the hoist does not feel, or that differ between directions (linear
regression of one Gaussian process on another; for example Bendat and Piersol, Random Data, coherence). So the
elevation has the sea's spectrum, and the coherence and phase with the heave that linear theory gives it. It holds at
the reference point of the vessel's response, with the phases of that response: a table without phases follows the
wave at every period.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from heave.arrays import ComplexArray, FloatArray
from heave.compensator.time_domain import Components, HeaveMotion, regular_heave
from heave.fields import Quantity
from heave.planning.plan import Plan
from heave.sea import OMEGA, SeaState
from heave.sea.slots import PEAK_PERIOD
from heave.sea.spreading import spreading_weights
from heave.vessel import Vessel, hoist_spectrum, hoist_transfer, relative_heading


def cross_spectrum(plan: Plan) -> tuple[FloatArray, ComplexArray]:
    """Spectrum of the plan's sea, and its cross spectrum Σ H S with the heave at the hoist, calibration included.

    Source: linear superposition, as `heave.vessel.hoist_spectrum`.

    Parameters
    ----------
    plan : sea, vessel and heading

    Returns
    -------
    Two arrays on `sea.OMEGA`, (nω,) [m²·s]
    """
    sea, cross = _cross(plan.sea, plan.vessel, plan.heading)
    return sea, plan.heave_factor * cross


@lru_cache(maxsize=32)
def _cross(sea: SeaState, vessel: Vessel, heading: float) -> tuple[FloatArray, ComplexArray]:
    """Uncalibrated; kept, because reading the response takes longer than a run of five minutes, and what is tried
    again and again in one sea is unit, string and weight on bit."""
    batch = sea.batch()
    found = hoist_spectrum(vessel, heading, batch).viscous_damping
    damping = None if found is None else float(found[0])
    power, cross = np.zeros(OMEGA.size), np.zeros(OMEGA.size, dtype=np.complex128)
    for system in batch.spectra():
        spread = spreading_weights(system.spreading, system.exponent)
        origin = system.direction_from[0] + np.array(spread.offsets)
        response = hoist_transfer(vessel, OMEGA, relative_heading(heading, origin), damping)
        power += system.ordinates[0]
        cross += system.ordinates[0] * (np.array(spread.weights) @ response)
    for kept in (power, cross):
        kept.flags.writeable = False
    return power, cross


def sea_surface(plan: Plan, heave: Components, seed: int) -> HeaveMotion:
    """Elevation of the water at the hull beside a heave of one case.

    Parameters
    ----------
    plan : sea, vessel and heading that the heave is of
    heave : its components
    seed : of the heave; what the heave does not tell is drawn from another stream of the same seed

    Returns
    -------
    HeaveMotion of the water: position is the elevation [m]
    """
    sea, cross = cross_spectrum(plan)
    lines, width = heave.omega, heave.omega[1]
    power, real, imaginary = (
        np.interp(lines, OMEGA, part, left=0.0, right=0.0) for part in (sea, cross.real, cross.imag)
    )
    # brought to the sea's own variance, as the heave is to its own
    total = float(np.trapezoid(sea, OMEGA))
    share = total / (power.sum() * width) if total > 0 else 1.0
    power, joint = share * power * width, share * (real - 1j * imaginary) * width
    felt = heave.power > 1e-9 * heave.power.max(initial=0.0)
    gain = np.divide(joint, heave.power, out=np.zeros_like(joint), where=felt)
    # rounding alone can leave less than nothing where the heave tells all of it
    rest = np.sqrt(np.maximum(power - np.abs(gain) ** 2 * heave.power, 0.0))
    noise = np.random.default_rng([seed, 1]).standard_normal((2, len(lines)))
    amplitude = gain * heave.amplitude + rest * (noise[0] + 1j * noise[1])
    amplitude[:, -1] = 0.0
    return Components(lines, power, amplitude, heave.duration, heave.lead).motion()


def wave_transfer(plan: Plan, height: float, period: float) -> complex:
    """Heave of the hoist per metre of a regular wave, Re{H ζ e^(+iωt)}, without the plan's heave calibration [m/m].

    Parameters
    ----------
    plan, height, period : as for `regular_wave_heave`

    Raises
    ------
    InputError
        If height or period is out of range.
    """
    Quantity("wave height", "length", above=0.0, high=30.0).check(height)
    PEAK_PERIOD.check(period)
    measured = plan.sea.measured
    direction = measured.direction_from if measured is not None else plan.sea.systems[0].direction_from
    found = hoist_spectrum(plan.vessel, plan.heading, plan.sea.batch()).viscous_damping
    omega = np.array([2 * math.pi / period])
    beta = np.atleast_1d(np.asarray(relative_heading(plan.heading, direction), dtype=np.float64))
    response = hoist_transfer(plan.vessel, omega, beta, None if found is None else float(found[0]))
    return complex(response.ravel()[0])


def regular_wave_surface(plan: Plan, height: float, period: float, duration: float = 600.0) -> HeaveMotion:
    """Elevation of the water at the hull in a regular wave whose heave grows as sin(2πt/period).

    ζ = H/2 sin(ωt − φ) with φ the phase of the response.

    Parameters
    ----------
    plan, height, period, duration : as for `regular_wave_heave`
    """
    response = wave_transfer(plan, height, period)
    return regular_heave(height / 2, period, duration, phase=-math.atan2(response.imag, response.real))
