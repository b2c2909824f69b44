"""The outcome of a check over sea states, and the steps that most checks share."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.judging.working import Step, Term
from heave.planning.plan import Plan
from heave.vessel import AmplitudeStatistics

FloatArray = npt.NDArray[np.float64]

GAUSSIAN: Final = "Rayleigh peaks of a Gaussian process (Ochi, Ocean Waves, 1998; DNV-RP-C205, 3.5)"
GAS_LAW: Final = "polytropic gas law on absolute pressure; seal friction 1–3 % of load is common practice"


@dataclass(frozen=True)
class Outcome:
    """Demand and capacity over sea states (n,), with the steps that led to them."""

    demand: FloatArray
    capacity: FloatArray
    steps: tuple[Step, ...]

    @property
    def utilisation(self) -> FloatArray:
        """Demand over capacity; infinite where nothing is left of the capacity, NaN where unknown."""
        demand, capacity = np.broadcast_arrays(self.demand, self.capacity)
        spent = np.where(np.isnan(demand) | np.isnan(capacity), math.nan, math.inf)
        return np.asarray(np.divide(demand, capacity, out=spent, where=capacity > 0))


def known(value: float | None) -> float:
    """The value, or NaN where none is given, so that whatever rests on it is not assessed."""
    return math.nan if value is None else value


def outcome(demand: npt.ArrayLike, capacity: npt.ArrayLike, *steps: Step) -> Outcome:
    """An outcome from anything array-like."""
    return Outcome(np.asarray(demand, dtype=np.float64), np.asarray(capacity, dtype=np.float64), steps)


def worst_of(sides: list[Outcome]) -> Outcome:
    """Of outcomes on several sides, row by row the one with the highest utilisation; every side's steps."""
    shares = np.stack([np.nan_to_num(side.utilisation, nan=-math.inf) for side in sides])
    worst = np.argmax(shares, axis=0)
    demand = np.stack([np.broadcast_to(side.demand, worst.shape) for side in sides])
    capacity = np.stack([np.broadcast_to(side.capacity, worst.shape) for side in sides])
    return Outcome(
        np.take_along_axis(demand, worst[None], axis=0)[0],
        np.take_along_axis(capacity, worst[None], axis=0)[0],
        tuple(step for side in sides for step in side.steps),
    )


def level_step(symbol: str, motion: AmplitudeStatistics, plan: Plan, kind: str, what: str) -> Step:
    """The level a Gaussian motion exceeds once in the exposure with the accepted risk."""
    return Step(
        symbol,
        "{σ} × √(2 ln({N} / −ln(1 − {p})))",
        {
            "σ": Term(motion.sigma, kind, f"standard deviation of {what}"),
            "N": Term(motion.cycles, "number", "cycles in the exposure, T / Tz"),
            "p": Term(plan.risk, "fraction", "accepted risk"),
        },
        Term(motion.level, kind, f"{what}, single amplitude at the accepted risk"),
    )
