"""Many seas at once: rows of wave systems, and their spectra on the grid.

A batch is the only way spectra reach the response calculation; one sea is a batch of one. What many seas are
computed with is written block by block in single precision (`SeaBatch.write`), which is right to 1e-6 of a
density and three times as quick; what is shown is in double precision (`SeaBatch.spectra`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray, Floats
from heave.errors import InputError
from heave.sea.arguments import MAX_HS, number
from heave.sea.dispersion import DEEPEST, SHALLOWEST, tma_factor
from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.peaked import Axis, add_up, densities
from heave.sea.slots import MeasuredSlot, Picked, Slot, joined, row_of

_NOT_FELT: Final = 1e-9
"""Share of a density that depth must take to be counted."""


class SlotSpectra(NamedTuple):
    """Spectra of one slot of a batch."""

    ordinates: FloatArray
    """Density on OMEGA, shape (n, nω) [m²·s]."""
    direction_from: FloatArray
    """Mean direction the waves come from, shape (n,) [degrees]."""
    spreading: str
    exponent: float


@dataclass(frozen=True, eq=False)
class SeaBatch:
    """Seas that share their slots: one SystemSlot or MeasuredSlot for each system, and one water depth.

    Parameters
    ----------
    slots : one for each wave system, all of the same size
    depth : water depth, from 5 [m]; None is deep water
    """

    slots: tuple[Slot, ...]
    depth: float | None = None

    def __post_init__(self) -> None:
        if not self.slots:
            raise InputError("sea states", "no wave system", None, "at least one wave system")
        if any(slot.size != self.slots[0].size for slot in self.slots):
            sizes = ", ".join(str(slot.size) for slot in self.slots)
            raise InputError("sea states", f"slots of {sizes} seas", None, "slots of one size")
        if self.depth is not None:
            number(self.depth, "water depth", "m", low=SHALLOWEST, high=DEEPEST)

    @property
    def size(self) -> int:
        """Number of seas."""
        return self.slots[0].size

    @property
    def hs(self) -> FloatArray:
        """Total significant wave height √ΣHs², shape (n,) [m]."""
        total: FloatArray = np.sqrt(np.sum([slot.hs**2 for slot in self.slots], axis=0))
        return total

    def take(self, rows: Picked) -> SeaBatch:
        """The batch of the chosen seas: `rows` is a slice, indices or a mask, shape (n,)."""
        return replace(self, slots=tuple(slot.take(rows) for slot in self.slots))

    def spectra(self) -> list[SlotSpectra]:
        """Spectra of every slot on OMEGA, in double precision: for a few seas, to be shown.

        In water of finite depth each system is multiplied by the TMA factor and brought back to its own
        height; a measured spectrum already holds what the depth did to it.

        Returns
        -------
        One SlotSpectra for each slot.
        """
        found = []
        for slot in self.slots:
            rows = densities(slot.parts, OMEGA)
            self._lower(rows, slot, slice(None), OMEGA)
            found.append(SlotSpectra(rows, slot.direction_from, slot.spreading, slot.spreading_exponent))
        return found

    @property
    def felt_from(self) -> float:
        """Frequency below which no system of any sea is felt [rad/s], see `heave.sea.peaked.Rows`."""
        return min(part.felt_from for slot in self.slots for part in slot.parts)

    def write(self, place: int, axis: Axis, rows: slice, memory: Floats, scratch: Floats) -> Floats:
        """Spectra of some seas of the slot at `place`, as `spectra` has them but in memory that is used again.

        Parameters
        ----------
        place : index of the slot
        axis : neighbouring points of OMEGA
        rows : which seas, at most as many as the memory holds
        memory, scratch : from `Axis.memory`; the answer lies in `memory`

        Returns
        -------
        Density, shape (rows, nω) [m²·s].
        """
        slot = self.slots[place]
        found = add_up(slot.parts, axis, rows, memory, scratch)
        self._lower(found, slot, rows, axis.omega)
        return found

    def _lower(self, rows: Floats, slot: Slot, picked: slice, omega: FloatArray) -> None:
        """Take from spectra of some seas of a slot what finite depth takes, and bring them back to their heights."""
        if self.depth is None or isinstance(slot, MeasuredSlot):
            return
        first = int(np.searchsorted(OMEGA, omega[0]))
        lost = _lost_to(self.depth)[first : first + omega.size]
        felt = int(np.searchsorted(-lost, -_NOT_FELT))  # the factor rises with frequency
        if felt:
            part, share = rows[:, :felt], lost[:felt].astype(rows.dtype)
            width = WEIGHTS[first : first + felt].astype(rows.dtype)
            energy = np.square(slot.hs[picked]) / 16.0
            left = energy - part @ (share * width)
            part *= 1.0 - share
            again = np.divide(energy, left, out=np.ones_like(left), where=left > 0.0)
            rows *= again[:, None].astype(rows.dtype)

    def times(self, factor: npt.ArrayLike) -> SeaBatch:
        """Every system of every sea with its height times `factor`, scalar or shape (n,); periods held."""
        shares = np.asarray(factor, dtype=np.float64)
        return replace(self, slots=tuple(slot.times(shares) for slot in self.slots))

    def stretched(self, factor: float) -> SeaBatch:
        """Every system of every sea with its periods times `factor` [-]; heights and directions held.

        A peak period stays within `PERIOD_RANGE`.
        """
        return replace(self, slots=tuple(slot.stretched(factor) for slot in self.slots))

    def scaled(self, slot_hs: npt.ArrayLike, place: int = 0) -> SeaBatch:
        """A batch of this one sea with the height of one slot replaced by each value.

        Periods are held, as are the other slots; a peak factor by rule follows the height.

        Parameters
        ----------
        slot_hs : heights, shape (m,), 0 to 25 [m]
        place : which slot

        Raises
        ------
        InputError
            If the batch holds more than one sea, or a height is outside its range.
        """
        heights = row_of(slot_hs, "significant wave height", "m", 0.0, MAX_HS)
        slots = list(self.repeated(heights.size).slots)
        slots[place] = self.slots[place].scaled(heights)
        return replace(self, slots=tuple(slots))

    def repeated(self, count: int) -> SeaBatch:
        """This one sea `count` times.

        Raises
        ------
        InputError
            If the batch holds more than one sea.
        """
        if self.size != 1:
            raise InputError("sea states to scale", self.size, None, "exactly one sea")
        return self.take(np.zeros(count, dtype=np.int64))

    @classmethod
    def stack(cls, batches: Sequence[SeaBatch]) -> SeaBatch:
        """Join batches with the same slots (shape, width, spreading) and depth, end to end.

        Raises
        ------
        InputError
            If there are none, or their slots or depths differ.
        """
        if not batches:
            raise InputError("sea states", "none", None, "at least one sea state")
        alike = [(batch.depth, *(slot.alike() for slot in batch.slots)) for batch in batches]
        if any(other != alike[0] for other in alike):
            allowed = "sea states with the same systems, shapes, spreading and depth"
            raise InputError("sea states", "a mixture", None, allowed)
        slots = tuple(map(joined, zip(*(batch.slots for batch in batches), strict=True)))
        return cls(slots, batches[0].depth)


@lru_cache(maxsize=64)
def _lost_to(depth: float) -> FloatArray:
    """Share of a density that water of `depth` [m] takes, on OMEGA."""
    return 1.0 - tma_factor(OMEGA, depth)
