"""What the sea asks of the vessel, compensator and string, as arrays over sea states.

One function makes every figure the checks compare; one sea is a batch of one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.compensator import (
    AVERAGE,
    LARGEST,
    BitSwing,
    Compensator,
    LinearModel,
    Setting,
    bit_swing,
    linear_system,
    plan_setting,
)
from heave.drill_string import DrillString, rod_dynamics
from heave.formula import Step
from heave.judging import reversal
from heave.judging.cases import Case
from heave.judging.waves import Waves, waves_of
from heave.planning.plan import Plan
from heave.sea import OMEGA, WEIGHTS, SeaBatch, upcrossing_rate
from heave.sea.peaked import Floats
from heave.units import STANDARD_GRAVITY
from heave.vessel import (
    MOMENT_COLUMNS,
    AmplitudeStatistics,
    HoistBlock,
    amplitude_statistics,
    hoist_blocks,
    hoist_spectrum,
)

FloatArray = npt.NDArray[np.float64]


_NOT_KEPT: Final = np.zeros((0, OMEGA.size))


@dataclass(frozen=True)
class Demands:
    """Figures of one plan over n sea states, SI, single amplitudes at the plan's risk and exposure.

    A figure that the operation has no use for is None.
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

    rate_rising: FloatArray | None = None
    rate_falling: FloatArray | None = None
    elastic: FloatArray | None = None
    """Swing of the bit force without friction, the gas as stiff as at the extreme travel [N]."""

    residual: AmplitudeStatistics | None = None
    """Motion of the string's free end, the larger of both linearisations."""

    residual_speed: AmplitudeStatistics | None = None

    gas_force: float = 0.0
    """What temperature has added to the force of the gas since the weight on bit was set."""

    gas_shift: float = 0.0
    """How far it may have moved a free hook, either way."""

    waves: Waves | None = None
    """The wave systems, where the rig has limits in wave height."""

    @property
    def static_sides(self) -> tuple[float, float]:
        """Static travel from mid-stroke towards the vessel-rising and the vessel-falling end."""
        rising, falling = self.plan.static_sides
        return rising + self.gas_shift, falling + self.gas_shift

    @property
    def load(self) -> float:
        """Load of the gas at mid-stroke, with what temperature has added to it."""
        return self.setting.load + self.gas_force

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
    """What the driller sets for the plan's load and weight on bit, at the start position."""
    return _setting(plan.compensator, static_load(plan), plan.wob_used, plan.set_at)


@lru_cache(maxsize=256)
def _setting(compensator: Compensator, load: float, wob: float, start: float) -> Setting:
    return plan_setting(compensator, load, wob, start)


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
        kept = spectrum if 0 in places else _NOT_KEPT
        found.update(zip(places, moments([cases[i] for i in places], blocks, size, kept), strict=True))
    return [
        replace(
            demands_from(case.plan, found[place], _NOT_KEPT if place else spectrum),
            gas_force=case.gas_force,
            gas_shift=case.gas_shift,
            waves=waves_of(case.plan.operation, seas[case.period], heading, case.height),
        )
        for place, case in enumerate(cases)
    ]


@dataclass(frozen=True)
class Moments:
    """Moments that the demands of one operation rest on, over n sea states.

    heave : of orders 0, 2, 4, 6, (n, 4) [m², m²/s² ...]
    locked : with the unit locked: of the force on it, orders 0 and 2, and of bit force or free end, orders 0, 2
        and 4, (n, 5) [N², N²/s², ...]
    average, largest : of travel (orders 0, 2, 4) and of bit force or free end (0, 2, 4), linearised for either
        cycle, (n, 6); None where the unit is locked
    """

    heave: FloatArray
    locked: FloatArray
    average: FloatArray | None
    largest: FloatArray | None

    @classmethod
    def empty(cls, given: _Linear, size: int) -> Moments:
        """Memory for `size` sea states of one operation."""
        working = given.compensator_works
        pair = [np.empty((size, 6)) if working else None for _ in range(2)]
        return cls(np.empty((size, 4)), np.empty((size, 5)), *pair)


