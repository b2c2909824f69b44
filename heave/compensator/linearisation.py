"""Equivalent damping of friction and quadratic loss, sea by sea, and the moments it gives.

Coulomb friction F_f and the quadratic loss c_q ẋ|ẋ| are replaced by the linear damping that takes out
the same power in a Gaussian sea,

    c = √(2/π) F_f/σ_ẋ + √(8/π) c_q σ_ẋ        (Roberts and Spanos, Random Vibration and Statistical
                                                Linearization, ch. 5; σ_ẋ of the stroke velocity),

and c and σ_ẋ are found together for every sea. With a = E at c = 0 and r = ρ ω·dip the denominator of
every transfer function is |E|² = |a|² + 2c·Im(a r*) + c²|r|², so S/|E|² is one division per point, and
each spectral moment a product with a table that is the same for all seas. c comes from the stroke velocity
tabulated at some dampings, once for every cycle asked about, and the moments are then exact at that c.
c σ_ẋ(c) grows with c and c times the right-hand side falls off, so a passive unit has one solution.

That damping would mislead in the largest cycles. In a cycle of speed amplitude V friction takes out the power of
a damping 4 F_f/(πV), and the loss that of 8 c_q V/(3π) (for example Den Hartog, Mechanical Vibrations, equivalent
viscous damping). With V = κσ these are the Gaussian figures with F_f times (4/π)/(κ√(2/π)) and c_q times
8κ/(3π√(8/π)): at κ = 4, 0.40 and 2.13. A unit that a moderate sea cannot move may therefore still be moved, and
driven into resonance, by the largest waves of that sea. Against simulation the larger of both linearisations is on
the safe side where the first alone is not.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Floats, Indices
from heave.compensator.transfer import LinearSystem, driven_force

COULOMB: Final = math.sqrt(2 / math.pi)
"""Equivalent damping of Coulomb friction is this × F_f/σ_ẋ."""

QUADRATIC: Final = math.sqrt(8 / math.pi)
"""Equivalent damping of quadratic loss is this × c_q σ_ẋ."""

FASTEST: Final = 20.0
"""Standard deviation of stroke velocity beyond which no answer is given [m/s]."""

SLOWEST: Final = 1e-4
"""Standard deviation of stroke velocity below which quadratic loss alone damps nothing [m/s]."""

FIGURES: Final = {"stroke": (0, 2, 4), "hook": (0, 2, 4), "force": (0, 2), "active": (0, 2), "bit": (0, 2, 4)}
"""Figures of the response with the orders of the moments that are offered of each."""

_NODES: Final = 48

_ORDER: Final = np.arange(6)
_THROUGH: Final = np.linalg.inv(np.vander(_ORDER.astype(np.float64)))
"""Coefficients of the polynomial through six values at 0 … 5, highest power first."""


class Cycle(NamedTuple):
    """Shares of friction and of quadratic loss that damp a cycle as they damp the average cycle of a Gaussian sea."""

    friction: float
    loss: float


AVERAGE: Final = Cycle(1.0, 1.0)
"""The average cycle of a Gaussian sea."""

LARGEST_CYCLE: Final = 4.0
"""Speed amplitude of the largest cycle over σ, κ: between the most probable and the 1 in 10 of a thousand cycles."""

LARGEST: Final = Cycle(4 / math.pi / LARGEST_CYCLE / COULOMB, 8 / (3 * math.pi) * LARGEST_CYCLE / QUADRATIC)
"""The largest cycle."""


@dataclass(frozen=True)
class Answer:
    """What one cycle's damping gives for n seas.

    moments : (n, k), a column for each figure and order asked for
    damping : (n,) [N·s/m]; infinite where `stuck`: friction never breaks
    """

    moments: FloatArray
    damping: FloatArray
    stuck: BoolArray


class LinearModel:
    """A unit, its string and what is set on it, ready to meet many seas.

    Parameters
    ----------
    system : the equation of motion, on m frequencies
    width : cell widths, shape (m,) [rad/s]
    friction, loss : F_f [N] and c_q [N·s²/m²]
    cycles : the cycles to linearise for
    figures : of FIGURES; their moments are the columns of an Answer
    dtype : floating-point type of the work, and of the spectra
    """

    def __init__(
        self,
        system: LinearSystem,
        width: FloatArray,
        friction: float,
        loss: float,
        *,
        cycles: Sequence[Cycle] = (AVERAGE,),
        figures: Sequence[str] = tuple(FIGURES),
        dtype: npt.DTypeLike = np.float64,
    ) -> None:
        self.on_bottom, self.figures = system.on_bottom, tuple(figures)
        if system.rigid:
            friction = loss = 0.0
        shares = np.array(cycles)
        self.coulomb, self.loss = COULOMB * friction * shares[:, 0], QUADRATIC * loss * shares[:, 1]
        self.least = _least(self.coulomb, self.loss)
        denominator, plain, damped = _parts(system)
        self.unit, self.nodes = _nodes(denominator, self.least)
        powers = self.unit ** np.arange(3.0)
        scaled = denominator * powers[:, None]
        columns = [_columns(part, self.figures, system.omega, width) for part in (plain, damped)]
        columns[1] *= powers[2]
        speed = _columns(plain, ("stroke",), system.omega, width)[:, 1]
        at_nodes = scaled.T @ (self.nodes / self.unit) ** np.arange(3.0)[:, None]
        self.dtype = np.dtype(dtype)
        self.denominator = scaled.astype(dtype)
        self.numerators = np.concatenate(columns, axis=1).astype(dtype)
        self.table = (speed[:, None] / at_nodes).astype(dtype)

    def respond(self, spectra: Floats, space: Floats | None = None) -> list[Answer]:
        """The answer of each cycle.

        Parameters
        ----------
        spectra : heave spectra, zero or above or NaN, shape (n, m) [m²·s], n few enough to stay in the
            processor's cache
        space : memory of that shape and type to work in; new memory for each block costs as much as half of the work
        """
        space = np.empty(spectra.shape, dtype=self.dtype) if space is None else space
        damping, stuck = self._solve(np.sqrt(spectra @ self.table))
        # friction that never breaks is the limit of endless damping; a value this far beyond all others
        # gives that limit to rounding
        share = np.where(stuck, 1e6 * self.nodes[-1], damping) / self.unit
        powers = np.ones((*share.shape, 3), dtype=self.dtype)
        powers[..., 1], powers[..., 2] = share, np.square(share)
        both = np.empty((*share.shape, self.numerators.shape[1]), dtype=self.dtype)
        for cycle, found in zip(powers, both, strict=True):
            np.matmul(cycle, self.denominator, out=space)
            np.matmul(np.divide(spectra, space, out=space), self.numerators, out=found)
        plain, damped = np.split(both.astype(np.float64), 2, axis=2)
        moments = plain + np.square(share)[..., None] * damped
        if self.on_bottom and "bit" in self.figures:
            # friction damps the motion behind the bit force; what it adds to the force comes on top
            bit = _place(self.figures, "bit")
            hydraulic = np.square(self.loss / self.unit)[:, None] * moments[..., 1]
            moments[..., bit] = plain[..., bit] + hydraulic[..., None] * damped[..., bit]
        return [Answer(*found) for found in zip(moments, damping, stuck, strict=True)]

    def _solve(self, speeds: Floats) -> tuple[FloatArray, BoolArray]:
        """Equivalent damping of each cycle and sea, and whether friction never breaks, from speeds at the nodes."""
        rubs, shape = self.coulomb.any(), (self.loss.size, len(speeds))
        known = np.broadcast_to(~np.isnan(speeds[:, 0]), shape)
        if not (rubs or self.loss.any()):
            return np.where(known, 0.0, np.nan), np.zeros(shape, dtype=np.bool_)
        coulomb, loss = (part.astype(self.dtype)[:, None, None] for part in (self.coulomb, self.loss))
        wanted = loss * speeds
        if rubs:
            with np.errstate(divide="ignore"):
                wanted += coulomb / speeds
        below = wanted <= self.nodes.astype(self.dtype)
        first = np.argmax(below, axis=2)
        crosses = below.any(axis=2)
        damping = np.where(known & ~crosses, np.inf, np.nan)
        if not rubs:  # nearly nothing damps a motion as slow as this
            damping = np.where(first == 0, wanted[:, :, 0], damping)
        inside = np.nonzero(crosses & (first > 0))
        damping[inside] = self._between(wanted, inside, first[inside])
        if rubs:  # too fast to be a sea
            damping[damping < self.least[:, None]] = np.nan
        return damping, known & ~crosses

    def _between(self, wanted: Floats, which: tuple[Indices, ...], first: Indices) -> FloatArray:
        """Where the damping wanted is the damping there is, between nodes `first` − 1 and `first`.

        Newton's method on a polynomial of fifth order through six neighbours, in logarithms.
        """
        left = np.minimum(np.maximum(first - 3, 0), self.nodes.size - _ORDER.size)
        picked, row = left + _ORDER[:, None], np.arange(first.size)
        excess = np.log(wanted[(*which, picked)] / self.nodes.astype(self.dtype)[picked])
        curve = _THROUGH @ excess.astype(np.float64)
        low = first - 1 - left
        above, under = excess[low, row], excess[low + 1, row]
        place = low + above / (above - under)
        for _ in range(2):
            value, slope = curve[0], np.zeros_like(place)
            for coefficient in curve[1:]:
                slope = slope * place + value
                value = value * place + coefficient
            place = np.minimum(np.maximum(place - value / slope, low), low + 1)
        return np.asarray(self.nodes[0] * np.exp((left + place) * np.log(self.nodes[1] / self.nodes[0])))


def _parts(system: LinearSystem) -> tuple[FloatArray, dict[str, FloatArray], dict[str, FloatArray]]:
    """Denominator in powers of c (3, m), and numerators of every figure at c⁰ and c²."""
    omega, residual, dip, load = system.omega, system.residual, system.dip, system.load
    none = np.zeros_like(omega)
    if system.rigid:
        plain = {
            "stroke": np.abs(1 - residual) ** 2,
            "hook": np.abs(residual) ** 2,
            "force": np.abs(residual * load / dip) ** 2,
            "active": np.abs(driven_force(system)) ** 2,
            "bit": np.abs(residual / dip) ** 2,
        }
        return np.stack([none + 1.0, none, none]), plain, dict.fromkeys(plain, none)
    at_rest = residual * system.spring * dip + load
    rate = residual * omega * dip
    cross = 2 * np.imag(at_rest * np.conj(rate))
    passed = {
        "hook": np.abs(residual * dip) ** 2,
        "force": np.abs(residual * load) ** 2,
        "active": np.abs(system.active * load) ** 2,
        "bit": np.abs(residual) ** 2,
    }
    plain = {"stroke": np.abs(load) ** 2} | {key: system.spring**2 * v for key, v in passed.items()}
    damped = {"stroke": none} | {key: omega**2 * v for key, v in passed.items()}
    return np.stack([np.abs(at_rest) ** 2, cross, np.abs(rate) ** 2]), plain, damped


def _columns(
    numerators: dict[str, FloatArray], figures: Sequence[str], omega: FloatArray, width: FloatArray
) -> FloatArray:
    return np.stack(
        [numerators[name] * omega**order * width for name in figures for order in FIGURES[name]], axis=1
    )


def _place(figures: Sequence[str], name: str) -> slice:
    """Columns of one figure among those of `figures`."""
    start = sum(len(FIGURES[other]) for other in figures[: list(figures).index(name)])
    return slice(start, start + len(FIGURES[name]))


def _least(coulomb: FloatArray, loss: FloatArray) -> FloatArray:
    """A little less than the lowest damping each cycle's friction and loss can give at any speed of a sea [N·s/m]."""
    slowest = np.sqrt(np.divide(coulomb, loss, out=np.full(loss.shape, FASTEST**2), where=loss > 0))
    speed = np.clip(slowest, SLOWEST, FASTEST)
    return np.asarray(0.9 * (coulomb / speed + loss * speed))


def _nodes(denominator: FloatArray, least: FloatArray) -> tuple[float, FloatArray]:
    """The damping that matches spring and string, and dampings that hold every possible solution, log-spaced."""
    if not least.any():
        return 1.0, np.zeros(1)
    still, _, moving = denominator
    felt = moving > 0
    # a perfect active part leaves no damping force at all: then any damping will do, however large
    ratio = np.sort(still[felt] / moving[felt])
    middle = ratio[
        (ratio.size - 1) // 2 : ratio.size // 2 + 1
    ]  # NumPy's median brings 2 MB of masked arrays along
    match = float(np.sqrt(middle.mean())) if ratio.size else 1e9 * float(least.min())
    # far above the damping that matches spring and string at any frequency, nothing changes any more
    return match, np.geomspace(least.min(), 1e3 * max(match, *least), _NODES)
