"""Many seas at once: rows of wave systems, and their spectra on the grid.

A batch is the only way spectra reach the response calculation; one sea is a batch of one.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.sea.arguments import MAX_HS, array, number
from heave.sea.dispersion import SHALLOWEST, tma_factor
from heave.sea.grid import OMEGA, WEIGHTS, FloatArray
from heave.sea.peaked import MAX_GAMMA
from heave.sea.spectra import gaussian_swell, jonswap
from heave.sea.spreading import EXPONENT_RANGE, SPREADING_KINDS
from heave.sea.two_peak import ochi_hubble, torsethaugen

if TYPE_CHECKING:
    from heave.sea.systems import SeaState

SHAPES: Final = ("two-parameter", "jonswap", "torsethaugen", "ochi-hubble", "gaussian-swell")
"""Names of the spectral shapes."""

PERIOD_RANGE: Final = (2.0, 30.0)
"""Peak periods for which the grid keeps the height of a sea to 0.1 % [s]."""

Rows = slice | npt.NDArray[np.int64] | npt.NDArray[np.bool_]


class SlotSpectra(NamedTuple):
    """Spectra of one slot of a batch."""

    ordinates: FloatArray
    """Density on OMEGA, shape (n, nω) [m²·s]."""
    direction_from: FloatArray
    """Mean direction the waves come from, shape (n,) [degrees]."""
    spreading: str
    exponent: float


@dataclass(frozen=True, eq=False)
class SystemSlot:
    """One wave system in each sea of a batch; NaN marks a missing number, and Hs 0 a system not there.

    Parameters
    ----------
    hs : significant wave heights, shape (n,), 0 to 25 [m]
    tp : peak periods, shape (n,), 2 to 30 [s]
    direction_from : directions the waves come from, shape (n,) [degrees, compass]
    shape : one of SHAPES
    gamma : JONSWAP peak factor, 1 to 50, scalar or shape (n,); None takes the rule from Tp/√Hs [-]
    width : standard deviation of a Gaussian swell [Hz]
    spreading : 'long-crested', 'cos-n' or 'cos-2s'
    spreading_exponent : n or s [-]
    """

    hs: FloatArray
    tp: FloatArray
    direction_from: FloatArray
    shape: str = "jonswap"
    gamma: float | FloatArray | None = None
    width: float = 0.01
    spreading: str = "cos-n"
    spreading_exponent: float = 4.0

    def __post_init__(self) -> None:
        low, high = PERIOD_RANGE
        _set(self, "hs", _row(self.hs, "significant wave height", "m", low=0.0, high=MAX_HS))
        _set(self, "tp", _row(self.tp, "peak period", "s", low=low, high=high))
        _set(self, "direction_from", _row(self.direction_from, "wave direction", "°", low=0.0, high=360.0))
        if self.gamma is not None:
            if np.ndim(self.gamma):
                _set(self, "gamma", _row(self.gamma, "peak factor", None, low=1.0, high=MAX_GAMMA))
            else:
                number(float(self.gamma), "peak factor", None, low=1.0, high=MAX_GAMMA)
        _one_of(self.shape, "spectral shape", SHAPES)
        _check_spreading(self.spreading, self.spreading_exponent)
        _equal_lengths(self.hs, self.tp, self.direction_from)
        if isinstance(self.gamma, np.ndarray):
            _equal_lengths(self.hs, self.gamma)

    @property
    def size(self) -> int:
        """Number of seas."""
        return self.hs.size

    def take(self, rows: Rows) -> SystemSlot:
        """The slot of the chosen seas: `rows` is a slice, indices or a mask."""
        part = copy(self)  # rows of a checked slot need no second check
        for name in ("hs", "tp", "direction_from"):
            _set(part, name, getattr(self, name)[rows])
        if isinstance(self.gamma, np.ndarray):
            _set(part, "gamma", self.gamma[rows])
        return part

    def scaled(self, hs: FloatArray) -> SystemSlot:
        """The only sea of this slot at each height of `hs`, shape (m,) [m]; period and direction are held."""
        one = self.take(np.zeros(hs.size, dtype=np.int64))
        return replace(one, hs=hs)

    def ordinates(self, out: FloatArray | None = None) -> FloatArray:
        """Density on OMEGA, shape (n, nω) [m²·s]; worked in `out` where that is quicker."""
        if self.shape == "torsethaugen":
            return torsethaugen(OMEGA, self.hs, self.tp)
        if self.shape == "ochi-hubble":
            return ochi_hubble(OMEGA, self.hs)
        if self.shape == "gaussian-swell":
            return gaussian_swell(OMEGA, self.hs, self.tp, self.width)
        gamma = 1.0 if self.shape == "two-parameter" else self.gamma
        return jonswap(OMEGA, self.hs, self.tp, gamma, out=out)


@dataclass(frozen=True, eq=False)
class MeasuredSlot:
    """Measured spectra, one in each sea of a batch.

    Parameters
    ----------
    measured : density on OMEGA, shape (n, nω) [m²·s]
    direction_from : directions the waves come from, shape (n,) [degrees, compass]
    spreading : 'long-crested', 'cos-n' or 'cos-2s'
    spreading_exponent : n or s [-]
    """

    measured: FloatArray
    direction_from: FloatArray
    spreading: str = "cos-n"
    spreading_exponent: float = 4.0

    def __post_init__(self) -> None:
        rows = array(self.measured, "measured density", "m²·s", low=0.0)
        if rows.ndim != 2 or rows.shape[1] != OMEGA.size:
            raise InputError("measured density", f"shape {rows.shape}", None, f"shape (n, {OMEGA.size})")
        _set(self, "measured", rows)
        _set(self, "direction_from", _row(self.direction_from, "wave direction", "°", low=0.0, high=360.0))
        _check_spreading(self.spreading, self.spreading_exponent)
        _equal_lengths(self.measured[:, 0], self.direction_from)

    @property
    def size(self) -> int:
        """Number of seas."""
        return self.direction_from.size

    @property
    def hs(self) -> FloatArray:
        """Significant wave heights, shape (n,) [m]."""
        return 4.0 * np.sqrt(self.measured @ WEIGHTS)

    def take(self, rows: Rows) -> MeasuredSlot:
        """The slot of the chosen seas: `rows` is a slice, indices or a mask."""
        part = copy(self)  # rows of a checked slot need no second check
        _set(part, "measured", self.measured[rows])
        _set(part, "direction_from", self.direction_from[rows])
        return part

    def scaled(self, hs: FloatArray) -> MeasuredSlot:
        """The only sea of this slot scaled to each height of `hs`, shape (m,) [m]."""
        now = float(self.hs[0])
        if now == 0.0:
            raise InputError("measured spectrum", now, "m", "a height above 0 m, to be scaled")
        one = self.take(np.zeros(hs.size, dtype=np.int64))
        return replace(one, measured=one.measured * (hs[:, None] / now) ** 2)

    def ordinates(self, out: FloatArray | None = None) -> FloatArray:
        """Density on OMEGA, shape (n, nω) [m²·s]; never worked in `out`."""
        return self.measured


Slot = SystemSlot | MeasuredSlot


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
            number(self.depth, "water depth", "m", low=SHALLOWEST)

    @property
    def size(self) -> int:
        """Number of seas."""
        return self.slots[0].size

    @property
    def hs(self) -> FloatArray:
        """Total significant wave height √ΣHs², shape (n,) [m]."""
        total: FloatArray = np.sqrt(np.sum([slot.hs**2 for slot in self.slots], axis=0))
        return total

    def take(self, rows: Rows) -> SeaBatch:
        """The batch of the chosen seas: `rows` is a slice, indices or a mask, shape (n,)."""
        return replace(self, slots=tuple(slot.take(rows) for slot in self.slots))

    def spectra(self, buffers: list[FloatArray] | None = None) -> list[SlotSpectra]:
        """Spectra of every slot on OMEGA.

        In water of finite depth each system is multiplied by the TMA factor and brought back to its own
        height; a measured spectrum already holds what the depth did to it. Call it on chunks of about a
        thousand seas, with the buffers of the chunk before: fresh memory costs more than the spectra.

        Parameters
        ----------
        buffers : from `make_buffers`, to be overwritten; None gives new arrays

        Returns
        -------
        One SlotSpectra for each slot.
        """
        found = []
        for place, slot in enumerate(self.slots):
            rows = slot.ordinates(None if buffers is None else buffers[place][: slot.size])
            if self.depth is not None and isinstance(slot, SystemSlot):
                rows = _in_depth(rows, self.depth)
            found.append(SlotSpectra(rows, slot.direction_from, slot.spreading, slot.spreading_exponent))
        return found

    def make_buffers(self, rows: int) -> list[FloatArray]:
        """Memory for `spectra` of chunks of at most `rows` seas, one array for each slot [m²·s]."""
        return [np.empty((min(rows, self.size), OMEGA.size)) for _ in self.slots]

    def scaled(self, first_slot_hs: npt.ArrayLike) -> SeaBatch:
        """A batch of this one sea with the height of its first slot replaced by each value.

        Periods are held, as are the other slots; a peak factor by rule follows the height.

        Parameters
        ----------
        first_slot_hs : heights, shape (m,), 0 to 25 [m]

        Raises
        ------
        InputError
            If the batch holds more than one sea, or a height is outside its range.
        """
        heights = _row(first_slot_hs, "significant wave height", "m", low=0.0, high=MAX_HS)
        if self.size != 1:
            raise InputError("sea states to scale", self.size, None, "exactly one sea")
        again = np.zeros(heights.size, dtype=np.int64)
        rest = tuple(slot.take(again) for slot in self.slots[1:])
        return replace(self, slots=(self.slots[0].scaled(heights), *rest))

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
        first = batches[0]
        if any(_signature(batch) != _signature(first) for batch in batches):
            raise InputError(
                "sea states",
                "a mixture",
                None,
                "sea states with the same systems, shapes, spreading and depth",
            )
        slots = tuple(_join([batch.slots[place] for batch in batches]) for place in range(len(first.slots)))
        return cls(slots, first.depth)

    @classmethod
    def of(cls, states: Sequence[SeaState]) -> SeaBatch:
        """Stack sea states with the same systems, shapes, spreading and depth; raises as `stack`."""
        return cls.stack([state.batch() for state in states])


def _in_depth(rows: FloatArray, depth: float) -> FloatArray:
    energy = rows @ WEIGHTS
    lowered = rows * tma_factor(OMEGA, depth)
    left = lowered @ WEIGHTS
    return lowered * (energy / np.where(left == 0.0, 1.0, left))[:, None]


def _signature(batch: SeaBatch) -> tuple[Any, ...]:
    slots = tuple(
        (type(slot), slot.spreading, slot.spreading_exponent)
        + ((slot.shape, slot.width, slot.gamma is None) if isinstance(slot, SystemSlot) else ())
        for slot in batch.slots
    )
    return (batch.depth, slots)


def _join(slots: list[Slot]) -> Slot:
    first = slots[0]
    direction = np.concatenate([slot.direction_from for slot in slots])
    if isinstance(first, MeasuredSlot):
        measured = np.concatenate([slot.measured for slot in slots if isinstance(slot, MeasuredSlot)])
        return replace(first, measured=measured, direction_from=direction)
    systems = [slot for slot in slots if isinstance(slot, SystemSlot)]
    gamma: FloatArray | None = None
    if first.gamma is not None:
        gamma = np.concatenate([np.broadcast_to(np.asarray(slot.gamma), slot.hs.shape) for slot in systems])
    hs = np.concatenate([slot.hs for slot in systems])
    tp = np.concatenate([slot.tp for slot in systems])
    return replace(first, hs=hs, tp=tp, direction_from=direction, gamma=gamma)


def _row(value: Any, what: str, unit: str | None, *, low: float, high: float) -> FloatArray:
    found = np.atleast_1d(array(value, what, unit, low=low, high=high))
    if found.ndim != 1:
        raise InputError(what, f"array of shape {found.shape}", unit, "one value for each sea")
    return found


def _set(obj: object, name: str, value: FloatArray) -> None:
    object.__setattr__(obj, name, value)


def _one_of(value: str, what: str, options: tuple[str, ...]) -> None:
    if value not in options:
        raise InputError(what, value, None, "one of " + ", ".join(options))


def _check_spreading(kind: str, exponent: float) -> None:
    _one_of(kind, "spreading", SPREADING_KINDS)
    number(exponent, "spreading exponent", None, low=EXPONENT_RANGE[0], high=EXPONENT_RANGE[1])


def _equal_lengths(*columns: FloatArray) -> None:
    if len({column.size for column in columns}) != 1:
        sizes = ", ".join(str(column.size) for column in columns)
        raise InputError("sea states", f"columns of {sizes} values", None, "columns of one length")
