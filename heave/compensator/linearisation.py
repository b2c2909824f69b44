"""Equivalent damping of friction and quadratic loss, sea by sea, and the moments it gives.

Coulomb friction F_f and the quadratic loss c_q ẋ|ẋ| are replaced by the linear damping that takes out
the same power in a Gaussian sea,

    c = √(2/π) F_f/σ_ẋ + √(8/π) c_q σ_ẋ        (Roberts and Spanos, Random Vibration and Statistical
                                                Linearization, ch. 5; σ_ẋ of the stroke velocity),

and c and σ_ẋ are found together for every sea. With a = E at c = 0 and r = ρ ω·dip the denominator of
every transfer function is |E|² = |a|² + 2c·Im(a r*) + c²|r|², so S/|E|² is one division per point, and
each spectral moment a product with a table that is the same for all seas. A first c comes from the
stroke velocity tabulated at some dampings; exact evaluations then correct it. c σ_ẋ(c) grows with c
and c times the right-hand side falls off, so a passive unit has one solution.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.compensator.transfer import LinearSystem
from heave.errors import InputError

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

COULOMB: Final = math.sqrt(2 / math.pi)
"""Equivalent damping of Coulomb friction is this × F_f/σ_ẋ."""

QUADRATIC: Final = math.sqrt(8 / math.pi)
"""Equivalent damping of quadratic loss is this × c_q σ_ẋ."""

FASTEST: Final = 20.0
"""Standard deviation of stroke velocity beyond which no answer is given [m/s]."""

SLOWEST: Final = 1e-4
"""Standard deviation of stroke velocity below which quadratic loss alone damps nothing [m/s]."""

_NODES: Final = 40
_CORRECTIONS: Final = 2
_ORDERS: Final = {"stroke": (0, 2, 4), "hook": (0, 2, 4), "force": (0, 2), "active": (0, 2), "bit": (0, 2, 4)}


@dataclass(frozen=True)
class Tables:
    """What all seas share: denominator (3, nω) in powers of c, numerators (nω, columns) at c⁰ and c²."""

    denominator: FloatArray
    plain: FloatArray
    damped: FloatArray
    coulomb: float
    quadratic: float
    nodes: FloatArray
    on_bottom: bool


def build_tables(system: LinearSystem, width: FloatArray, friction: float, loss: float) -> Tables:
    """Denominator and numerators of all moments, and the dampings to tabulate."""
    omega, residual, dip, load = system.omega, system.residual, system.dip, system.load
    squared = omega**2
    none = np.zeros_like(omega)
    if system.rigid:
        friction = loss = 0.0
        denominator = np.stack([none + 1.0, none, none])
        plain = {
            "stroke": np.abs(1 - residual) ** 2,
            "hook": np.abs(residual) ** 2,
            "force": np.abs(residual * load / dip) ** 2,
            "active": none,
            "bit": np.abs(residual / dip) ** 2,
        }
        damped = dict.fromkeys(plain, none)
    else:
        at_rest = residual * system.spring * dip + load
        rate = residual * omega * dip
        cross = 2 * np.imag(at_rest * np.conj(rate))
        denominator = np.stack([np.abs(at_rest) ** 2, cross, np.abs(rate) ** 2])
        passed = {
            "hook": np.abs(residual * dip) ** 2,
            "force": np.abs(residual * load) ** 2,
            "active": np.abs(system.active * load) ** 2,
            "bit": np.abs(residual) ** 2,
        }
        plain = {"stroke": np.abs(load) ** 2} | {key: system.spring**2 * v for key, v in passed.items()}
        damped = {"stroke": none} | {key: squared * v for key, v in passed.items()}
    coulomb, quadratic = COULOMB * friction, QUADRATIC * loss
    return Tables(
        denominator,
        _columns(plain, omega, width),
        _columns(damped, omega, width),
        coulomb,
        quadratic,
        _nodes(denominator, coulomb, quadratic),
        system.on_bottom,
    )


def _columns(numerators: dict[str, FloatArray], omega: FloatArray, width: FloatArray) -> FloatArray:
    return np.stack(
        [numerators[name] * omega**order * width for name, orders in _ORDERS.items() for order in orders],
        axis=1,
    )


def _nodes(denominator: FloatArray, coulomb: float, quadratic: float) -> FloatArray:
    """Dampings that hold every possible solution, log-spaced; one zero where nothing damps."""
    if coulomb == 0 and quadratic == 0:
        return np.zeros(1)
    slowest = math.sqrt(coulomb / quadratic) if quadratic > 0 else FASTEST
    speed = min(max(slowest, SLOWEST), FASTEST)
    lowest = 0.9 * (coulomb / speed + quadratic * speed)
    # far above the damping that matches spring and string at any frequency, nothing changes any more
    still, _, moving = denominator
    felt = moving > 0
    # a perfect active part leaves no damping force at all: then any damping will do, however large
    match = float(np.sqrt(np.median(still[felt] / moving[felt]))) if felt.any() else 1e9 * lowest
    highest = 1e3 * max(match, lowest)
    return np.geomspace(lowest, highest, _NODES)


def moments_of(tables: Tables, spectra: FloatArray) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Moments (rows, columns), damping and stuck flags of some seas."""
    if bool(np.any((spectra < 0) | np.isposinf(spectra))):
        raise InputError("heave spectrum", "a negative or infinite value", "m²·s", "zero or above")
    damping, stuck = _solve(tables, spectra)
    # friction that never breaks is the limit of endless damping; a value this far beyond all others
    # gives that limit to rounding
    finite = np.where(stuck, 1e6 * tables.nodes[-1], damping)
    scaled = _over_denominator(tables, spectra, finite)
    plain, damped = scaled @ tables.plain, scaled @ tables.damped
    moments = plain + (finite**2)[:, None] * damped
    if tables.on_bottom:
        hydraulic = tables.quadratic**2 * moments[:, 1]
        moments[:, -3:] = plain[:, -3:] + hydraulic[:, None] * damped[:, -3:]
    return moments, damping, stuck


