"""A measured heave record: read by stated rules to heave at a constant step."""

from __future__ import annotations

from heave.files.record.questions import Answers, RecordQuestions
from heave.files.record.reader import HeaveRecord, read_record_file
from heave.files.tables import Source

__all__ = ["HeaveRecord", "RecordQuestions", "read_heave_record"]


def read_heave_record(source: Source, *, fill: bool = True, answers: Answers | None = None) -> HeaveRecord:
    """Read a heave record such as

        time_s,heave_m
        0.0,0.12
        0.5,0.31

    Our own columns need no answer: `time_s`, `time_min` or `time_utc` (ISO 8601); `heave_m` or `heave_ft`, the
    vessel's rise positive, or `heave_down_m`, `heave_down_ft` for a sensor that counts downwards. Any other layout is
    read too: words above the table, units under the names, other columns, clock times, running numbers with a stated
    rate, cm, mm and inches, vertical acceleration. What the file does not say is asked.

    Any rate from a value each 0.01 s to each 2 s. The step is the median one; times that wander, with no step over
    one and a half, are brought to even places by a cubic through all values, which is held within what was measured.
    Values within a tenth of a step of each other are one. An empty cell is a missing value. A gap of up to 2 s (or
    two steps) is bridged by the same cubic; a longer one, or more than 5 % bridged, is refused, and so is any gap
    without `fill`. Spikes are replaced, a stuck sensor, a limit that cuts the motion off, jumps of the level, drift
    and offset are found by the rules in `heave.files.record.faults` and told in `faults`.

    Parameters
    ----------
    source : a path, or bytes
    fill : bridge short gaps
    answers : what was answered, by key of the question, such as {'sense:heave (m)': 'down'}

    Returns
    -------
    HeaveRecord

    Raises
    ------
    RecordQuestions
        With the questions, where the file can be read in more than one way.
    FileError
        With line and column for anything that cannot be read in one way, times that do not increase, and gaps.
    """
    return read_record_file(source, answers, fill=fill).record
