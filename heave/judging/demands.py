"""What the sea asks of vessel, compensator and string, as arrays over sea states; one sea is a batch of one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from heave.arrays import FloatArray
from heave.compensator import BitSwing, Setting
from heave.formula import Step
from heave.judging import reversal
from heave.judging.cases import Case
from heave.judging.moments import NOT_KEPT, Moments, moments, setting_of
from heave.judging.roll_pitch import NO_TURNS, Turns, turns_of
from heave.judging.waves import Waves, waves_of
from heave.planning.plan import Plan
from heave.sea import OMEGA, SeaBatch
from heave.vessel import AmplitudeStatistics, hoist_blocks, hoist_spectrum


@dataclass(frozen=True, eq=False)
class Demands:
    """Figures of one plan over n sea states, SI, single amplitudes at the plan's risk and exposure.

    Each is worked out when it is first asked for; one that the operation has no use for is None.
    """

    plan: Plan
    moments: Moments
    spectrum: FloatArray = field(default_factory=lambda: NOT_KEPT)
    """Heave spectrum at the hoist (n, nω); no rows where they were not kept."""

    gas_force: float = 0.0
    """What temperature has added to the force of the gas since the weight on bit was set."""

    gas_shift: float = 0.0
    """How far it may have moved a free hook, either way."""

    waves: Waves | None = None
    """The wave systems, where the rig has limits in wave height."""

    turns: Turns = NO_TURNS
    """Roll and pitch [rad], where the rig has limits of them."""

    @cached_property
    def setting(self) -> Setting:
        """What the driller sets."""
        return setting_of(self.plan)

    @cached_property
    def worked(self) -> dict[Any, Any]:
        """What rules have worked that others share, see `formulas.once`."""
        return {}

    @property
    def heave(self) -> AmplitudeStatistics:
        """Heave at the hoist."""
        return self.moments.of_still(0, self.plan)

    @property
    def velocity(self) -> AmplitudeStatistics:
        """Its speed."""
        return self.moments.of_still(1, self.plan)

    @property
    def acceleration(self) -> AmplitudeStatistics:
        """Its acceleration."""
        return self.moments.of_still(2, self.plan)

    @property
    def locked(self) -> FloatArray:
        """Amplitude of the force a locked compensator would feel above the static load."""
        return self.moments.of_still(4, self.plan).level

    @property
    def locked_end(self) -> AmplitudeStatistics:
        """Swing of the bit force [N] or motion of the free end [m] if the unit were locked."""
        return self.moments.of_still(6, self.plan)

    @property
    def locked_end_speed(self) -> AmplitudeStatistics:
        """The rate of that."""
        return self.moments.of_still(7, self.plan)

    @property
    def stroke(self) -> AmplitudeStatistics | None:
        """Travel of block against hook, the larger of both linearisations."""
        return self.moments.of_working(0, self.plan)

    @property
    def linear_speed(self) -> FloatArray | None:
        """Its speed, likewise."""
        speed = self.moments.of_working(1, self.plan)
        return None if speed is None else speed.level

    @cached_property
    def elastic(self) -> FloatArray | None:
        """Swing of the bit force without friction, the gas as stiff as at the extreme travel [N]."""
        force = self.moments.of_working(3, self.plan)
        if force is None or self.stroke is None or self.plan.operation.hangs_free:
            return None
        return force.level * reversal.stiffening(self.plan, self.setting, self.stroke.level)

    @property
    def residual(self) -> AmplitudeStatistics | None:
        """Motion of the string's free end, the larger of both linearisations."""
        return self.moments.of_working(3, self.plan) if self.plan.operation.hangs_free else None

    @property
    def residual_speed(self) -> AmplitudeStatistics | None:
        """Its speed, likewise."""
        return self.moments.of_working(4, self.plan) if self.plan.operation.hangs_free else None

    @property
    def force_left(self) -> AmplitudeStatistics | None:
        """Force on the hook of the motion that an active part following position leaves."""
        return self.moments.of_working(6, self.plan) if self.plan.follows_position else None

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
        if not self.plan.operation.hangs_free or self.setting.stiffness_nominal is None:
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
            return BitSwing(self.elastic, 0.0)
        _, friction, ring = reversal.ring(self)
        range_ = reversal.model_range(self, "swing")
        return BitSwing(self.elastic, _number(friction), _number(ring), self.locked_end.level, range_)

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
    if plan.follows_position:
        return plan.string.stiffness
    return float(reversal.in_series(plan, setting_of(plan)).result.value)


def demands(plan: Plan, batch: SeaBatch, *, keep_spectrum: bool = False) -> Demands:
    """Everything the checks compare at the planned values, for every sea state of a batch.

    Parameters
    ----------
    plan : the plan; its own sea is not used
    batch : n sea states
    keep_spectrum : keep the heave spectra as well

    Returns
    -------
    Demands, arrays of shape (n,)
    """
    return demands_of([Case(plan)], batch, np.asarray(plan.heading), keep_spectrum=keep_spectrum)[0]


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
        Demands(
            case.plan,
            found[place],
            NOT_KEPT if place else spectrum,
            case.gas_force,
            case.gas_shift,
            waves_of(case.plan.operation, seas[case.period], heading, case.height),
            turned[place],
        )
        for place, case in enumerate(cases)
    ]


def calibrated_spectrum(plan: Plan) -> FloatArray:
    """Heave spectrum at the hoist in the plan's own sea (nω,) [m²·s], times the square of the plan's heave factor.

    Source: definition, a factor on the motion is its square on the spectrum.
    """
    found: FloatArray = hoist_spectrum(plan.vessel, plan.heading, plan.sea.batch()).ordinates[0]
    return found * plan.heave_factor**2
