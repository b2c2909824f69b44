"""What the sea asks of the vessel, compensator and string, as arrays over sea states.

One function makes every figure the checks compare; one sea is a batch of one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from heave.compensator import Setting, linear_response, plan_setting
from heave.drill_string import RodDynamics, rod_dynamics
from heave.planning.plan import Plan
from heave.sea import OMEGA, WEIGHTS, SeaBatch, moment, upcrossing_rate
from heave.units import STANDARD_GRAVITY
from heave.vessel import AmplitudeStatistics, amplitude_statistics, hoist_spectrum

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Demands:
    """Figures of one plan over n sea states, SI, single amplitudes at the plan's risk and exposure.

    A figure that the operation has no use for is None.
    """

    plan: Plan
    setting: Setting
    spectrum: FloatArray
    """Heave spectrum at the hoist (n, nω)."""

    heave: AmplitudeStatistics
    velocity: AmplitudeStatistics
    acceleration: AmplitudeStatistics
    locked: FloatArray
    """Amplitude of the force a locked compensator would feel above the static load."""

    stroke: AmplitudeStatistics | None = None
    stroke_velocity: FloatArray | None = None
    rate_rising: FloatArray | None = None
    rate_falling: FloatArray | None = None
    bit: FloatArray | None = None
    """Elastic amplitude of the bit force (friction not in it)."""

    residual: AmplitudeStatistics | None = None
    residual_velocity: AmplitudeStatistics | None = None

    @property
    def travel(self) -> FloatArray:
        """Travel the compensator must make, never less than the heave itself."""
        return self.heave.level if self.stroke is None else np.maximum(self.stroke.level, self.heave.level)

    @property
    def travel_velocity(self) -> FloatArray:
        """Speed of that travel, never less than the speed of the heave itself."""
        if self.stroke_velocity is None:
            return self.velocity.level
        return np.maximum(self.stroke_velocity, self.velocity.level)


def carried_load(plan: Plan) -> float:
    """Load the compensator of `plan` carries, string off bottom: hookload + its own moving parts [N]."""
    return plan.hookload + plan.compensator.moving_mass * STANDARD_GRAVITY


def static_load(plan: Plan) -> float:
    """Largest static load on the compensator of `plan`: carried off bottom, or latched with overpull [N]."""
    latched = plan.operation.about.string == "fixed at the seabed"
    return carried_load(plan) + (plan.overpull if latched else 0.0)


def setting_of(plan: Plan) -> Setting:
    """What the driller sets for the plan's load and weight on bit."""
    return plan_setting(plan.compensator, static_load(plan), plan.wob_used)


def demands(plan: Plan, batch: SeaBatch, heading: FloatArray | float | None = None) -> Demands:
    """Everything the checks compare, for every sea state of a batch.

    Parameters
    ----------
    plan : the plan; its own sea is not used
    batch : n sea states
    heading : vessel heading [deg], scalar or (n,); None takes the plan's

    Returns
    -------
    Demands, arrays of shape (n,)
    """
    spectrum = calibrated_spectrum(plan, batch, heading)
    moments = [moment(spectrum, order) for order in (0, 2, 4, 6)]
    heave = _statistics(plan, moments[0], moments[1])
    velocity = _statistics(plan, moments[1], moments[2])
    acceleration = _statistics(plan, moments[2], moments[3])
    rod = rod_dynamics(plan.string, OMEGA, plan.string_loss)
    locked = _locked_force(plan, spectrum, rod)
    setting = setting_of(plan)
    kind = plan.operation.about
    if kind.compensator == "locked":
        return Demands(plan, setting, spectrum, heave, velocity, acceleration, locked)
    response = linear_response(
        plan.compensator,
        plan.string,
        setting,
        OMEGA,
        WEIGHTS,
        spectrum,
        kind.condition,
        active=plan.active,
        loss_factor=plan.string_loss,
    )
    stroke = _statistics(plan, response.stroke_m0, response.stroke_m2)
    stroke_velocity = _statistics(plan, response.stroke_m2, response.stroke_m4)
    rates = _stroke_out_rates(plan, stroke)
    bit = residual = residual_velocity = None
    if response.bit_force_m0 is not None and response.bit_force_m2 is not None:
        bit = _statistics(plan, response.bit_force_m0, response.bit_force_m2).level
    bit_m0, bit_m2, bit_m4 = response.bit_motion_m0, response.bit_motion_m2, response.bit_motion_m4
    if bit_m0 is not None and bit_m2 is not None and bit_m4 is not None:
        residual = _statistics(plan, bit_m0, bit_m2)
        residual_velocity = _statistics(plan, bit_m2, bit_m4)
    return Demands(
        plan=plan,
        setting=setting,
        spectrum=spectrum,
        heave=heave,
        velocity=velocity,
        acceleration=acceleration,
        locked=locked,
        stroke=stroke,
        stroke_velocity=stroke_velocity.level,
        rate_rising=rates[0],
        rate_falling=rates[1],
        bit=bit,
        residual=residual,
        residual_velocity=residual_velocity,
    )


def calibrated_spectrum(plan: Plan, batch: SeaBatch, heading: FloatArray | float | None = None) -> FloatArray:
    """Heave spectrum at the hoist (n, nω) [m²·s], times the square of the plan's heave calibration.

    Parameters
    ----------
    plan : vessel, heading and calibration
    batch : n sea states
    heading : vessel heading [deg], scalar or (n,); None takes the plan's
    """
    bow = plan.heading if heading is None else heading
    spectrum = hoist_spectrum(plan.vessel, bow, batch).ordinates
    return spectrum if plan.heave_calibration == 1 else spectrum * plan.heave_calibration**2


def _statistics(plan: Plan, m0: FloatArray, m2: FloatArray) -> AmplitudeStatistics:
    return amplitude_statistics(m0, m2, plan.exposure, plan.risk)


def _locked_force(plan: Plan, spectrum: FloatArray, rod: RodDynamics) -> FloatArray:
    """Level of the hook force per metre of heave with the hook fixed to the vessel.

    |D(ω) − ω² m|², D the string's dynamic stiffness at its top (fixed or free at the far end) and m
    the mass that moves with the hook.
    """
    top = rod.top_stiffness_free if plan.operation.about.string == "free" else rod.top_stiffness_fixed
    gain = np.abs(top - OMEGA**2 * (plan.compensator.moving_mass + plan.string.handling_mass)) ** 2
    force = spectrum * gain
    return _statistics(plan, moment(force, 0), moment(force, 2)).level


def _stroke_out_rates(plan: Plan, stroke: AmplitudeStatistics) -> tuple[FloatArray | None, FloatArray | None]:
    """Up-crossings of each end per second: ν = (1/Tz) exp(−(S/2 − static)²/2σ²), Gaussian travel."""
    if plan.compensator.stroke is None:
        return None, None
    half = plan.compensator.stroke / 2
    rates = []
    for static in plan.static_sides:
        room = half - static
        variance = stroke.sigma**2
        # Static travel alone already at the end: the unit is against it all the time.
        rate = np.full(np.shape(variance), math.inf)
        if room > 0:
            rate = upcrossing_rate(room, variance, variance * (2 * math.pi / stroke.period) ** 2)
        rates.append(np.asarray(rate))
    return rates[0], rates[1]
