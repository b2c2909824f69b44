"""What the sea asks of vessel, compensator and string, as arrays over sea states; one sea is a batch of one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from heave.compensator import BitSwing, Setting, bit_swing
from heave.formula import Step
from heave.judging import reversal
from heave.judging.cases import Case
from heave.judging.moments import NOT_KEPT, Moments, moments, setting_of
from heave.judging.turns import NO_TURNS, Turns, turns_of
from heave.judging.waves import Waves, waves_of
from heave.planning.plan import Plan
from heave.sea import OMEGA, SeaBatch, upcrossing_rate
from heave.vessel import AmplitudeStatistics, amplitude_statistics, hoist_blocks, hoist_spectrum

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Demands:
    """Figures of one plan over n sea states, SI, single amplitudes at the plan's risk and exposure.

    A figure that the operation has no use for is None. `force_left` is the force on the hook of the motion that an
    active part following position leaves.
    """

    plan: Plan
    setting: Setting
    spectrum: FloatArray
    """Heave spectrum at the hoist (n, nω); no rows where they were not kept."""

    heave: AmplitudeStatistics
    velocity: AmplitudeStatistics
    acceleration: AmplitudeStatistics
    locked: FloatArray
    """Amplitude of the force a locked compensator would feel above the static load."""

    locked_end: AmplitudeStatistics
    """Swing of the bit force [N] or motion of the free end [m] if the unit were locked."""

    locked_end_speed: AmplitudeStatistics
    """The rate of that."""

    stroke: AmplitudeStatistics | None = None
    """Travel of block against hook, the larger of both linearisations."""

    linear_speed: FloatArray | None = None
    """Its speed, likewise."""

    elastic: FloatArray | None = None
    """Swing of the bit force without friction, the gas as stiff as at the extreme travel [N]."""

    residual: AmplitudeStatistics | None = None
    """Motion of the string's free end, the larger of both linearisations."""

    residual_speed: AmplitudeStatistics | None = None
    force_left: AmplitudeStatistics | None = None
    gas_force: float = 0.0
    """What temperature has added to the force of the gas since the weight on bit was set."""

    gas_shift: float = 0.0
    """How far it may have moved a free hook, either way."""

    waves: Waves | None = None
    """The wave systems, where the rig has limits in wave height."""

    turns: Turns = NO_TURNS
    """Roll and pitch [rad], where the rig has limits of them."""

    @property
    def static_sides(self) -> tuple[float, float]:
        """Static travel from mid-stroke towards the vessel-rising and the vessel-falling end."""
        rising, falling = self.plan.static_sides
        return rising + self.gas_shift, falling + self.gas_shift

    @property
    def load(self) -> float:
        """Load of the gas at mid-stroke, with what temperature has added to it."""
        return self.setting.load + self.gas_force

    @property
    def rate_rising(self) -> FloatArray | None:
        """Stroke-outs per second at the vessel-rising end; None where the unit has no ends to reach."""
        return _stroke_out_rate(self, self.static_sides[0])

    @property
    def rate_falling(self) -> FloatArray | None:
        """The same at the vessel-falling end."""
        return _stroke_out_rate(self, self.static_sides[1])

    @cached_property
    def stroke_level(self) -> FloatArray:
        """Extreme travel between block and hook; zero where nothing compensates."""
        if self.stroke is None:
            return np.zeros_like(self.heave.level)
        if self.plan.operation.about.string != "free" or self.setting.stiffness_nominal is None:
            return self.stroke.level
        _, _, share = reversal.let_go(self)
        wander = np.asarray(_number(reversal.wander(self)))
        return np.asarray(
            reversal.model_range(self, "travel")
            * np.sqrt(_number(share) * (self.stroke.level**2 + wander**2))
        )

    @cached_property
    def stroke_velocity(self) -> FloatArray | None:
        """Speed between block and hook with what friction adds; None where nothing compensates."""
        return None if self.linear_speed is None else np.asarray(_number(reversal.travel_speed(self)[-1]))

    @cached_property
    def bit(self) -> BitSwing | None:
        """How far the sea swings the weight on bit."""
        if self.elastic is None:
            return None
        if (
            self.plan.follows_position
        ):  # the drive holds the hook, and may swing it more than a locked unit would
            return bit_swing(self.elastic, 0.0)
        _, friction, ring = reversal.ring(self)
        range_ = reversal.model_range(self, "swing")
        return bit_swing(self.elastic, _number(friction), _number(ring), self.locked_end.level, range_)

    @cached_property
    def residual_motion(self) -> FloatArray | None:
        """Motion of the string's free end with what friction adds."""
        return None if self.residual is None else np.asarray(_number(reversal.motion_left(self)[-1]))

    @cached_property
    def residual_velocity(self) -> FloatArray | None:
        """Its speed, likewise."""
        return None if self.residual_speed is None else np.asarray(_number(reversal.speed_left(self)[-1]))

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


def _number(value: Step | float) -> Any:
    return value.result.value if isinstance(value, Step) else value


def drift_per_metre(plan: Plan) -> float:
    """Weight on bit that a slow metre of travel takes off or puts on: k_c k_s/(k_c + k_s) [N/m].

    Gas spring and string of `plan` in series; an active part leaves the share 1 − gain of it, and the string alone,
    k_s, if it follows position. On a drawworks the driller's feed follows slow travel, and nothing is counted.
    """
    if plan.compensator.is_drawworks:
        return 0.0
    string, gas = plan.string.stiffness, setting_of(plan).stiffness_nominal or math.nan
    if plan.follows_position:
        return string
    left = abs(1.0 - (plan.compensator.active_gain or 0.0)) if plan.active_in_use else 1.0
    return left * gas * string / (gas + string)


