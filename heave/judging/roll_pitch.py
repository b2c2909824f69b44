"""Roll and pitch of the vessel in each sea, where the rig has limits of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.judging.cases import Case
from heave.planning.plan import Plan
from heave.sea import SeaBatch
from heave.vessel import AmplitudeStatistics, Motion, amplitude_statistics, hoist_moments

TURNS: Final[tuple[Motion, ...]] = ("roll", "pitch")


class Turns(NamedTuple):
    """Roll and pitch over n sea states [rad]: None where the rig does not limit it, NaN where the response lacks it."""

    roll: AmplitudeStatistics | None = None
    pitch: AmplitudeStatistics | None = None


NO_TURNS: Final = Turns()
"""Where the rig limits neither."""


def turns_of(cases: Sequence[Case], seas: Mapping[float, SeaBatch], heading: npt.ArrayLike) -> list[Turns]:
    """Roll and pitch of each case, where its operation has limits of them.

    The range of the heave response counts for roll and pitch as well; a calibration of heave, which says nothing of
    them, does not.

    Parameters
    ----------
    cases : of one vessel
    seas : n sea states by factor on their periods
    heading : of the vessel, scalar, (n,), or (n, k) for k headings in each sea, next to each other in the answer [deg]
    """
    bow = np.asarray(heading, dtype=np.float64)
    asked = {(case.period, motion) for case in cases for motion in TURNS if limited(case.plan, motion)}
    found = {
        (period, motion): hoist_moments(cases[0].plan.vessel, bow, seas[period], motion)
        for period, motion in asked
    }

    def figures(case: Case, motion: Motion) -> AmplitudeStatistics | None:
        moments = found.get((case.period, motion))
        if moments is None or not limited(case.plan, motion):
            return None
        m0, m2 = moments.T[:2] * (case.heave * case.height) ** 2
        return amplitude_statistics(m0, m2, case.plan.exposure, case.plan.risk)

    return [Turns(*(figures(case, motion) for motion in TURNS)) for case in cases]


def limited(plan: Plan, motion: Motion) -> bool:
    """Whether the rig gives a limit of `motion` in the operation of `plan`."""
    return plan.operation.gives(f"{motion}_limit")
