"""Formulas: one text from which the number, the line of working and the notation of a page all come.

A formula is written as the trade writes it, `F_d = F_g + F_f + c × v²`, with × ² ^ − √ π ln exp cos sin min max and
symbols that are Python names (`F_g`, `σ_z`). The text is read once into a NumPy expression, so what is
printed and what is computed cannot disagree. It is a constant of the code, never what a user typed.
"""

from __future__ import annotations

import ast
import math
import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.units import KINDS, show, unit_of

Symbol = tuple[str, str] | tuple[str, str, float]
"""What a symbol is: kind of quantity and meaning, and its value [SI] where it is a constant."""

_FUNCTIONS: Final[dict[str, Any]] = {
    "sqrt": np.sqrt,
    "ln": np.log,
    "exp": np.exp,
    "cos": np.cos,
    "sin": np.sin,
    "max": np.maximum,
    "min": np.minimum,
}
_SIGNS: Final = (("×", "*"), ("−", "-"), ("^", "**"), ("²", "**2"), ("√", "sqrt"))
_NAME: Final = re.compile(r"[^\W\d²][^\W²]*")
_OPERATORS: Final = {
    ast.Add: ("+", 1),
    ast.Sub: ("-", 1),
    ast.Mult: (r"\,", 2),
    ast.Div: ("", 2),
    ast.Pow: ("", 4),
}


def number_at(value: Any, row: int) -> float:
    """The number for the sea state at `row` of a batch, of a `value` for each or one for all."""
    if isinstance(value, np.ndarray) and value.ndim:
        return float(value[row if value.size > 1 else 0])
    return float(value)


class Term(NamedTuple):
    """One symbol of a formula: its value in SI, the kind of quantity it is and what it means.

    `of` is the symbol of the step whose result it is, where it came as one. `digits` are the figures it is printed
    with, 0 where nobody chose.
    """

    value: Any
    kind: str
    meaning: str
    of: str = ""
    digits: int = 0

    def at(self, row: int) -> Term:
        """The term for the sea state at `row` of a batch."""
        return self._replace(value=number_at(self.value, row))

    def shown(self, system: str = "metric", digits: int = 4) -> str:
        """The number with its unit in `system`, to `digits` figures or, where it has digits of its own, to those.

        Of its own digits those behind the fourth are left out where they are all noughts.
        """
        own = self.digits
        while own > 4 and self._replace(digits=own - 1).rounded(system) == self.rounded(system):
            own -= 1
        return show(self.value, self.kind, system, own or digits)

    def rounded(self, system: str) -> float:
        """The number [SI] that a reader has who sees it printed in `system`."""
        unit = unit_of(self.kind, system)
        shown = float(self.value - unit.offset) / unit.factor
        if shown == 0 or not math.isfinite(shown):
            return float(self.value)
        decimals = (self.digits or 4) - 1 - math.floor(math.log10(abs(shown)))
        return round(shown, decimals) * unit.factor + unit.offset


class Terms(Mapping[str, Term]):
    """The terms of a step by symbol, each put together when it is looked at: most steps of many seas never are."""

    __slots__ = ("_about", "_came", "_values")

    def __init__(
        self, values: Mapping[str, Any], about: Mapping[str, tuple[str, str]], came: Mapping[str, str]
    ) -> None:
        self._values, self._about, self._came = values, about, came

    def __getitem__(self, name: str) -> Term:
        return Term(self._values[name], *self._about[name], self._came.get(name, ""))

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def __len__(self) -> int:
        return len(self._values)

    def __repr__(self) -> str:
        return repr(dict(self))

    def at(self, row: int) -> Terms:
        """The terms for the sea state at `row` of a batch."""
        values = {name: number_at(value, row) for name, value in self._values.items()}
        return Terms(values, self._about, self._came)


