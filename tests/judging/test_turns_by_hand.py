"""Roll and pitch over the ranges: in proportion to heave and height of the case, and only where the rig limits them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from test_small_parts import plan_of

from heave.judging.cases import cases
from heave.judging.roll_pitch import turns_of
from heave.planning.ranges import CLOSED


def test_the_range_of_heave_and_of_the_sea_counts_for_roll_and_pitch() -> None:
    """1.1 of the response in 1.2 of the sea: 1.32 of every figure, at the same period."""
    plan = plan_of(heading=120.0, ranges=CLOSED)
    plan = plan.changed(operation=replace(plan.operation, roll_limit=0.05, pitch_limit=0.03))
    (planned,) = cases(plan)
    high = replace(planned, heave=1.1, height=1.2)
    batch = plan.sea.batch()
    still, grown = turns_of([planned, high], {1.0: batch}, 120.0)
    for one, other in ((still.roll, grown.roll), (still.pitch, grown.pitch)):
        assert one is not None
        assert other is not None
        assert one.sigma[0] > 0
        np.testing.assert_allclose(other.sigma, 1.32 * one.sigma)
        np.testing.assert_allclose(other.level, 1.32 * one.level)
        np.testing.assert_allclose(other.period, one.period)
    # the plain vessel answers all periods alike: 0.02 rad a metre of roll, 0.01 of pitch, of σ = 0.5 m
    assert still.roll is not None
    assert still.pitch is not None
    assert still.pitch.sigma[0] == pytest.approx(0.01 * 0.5, rel=2e-3)
    assert still.roll.sigma[0] == pytest.approx(0.02 * 0.5, rel=2e-3)


def test_what_the_rig_does_not_limit_is_not_worked() -> None:
    plan = plan_of(ranges=CLOSED)
    limited = plan.changed(operation=replace(plan.operation, pitch_limit=0.03))
    (neither,), (pitch,) = cases(plan), cases(limited)
    batch = plan.sea.batch()
    assert [(one.roll, one.pitch is None) for one in turns_of([neither, pitch], {1.0: batch}, 120.0)] == [
        (None, True),
        (None, False),
    ]
