"""What would help: changes the crew can make, each tried on the plan and computed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.compensator import GasUnit
from heave.errors import InputError
from heave.formula import Term, number_at
from heave.judging.checks import Check
from heave.judging.demands import demands
from heave.judging.limiting import CLOSE, Room, room_left
from heave.judging.results import Assessment
from heave.judging.rules import rules_for
from heave.judging.utilisation import utilisations
from heave.planning.plan import Plan
from heave.planning.ranges import CLOSED
from heave.sea import SeaBatch
from heave.units import show, unit_of

HEADING_STEP: Final = 10.0
"""Step of the headings tried [deg]."""

WORTH_SAYING: Final = 0.02
"""Smallest fall of the governing utilisation that is offered."""

LIGHTER: Final = 0.9
"""Share of the hookload tried as a lighter string."""


@dataclass(frozen=True)
class Remedy:
    """One change, with the governing utilisation before and after it.

    `governed_by` names the check that governs afterwards; `plan` is the changed plan, None for waiting.
    """

    label: str
    """What to do; `words` puts the amount in."""

    before: float
    after: float
    governed_by: str
    verdict: str
    side_effect: str
    plan: Plan | None
    amount: Term | None = None

    def words(self, system: str = "metric") -> str:
        """What to do, with its amount in the units of `system`."""
        if self.amount is None:
            return self.label
        value, kind = self.amount.value, self.amount.kind
        return self.label.format(
            show(value if self.plan is not None else _down(value, kind, system), kind, system)
        )


def _down(limit: float, kind: str, system: str) -> float:
    """A limit, found from below to `CLOSE`, as low as its three figures go: nothing below what is told is over it."""
    factor = unit_of(kind, system).factor
    shown = limit / factor * (1 + 2 * CLOSE)
    place = 10.0 ** (math.floor(math.log10(shown)) - 2)
    return math.floor(shown / place) * place * factor


def what_would_help(result: Assessment, room: Room | None = None) -> tuple[Remedy, ...]:
    """Changes that lower the governing utilisation, best first.

    Tried: every heading in steps of 10° that keeps the bow in its sector (`plan.weather.sector`), opening shut gas
    bottles, starting at the stroke position that shares the static travel evenly, a tenth less hookload, weight on
    bit at the middle of its band, and waiting for the sea to fall to its limit. Each is the changed plan through
    every check; a change that brings another check near a limit, or further past near, is not offered.

    Parameters
    ----------
    result : the assessment to improve on
    room : the room of its sea, if already computed

    Returns
    -------
    Remedies that bring the governing utilisation down by at least 0.02, best first
    """
    governing = result.governing
    if governing is None:
        return ()
    found = [remedy for trial in _trials(result) if (remedy := _remedy(trial, result, governing)) is not None]
    return (*sorted(found, key=lambda remedy: remedy.after), *_wait(result, governing, room))


@dataclass(frozen=True)
class _Trial:
    """A change to try on the plan."""

    label: str
    plan: Plan
    side_effect: str
    amount: Term | None = None


def _remedy(trial: _Trial, result: Assessment, governing: Check) -> Remedy | None:
    """The trial with its effect; None where it hardly helps, or another check pays for it."""
    plan, batch, near = trial.plan, trial.plan.sea.batch(), trial.plan.caution_level
    rules = {rule.key: rule for rule in rules_for(plan)}
    # most trials end here: every check, and the ranges, cost more
    same = number_at(rules[governing.key].work(demands(plan, batch)).utilisation, 0)
    if governing.utilisation - same < WORTH_SAYING:
        return None
    after = utilisations(plan, batch)
    index = int(after.governed_by[0])
    used = governing.utilisation if index < 0 else float(after.governing[0])
    if governing.utilisation - used < WORTH_SAYING:
        return None
    for check in result.checks:
        changed = float(after.by_check[check.key][0])
        if check.key != governing.key and changed >= near and changed > check.utilisation * (1 + 1e-6):
            return None
    return Remedy(
        label=trial.label,
        before=governing.utilisation,
        after=used,
        governed_by="" if index < 0 else rules[after.keys[index]].name,
        verdict=after.verdicts(near)[0],
        side_effect=trial.side_effect,
        plan=plan,
        amount=trial.amount,
    )


def in_sector(plan: Plan, batch: SeaBatch, headings: FloatArray) -> BoolArray:
    """Which headings keep the bow within the plan's sector: about the middle that is given, else about the waves.

    Source: bow to the waves of highest energy is common practice; a stern sea is then never offered to a ship.

    Parameters
    ----------
    plan : with its `weather.sector` and `weather.sector_middle`
    batch : n seas
    headings : shape (m,) [deg]

    Returns
    -------
    Shape (n, m)
    """
    middle = plan.weather.sector_middle
    if middle is not None:
        kept = _apart(headings, middle) <= plan.weather.sector
        return np.broadcast_to(kept, (batch.size, headings.size))
    return _apart(headings, wave_origin(batch)[:, None]) <= plan.weather.sector


def wave_origin(batch: SeaBatch) -> FloatArray:
    """Where the waves of highest energy come from: the direction of the highest system of each sea, (n,) [deg].

    Parameters
    ----------
    batch : n seas
    """
    heights = np.stack([np.nan_to_num(slot.hs, nan=-1.0) for slot in batch.slots])
    origins = np.stack([slot.direction_from for slot in batch.slots])
    return np.asarray(np.take_along_axis(origins, heights.argmax(axis=0)[None], axis=0)[0])


def _apart(headings: FloatArray, other: FloatArray | float) -> FloatArray:
    """The smaller angle between headings and others [deg]."""
    return np.asarray(np.abs((headings - other + 180.0) % 360.0 - 180.0))


def _trials(result: Assessment) -> Iterator[_Trial]:
    """Every change that can be tried on the plan; one that makes no plan is none anyone can make."""
    plan, unit, budget = result.plan, result.plan.compensator, result.responses.stroke
    yield from _turn(plan)
    if isinstance(unit, GasUnit) and unit.gas_volume_shut > 0:
        opened = plan.changed(compensator=replace(unit, gas_volume_shut=0.0))
        yield _Trial("Open the shut gas bottles", opened, "set the pressure again afterwards")
    if budget is not None and abs(budget.best_start - budget.start) >= 0.05:
        place = Term(
            round(budget.best_start, 2), "length", "start position, positive towards gas compression"
        )
        with suppress(InputError):
            moved = plan.changed(offsets=replace(plan.offsets, start_position=place.value))
            yield _Trial("Start at {} from mid-stroke", moved, "space out again", place)
    with suppress(InputError):
        lighter = plan.changed(hookload_entered=LIGHTER * plan.still_hookload)
        words = "a shorter or lighter string; drag and buoyancy are in the hookload"
        yield _Trial("A tenth less hookload", lighter, words)
    low, high = plan.operation.wob_low, plan.operation.wob_high
    if plan.on_bottom and low is not None and high is not None and abs((low + high) / 2 - plan.wob) >= 1e3:
        with suppress(InputError):
            centred = plan.changed(wob=(low + high) / 2)
            words = "drilling rate and bit life change with it"
            yield _Trial("Weight on bit at the middle of its band", centred, words)
    if unit.has_active and not plan.active:
        yield _Trial("Bring the active part in", plan.changed(active=True), "its loss must stay acceptable")


def _turn(plan: Plan) -> Iterator[_Trial]:
    headings = np.arange(0.0, 360.0, HEADING_STEP)
    headings = headings[in_sector(plan, plan.sea.batch(), headings)[0]]
    if not headings.size:
        return
    used = utilisations(plan.changed(ranges=CLOSED), plan.sea.batch(), headings[None]).governing
    if np.all(np.isnan(used)):
        return
    best = float(headings[int(np.nanargmin(used))])
    if best == plan.heading:
        return
    side = "starboard" if (best - plan.heading) % 360.0 <= 180.0 else "port"
    turn = float(_apart(np.asarray(best), plan.heading))
    yield _Trial(
        "Turn to {}",
        plan.changed(heading=best),
        f"a turn of {turn:.0f}° to {side}; wind, current and thruster load are not judged here",
        Term(best, "direction", "heading with the lowest governing utilisation in the sector allowed"),
    )


def _wait(result: Assessment, governing: Check, room: Room | None) -> Iterator[Remedy]:
    if governing.utilisation < 1:
        return
    limit = (room_left(result.plan) if room is None else room).together
    if limit.reached and limit.at_most > 0:
        yield Remedy(
            label="Wait until the whole sea's Hs is below {}",
            before=governing.utilisation,
            after=1.0,
            governed_by=limit.governing or "",
            verdict="over a limit until then",
            side_effect="lost time; all systems falling together with the same periods and directions",
            plan=None,
            amount=Term(limit.at_most, "length", "limiting Hs of the whole sea"),
        )
