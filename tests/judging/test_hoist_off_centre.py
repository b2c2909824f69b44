"""A hoist off the point of a response that has no pitch or roll: its motion is not known, so that nothing passes.

The size of what is lacking is that of rigid-body kinematics, η3 − x η5, with a pitch near the wave's slope k ζ in long
waves (DNV-RP-C205 has the slope of an Airy wave; from memory).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.judging import NOT_ASSESSED, needs, utilisations, withheld
from heave.planning.plan import Plan
from heave.screens.check import verdict
from heave.studies.monte_carlo import monte_carlo
from heave.vessel import Semisubmersible
from heave.vessel.response_table import ResponseTable

DEMO = heave.demo_plan()


def _without(motion: str, x: float = 0.0, y: float = 0.0) -> Plan:
    table = DEMO.vessel.response
    assert isinstance(table, ResponseTable)
    vessel = replace(
        DEMO.vessel,
        response=replace(table, **{motion: np.zeros_like(table.pitch)}),
        origin=None,
        hoist_x=x,
        hoist_y=y,
    )
    return DEMO.changed(vessel=vessel)


@pytest.mark.parametrize(
    ("motion", "x", "y"), [("pitch", 20.0, 0.0), ("pitch", -20.0, 0.0), ("roll", 0.0, 20.0)]
)
def test_a_motion_that_moves_the_hoist_and_is_not_known_withholds_the_pass(
    motion: str, x: float, y: float
) -> None:
    plan = _without(motion, x, y)
    calm = plan.changed(
        sea=replace(plan.sea, systems=tuple(replace(one, hs=0.3) for one in plan.sea.systems))
    )
    for one in (plan, calm):
        result = heave.assess(one)
        assert result.verdict == NOT_ASSESSED
        assert needs(one) == (f"needs the vessel's {motion} response",)
        assert (
            f"needs the vessel's {motion} response, which it does not have: the hoist stands off"
            in verdict.governs(result, "metric")
        )
    many = utilisations(calm, calm.sea.batch(), np.asarray(calm.heading))
    assert not many.assessed.any()
    assert heave.assess(calm.changed(vessel=DEMO.vessel)).verdict == "near a limit"  # in doubt


def test_over_a_limit_is_told_all_the_same() -> None:
    plan = _without("pitch", 20.0)
    rough = plan.changed(
        sea=replace(plan.sea, systems=tuple(replace(one, hs=6.0) for one in plan.sea.systems))
    )
    assert heave.assess(rough).verdict == "over a limit"


@pytest.mark.parametrize(("x", "y"), [(0.0, 0.0), (1.0, 0.0), (0.0, 20.0)])
def test_a_hoist_that_the_motion_does_not_move_is_judged(x: float, y: float) -> None:
    plan = _without("pitch", x, y)
    assert (
        heave.assess(plan).verdict
        == heave.assess(DEMO.changed(vessel=replace(DEMO.vessel, hoist_x=x, hoist_y=y))).verdict
    )
    assert plan.vessel.unknown_at_hoist == ()
    assert not withheld(plan)


def test_what_is_not_known_may_be_more_than_what_is() -> None:
    """20 m off, in waves of 12 s, pitch at half the slope adds 0.28 m for each metre: what the arm allows is small."""
    slope = (2 * np.pi / 12) ** 2 / 9.80665
    assert 20 * slope / 2 == pytest.approx(0.28, abs=0.005)
    assert 1.0 * slope < 0.03


def test_a_semisubmersible_in_heave_alone_lacks_both() -> None:
    hull = Semisubmersible(4, 16.4, 60.0, 110.0, 15.0, 9.0, 60.0, 19.0, added_mass=5e7)
    centred = heave.Vessel("Invented", hull)
    plan = DEMO.changed(vessel=replace(centred, hoist_x=5.0, hoist_y=-3.0))
    assert plan.vessel.unknown_at_hoist == ("pitch", "roll")
    assert heave.assess(plan).verdict in (NOT_ASSESSED, "over a limit")
    assert centred.unknown_at_hoist == ()


def test_no_sample_of_a_study_counts_as_assessed() -> None:
    plan = _without("pitch", 20.0)
    found = monte_carlo(plan)
    assert "The motion at the hoist is not known, so no sample counts as assessed." in found.notes
    assert "The motion at the hoist" not in " ".join(monte_carlo(DEMO).notes)
