"""Widths of the frequency bands of a buoy spectrum from the centres its file prints.

The files give centres only, rounded to a thousandth. The analysis averages a fine spectrum into bands that
touch, so each band has the width of a run of equal steps and neighbours meet at a common edge. Taking
differences of the printed centres instead gives the bands at a change of width 0.006 or 0.0075 Hz where they
have 0.005 or 0.010 Hz.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Final

from heave.errors import FileError
from heave.files.columns import parse_number

LOWEST_BAND: Final = 0.0200
LOWEST_BAND_WIDTH: Final = 0.010
"""The band at 0.0200 Hz stands apart from the next at 0.0325 Hz and is 0.010 Hz wide (NDBC, from memory)."""

MAX_FREQUENCY: Final = 2.0
"""Highest band centre read [Hz]."""

_STEP: Final = 0.0005
"""Band widths are multiples of this [Hz]."""


def band_widths(centres: Sequence[str]) -> tuple[float, ...]:
    """Width of each band from printed `centres`, such as "0.093", "0.100".

    Rule: a band is as wide as the step to one of its neighbours, and neighbours must meet,
    |f_(i+1) − f_i − (w_i + w_(i+1))/2| ≤ one unit of the last printed digit; among the choices the one that
    meets best is taken. For the 46 centres 0.033 … 0.093, 0.100 … 0.350, 0.365 … 0.485 Hz this gives
    the widths NDBC uses: 0.005, 0.010 and 0.020 Hz.

    Parameters
    ----------
    centres : band centres as printed, ascending [Hz]

    Returns
    -------
    Widths [Hz], one a band

    Raises
    ------
    FileError
        If a centre is not a frequency, they do not ascend, or no such widths make the bands meet.
    """
    numbers = [parse_number(centre, "band frequency") for centre in centres]
    if len(numbers) < 3:
        raise FileError("number of bands", len(numbers), None, "at least 3")
    for low, high in zip([0.0, *numbers], numbers, strict=False):
        if not low < high <= MAX_FREQUENCY:
            allowed = f"above {low:g}, ascending, to {MAX_FREQUENCY:g}"
            raise FileError("band frequency", high, "Hz", allowed)
    if numbers[0] == LOWEST_BAND and len(numbers) > 3 and 0.0324 < numbers[1] < 0.0331:
        return (LOWEST_BAND_WIDTH, *_meeting(numbers[1:], _resolution(centres)))
    return _meeting(numbers, _resolution(centres))


def _resolution(centres: Sequence[str]) -> float:
    """One unit of the last digit printed [Hz], from the centre with most digits."""
    return max(10.0 ** -max(len(centre.partition(".")[2]) for centre in centres), 1e-6)


def _meeting(numbers: Sequence[float], resolution: float) -> tuple[float, ...]:
    """Cheapest choice of a neighbour's step for each band, by dynamic programming over the bands."""
    steps = [_rounded(high - low, resolution) for low, high in itertools.pairwise(numbers)]
    choices = [
        tuple({left, right}) for left, right in zip([steps[0], *steps], [*steps, steps[-1]], strict=True)
    ]
    limit = 1.01 * resolution
    costs: dict[float, tuple[float, tuple[float, ...]]] = {w: (0.0, (w,)) for w in choices[0]}
    for place, options in enumerate(choices[1:]):
        gap = numbers[place + 1] - numbers[place]
        following: dict[float, tuple[float, tuple[float, ...]]] = {}
        for width in options:
            for before, (cost, path) in costs.items():
                error = abs(gap - (before + width) / 2)
                total = cost + error if error <= limit else math.inf
                if math.isfinite(total) and total < following.get(width, (math.inf, ()))[0]:
                    following[width] = (total, (*path, width))
        if not following:
            allowed = "bands that meet their neighbours; give a file with equal steps in runs"
            raise FileError("band frequency", numbers[place + 1], "Hz", allowed)
        costs = following
    return min(costs.values())[1]


def _rounded(step: float, resolution: float) -> float:
    """The width a step between printed centres stands for: a multiple of 0.0005 Hz within rounding."""
    near = round(step / _STEP) * _STEP
    return round(near if near > 0 and abs(near - step) <= 0.5 * resolution else step, 9)
