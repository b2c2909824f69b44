"""What the check page says of an active part: what it is asked for, and the verdict when it is lost."""

from __future__ import annotations

import heave
from heave.files.rigs import demo_compensators
from heave.planning import Operation
from heave.screens.check.tiles import tile_texts
from heave.screens.check.verdict import governs

DRIVEN = demo_compensators()["Demo unit driven by position, 600 klbf"]


def landing(**changes: object) -> heave.judging.Assessment:
    limits = Operation(kind="landing", residual_motion_limit=0.5, residual_velocity_limit=1.0)
    return heave.assess(heave.demo_plan().changed(compensator=DRIVEN, operation=limits, **changes))


def test_the_verdict_without_the_active_part_stands_beside_the_verdict() -> None:
    text = governs(landing(), "metric")
    assert "If the active part is lost: **:red[over a limit]**, motion left at the load at" in text
    assert "is lost" not in governs(landing(active=False), "metric")
    assert "is lost" not in governs(heave.assess(heave.demo_plan()), "metric")


def test_a_tile_says_which_loop_it_is_and_what_it_is_asked_for() -> None:
    result = landing()
    asked = result.responses.active
    assert asked is not None
    (tile,) = (tile for tile in tile_texts(result, "metric") if tile[0].startswith("Active part"))
    assert tile[0] == "Active part, following position"
    assert tile[1] == f"± {max(asked.rising, asked.falling) / 1e3:.1f}\u00a0kN"
    assert "kW peak" in tile[2]
    assert "kW·h in all" in tile[2]
