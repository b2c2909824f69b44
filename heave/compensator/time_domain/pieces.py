"""A long run cut into pieces that are stepped side by side, each led in through the heave before it.

While the bit stands on rock or is held, string and unit forget how they began at least as fast as the
string's slowest mode dies out. So a piece begins at rest some time before it counts, the block's movement
growing from nothing, and by then is where the whole run is. Block, rock and bit are counted from the
rock as the piece begins: that moves only the origin, so that hole made by then need not be made again.
A unit that hardly moves in its seals keeps for longer where it stuck: some hundredths of σ of its travel.

Hanging free, only the gas brings the hook back and seals let it wander for an hour; such runs stay whole, and
so does a single case, which plain numbers take through quicker.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator.time_domain.block_motion import BlockMotion
from heave.compensator.time_domain.case import SimulationCase
from heave.compensator.time_domain.heave_motion import HeaveMotion, grown
from heave.compensator.time_domain.string_model import StringModel
from heave.compensator.time_domain.summary import Summary

GROWTH: Final = 30.0
"""Time over which the movement of a piece grows from nothing [s]."""

FADING: Final = 3.0
"""Time constants of the slowest mode that a piece then runs before it counts: e⁻³ is left of its beginning."""

MOST_LANES: Final = 1000
"""Most pieces times cases: from here on it is the length of arrays that costs, not the number of calls."""

SHORTEST: Final = 2.0
"""Shortest piece over its lead-in, so that most of the work counts."""


@dataclass(frozen=True, eq=False)
class Cut:
    """Pieces of n cases, each a column: first the first piece of every case.

    pieces : how many; shift : level of the rock from which a piece counts its positions, (pieces × n,) [m]
    """

    pieces: int
    case: SimulationCase
    heave: HeaveMotion
    block: BlockMotion
    shift: FloatArray


def lead_in(model: StringModel) -> float:
    """How long a piece runs before it counts: `GROWTH`, then `FADING` × 2/(η ω₁) of the slowest mode [s].

    Parameters
    ----------
    model : string and hook
    """
    rate = float(np.diag(model.damping)[:-1].min()) / 2
    return GROWTH + FADING / rate if rate > 0 else np.inf


def cut(model: StringModel, case: SimulationCase, heave: HeaveMotion, block: BlockMotion) -> Cut | None:
    """The run in as many equal pieces as are worth it, or None where it must stay whole.

    Parameters
    ----------
    model, case, heave : as for simulate_cases
    block : movement of the block over the whole run
    """
    lead = max(lead_in(model), heave.lead)
    samples = round(heave.duration / heave.step)
    most = min(MOST_LANES // heave.cases, int(heave.duration / (SHORTEST * lead)))
    if case.contact == "none" or heave.cases == 1 or most < 2:
        return None
    pieces = next(n for n in range(most, 0, -1) if samples % n == 0)
    if pieces == 1:
        return None
    before, length = int(np.ceil(lead / heave.step)), samples // pieces
    starts = [round(heave.lead / heave.step) + n * length - before for n in range(pieces)]
    rows = before + length + 1

    def columns(values: FloatArray) -> FloatArray:
        """Every piece of `values` (nt, k) as columns (rows, pieces × k); nothing before the beginning."""
        found = np.zeros((rows, pieces, values.shape[1]))
        for n, start in enumerate(starts):
            found[max(-start, 0) :, n] = values[max(start, 0) : start + rows]
        return found.reshape(rows, -1)

    def moved(motion: HeaveMotion, origin: FloatArray) -> HeaveMotion:
        """Every piece of a motion, measured from `origin`; all but the first grow from nothing."""
        place, rate = columns(motion.position) - np.repeat(origin, motion.cases), columns(motion.velocity)
        early = slice(0, round(GROWTH / motion.step)), slice(motion.cases, None)
        growing = grown(place[early], rate[early], motion.step, GROWTH)
        place[early], rate[early] = growing.position, growing.velocity
        return HeaveMotion(motion.step, place, rate, before * motion.step)

    level = columns(block.level)
    origin = level[0].copy()

    return Cut(
        pieces,
        _tiled(case, heave.cases, pieces),
        moved(heave, 0.0 * origin),
        BlockMotion(
            moved(block.offset, origin),
            level - origin,
            None if block.drive is None else moved(block.drive, 0.0 * origin),
        ),
        np.repeat(origin, heave.cases),
    )


def joined(found: Summary, pieces: int) -> Summary:
    """The summary of whole runs from that of their pieces.

    Parameters
    ----------
    found : of pieces × n columns
    pieces : how many
    """

    def over(values: FloatArray, how: Callable[..., Any]) -> FloatArray:
        return np.asarray(how(values.reshape(pieces, -1), axis=0))

    highest, lowest, mean = (
        {name: over(values, how) for name, values in each.items()}
        for each, how in ((found.highest, np.max), (found.lowest, np.min), (found.mean, np.mean))
    )
    apart = {name: found.mean[name] - np.tile(mean[name], pieces) for name in mean}
    return Summary(
        highest=highest,
        lowest=lowest,
        mean=mean,
        sigma={
            name: np.sqrt(over(values**2 + apart[name] ** 2, np.mean)) for name, values in found.sigma.items()
        },
        lift_off_share=over(found.lift_off_share, np.mean),
        lift_offs=over(found.lift_offs, np.sum),
        stop_share=over(found.stop_share, np.mean),
        stop_hits=over(found.stop_hits, np.sum),
        stuck_share=over(found.stuck_share, np.mean),
        steps=pieces * found.steps,
    )


def _tiled(case: SimulationCase, cases: int, pieces: int) -> SimulationCase:
    """The case with values that differ between cases repeated for every piece."""
    values: dict[str, Any] = {item.name: getattr(case, item.name) for item in fields(case)}
    repeated: dict[str, Any] = {k: np.tile(v, pieces) for k, v in values.items() if np.size(v) == cases}
    return replace(case, **repeated)
