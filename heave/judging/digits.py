"""How many figures each number of a calculation is printed with, so that every step can be worked again from print.

A symbol is one number, printed one way wherever it stands. Every number has four figures at least. A step that would
not come to its printed result from its printed terms, within the rounding of the result and a tenth of its last
place, has the term whose rounding moves it most printed with one figure more, until it does. A result that is one of
its terms, such as the larger of two, is printed as that term is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

from heave.formula import Formula, Step
from heave.units import UNIT_SYSTEMS, display_value

LEAST: Final = 4
FEWER: Final = ((100.0, 2), (10.0, 3))
"""Figures of a result that its terms move so many times as strongly as itself, such as a small difference."""
MOST: Final = 15
SLACK: Final = 0.59
"""Of the last place of a result: half of it is its own rounding, the rest that of the terms."""

Evaluate = Callable[[dict[str, float]], float]


def last_place(value: float, kind: str, system: str, digits: int) -> float:
    """One of the last place [SI] of a value printed to so many figures.

    Parameters
    ----------
    value, kind : the number [SI] and its kind of quantity
    system : unit system
    digits : figures
    """
    shown = abs(display_value(value, kind, system))
    if shown == 0 or not math.isfinite(shown):
        return 0.0
    unit = abs(value) / shown
    return float(10.0 ** (math.floor(math.log10(shown)) + 1 - digits) * unit)


def digits_for(steps: Sequence[tuple[Step, Evaluate]]) -> dict[str, int]:
    """Figures of every symbol of the steps, which are in order, each resting on those before it.

    Parameters
    ----------
    steps : with what works each of them out from values of its terms [SI]
    """
    digits: dict[str, int] = {}
    for step, work in steps:
        for name in step.terms:
            digits.setdefault(name, LEAST)
        digits[step.symbol] = _least(step, work)
    done: dict[str, tuple[int, ...]] = {}
    changed = True
    while changed:
        changed = False
        for step, evaluate in reversed(steps):
            names = (*step.terms, step.symbol)
            before = tuple(digits[name] for name in names)
            if step.stated or done.get(step.symbol) == before:
                continue
            _alike(step, digits)
            for system in UNIT_SYSTEMS:
                _enough(step, evaluate, system, digits)
            done[step.symbol], changed = before, True  # looked at again if either system has moved them
    return digits


def _least(step: Step, evaluate: Evaluate) -> int:
    """Fewest figures of a result: four, or those before the point, and fewer of what its terms move strongly."""
    moved = _moved(step, evaluate)
    fewest = next((few for most, few in FEWER if moved > most), LEAST)
    shown = max(abs(display_value(step.result.value, step.result.kind, system)) for system in UNIT_SYSTEMS)
    whole = math.floor(math.log10(shown)) + 1 if 1 <= shown < math.inf else 0
    return max(fewest, min(whole, LEAST))


def _moved(step: Step, evaluate: Evaluate) -> float:
    """Relative change of the result over that of its terms, all of them together."""
    if step.stated or step.result.value == 0 or not math.isfinite(step.result.value):
        return 0.0
    exact = {name: float(term.value) for name, term in step.terms.items()}
    small = 1e-7
    changes = (
        abs(evaluate(exact | {name: value * (1 + small)}) / step.result.value - 1) / small
        for name, value in exact.items()
    )
    return float(sum(change for change in changes if math.isfinite(change)))


def _alike(step: Step, digits: dict[str, int]) -> None:
    """Print a result and the term that it is with the same figures."""
    same = [
        name
        for name, term in step.terms.items()
        if term.value == step.result.value and term.kind == step.result.kind
    ]
    most = max((digits[name] for name in (*same, step.symbol)), default=LEAST)
    digits.update(dict.fromkeys((*same, step.symbol), most))


def _enough(step: Step, evaluate: Evaluate, system: str, digits: dict[str, int]) -> None:
    """Give the terms the figures that the printed result needs."""
    exact = {name: float(term.value) for name, term in step.terms.items()}
    value, kind = float(step.result.value), step.result.kind
    if not math.isfinite(value) or any(math.isnan(number) for number in exact.values()):
        return
    aim = step.result._replace(digits=digits[step.symbol]).rounded(system)
    room = SLACK * last_place(value, kind, system, digits[step.symbol])
    printed = {name: term._replace(digits=digits[name]).rounded(system) for name, term in step.terms.items()}
    while abs(evaluate(printed) - aim) > room + 1e-15 * abs(value):
        moves = {
            name: abs(evaluate(exact | {name: printed[name]}) - value)
            for name in exact
            if digits[name] < MOST and printed[name] != exact[name]
        }
        if not moves:
            return
        worst = max(moves, key=lambda name: moves[name] if math.isfinite(moves[name]) else math.inf)
        digits[worst] += 1
        printed[worst] = step.terms[worst]._replace(digits=digits[worst]).rounded(system)


def evaluator(formula: Formula, names: dict[str, str]) -> Evaluate:
    """What works a step out from values by its own symbols.

    Parameters
    ----------
    formula : of the step
    names : the formula's symbols, and what the step calls them
    """
    return lambda values: formula.evaluate(**{name: values[called] for name, called in names.items()})
