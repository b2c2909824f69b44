"""What the sea asks of the vessel, compensator and string, as arrays over sea states.

One function makes every figure the checks compare; one sea is a batch of one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from heave.compensator import (
    BitSwing,
    LinearResponse,
    Setting,
    bit_swing,
    extreme_response,
    free_motion_level,
    free_wander,
    linear_response,
    plan_setting,
)
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
    """Travel of block against hook, the larger of both linearisations."""

    wander: FloatArray | None = None
    """Travel that friction adds off bottom, beside `stroke` in quadrature."""

    stroke_velocity: FloatArray | None = None
    rate_rising: FloatArray | None = None
    rate_falling: FloatArray | None = None
    bit: BitSwing | None = None
    """How far the sea swings the weight on bit."""

    residual: AmplitudeStatistics | None = None
    """Motion of the string's free end, the larger of both linearisations."""

    residual_motion: FloatArray | None = None
    """The same with what friction adds."""

    residual_velocity: AmplitudeStatistics | None = None

    @property
    def stroke_level(self) -> FloatArray:
        """Extreme travel between block and hook; zero where nothing compensates."""
        if self.stroke is None:
            return np.zeros_like(self.heave.level)
        return self.stroke.level if self.wander is None else np.hypot(self.stroke.level, self.wander)

    @property
    def travel(self) -> FloatArray:
        """Travel the compensator must make, never less than the heave itself."""
        return np.maximum(self.stroke_level, self.heave.level)

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


def drift_per_metre(plan: Plan) -> float:
    """Weight on bit that a slow metre of travel takes off or puts on: k_c k_s/(k_c + k_s) [N/m].

    Gas spring and string of `plan` in series; an active part at work leaves the share 1 − gain of it. A
    compensating drawworks has no gas: the driller's feed follows slow travel, and nothing is counted.
    """
    if plan.compensator.is_drawworks:
        return 0.0
    gas = setting_of(plan).stiffness_nominal
    if gas is None:
        return math.nan
    gain = plan.compensator.active_gain if plan.active_in_use else None
    series = gas * plan.string.stiffness / (gas + plan.string.stiffness)
    return series if gain is None else series * abs(1.0 - gain)


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
    average, largest = (
        response(
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
        for response in (linear_response, extreme_response)
    )
    both = _Pair(plan, average, largest)
    stroke = both.larger("stroke_m0", "stroke_m2")
    rising, falling = _stroke_out_rates(plan, stroke)
    working = Demands(
        plan=plan,
        setting=setting,
        spectrum=spectrum,
        heave=heave,
        velocity=velocity,
        acceleration=acceleration,
        locked=locked,
        stroke=stroke,
        stroke_velocity=both.larger("stroke_m2", "stroke_m4").level,
        rate_rising=rising,
        rate_falling=falling,
    )
    if kind.string != "free":
        elastic = both.larger("bit_force_m0", "bit_force_m2").level
        return replace(working, bit=bit_swing(elastic, setting.friction_force))
    residual = both.larger("bit_motion_m0", "bit_motion_m2")
    return replace(
        working,
        wander=free_wander(stroke.level, setting, active=plan.active_in_use),
        residual=residual,
        residual_motion=free_motion_level(
            residual.level, stroke.level, setting, plan.string, active=plan.active_in_use
        ),
        residual_velocity=both.larger("bit_motion_m2", "bit_motion_m4"),
    )


@dataclass(frozen=True)
class _Pair:
    """The response linearised for the average cycle and for the largest: each figure takes the larger.

    A unit that a moderate sea cannot move is still moved, and may be driven into resonance, by the
    largest waves of that sea; see `heave.compensator.extremes`.
    """

    plan: Plan
    average: LinearResponse
    largest: LinearResponse

    def larger(self, variance: str, rate: str) -> AmplitudeStatistics:
        """Statistics from two moments, row by row those with the larger level."""
        first, second = (
            _statistics(self.plan, getattr(response, variance), getattr(response, rate))
            for response in (self.average, self.largest)
        )
        more = second.level > first.level
        return AmplitudeStatistics(
            *(
                np.where(more, getattr(second, item.name), getattr(first, item.name))
                for item in fields(AmplitudeStatistics)
            )
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
