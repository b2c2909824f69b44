"""A small reader of printed working, with unit factors of its own: numbers, units and signs to a value in SI."""

from __future__ import annotations

import math
import re
from functools import cache
from types import CodeType
from typing import Any

import numpy as np

POUND_FORCE = 4.4482216152605
FACTORS = {
    "m": 1.0, "ft": 0.3048, "m/s": 1.0, "ft/s": 0.3048, "m/s²": 1.0, "ft/s²": 0.3048, "s": 1.0, "h": 3600.0,
    "m/h": 1 / 3600, "ft/h": 0.3048 / 3600, "/h": 1 / 3600, "%": 0.01, "kN": 1e3, "klbf": 1e3 * POUND_FORCE,
    "kN/m": 1e3, "klbf/ft": 1e3 * POUND_FORCE / 0.3048, "bar": 1e5, "psi": POUND_FORCE / 0.0254**2, "cm²": 1e-4,
    "in²": 0.0254**2, "kN·s²/m²": 1e3, "kN·s/m": 1e3,
    "klbf·s/ft": 1e3 * POUND_FORCE / 0.3048, "klbf·s²/ft²": 1e3 * POUND_FORCE / 0.3048**2, "kW": 1e3,
    "hp": 550 * 0.3048 * POUND_FORCE, "t": 1e3, "klb": 453.59237, "kg/m³": 1.0, "ppg": 0.45359237 / (231 * 0.0254**3),
    "m³": 1.0, "ft³": 0.3048**3, "GPa": 1e9, "Mpsi": 1e6 * POUND_FORCE / 0.0254**2, "kg/m": 1.0,
    "lb/ft": 0.45359237 / 0.3048, "°": math.pi / 180,
    "mm": 1e-3, "in": 0.0254, "MPa": 1e6, "ksi": 1e3 * POUND_FORCE / 0.0254**2, "m²": 1.0, "ft²": 0.3048**2,
    "m²/s²": 1.0, "ft²/s²": 0.3048**2, "m²/s⁴": 1.0, "ft²/s⁴": 0.3048**2, "m²/s⁶": 1.0, "ft²/s⁶": 0.3048**2,
    "kN²": 1e6, "klbf²": (1e3 * POUND_FORCE) ** 2, "kN²/s²": 1e6, "klbf²/s²": (1e3 * POUND_FORCE) ** 2,
    "°²": (math.pi / 180) ** 2, "°²/s²": (math.pi / 180) ** 2, "m/m": 1.0, "ft/ft": 1.0,
    "Hz": 1.0, "°/m": math.pi / 180, "°/ft": math.pi / 180 / 0.3048,
    "t·km": 1e6 * 9.80665, "ton-mile": 2000 * POUND_FORCE * 1609.344,
}  # fmt: skip
"""SI for one of each unit printed (NIST SP 811, appendix B)."""

_UNITS = "|".join(re.escape(unit) for unit in sorted(FACTORS, key=len, reverse=True))
_QUANTITY = re.compile(rf"(?<![\w.])(\d[\d\u202f]*(?:\.\d+)?(?:e−?\d+)?)(?:\u00a0?({_UNITS})(?![\w²³⁴⁶]))?")
_WORDS = {
    "sqrt": np.sqrt,
    "ln": np.log,
    "exp": np.exp,
    "cos": np.cos,
    "sin": np.sin,
    "max": np.maximum,
    "min": np.minimum,
}


@cache
def _code(line: str) -> CodeType:
    """Lines that differ in nothing but their numbers are compiled once."""
    return compile(line, "printed", "eval")


def read(line: str, **names: Any) -> float:
    """The value of a printed expression [SI], numbers with their units, symbols from `names`."""
    numbers: dict[str, np.float64] = {}

    def kept(value: float) -> str:
        name = f"_{len(numbers)}"
        numbers[name] = np.float64(value)
        return name

    def si(found: re.Match[str]) -> str:
        number, unit = found.groups()
        return kept(float(number.replace("\u202f", "").replace("−", "-")) * FACTORS.get(unit, 1.0))

    for words, value in (("not known", math.nan), ("no limit", math.inf), ("always", math.inf)):
        if words in line:
            line = line.replace(words, kept(value))
    line = re.sub(r"(?<![\w.])2π", lambda _: kept(2 * math.pi), line)
    line = _QUANTITY.sub(si, line)
    line = re.sub(r"(_\d+|\)) (?=ln|√)", r"\1 * ", line)
    for sign, code in (("×", "*"), ("−", "-"), ("^", "**"), ("²", "**2"), ("√", "sqrt")):
        line = line.replace(sign, code)
    with np.errstate(all="ignore"):
        return float(eval(_code(line), {"π": math.pi, **_WORDS, **names, **numbers}))  # our own, not a user's


def same(one: float, other: float, rel: float = 1e-9) -> bool:
    """Equal as numbers, not known and without end included."""
    return (
        (math.isnan(one) and math.isnan(other))
        or one == other
        or math.isclose(one, other, rel_tol=rel, abs_tol=1e-12)
    )
