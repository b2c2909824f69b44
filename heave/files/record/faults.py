"""What is wrong with a measured motion by stated rules: spikes, a sensor that is stuck, a limit that cuts it off.

All rules are relative to the record itself: its robust deviation (1.4826 times the median absolute deviation, which is
the standard deviation of a normal distribution; Rousseeuw and Croux, J. Am. Stat. Assoc. 88, 1993, 1273-1283), its
mean period, and the steps in which its values come.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.rows import Integers, runs
from heave.units import per_cent, significant, with_unit

FAR: Final = 8.0
"""Robust deviations from the cubic through its neighbours past which a value is a spike."""

LEAST_SPIKE: Final = 0.1
"""Least size of a spike as a share of the record's own robust deviation: less changes nothing."""

LONGEST_SPIKE: Final = 3
"""Most values in a row that are a spike."""

MOST_SPIKES: Final = 0.01
"""Most of the values that may be spikes."""

STUCK: Final = 0.25
"""Share of the record's own mean period past which equal values are a stuck sensor, where their steps are fine."""

COARSE: Final = 0.05
"""Step of the values, as a share of their deviation, for each of which that time is as long again: in a calm between
two groups of waves the motion stays within a coarse step."""

JUMP: Final = 12.0
"""Robust deviations of the change between two values past which the level has jumped."""

GAP: Final = 1.5
"""Usual steps past which two values are not neighbours."""

LONG_STILL: Final = 0.1
"""Share of a record past which a stretch of equal values tells nothing of its period."""

PERIODS: Final = (2.0, 40.0)
"""Mean periods believed of heave [s]: less is noise or a wrong rate, more is drift or a wrong rate."""

FEWEST_WAVES: Final = 3
_ROBUST: Final = 1.4826


@dataclass(frozen=True)
class Fault:
    """A fault of a record: its kind, a sentence with its number and what was done, and where it is [s]."""

    kind: str
    words: str
    times: tuple[float, ...] = ()


def spread(values: FloatArray) -> float:
    """Robust deviation of values about their median."""
    return _ROBUST * float(np.median(np.abs(values - np.median(values))))


def resolution(values: FloatArray) -> float:
    """The step in which values come: the least difference of two that is not rounding."""
    different = np.unique(values)
    steps = np.diff(different)
    least = 1e-9 * max(1.0, float(np.abs(different).max()))
    steps = steps[steps > least]
    return float(steps.min()) if steps.size else 0.0


def mean_period(values: FloatArray, step: float) -> float:
    """Mean time between upward crossings of the middle [s]; NaN for under three.

    A crossing counts that leaves the middle by a third of a deviation: the margin keeps noise about the middle from
    counting as waves.
    """
    centred = values - np.median(values)
    margin = float(centred.std()) / 3
    state = np.where(centred > margin, 1, np.where(centred < -margin, -1, 0))
    clear = np.flatnonzero(state)
    ups = clear[1:][np.diff(state[clear]) > 0]
    return float(ups[-1] - ups[0]) * step / (len(ups) - 1) if len(ups) >= FEWEST_WAVES else math.nan


def own_period(values: FloatArray, step: float) -> float:
    """The mean period without the longest stretch of equal values, where that is over a tenth of the record [s]."""
    starts, counts = runs(np.diff(values) == 0.0)
    if not counts.size or counts.max() <= LONG_STILL * len(values):
        return mean_period(values, step)
    start, count = int(starts[np.argmax(counts)]), int(counts.max())
    return mean_period(np.delete(values, slice(start, start + count)), step)


def check_moves(values: FloatArray, step: float, line: int, *, of_heave: bool) -> float:
    """The record's own mean period [s].

    Parameters
    ----------
    values : of the record (nt,)
    step : [s]
    line : of the first value
    of_heave : refuse a period that no heave has; the noise of an accelerometer may well have

    Raises
    ------
    FileError
        For a record that does not move, has under three waves, or a period that no heave has.
    """
    if float(np.ptp(values)) <= 1e-6:
        allowed = "values that change: the sensor stood still"
        raise FileError("heave record", float(values[0]), None, allowed, line=line)
    period = own_period(values, step)
    if math.isnan(period):
        length = float(f"{(len(values) - 1) * step:.4g}")
        allowed = f"at least {FEWEST_WAVES} waves: ask for a longer record"
        raise FileError("length of the record", length, "s", allowed, line=line)
    if of_heave and not PERIODS[0] <= period <= PERIODS[1]:
        allowed = (
            f"from {PERIODS[0]:g} to {PERIODS[1]:g}, as heave has: correct the rate, or the unit of time"
        )
        raise FileError("mean period of the record", float(f"{period:.3g}"), "s", allowed, line=line)
    return period


