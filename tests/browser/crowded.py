"""Plans that leave little room: names of sixty letters, eight wave systems, twelve steps, huge and tiny numbers."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from heave.files.rigs import demo_plan
from heave.planning import OPERATIONS, Campaign, OperationStep, Plan
from heave.sea import SeaState, WaveSystem

GERMAN: Final = "Rückholbohrgestängeverbindungsprüfung und Schwerstangenwechsel"
"""Sixty letters, most of them in two words that cannot be broken."""


def crowded() -> Plan:
    """Long names everywhere, eight wave systems, twelve steps."""
    plan = demo_plan()
    systems = tuple(
        WaveSystem(hs=0.4 + 0.1 * n, period=5.0 + 1.6 * n, direction_from=20.0 + 41.0 * n, label=_name(n))
        for n in range(8)
    )
    kinds = list(OPERATIONS)
    steps = tuple(
        OperationStep(
            replace(plan.operation, kind=kinds[n % len(kinds)], duration=3600.0 * (2 + n)), name=_name(n)
        )
        for n in range(12)
    )
    sections = tuple(replace(one, name=_name(n)) for n, one in enumerate(plan.string.sections))
    return plan.changed(
        name=GERMAN[:60],
        sea=SeaState(systems, plan.sea.depth),
        string=replace(plan.string, sections=sections),
        vessel=replace(plan.vessel, name=_name(0)),
        compensator=replace(plan.compensator, name=_name(1)),
        weather=replace(plan.weather, campaign=Campaign(steps)),
    )


def extreme() -> Plan:
    """Figures of many digits beside tiny ones: a sea far over every limit, and a bit that is hardly loaded."""
    plan = demo_plan()
    sea = SeaState((WaveSystem(hs=17.8, period=17.3, direction_from=3.0),), plan.sea.depth)
    return plan.changed(
        name="1",
        sea=sea,
        wob=1234.5,
        hookload_entered=12_345_678.0,
        exposure=30 * 86400.0,
        risk=1e-6,
        operation=replace(plan.operation, heave_limit=0.0321, wob_low=1000.0, wob_high=1300.0),
    )


def slight() -> Plan:
    """Hardly a wave: every figure tiny, every limit far."""
    plan = demo_plan()
    return plan.changed(
        sea=SeaState((WaveSystem(hs=0.05, period=3.0, direction_from=180.0),), plan.sea.depth)
    )


def _name(number: int) -> str:
    return f"{number + 1} {GERMAN}"[:60]
