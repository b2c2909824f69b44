"""What the sea asks of vessel, compensator and string, as arrays over sea states; one sea is a batch of one."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, NamedTuple

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
    free_motion_level,
    free_wander,
    linear_system,
    plan_setting,
)
from heave.drill_string import DrillString, rod_dynamics
from heave.judging.cases import Case
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
    force_left: AmplitudeStatistics | None = None
    gas_force: float = 0.0
    """What temperature has added to the force of the gas since the weight on bit was set."""

    gas_shift: float = 0.0
    """How far it may have moved a free hook, either way."""

    @property
    def static_sides(self) -> tuple[float, float]:
        """Static travel from mid-stroke towards the vessel-rising and the vessel-falling end."""
        rising, falling = self.plan.static_sides
        return rising + self.gas_shift, falling + self.gas_shift

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


def setting_of(plan: Plan) -> Setting:
    """What the driller sets for the plan's load and weight on bit."""
    return _setting(plan.compensator, static_load(plan), plan.wob_used)


@lru_cache(maxsize=256)
def _setting(compensator: Compensator, load: float, wob: float) -> Setting:
    return plan_setting(compensator, load, wob)


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
    for period in dict.fromkeys(case.period for case in cases):
        places = [place for place, case in enumerate(cases) if case.period == period]
        seas = batch if period == 1 else batch.stretched(period)
        blocks = hoist_blocks(cases[0].plan.vessel, heading, seas)
        kept = spectrum if 0 in places else _NOT_KEPT
        found.update(zip(places, moments([cases[i] for i in places], blocks, size, kept), strict=True))
    return [
        replace(
            demands_from(case.plan, found[place], _NOT_KEPT if place else spectrum),
            gas_force=case.gas_force,
            gas_shift=case.gas_shift,
        )
        for place, case in enumerate(cases)
    ]


@dataclass(frozen=True)
class Moments:
    """Moments that the demands of one operation rest on, over n sea states.

    heave : of orders 0, 2, 4, 6, (n, 4) [m², m²/s² ...]
    locked : of the force on a locked unit, orders 0 and 2, (n, 2) [N², N²/s²]
    average, largest : of travel (orders 0, 2, 4), of bit force or free end (0, 2, 4), and of the force on the hook
        (0, 2) where it is driven by position, linearised for either cycle, (n, 6 or 8); None where the unit is locked
    """

    heave: FloatArray
    locked: FloatArray
    average: FloatArray | None
    largest: FloatArray | None

    @classmethod
    def empty(cls, given: _Linear, size: int) -> Moments:
        """Memory for `size` sea states of one operation."""
        working = given.compensator_works
        pair = [np.empty((size, 8 if "force" in given.figures else 6)) if working else None for _ in range(2)]
        return cls(np.empty((size, 4)), np.empty((size, 2)), *pair)


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
    for rows, points, ordinates, _ in blocks:
        if len(spectrum):
            spectrum[rows, points] = ordinates * given[0].heave ** 2
        for one, kept in found.items():
            columns, model = _tables(one, points.start, points.stop, ordinates.dtype.char)
            both = ordinates @ columns
            kept.heave[rows], kept.locked[rows] = both[:, :4], both[:, 4:]
            if model is not None and kept.average is not None and kept.largest is not None:
                average, largest = model.respond(ordinates)
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
        condition, heave = plan.operation.about.condition, plan.heave_calibration * case.heave
        return cls(plan.compensator, plan.string, setting, condition, plan.active, plan.string_loss, heave)

    @property
    def compensator_works(self) -> bool:
        return not self.condition.startswith("locked")

    @property
    def figures(self) -> tuple[str, ...]:
        driven = self.active and self.compensator.follows_position
        return ("stroke", "bit", "force") if driven else ("stroke", "bit")


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
    force = np.stack([held * omega**order * width for order in (0, 2)], axis=1)
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
    cycles, figures = (AVERAGE, LARGEST), given.figures
    return columns, LinearModel(system, width, *damping, cycles=cycles, figures=figures, dtype=dtype)


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
    locked = _statistics(plan, *found.locked.T).level
    still = Demands(plan, setting, spectrum, heave, velocity, acceleration, locked)
    if found.average is None or found.largest is None:
        return still
    pair = (found.average, found.largest)
    stroke = _larger(plan, pair, 0, 1)
    rising, falling = _stroke_out_rates(plan, stroke)
    working = replace(
        still,
        stroke=stroke,
        stroke_velocity=_larger(plan, pair, 1, 2).level,
        rate_rising=rising,
        rate_falling=falling,
    )
    bit = _larger(plan, pair, 3, 4)
    if plan.follows_position:  # friction is the active part's, and a driven hook feels none of it
        working = replace(working, force_left=_larger(plan, pair, 6, 7))
        setting = replace(setting, friction_force=0.0)
    if plan.operation.about.string != "free":
        return replace(working, bit=bit_swing(bit.level, setting.friction_force))
    return replace(
        working,
        wander=free_wander(stroke.level, setting, active=plan.active_in_use),
        residual=bit,
        residual_motion=free_motion_level(
            bit.level, stroke.level, setting, plan.string, active=plan.active_in_use
        ),
        residual_velocity=_larger(plan, pair, 4, 5),
    )


def _larger(plan: Plan, pair: tuple[FloatArray, FloatArray], variance: int, rate: int) -> AmplitudeStatistics:
    """Statistics linearised for the average cycle and for the largest, row by row those with the larger level.

    A unit that a moderate sea cannot move is still moved, and may be driven into resonance, by the
    largest waves of that sea; see `heave.compensator.extremes`.
    """
    first, second = ((found[:, variance], found[:, rate]) for found in pair)
    more = _statistics(plan, *second).level > _statistics(plan, *first).level
    return _statistics(plan, *(np.where(more, *both) for both in zip(second, first, strict=True)))


def calibrated_spectrum(plan: Plan, batch: SeaBatch, heading: FloatArray | float | None = None) -> FloatArray:
    """Heave spectrum at the hoist (n, nω) [m²·s], times the square of the plan's heave calibration.

    Parameters
    ----------
    plan : vessel, heading and calibration
    batch : n sea states
    heading : vessel heading [deg], scalar or (n,); None takes the plan's
    """
    bow = plan.heading if heading is None else heading
    return hoist_spectrum(plan.vessel, bow, batch).ordinates * plan.heave_calibration**2


def _statistics(plan: Plan, m0: FloatArray, m2: FloatArray) -> AmplitudeStatistics:
    return amplitude_statistics(m0, m2, plan.exposure, plan.risk)


def _stroke_out_rates(plan: Plan, stroke: AmplitudeStatistics) -> tuple[FloatArray | None, FloatArray | None]:
    """Up-crossings of each end per second: ν = (1/Tz) exp(−(S/2 − static)²/2σ²), Gaussian travel."""
    if plan.compensator.stroke is None:
        return None, None
    rates = []
    for static in plan.static_sides:
        room = plan.compensator.stroke / 2 - static
        variance = stroke.sigma**2
        # Static travel alone already at the end: the unit is against it all the time.
        rate = np.full(np.shape(variance), math.inf)
        if room > 0:
            rate = upcrossing_rate(room, variance, variance * (2 * math.pi / stroke.period) ** 2)
        rates.append(np.asarray(rate))
    return rates[0], rates[1]
