"""Numbers and arrays of numbers at the door of the hoisting functions, and the quantities several of them take."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Quantity
from heave.units import unit_of

LOAD: Final = Quantity("load on the lines", "force", low=0.0, high=5e7)
SPEED: Final = Quantity("speed", "speed", low=0.0, high=100.0)
EFFICIENCY: Final = Quantity("efficiency of the lines and sheaves", "fraction", above=0.0, high=1.0)
DURATION: Final = Quantity("duration", "duration", low=0.0)
PERIOD: Final = Quantity("period", "period", above=0.0)
LENGTH: Final = Quantity("length", "length", low=0.0, high=20_000.0)


def held(value: npt.ArrayLike, about: Quantity) -> FloatArray:
    """`value` as floats, each held to `about`; NaN stands for a number that is not known and passes.

    Raises
    ------
    InputError
        If anything is not a number, is infinite or lies outside the bounds.
    """
    try:
        given = np.asarray(value)
    except ValueError:  # rows of different lengths
        given = np.asarray(None)
    if given.dtype.kind not in "fiu":
        raise InputError(about.label, value, unit_of(about.kind).symbol or None, about.allowed())
    numbers = given.astype(np.float64)
    known = numbers[~np.isnan(numbers)]
    if known.size:
        about.check(float(known.min()))
        about.check(float(known.max()))
    return numbers


def whole(value: float, about: Quantity) -> int:
    """`value` as a whole number within the bounds of `about`.

    Raises
    ------
    InputError
        If it is not.
    """
    about.check(value)
    if value != int(value):
        raise InputError(about.label, value, None, f"a whole number {about.allowed()}")
    return int(value)
