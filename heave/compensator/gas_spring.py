"""The gas spring of a passive compensator: load over stroke, stiffness, stored energy."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Quantity, quantity, validate
from heave.units import STANDARD_GRAVITY

ATMOSPHERE: Final = 101_325.0
"""Pressure of the standard atmosphere [Pa], added to gauge pressure in the gas law."""

INDEX: Final = Quantity("polytropic index", "number", low=1.0, high=2.2)
"""1.0 is constant temperature; nitrogen at 20 MPa and 15 °C reaches 1.97."""

NITROGEN: Final = ((0.1e6, 10e6, 15e6, 20e6), (1.40, 1.62, 1.79, 1.97))
"""Isentropic exponent of nitrogen at 15 °C over absolute pressure [Pa]: the ideal gas, then its reference equation of
state (Span and others, 2000)."""

LOAD: Final = Quantity("load on the gas", "force", low=1.0, high=5e7)
STROKE: Final = Quantity("stroke", "length", low=0.5, high=30.0)
AREA: Final = Quantity("effective area", "area", low=0.001, high=5.0)
VOLUME_RATIO_MOST: Final = 1000.0
VOLUME_RATIO: Final = Quantity("gas volume over swept volume", "number", above=1.0, high=VOLUME_RATIO_MOST)


@dataclass(frozen=True)
class GasSpring:
    """A cylinder on a closed gas volume, P Vⁿ constant on absolute pressure (polytropic gas law).

    x is hook travel relative to the vessel from mid-stroke; + compresses the gas (the vessel rises).
    V = φ A_e S − A_e x. The pressure is set at x_s, where the piston then is.

    Parameters
    ----------
    force : load carried at x_s, F0 [N]
    stroke : hook travel from end to end, S [m]
    volume_ratio : φ, gas volume at mid-stroke over swept volume A_e S; only bottles open to the cylinder
    index : polytropic index n
    effective_area : A_e = Σ A_piston/(hook travel per piston travel) [m²]. Given, the atmosphere
        pushes back on it and F = (P − p_a) A_e; None leaves the atmosphere out, which makes the
        spring about p_a/P0 softer (under 1 % above 10 MPa).
    set_at : x_s, at most half a stroke either way [m]
    """

    force: float = LOAD.field()
    stroke: float = STROKE.field()
    volume_ratio: float = VOLUME_RATIO.field()
    index: float = INDEX.field()
    effective_area: float | None = AREA.field(optional=True)
    set_at: float = quantity("place where the load is set", "length", default=0.0, low=-15.0, high=15.0)

    def __post_init__(self) -> None:
        validate(self)
        if abs(self.set_at) > self.stroke / 2:
            allowed = f"within half a stroke, ±{self.stroke / 2:g}\u00a0m, of mid-stroke"
            raise InputError("place where the load is set", self.set_at, "m", allowed)

    @property
    def length(self) -> float:
        """Gas volume at x_s as a length of stroke, V/A_e = φ S − x_s [m]."""
        return self.volume_ratio * self.stroke - self.set_at

    @property
    def absolute_force(self) -> float:
        """Absolute pressure × area at x_s, F0 + p_a A_e [N]; F0 where no area is given."""
        return self.force + self._atmosphere_force

    @property
    def stiffness(self) -> float:
        """Stiffness at x_s, n F0/(φ S − x_s) with the absolute force for F0 [N/m]."""
        return self.index * self.absolute_force / self.length

    def load(self, x: npt.ArrayLike) -> FloatArray:
        """Load at travel x: F = (F0 + p_a A_e)(1 − (x − x_s)/(φS − x_s))⁻ⁿ − p_a A_e [N].

        Parameters
        ----------
        x : travel from mid-stroke, + gas compressed [m]; at most one stroke either way

        Raises
        ------
        InputError
            If a travel is not finite or is more than one stroke from mid-stroke.
        """
        shrunk = 1.0 - self._travel(x) / self.length
        return np.asarray(self.absolute_force * shrunk**-self.index - self._atmosphere_force)

    def free_period(self) -> float:
        """Natural period of the load hanging on the spring, 2π√(F0/(g k)) = 2π√((φS − x_s)/(n g)) [s].

        The second form, without the atmosphere, does not depend on the load.
        """
        return 2 * math.pi * math.sqrt(self.force / (STANDARD_GRAVITY * self.stiffness))

    @property
    def _atmosphere_force(self) -> float:
        return 0.0 if self.effective_area is None else ATMOSPHERE * self.effective_area

    def _travel(self, x: npt.ArrayLike) -> FloatArray:
        """Travel from where the load is set [m]."""
        travel = np.asarray(x, dtype=np.float64)
        if not np.all(np.abs(travel) <= self.stroke):  # also false for NaN
            allowed = f"within one stroke, ±{self.stroke:g}\u00a0m, of mid-stroke"
            raise InputError("travel of the gas spring", x, "m", allowed)
        return travel - self.set_at


def nitrogen_index(pressure: float) -> float:
    """Polytropic index of nitrogen in waves, fast enough to be isentropic, at `pressure`, absolute [Pa].

    Between the values of `NITROGEN`, beyond the last on its slope, at most what an index may be. Source: as there.
    """
    pressures, indices = NITROGEN
    slope = (indices[-1] - indices[-2]) / (pressures[-1] - pressures[-2])
    found = float(np.interp(pressure, pressures, indices)) + slope * max(pressure - pressures[-1], 0.0)
    return INDEX.nearest(found)
