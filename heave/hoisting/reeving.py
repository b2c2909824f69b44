"""Reeving: what each part of the drilling line pulls, and what that puts on crown and derrick.

The line runs from the drum over the crown (fast line), N times between crown and block, and from the crown down to
its anchor (dead line). Every sheave that turns takes the share 1 − 1/K of the pull that comes to it. The sheave of
the dead line does not turn. Source: API RP 9B, whose formulas follow from the balance of forces at each sheave.
"""

from __future__ import annotations

from typing import Final, Literal, get_args

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Choice, Quantity
from heave.quantities import LINES

Motion = Literal["hoisting", "holding", "lowering"]
"""What the block does. Holding, the line is taken to share the load evenly: friction could keep it either way."""

MOTIONS: Final[tuple[Motion, ...]] = get_args(Motion)

Bearing = Literal["roller", "plain"]
"""Bearings of the sheaves."""

BEARINGS: Final[tuple[Bearing, ...]] = get_args(Bearing)

SHEAVE_FACTOR: Final[dict[Bearing, float]] = {"roller": 1.04, "plain": 1.09}
"""Pull on one side of a turning sheave over the other, K, by bearing (API RP 9B)."""

_FACTOR: Final = Quantity("sheave factor", "number", above=1.0, high=1.3)
_MOTION: Final = Choice("motion of the block", MOTIONS)


def efficiency(lines: int, sheave_factor: float = 1.04) -> float:
    """Efficiency of the reeving while hoisting, a sheave for each line, E = (K^N − 1)/(K^N N (K − 1)) (API RP 9B).

    Parameters
    ----------
    lines : N to the block, even, 2 to 20
    sheave_factor : K, above 1: 1.04 for roller bearings, 1.09 for plain ones

    Raises
    ------
    InputError
        For lines that are odd or outside 2–20, or a sheave factor of 1 (no friction) or below, or over 1.3.
    """
    _check(lines, sheave_factor)
    return float((sheave_factor**lines - 1) / (sheave_factor**lines * lines * (sheave_factor - 1)))


def line_pulls(
    load: npt.ArrayLike, lines: int, sheave_factor: float = 1.04, motion: Motion = "hoisting"
) -> FloatArray:
    """Pull in every part of the line: fast line first, then the N lines to the block, then the dead line.

    Hoisting, the fast line pulls load/(N E) and each sheave leaves 1/K of it; lowering, the pull grows by K at each
    sheave instead; holding, every part has load/N. The lines to the block add up to the load.
    Source: API RP 9B; balance of forces at each sheave.

    Parameters
    ----------
    load : on the block, its own weight included, any shape [N]
    lines, sheave_factor : as `efficiency`
    motion : one of `MOTIONS`

    Returns
    -------
    Shape (..., N + 2) [N]

    Raises
    ------
    InputError
        As `efficiency`; or for an unknown motion.
    """
    _check(lines, sheave_factor)
    _MOTION.check(motion)
    factor = {"hoisting": 1 / sheave_factor, "holding": 1.0, "lowering": sheave_factor}[motion]
    shares = factor ** np.concatenate((np.arange(lines + 1), [lines]))
    return np.asarray(np.asarray(load, dtype=np.float64)[..., None] * shares / shares[1:-1].sum())


def crown_ratio(lines: int, line_kept: bool) -> float:
    """Travel of the block for a travel of a crown that moves, which is load under the crown over load on the block.

    (N + 2)/N where the fast and the dead line run from the moving crown straight to the floor: they pull on it as two
    more lines, and what they give the block follows. 1 where sheaves on arms keep the line's length. From the length
    of the line and the balance of work without friction; the sum of forces on the crown gives the same.

    Source: derived here, no published table; by definition of the lines' length.

    Parameters
    ----------
    lines : N to the block
    line_kept : whether sheaves on arms keep the line's length while the crown moves

    Raises
    ------
    InputError
        For lines that are odd or outside 2–20.
    """
    _check(lines)
    return 1.0 if line_kept else (lines + 2) / lines


def _check(lines: int, sheave_factor: float = 1.04) -> None:
    LINES.check(lines)
    if lines % 2:
        raise InputError(LINES.label, lines, None, f"an even number from {LINES.low} to {LINES.high}")
    _FACTOR.check(sheave_factor)
