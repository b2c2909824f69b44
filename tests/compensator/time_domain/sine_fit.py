"""Amplitude of a trace at one period, for the tests of this folder."""

from __future__ import annotations

import math

import numpy as np

from heave.compensator.time_domain import Run


def amplitude(run: Run, name: str, period: float, cycles: int = 8) -> float:
    """Amplitude at one period over the last whole cycles, by least squares."""
    last = run.time > run.time[-1] - cycles * period
    phase = 2 * math.pi / period * run.time[last]
    table = np.stack([np.cos(phase), np.sin(phase), np.ones_like(phase)], axis=1)
    fit = np.linalg.lstsq(table, run.traces[name][last, 0], rcond=None)[0]
    return float(np.hypot(fit[0], fit[1]))