def demands(
    plan: Plan, batch: SeaBatch, heading: FloatArray | float | None = None, *, keep_spectrum: bool = False
) -> Demands:
    """Everything the checks compare at the planned values, for every sea state of a batch.

    Parameters
    ----------
    plan : the plan; its own sea is not used
    batch : n sea states
    heading : vessel heading [deg], scalar or (n,); None takes the plan's
    keep_spectrum : keep the heave spectra as well

    Returns
    -------
    Demands, arrays of shape (n,)
    """
    bow = plan.heading if heading is None else heading
    return demands_of([Case(plan)], batch, np.asarray(bow, dtype=np.float64), keep_spectrum=keep_spectrum)[0]


def demands_of(
    cases: Sequence[Case], batch: SeaBatch, heading: FloatArray, *, keep_spectrum: bool = False
) -> list[Demands]:
    """The demands of cases of one vessel, whose wave and heave spectra are worked once for all of them.

    Parameters
    ----------
    cases : plans that may differ in all but vessel and sea, and what is not known of them
    batch : n sea states
    heading : vessel heading [deg], scalar, (n,), or (n, k) for k headings in each sea
    keep_spectrum : keep the heave spectra of the first case as well

    Returns
    -------
    Demands of each case, arrays of shape (n,), or (n·k,) with the headings of a sea next to each other
    """
    size = batch.size * (heading.shape[1] if heading.ndim == 2 else 1)
    spectrum = np.zeros((size if keep_spectrum else 0, OMEGA.size))
    found = dict[int, Moments]()
    seas = {case.period: batch if case.period == 1 else batch.stretched(case.period) for case in cases}
    for period, sea in seas.items():
        places = [place for place, case in enumerate(cases) if case.period == period]
        blocks = hoist_blocks(cases[0].plan.vessel, heading, sea)
        kept = spectrum if 0 in places else NOT_KEPT
        found.update(zip(places, moments([cases[i] for i in places], blocks, size, kept), strict=True))
    turned = turns_of(cases, seas, heading)
    return [
        replace(
            demands_from(case.plan, found[place], NOT_KEPT if place else spectrum),
            gas_force=case.gas_force,
            gas_shift=case.gas_shift,
            waves=waves_of(case.plan.operation, seas[case.period], heading, case.height),
            turns=turned[place],
        )
        for place, case in enumerate(cases)
    ]


def demands_from(plan: Plan, found: Moments, spectrum: FloatArray = NOT_KEPT) -> Demands:
    """The demands of a plan from its moments.

    Parameters
    ----------
    plan : the plan
    found : from `moments`
    spectrum : the heave spectra, where they were kept
    """
    m0, m2, m4, m6 = found.heave.T
    heave, velocity, acceleration = (_statistics(plan, *pair) for pair in ((m0, m2), (m2, m4), (m4, m6)))
    setting = setting_of(plan)
    f0, f2, e0, e2, e4 = found.locked.T
    locked = _statistics(plan, f0, f2).level
    ends = _statistics(plan, e0, e2), _statistics(plan, e2, e4)
    still = Demands(plan, setting, spectrum, heave, velocity, acceleration, locked, *ends)
    if found.average is None or found.largest is None:
        return still
    pair = (found.average, found.largest)
    stroke = _larger(plan, pair, 0, 1)
    working = replace(
        still,
        stroke=stroke,
        linear_speed=_larger(plan, pair, 1, 2).level,
    )
    bit = _larger(plan, pair, 3, 4)
    if plan.follows_position:
        working = replace(working, force_left=_larger(plan, pair, 6, 7))
    if plan.operation.about.string != "free":
        return replace(working, elastic=bit.level * reversal.stiffening(plan, setting, stroke.level))
    return replace(working, residual=bit, residual_speed=_larger(plan, pair, 4, 5))


def _larger(plan: Plan, pair: tuple[FloatArray, FloatArray], variance: int, rate: int) -> AmplitudeStatistics:
    """Statistics linearised for the average cycle and for the largest, row by row those with the larger level.

    A unit that a moderate sea cannot move is still moved, and may be driven into resonance, by the
    largest waves of that sea; see `heave.compensator.extremes`.
    """
    first, second = (_statistics(plan, found[:, variance], found[:, rate]) for found in pair)
    more = second.level > first.level
    chosen = {name: np.where(more, figure, getattr(first, name)) for name, figure in vars(second).items()}
    return AmplitudeStatistics(**chosen)


def calibrated_spectrum(plan: Plan, batch: SeaBatch, heading: FloatArray | float | None = None) -> FloatArray:
    """Heave spectrum at the hoist (n, nω) [m²·s], times the square of the plan's heave factor.

    Parameters
    ----------
    plan : vessel, heading and calibration
    batch : n sea states
    heading : vessel heading [deg], scalar or (n,); None takes the plan's
    """
    bow = plan.heading if heading is None else heading
    return hoist_spectrum(plan.vessel, bow, batch).ordinates * plan.heave_factor**2


def _statistics(plan: Plan, m0: FloatArray, m2: FloatArray) -> AmplitudeStatistics:
    return amplitude_statistics(m0, m2, plan.exposure, plan.risk)


def _stroke_out_rate(d: Demands, static: float) -> FloatArray | None:
    """Up-crossings of an end per second: ν = (1/Tz) exp(−(S/2 − static)²/2σ²), Gaussian travel."""
    length, travel = d.plan.compensator.stroke, d.stroke
    if length is None or travel is None:
        return None
    room, variance = length / 2 - static, travel.sigma**2
    if room <= 0:  # static travel alone is already at the end: the unit is against it all the time
        return np.full(np.shape(variance), math.inf)
    return np.asarray(upcrossing_rate(room, variance, variance * (2 * math.pi / travel.period) ** 2))
