"""Heave records of known motion in our own columns, and what a reader found in one."""

from __future__ import annotations

import math

import numpy as np

from heave.arrays import FloatArray
from heave.files.heave_record import HeaveRecord

STEP = 0.5
TIME = np.arange(0.0, 1200.0, STEP)


def file_of(
    values: FloatArray, time: FloatArray | None = None, name: str = "heave_m", digits: int = 4
) -> bytes:
    stamps_ = TIME[: len(values)] if time is None else time
    rows = (
        f"{t!r},{'' if math.isnan(v) else f'{v:.{digits}f}'}"
        for t, v in zip(stamps_.tolist(), values, strict=True)
    )
    return "\n".join([f"time_s,{name}", *rows, ""]).encode()


def kinds(record: HeaveRecord) -> list[str]:
    return [fault.kind for fault in record.faults]


def words(record: HeaveRecord, kind: str) -> str:
    return next(fault.words for fault in record.faults if fault.kind == kind)


SENSE = "sense:heave acceleration (m/s2)"
"""The question about the way an acceleration counts."""
