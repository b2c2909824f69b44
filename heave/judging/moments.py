"""Moments of what the checks rest on, for many seas and for several cases that share their spectra."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final, NamedTuple

import numpy as np

from heave.arrays import FloatArray, Floats
from heave.compensator import (
    AVERAGE,
    LARGEST,
    Compensator,
    Condition,
    LinearModel,
    Setting,
    linear_system,
    plan_setting,
)
from heave.drill_string import DrillString, rod_dynamics
from heave.judging.cases import Case
from heave.planning.plan import Plan
from heave.sea import OMEGA, WEIGHTS
from heave.units import STANDARD_GRAVITY
from heave.vessel import MOMENT_COLUMNS, AmplitudeStatistics, HoistBlock

NOT_KEPT: Final = np.zeros((0, OMEGA.size))
"""Where spectra go that nobody asked to keep."""


def carried_load(plan: Plan) -> float:
    """Load the compensator of `plan` carries, string off bottom: hookload + its own moving parts [N]."""
    return plan.hookload + plan.moving_mass * STANDARD_GRAVITY


def static_load(plan: Plan) -> float:
    """Largest static load on the compensator of `plan`: carried off bottom, or latched with overpull [N]."""
    latched = plan.operation.latched
    return carried_load(plan) + (plan.overpull if latched else 0.0)


def setting_of(plan: Plan) -> Setting:
    """What the driller sets for the plan's load and weight on bit, at the start position."""
    return _setting(plan.compensator, static_load(plan), plan.wob_used, plan.set_at)


@lru_cache(maxsize=256)
def _setting(compensator: Compensator, load: float, wob: float, start: float) -> Setting:
    return plan_setting(compensator, load, wob, start)


@dataclass(frozen=True, eq=False)
class Moments:
    """Moments that the demands of cases rest on, over n sea states, a row for each figure and order.

    still : of heave with a factor of 1, orders 0, 2, 4, 6; then with the unit locked, of the force on it, 0 and 2, and
        of bit force or free end, 0, 2 and 4, (9, n) [m², m²/s² ... N², N²/s² ...]
    scale : what all of `still` is multiplied by: the square of the factor on heave
    working : linearised for the average and for the largest cycle, of travel (0, 2, 4), of bit force or free end
        (0, 2, 4), and of the force on the hook (0, 2) where it is driven by position, (2, 6 or 8, n); None where the
        unit is locked
    damping : found for the average and for the largest cycle (2, n) [N·s/m], without end where friction never breaks;
        None likewise
    """

    still: FloatArray
    scale: float = 1.0
    working: FloatArray | None = None
    damping: FloatArray | None = None

    def of_still(self, row: int, plan: Plan) -> AmplitudeStatistics:
        """Statistics of the figure of `still` whose variance stands in `row`, at the risk and exposure of `plan`."""
        key = "still", row, plan.exposure, plan.risk
        if key not in self._known:
            variance, rate = self.scale * self.still[row : row + 2]
            self._known[key] = AmplitudeStatistics(variance, rate, plan.exposure, plan.risk)
        return self._known[key]

    def of_working(self, row: int, plan: Plan) -> AmplitudeStatistics | None:
        """The same of `working`, sea by sea those of the cycle with the larger level.

        A unit that a moderate sea cannot move is still moved, and may be driven into resonance, by the
        largest waves of that sea; see `heave.compensator.linearisation`.
        """
        if self.working is None:
            return None
        key = "working", row, plan.exposure, plan.risk
        if key not in self._known:
            variance, rate = self.working[:, row], self.working[:, row + 1]
            self._known[key] = AmplitudeStatistics(variance, rate, plan.exposure, plan.risk).larger()
        return self._known[key]

    @cached_property
    def _known(self) -> dict[tuple[str, int, float, float], AmplitudeStatistics]:
        return {}


