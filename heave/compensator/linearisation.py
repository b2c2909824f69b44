"""Equivalent damping of friction and quadratic loss, sea by sea, and the moments it gives.

Coulomb friction F_f and the quadratic loss c_q ẋ|ẋ| are replaced by the linear damping that takes out
the same power in a Gaussian sea,

    c = √(2/π) F_f/σ_ẋ + √(8/π) c_q σ_ẋ        (Roberts and Spanos, Random Vibration and Statistical
                                                Linearization, ch. 5; σ_ẋ of the stroke velocity),

and c and σ_ẋ are found together for every sea. With a = E at c = 0 and r = ρ ω·dip the denominator of
every transfer function is |E|² = |a|² + 2c·Im(a r*) + c²|r|², so S/|E|² is one division per point, and
each spectral moment a product with a table that is the same for all seas. A first c comes from the
stroke velocity tabulated at some dampings, once for every cycle asked about; an exact evaluation then corrects it.
c σ_ẋ(c) grows with c and c times the right-hand side falls off, so a passive unit has one solution.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.compensator.transfer import LinearSystem, driven_force

FloatArray = npt.NDArray[np.float64]
Floats = npt.NDArray[np.floating[Any]]
BoolArray = npt.NDArray[np.bool_]

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

_NODES: Final = 40


class Cycle(NamedTuple):
    """Shares of friction and of quadratic loss that damp a cycle as they damp the average cycle of a Gaussian sea."""

    friction: float
    loss: float


AVERAGE: Final = Cycle(1.0, 1.0)
"""The average cycle of a Gaussian sea."""


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
        self.dampers = [
            (COULOMB * friction * cycle.friction, QUADRATIC * loss * cycle.loss) for cycle in cycles
        ]
        denominator, plain, damped = _parts(system)
        self.unit, nodes = _nodes(denominator, self.dampers)
        powers = self.unit ** np.arange(3.0)
        scaled = denominator * powers[:, None]
        columns = [_columns(part, self.figures, system.omega, width) for part in (plain, damped)]
        columns[1] *= powers[2]
        speed = _columns(plain, ("stroke",), system.omega, width)[:, 1]
        at_nodes = scaled.T @ (nodes / self.unit) ** np.arange(3.0)[:, None]
        self.nodes, self.dtype = nodes, np.dtype(dtype)
        self.denominator = scaled.astype(dtype)
        self.numerators = np.concatenate(columns, axis=1).astype(dtype)
        self.speed = speed.astype(dtype)
        self.table = (speed[:, None] / at_nodes).astype(dtype)

    def respond(self, spectra: Floats) -> list[Answer]:
        """The answer of each cycle.

        Parameters
        ----------
        spectra : heave spectra, zero or above or NaN, shape (n, m) [m²·s], n few enough to stay in the
            processor's cache
        """
        space = np.empty(spectra.shape, dtype=self.dtype)
        speeds = np.sqrt(spectra @ self.table)
        return [self._answer(spectra, speeds, damper, space) for damper in self.dampers]

    def _answer(self, spectra: Floats, speeds: Floats, damper: tuple[float, float], space: Floats) -> Answer:
        damping, stuck = self._solve(spectra, speeds, damper, space)
        # friction that never breaks is the limit of endless damping; a value this far beyond all others
        # gives that limit to rounding
        finite = np.where(stuck, 1e6 * self.nodes[-1], damping)
        both = (self._over_denominator(spectra, finite, space) @ self.numerators).astype(np.float64)
        count = both.shape[1] // 2
        plain, damped = both[:, :count], both[:, count:]
        moments = plain + np.square(finite / self.unit)[:, None] * damped
        if self.on_bottom and "bit" in self.figures:
            # friction damps the motion behind the bit force; what it adds to the force comes on top
            bit = _place(self.figures, "bit")
            hydraulic = np.square(damper[1] / self.unit) * moments[:, 1]
            moments[:, bit] = plain[:, bit] + hydraulic[:, None] * damped[:, bit]
        return Answer(moments, damping, stuck)

    def _over_denominator(self, spectra: Floats, damping: FloatArray, space: Floats) -> Floats:
        """S/|E|² at each sea's own damping, in `space`, (n, m)."""
        share = damping / self.unit
        powers = np.stack([np.ones_like(share), share, share**2], axis=1).astype(self.dtype)
        np.matmul(powers, self.denominator, out=space)
        return np.divide(spectra, space, out=space)

    def _solve(
        self, spectra: Floats, speeds: Floats, damper: tuple[float, float], space: Floats
    ) -> tuple[FloatArray, BoolArray]:
        """Equivalent damping of each sea, and whether friction never breaks."""
        nodes, coulomb = self.nodes, damper[0]
        if coulomb == 0 and damper[1] == 0:
            return np.where(np.isnan(speeds[:, 0]), np.nan, 0.0), np.zeros(len(spectra), dtype=np.bool_)
        with np.errstate(divide="ignore"):
            wanted = _equivalent(damper, speeds)
        known = ~np.isnan(wanted[:, 0])
        below = wanted <= nodes.astype(self.dtype)
        first = np.argmax(below, axis=1)
        crosses = below[np.arange(len(first)), first]
        inside, stuck = crosses & (first > 0), known & ~crosses
        damping = np.where(stuck, np.inf, np.nan)
        if coulomb == 0:  # nearly nothing damps a motion as slow as this
            tiny = known & crosses & (first == 0)
            damping[tiny] = wanted[tiny, 0]
        if inside.any():
            refined = self._refine(spectra, wanted, np.where(inside, first, 1), damper, space)
            if coulomb > 0:  # too fast to be a sea
                refined[refined < _least(damper)] = np.nan
            damping[inside] = refined[inside]
        return damping, stuck

    def _refine(
        self,
        spectra: Floats,
        wanted: Floats,
        first: npt.NDArray[np.intp],
        damper: tuple[float, float],
        space: Floats,
    ) -> FloatArray:
        """Damping where a parabola through three tabulated neighbours says, corrected by an exact evaluation."""
        row, logs = np.arange(len(first)), np.log(self.nodes)
        step = logs[1] - logs[0]
        with np.errstate(divide="ignore", invalid="ignore"):
            near = np.minimum(first + 1, len(logs) - 1)
            over, under, beyond = (
                np.log(wanted[row, place].astype(np.float64)) - logs[place]
                for place in (first - 1, first, near)
            )
            bend = np.where(near > first, 0.5 * (beyond - 2.0 * under + over), 0.0)
            place = over / (over - under)
            for _ in range(2):
                slope = under - over + bend * (2.0 * place - 1.0)
                place = place - (over + (under - over) * place + bend * place * (place - 1.0)) / slope
            logarithm = logs[first - 1] + step * np.clip(place, 0.0, 1.0)
            # a sea with nothing to find here, such as none at all, is left where it is
            logarithm = np.where(np.isfinite(logarithm), logarithm, logs[first])
            scaled = self._over_denominator(spectra, np.exp(logarithm), space)
            speed = np.sqrt((scaled @ self.speed).astype(np.float64))
            error = np.log(_equivalent(damper, speed)) - logarithm
            move = np.clip(-error * step / slope, -step, step)
            logarithm += np.where(np.isfinite(move), move, 0.0)
        return np.asarray(np.exp(logarithm))


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


