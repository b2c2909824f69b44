"""Widths of the frequency bands of a buoy spectrum from the centres its file prints.

The files give centres only, rounded to a thousandth. The analysis averages a fine spectrum into bands that
touch, of a few widths in runs. Taking differences of the printed centres instead gives the bands at a change
of width 0.006 or 0.0125 Hz where they have 0.005, 0.010 or 0.020 Hz, and takes rounding for width.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from heave.errors import FileError
from heave.files.columns import parse_number

LOWEST_BAND: Final = 0.0200
LOWEST_BAND_WIDTH: Final = 0.010
"""The band at 0.0200 Hz stands apart from the next at 0.0325 Hz and is 0.010 Hz wide (NDBC, from memory)."""

MAX_FREQUENCY: Final = 2.0
"""Highest band centre read [Hz]."""

MAX_BANDS: Final = 256
"""Most bands a spectrum may have."""

MAX_CHANGES: Final = 4
"""Most changes of width from one run of bands to the next."""

_STEP: Final = 0.0005
"""Band widths are multiples of this [Hz], unless the steps themselves say otherwise."""


@dataclass(frozen=True, order=True)
class _Tiling:
    """Bands laid side by side so far: fewest changes first, then round widths, then most room left."""

    changes: int
    odd: int
    tightness: float
    low: float
    high: float
    widths: tuple[float, ...]


def band_widths(centres: Sequence[str]) -> tuple[float, ...]:
    """Width of each band from printed `centres`, such as "0.093", "0.100".

    Rule: bands lie side by side without gap or overlap, their middles within half a unit of the last
    printed digit of the printed centres, and the width changes as seldom as that allows, at most MAX_CHANGES
    times. For the 46 centres 0.033 … 0.093, 0.100 … 0.350, 0.365 … 0.485 Hz this gives the widths NDBC
    uses: 0.005, 0.010 and 0.020 Hz.

    Parameters
    ----------
    centres : band centres as printed, ascending [Hz]

    Returns
    -------
    Widths [Hz], one a band

    Raises
    ------
    FileError
        If a centre is not a frequency, they do not ascend, there are fewer than 3 or more than MAX_BANDS, or
        no such widths fit.
    """
    if not 3 <= len(centres) <= MAX_BANDS:
        raise FileError("number of bands", len(centres), None, f"from 3 to {MAX_BANDS}")
    numbers = [parse_number(centre, "band frequency") for centre in centres]
    for low, high in itertools.pairwise([0.0, *numbers]):
        if not low < high <= MAX_FREQUENCY:
            allowed = f"above {low:g}, ascending, to {MAX_FREQUENCY:g}"
            raise FileError("band frequency", high, "Hz", allowed)
    if numbers[0] == LOWEST_BAND and len(numbers) > 3 and 0.0324 < numbers[1] < 0.0331:
        return (LOWEST_BAND_WIDTH, *_side_by_side(numbers[1:], _rounding(centres)))
    return _side_by_side(numbers, _rounding(centres))


def _rounding(centres: Sequence[str]) -> float:
    """Half a unit of the last digit printed [Hz], from the centre with most digits, and a hair.

    Zeros at the end are digits of a plain number; of one with an exponent, such as 3.3000e-02, they are its form only.
    """
    digits = 0
    for centre in centres:
        number = Decimal(centre).normalize() if "e" in centre.lower() else Decimal(centre)
        digits = max(digits, -int(number.as_tuple().exponent))
    return max(0.501 * 10.0**-digits, 1e-7)


def _side_by_side(numbers: Sequence[float], rounding: float) -> tuple[float, ...]:
    """The tiling of fewest changes, by dynamic programming over the bands, one best tiling a width."""
    widths = _candidates(numbers, rounding)
    best = [_Tiling(0, 0, 0.0, 0.0, math.inf, ())]
    for number in numbers:
        grown: dict[float, _Tiling] = {}
        for tiling, width in itertools.product(best, widths):
            longer = _laid(tiling, number, width, rounding)
            if longer is not None and (width not in grown or longer < grown[width]):
                grown[width] = longer
        if not grown:
            allowed = f"bands side by side, of at most {MAX_CHANGES + 1} widths in runs"
            raise FileError("band frequency", number, "Hz", allowed)
        best = list(grown.values())
    return min(best).widths


def _laid(tiling: _Tiling, number: float, width: float, rounding: float) -> _Tiling | None:
    """`tiling` with one more band, or None where its middle would miss the printed centre.

    `low` and `high` bound where the upper edge of the last band may be.
    """
    changes = tiling.changes + (bool(tiling.widths) and tiling.widths[-1] != width)
    low = max(tiling.low, number - rounding - width / 2)
    high = min(tiling.high, number + rounding - width / 2)
    if changes > MAX_CHANGES or low > high:
        return None
    odd = tiling.odd + (abs(width / _STEP - round(width / _STEP)) > 1e-6)
    return _Tiling(changes, odd, low - high, low + width, high + width, (*tiling.widths, width))


def _candidates(numbers: Sequence[float], rounding: float) -> tuple[float, ...]:
    """Widths worth trying: each step as a multiple of 0.0005 Hz, as it is, and one width for all bands.

    One width w fits all when every pair of centres allows it: |f_j − f_i − (j − i) w| ≤ twice the rounding.
    """
    steps = [high - low for low, high in itertools.pairwise(numbers)]
    found = {round(round(step / _STEP) * _STEP, 9) for step in steps} | {round(step, 7) for step in steps}
    pairs = list(itertools.combinations(enumerate(numbers), 2))
    least = max((high - low - 2 * rounding) / (j - i) for (i, low), (j, high) in pairs)
    most = min((high - low + 2 * rounding) / (j - i) for (i, low), (j, high) in pairs)
    if least <= most:
        found.add(round((least + most) / 2, 8))
    return tuple(sorted(width for width in found if width > 0))
