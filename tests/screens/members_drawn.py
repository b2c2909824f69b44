"""Random plans and ensembles for what members together may say, judged by a rule plain enough to be quick and known.

The utilisation of a sea is its height, α applied, over a height of the operation's own; over the ranges 8 % more, or
as much as a test asks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np
import pytest

from heave.files.rigs import demo_plan
from heave.judging import Utilisations
from heave.planning import BASE_CASE, NO_FACTOR, OPERATIONS, Campaign, OperationStep, Plan
from heave.sea import SeaBatch, SystemSlot
from heave.weather import EnsembleForecast, EnsembleResult, Forecast, endings, evaluation, members
from heave.weather.asked import Asked
from heave.weather.evaluation import scaled_for

HOUR = 3600.0
START = np.datetime64("2026-05-01T00:00:00", "s")
KEY = "stroke_rising"


def plain_judging(patch: pytest.MonkeyPatch, worst: float = 1.08) -> None:
    """Put the plain rule in the place of all checks, with what the ranges make of a utilisation."""
    for module in (evaluation, members, endings):
        patch.setattr(module, "judged", partial(_judged, worst))


def _judged(
    worst: float,
    plan: Plan,
    batch: SeaBatch,
    asked: Sequence[Asked],
    heading: Any = None,
    known: Any = None,
    progress: Any = None,
) -> dict[Asked, Utilisations]:
    found = dict(known or {})
    for one in asked:
        height = (batch if one.factor is None else scaled_for(batch, one.factor)).hs
        tide = 0.0 if one.tide is None else np.array(one.tide.pairs)[list(one.tide.of)].sum(axis=1)
        used = height / (1.2 + 0.35 * list(OPERATIONS).index(one.task.operation.kind) % 2.0) + 0.1 * tide
        by = np.where(np.isnan(used), -1, 0)
        beside = {"assessed": ~np.isnan(used), "heave_sigma": height / 4, "high": worst * used, "high_by": by}
        found[one] = Utilisations((KEY,), {KEY: used}, used, by, **beside)
    return found


def drawn_plan(rng: np.random.Generator) -> Plan:
    """One to three steps: open ones, in pieces, made safe first, waiting in a state, under way, with limits of wind."""
    plan, steps = demo_plan(), []
    for _ in range(int(rng.choice([1, 1, 2, 3]))):
        operation, more = _operation(plan, rng), dict[str, Any]()
        if rng.random() < 0.6:
            more = {"interruptible": True, "make_safe": float(rng.choice([0, 0.5, 1, 3])) * HOUR}
            more |= {"waits_in": _operation(plan, rng)} if rng.random() < 0.5 else {}
        more |= {"wind_limit": float(rng.uniform(8, 25))} if rng.random() < 0.3 else {}
        more |= {"heading": float(rng.uniform(0, 359))} if rng.random() < 0.2 else {}
        spare = float(rng.choice([0, 1, 2, 6])) * HOUR if rng.random() < 0.7 else None
        steps.append(OperationStep(operation, contingency=spare, **more))
    asked = replace(
        plan.weather,
        campaign=Campaign(tuple(steps), longest_wait=float(rng.choice([1, 6, 48])) * HOUR),
        alpha=BASE_CASE if rng.random() < 0.4 else NO_FACTOR,
        needed=float(rng.choice([0.3, 0.5, 0.9, 1.0])),
        forecast_interval=float(rng.choice([3, 6, 12])) * HOUR,
        under_way=bool(rng.random() < 0.25),
        now=str(START + np.timedelta64(int(rng.choice([0, 0, 3, 17])) * 30, "m")),
    )
    return plan.changed(weather=asked)


def _operation(plan: Plan, rng: np.random.Generator) -> Any:
    kind = str(rng.choice(list(OPERATIONS)))
    return replace(plan.doing(kind).operation, duration=float(rng.choice([0.5, 1, 2, 4, 10])) * HOUR)


def drawn_members(rng: np.random.Generator, count: int) -> list[Forecast]:
    """Series of seas on common times, some with a hole or a gap, with wind and sometimes a tide of their own."""
    size, step = int(rng.integers(6, 50)), float(rng.choice([1800.0, HOUR, HOUR, 3 * HOUR]))
    times = START + np.arange(size) * np.timedelta64(round(step), "s")
    gap = np.zeros(size - 1, dtype=np.bool_)
    if rng.random() < 0.2:
        after = int(rng.integers(0, size - 1))
        gap[after] = True
        times[after + 1 :] += np.timedelta64(1, "D")
    common = np.abs(np.cumsum(rng.normal(0, 0.15, size)) + rng.uniform(0.1, 1.5)) + 0.05
    tide, issued = rng.random() < 0.2, START if rng.random() < 0.8 else None
    made = []
    for _ in range(count):
        height = np.clip(
            common * np.exp(np.cumsum(rng.normal(0, 0.05, size)) + rng.normal(0, 0.15)), 0.0, 12.0
        )
        height[rng.random(size) < (0.05 if rng.random() < 0.2 else 0.0)] = np.nan
        slot = SystemSlot(height, np.full(size, 9.0), np.full(size, 220.0))
        beside: dict[str, Any] = {
            "wind_speed": rng.uniform(2, 15) + np.abs(np.cumsum(rng.normal(0, 0.8, size)))
        }
        beside |= {"tide": np.cumsum(rng.normal(0, 0.1, size))} if tide else {}
        batch = SeaBatch((slot,), 1200.0)
        made.append(Forecast(times, batch, ("wind sea",), step, gap, issued=issued, **beside))
    return made


def worsened(rng: np.random.Generator, series: Sequence[Forecast]) -> list[Forecast]:
    """The same with a stretch of some members higher than it was."""
    made = list(series)
    for place in rng.choice(len(made), size=int(rng.integers(1, len(made) + 1)), replace=False):
        one, factor = made[place], np.ones(made[place].size)
        first = int(rng.integers(0, one.size))
        factor[first : first + int(rng.integers(1, one.size + 1))] = rng.choice([1.05, 1.2, 1.5, 3.0, 8.0])
        height = np.maximum(np.minimum(one.batch.hs * factor, 20.0), one.batch.hs)
        slot = replace(one.batch.slots[0], hs=height)
        made[place] = replace(one, batch=replace(one.batch, slots=(slot,)))
    return made


def together(series: Sequence[Forecast]) -> EnsembleForecast:
    return EnsembleForecast(tuple(series), tuple(map(str, range(len(series)))))


def promised(found: EnsembleResult, now: np.datetime64) -> dict[str, float]:
    """All that an answer promises, each the larger the less calm: starts, shares, by when it is done; hours."""
    ahead = [window for window in found.windows if window.latest_start >= now]
    start = max(ahead[0].start, now) if ahead else None
    calm, stands = found.calm_until(now), found.under_way(now)
    work = None if ahead else found.in_pieces(now)

    def after(when: np.datetime64 | None) -> float:
        return np.inf if when is None else float((when - START) / np.timedelta64(1, "h"))

    return {
        "earliest start": after(start),
        "done by": np.inf if start is None else after(found.finished_by(start)[0]),
        "members now": -float(found.members_at(now)),
        "members at the best": -float(found.best_from(now)[1]),
        "within limits for": np.inf if calm is None else -after(calm),
        "work begun": -np.inf if ahead else np.inf if work is None else work.begin,
        "work done": -np.inf if ahead else np.inf if work is None else work.done,
        "first step holds for": -stands.held_for,
        "first step within limits for": -stands.calm_for,
        "first step holds in": -float(stands.holds_now),
    }
