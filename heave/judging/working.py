"""Working: a formula that prints itself with symbols, with the numbers put in, and with its result."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from heave.units import show


@dataclass(frozen=True)
class Term:
    """One symbol of a formula: its value in SI, the kind of quantity it is and what it means."""

    value: Any
    kind: str
    meaning: str

    def at(self, row: int) -> Term:
        """The term for the sea state at `row` of a batch."""
        values = np.atleast_1d(np.asarray(self.value, dtype=np.float64))
        return Term(float(values[row if values.size > 1 else 0]), self.kind, self.meaning)


@dataclass(frozen=True)
class Step:
    """One line of working: `symbol = formula`, where the formula names its terms in braces.

    For example `Step("x_up", "{x_s} + {x_d}", {"x_s": Term(...), "x_d": Term(...)}, Term(...))`.
    Values may be arrays over sea states until `at` picks one.
    """

    symbol: str
    formula: str
    terms: Mapping[str, Term]
    result: Term

    def at(self, row: int) -> Step:
        """The step for the sea state at `row` of a batch."""
        terms = {name: term.at(row) for name, term in self.terms.items()}
        return Step(self.symbol, self.formula, terms, self.result.at(row))

    def symbols(self) -> str:
        """The formula in symbols, `x_up = x_s + x_d`."""
        return f"{self.symbol} = {self.formula.format(**{name: name for name in self.terms})}"

    def numbers(self, system: str = "metric") -> str:
        """The formula with its numbers put in and the result, in the units of `system`."""
        shown = {name: show(term.value, term.kind, system, 4) for name, term in self.terms.items()}
        return f"{self.symbol} = {self.formula.format(**shown)} = {self.answer(system)}"

    def answer(self, system: str = "metric") -> str:
        """The result with its unit in `system`."""
        return show(self.result.value, self.result.kind, system)

    def legend(self) -> tuple[tuple[str, str], ...]:
        """Every symbol with what it means, the result last."""
        named = tuple((name, term.meaning) for name, term in self.terms.items())
        return (*named, (self.symbol, self.result.meaning))
