"""A measured heave record against what is predicted for the plan's sea: spectrum, σ, Tz and their ratio."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.compensator import GasUnit
from heave.compensator.time_domain.heave_motion import MEASURED_STEP
from heave.errors import InputError
from heave.fields import Quantity
from heave.formula import Step, Term
from heave.judging.demands import calibrated_spectrum
from heave.planning.plan import CALIBRATION_RANGE, LARGEST_MARGIN, Plan
from heave.sea import OMEGA, mean_period, moment
from heave.units import show

SHORTEST_RECORD: Final = 600.0
"""Shortest record that may calibrate [s]: below some fifty waves σ itself is not known to 10 %."""


PIECE: Final = 200.0
"""Length of the pieces whose spectra are averaged [s], which sets the width of a band, 0.03 rad/s."""

SAFE_END: Final = 1.645
"""Standard errors from the ratio to the end that it exceeds in 5 of 100 records: normal distribution."""

TOLD_APART: Final = 2.0
"""Standard errors that the ratio must be away from 1 to be more than chance: 95 %, normal distribution."""

FACTOR_DECIMALS: Final = 3
"""Decimals of the factor offered, so that the plan holds what the screen shows."""

STROKES: Final = 2.0
"""Travel of a record, in strokes of the compensator, past which it is hardly from this unit."""

FAR: Final = 3.0
"""Measured over predicted deviation past which a record is hardly of the plan's sea."""

_FEWEST_PIECES: Final = 5


@dataclass(frozen=True, eq=False)
class Reconciliation:
    """Measured and predicted heave at the hoist; amplitudes single unless it says double.

    duration, step : of the record [s]
    sigma, significant, significant_double : standard deviation, 2σ and 4σ of the record [m]
    period : mean time between upward crossings of the mean [s]
    highest, lowest : of the record, from its mean [m]
    omega, spectrum : measured spectrum (nω,), averaged over overlapping pieces [rad/s], [m²·s]
    predicted_omega, predicted_spectrum : of the plan, without any calibration
    predicted_sigma, predicted_period : [m], [s]
    ratio : measured σ over predicted σ
    uncertainty : standard error of the ratio from the length of the record alone, as a share of it
    margin : share by which the ratio may be higher, one-sided at 95 %, to three decimals; the checks use that end
    factor : the ratio, to three decimals, where it may be used as the plan's heave calibration, otherwise None
    refused : why not, or nothing
    """

    duration: float
    step: float
    sigma: float
    significant: float
    significant_double: float
    period: float
    highest: float
    lowest: float
    omega: FloatArray
    spectrum: FloatArray
    predicted_omega: FloatArray
    predicted_spectrum: FloatArray
    predicted_sigma: float
    predicted_period: float
    ratio: float
    uncertainty: float
    margin: float
    factor: float | None
    refused: str

    @property
    def working(self) -> tuple[Step, ...]:
        """The ratio with its numbers."""
        return (
            Step(
                "factor",
                "{s_m} / {s_p}",
                {
                    "s_m": Term(self.sigma, "length", "standard deviation of the record"),
                    "s_p": Term(self.predicted_sigma, "length", "the same predicted for the plan's sea"),
                },
                Term(self.ratio, "number", "measured over predicted"),
            ),
        )


def reconcile(plan: Plan, position: npt.ArrayLike, step: float) -> Reconciliation:
    """Compare a record with what the plan predicts at its hoist, in its own sea and heading.

    Mean and straight trend are taken out. The spectrum is the average over half-overlapping pieces of
    about 200 s under a Hann window (Welch, IEEE Trans. Audio Electroacoustics AU-15, 1967), brought to the
    variance of the record. Standard error of σ from a record of length T of a Gaussian process:
    √(2π ∫S² dω/T)/(2 m0) (Bendat and Piersol, Random Data, variance of a mean-square estimate). A ratio
    that is not TOLD_APART of them from 1 is refused as a calibration.

    Parameters
    ----------
    plan : vessel, heading and sea of the hour of the record; its calibration is not used
    position : heave at the hoist (nt,), up positive [m]
    step : time between values, 0.01 to 2 [s]

    Returns
    -------
    Reconciliation

    Raises
    ------
    InputError
        If the record is shorter than 10 min, has no motion, or a value is not finite.
    """
    measured = np.asarray(position, dtype=np.float64)
    if measured.ndim != 1 or not np.all(np.isfinite(measured)):
        raise InputError("heave record", f"shape {measured.shape}", "m", "finite values, one a time")
    MEASURED_STEP.check(step)
    duration = (len(measured) - 1) * step
    Quantity("length of the record", "period", low=SHORTEST_RECORD).check(duration)
    heave = _steadied(measured, step)
    sigma = float(heave.std())
    if sigma <= 1e-6:
        raise InputError("heave record", sigma, "m", "a record that moves")
    omega, spectrum = _spectrum(heave, step)
    predicted = _predicted(plan)
    m0 = moment(predicted, 0)
    expected = math.sqrt(float(m0))
    ratio = sigma / expected if expected > 0 else math.inf
    spread = 2 * math.pi * float(np.sum(spectrum**2)) * (omega[1] - omega[0]) / duration
    uncertainty = math.sqrt(spread) / (2 * sigma**2)
    refused = _refusal(ratio, uncertainty)
    return Reconciliation(
        duration=duration,
        step=step,
        sigma=sigma,
        significant=2 * sigma,
        significant_double=4 * sigma,
        period=_crossing_period(heave, step),
        highest=float(heave.max()),
        lowest=float(heave.min()),
        omega=omega,
        spectrum=spectrum,
        predicted_omega=OMEGA,
        predicted_spectrum=predicted,
        predicted_sigma=expected,
        predicted_period=float(mean_period(m0, moment(predicted, 2))),
        ratio=ratio,
        uncertainty=uncertainty,
        margin=round(SAFE_END * uncertainty, FACTOR_DECIMALS),
        factor=None if refused else round(ratio, FACTOR_DECIMALS),
        refused=refused,
    )


