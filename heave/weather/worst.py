"""Readings of one forecast that differ in what nobody knows: of every hour the one that is worst for the plan.

Common practice where a file's own makers cannot be asked: the reading on which the plan comes out worst is the one to
be safe with. Which that is hangs on the plan, so it is found again for each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from heave.arrays import BoolArray, FloatArray, Indices
from heave.judging import in_sector
from heave.planning import CLOSED, Plan
from heave.planning.task import Task
from heave.sea import SeaBatch, SystemSlot
from heave.weather.asked import Asked
from heave.weather.evaluation import Progress, batch_for, judged, part_of
from heave.weather.forecast import EnsembleForecast, Forecast
from heave.weather.headings import HEADING_STEP

Reading = Forecast | EnsembleForecast


def worst_reading(plan: Plan, readings: Sequence[Reading], progress: Progress | None = None) -> Reading:
    """Of each sea the reading whose governing check is highest in any step of the plan or wait after it.

    On every heading the plan allows: its own, those of its steps, and where the vessel may choose all in its sector.
    The members of an ensemble are judged on the plan's heading, as they are searched.

    Parameters
    ----------
    plan : the plan
    readings : as `readings_of` gives them
    progress : called now and then with the share done, 0 to 1; what it raises ends the work
    """
    first = readings[0]
    if isinstance(first, EnsembleForecast):
        plan = plan.changed(weather=plan.weather.but(heading="fixed"))
        series = [reading.members for reading in readings if isinstance(reading, EnsembleForecast)]
        each = list(zip(*series, strict=True))
        tells = [part_of(progress, place, len(each)) for place in range(len(each))]
        members = tuple(_worst(plan, one, tell) for one, tell in zip(each, tells, strict=True))
        return replace(first, members=members, notes=(*first.notes, _note(plan)))
    return _worst(plan, [reading for reading in readings if isinstance(reading, Forecast)], progress)


def _note(plan: Plan) -> str:
    on = "on the plan's heading" if plan.weather.heading == "fixed" else "on any heading that it may take"
    return (
        "The kind of a period is not known: in each hour it is the one with the worst governing check of the plan, "
        f"{on}."
    )


def _worst(plan: Plan, readings: Sequence[Forecast], progress: Progress | None) -> Forecast:
    steps = plan.campaign.steps
    tasks = [task for step in steps for task in (Task.of(step, plan), Task.waiting(step)) if task is not None]
    scores = []
    for place, reading in enumerate(readings):
        batch = batch_for(plan, reading)
        headings, allowed = _headings(plan, batch)
        tell = part_of(progress, place, len(readings))
        found = judged(plan.changed(ranges=CLOSED), batch, map(Asked, tasks), headings, progress=tell)
        governing = [np.nan_to_num(one.governing, nan=-1.0).reshape(allowed.shape) for one in found.values()]
        highest = np.where(allowed, np.max(governing, axis=0), -1.0).max(axis=1)
        scores.append(np.where(reading.missing, np.inf, highest))  # what one kind leaves unknown is
    chosen = np.argmax(scores, axis=0)
    first = readings[0]
    batch, names = _mixed(readings, chosen)
    return replace(first, batch=batch, system_names=names, notes=(*first.notes, _note(plan)))


def _headings(plan: Plan, batch: SeaBatch) -> tuple[FloatArray, BoolArray]:
    """Headings to judge each sea on, and which of them the plan allows there, (n, m)."""
    if plan.weather.heading == "fixed":
        return np.full((batch.size, 1), plan.heading), np.ones((batch.size, 1), dtype=np.bool_)
    headings = np.append(np.arange(0.0, 360.0, HEADING_STEP), plan.heading)
    allowed = in_sector(plan, batch, headings)
    allowed[:, -1] = True  # it starts from there
    most = allowed.sum(axis=1).max()
    tried = np.argsort(~allowed, axis=1, kind="stable")[:, :most]
    return headings[tried], np.take_along_axis(allowed, tried, axis=1)


def _mixed(readings: Sequence[Forecast], chosen: Indices) -> tuple[SeaBatch, tuple[str, ...]]:
    """Seas put together of several readings; a system that one of them has not is not there in it."""
    names = tuple(dict.fromkeys(name for reading in readings for name in reading.system_names))
    missing = np.choose(chosen, [reading.missing for reading in readings])
    slots = []
    for name in names:
        held = [_slot(reading, name) for reading in readings]
        template = next(slot for slot in held if slot is not None)

        def column(what: str, else_: float, held: list[SystemSlot | None] = held) -> FloatArray:
            rows = [np.full(chosen.shape, else_) if slot is None else getattr(slot, what) for slot in held]
            return np.asarray(np.choose(chosen, rows), dtype=np.float64)

        hs = np.where(missing, np.nan, column("hs", 0.0))
        tp, direction_from = column("tp", 10.0), column("direction_from", 0.0)
        slots.append(replace(template, hs=hs, tp=tp, direction_from=direction_from))
    return SeaBatch(tuple(slots), readings[0].batch.depth), names


def _slot(reading: Forecast, name: str) -> SystemSlot | None:
    pairs = zip(reading.system_names, reading.batch.slots, strict=True)
    return next((slot for other, slot in pairs if other == name and isinstance(slot, SystemSlot)), None)
