"""A figure that is kept on the safe side of what no quick formula follows says so beside itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

import heave
from heave.files.rigs import demo_compensators
from heave.judging import Assessment, assess
from heave.judging.high_figures import SPREADS
from heave.planning import CLOSED, Plan
from heave.screens.check.working import working_text
from heave.sea import SeaState

ACTIVE = "Demo active-assisted unit, 600 klbf"
SAID = "A high figure: in random plans of this kind simulation gave"


def plan_of(kind: str, unit: str | None = None, tp: float = 13.0, hs: float = 3.0) -> Plan:
    sea = SeaState.single(hs=hs, tp=tp, direction_from=240.0, depth=1200.0)
    plan = heave.demo_plan().changed(ranges=CLOSED, sea=sea)
    return (plan if unit is None else plan.changed(compensator=demo_compensators()[unit])).doing(kind)


def high(result: Assessment) -> set[str]:
    return {check.key for check in result.checks if SAID in check.basis}


def test_which_figures_are_high_ones() -> None:
    """Swing and load left under a part that follows force, motion it leaves, load of a free hook near resonance."""
    drilling, landing = (assess(plan_of(kind, ACTIVE)) for kind in ("drilling", "landing"))
    assert {"lift_off", "wob_band", "hook_slack"} <= high(drilling)
    assert not {"stroke_rising", "compensated_load", "derrick", "gas_pressure"} & high(drilling)
    assert {"tension", "hook_slack", "residual_motion", "derrick", "elevators"} <= high(landing)
    assert not {"stroke_rising", "compensated_load", "residual_velocity"} & high(landing)
    # a gas spring of 15 s in swell of 13 s; far from its own period, or where the seals hold, nothing is said
    near = assess(plan_of("landing"))
    assert {"compensated_load", "hook_slack", "tension"} <= high(near)
    assert not {"stroke_rising", "residual_motion"} & high(near)
    assert high(assess(plan_of("landing", tp=7.0))) == set()
    assert high(assess(plan_of("landing", hs=0.1))) == set()
    assert high(assess(plan_of("drilling"))) == set()


def test_a_hook_that_is_driven_or_rigid_has_no_high_figure() -> None:
    plan = plan_of("landing", ACTIVE)
    driven = replace(plan.compensator, active_loop="position")
    assert high(assess(plan.changed(compensator=driven))) == set()
    drawworks = next(name for name, unit in demo_compensators().items() if unit.is_drawworks)
    assert high(assess(plan_of("landing", drawworks))) == set()
    assert high(assess(plan_of("tripping"))) == set()


def test_the_sentence_stands_in_the_working_with_the_shares_that_were_found() -> None:
    check = assess(plan_of("drilling", ACTIVE)).check("lift_off")
    said = working_text(check, "metric").replace("\\", "")
    assert "simulation gave the swing as 0.3 to 1.04 times" in said
    assert "in half of them less than 0.72. Simulation decides." in said


@pytest.mark.parametrize("kind", SPREADS)
def test_no_high_figure_is_passed_by_more_than_a_twentieth(kind: str) -> None:
    least, middle, most = SPREADS[kind][1:]
    assert 0 < least < middle < most <= 1.05