def check_clipped(values: FloatArray, step: float, period: float, lines: Integers, unit: str) -> None:
    """Refuse a record whose highest or lowest value is a limit of the sensor.

    At a crest of height A values in steps of q stand still for (T/π)√(2q/A), as A(1 − cos ωt) is less than q so long.
    Two stretches or more at the very highest or lowest value, of three values or more and over twice that, are a limit.

    Raises
    ------
    FileError
        With the line of the first of them.
    """
    q = resolution(values)
    for end, word in ((float(values.max()), "highest"), (float(values.min()), "lowest")):
        height = abs(end - float(np.median(values)))
        still = 2 * period / math.pi * math.sqrt(2 * q / height) if height > 0 else math.inf
        starts, counts = runs(values == end)
        long = ((counts - 1) * step > still) & (counts > 2)
        if np.count_nonzero(long) > 1:
            allowed = (
                f"crests that turn: {np.count_nonzero(long)} stand still at the {word} value, so the sensor is at its "
                "limit and the true motion is larger; ask for a record with a wider range"
            )
            raise FileError("motion cut off", end, unit, allowed, line=int(lines[starts[long][0]]))


def stuck(values: FloatArray, step: float, period: float) -> list[tuple[int, int]]:
    """Stretches of five equal values or more that last longer than a quarter of the record's own period.

    That time is as long again for each twentieth of a deviation of the step in which values come.

    Parameters
    ----------
    values : of the record (n,)
    step : [s]
    period : mean period of the record [s]

    Returns
    -------
    First place and number of values of each
    """
    longest = STUCK * period * (1 + resolution(values) / (COARSE * float(values.std())))
    starts, counts = runs(np.diff(values) == 0.0)
    long = (counts * step > longest) & (counts > 3)
    return list(zip(starts[long].tolist(), (counts[long] + 1).tolist(), strict=True))


def without_spikes(
    time: FloatArray, values: FloatArray, lines: Integers, unit: str
) -> tuple[FloatArray, list[Fault]]:
    """Values with every spike replaced by the cubic through the two values before and the two after it.

    One to three values in a row are a spike where each stands off that cubic on the same side, by more than 8 robust
    deviations of all values from theirs, a tenth of the record's own deviation, and four of the steps in which values
    come. The largest is taken first, as its neighbours stand off for its sake.

    Parameters
    ----------
    time, values, lines : of the record (n,)
    unit : of the values

    Raises
    ------
    FileError
        Where more than 1 % of the values would be replaced.
    """
    found = values.copy()
    marked = np.zeros(len(values), dtype=bool)
    least = max(LEAST_SPIKE * spread(values), 4 * resolution(values))
    limits: dict[int, float] = {}
    most = max(1, int(MOST_SPIKES * len(values)))
    for _ in range(20):
        taken = _spikes(time, found, limits, least)
        if not taken:
            break
        for start, size, cubic in taken:
            found[start : start + size] = cubic
            marked[start : start + size] = True
        if np.count_nonzero(marked) > most:
            line = int(lines[np.flatnonzero(marked)[0]])
            allowed = f"at most {per_cent(MOST_SPIKES)} of the values: the sensor is at fault, ask for another record"
            raise FileError("values that are spikes", int(np.count_nonzero(marked)), None, allowed, line=line)
    told = _unseen(time, limits.get(1, 0.0), spread(values), unit)
    places = np.flatnonzero(marked)
    if not places.size:
        return values, told
    starts, _ = runs(marked)
    off, many = np.abs(values - found), "s" if len(starts) > 1 else ""
    where = ", ".join(str(lines[start]) for start in starts[:6]) + (" …" if len(starts) > 6 else "")
    largest = with_unit(significant(float(off.max())), unit)
    words = (
        f"{len(starts)} spike{many}, on line{many} {where}; the largest stands {largest} off its neighbours, "
        f"{significant(float(time[np.argmax(off)]))}\u00a0s from the first value: replaced by the cubic through the "
        "values about each."
    )
    return found, [Fault("spike", words, tuple(time[places].tolist())), *told]


