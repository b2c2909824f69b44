"""Moments of what the checks rest on, for many seas and for several cases that share their spectra."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.compensator import AVERAGE, LARGEST, Compensator, LinearModel, Setting, linear_system, plan_setting
from heave.drill_string import DrillString, rod_dynamics
from heave.judging.cases import Case
from heave.planning.plan import Plan
from heave.sea import OMEGA, WEIGHTS
from heave.sea.peaked import Floats
from heave.units import STANDARD_GRAVITY
from heave.vessel import MOMENT_COLUMNS, HoistBlock

FloatArray = npt.NDArray[np.float64]

NOT_KEPT: Final = np.zeros((0, OMEGA.size))
"""Where spectra go that nobody asked to keep."""


def carried_load(plan: Plan) -> float:
    """Load the compensator of `plan` carries, string off bottom: hookload + its own moving parts [N]."""
    return plan.hookload + plan.compensator.moving_mass * STANDARD_GRAVITY


def static_load(plan: Plan) -> float:
    """Largest static load on the compensator of `plan`: carried off bottom, or latched with overpull [N]."""
    latched = plan.operation.about.string == "fixed at the seabed"
    return carried_load(plan) + (plan.overpull if latched else 0.0)


def setting_of(plan: Plan) -> Setting:
    """What the driller sets for the plan's load and weight on bit, at the start position."""
    return _setting(plan.compensator, static_load(plan), plan.wob_used, plan.set_at)


@lru_cache(maxsize=256)
def _setting(compensator: Compensator, load: float, wob: float, start: float) -> Setting:
    return plan_setting(compensator, load, wob, start)


@dataclass(frozen=True)
class Moments:
    """Moments that the demands of one operation rest on, over n sea states.

    heave : of orders 0, 2, 4, 6, (n, 4) [m², m²/s² ...]
    locked : with the unit locked: of the force on it, orders 0 and 2, and of bit force or free end, orders 0, 2
        and 4, (n, 5) [N², N²/s², ...]
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
        return cls(np.empty((size, 4)), np.empty((size, 5)), *pair)


def moments(
    cases: Sequence[Case], blocks: Iterable[HoistBlock], size: int, spectrum: FloatArray = NOT_KEPT
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
    cycles, figures = (AVERAGE, LARGEST), given.figures
    return columns, LinearModel(system, width, *damping, cycles=cycles, figures=figures, dtype=dtype)
