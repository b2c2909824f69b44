"""A check: demand against capacity, with its basis, its source and its working."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from heave.judging.working import Step
from heave.units import show, significant

WITHIN: Final = "within limits"
NEAR: Final = "near a limit"
OVER: Final = "over a limit"
NOT_ASSESSED: Final = "not assessed"
VERDICTS: Final = (WITHIN, NEAR, OVER, NOT_ASSESSED)
"""The only words a verdict or a check's state can be."""


@dataclass(frozen=True)
class Check:
    """One demand compared with one capacity.

    `utilisation` is demand / capacity; infinite where the capacity is used up before the sea asks
    anything, NaN where an input is missing, and then the state is 'not assessed', never a pass.
    """

    key: str
    name: str
    demand: float
    capacity: float
    kind: str
    utilisation: float
    state: str
    basis: str
    source: str
    working: tuple[Step, ...]
    required: bool = True
    """False for a limit the rig's procedures may leave empty."""

    def headline(self, system: str = "metric") -> str:
        """Demand of capacity in the units of `system`, for example '2.30 m of 3.11 m'."""
        return f"{show(self.demand, self.kind, system)} of {show(self.capacity, self.kind, system)}"

    def printed(self, system: str = "metric") -> str:
        """The whole check as plain text in the units of `system`: result, basis, every step and the source."""
        lines = [
            f"{self.name}: {self.headline(system)}, utilisation {significant(self.utilisation)}",
            self.basis,
        ]
        for step in self.working:
            lines += [step.symbols(), step.numbers(system)]
            lines += [f"    {symbol}: {meaning}" for symbol, meaning in step.legend()]
        return "\n".join([*lines, f"Source: {self.source}"])


def utilisation_state(utilisation: float, caution_level: float) -> str:
    """The verdict word for one utilisation: NaN is 'not assessed', 1 and above is 'over a limit'."""
    if math.isnan(utilisation):
        return NOT_ASSESSED
    if utilisation >= 1:
        return OVER
    return NEAR if utilisation >= caution_level else WITHIN


def governing_check(checks: tuple[Check, ...]) -> Check | None:
    """The assessed check with the highest utilisation, or None when none is assessed."""
    assessed = [check for check in checks if check.state != NOT_ASSESSED]
    return max(assessed, key=lambda check: check.utilisation, default=None)


def verdict_of(checks: tuple[Check, ...]) -> str:
    """The verdict of a set of checks.

    Over a limit as soon as one check is; otherwise not assessed if a required check could not be
    made, or none was; otherwise the state of the governing check.
    """
    governing = governing_check(checks)
    if governing is not None and governing.state == OVER:
        return OVER
    if governing is None or any(c.required and c.state == NOT_ASSESSED for c in checks):
        return NOT_ASSESSED
    return governing.state