class Step(NamedTuple):
    """One line of working: `symbol = formula`, where the formula names its terms in braces.

    For example `Step("x_up", "{x_s} + {x_d}", {"x_s": Term(...), "x_d": Term(...)}, Term(...))`.
    Values may be arrays over sea states until `at` picks one. A step whose number is `stated`, such as an integral or
    a root, has words for its formula: no arithmetic on its terms gives it.
    """

    symbol: str
    formula: str
    terms: Mapping[str, Term]
    result: Term
    source: str = ""
    stated: bool = False

    def at(self, row: int) -> Step:
        """The step for the sea state at `row` of a batch."""
        known = self.terms
        terms = known.at(row) if isinstance(known, Terms) else {name: known[name].at(row) for name in known}
        return self._replace(terms=terms, result=self.result.at(row))

    def symbols(self) -> str:
        """The formula in symbols, `x_up = x_s + x_d`."""
        if self.stated:
            return f"{self.symbol} = {self.formula}"
        return f"{self.symbol} = {self.formula.format(**{name: name for name in self.terms})}"

    def numbers(self, system: str = "metric", digits: int | None = None) -> str:
        """The formula with its numbers put in and the result, in the units of `system`.

        A number under a power stands in brackets, and adding a negative number reads as taking away.

        Parameters
        ----------
        system : unit system
        digits : figures of the terms, one less for the result; None takes those of each term, or else 4
        """
        terms = self.terms
        if digits is not None:
            terms = {name: term._replace(digits=digits) for name, term in terms.items()}
        answer = self.answer(system, 3 if digits is None else max(digits - 1, 1), chosen=digits is not None)
        if self.stated:
            return f"{self.symbol} = {answer}"
        line = re.sub(r"({\w+})(?=[²^])", r"(\1)", self.formula)
        line = line.format(**{name: term.shown(system) for name, term in terms.items()})
        line = line.replace("+ \u2212", "\u2212 ").replace("\u2212 \u2212", "+ ")
        return f"{self.symbol} = {line} = {answer}"

    def answer(self, system: str = "metric", digits: int = 3, *, chosen: bool = False) -> str:
        """The result with its unit in `system`, to its own digits or, where it has none or it is `chosen`, to `digits`
        figures."""
        own = self.result._replace(digits=0) if chosen else self.result
        return own.shown(system, digits)

    def legend(self) -> tuple[tuple[str, str], ...]:
        """Every symbol with what it means, the result last."""
        named = tuple((name, term.meaning) for name, term in self.terms.items())
        return (*named, (self.symbol, self.result.meaning))


Value = npt.ArrayLike | Step | None
"""A number or an array over sea states [SI]; None where it is not known; a step stands for its result."""


@dataclass(frozen=True, eq=False)
class Formula:
    """`text` is `result = expression`; `symbols` says what each symbol is, and may say more than are used.

    Called with the value of each term, it gives the `Step` with the result worked out from the text; a value that
    is not known makes it NaN. `source` says where the formula is from.
    """

    text: str
    symbols: Mapping[str, Symbol]
    source: str

    def __post_init__(self) -> None:
        for node in ast.walk(self._tree):
            if isinstance(node, ast.Call):
                good = isinstance(node.func, ast.Name) and node.func.id in _FUNCTIONS and not node.keywords
            elif isinstance(node, ast.Constant):
                good = type(node.value) in (int, float)
            else:
                parts = (ast.Expression, ast.BinOp, ast.UnaryOp, ast.USub, ast.Name, ast.Load, *_OPERATORS)
                good = isinstance(node, parts)
            if not good:
                allowed = f"sums, products, powers and {', '.join(_FUNCTIONS)}"
                raise InputError("formula", self.text, None, allowed)
        for name in (*self.terms, self.symbol):
            if name not in self.symbols or self.symbols[name][0] not in KINDS:
                allowed = f"a kind and a meaning given ({self.text})"
                raise InputError("symbol of a formula", name, None, allowed)

    @cached_property
    def symbol(self) -> str:
        """The symbol of the result."""
        return self.text.partition(" = ")[0]

    @property
    def expression(self) -> str:
        """What the result equals, as written."""
        return self.text.partition(" = ")[2]

    @cached_property
    def terms(self) -> tuple[str, ...]:
        """The symbols that the expression uses, in order of appearance."""
        names = dict.fromkeys(_NAME.findall(self.expression))
        return tuple(name for name in names if name not in {*_FUNCTIONS, "π"})

    @cached_property
    def _tree(self) -> ast.Expression:
        code = re.sub(r"(?<![\w.])(\d+)π", r"(\1 * π)", self.expression)
        code = re.sub(r"(?<![\w.])(\d+) (?=[^\W\d]+\(|√)", r"\1 * ", code)
        for sign, operator in _SIGNS:
            code = code.replace(sign, operator)
        try:
            return ast.parse(code, mode="eval")
        except SyntaxError as error:
            raise InputError("formula", self.text, None, "a formula that can be read") from error

    @cached_property
    def _compute(self) -> Callable[..., Any]:
        """The expression over NumPy, taking each term that is not a constant by name."""
        names = [ast.arg(name) for name in self.terms]
        arguments = ast.arguments([], [], None, names, [None for _ in names], None, [])
        body = _Exact().visit(ast.parse(ast.unparse(self._tree), mode="eval")).body
        tree = ast.fix_missing_locations(ast.Expression(ast.Lambda(arguments, body)))
        code = compile(tree, self.text, "eval")
        return eval(code, {**_FUNCTIONS, "log1p": np.log1p, "π": np.pi, "__builtins__": {}})  # type: ignore[no-any-return]

    @cached_property
    def _divides(self) -> bool:
        """Whether a zero can make it infinite."""
        return any(mark in self.expression for mark in ("/", "^", "ln"))

    @cached_property
    def _wanted(self) -> tuple[tuple[str, np.float64 | None], ...]:
        """Each term, with its value where that is known."""
        known = ((name, self.symbols[name]) for name in self.terms)
        return tuple((name, np.float64(about[2]) if len(about) == 3 else None) for name, about in known)

    @cached_property
    def _about(self) -> dict[str, tuple[str, str]]:
        return {name: self.symbols[name][:2] for name in (*self.terms, self.symbol)}

    @cached_property
    def _template(self) -> str:
        return _NAME.sub(lambda m: f"{{{m[0]}}}" if m[0] in self.terms else m[0], self.expression)

    def __call__(self, **values: Value) -> Step:
        """The working for the `values` of the terms, by symbol; constants need not be given."""
        given: dict[str, FloatArray | np.float64] = {}
        came: dict[str, str] = {}
        for name, constant in self._wanted:
            if name not in values:
                if constant is None:
                    raise InputError("term", name, None, f"a value, for {self.text}")
                given[name] = constant
                continue
            value = values[name]
            if type(value) is Step:
                came[name], value = value.symbol, value.result.value
            given[name] = value if type(value) is np.float64 else _array(value)
        if not values.keys() <= given.keys():
            raise InputError("terms", sorted(values.keys() - given.keys()), None, f"those of {self.text}")
        if self._divides:
            with np.errstate(divide="ignore"):  # ln 0 and 1/0 are infinite, and so is what rests on them
                result = self._compute(**given)
        else:
            result = self._compute(**given)
        about = self._about
        terms, result = Terms(given, about, came), Term(result, *about[self.symbol])
        return Step(self.symbol, self._template, terms, result, self.source)

    def legend(self) -> tuple[tuple[str, str], ...]:
        """Every symbol with what it means, the result last."""
        return tuple((name, self.symbols[name][1]) for name in (*self.terms, self.symbol))

    def evaluate(self, **values: float) -> float:
        """The expression alone for `values` [SI] of all its terms; infinite or NaN where arithmetic has no answer."""
        with np.errstate(all="ignore"):
            return float(self._compute(**{name: np.float64(value) for name, value in values.items()}))

    def latex(self) -> str:
        """The formula in TeX notation, without the dollar signs."""
        return f"{latex_symbol(self.symbol)} = {_latex(self._tree.body)[0]}"


