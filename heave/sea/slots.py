"""Wave systems in rows: one system, or one measured spectrum, in each sea of a batch."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final, Literal, TypeVar, get_args

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.sea.arguments import MAX_HS, array, number
from heave.sea.grid import OMEGA, WEIGHTS, FloatArray
from heave.sea.peaked import MAX_GAMMA, Axis, Floats, Rows
from heave.sea.spectra import gamma_by_rule, gaussian_rows, jonswap_rows
from heave.sea.spreading import EXPONENT_RANGE, SPREADING_KINDS
from heave.sea.two_peak import ochi_hubble_rows, torsethaugen_rows

Shape = Literal["two-parameter", "jonswap", "torsethaugen", "ochi-hubble", "gaussian-swell"]

SHAPES: Final[tuple[str, ...]] = get_args(Shape)
"""Names of the spectral shapes."""

PERIOD_RANGE: Final = (2.0, 30.0)
"""Peak periods for which the grid keeps the height of a sea to 0.1 % [s]."""

Picked = slice | npt.NDArray[np.int64] | npt.NDArray[np.bool_]

AnySlot = TypeVar("AnySlot", "SystemSlot", "MeasuredSlot")


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
        _set(self, "hs", row_of(self.hs, "significant wave height", "m", low=0.0, high=MAX_HS))
        _set(self, "tp", row_of(self.tp, "peak period", "s", low=low, high=high))
        _set(self, "direction_from", row_of(self.direction_from, "wave direction", "°", low=0.0, high=360.0))
        if self.gamma is not None:
            if np.ndim(self.gamma):
                _set(self, "gamma", row_of(self.gamma, "peak factor", None, low=1.0, high=MAX_GAMMA))
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

    def take(self, rows: Picked) -> SystemSlot:
        """The slot of the chosen seas: `rows` is a slice, indices or a mask."""
        part = _part(self)
        for name in ("hs", "tp", "direction_from"):
            _set(part, name, getattr(self, name)[rows])
        if isinstance(self.gamma, np.ndarray):
            _set(part, "gamma", self.gamma[rows])
        return part

    def scaled(self, hs: FloatArray) -> SystemSlot:
        """The only sea of this slot at each height of `hs`, shape (m,) [m]; period and direction are held."""
        return replace(self.take(np.zeros(hs.size, dtype=np.int64)), hs=hs)

    def times(self, factor: FloatArray | float) -> SystemSlot:
        """Every height times `factor`, scalar or shape (n,) [-]; periods and directions are held."""
        return replace(self, hs=self.hs * factor)

    def stretched(self, factor: float) -> SystemSlot:
        """Every peak period times `factor` [-], within `PERIOD_RANGE`; heights and directions are held."""
        return replace(self, tp=np.clip(self.tp * factor, *PERIOD_RANGE))

    @cached_property
    def parts(self) -> tuple[Rows, ...]:
        """What the spectra of the slot are the sum of, to be written block by block."""
        if self.shape == "torsethaugen":
            return torsethaugen_rows(self.hs, self.tp)
        if self.shape == "ochi-hubble":
            return ochi_hubble_rows(self.hs)
        if self.shape == "gaussian-swell":
            return (gaussian_rows(self.hs, self.tp, self.width),)
        gamma = 1.0 if self.shape == "two-parameter" else self.gamma
        factor = gamma_by_rule(self.hs, self.tp) if gamma is None else np.broadcast_to(gamma, self.hs.shape)
        return (jonswap_rows(self.hs, self.tp, np.asarray(factor)),)


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
        _set(self, "direction_from", row_of(self.direction_from, "wave direction", "°", low=0.0, high=360.0))
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

    def take(self, rows: Picked) -> MeasuredSlot:
        """The slot of the chosen seas: `rows` is a slice, indices or a mask."""
        part = _part(self)
        _set(part, "measured", self.measured[rows])
        _set(part, "direction_from", self.direction_from[rows])
        return part

    def scaled(self, hs: FloatArray) -> MeasuredSlot:
        """The only sea of this slot scaled to each height of `hs`, shape (m,) [m]."""
        now = float(self.hs[0])
        if now == 0.0:
            raise InputError("measured spectrum", now, "m", "a height above 0 m, to be scaled")
        return self.take(np.zeros(hs.size, dtype=np.int64)).times(hs / now)

    def times(self, factor: FloatArray | float) -> MeasuredSlot:
        """Every height times `factor`, scalar or shape (n,) [-]."""
        squared = np.broadcast_to(np.asarray(factor, dtype=np.float64) ** 2, (self.size,))
        return replace(self, measured=self.measured * squared[:, None])

    def stretched(self, factor: float) -> MeasuredSlot:
        """Every period times `factor` [-]: S′(ω) = factor × S(factor × ω), its height kept on the grid."""
        rows = np.stack([np.interp(factor * OMEGA, OMEGA, row, right=0.0) for row in self.measured])
        made = replace(self, measured=factor * rows)
        share = np.divide(self.hs, made.hs, out=np.ones_like(made.hs), where=made.hs > 0)
        return made.times(share)

    @cached_property
    def parts(self) -> tuple[Rows, ...]:
        """The measured spectra, to be written block by block."""
        return (MeasuredRows(self.measured),)


@dataclass(frozen=True, eq=False)
class MeasuredRows:
    """Measured densities as `heave.sea.peaked.Rows`; they are known on the grid alone.

    Parameters
    ----------
    measured : density on OMEGA, shape (n, nω) [m²·s]
    """

    measured: FloatArray

    @property
    def size(self) -> int:
        """Number of seas."""
        return len(self.measured)

    @property
    def felt_from(self) -> float:
        """Lowest frequency at which any sea has energy [rad/s]; infinite where none has."""
        there = np.flatnonzero((self.measured > 0.0).any(axis=0))
        return float(OMEGA[there[0]]) if there.size else np.inf

    def write(self, axis: Axis, rows: slice, out: Floats, scratch: Floats) -> None:
        """As `heave.sea.peaked.Rows.write`, for neighbouring points of the grid.

        Parameters
        ----------
        axis : neighbouring points of the grid
        rows : which seas
        out : to be filled, shape (rows, nω) [m²·s]
        scratch : not needed
        """
        first = int(np.searchsorted(OMEGA, axis.omega[0]))
        out[:] = self.measured[rows, first : first + axis.omega.size]


Slot = SystemSlot | MeasuredSlot


def joined(slots: list[Slot]) -> Slot:
    """Slots of one kind, shape and spreading, end to end."""
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


def row_of(value: Any, what: str, unit: str | None, *, low: float, high: float) -> FloatArray:
    """`value` as one number for each sea, shape (n,), NaN where missing; raises InputError outside the bounds."""
    found = np.atleast_1d(array(value, what, unit, low=low, high=high))
    if found.ndim != 1:
        raise InputError(what, f"array of shape {found.shape}", unit, "one value for each sea")
    return found


def _part(slot: AnySlot) -> AnySlot:
    """A copy of a slot for some of its rows, which need no second check."""
    part = copy(slot)
    part.__dict__.pop("parts", None)
    return part


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
