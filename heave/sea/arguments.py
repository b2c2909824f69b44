"""Checking of numbers and arrays of numbers at the door of the sea functions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray
from heave.errors import InputError
from heave.fields import range_in_words
from heave.sea.peaked import Rows, densities
from heave.units import Unit

MAX_HS: Final = 25.0
"""Greatest significant wave height of a sea, all its systems together, and so of each of them [m]."""

ALL_TOGETHER: Final = f"at most {MAX_HS:g}\u00a0m, all systems together"
"""What is allowed of a sea's height, in words."""

_ROUNDING: Final = 1e-9
"""Share of `MAX_HS` by which a sum of squares may pass it."""


def too_high(hs: npt.ArrayLike) -> BoolArray:
    """Where total significant wave heights `hs`, any shape [m], are above `MAX_HS`; a missing one is not."""
    return np.greater(hs, MAX_HS * (1.0 + _ROUNDING))


def array(
    value: npt.ArrayLike,
    what: str,
    unit: str | None,
    *,
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
    missing: bool = True,
) -> FloatArray:
    """`value` as floats within bounds; NaN stands for a missing number and passes where `missing` is True.

    Raises
    ------
    InputError
        If anything is not a number, is infinite, lies outside the bounds, or is missing where it may not be.
    """

    def refused(given: Any) -> InputError:
        return InputError(what, given, unit, range_in_words(above, low, None, high, Unit(unit or "", 1.0)))

    try:
        numbers = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise refused(value) from error
    if numbers.size:
        # Most arrays are good, which their ends tell; a comparison with NaN is false.
        least, most = numbers.min(), numbers.max()
        inside = (low is None or least >= low) and (high is None or most <= high)
        if inside and (above is None or least > above) and -np.inf < least and most < np.inf:
            return numbers
    bad = np.isinf(numbers) if missing else ~np.isfinite(numbers)
    for outside, bound in ((np.less, low), (np.greater, high), (np.less_equal, above)):
        if bound is not None:
            bad |= outside(numbers, bound)
    if bad.any():
        raise refused(float(numbers[bad].flat[0]))
    return numbers


def number(
    value: float,
    what: str,
    unit: str | None,
    *,
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
) -> float:
    """One finite number within bounds; raises InputError otherwise."""
    found = array(value, what, unit, low=low, high=high, above=above, missing=False)
    if found.ndim != 0:
        raise InputError(what, value, unit, "one number")
    return float(found)


def height_of(hs: npt.ArrayLike) -> FloatArray:
    """Significant wave heights, 0 to 25 m or missing [m]."""
    return array(hs, "significant wave height", "m", low=0.0, high=MAX_HS)


def peak_of(tp: npt.ArrayLike) -> FloatArray:
    """Peak periods, above 0 s or missing [s]."""
    return array(tp, "peak period", "s", above=0.0)


def together(*values: FloatArray) -> tuple[FloatArray, ...]:
    """Arrays brought to one shape; raises InputError where their lengths differ."""
    try:
        return tuple(np.asarray(value) for value in np.broadcast_arrays(*values))
    except ValueError as error:
        shapes = ", ".join(str(value.shape) for value in values)
        raise InputError("sea parameters", f"shapes {shapes}", None, "arrays of one length") from error


def frequencies(omega: npt.ArrayLike) -> FloatArray:
    """Angular frequencies in any order, positive and finite, a scalar as one of them, shape (nω,) [rad/s]."""
    found = array(omega, "angular frequency", "rad/s", above=0.0, missing=False)
    if found.ndim > 1:
        raise InputError("angular frequency", f"array of shape {found.shape}", "rad/s", "one axis")
    return np.atleast_1d(found)


def as_asked(parts: Sequence[Rows], omega: npt.ArrayLike, parameters: npt.ArrayLike) -> FloatArray:
    """Densities of all parts together, shape (n, nω), without the axis of whatever was asked for as a scalar."""
    ordinates = densities(parts, frequencies(omega))
    rows = ordinates if np.ndim(parameters) else ordinates[0]
    return rows if np.ndim(omega) else np.asarray(rows[..., 0])
