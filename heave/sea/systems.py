"""Wave systems and the sea state they make together."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import choice, quantity, text, validate
from heave.quantities import DIRECTION
from heave.sea.arguments import ALL_TOGETHER, MAX_HS, too_high
from heave.sea.batch import SeaBatch, SlotSpectra
from heave.sea.dispersion import WATER_DEPTH, wave_number
from heave.sea.grid import OMEGA
from heave.sea.measured import MeasuredSpectrum
from heave.sea.peaked import densities
from heave.sea.periods import PERIOD_KINDS, mean_periods, peak_period, period_ratio
from heave.sea.slots import PERIOD_RANGE, SHAPES, SystemSlot
from heave.sea.spectra import GAMMA_RULE_RANGE, GAUSSIAN_SWELL_SHORTEST, GAUSSIAN_WIDTH_RANGE, gamma_by_rule
from heave.sea.spreading import SPREADING_EXPONENT, SPREADING_KINDS
from heave.sea.two_peak import TORSETHAUGEN_LONGEST
from heave.units import STANDARD_GRAVITY, show_apart

LEAST_HS: Final = 0.001
"""Lowest sea that is one [m]: below a millimetre logarithms of the density overflow."""

MOST_SYSTEMS: Final = 8
"""Most wave systems of one sea: a wind sea and more swells than a forecast tells apart."""

FITTED_TO: Final = {
    "torsethaugen": "the Norwegian continental shelf",
    "ochi-hubble": "the North Atlantic",
}
"""Where the empirical two-peak spectra come from."""

_PERIODS_OF: Final = {
    "gaussian-swell": (GAUSSIAN_SWELL_SHORTEST, PERIOD_RANGE[1]),
    "torsethaugen": (PERIOD_RANGE[0], TORSETHAUGEN_LONGEST),
}

BREAKING_SHARE: Final = 0.5
"""Hs over water depth beyond which a sea state is doubted [-]; common practice, no source."""


@dataclass(frozen=True)
class WaveSystem:
    """One wave system: wind sea or a swell, with its height, period, direction and shape.

    Raises InputError if a field is outside its description, or no spectrum of the shape has the period.
    """

    hs: float = quantity(
        "Significant wave height", "length", low=LEAST_HS, high=MAX_HS, help="Hs = 4 √m0, crest to trough."
    )
    period: float | None = quantity(
        "Wave period",
        "period",
        low=1.0,
        high=PERIOD_RANGE[1],
        optional=True,
        help="Say which period it is; left empty only for Ochi–Hubble, whose height sets it.",
    )
    period_kind: str = choice(
        "Kind of period",
        PERIOD_KINDS,
        default="Tp",
        help="Tp peak, Tz zero-crossing (Tm02), T1 mean (Tm01), Te energy (T−1,0).",
    )
    direction_from: float = DIRECTION.field(default=0.0, help="Where the waves come from, compass.")
    shape: str = choice(
        "Spectral shape", SHAPES, default="jonswap", help="How the energy lies over frequency."
    )
    gamma: float | None = quantity(
        "Peak factor γ",
        "number",
        low=1.0,
        high=10.0,
        optional=True,
        help="JONSWAP only; left empty it follows Tp/√Hs.",
    )
    width: float = quantity(
        "Swell width",
        "number",
        default=0.01,
        low=GAUSSIAN_WIDTH_RANGE[0],
        high=GAUSSIAN_WIDTH_RANGE[1],
        help="Gaussian swell only: standard deviation over frequency, Hz.",
    )
    spreading: str = choice(
        "Spreading", SPREADING_KINDS, default="cos-n", help="How the energy spreads over direction."
    )
    spreading_exponent: float = SPREADING_EXPONENT.field(
        label="Spreading exponent", default=4.0, help="2 to 4 is typical of wind sea, 6 and more of swell."
    )
    label: str = text("Name of the system", default="wind sea", help="Shown in figures and lists.")

    def __post_init__(self) -> None:
        validate(self)
        if self.period is None and self.shape != "ochi-hubble":
            raise InputError("Wave period", None, "s", f"a period, for a {self.shape} spectrum")
        if self.period is not None and self.shape == "ochi-hubble":
            allowed = "empty for Ochi–Hubble: its height sets the period"
            raise InputError("Wave period", self.period, "s", allowed)
        if self.gamma is not None and self.shape != "jonswap":
            raise InputError("Peak factor γ", self.gamma, None, f"empty for a {self.shape} spectrum")
        low, high = _PERIODS_OF.get(self.shape, PERIOD_RANGE)
        if not low <= self.tp <= high:
            allowed = f"from {low:g} to {high:g}\u00a0s for a {self.shape} spectrum"
            raise InputError("Peak period", self.tp, "s", allowed)
        self.spectrum()  # a width that does not go with the period is refused here

    @cached_property
    def tp(self) -> float:
        """Peak period, through the shape [s]."""
        if self.period is None:
            return float(mean_periods("Tp", "ochi-hubble", self.hs, 1.0))
        return peak_period(self.period, self.period_kind, self.shape, self.hs, self.gamma, self.width)

    @property
    def peak_factor(self) -> float | None:
        """The JONSWAP peak factor in use, given or by rule [-]; None for the other shapes without one."""
        if self.shape == "two-parameter":
            return 1.0
        if self.shape != "jonswap":
            return None
        return float(gamma_by_rule(self.hs, self.tp)) if self.gamma is None else self.gamma

    def period_as(self, kind: str) -> float:
        """The period of another kind of the same spectrum [s]; kind is 'Tp', 'Tz', 'T1' or 'Te'."""
        if self.shape in ("two-parameter", "jonswap"):
            return self.tp * float(period_ratio(kind, self.peak_factor or 1.0))
        return float(mean_periods(kind, self.shape, self.hs, self.tp, self.width))

    def spectrum(self, omega: FloatArray = OMEGA) -> FloatArray:
        """Density in deep water over `omega` [rad/s], shape (nω,) [m²·s]."""
        found: FloatArray = densities(self.slot().parts, omega)[0]
        return found

    def slot(self) -> SystemSlot:
        """The system as a slot of a batch of one sea."""
        hs, tp, direction = (np.array([value]) for value in (self.hs, self.tp, self.direction_from))
        return SystemSlot(
            hs, tp, direction, self.shape, self.gamma, self.width, self.spreading, self.spreading_exponent
        )


@dataclass(frozen=True)
class SeaState:
    """Wave systems that meet at one place, or one measured spectrum, in water of some depth.

    Energies add: Hs² = Σ Hs_i². In finite depth each system is multiplied by the TMA factor and brought back
    to its own height; a measured spectrum already holds what the depth did to it.
    """

    systems: tuple[WaveSystem, ...] = ()
    depth: float | None = WATER_DEPTH.field(
        optional=True,
        help="Empty is deep water. It also gives the longer path to the seabed from a vessel offset.",
    )
    measured: MeasuredSpectrum | None = None

    def __post_init__(self) -> None:
        validate(self)
        object.__setattr__(self, "systems", tuple(self.systems))
        if bool(self.systems) == (self.measured is not None):
            allowed = "wave systems or a measured spectrum, not both"
            raise InputError("sea state", len(self.systems), None, allowed)
        if len(self.systems) > MOST_SYSTEMS:
            raise InputError("wave systems of a sea", len(self.systems), None, f"at most {MOST_SYSTEMS}")
        if too_high(self.hs):
            raise InputError("significant wave height of the sea", round(self.hs, 3), "m", ALL_TOGETHER)

    @classmethod
    def single(
        cls, hs: float, tp: float, direction_from: float = 0.0, *, depth: float | None = None, **other: Any
    ) -> SeaState:
        """A sea of one wave system; JONSWAP with the peak factor by rule unless `other` fields say otherwise.

        Parameters
        ----------
        hs : significant wave height [m]
        tp : peak period, or the period named by `period_kind` [s]
        direction_from : where the waves come from [degrees, compass]
        depth : water depth; None is deep water [m]
        other : further fields of WaveSystem
        """
        return cls((WaveSystem(hs, tp, direction_from=direction_from, **other),), depth)

    @property
    def hs(self) -> float:
        """Total significant wave height [m]."""
        if self.measured is not None:
            return self.measured.hs
        return math.sqrt(sum(system.hs**2 for system in self.systems))

    @cached_property
    def tp(self) -> float:
        """Peak period of the first system, or of the measured spectrum [s]."""
        if self.measured is None:
            return self.systems[0].tp
        return float(2.0 * math.pi / OMEGA[int(np.argmax(self.spectrum()))])

    def spectrum(self, omega: FloatArray = OMEGA) -> FloatArray:
        """Total density over `omega` [rad/s], shape (nω,) [m²·s]; in finite depth and for measured seas the
        grid's values, interpolated where `omega` is not the grid."""
        if omega is not OMEGA and self.measured is None and self.depth is None:
            total: FloatArray = np.sum([system.spectrum(omega) for system in self.systems], axis=0)
            return total
        rows: FloatArray = np.sum([slot.ordinates[0] for slot in self.spectra], axis=0)
        return rows if omega is OMEGA else np.interp(omega, OMEGA, rows, left=0.0, right=0.0)

    @cached_property
    def spectra(self) -> tuple[SlotSpectra, ...]:
        """Spectra of the systems on OMEGA, each with its direction and spreading, a batch of one sea."""
        return tuple(self.batch().spectra())

    def batch(self) -> SeaBatch:
        """The sea as a batch of one."""
        return self._batch

    @cached_property
    def _batch(self) -> SeaBatch:
        if self.measured is not None:
            return SeaBatch(self.measured.slots(), self.depth)
        return SeaBatch(tuple(system.slot() for system in self.systems), self.depth)

    def with_primary(self, *, hs: float | None = None, tp: float | None = None) -> SeaState:
        """The same sea with the first system's height `hs` [m] or peak period `tp` [s] replaced.

        A height alone keeps the peak period. Raises InputError for the period of a measured spectrum or of
        an Ochi–Hubble system.
        """
        if self.measured is not None:
            if tp is not None:
                raise InputError("Peak period", tp, "s", "nothing: a measured spectrum keeps its periods")
            return replace(self, measured=self.measured.scaled(self.hs if hs is None else hs))
        first, *rest = self.systems
        height = first.hs if hs is None else hs
        if first.shape != "ochi-hubble":
            changed = replace(first, hs=height, period=first.tp if tp is None else tp, period_kind="Tp")
        elif tp is None:
            changed = replace(first, hs=height)
        else:
            allowed = "nothing: Ochi–Hubble takes its period from its height"
            raise InputError("Peak period", tp, "s", allowed)
        return replace(self, systems=(changed, *rest))

    def warnings(self) -> tuple[str, ...]:
        """What to be told about this sea before trusting it, in words and ratios that every unit system reads alike."""
        found = [words for system in self.systems for words in _warn(system, self.depth)]
        if self.depth is not None and self.hs > BREAKING_SHARE * self.depth:
            found.append(
                f"Hs is more than {BREAKING_SHARE:g} of the water depth: "
                "the bottom limits the height before that (common practice, no source)"
            )
        return tuple(found)


