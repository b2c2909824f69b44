"""State of the sea in the words of the weather services."""

from __future__ import annotations

from typing import Final

import numpy as np

from heave.sea.arguments import number

_UPPER_BOUNDS: Final = (0.0, 0.1, 0.5, 1.25, 2.5, 4.0, 6.0, 9.0, 14.0)


def sea_state_code(hs: float) -> int:
    """State of the sea, 0 to 9, from the significant wave height.

    WMO code table 3700 (Manual on Codes, WMO-No. 306): 0: 0 m; 1: to 0.1; 2: to 0.5; 3: to 1.25; 4: to 2.5;
    5: to 4; 6: to 6; 7: to 9; 8: to 14; 9: above. A bounding height belongs to the lower code.

    Parameters
    ----------
    hs : significant wave height, from 0 [m]

    Raises
    ------
    InputError
        If the height is negative, infinite or no number.
    """
    return int(np.searchsorted(_UPPER_BOUNDS, number(hs, "significant wave height", "m", low=0.0)))