def _over_denominator(tables: Tables, spectra: FloatArray, damping: FloatArray) -> FloatArray:
    """S/|E|² at each sea's own damping, (rows, nω)."""
    powers = np.stack([np.ones_like(damping), damping, damping**2], axis=1)
    scaled = powers @ tables.denominator
    np.divide(spectra, scaled, out=scaled)
    return scaled


def _solve(tables: Tables, spectra: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Equivalent damping of each sea, and whether friction never breaks."""
    nodes = tables.nodes
    velocity_column = tables.plain[:, 1]
    powers = np.stack([np.ones_like(nodes), nodes, nodes**2])
    table = velocity_column[:, None] / (tables.denominator.T @ powers)
    with np.errstate(divide="ignore"):
        wanted = _equivalent(tables, spectra @ table)
        known = np.isfinite(wanted[:, 0]) | np.isposinf(wanted[:, 0])
        if nodes.size == 1:
            return np.where(known, 0.0, np.nan), np.zeros(len(spectra), dtype=np.bool_)
        miss = np.log(wanted) - np.log(nodes)
    below = miss <= 0
    first = np.argmax(below, axis=1)
    inside = below.any(axis=1) & (first > 0)
    stuck = known & ~below.any(axis=1)
    damping = np.where(stuck, np.inf, np.nan)
    # below the first node: no answer with friction (too fast to be a sea); nearly nothing without
    tiny = known & below[:, 0]
    damping[tiny] = wanted[tiny, 0] if tables.coulomb == 0 else np.nan
    damping[inside] = _refine(tables, spectra[inside], miss[inside], first[inside])
    return damping, stuck


def _refine(tables: Tables, spectra: FloatArray, miss: FloatArray, first: npt.NDArray[np.intp]) -> FloatArray:
    """Damping between tabulated neighbours, corrected by exact evaluations."""
    step = math.log(tables.nodes[1] / tables.nodes[0])
    row = np.arange(len(first))
    over, under = miss[row, first - 1], miss[row, first]
    slope = (under - over) / step
    logarithm = np.log(tables.nodes[first]) - step * under / (under - over)
    for _ in range(_CORRECTIONS):
        damping = np.exp(logarithm)
        variance = _over_denominator(tables, spectra, damping) @ tables.plain[:, 1]
        error = np.log(_equivalent(tables, variance)) - logarithm
        logarithm -= np.clip(error / slope, -step, step)
    return np.asarray(np.exp(logarithm))


def _equivalent(tables: Tables, variance: FloatArray) -> FloatArray:
    """√(2/π) F_f/σ + √(8/π) c_q σ for the variance of stroke velocity."""
    speed = np.sqrt(variance)
    damping = tables.quadratic * speed
    return np.asarray(damping + tables.coulomb / speed if tables.coulomb > 0 else damping)
