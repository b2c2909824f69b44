"""Units multiply out: both sides of every formula have the same dimension, and what is added is alike."""

from __future__ import annotations

import ast
import re
from fractions import Fraction

import pytest
from random_calculations import plans

from heave.formula import Formula
from heave.judging import RULES, assess
from heave.judging import formulas as shared
from heave.judging.calculation import calculation
from heave.judging.reeving_working import reeving_working
from heave.teaching.questions import QUESTIONS
from heave.units import KINDS

Dimension = tuple[Fraction, ...]
"""Powers of metre, kilogram and second."""

NONE: Dimension = (Fraction(0),) * 3
BASE = {
    "m": (1, 0, 0), "kg": (0, 1, 0), "s": (0, 0, 1), "N": (1, 1, -2), "Pa": (-1, 1, -2), "W": (2, 1, -3),
    "J": (2, 1, -2), "Hz": (0, 0, -1), "rad": (0, 0, 0), "K": (0, 0, 0), "°": (0, 0, 0), "h": (0, 0, 1), "": (0, 0, 0),
}  # fmt: skip
POWERS = {"": 1, "²": 2, "³": 3, "⁴": 4, "⁶": 6}


def of_unit(symbol: str) -> Dimension:
    """Dimension of an SI unit as it is written, `N·s²/m²`."""
    found = [Fraction(0)] * 3
    above, *below = symbol.split("/")
    for sign, part in ((1, above), *((-1, one) for one in below)):
        for factor in part.split("·"):
            name, power = re.fullmatch(r"(.*?)([²³⁴⁶]?)", factor).groups()  # type: ignore[union-attr]
            for place, value in enumerate(BASE[name]):
                found[place] += sign * POWERS[power] * value
    return tuple(found)


def times(one: Dimension, other: Dimension, sign: int = 1) -> Dimension:
    return tuple(a + sign * b for a, b in zip(one, other, strict=True))


def of_node(node: ast.AST, symbols: dict[str, Dimension]) -> Dimension | None:
    """Dimension of a part of a formula; None of a nought, which may be anything.

    Raises AssertionError where unlike things are added, or a function is taken of a quantity.
    """
    match node:
        case ast.Constant(value):
            return None if value == 0 else NONE
        case ast.Name(name):
            return NONE if name == "π" else symbols[name]
        case ast.UnaryOp():
            return of_node(node.operand, symbols)
        case ast.BinOp():
            return of_pair(node, symbols)
        case ast.Call():
            return of_call(node, symbols)
    raise AssertionError(ast.dump(node))


def of_pair(node: ast.BinOp, symbols: dict[str, Dimension]) -> Dimension | None:
    left = of_node(node.left, symbols)
    if isinstance(node.op, ast.Pow):
        if any(isinstance(part, ast.Name) for part in ast.walk(node.right)):
            assert left == of_node(node.right, symbols) == NONE, ast.unparse(node)
            return NONE
        power = Fraction(constant(node.right)).limit_denominator(12)
        return tuple(part * power for part in left or NONE)
    right = of_node(node.right, symbols)
    if isinstance(node.op, ast.Add | ast.Sub):
        return alike(node, left, right)
    return times(left or NONE, right or NONE, -1 if isinstance(node.op, ast.Div) else 1)


def of_call(node: ast.Call, symbols: dict[str, Dimension]) -> Dimension | None:
    name = ast.unparse(node.func)
    inside = [of_node(part, symbols) for part in node.args]
    if name == "sqrt":
        return tuple(part / 2 for part in inside[0] or NONE)
    if name in ("max", "min"):
        return alike(node, *inside)
    assert inside[0] in (None, NONE), ast.unparse(node)
    return NONE


def constant(node: ast.AST) -> float:
    return float(eval(compile(ast.Expression(node), "power", "eval")))  # type: ignore[arg-type]


def alike(node: ast.AST, one: Dimension | None, other: Dimension | None) -> Dimension | None:
    assert one is None or other is None or one == other, ast.unparse(node)
    return other if one is None else one


def holds(formula: Formula) -> bool:
    """Whether both sides have one dimension."""
    symbols = {name: of_unit(KINDS[about[0]].si.symbol) for name, about in formula.symbols.items()}
    found = of_node(ast.parse(ast.unparse(formula._tree), mode="eval").body, symbols)
    return found is None or found == symbols[formula.symbol]


def formulas() -> dict[str, Formula]:
    kept = [one for one in vars(shared).values() if isinstance(one, Formula)]
    asked = [one for question in QUESTIONS for one in question.formulas]
    return {one.text: one for one in (*(one for rule in RULES for one in rule.formulas), *kept, *asked)}


@pytest.mark.parametrize("formula", formulas().values(), ids=lambda formula: formula.text)
def test_both_sides_of_a_formula_have_one_dimension(formula: Formula) -> None:
    assert holds(formula)


def test_so_have_those_of_every_step_of_a_calculation() -> None:
    """Of sea, string, well, setting and unit, which are written for the plan."""
    tried = set()
    for plan in plans(64, seed=3):
        for chapter in calculation(assess(plan)):
            for step in chapter.steps:
                if not step.stated and step.symbols() not in tried:
                    tried.add(step.symbols())
                    symbols = {name: term[1:3] for name, term in step.terms.items()} | {
                        step.symbol: step.result[1:3]
                    }
                    assert holds(Formula(step.symbols(), symbols, step.source)), step.symbols()
        for step in reeving_working(plan):
            symbols = {name: term[1:3] for name, term in step.terms.items()} | {step.symbol: step.result[1:3]}
            assert holds(Formula(step.symbols(), symbols, step.source)), step.symbols()
    assert len(tried) > 250


@pytest.mark.parametrize(
    ("text", "good"),
    [
        ("F = m × a", True), ("F = m × a × n", True),
        ("F = m × a²", False), ("F = F + m", False), ("F = m × exp(a)", False),
    ],
)  # fmt: skip
def test_it_would_notice(text: str, good: bool) -> None:
    kinds = {"F": "force", "m": "mass", "a": "acceleration", "n": "number"}
    formula = Formula(text, {name: (kind, name) for name, kind in kinds.items()}, "")
    try:
        assert holds(formula) == good
    except AssertionError:
        assert not good
