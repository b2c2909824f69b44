"""Thirteen plans whose verdicts were kept (regression): a verdict that moves asks for a new model version.

`PYTHONPATH=. python tests/judging/test_golden_plans.py` keeps them anew, in the same commit that raises the version.
"""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import heave
from heave.files.rigs import demo_compensators, demo_vessels
from heave.planning import MODEL_VERSION, HsLimit, Operation, Plan
from heave.planning.operations import HEAVE_BASES
from heave.sea import SeaState, WaveSystem

KEPT = Path(__file__).with_name("golden_plans.json")
TOLERANCE = 2e-3
"""Share by which a utilisation may differ: a finer or coarser frequency grid is not another method."""


def golden_plans() -> dict[str, Plan]:
    """One plan for each way of working, in seas from slight to very rough."""
    base = heave.demo_plan()
    passive, active, drawworks = (
        next(unit for unit in demo_compensators().values() if unit.kind == kind)
        for kind in ("crown-mounted", "active-assisted", "drawworks")
    )
    driven = next(
        unit
        for unit in demo_compensators().values()
        if unit.kind == "active-assisted" and unit.follows_position
    )
    lagging = replace(active, active_bandwidth=1.0)
    two = SeaState(
        (WaveSystem(hs=2.0, period=8.0, direction_from=200.0), WaveSystem(hs=1.5, period=14.0, direction_from=280.0)),
        depth=1200.0,
    )  # fmt: skip

    def plan(kind: str, hs: float, tp: float, **changes: Any) -> Plan:
        sea = SeaState.single(hs=hs, tp=tp, direction_from=240.0, depth=1200.0)
        return base.changed(**{"sea": sea, "operation": Operation(kind=kind), **changes})

    left = Operation(kind="landing", residual_motion_limit=1.2, residual_velocity_limit=0.8)
    moved = Operation(
        kind="casing", heave_limit=2.5, heave_basis=HEAVE_BASES[3], speed_limit=1.2, acceleration_limit=1.0,
        roll_limit=0.06, pitch_limit=0.06, hoisting_speed=0.5, lowering_speed=1.0,
    )  # fmt: skip
    waits = Operation(kind="waiting", hs_limits=(HsLimit(5.0, 2.0, 12.0), HsLimit(3.5, 8.0, 30.0)))
    return {
        "drilling, demo": base,
        "drilling, heave limit": plan(
            "drilling", 5.0, 11.0, operation=Operation(heave_limit=2.5, heave_basis=HEAVE_BASES[1])
        ),
        "coring, two systems": plan(
            "coring", 1.0, 8.0, sea=two, operation=Operation(kind="coring", wob_low=60e3, wob_high=280e3)
        ),
        "wireline, limit not given": plan("wireline", 2.0, 9.0, compensator=passive),
        "landing, active": plan("landing", 3.0, 12.0, operation=left, compensator=active),
        "drilling, active": plan("drilling", 4.0, 11.0, compensator=active),
        "fixed, active and lagging": plan("fixed", 2.5, 10.0, overpull=200e3, compensator=lagging),
        "drilling, drawworks": plan("drilling", 3.5, 10.0, compensator=drawworks),
        "landing, driven by position": plan("landing", 3.0, 12.0, operation=left, compensator=driven),
        "fixed, driven by position": plan("fixed", 2.5, 10.0, overpull=200e3, compensator=driven),
        "fixed at the seabed": plan("fixed", 2.5, 10.0, overpull=200e3),
        "tripping, very rough": plan("tripping", 8.0, 13.0, heading=150.0),
        "casing, limits in motion": plan("casing", 2.5, 9.5, operation=moved),
        "drilling, damped by its sea": plan(
            "drilling", 3.0, 14.0, vessel=demo_vessels()["Demo semisubmersible"]
        ),
        "waiting, Hs by period": plan("waiting", 3.0, 9.0, operation=waits),
    }


