"""A ship without a response table: closed-form motions of a box of equal displacement. Concept stage only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import quantity, validate
from heave.sea.arguments import array, number
from heave.units import STANDARD_GRAVITY
from heave.vessel.response_table import DRAUGHT, LENGTH, MotionTransfer

TRUSTED_PERIOD: Final = 16.0
"""From this wave period up the closed form is within about 10 % of boundary-element heave and pitch [s]."""

ROUGH_PERIOD: Final = 12.0
"""Below this wave period heave and pitch of a head sea come out up to half too low, and `HEAVE_ERROR` does not
cover them [s]."""

SHORTEST_PERIOD: Final = 9.0
"""Below this wave period the closed form is not to be used [s]."""

HEAVE_ERROR: Final = 0.2
"""Share by which heave in a sea whose peak is at ROUGH_PERIOD or above may be more than the closed form has it: a
boundary-element hull of 210 × 36 × 11 m gave up to 1.19 times it in head seas, amidships."""

SHORT_WAVE_FADE: Final = 2.0
"""`BoxHull.transfer` fades the closed form out between 2π/SHORTEST_PERIOD and this multiple of it."""


def box_hull_response(
    omega: npt.ArrayLike,
    heading: npt.ArrayLike,
    length: float,
    beam: float,
    draught: float,
    block_coefficient: float = 1.0,
    roll: tuple[float, float] | None = None,
    gravity: float = STANDARD_GRAVITY,
) -> MotionTransfer:
    """Heave, roll and pitch of a box-shaped ship at zero speed in deep water, per metre of wave amplitude.

    Jensen, Mansour and Olsen, "Estimation of ship motions using closed-form expressions", Ocean Engineering
    31 (2004) 61–85 (formulas from memory, checked by their limits). With k = ω²/g, k_e = |k cosβ|, B the
    beam times the block coefficient, T the draught and L the length:

        A = 2 sin(kB/2) e^(−kT)            f = √((1 − kT)² + (A²/(kB))²)     κ = e^(−k_e T)
        F = κ f sin(k_eL/2)·2/(k_eL)       G = κ f (24/((k_eL)²L)) [sin(k_eL/2) − (k_eL/2) cos(k_eL/2)]
        η = 1/√((1 − 2kT)² + (A²/(kB))²)   heave = η F, pitch = i η G, the sign of cosβ giving its way

    Roll solves φ'' + 2ζω_nφ' + ω_n²φ = ω_n² × effective wave slope, the slope being −ik sinβ averaged over
    length and beam at half draught: × e^(−kT/2) sinc(kL cosβ/2) sinc(kB sinβ/2). Without a roll model the
    roll is the effective slope itself, which has no resonance.

    Parameters
    ----------
    omega : angular frequency, zero or above, scalar or shape (nω,) [rad/s]
    heading : direction of wave travel from the bow, 180 = head sea, scalar or shape (nβ,) [deg]
    length : waterline length, above 0 [m]
    beam : breadth on the waterline, above 0 [m]
    draught : above 0 [m]
    block_coefficient : displaced volume over length × beam × draught, above 0 to 1 [-]
    roll : natural roll period [s] and damping of critical [-], or None
    gravity : acceleration of free fall [m/s²]

    Returns
    -------
    MotionTransfer, shape of `heading` followed by that of `omega`: heave [m/m], roll and pitch [rad/m]

    Raises
    ------
    InputError
        If a dimension is not above zero, the block coefficient is above 1, or a value is not finite.

    Validity: concept stage; heave and pitch within about 10 % from TRUSTED_PERIOD up, up to half too low in head
    seas below ROUGH_PERIOD, useless below SHORTEST_PERIOD.
    """
    for what, value in (("Length", length), ("Beam", beam), ("Draught", draught)):
        number(value, what, "m", above=0.0)
    number(gravity, "Gravity", "m/s²", above=0.0)
    number(block_coefficient, "Block coefficient", None, above=0.0, high=1.0)
    frequency = array(omega, "Angular frequency", "rad/s", low=0.0, missing=False)
    angle = array(heading, "Wave heading", "deg", missing=False)
    angle = angle.reshape(angle.shape + (1,) * frequency.ndim)
    wave_number = frequency**2 / gravity
    cos, sin = _cosine(angle), _cosine(angle - 90.0)
    breadth = beam * block_coefficient
    effective = np.abs(wave_number * cos)
    kt = wave_number * draught
    radiated = wave_number * breadth * _sinc(wave_number * breadth / 2) ** 2 * np.exp(-2 * kt)
    smith = np.exp(-effective * draught) * np.sqrt((1 - kt) ** 2 + radiated**2)
    resonance = 1 / np.sqrt((1 - 2 * kt) ** 2 + radiated**2)
    heave = resonance * smith * _sinc(effective * length / 2)
    pitch = 1j * np.sign(cos) * resonance * smith * (6 / length) * _first_bessel(effective * length / 2)
    slope = -1j * wave_number * sin * np.exp(-kt / 2)
    tilt = slope * _sinc(effective * length / 2) * _sinc(wave_number * sin * beam / 2)
    if roll is not None:
        period, damping = roll
        ratio = frequency * period / (2 * np.pi)
        tilt = tilt / (1 - ratio**2 + 2j * damping * ratio)
    parts = np.broadcast_arrays(heave, tilt, pitch)
    return MotionTransfer(*(np.array(part, dtype=np.complex128) for part in parts))


@dataclass(frozen=True)
class BoxHull:
    """A ship described by its main dimensions, its response in closed form (see `box_hull_response`)."""

    length: float = LENGTH.field(label="Waterline length", help="At the draught worked at.")
    beam: float = quantity("Beam", "length", low=5.0, high=100.0, help="Moulded, at the waterline.")
    draught: float = DRAUGHT.field(help="Worked at; heave changes with it.")
    block_coefficient: float = quantity(
        "Block coefficient",
        "number",
        default=0.85,
        low=0.3,
        high=1.0,
        help="Displaced volume over length, beam and draught.",
    )
    roll_period: float = quantity(
        "Natural roll period",
        "period",
        default=15.0,
        low=3.0,
        high=60.0,
        help="Measured, or from the stability booklet.",
    )
    roll_damping: float = quantity(
        "Roll damping of critical",
        "fraction",
        default=0.08,
        low=0.005,
        high=1.0,
        help="Share of critical damping; a few per cent without bilge keels.",
    )

    def __post_init__(self) -> None:
        validate(self)
        if self.draught > self.beam:
            raise InputError("Draught", self.draught, "m", f"at most the beam, {self.beam:g}\u00a0m")

    def transfer(self, omega: FloatArray, beta: FloatArray | float) -> MotionTransfer:
        """Motions about amidships: `box_hull_response`, faded out where it has no meaning.

        The closed form keeps half the wave's height in short beam seas, where a hull really lies
        still, so from 2π/SHORTEST_PERIOD its values are lowered linearly to nothing at SHORT_WAVE_FADE
        times that frequency.

        Parameters
        ----------
        omega : angular frequencies, shape (nω,) [rad/s]
        beta : direction of wave travel from the bow, shape (nβ,) or scalar [deg]

        Returns
        -------
        MotionTransfer of shape (nβ, nω)
        """
        omega, beta = np.atleast_1d(omega, beta)
        size = (self.length, self.beam, self.draught, self.block_coefficient)
        found = box_hull_response(omega, beta, *size, (self.roll_period, self.roll_damping))
        first = 2 * np.pi / SHORTEST_PERIOD
        fade = np.clip((SHORT_WAVE_FADE - omega / first) / (SHORT_WAVE_FADE - 1.0), 0.0, 1.0)
        return MotionTransfer(*(part * fade for part in found))


def _cosine(angle: FloatArray) -> FloatArray:
    """Cosine of degrees, exactly zero at ±90 so that a beam sea has no pitch of either sign."""
    turned = np.mod(angle, 360.0)
    return np.where((turned == 90.0) | (turned == 270.0), 0.0, np.cos(np.radians(turned)))


def _sinc(x: FloatArray) -> FloatArray:
    """sin(x)/x, 1 at zero."""
    return np.asarray(np.sinc(x / np.pi), dtype=np.float64)


def _first_bessel(x: FloatArray) -> FloatArray:
    """(sin x − x cos x)/x², with its series x/3 − x³/30 where the difference would lose its digits."""
    small = x < 1e-2
    safe = np.where(small, 1.0, x)
    return np.where(small, x / 3 - x**3 / 30, (np.sin(safe) - safe * np.cos(safe)) / safe**2)
