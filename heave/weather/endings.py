"""What ends a window: which check, in which step, and which waves are behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.judging import CHECK_NAMES, Utilisations
from heave.planning.plan import Plan
from heave.sea import SeaBatch
from heave.units import significant
from heave.weather.asked import Asked
from heave.weather.evaluation import StepEvaluation, batch_for, judged, scaled_for
from heave.weather.forecast import Forecast
from heave.weather.search import Search
from heave.weather.site_limits import NAMES

Cause = Literal["a limit", "end of the forecast", "gap in the forecast", "sea not known", "not assessed"]
"""Why a window ends."""


@dataclass(frozen=True)
class Ending:
    """Why a window ends: the cause, and for a limit which check, in which step, by which waves.

    Parameters
    ----------
    cause : why
    sample : index of the first sample that does not hold, or of the last sample where the series ends
    time : its time, UTC
    step : label of the step it stops
    check : key of the governing check; None unless a limit
    check_name : its name
    utilisation : its utilisation at that sample; NaN unless a limit
    system : wave system whose removal lowers the highest utilisation most; None unless a limit
    system_alone : True where the sea without that system is inside every limit
    """

    cause: Cause
    sample: int
    time: np.datetime64
    step: str
    check: str | None = None
    check_name: str | None = None
    utilisation: float = float("nan")
    system: str | None = None
    system_alone: bool = False

    @property
    def words(self) -> str:
        """The ending in words, for example 'Stroke, vessel rising at 1.12: swell 1'."""
        if self.cause != "a limit":
            return self.cause
        words = at_words(self.check_name or "", self.utilisation)
        if self.system is None:
            return words
        return f"{words}: {self.system}" + (", within limits without it" if self.system_alone else "")


def at_words(check: str, utilisation: float, verb: str = "at") -> str:
    """A check with its utilisation; one whose capacity is used up before the sea asks anything has no figure.

    Parameters
    ----------
    check : its name
    utilisation : 1 and above, or infinite
    verb : between name and figure
    """
    if math.isinf(utilisation):
        return f"{check} {'has' if verb == 'reaches' else 'with'} no room at all"
    return f"{check} {verb} {significant(utilisation)}"


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
    # A wait itself never ends an interval: where the next start is too far off, it is the run before it that
    # ended, in the step or while it was made safe.
    begins = searched.begins(latest_start)
    for block, begin, following in zip(searched.campaign.blocks, begins, (*begins[1:], None), strict=True):
        for offset, (early, late) in enumerate(block.spans):
            held = begin + late
            runs = searched.runs[block.first + offset]
            row = int(np.searchsorted(searched.times[runs[:, 0]], begin + early, side="right")) - 1
            ends = searched.times[runs[row, 1]]
            last_of_block = offset == len(block.steps) - 1
            if last_of_block and following is not None:
                held = min(held + block.steps[-1].secured_in, following)
            if ends in (begin + late, held):
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
    described = [ending_at(forecast, steps, stop) for stop in stops]
    asked = [steps[stop.step].asked for stop in stops]
    # what stands beside the checks is not the doing of one wave system
    limited = [place for place, ending in enumerate(described) if ending.check in CHECK_NAMES]
    for one in dict.fromkeys(asked[place] for place in limited):
        places = [place for place in limited if asked[place] == one]
        samples = np.array([described[place].sample for place in places])
        here = one.take(samples)
        sea = batch_for(plan, forecast).take(samples)
        sea = sea if here.factor is None else scaled_for(sea, here.factor)
        for place, (slot, alone) in zip(places, _blamed(plan, here, sea, heading[samples]), strict=True):
            system = forecast.system_names[slot]
            described[place] = replace(described[place], system=system, system_alone=alone)
    return described


def ending_at(forecast: Forecast, steps: tuple[StepEvaluation, ...], stop: Stop) -> Ending:
    """Why a step no longer holds after a sample, without the waves behind it.

    Parameters
    ----------
    forecast : as asked
    steps : utilisations of each step
    stop : the step, and the last sample at which it holds
    """
    return ending_of(forecast, steps[stop.step].step.label, steps[stop.step].reduced, stop.last)


def ending_of(forecast: Forecast, label: str, table: Utilisations, last: int) -> Ending:
    """Why what a table judges no longer holds after a sample.

    Parameters
    ----------
    forecast : whose samples they are
    label : of the step
    table : utilisations, α applied
    last : the last sample at which it holds
    """
    after = last + 1
    if after == forecast.size:
        return Ending("end of the forecast", last, forecast.times[last], label)
    if forecast.gap_after[last]:
        return Ending("gap in the forecast", last, forecast.times[last], label)
    when = forecast.times[after]
    if forecast.missing[after]:
        return Ending("sea not known", after, when, label)
    used = float(table.governing[after])
    if not used >= 1.0:
        return Ending("not assessed", after, when, label)
    key = table.keys[int(table.governed_by[after])]
    return Ending("a limit", after, when, label, key, NAMES[key], used)


def _blamed(plan: Plan, asked: Asked, sea: SeaBatch, heading: FloatArray) -> list[tuple[int, bool]]:
    """For each sea: index of the system without which the highest utilisation is lowest, and if that is inside."""
    count = len(sea.slots)
    everything = SeaBatch.stack([_without(sea, place) for place in range(count)])
    one = asked.exact.tiled(count)
    found = judged(plan, everything, [one], np.tile(heading, count))[one]
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
