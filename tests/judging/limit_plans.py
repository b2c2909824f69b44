"""Random plans for limiting seas: every operation on every kind of unit, in seas of one to three systems."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

import heave
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_hoisting, demo_vessels
from heave.judging import utilisations
from heave.judging.limit_curves import Growth
from heave.planning import CLOSED, OPERATIONS, HsLimit, Operation, Plan
from heave.sea import SeaState, WaveSystem

UNITS = tuple(demo_compensators().values())
VESSELS = tuple(demo_vessels().values())
LIMITS = {
    "wob_low": 20e3,
    "wob_high": 340e3,
    "heave_limit": 3.0,
    "roll_limit": 0.09,
    "residual_motion_limit": 1.2,
    "residual_velocity_limit": 1.0,
}


def grown(
    plan: Plan, growth: Growth, hs: float, tp: float | None = None, heading: float | None = None
) -> Plan:
    """The plan in the sea of a point of a curve: what `growth` says grown to `hs`.

    Parameters
    ----------
    plan : the plan
    growth : what grows
    hs : height of what grows, of the whole sea where all grows [m]
    tp : peak period of the first system of `Growth.sea`; None keeps it [s]
    heading : of the vessel; None keeps it [deg]
    """
    sea = growth.sea(plan.sea)
    if tp is not None:
        sea = sea.with_primary(tp=tp)
    if growth.place is not None or sea.measured is not None:
        sea = sea.with_primary(hs=hs)
    else:
        factor = hs / sea.hs
        systems = tuple(replace(wave, hs=wave.hs * factor, **_held(wave)) for wave in sea.systems)
        sea = replace(sea, systems=systems)
    return plan.changed(sea=sea, heading=plan.heading if heading is None else heading)


def _held(wave: WaveSystem) -> dict[str, object]:
    """What keeps the peak period of a system whose height changes: a mean period would move it with γ."""
    return {} if wave.period is None else {"period": wave.tp, "period_kind": "Tp"}


def random_plans(count: int, seed: int) -> list[Plan]:
    """Plans in turn of each operation on each kind of unit; what does not fit together is drawn again."""
    rng, made = np.random.default_rng(seed), list[Plan]()
    kinds = [(kind, unit) for kind in OPERATIONS for unit in UNITS]
    while len(made) < count:
        kind, unit = kinds[len(made) % len(kinds)]
        try:
            made.append(_plan(rng, kind, unit))
        except InputError:
            continue
    return made


def _plan(rng: np.random.Generator, kind: str, unit: heave.compensator.Compensator) -> Plan:
    base = heave.demo_plan()
    rows = (HsLimit(float(rng.uniform(4, 9)), 2.0, 30.0),) if rng.uniform() < 0.3 else ()
    if unit.friction_fraction:
        unit = replace(unit, friction_fraction=float(rng.uniform(0.005, 0.04)))
    fits = base.hoisting is not None and getattr(unit, "lines", None) in (None, base.hoisting.lines)
    return base.changed(
        vessel=VESSELS[rng.integers(len(VESSELS))],
        compensator=unit,
        hoisting=demo_hoisting() if fits and rng.uniform() < 0.7 else None,
        line_work=None,
        operation=Operation(kind=kind, hs_limits=rows, **LIMITS),
        sea=_sea(rng, base.sea.depth),
        heading=float(rng.uniform(0, 360)),
        wob=float(rng.uniform(6e4, 2.2e5)),
        active=bool(rng.uniform() < 0.8),
        overpull=float(rng.uniform(0, 2e5)),
        offsets=replace(base.offsets, start_position=0.0),
    )


def _sea(rng: np.random.Generator, depth: float | None) -> SeaState:
    shapes = ("jonswap", "jonswap", "two-parameter", "torsethaugen", "gaussian-swell")
    systems = [
        WaveSystem(
            hs=float(rng.uniform(0.3, 3.0)),
            period=float(rng.uniform(5, 16)),
            direction_from=float(rng.uniform(0, 359)),
            shape=shapes[rng.integers(len(shapes))],
            spreading_exponent=(4.0, 8.0)[place % 2],
            label=("wind sea", "swell", "second swell")[place],
        )
        for place in range(rng.integers(1, 4))
    ]
    return SeaState(tuple(systems), depth)


def at_limit(plan: Plan, growth: Growth, hs: float, tp: float, heading: float) -> tuple[float, str, float]:
    """Utilisation and name of the governing check at a point, assessed again, and utilisation a little higher up."""
    plan = plan.changed(ranges=CLOSED)  # the limit is of the planned values: their ranges need not be worked
    result = heave.assess(grown(plan, growth, hs, tp, heading))
    above = heave.assess(grown(plan, growth, hs * 1.0005, tp, heading))
    assert result.governing is not None
    assert above.governing is not None
    return result.governing.utilisation, result.governing.name, above.governing.utilisation


def first_over(plan: Plan, growth: Growth, tp: float, heading: float, heights: np.ndarray) -> float:
    """By trying one height after the other: the first that is over, infinite where none is [m]."""
    at = growth.sea(plan.sea).with_primary(tp=tp).batch()
    seas = at.repeated(heights.size).times(heights / at.hs) if growth.place is None else at.scaled(heights)
    over = utilisations(plan, seas, heading).governing >= 1
    return float(heights[np.argmax(over)]) if over.any() else float("inf")
