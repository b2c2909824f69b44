"""A vessel's motion response over frequency and heading, and how it is read between its points."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final, Literal, NamedTuple

import numpy as np

from heave.arrays import BoolArray, ComplexArray, FloatArray
from heave.errors import InputError
from heave.fields import Quantity, flag, quantity, text, validate
from heave.sea.arguments import array
from heave.units import STANDARD_GRAVITY, with_unit
from heave.vessel.oscillator import TableOscillator

LENGTH: Final = Quantity("Vessel length", "length", low=20.0, high=500.0)
DRAUGHT: Final = Quantity("Draught", "length", low=1.0, high=60.0)
REFERENCE_X: Final = Quantity("Reference point forward of origin", "length", low=-300.0, high=300.0)
REFERENCE_Y: Final = Quantity("Reference point to port of origin", "length", low=-100.0, high=100.0)
RADIATION_DAMPING: Final = Quantity("Radiation damping in heave", "damping", low=0.0, high=1e10)

MAX_HEAVE: Final = 10.0
"""Largest believable heave response [m/m]; a larger one means a wrong unit."""

MAX_ROTATION: Final = 0.35
"""Largest believable roll or pitch response [rad/m], 20°/m; a larger one means degrees read as radians."""

HIGHEST_OMEGA: Final = 20.0
"""Highest believable frequency of a table [rad/s]."""

MAX_HEADING_GAP: Final = 60.0
"""Widest gap between neighbouring headings of a table, all the way round [deg]."""

TAPER_END: Final = 1.25
"""Above the table the response falls linearly to nothing at this multiple of its highest frequency."""

SYMMETRIC_ROLL: Final = 0.02
"""Roll a symmetric table may show in head and following seas, as a share of its largest roll."""


_MOTIONS: Final = (
    ("heave", MAX_HEAVE, "m/m"),
    ("roll", MAX_ROTATION, "rad/m"),
    ("pitch", MAX_ROTATION, "rad/m"),
)


Motion = Literal["heave", "roll", "pitch"]
"""A motion of a vessel: vertical where it is asked for, or a turn of the whole of it."""


class MotionTransfer(NamedTuple):
    """Complex motions per metre of wave amplitude for Re{H ζ e^(+iωt)}, shape (nβ, nω).

    heave up [m/m], roll starboard-down [rad/m], pitch bow-down [rad/m], with the phase of the wave at the
    reference point.
    """

    heave: ComplexArray
    roll: ComplexArray
    pitch: ComplexArray


def long_wave_limit(omega: FloatArray, beta: FloatArray) -> MotionTransfer:
    """Motions of any hull in waves much longer than itself: it follows the surface and its slope.

    Elevation ζ e^(i(ωt − k(x cosβ + y sinβ))) gives heave 1, roll ∂/∂y = −ik sinβ and pitch −∂/∂x = ik cosβ,
    with k = ω²/g in deep water.

    Parameters
    ----------
    omega : angular frequencies, shape (nω,) [rad/s]
    beta : direction of wave travel from the bow, towards port positive, shape (nβ,) [deg]

    Returns
    -------
    MotionTransfer of shape (nβ, nω)
    """
    slope: ComplexArray = np.asarray(1j * omega**2 / STANDARD_GRAVITY, dtype=np.complex128)
    angle = np.radians(beta)[:, None]
    heave = np.ones((len(beta), len(omega)), dtype=np.complex128)
    roll = np.asarray(-slope * np.sin(angle), dtype=np.complex128)
    return MotionTransfer(heave, roll, np.asarray(slope * np.cos(angle), dtype=np.complex128))


@dataclass(frozen=True, eq=False)
class ResponseTable:
    """Motion response (RAO) of a vessel over frequency and heading, about a stated reference point.

    Parameters
    ----------
    omega : angular frequencies, ascending, shape (nω,) [rad/s]
    heading : direction of wave travel from the bow, ascending: 0 following sea, 90 travelling to port,
        180 head sea, shape (nβ,) [deg]
    heave : complex heave per wave amplitude, up, shape (nβ, nω) [m/m]
    roll : complex roll per wave amplitude, starboard down, shape (nβ, nω) [rad/m]
    pitch : complex pitch per wave amplitude, bow down, shape (nβ, nω) [rad/m]
    reference_x : distance of the reference point forward of the vessel's origin [m]
    reference_y : distance of the reference point to port of the vessel's origin [m]
    symmetric : the vessel is the same on both sides, so headings 0–180 serve for the other side too
    source : where the numbers come from
    damping_speed : standard deviation of heave speed in the sea its viscous damping was made linear in, or None [m/s]
    viscous_damping, natural_period, heave_stiffness : that damping [N·s/m], natural period of heave [s] and stiffness
        of the waterplane [N/m]: with all of them each sea gets the damping of its own, see `oscillator`
    radiation_damping : in heave near its natural period; None is none [N·s/m]
    phases : whether phases are known. Where they are not, the motions are amplitudes, which is to say real, and the
        hoist's is their upper bound |heave| + |y·roll| + |x·pitch|, see `Vessel.arms`

    Time dependence is Re{H ζ e^(+iωt)}; phases are those of a wave whose crest passes the reference
    point at t = 0. Values are kept in read-only copies; tables compare and hash by content.

    Raises
    ------
    InputError
        If a value is not finite, out of order, out of shape or not believable (see MAX_HEAVE and
        MAX_ROTATION), or the headings leave a gap wider than MAX_HEADING_GAP.
    """

    omega: FloatArray
    heading: FloatArray
    heave: ComplexArray
    roll: ComplexArray
    pitch: ComplexArray
    reference_x: float = REFERENCE_X.field(default=0.0)
    reference_y: float = REFERENCE_Y.field(default=0.0)
    symmetric: bool = flag("Same on both sides", default=True, help="Port and starboard respond alike.")
    source: str = text("Source of the response table", default="", longest=2000)
    damping_speed: float | None = quantity(
        "Heave speed its damping is for",
        "speed",
        low=0.001,
        high=20.0,
        optional=True,
        help="Standard deviation, in the sea its viscous damping was made linear in; a semisubmersible's matters.",
    )
    viscous_damping: float | None = quantity(
        "Viscous heave damping of the table", "damping", low=1.0, high=1e10, optional=True
    )
    natural_period: float | None = quantity(
        "Natural period in heave", "period", low=2.0, high=100.0, optional=True
    )
    heave_stiffness: float | None = quantity(
        "Stiffness of the waterplane", "stiffness", low=1e3, high=1e10, optional=True
    )
    radiation_damping: float | None = RADIATION_DAMPING.field(
        label="Radiation damping in heave, near its natural period", optional=True
    )
    phases: bool = flag(
        "Phases are known",
        default=True,
        help="Without them the hoist's motion is an upper bound: heave, roll and pitch at their largest together.",
    )
    _digest: bytes = field(init=False, repr=False, default=b"")

    def __post_init__(self) -> None:
        validate(self)
        for name in ("omega", "heading"):
            _keep(self, name, np.array(getattr(self, name), dtype=np.float64))
        omega, heading = self.omega, self.heading
        good = (omega > 0) & (omega <= HIGHEST_OMEGA)
        _check_axis(
            "Response table frequency", omega, "rad/s", f"above 0 to {HIGHEST_OMEGA:g}\u00a0rad/s", good
        )
        good = (heading >= 0) & ((heading <= 180) if self.symmetric else (heading < 360))
        allowed = "from 0 to 180 deg" if self.symmetric else "from 0 to below 360 deg"
        _check_axis("Response table heading", heading, "deg", allowed, good)
        shape = (len(heading), len(omega))
        for name, limit, unit in _MOTIONS:
            _keep(self, name, np.array(getattr(self, name), dtype=np.complex128))
            _check_values(f"Response table {name}", getattr(self, name), shape, limit, unit)
        gaps = np.diff(np.append(self._circle[0], self._circle[0][0] + 360.0))
        if gaps.max() > MAX_HEADING_GAP + 1e-9:
            allowed = f"neighbouring headings at most {MAX_HEADING_GAP:g} deg apart, all the way round"
            raise InputError("Response table headings", [float(h) for h in self.heading], "deg", allowed)
        stated = (self.viscous_damping, self.natural_period, self.heave_stiffness, self.radiation_damping)
        if any(one is not None for one in stated) and self.oscillator is None:
            allowed = "heave speed, viscous damping, natural period and stiffness, all of them or none"
            raise InputError("Response table heave damping", stated, None, allowed)
        shortest = 2.0 * np.pi / omega[-1]
        if self.natural_period is not None and self.natural_period < shortest:
            allowed = f"at least {shortest:.4g}\u00a0s, the shortest period in the table"
            raise InputError("Natural period in heave", self.natural_period, "s", allowed)
        for name, _, unit in _MOTIONS if not self.phases else ():
            values = getattr(self, name)
            if np.any(values.imag) or np.any(values.real < 0):
                raise InputError(
                    f"Response table {name}", "a phase", unit, "amplitudes, where no phase is known"
                )
        about = (self.reference_x, self.reference_y, self.symmetric, self.source, self.damping_speed)
        digest = hashlib.sha256(repr((shape, *about, *stated, *(() if self.phases else (False,)))).encode())
        for part in (self.omega, self.heading, self.heave, self.roll, self.pitch):
            digest.update(part.tobytes())
        object.__setattr__(self, "_digest", digest.digest())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ResponseTable) and self._digest == other._digest

    def __hash__(self) -> int:
        return hash(self._digest)

    @cached_property
    def oscillator(self) -> TableOscillator | None:
        """Its heave near resonance as an oscillator, where all that needs is stated."""
        speed, viscous, period = self.damping_speed, self.viscous_damping, self.natural_period
        if speed is None or viscous is None or period is None or self.heave_stiffness is None:
            return None
        return TableOscillator(period, self.heave_stiffness, viscous, speed, self.radiation_damping or 0.0)

    def knows(self, motion: Motion) -> bool:
        """Whether the table has that motion: one that is nil throughout was not given, for every hull turns."""
        return bool(np.any(getattr(self, motion)))

    def covers(self) -> tuple[float, float]:
        """Lowest and highest frequency of the table [rad/s]."""
        return float(self.omega[0]), float(self.omega[-1])

    def transfer(self, omega: FloatArray, beta: FloatArray | float) -> MotionTransfer:
        """Motions at any frequency and heading, read from the table.

        Real and imaginary parts are interpolated linearly over frequency and over heading (reading
        amplitudes instead comes out some 3 % high between points of different phase); of heave that is stated as an
        oscillator the wave force is interpolated so, which is smooth where the motion has its resonance. Below the
        lowest frequency ω₁ the difference from the long-wave limit dies out as (ω/ω₁)²; above the highest the
        response falls linearly to nothing at TAPER_END times it.

        Parameters
        ----------
        omega : angular frequencies, shape (nω,) [rad/s]
        beta : direction of wave travel from the bow, towards port positive, shape (nβ,) or scalar [deg]

        Returns
        -------
        MotionTransfer of shape (nβ, nω); nβ is 1 for a scalar heading

        Raises
        ------
        InputError
            If a frequency is negative or a value is not finite.
        """
        wanted = np.atleast_1d(array(omega, "Angular frequency", "rad/s", low=0.0, missing=False))
        angle = np.atleast_1d(array(beta, "Wave heading", "deg", missing=False))
        fall = np.clip((TAPER_END - wanted / self.omega[-1]) / (TAPER_END - 1.0), 0.0, 1.0)
        return MotionTransfer(*(part * fall for part in self._read(wanted, angle)))

    def held(self, omega: FloatArray, beta: FloatArray | float) -> MotionTransfer:
        """As `transfer` at `omega` [rad/s] and `beta` [°], with the last value held above the table."""
        return self._read(*np.atleast_1d(omega, beta))

    def _read(self, omega: FloatArray, beta: FloatArray) -> MotionTransfer:
        headings, *motions = self._circle
        inside = np.clip(omega, self.omega[0], self.omega[-1])
        below = np.minimum(omega / self.omega[0], 1.0) ** 2
        turn = _heading_weights(headings, beta)
        limit = self._limit(omega, beta)
        start = self._limit(self.omega[:1], beta)
        parts, heave = [], self.oscillator
        for place, (values, far, near) in enumerate(zip(motions, limit, start, strict=True)):
            if heave is not None and place == 0:
                force = values * heave.impedance(self.omega)
                read = turn @ np.stack([np.interp(inside, self.omega, row) for row in force])
                read = read / heave.impedance(inside)
            else:
                read = turn @ np.stack([np.interp(inside, self.omega, row) for row in values])
            parts.append(np.where(omega < self.omega[0], far + (read - near) * below, read))
        return MotionTransfer(*parts)

    def _limit(self, omega: FloatArray, beta: FloatArray) -> MotionTransfer:
        """Where the table goes in long waves; amplitudes where it has no phases."""
        limit = long_wave_limit(omega, beta)
        if self.phases:
            return limit
        return MotionTransfer(*(np.abs(part).astype(np.complex128) for part in limit))

    @cached_property
    def _circle(self) -> tuple[FloatArray, ComplexArray, ComplexArray, ComplexArray]:
        """Headings all the way round and the motions there; on the mirrored side roll is reversed."""
        if not self.symmetric:
            return self.heading, self.heave, self.roll, self.pitch
        roll = self.roll.copy()
        on_axis = np.isin(self.heading, (0.0, 180.0))
        if np.any(np.abs(roll[on_axis]) > SYMMETRIC_ROLL * np.abs(roll).max()):
            allowed = "no roll in head and following seas of a symmetric table"
            raise InputError("Response table roll", float(np.abs(roll[on_axis]).max()), "rad/m", allowed)
        roll[on_axis] = 0.0
        other = np.flatnonzero(~on_axis)[::-1]
        return (
            np.concatenate((self.heading, 360.0 - self.heading[other])),
            np.concatenate((self.heave, self.heave[other])),
            np.concatenate((roll, -roll[other] if self.phases else roll[other])),
            np.concatenate((self.pitch, self.pitch[other])),
        )


def _heading_weights(headings: FloatArray, beta: FloatArray) -> FloatArray:
    """Weights (nβ, n headings) that interpolate linearly round the circle."""
    turned = np.mod(beta, 360.0)
    ring = np.concatenate((headings, headings[:1] + 360.0))
    turned = np.where(turned < ring[0], turned + 360.0, turned)
    low = np.clip(np.searchsorted(ring, turned, side="right") - 1, 0, len(headings) - 1)
    share = (turned - ring[low]) / (ring[low + 1] - ring[low])
    weights = np.zeros((len(beta), len(headings)))
    rows = np.arange(len(beta))
    weights[rows, low] = 1.0 - share
    weights[rows, (low + 1) % len(headings)] += share
    return weights


def _keep(table: ResponseTable, name: str, values: FloatArray | ComplexArray) -> None:
    values.setflags(write=False)
    object.__setattr__(table, name, values)


def _check_axis(what: str, values: FloatArray, unit: str, allowed: str, good: BoolArray) -> None:
    if values.ndim != 1 or len(values) < 2:
        raise InputError(what, values.tolist(), unit, "a list of at least two values")
    array(values, what, unit, missing=False)
    if not np.all(good) or np.any(np.diff(values) <= 0):
        raise InputError(what, values.tolist(), unit, f"ascending values {allowed}")


def _check_values(what: str, values: ComplexArray, shape: tuple[int, int], limit: float, unit: str) -> None:
    if values.shape != shape:
        raise InputError(what, values.shape, None, f"{shape[0]} headings by {shape[1]} frequencies")
    size = array(np.abs(values), what, unit, missing=False)
    if size.max() > limit:
        raise InputError(what, float(size.max()), unit, f"at most {with_unit(f'{limit:g}', unit)}")