_UNKNOWN: Final = np.float64(np.nan)


def _array(value: Any) -> FloatArray | np.float64:
    if isinstance(value, np.ndarray):
        return value if value.dtype == np.float64 else value.astype(np.float64)
    if value is None:
        return _UNKNOWN
    if isinstance(value, (int, float)):  # a scalar computes faster than an array of one
        return np.float64(value)
    return np.asarray(value, dtype=np.float64)


def latex_symbol(symbol: str) -> str:
    """A symbol in TeX notation: `σ_z` as `\\sigma_{z}`, words upright.

    Parameters
    ----------
    symbol : as in a formula's text
    """
    parts = []
    for part in symbol.split("_"):
        greek = "".join(f"\\{_greek(letter)} " if letter > "\u036f" else letter for letter in part)
        parts.append(rf"\mathrm{{{part}}}" if part.isascii() and len(part) > 1 else greek.strip())
    return parts[0] + "".join(f"_{{{part}}}" for part in parts[1:])


def _greek(letter: str) -> str:
    name = unicodedata.name(letter).split()[-1].lower()
    return name.capitalize() if letter.isupper() else name


class _Exact(ast.NodeTransformer):
    """ln(1 − x) as log1p(−x), which keeps its digits where x is small."""

    def visit_Call(self, node: ast.Call) -> ast.AST:
        self.generic_visit(node)
        match node:
            case ast.Call(ast.Name("ln"), [ast.BinOp(ast.Constant(1), ast.Sub(), share)]):
                return ast.Call(ast.Name("log1p", ast.Load()), [ast.UnaryOp(ast.USub(), share)], [])
        return node


def _latex(node: ast.AST) -> tuple[str, int]:
    """A part of an expression in TeX notation, and how strongly it holds together."""
    match node:
        case ast.Constant():
            return str(node.value), 5
        case ast.Name():
            return latex_symbol(node.id), 5
        case ast.Call(ast.Name("sqrt")):
            return rf"\sqrt{{{_latex(node.args[0])[0]}}}", 5
        case ast.Call(ast.Name(name)):
            inside = ", ".join(_latex(part)[0] for part in node.args)
            return rf"\{name}\left({inside}\right)", 5
        case ast.UnaryOp():
            return f"-{_held(node.operand, 2)}", 1
        case ast.BinOp():
            return _latex_pair(node)
    raise InputError("part of a formula", ast.dump(node), None, "a sum, a product, a power or a function")


def _latex_pair(node: ast.BinOp) -> tuple[str, int]:
    if isinstance(node.op, ast.Div):
        return rf"\frac{{{_latex(node.left)[0]}}}{{{_latex(node.right)[0]}}}", 3
    if isinstance(node.op, ast.Pow):
        return f"{_held(node.left, 5)}^{{{_latex(node.right)[0]}}}", 4
    sign, strength = _OPERATORS[type(node.op)]
    right = _held(node.right, strength + isinstance(node.op, ast.Sub))
    sign = r"\times" if sign == r"\," and right[0].isdigit() else sign
    return f"{_held(node.left, strength)} {sign} {right}", strength


def _held(node: ast.AST, strength: int) -> str:
    words, own = _latex(node)
    return words if own >= strength else rf"\left({words}\right)"