def moments(
    cases: Sequence[Case], blocks: Iterable[HoistBlock], size: int, spectrum: FloatArray = _NOT_KEPT
) -> list[Moments]:
    """The moments of each case, block by block of the spectra at the hoist that they share.

    Parameters
    ----------
    cases : of one vessel and one set of wave periods
    blocks : heave spectra at the hoist, see `hoist_blocks`; calibration and range of the heave are put on them here
    size : number of sea states in all of them
    spectrum : to be filled with the spectra of the first case, shape (n, nω) [m²·s]; without rows none are kept
    """
    given = [_Linear.of(case) for case in cases]
    found = {one: Moments.empty(one, size) for one in given}
    space = np.empty((0, 0))
    for rows, points, ordinates, _ in blocks:
        if space.size < ordinates.size:
            space = np.empty_like(ordinates)
        if len(spectrum):
            spectrum[rows, points] = ordinates * given[0].heave ** 2
        for one, kept in found.items():
            columns, model = _tables(one, points.start, points.stop, ordinates.dtype.char)
            both = ordinates @ columns
            kept.heave[rows], kept.locked[rows] = both[:, :4], both[:, 4:]
            if model is not None and kept.average is not None and kept.largest is not None:
                average, largest = model.respond(ordinates, space[: len(ordinates)])
                kept.average[rows], kept.largest[rows] = average.moments, largest.moments
    return [found[one] for one in given]


class _Linear(NamedTuple):
    """What the linear figures of a plan depend on, besides the sea and the vessel."""

    compensator: Compensator
    string: DrillString
    setting: Setting
    condition: str
    active: bool
    loss: float
    heave: float
    """Factor on the heave at the hoist, calibration included."""

    @classmethod
    def of(cls, case: Case) -> _Linear:
        plan, setting = case.plan, setting_of(case.plan)
        condition, heave = plan.operation.about.condition, plan.heave_factor * case.heave * case.height
        return cls(plan.compensator, plan.string, setting, condition, plan.active, plan.string_loss, heave)

    @property
    def compensator_works(self) -> bool:
        return not self.condition.startswith("locked")


@lru_cache(maxsize=256)
def _tables(given: _Linear, first: int, end: int, dtype: str) -> tuple[Floats, LinearModel | None]:
    """Columns for the moments of heave and of the locked force, and the model of a working unit; points of the grid."""
    scale = given.heave**2  # on the tables, so that cases with other heave can share the spectra
    omega, width = OMEGA[first:end], scale * WEIGHTS[first:end]
    rod = rod_dynamics(given.string, omega, given.loss)
    # |D(ω) − ω² m|², D the string's dynamic stiffness at its top (fixed or free at the far end) and m the mass that
    # moves with the hook: the force per metre of heave with the hook fixed to the vessel
    top = rod.top_stiffness_free if given.condition.endswith("free") else rod.top_stiffness_fixed
    held = np.abs(top - omega**2 * (given.compensator.moving_mass + given.string.handling_mass)) ** 2
    far = np.abs(1.0 / (rod.a if given.condition.endswith("free") else rod.b)) ** 2
    force = np.stack(
        [held * omega**order * width for order in (0, 2)]
        + [far * omega**order * width for order in (0, 2, 4)],
        axis=1,
    )
    columns = np.concatenate((scale * MOMENT_COLUMNS[first:end], force), axis=1).astype(dtype)
    if not given.compensator_works:
        return columns, None
    system = linear_system(
        given.compensator,
        given.string,
        given.setting,
        omega,
        given.condition,
        active=given.active,
        loss_factor=given.loss,
    )
    damping = given.setting.friction_force, given.compensator.hydraulic_loss
    model = LinearModel(
        system, width, *damping, cycles=(AVERAGE, LARGEST), figures=("stroke", "bit"), dtype=dtype
    )
    return columns, model


def demands_from(plan: Plan, found: Moments, spectrum: FloatArray = _NOT_KEPT) -> Demands:
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
    rising, falling = _stroke_out_rates(plan, stroke)
    working = replace(
        still,
        stroke=stroke,
        linear_speed=_larger(plan, pair, 1, 2).level,
        rate_rising=rising,
        rate_falling=falling,
    )
    bit = _larger(plan, pair, 3, 4)
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
    spectrum = hoist_spectrum(plan.vessel, bow, batch).ordinates
    return spectrum if plan.heave_factor == 1 else spectrum * plan.heave_factor**2


def _statistics(plan: Plan, m0: FloatArray, m2: FloatArray) -> AmplitudeStatistics:
    return amplitude_statistics(m0, m2, plan.exposure, plan.risk)


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
