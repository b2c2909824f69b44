"""A measured wave spectrum in frequency bands, and its transfer to the grid."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import choice, text, validate
from heave.quantities import DIRECTION
from heave.sea.arguments import MAX_HS, array, number, too_high
from heave.sea.grid import EDGES, OMEGA, WEIGHTS
from heave.sea.slots import MeasuredSlot
from heave.sea.spreading import SPREADING_EXPONENT, SPREADING_KINDS

DIRECTION_BIN = 10.0
"""Width of the direction bins into which bands with their own directions are gathered [degrees]."""

LONGEST_TIME: Final = 40
"""Most characters of a time."""

_COLUMNS: Final[tuple[tuple[str, str, str, dict[str, float]], ...]] = (
    ("frequency", "band frequency", "Hz", {"above": 0.0}),
    ("bandwidth", "band width", "Hz", {"above": 0.0}),
    ("density", "wave density", "m²/Hz", {"low": 0.0}),
    ("direction_by_band", "band direction", "°", {"low": 0.0, "high": 360.0}),
)


@dataclass(frozen=True)
class MeasuredSpectrum:
    """One spectrum from a wave buoy: bands of frequency with their own widths.

    Parameters
    ----------
    frequency : band centres, ascending, shape (nf,) [Hz]
    bandwidth : band widths, shape (nf,) [Hz]
    density : variance density, shape (nf,), from 0 [m²/Hz]
    direction_from : mean direction the waves come from [degrees, compass]
    spreading, spreading_exponent : as for WaveSystem
    direction_by_band : direction of each band, shape (nf,) [degrees, compass]; None takes the mean
    label : name, shown in figures
    time : ISO 8601 time of the measurement, UTC; None where not known
    """

    frequency: tuple[float, ...]
    bandwidth: tuple[float, ...]
    density: tuple[float, ...]
    direction_from: float = DIRECTION.field(
        default=0.0,
        help="Compass, degrees true; for all bands, where the file has none.",
    )
    spreading: str = choice(
        "Spreading",
        SPREADING_KINDS,
        default="cos-n",
        help="How the waves of one band come from several directions.",
    )
    spreading_exponent: float = SPREADING_EXPONENT.field(label="Spreading exponent", default=4.0)
    direction_by_band: tuple[float, ...] | None = None
    label: str = text("Name of the spectrum", default="", help="Of the buoy or the record.")
    time: str | None = None

    def __post_init__(self) -> None:
        validate(self)
        _check_time(self.time)
        sizes = set()
        for name, what, unit, bounds in _COLUMNS:
            if getattr(self, name) is not None:
                values = array(getattr(self, name), what, unit, missing=False, **bounds)
                sizes.add(values.shape)
                object.__setattr__(self, name, tuple(np.ravel(values).tolist()))
        if sizes != {(len(self.frequency),)} or len(self.frequency) < 2:
            allowed = "two or more bands in columns of one length"
            raise InputError("measured spectrum", sorted(sizes), None, allowed)
        _check_bands(np.array(self.frequency), np.array(self.bandwidth))
        if too_high(self.hs):
            raise InputError("measured significant wave height", self.hs, "m", f"to {MAX_HS:g}\u00a0m")

    @property
    def hs(self) -> float:
        """Significant wave height 4 √(Σ S Δf) [m]."""
        return 4.0 * float(np.sqrt(np.dot(self.density, self.bandwidth)))

    def scaled(self, hs: float) -> MeasuredSpectrum:
        """The same spectrum with its densities scaled to significant wave height `hs`, above 0 [m]."""
        target = number(hs, "significant wave height", "m", above=0.0, high=MAX_HS)
        if self.hs == 0.0:
            raise InputError("measured spectrum", 0.0, "m", "a height above 0\u00a0m, to be scaled")
        factor = (target / self.hs) ** 2
        return replace(self, density=tuple(factor * value for value in self.density))

    def on_grid(self) -> FloatArray:
        """Density on OMEGA with the energy kept exactly, shape (nω,) [m²·s].

        The energy up to a frequency rises linearly through each band; what falls in a cell of the grid is the
        difference of that curve at the cell's edges, divided by its width.
        """
        return self._cells(np.multiply(self.density, self.bandwidth))

    def slots(self) -> tuple[MeasuredSlot, ...]:
        """The spectrum as slots of a batch of one sea, one for each 10° of direction that holds energy."""
        energy = np.multiply(self.density, self.bandwidth)
        if self.direction_by_band is None:
            return (self._slot(energy, self.direction_from),)
        directions = np.asarray(self.direction_by_band)
        bins = np.floor(np.mod(directions, 360.0) / DIRECTION_BIN)
        found = []
        for place in np.unique(bins[energy > 0.0]):
            inside = np.where(bins == place, energy, 0.0)
            mean = float(np.dot(inside, np.mod(directions, 360.0)) / inside.sum())
            found.append(self._slot(inside, mean))
        return tuple(found) or (self._slot(energy, self.direction_from),)

    def _slot(self, energy: FloatArray, direction: float) -> MeasuredSlot:
        rows = self._cells(energy)[None, :]
        return MeasuredSlot(rows, np.array([direction]), self.spreading, self.spreading_exponent)

    def _cells(self, energy: FloatArray) -> FloatArray:
        """Spread band energies [m²] over the cells of the grid, shape (nω,) [m²·s]."""
        centre, width = np.asarray(self.frequency), np.asarray(self.bandwidth)
        edges = 2.0 * np.pi * np.stack((centre - 0.5 * width, centre + 0.5 * width), axis=1)
        inside = np.clip((EDGES[:, None] - edges[:, 0]) / (edges[:, 1] - edges[:, 0]), 0.0, 1.0)
        # Shares of bands, never differences of sums, so that a cell without energy holds exactly none.
        return np.asarray((np.diff(inside, axis=0) @ energy) / WEIGHTS)


def _check_time(time: str | None) -> None:
    if time is None:
        return
    try:
        known = len(time) <= LONGEST_TIME and datetime.fromisoformat(time).tzinfo is not None
    except (TypeError, ValueError):
        known = False
    if not known:
        allowed = "ISO 8601 with a zone, such as 2026-03-04T06:00:00Z"
        raise InputError("time of the measured spectrum", time, None, allowed)


def _check_bands(frequency: FloatArray, bandwidth: FloatArray) -> None:
    if np.any(np.diff(frequency) <= 0.0):
        raise InputError("band frequency", "not ascending", "Hz", "ascending band centres")
    lower, upper = frequency - 0.5 * bandwidth, frequency + 0.5 * bandwidth
    ends = (float(OMEGA[0] / (2.0 * np.pi)), float(OMEGA[-1] / (2.0 * np.pi)))
    if lower[0] < ends[0] or upper[-1] > ends[1]:
        allowed = f"within {ends[0]:.4f} to {ends[1]:.2f}\u00a0Hz"
        raise InputError("band edges", (float(lower[0]), float(upper[-1])), "Hz", allowed)
