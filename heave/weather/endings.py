"""What ends a window: which check, in which step, and which waves are behind it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from heave.errors import InputError
from heave.judging.rules import CHECK_NAMES
from heave.planning.operations import Operation
from heave.planning.plan import Plan
from heave.sea import SeaBatch
from heave.weather.evaluation import StepEvaluation, batch_for, judged, scaled_for
from heave.weather.forecast import Forecast
from heave.weather.intervals import FloatArray
from heave.weather.results import Ending
from heave.weather.search import Search


@dataclass(frozen=True)
class Stop:
    """Where the series stops a later start: the step, and the last sample that still holds."""

    step: int
    last: int


def stop_of(searched: Search, latest_start: float) -> Stop:
    """The first step, in order of time, that would not hold if the campaign began any later.

    Parameters
    ----------
    searched : the search
    latest_start : end of an interval of starts [s]
    """
    # A wait never ends an interval: where the next start is too far off, it is the run before it that ended.
    for block, begin in zip(searched.campaign.blocks, searched.begins(latest_start), strict=True):
        for offset, (early, late) in enumerate(block.spans):
            runs = searched.runs[block.first + offset]
            row = int(np.searchsorted(searched.times[runs[:, 0]], begin + early, side="right")) - 1
            if searched.times[runs[row, 1]] == begin + late:
                return Stop(block.first + offset, int(runs[row, 1]))
    raise InputError("latest start", latest_start, "s", "the end of an interval of starts")


def endings(
    plan: Plan,
    forecast: Forecast,
    steps: tuple[StepEvaluation, ...],
    heading: FloatArray,
    stops: list[Stop],
) -> list[Ending]:
    """Describe every stop; the waves behind a limit are found by leaving out one wave system at a time.

    The system named is the one without which the highest utilisation is lowest, in the sea with α applied.

    Parameters
    ----------
    plan, forecast : as asked
    steps : utilisations of each step
    heading : vessel heading, shape (n,) [deg]
    stops : where the series stops a later start
    """
    described = [_ending(forecast, steps, stop) for stop in stops]
    asked = [(steps[stop.step].step.operation, steps[stop.step].row) for stop in stops]
    limited = [place for place, ending in enumerate(described) if ending.cause == "a limit"]
    for operation, row in dict.fromkeys(asked[place] for place in limited):
        places = [place for place in limited if asked[place] == (operation, row)]
        samples = np.array([described[place].sample for place in places])
        sea = batch_for(plan, forecast).take(samples)
        sea = sea if row is None else scaled_for(sea, row)
        for place, (slot, alone) in zip(places, _blamed(plan, operation, sea, heading[samples]), strict=True):
            system = forecast.system_names[slot]
            described[place] = replace(described[place], system=system, system_alone=alone)
    return described


def _ending(forecast: Forecast, steps: tuple[StepEvaluation, ...], stop: Stop) -> Ending:
    label = steps[stop.step].step.label
    last, after = stop.last, stop.last + 1
    if after == forecast.size:
        return Ending("end of the forecast", last, forecast.times[last], label)
    if forecast.gap_after[last]:
        return Ending("gap in the forecast", last, forecast.times[last], label)
    when = forecast.times[after]
    if forecast.missing[after]:
        return Ending("sea not known", after, when, label)
    table = steps[stop.step].reduced
    used = float(table.governing[after])
    if not used >= 1.0:
        return Ending("not assessed", after, when, label)
    key = table.keys[int(table.governed_by[after])]
    return Ending("a limit", after, when, label, key, CHECK_NAMES[key], used)


def _blamed(plan: Plan, operation: Operation, sea: SeaBatch, heading: FloatArray) -> list[tuple[int, bool]]:
    """For each sea: index of the system without which the highest utilisation is lowest, and if that is inside."""
    count = len(sea.slots)
    everything = SeaBatch.stack([_without(sea, place) for place in range(count)])
    found = judged(plan, everything, [(operation, None)], np.tile(heading, count))[operation, None]
    used = np.where(np.isnan(found.governing), np.inf, found.governing).reshape(count, sea.size)
    holds = found.inside.reshape(count, sea.size)
    used[np.array([slot.hs for slot in sea.slots]) == 0.0] = np.inf
    best = np.argmin(used, axis=0)
    # Without its only system a sea is a calm: that says nothing.
    several = np.sum([slot.hs > 0.0 for slot in sea.slots], axis=0) > 1
    return [(int(place), bool(holds[place, row] and several[row])) for row, place in enumerate(best)]


def _without(sea: SeaBatch, place: int) -> SeaBatch:
    calm = sea.slots[place].times(0.0)
    return replace(sea, slots=(*sea.slots[:place], calm, *sea.slots[place + 1 :]))
