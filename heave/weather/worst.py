"""Readings of one forecast that differ in what nobody knows: of every hour the one that is worst for the plan.

Common practice where a file's own makers cannot be asked: the reading on which the plan comes out worst is the one to
be safe with. Which that is hangs on the plan, so it is found again for each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from heave.judging import utilisations
from heave.planning import Plan
from heave.sea import SeaBatch, SystemSlot
from heave.weather.forecast import EnsembleForecast, FloatArray, Forecast

Reading = Forecast | EnsembleForecast


def worst_reading(plan: Plan, readings: Sequence[Reading]) -> Reading:
    """Of each sea the reading whose governing check is highest for the plan, on its heading, in any of its steps.

    Parameters
    ----------
    plan : the plan
    readings : as `readings_of` gives them
    """
    first = readings[0]
    if isinstance(first, EnsembleForecast):
        series = [reading.members for reading in readings if isinstance(reading, EnsembleForecast)]
        members = tuple(_worst(plan, each) for each in zip(*series, strict=True))
        return replace(first, members=members, notes=(*first.notes, _NOTE))
    return _worst(plan, [reading for reading in readings if isinstance(reading, Forecast)])


_NOTE = (
    "The kind of a period is not known: in each hour it is the one with the worst governing check of the plan, "
    "on the plan's heading."
)


def _worst(plan: Plan, readings: Sequence[Forecast]) -> Forecast:
    steps = [plan.changed(operation=step.operation) for step in plan.campaign.steps]
    scores = []
    for reading in readings:
        batch = replace(reading.batch, depth=plan.sea.depth)
        governing = [np.nan_to_num(utilisations(step, batch).governing, nan=-1.0) for step in steps]
        unknown = reading.missing
        scores.append(np.where(unknown, np.inf, np.max(governing, axis=0)))  # what one kind leaves unknown is
    chosen = np.argmax(scores, axis=0)
    first = readings[0]
    batch, names = _mixed(readings, chosen)
    return replace(first, batch=batch, system_names=names, notes=(*first.notes, _NOTE))


def _mixed(readings: Sequence[Forecast], chosen: npt.NDArray[np.intp]) -> tuple[SeaBatch, tuple[str, ...]]:
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
        slots.append(
            replace(template, hs=hs, tp=column("tp", 10.0), direction_from=column("direction_from", 0.0))
        )
    return SeaBatch(tuple(slots), readings[0].batch.depth), names


def _slot(reading: Forecast, name: str) -> SystemSlot | None:
    pairs = zip(reading.system_names, reading.batch.slots, strict=True)
    return next((slot for other, slot in pairs if other == name and isinstance(slot, SystemSlot)), None)
