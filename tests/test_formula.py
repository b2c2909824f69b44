"""A formula is one text: number, printed line and page notation come from it, and nothing else is read."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.errors import InputError
from heave.formula import Formula, Step, Symbol, Term

SYMBOLS: dict[str, Symbol] = {
    "y": ("length", "what is asked"),
    "x": ("length", "a length"),
    "σ_z": ("length", "a spread"),
    "n": ("number", "a power"),
    "g": ("acceleration", "gravity", 9.80665),
    "T": ("period", "a period"),
    "p": ("fraction", "a risk"),
}


def made(expression: str) -> Formula:
    return Formula(f"y = {expression}", SYMBOLS, "arithmetic")


@pytest.mark.parametrize(
    ("expression", "values", "expected"),
    [
        ("x + σ_z × n", {"x": 1.0, "σ_z": 2.0, "n": 3.0}, 7.0),
        ("x − σ_z − n", {"x": 9.0, "σ_z": 2.0, "n": 3.0}, 4.0),
        ("x / σ_z / n", {"x": 12.0, "σ_z": 2.0, "n": 3.0}, 2.0),
        ("−x²", {"x": 3.0}, -9.0),
        ("(1 − x / 4)^(−n)", {"x": 2.0, "n": 3.0}, 8.0),
        ("√(x² + σ_z²)", {"x": 3.0, "σ_z": 4.0}, 5.0),
        ("max(min(x, n), σ_z)", {"x": 3.0, "n": 2.0, "σ_z": 1.0}, 2.0),
        ("g × (T / 2π)²", {"T": 2 * math.pi}, 9.80665),
        ("cos(2π × x / T) + exp(−n)", {"x": 1.0, "T": 2.0, "n": 0.0}, 0.0),
        ("x × √(2 ln(n / −ln(1 − p)))", {"x": 1.0, "n": 1080.0, "p": 1 - 1 / math.e}, 3.73757),
    ],
)
def test_the_number_is_what_the_text_says(expression: str, values: dict[str, float], expected: float) -> None:
    """Each expected value worked by hand; √(2 ln 1080) is 3.73757."""
    assert made(expression)(**values).result.value == pytest.approx(expected, rel=1e-5, abs=1e-12)


def test_a_small_risk_keeps_its_digits() -> None:
    """−ln(1 − p) is p + p²/2 + … (series): a plain logarithm would keep only some six digits of 1e-10."""
    assert made("−ln(1 − p)")(p=1e-10).result.value == pytest.approx(1e-10 + 5e-21, rel=1e-15)


def test_many_seas_give_each_its_number() -> None:
    step = made("x × n")(x=np.array([1.0, 2.0, np.nan]), n=3.0)
    np.testing.assert_array_equal(step.result.value, [3.0, 6.0, np.nan])
    assert step.at(1).numbers() == "y = 2.000\u00a0m × 3.000 = 6.00\u00a0m"
    assert step.at(1).answer("oilfield") == "19.7\u00a0ft"
    assert step.symbols() == "y = x × n"
    assert step.legend() == (("x", "a length"), ("n", "a power"), ("y", "what is asked"))


def test_what_is_not_known_makes_the_result_unknown() -> None:
    assert math.isnan(made("max(x, n)")(x=None, n=1.0).result.value)


def test_a_step_stands_for_its_result() -> None:
    first = made("x × n")(x=2.0, n=3.0)
    assert made("x + n")(x=first, n=1.0).result.value == 7.0


def test_printed_signs_and_powers_can_be_read_back() -> None:
    terms = {"a": Term(-2.0, "length", ""), "b": Term(-3.0, "length", "")}
    step = Step("c", "{a}² + {b} − {b}", terms, Term(4.0, "length", ""))
    assert step.numbers(digits=1) == "c = (−2\u00a0m)² − 3\u00a0m + 3\u00a0m = 4\u00a0m"


def test_notation() -> None:
    assert made("√(2 ln(n / −ln(1 − p)))").latex() == (
        r"y = \sqrt{2 \, \ln\left(\frac{n}{-\ln\left(1 - p\right)}\right)}"
    )
    assert made("x − (σ_z − n)").latex() == r"y = x - \left(\sigma_{z} - n\right)"
    assert made("(x + n) × 3 × T^(−n)").latex() == r"y = \left(x + n\right) \times 3 \, T^{-n}"


@pytest.mark.parametrize(
    "expression", ["x.real", "x[0]", "open(x)", "x if n else T", "lambda: x", "x +", "'x'", "x @ n", "q + x"]
)
def test_anything_but_a_formula_is_refused(expression: str) -> None:
    with pytest.raises(InputError, match="formula"):
        made(expression)


def test_terms_are_those_of_the_text() -> None:
    with pytest.raises(InputError, match="term: 'n'"):
        made("x × n")(x=1.0)
    with pytest.raises(InputError, match="terms"):
        made("x × n")(x=1.0, n=2.0, T=3.0)
