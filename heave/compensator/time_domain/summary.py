"""What a run comes to: extremes, means and how long the bit was up or the unit against its end."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.compensator.time_domain.stepping import Stepper

SUMMED: Final = ("heave", "stroke", "compensator_force", "bit_force", "hook", "bit")
"""Signals that a summary covers."""

STUCK_MARGIN: Final = 1e-9
"""Seals hold the unit still while their force is below what they can give by this share."""


@dataclass(frozen=True, eq=False)
class Summary:
    """Figures of n cases over the run, lead-in not counted; dictionaries by signal name hold (n,) arrays.

    highest, lowest, mean, sigma : of heave, stroke, hook and bit position [m], of the force between block and hook
        and of the bit force [N]
    lift_off_share : share of the time the bit was off the rock; lift_offs : how many times it left it
    stop_share : share of the time against either end of the stroke; stop_hits : how many times it met one
    stuck_share : share of the time the seals held the unit still
    steps : time steps counted
    """

    highest: dict[str, FloatArray]
    lowest: dict[str, FloatArray]
    mean: dict[str, FloatArray]
    sigma: dict[str, FloatArray]
    lift_off_share: FloatArray
    lift_offs: FloatArray
    stop_share: FloatArray
    stop_hits: FloatArray
    stuck_share: FloatArray
    steps: int


class SummaryBook:
    """Adds up a run block by block."""

    def __init__(self, stepper: Stepper) -> None:
        self.case, self.steps = stepper.case, 0
        cases = stepper.cases
        self.grip = np.where(np.isfinite(stepper.friction), stepper.friction, 0.0) * (1 - STUCK_MARGIN)
        none = np.zeros(cases)
        self.highest = {name: none - np.inf for name in SUMMED}
        self.lowest = {name: none + np.inf for name in SUMMED}
        self.first: dict[str, FloatArray] = {}
        self.total = {name: none.copy() for name in SUMMED}
        self.squares = {name: none.copy() for name in SUMMED}
        self.shares = {name: none.copy() for name in ("lift", "lifts", "stop", "stops", "stuck")}
        self.was = {"lift": none > 1, "stop": none > 1}
        # cases that carry on from another: what holds when they begin to count began before
        self.joined = none > 1

    def add(self, signals: dict[str, FloatArray], skip: int) -> None:
        """Add a stretch of steps, arrays (steps, n), less those of the lead-in, the first `skip`."""
        if skip:
            now = {"lift": signals["bit_force"][:skip] <= 0, "stop": signals["stop"][:skip] != 0}
            self.was = {name: values[-1] & self.joined for name, values in now.items()}
        signals = {name: values[skip:] for name, values in signals.items()}
        if not len(signals["heave"]):
            return
        above = signals["gas"] + signals["friction"] + signals["stop"] + signals["active"]
        shown = {name: signals[name] for name in SUMMED if name in signals}
        shown["compensator_force"] = np.asarray(self.case.load) + above
        for name, values in shown.items():
            # deviations from the first value keep the sums of squares exact enough
            base = self.first.setdefault(name, values[0].copy())
            np.maximum(self.highest[name], values.max(axis=0), out=self.highest[name])
            np.minimum(self.lowest[name], values.min(axis=0), out=self.lowest[name])
            away = values - base
            self.total[name] += away.sum(axis=0)
            self.squares[name] += np.einsum("tn,tn->n", away, away)
        if self.case.contact == "one-sided":
            self._count("lift", signals["bit_force"] <= 0)
        self._count("stop", signals["stop"] != 0)
        self.shares["stuck"] += (np.abs(signals["friction"]) < self.grip).sum(axis=0)
        self.steps += len(signals["heave"])

    def _count(self, name: str, now: BoolArray) -> None:
        before = np.concatenate([self.was[name][None], now[:-1]])
        self.shares[name] += now.sum(axis=0)
        self.shares[name + "s"] += (now & ~before).sum(axis=0)
        self.was[name] = now[-1].copy()

    def summary(self) -> Summary:
        """The figures so far."""
        steps = max(self.steps, 1)
        away = {name: total / steps for name, total in self.total.items()}
        return Summary(
            highest=self.highest,
            lowest=self.lowest,
            mean={name: self.first[name] + away[name] for name in SUMMED},
            sigma={
                name: np.sqrt(np.maximum(self.squares[name] / steps - away[name] ** 2, 0.0))
                for name in SUMMED
            },
            lift_off_share=self.shares["lift"] / steps,
            lift_offs=self.shares["lifts"],
            stop_share=self.shares["stop"] / steps,
            stop_hits=self.shares["stops"],
            stuck_share=self.shares["stuck"] / steps,
            steps=self.steps,
        )