def _unseen(time: FloatArray, limit: float, deviation: float, unit: str) -> list[Fault]:
    """What is to be said where spikes over a deviation cannot be told from waves, as there are few values in each."""
    if limit <= deviation:
        return []
    step = significant(float(np.median(np.diff(time))))
    least = with_unit(significant(limit), unit)
    words = f"At a value each {step}\u00a0s a spike under {least} cannot be told from a wave: look for them."
    return [Fault("few values a wave", words)]


def _bridge(time: FloatArray, values: FloatArray, size: int) -> FloatArray:
    """The cubic through two values before and two after `size` others that begin at place 2, 3, …, (n, size)."""
    count = len(values) - size - 3
    about = [slice(place, place + count) for place in (0, 1, size + 2, size + 3)]
    found = np.zeros((count, size))
    for own in about:
        weight = np.ones((count, size))
        for other in about:
            if other is not own:
                gap = (time[own] - time[other])[:, None]
                places = np.stack([time[2 + k : 2 + k + count] for k in range(size)], axis=1)
                weight *= (places - time[other][:, None]) / gap
        found += weight * values[own][:, None]
    return found


def _spikes(
    time: FloatArray, values: FloatArray, limits: dict[int, float], least: float
) -> list[tuple[int, int, FloatArray]]:
    """First place, size and cubic of spikes, the largest first, none within reach of another nor of a gap.

    `limits` are set on the first call, by the record as it came.
    """
    found: list[tuple[float, int, int, FloatArray]] = []
    steps = np.diff(time)
    usual = float(np.median(steps))
    for size in range(1, LONGEST_SPIKE + 1):
        if len(values) < size + 8:
            continue
        count = len(values) - size - 3
        cubic = _bridge(time, values, size)
        off = np.stack([values[2 + k : 2 + k + count] for k in range(size)], axis=1) - cubic
        whole = np.max([steps[place : place + count] for place in range(size + 3)], axis=0) <= GAP * usual
        if size not in limits:
            limits[size] = max(FAR * spread(off[whole].ravel()), least) if whole.any() else math.inf
        same = np.abs(np.sign(off).sum(axis=1)) == size
        score = np.where(same & whole, np.abs(off).min(axis=1), 0.0)
        for place in np.flatnonzero(score > limits[size]):
            found.append((float(score[place]), int(place) + 2, size, cubic[place]))
    taken: list[tuple[int, int, FloatArray]] = []
    used = np.zeros(len(values) + 8, dtype=bool)
    for _, start, size, cubic in sorted(found, key=lambda one: one[:3], reverse=True)[: len(values) // 4]:
        if not used[start - 2 : start + size + 2].any():
            taken.append((start, size, cubic))
            used[start - 2 : start + size + 2] = True
    return taken


def check_jumps(time: FloatArray, values: FloatArray, lines: Integers, unit: str) -> None:
    """Refuse a record whose level jumps between two values, as where a sensor is set anew.

    The change is over 12 robust deviations of all changes, and over half the record's own deviation.

    Raises
    ------
    FileError
        With the line after the first of them.
    """
    steps = np.diff(time)
    change = np.where(steps > GAP * np.median(steps), 0.0, np.diff(values))
    limit = max(JUMP * spread(change), 0.5 * spread(values), 4 * resolution(values))
    for place in np.flatnonzero(np.abs(change) > limit)[:1]:
        allowed = (
            f"changes of at most {with_unit(significant(limit), unit)} from one value to the next, which is {JUMP:g} "
            "times the usual one: the sensor was set anew, or values are missing; cut the file there"
        )
        value, line = float(f"{change[place]:.3g}"), int(lines[place + 1])
        raise FileError("jump of the motion", value, unit, allowed, line=line)