def figures_of(plan: Plan) -> dict[str, Any]:
    """What is kept of a plan: verdict, governing check, what is not assessed, and utilisation of every other check."""
    result = heave.assess(plan)
    used = {c.key: round(c.utilisation, 6) for c in result.checks if not math.isnan(c.utilisation)}
    governing = None if result.governing is None else result.governing.key
    missing = [c.key for c in result.checks if c.key not in used]
    return {"verdict": result.verdict, "governing": governing, "not_assessed": missing, "utilisations": used}


def same(found: dict[str, Any] | None, before: dict[str, Any]) -> bool:
    """Whether a plan's figures are those that were kept, to the tolerance."""
    if found is None or found["utilisations"] != pytest.approx(before["utilisations"], rel=TOLERANCE):
        return False
    return all(found[word] == before[word] for word in ("verdict", "governing", "not_assessed"))


@pytest.mark.parametrize("name", golden_plans())
def test_no_verdict_moves_without_a_new_model_version(name: str) -> None:
    """Regression: these numbers are the planner's own."""
    kept = json.loads(KEPT.read_text("utf-8"))
    plan = golden_plans()[name]
    assert kept["model_version"] == MODEL_VERSION, "a new version: keep the golden plans anew"
    found, before = figures_of(plan), kept["plans"][name]
    moved = "a result moved: raise MODEL_VERSION and MODEL_DATE, and keep the golden plans anew"
    assert same(found, before), (moved, found, before)


def test_the_golden_plans_meet_every_verdict_and_most_checks() -> None:
    kept = json.loads(KEPT.read_text("utf-8"))["plans"].values()
    assert {plan["verdict"] for plan in kept} == set(heave.judging.VERDICTS)
    assert len({plan["governing"] for plan in kept}) >= 5
    judged = {key for plan in kept for key in plan["utilisations"]}
    assert judged >= {rule.key for rule in heave.judging.RULES} - {"stroke_out", "runaway"}


def test_a_moved_result_is_noticed() -> None:
    kept = json.loads(KEPT.read_text("utf-8"))["plans"]["drilling, demo"]
    base = heave.demo_plan()
    moved = base.changed(compensator=replace(base.compensator, friction_fraction=0.021))
    assert not same(figures_of(moved), kept)
    for word in ("verdict", "governing", "not_assessed"):
        assert not same(kept | {word: "another"}, kept)


def test_figures_that_moved_are_not_kept_under_the_same_model(tmp_path: Path) -> None:
    path = tmp_path / "kept.json"
    kept = json.loads(KEPT.read_text("utf-8"))
    path.write_text(json.dumps(kept), "utf-8")
    keep(path)
    kept["plans"]["drilling, demo"]["utilisations"]["stroke_rising"] *= 1.01
    path.write_text(json.dumps(kept), "utf-8")
    with pytest.raises(SystemExit, match=r"MODEL_VERSION and MODEL_DATE: moved are drilling, demo$"):
        keep(path)
    path.write_text(json.dumps(kept | {"model_version": "an older one"}), "utf-8")
    keep(path)
    assert json.loads(path.read_text("utf-8"))["plans"] == json.loads(KEPT.read_text("utf-8"))["plans"]


def keep(path: Path = KEPT) -> None:
    """Write the plans' figures beside this test; refused where one moved and the model is still the one they are of."""
    plans = {name: figures_of(plan) for name, plan in golden_plans().items()}
    kept = json.loads(path.read_text("utf-8"))
    if kept["model_version"] == MODEL_VERSION:
        moved = [name for name, before in kept["plans"].items() if not same(plans.get(name), before)]
        if moved:
            raise SystemExit(f"raise MODEL_VERSION and MODEL_DATE: moved are {', '.join(moved)}")
    text = json.dumps({"model_version": MODEL_VERSION, "plans": plans}, indent=1, ensure_ascii=False)
    path.write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    keep()