def steepness_cap(tp: float) -> float:
    """Steepest sea that stands, as Sp = 2π Hs/(g Tp²): 1/15 to Tp 8 s, 1/25 from 15 s, linear between.

    Source: DNV-RP-C205, 3.5.4, from memory. Parameter: peak period `tp` [s]. Returns the cap [-].
    """
    return float(np.interp(tp, (8.0, 15.0), (1.0 / 15.0, 1.0 / 25.0)))


def _warn(system: WaveSystem, depth: float | None) -> list[str]:
    found = []
    steepness = 2.0 * math.pi * system.hs / (STANDARD_GRAVITY * system.tp**2)
    cap = steepness_cap(system.tp)
    if steepness > cap:
        told, most = show_apart(steepness, cap, "number", "metric", 2)
        found.append(
            f"steepness Sp {told} is past the cap of {most} (1/{1 / cap:.0f}; DNV-RP-C205, 3.5.4): such a sea "
            "would break"
        )
    low, high = GAMMA_RULE_RANGE
    ratio = system.tp / math.sqrt(system.hs)
    if system.shape == "jonswap" and system.gamma is None and not low <= ratio <= high:
        told, _ = show_apart(ratio, min(max(ratio, low), high), "number", "metric")
        found.append(
            f"Tp/√Hs {told} is outside {low:g} to {high:g}, the range of the rule for the JONSWAP peak "
            f"factor (DNV-RP-C205, 3.5.5); γ is held at {system.peak_factor:.0f}"
        )
    if system.shape in FITTED_TO:
        found.append(
            f"the {system.shape} spectrum was fitted to {FITTED_TO[system.shape]}; elsewhere it is a guess"
        )
    if depth is not None and float(wave_number(2.0 * math.pi / system.tp, depth)) * depth < math.pi:
        found.append("waves of the peak period feel the bottom: TMA factor applied, Hs kept")
    return [f"{system.label}: {words}" for words in found]
