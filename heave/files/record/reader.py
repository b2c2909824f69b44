"""Heave records as they are sent, read into heave at a constant step: layout, meaning, times, faults, in this order.

What the file does not say is asked, never assumed (`RecordQuestions`); what is wrong is refused with its line, or put
right by a stated rule and told. Nothing is put right in silence.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.columns import Column, read_numbers
from heave.files.record import integrate, stamps
from heave.files.record.clock import (
    Times,
    first_cells,
    holds_numbers,
    time_columns,
    times_of,
)
from heave.files.record.faults import (
    PERIODS,
    Fault,
    check_clipped,
    check_jumps,
    check_moves,
    own_period,
    stuck,
    without_spikes,
)
from heave.files.record.layout import RecordSheet, record_sheet
from heave.files.record.questions import (
    Answers,
    ask_kind,
    ask_sense,
    ask_signal,
    ask_unit,
    asked,
)
from heave.files.record.words import (
    ACCELERATION,
    HEAVE,
    MOTIONS,
    TIME,
    Quantity,
    elsewhere,
    meaning_of,
    rate_said,
    sense_said,
)
from heave.files.registry import MISSING_WORDS
from heave.files.tables import MAX_BYTES, Source, load
from heave.units import per_cent, significant, with_unit

_LARGEST: Final = 1e6
_MARKS: Final[tuple[float | str, ...]] = (
    *MISSING_WORDS,
    *(sign * mark for mark in (999.0, 9999.0, 99999.0, 999.9, 9999.9) for sign in (1, -1)),
)
_SOUND: Final = 0.5
"""Share of a record that must be left beside a stuck sensor."""


@dataclass(frozen=True, eq=False)
class HeaveRecord:
    """Heave over time at a constant step.

    step : [s]; heave : (nt,), up positive, as measured, mean included [m]
    start : time of the first value, UTC, where the file tells it
    notes : what the reader did, faults included
    faults : what was found wrong and what was done about it
    given_up : at the beginning and the end of the file [s]: no value of it is in `heave`
    """

    step: float
    heave: FloatArray
    start: datetime | None
    notes: tuple[str, ...]
    faults: tuple[Fault, ...] = ()
    given_up: tuple[float, float] = (0.0, 0.0)

    @property
    def duration(self) -> float:
        """Time from the first to the last value [s]."""
        return (len(self.heave) - 1) * self.step


@dataclass(frozen=True, eq=False)
class RecordFile:
    """A record as it was read, and what it was read from.

    record : heave
    name, sha256 : of the file
    layout : names of its columns
    answers : what was answered, by key of the question
    quantity : 'heave' or 'acceleration', what was measured
    time, raw : every value as the file has it, up positive (n,) [s], [m] or [m/s²]
    """

    record: HeaveRecord
    name: str
    sha256: str
    layout: tuple[str, ...]
    answers: Mapping[str, str]
    quantity: str
    time: FloatArray
    raw: FloatArray


def read_record_file(
    source: Source, answers: Answers | None = None, *, fill: bool = True, name: str = "heave record"
) -> RecordFile:
    """Read a heave record in any layout.

    Parameters
    ----------
    source : a path, or bytes
    answers : what was answered so far, by key of the question; None is nothing
    fill : bridge short gaps
    name : of the file

    Raises
    ------
    RecordQuestions
        With the questions, where the file can be read in more than one way.
    FileError
        With line and column for anything else.
    """
    data = load(source, MAX_BYTES)
    said = dict(answers or {})
    sheet = record_sheet(data)
    signal = _signal(sheet, said)
    motion = _motion(signal, said)
    numbers, times = _numbers(sheet, signal, said)
    values = _in_si(sheet, signal, motion, numbers, said)
    lines = np.array([sheet.table.rows.line(row) for row in range(len(values))])
    series = stamps.Series(times.seconds, values, lines)
    record = _record(series, times, motion, fill, [*sheet.notes, *_told(sheet, signal, times)])
    about = ("", "heave", "time", *sheet.table.header)
    used = {key: answer for key, answer in said.items() if key.partition(":")[2] in about}
    return RecordFile(
        record,
        "".join(character for character in name if character.isprintable())[:200],
        hashlib.sha256(data).hexdigest(),
        sheet.table.header,
        MappingProxyType(used),
        motion.name,
        times.seconds,
        values,
    )


def _signal(sheet: RecordSheet, answers: Answers) -> str:
    """The column of the motion: the one named for it, or the one that is answered."""
    header = sheet.table.header
    by_kind = {kind: [name for name in header if meaning_of(name).kind == kind] for kind in MOTIONS}
    named = by_kind["heave"] or by_kind["acceleration"]
    if len(named) == 1:
        return named[0]
    unknown = [name for name in header if meaning_of(name).kind == "unknown"]
    free = named or [name for name in unknown if holds_numbers(sheet, name)]
    if not free:
        allowed = "a column of numbers named heave, or vertical acceleration: name it so"
        raise sheet.table.refuse("columns", ", ".join(header)[:80], allowed)
    return asked(answers, ask_signal(free, [first_cells(sheet, name) for name in free], bool(named)))


def _motion(signal: str, answers: Answers) -> Quantity:
    """What the column of the motion holds by its name, its unit, or the answer."""
    meaning = meaning_of(signal)
    if meaning.kind in MOTIONS:
        return MOTIONS[meaning.kind]
    found = [one for one in MOTIONS.values() if meaning.unit in one.units]
    return found[0] if found else MOTIONS[asked(answers, ask_kind(signal))]


def _numbers(sheet: RecordSheet, signal: str, answers: Answers) -> tuple[FloatArray, Times]:
    """The numbers of the motion as the file has them, NaN where missing, and the time of each."""
    columns = time_columns(sheet, answers, signal)
    motion = Column("motion", {signal: 1.0}, missing=True, sentinels=_MARKS, low=-_LARGEST, high=_LARGEST)
    wanted = {motion: signal}
    if len(columns) == 1 and holds_numbers(sheet, columns[0]):
        wanted[Column("time", {columns[0]: 1.0})] = columns[0]
    read = read_numbers(sheet.table, wanted)
    return read["motion"], times_of(sheet, columns, read.get("time"), answers, rate_said(sheet.above))


def _in_si(
    sheet: RecordSheet, signal: str, motion: Quantity, numbers: FloatArray, answers: Answers
) -> FloatArray:
    """The motion up positive in SI, once its unit and its sense are known."""
    if np.all(np.isnan(numbers)):
        allowed = f"at least {stamps.FEWEST_ROWS}: ask for them"
        raise sheet.table.refuse("values of the record", 0, allowed, signal)
    meaning = meaning_of(signal)
    unit = meaning.unit
    if unit is None or unit in TIME.units:
        unit = asked(answers, ask_unit(signal, motion, numbers))
    values = numbers * motion.factor(unit)
    stated = sense_said(sheet.above) if motion is HEAVE else None
    down = stated if meaning.down is None else meaning.down
    # neither says so, or the words above speak against the name
    if down is None or stated not in (None, down):
        down = asked(answers, ask_sense(signal, motion, float(np.nanmean(values)))) == "down"
    return -values if down else values


def _told(sheet: RecordSheet, signal: str, times: Times) -> list[str]:
    """What is to be said of the columns and the times."""
    notes = list(times.notes)
    other = [name for name in sheet.table.header if meaning_of(name).kind in MOTIONS and name != signal]
    if other:
        notes.insert(0, f"Read from column {signal}; not used: {', '.join(other)[:200]}.")
    if elsewhere(signal):
        lost = "away from its point the heave of pitch and roll is missing"
        notes.insert(0, f"Column {signal} is not of the hoist: {lost}.")
    return notes


def _record(
    series: stamps.Series, times: Times, motion: Quantity, fill: bool, notes: list[str]
) -> HeaveRecord:
    """The record from its values as they stand: faults found, gaps bridged, integrated, and told."""
    kept = np.flatnonzero(~np.isnan(series.values))
    if len(kept) < stamps.FEWEST_ROWS:
        allowed = f"at least {stamps.FEWEST_ROWS}: ask for a longer record"
        raise FileError("values of the record", len(kept), None, allowed, line=int(series.lines[0]))
    # its clock may not go back, nor at a missing value
    stamps.merged(replace(series, values=np.zeros(len(series.time))))
    whole, faults = stamps.merged(series.at(kept))
    if kept[0] > 0 or kept[-1] < len(series.values) - 1:
        faults.append(Fault("missing", "Missing values at the beginning or the end left out."))
    step = stamps.step_of(whole)
    unit = motion.si
    if not PERIODS[0] <= own_period(whole.values, step) <= PERIODS[1]:
        check_jumps(whole.time, whole.values, whole.lines, unit)  # which spoil the period
    period = check_moves(whole.values, step, int(whole.lines[0]), of_heave=motion is HEAVE)
    check_clipped(whole.values, step, period, whole.lines, unit)
    whole, more = _without_stuck(whole, step, period, unit)
    faults += more
    values, more = without_spikes(whole.time, whole.values, whole.lines, unit)
    faults += more
    check_jumps(whole.time, values, whole.lines, unit)
    even, more = stamps.evened(replace(whole, values=values), step, fill)
    faults += more
    line = int(whole.lines[0])
    if motion is ACCELERATION:
        heave, more = integrate.heave_of(even, step, line)
    else:
        even, drift = integrate.without_drift(even, step)
        heave, more = integrate.without_slow(even, step)
        more = [*drift, *more]
    faults += more
    lost = (float(whole.time[0]), float(series.time[-1] - whole.time[-1]))
    if motion is ACCELERATION:
        check_moves(heave[integrate.valid_zone(len(heave), step)], step, line, of_heave=True)
    if any(fault.kind in ("integrated", "wander") for fault in more):
        zone = integrate.valid_zone(len(heave), step)
        heave = heave[zone].copy()
        lost = (lost[0] + zone.start * step, lost[1] + zone.start * step)
    faults += integrate.offset(heave)
    integrate.check_size(heave, step, line)
    start = None if times.start is None else times.start + timedelta(seconds=lost[0])
    heave.setflags(write=False)
    told = (*notes, *(fault.words for fault in faults))
    return HeaveRecord(step, heave, start, told, tuple(faults), lost)


def _without_stuck(
    series: stamps.Series, step: float, period: float, unit: str
) -> tuple[stamps.Series, list[Fault]]:
    """The series without stretches of a stuck sensor: bridged where short, else its longest sound part."""
    found = stuck(series.values, step, period)
    if not found:
        return series, []
    faults, cuts = [], [0]
    left_out = np.zeros(len(series.values), dtype=bool)
    longest = max(stamps.LONGEST_GAP, 2 * step)
    for start, count in found:
        lasts = (count - 1) * step
        left_out[start + 1 : start + count] = True  # the first of them may have been measured
        place = f"on line {series.lines[start]}, {significant(float(series.time[start]))}\u00a0s from the first value"
        at = with_unit(significant(float(series.values[start])), unit)
        words = f"The sensor is stuck {place}, for {significant(lasts)}\u00a0s at {at}"
        if lasts + step > longest:
            cuts += [start, start + count]
        done = "left out and bridged" if lasts + step <= longest else "the longest part beside it is used"
        ends = float(series.time[start]), float(series.time[start + count - 1])
        faults.append(Fault("stuck", f"{words}: {done}.", ends))
    cuts.append(len(series.values))
    first, last = max(zip(cuts[::2], cuts[1::2], strict=True), key=lambda part: part[1] - part[0])
    if last - first < _SOUND * len(series.values):
        start, count = max(found, key=lambda one: one[1])
        allowed = (
            f"a sensor that moves for {per_cent(_SOUND)} of the record without a stop: ask for another record"
        )
        value = float(f"{(count - 1) * step:.4g}")
        raise FileError("sensor stuck", value, "s", allowed, line=int(series.lines[start]))
    kept = np.arange(first, last)
    return series.at(kept[~left_out[first:last]]), faults
