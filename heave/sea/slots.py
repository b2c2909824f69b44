"""Wave systems in rows: one system, or one measured spectrum, in each sea of a batch."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any, ClassVar, Final, Self

import numpy as np

from heave.arrays import BoolArray, FloatArray, Floats, IntArray
from heave.errors import InputError
from heave.fields import Choice, Quantity
from heave.sea.arguments import MAX_HS, array
from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.peaked import MAX_GAMMA, Axis, Rows
from heave.sea.spectra import gamma_by_rule, gaussian_rows, jonswap_rows
from heave.sea.spreading import SPREADING, SPREADING_EXPONENT
from heave.sea.two_peak import ochi_hubble_rows, torsethaugen_rows

SHAPES: Final = ("two-parameter", "jonswap", "torsethaugen", "ochi-hubble", "gaussian-swell")
"""Names of the spectral shapes."""

PERIOD_RANGE: Final = (2.0, 30.0)
"""Peak periods for which the grid keeps the height of a sea to 0.1 % [s]."""

PEAK_PERIOD: Final = Quantity("Peak period", "period", low=PERIOD_RANGE[0], high=PERIOD_RANGE[1])

Picked = slice | IntArray | BoolArray


class _Columns:
    """What both kinds of slot share: columns with a row for each sea, and one spreading for all of them."""

    columns: ClassVar[tuple[str, ...]]
    __dataclass_fields__: ClassVar[dict[str, Any]]
    direction_from: FloatArray
    spreading: str
    spreading_exponent: float

    def check(self) -> None:
        """Bring the directions to a row and refuse a wrong spreading or columns of several lengths."""
        keep_row(self, "direction_from", "wave direction", "°", 0.0, 360.0)
        SPREADING.check(self.spreading)
        SPREADING_EXPONENT.check(self.spreading_exponent)
        sizes = [len(column) for column in self.held().values()]
        if len(set(sizes)) != 1:
            words = f"columns of {', '.join(map(str, sizes))} values"
            raise InputError("sea states", words, None, "columns of one length")

    def held(self) -> dict[str, FloatArray]:
        """The columns by name, those that are given."""
        found = {name: getattr(self, name) for name in self.columns}
        return {name: column for name, column in found.items() if column is not None}

    def alike(self) -> tuple[Any, ...]:
        """What must be the same in slots that are joined."""
        one_for_all = (item.name for item in fields(self) if item.name not in self.held())
        return (type(self), *((name, getattr(self, name)) for name in one_for_all))

    @property
    def size(self) -> int:
        """Number of seas."""
        return self.direction_from.size

    def take(self, rows: Picked) -> Self:
        """The slot of the chosen seas: `rows` is a slice, indices or a mask. They need no second check."""
        part = copy(self)
        part.__dict__.pop("parts", None)
        for name, column in self.held().items():
            object.__setattr__(part, name, column[rows])
        return part


@dataclass(frozen=True, eq=False)
class SystemSlot(_Columns):
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

    columns: ClassVar[tuple[str, ...]] = ("hs", "tp", "direction_from", "gamma")

    hs: FloatArray
    tp: FloatArray
    direction_from: FloatArray
    shape: str = "jonswap"
    gamma: float | FloatArray | None = None
    width: float = 0.01
    spreading: str = "cos-n"
    spreading_exponent: float = 4.0

    def __post_init__(self) -> None:
        keep_row(self, "hs", "significant wave height", "m", 0.0, MAX_HS)
        keep_row(self, "tp", "peak period", "s", *PERIOD_RANGE)
        if self.gamma is not None:
            one_for_all = np.ndim(self.gamma) == 0
            keep_row(self, "gamma", "peak factor", None, 1.0, MAX_GAMMA, missing=not one_for_all)
            if one_for_all:
                object.__setattr__(self, "gamma", np.broadcast_to(self.gamma, self.hs.shape))
        Choice("spectral shape", SHAPES).check(self.shape)
        self.check()

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
        return (jonswap_rows(self.hs, self.tp, factor),)


@dataclass(frozen=True, eq=False)
class MeasuredSlot(_Columns):
    """Measured spectra, one in each sea of a batch, known on the grid alone.

    Parameters
    ----------
    measured : density on OMEGA, shape (n, nω) [m²·s]
    direction_from : directions the waves come from, shape (n,) [degrees, compass]
    spreading : 'long-crested', 'cos-n' or 'cos-2s'
    spreading_exponent : n or s [-]
    """

    columns: ClassVar[tuple[str, ...]] = ("measured", "direction_from")

    measured: FloatArray
    direction_from: FloatArray
    spreading: str = "cos-n"
    spreading_exponent: float = 4.0

    def __post_init__(self) -> None:
        rows = array(self.measured, "measured density", "m²·s", low=0.0)
        if rows.ndim != 2 or rows.shape[1] != OMEGA.size:
            raise InputError("measured density", f"shape {rows.shape}", None, f"shape (n, {OMEGA.size})")
        object.__setattr__(self, "measured", rows)
        self.check()

    @property
    def hs(self) -> FloatArray:
        """Significant wave heights, shape (n,) [m]."""
        return 4.0 * np.sqrt(self.measured @ WEIGHTS)

    def scaled(self, hs: FloatArray) -> MeasuredSlot:
        """The only sea of this slot scaled to each height of `hs`, shape (m,) [m]."""
        now = float(self.hs[0])
        if now == 0.0:
            raise InputError("measured spectrum", now, "m", "a height above 0\u00a0m, to be scaled")
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

    @property
    def parts(self) -> tuple[Rows, ...]:
        """The measured spectra themselves, to be written block by block."""
        return (self,)

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


def joined(slots: tuple[Slot, ...]) -> Slot:
    """Slots that are `alike`, end to end."""
    together = [slot.held() for slot in slots]
    columns: dict[str, Any] = {n: np.concatenate([c[n] for c in together]) for n in together[0]}
    return replace(slots[0], **columns)


def row_of(
    value: Any, what: str, unit: str | None, low: float, high: float, missing: bool = True
) -> FloatArray:
    """`value` as one number for each sea, shape (n,), NaN where missing; raises InputError outside the bounds."""
    found = np.atleast_1d(array(value, what, unit, low=low, high=high, missing=missing))
    if found.ndim != 1:
        raise InputError(what, f"array of shape {found.shape}", unit, "one value for each sea")
    return found


def keep_row(slot: object, name: str, *about: Any, **more: Any) -> None:
    """Put the column `name` of a slot in its place as `row_of` gives it."""
    object.__setattr__(slot, name, row_of(getattr(slot, name), *about, **more))
