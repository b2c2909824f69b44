"""How long a trip takes, from depth and stands an hour."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from heave import quantities
from heave.fields import Quantity
from heave.hoisting.line_work import STAND

DEPTH: Final = replace(quantities.DEPTH, label="Depth to trip")
RATE: Final = Quantity("Stands an hour, connections included", "number", low=0.5, high=120.0)


def trip_time(depth: float, stand_length: float, stands_an_hour: float) -> float:
    """Time to pull or run a string over `depth`: whole stands, over stands an hour with connections [s].

    By definition; the rate is the rig's own and counts the time in slips.

    Parameters
    ----------
    depth : length of string to pull or run, from 0 to 15,000 [m]
    stand_length : length of one stand, from 3 to 60 [m]
    stands_an_hour : stands an hour, connections included, from 0.5 to 120

    Raises
    ------
    InputError
        If a figure is out of range.
    """
    for quantity, value in ((DEPTH, depth), (STAND, stand_length), (RATE, stands_an_hour)):
        quantity.check(value)
    stands = math.ceil(depth / stand_length - 1e-9)
    return stands / stands_an_hour * 3600.0