def moments(
    cases: Sequence[Case], blocks: Iterable[HoistBlock], size: int, spectrum: FloatArray = NOT_KEPT
) -> list[Moments]:
    """The moments of each case, block by block of the spectra at the hoist that they share; the same where they agree.

    Parameters
    ----------
    cases : of one vessel and one set of wave periods
    blocks : heave spectra at the hoist, see `hoist_blocks`; calibration and range of the heave are put on them here
    size : number of sea states in all of them
    spectrum : to be filled with the spectra of the first case, shape (n, nω) [m²·s]; without rows none are kept
    """
    given = [_depends_on(case) for case in cases]
    still = {held: np.empty((9, size)) for held, _, _ in given}
    working = {unit: np.empty((2, 8 if unit.driven else 6, size)) for _, _, unit in given if unit is not None}
    damping = {unit: np.empty((2, size)) for unit in working}
    space = np.empty((0, 0))
    for rows, points, ordinates, _ in blocks:
        if space.size < ordinates.size:
            space = np.empty_like(ordinates)
        if len(spectrum):
            spectrum[rows, points] = ordinates * given[0][1] ** 2
        grid = points.start, points.stop, ordinates.dtype.char
        for held, table in still.items():
            table[:, rows] = (ordinates @ _columns(held, *grid)).T
        for unit, cycles in working.items():
            answers = _model(unit, *grid).respond(ordinates, space[: len(ordinates)])
            for place, answer in enumerate(answers):
                cycles[place, :, rows] = answer.moments.T
                damping[unit][place, rows] = answer.damping
    found = {
        (held, heave, unit): Moments(
            still[held], heave**2, *((None, None) if unit is None else (working[unit], damping[unit]))
        )
        for held, heave, unit in given
    }
    return [found[one] for one in given]


class _Held(NamedTuple):
    """What the figures of a locked unit depend on, besides the sea and the vessel."""

    string: DrillString
    mass: float
    """What moves with the hook."""

    free: bool
    """Whether the string hangs free; else it is held below."""

    loss: float


class _Working(NamedTuple):
    """What the linear figures of a working unit depend on."""

    held: _Held
    heave: float
    """Factor on the heave at the hoist, calibration included."""

    unit: Compensator
    setting: Setting
    condition: Condition
    active: bool

    @property
    def driven(self) -> bool:
        return self.active and self.unit.follows_position


def _depends_on(case: Case) -> tuple[_Held, float, _Working | None]:
    """What the moments of a case depend on, besides the sea and the vessel: cases that agree in it share them."""
    plan, condition = case.plan, case.plan.operation.about.condition
    mass = plan.moving_mass + plan.string.handling_mass
    held = _Held(plan.string, mass, condition.endswith("free"), plan.string_loss)
    heave = plan.heave_factor * case.heave * case.height
    if condition.startswith("locked"):
        return held, heave, None
    return held, heave, _Working(held, heave, plan.hung_unit, setting_of(plan), condition, plan.active)


@lru_cache(maxsize=256)
def _columns(held: _Held, first: int, end: int, dtype: str) -> Floats:
    """What turns heave spectra on points of the grid into the rows of `Moments.still`, shape (m, 9)."""
    omega, width = OMEGA[first:end], WEIGHTS[first:end]
    rod = rod_dynamics(held.string, omega, held.loss)
    # |D(ω) − ω² m|², D the string's dynamic stiffness at its top (fixed or free at the far end) and m the mass that
    # moves with the hook: the force per metre of heave with the hook fixed to the vessel
    top = rod.top_stiffness_free if held.free else rod.top_stiffness_fixed
    force = np.abs(top - omega**2 * held.mass) ** 2
    far = np.abs(1.0 / (rod.a if held.free else rod.b)) ** 2
    columns = [force * omega**order * width for order in (0, 2)]
    columns += [far * omega**order * width for order in (0, 2, 4)]
    return np.concatenate((MOMENT_COLUMNS[first:end], np.stack(columns, axis=1)), axis=1).astype(dtype)


@lru_cache(maxsize=256)
def _model(given: _Working, first: int, end: int, dtype: str) -> LinearModel:
    """The model of a working unit on points of the grid, for spectra of heave with a factor of 1."""
    system = linear_system(
        given.unit,
        given.held.string,
        given.setting,
        OMEGA[first:end],
        given.condition,
        active=given.active,
        loss_factor=given.held.loss,
    )
    return LinearModel(
        system,
        given.heave**2 * WEIGHTS[first:end],
        given.setting.friction_force,
        given.unit.hydraulic_loss,
        cycles=(AVERAGE, LARGEST),
        figures=("stroke", "bit", "force") if given.driven else ("stroke", "bit"),
        dtype=dtype,
    )