def unlike(plan: Plan, position: npt.ArrayLike, step: float, system: str = "metric") -> tuple[str, ...]:
    """Why a record is hardly from the unit and the sea of a plan, in sentences; empty where nothing speaks against it.

    A travel over STROKES strokes of the compensator, or a deviation over FAR times the predicted one.

    Parameters
    ----------
    plan : unit, vessel, heading and sea
    position : heave at the hoist (nt,), up positive [m]
    step : time between values [s]
    system : unit system of the sentences
    """
    heave = _steadied(np.asarray(position, dtype=np.float64), step)
    travel, unit = float(np.ptp(heave)), plan.compensator
    sigma, expected = float(heave.std()), math.sqrt(float(moment(_predicted(plan), 0)))

    def length(value: float) -> str:
        return show(value, "length", system)

    found = []
    if isinstance(unit, GasUnit) and travel > STROKES * unit.stroke:
        found.append(
            f"It travels {length(travel)} from its lowest to its highest value; the compensator strokes "
            f"{length(unit.stroke)}, and no crew works with more than {STROKES:g} strokes."
        )
    if sigma > FAR * expected:
        found.append(
            f"Its significant heave is {length(4 * sigma)}, double amplitude; the sea and heading of this plan give "
            f"{length(4 * expected)}."
        )
    return tuple(found)


def _predicted(plan: Plan) -> FloatArray:
    """Heave spectrum of a plan at its hoist without any calibration (nω,) [m²·s]."""
    return calibrated_spectrum(plan.changed(heave_calibration=1.0, calibration_margin=0.0))


def _steadied(measured: FloatArray, step: float) -> FloatArray:
    """A record without its mean and straight trend."""
    time = np.arange(len(measured)) * step
    return np.asarray(measured - np.polyval(np.polyfit(time, measured, 1), time))


def _refusal(ratio: float, uncertainty: float) -> str:
    low, high = CALIBRATION_RANGE
    error = uncertainty * ratio
    if low <= ratio <= high:
        if abs(ratio - 1) > TOLD_APART * error and SAFE_END * uncertainty <= LARGEST_MARGIN:
            return ""
        return (
            "The record is too short for so small a change: that is no more than chance alone may make of it. No "
            "calibration is called for; record for longer, or widen the range of the heave response."
        )
    return (
        f"Measured over predicted is outside {low:g} to {high:g}: that is no calibration. Look for the cause first: "
        "the sea, the heading or the draught of another hour, the unit or the sign of the record, a sensor away "
        "from the hoist."
    )


def _crossing_period(heave: FloatArray, step: float) -> float:
    """Mean time between upward zero crossings, each placed by straight line between samples [s]."""
    up = np.flatnonzero((heave[:-1] < 0) & (heave[1:] >= 0))
    if len(up) < 2:
        raise InputError("heave record", f"{len(up)} waves", None, "several waves")
    places = up + heave[up] / (heave[up] - heave[up + 1])
    return float((places[-1] - places[0]) / (len(up) - 1) * step)


def _spectrum(heave: FloatArray, step: float) -> tuple[FloatArray, FloatArray]:
    """One-sided spectrum over angular frequency, its area the variance of `heave`."""
    wanted = min(round(PIECE / step), 2 * len(heave) // (_FEWEST_PIECES + 1))
    size = wanted - wanted % 2
    window = np.hanning(size)
    starts = range(0, len(heave) - size + 1, size // 2)
    pieces = np.stack([heave[start : start + size] for start in starts])
    power = np.abs(np.fft.rfft((pieces - pieces.mean(axis=1)[:, None]) * window, axis=1)) ** 2
    omega = np.asarray(2 * math.pi * np.fft.rfftfreq(size, step), dtype=np.float64)
    density = power.mean(axis=0)
    return omega, np.asarray(density * heave.var() / (density.sum() * omega[1]))