def _least(damper: tuple[float, float]) -> float:
    """A little less than the lowest damping that friction and loss can give at any speed of a sea [N·s/m]."""
    coulomb, quadratic = damper
    slowest = math.sqrt(coulomb / quadratic) if quadratic > 0 else FASTEST
    speed = min(max(slowest, SLOWEST), FASTEST)
    return 0.9 * (coulomb / speed + quadratic * speed)


def _nodes(denominator: FloatArray, dampers: list[tuple[float, float]]) -> tuple[float, FloatArray]:
    """The damping that matches spring and string, and dampings that hold every possible solution, log-spaced."""
    if not any(map(any, dampers)):
        return 1.0, np.zeros(1)
    lowest = min(_least(damper) for damper in dampers)
    still, _, moving = denominator
    felt = moving > 0
    # a perfect active part leaves no damping force at all: then any damping will do, however large
    match = float(np.sqrt(np.median(still[felt] / moving[felt]))) if felt.any() else 1e9 * lowest
    # far above the damping that matches spring and string at any frequency, nothing changes any more
    highest = 1e3 * max(match, *(_least(damper) for damper in dampers))
    return match, np.geomspace(lowest, highest, _NODES)


def _equivalent(damper: tuple[float, float], speed: Floats) -> Floats:
    """√(2/π) F_f/σ + √(8/π) c_q σ at a standard deviation of stroke velocity."""
    coulomb, quadratic = damper
    damping = quadratic * speed
    return np.asarray(damping + coulomb / speed if coulomb > 0 else damping)
