"""Heave, speed and acceleration at the hoist over an exposure, as tests of its motion ask for them together."""

from __future__ import annotations

from itertools import pairwise
from typing import Any, NamedTuple

from heave.sea import SeaBatch
from heave.vessel import AmplitudeStatistics, Vessel, amplitude_statistics, hoist_moments


class Motion(NamedTuple):
    heave: AmplitudeStatistics
    velocity: AmplitudeStatistics
    acceleration: AmplitudeStatistics


def statistics_from_moments(moments: Any, exposure: float, risk: float) -> Motion:
    """Moments of a rate are those of the motion two orders on."""
    return Motion(*(amplitude_statistics(m0, m2, exposure, risk) for m0, m2 in pairwise(moments.T)))


def motion_statistics(vessel: Vessel, heading: Any, batch: SeaBatch, exposure: float, risk: float) -> Motion:
    return statistics_from_moments(hoist_moments(vessel, heading, batch), exposure, risk)
