"""Units against the published factors, and both ways for every kind in every system.

Published factors: A. Thompson and B. N. Taylor, "Guide for the Use of the International System of
Units (SI)", NIST Special Publication 811 (2008), appendix B.8. Factors printed there in bold are exact;
the others are rounded to seven figures, so they are compared to half a unit of the seventh.
"""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave import units
from heave.errors import InputError
from heave.units import KINDS, UNITS, from_si, show, show_apart, significant, stored_value, to_si, unit_of

SYSTEMS = ("si", *units.UNIT_SYSTEMS)

EXACT = [  # symbol, factor as printed in bold in NIST SP 811, appendix B.8
    ("ft", "0.3048"),
    ("in", "0.0254"),
    ("ft/s", "0.3048"),
    ("ft/s²", "0.3048"),
    ("in²", "6.4516e-4"),
    ("bar", "1e5"),
    ("t", "1000"),
    ("lb", "0.45359237"),  # footnote 22 of the appendix: exactly 0.453 592 37 kg
    ("tf", "9806.65"),
    ("h", "3600"),
    ("min", "60"),
    ("mm", "1e-3"),
    ("t·km", "9806650"),  # 1000 kgf × 1000 m
]

ROUNDED = [  # symbol, factor printed to seven figures in NIST SP 811, appendix B.8
    ("lbf", 4.448222e0),
    ("psi", 6.894757e3),
    ("ksi", 6.894757e6),
    ("lb/ft", 1.488164e0),
    ("ft³", 2.831685e-2),
    ("ppg", 1.198264e2),  # pound per gallon (US)
    ("hp", 7.456999e2),  # horsepower (550 ft·lbf/s)
    ("short ton", 9.071847e2),
    ("kn", 5.144444e-1),  # knot
    ("ft/h", 8.466667e-5),
    ("klbf", 4.448222e3),  # kip
    ("klb", 4.535924e2),
    ("klbf/ft", 1.459390e4),  # 1000 × pound-force per foot
]


@pytest.mark.parametrize(("symbol", "factor"), EXACT)
def test_exact_factor(symbol: str, factor: str) -> None:
    assert to_si(1.0, symbol) == float(Fraction(factor))


@pytest.mark.parametrize(("symbol", "factor"), ROUNDED)
def test_rounded_factor(symbol: str, factor: float) -> None:
    half_unit = 0.5 * 10 ** (math.floor(math.log10(factor)) - 6)
    assert to_si(1.0, symbol) == pytest.approx(factor, rel=0, abs=half_unit * 1.000001)


def test_a_ton_mile_is_a_short_ton_through_a_statute_mile() -> None:
    """API RP 9B divides pounds × feet by 10,560,000; a mile is 1609.344 m (SP 811), a pound-force exact."""
    pound_feet = to_si(1.0, "ton-mile") / (to_si(1.0, "lbf") * to_si(1.0, "ft"))
    assert pound_feet == pytest.approx(10_560_000, rel=1e-15)
    exact = Fraction("0.45359237") * Fraction("9.80665") * 2000 * Fraction("1609.344")
    assert to_si(1.0, "ton-mile") == pytest.approx(float(exact), rel=1e-15)


def test_degree_is_pi_over_180() -> None:
    assert unit_of("angle", "metric").factor == math.pi / 180  # SP 811: 1.745 329 E−02 rad
    assert unit_of("angle", "metric").factor == pytest.approx(1.745329e-2, rel=0, abs=5e-9)


def test_standard_gravity_is_exact() -> None:
    assert units.STANDARD_GRAVITY == 9.80665  # SP 811, appendix B.8, "acceleration of free fall, standard"


def test_handbook_mud_and_steel_weights() -> None:
    """Steel of 65.5 ppg is 489.5 lb/ft³ (the figures used with API RP 7G), to the last printed digit."""
    steel = to_si(65.5, "ppg")
    per_cubic_foot = steel * UNITS["ft³"].factor / UNITS["lb"].factor
    assert per_cubic_foot == pytest.approx(489.5, abs=0.5)
    assert steel == pytest.approx(7850.0, rel=5e-4)


numbers = st.floats(-1e12, 1e12, allow_nan=False, allow_subnormal=False)


@given(shown=numbers)
def test_shown_and_stored_are_inverse(shown: float) -> None:
    for kind, system in product(KINDS, SYSTEMS):
        stored = stored_value(shown, kind, system)
        back = units.display_value(stored, kind, system)
        assert back == pytest.approx(shown, rel=4e-16, abs=1e-290), (kind, system)


@given(value=numbers)
def test_to_and_from_si_are_inverse(value: float) -> None:
    for symbol in UNITS:
        assert from_si(to_si(value, symbol), symbol) == pytest.approx(value, rel=4e-16, abs=1e-290), symbol


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_stored_unit_is_si_itself(kind: str) -> None:
    unit = unit_of(kind)
    assert (unit.factor, unit.offset) == (1.0, 0.0)


@given(value=numbers)
def test_systems_agree_on_the_quantity(value: float) -> None:
    """What is shown in one system and typed in the other is the same quantity."""
    for kind in KINDS:
        shown = [units.display_value(value, kind, system) for system in SYSTEMS]
        stored = [stored_value(number, kind, system) for number, system in zip(shown, SYSTEMS, strict=True)]
        assert stored == pytest.approx([value] * 3, rel=4e-16, abs=1e-290), kind


def test_a_degree_is_an_angle_unless_it_is_a_compass_direction() -> None:
    """Directions stay in degrees inside; every other angle is stored in radians."""
    assert to_si(180.0, "°") == pytest.approx(math.pi, rel=1e-15)
    assert stored_value(180.0, "angle", "metric") == pytest.approx(math.pi, rel=1e-15)
    assert stored_value(180.0, "direction", "metric") == 180.0


def test_a_symbol_means_one_unit() -> None:
    for kind in (kind for kind in KINDS.values() if kind.name != "direction"):
        for unit in (kind.si, kind.metric, kind.oilfield):
            assert UNITS[unit.symbol].factor == unit.factor, unit.symbol


def test_a_token_means_one_unit() -> None:
    """File headers name units by token, so no two different units may share one."""
    everything = [*UNITS.values()]
    everything += [u for k in KINDS.values() if k.name != "direction" for u in (k.si, k.metric, k.oilfield)]
    factors: dict[str, set[float]] = {}
    for unit in everything:
        assert unit.token
        assert unit.token.replace("_", "").isalnum()
        assert unit.token.isascii()
        assert unit.token == unit.token.lower()
        factors.setdefault(unit.token, set()).add(unit.factor)
    assert {token: found for token, found in factors.items() if len(found) > 1} == {}


@pytest.mark.parametrize(
    "call",
    [
        lambda: unit_of("colour"),
        lambda: unit_of("length", "imperial"),
        lambda: to_si(1.0, "furlong"),
        lambda: from_si(1.0, "furlong"),
        lambda: show(1.0, "colour", "metric"),
    ],
)
def test_unknown_name_is_refused(call: object) -> None:
    with pytest.raises(InputError, match="allowed: one of"):
        call()  # type: ignore[operator]


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (0.0, 3, "0"),
        (-0.0, 3, "0"),
        (3.6, 3, "3.60"),
        (9.994, 3, "9.99"),
        (9.996, 3, "10.0"),
        (99.96, 3, "100"),
        (999.6, 3, "1\u202f000"),
        (0.09996, 3, "0.100"),
        (1289.6, 3, "1\u202f290"),
        (1234567.0, 3, "1\u202f230\u202f000"),
        (-3.0, 3, "\u22123.00"),
        (-1289.6, 4, "\u22121\u202f290"),
        (0.000123456, 3, "0.000123"),
        (1.2e-7, 3, "1.20e\u221207"),
        (-1.2e-7, 3, "\u22121.20e\u221207"),
        (5e-324, 3, "4.94e\u2212324"),
        (1.5e15, 3, "1.50e+15"),
        (2.0, 1, "2"),
        (float("nan"), 3, "not known"),
        (float("inf"), 3, "no limit"),
        (float("-inf"), 3, "no limit"),
    ],
)
def test_significant(value: float, digits: int, text: str) -> None:
    assert significant(value, digits) == text


@given(
    value=st.floats(-1e14, 1e14, allow_nan=False).filter(lambda v: abs(v) > 1e-6), digits=st.integers(1, 8)
)
def test_significant_is_within_half_a_unit_of_its_last_figure(value: float, digits: int) -> None:
    text = significant(value, digits).replace("\u202f", "").replace("\u2212", "-")
    half_unit = 0.5 * 10 ** (math.floor(math.log10(abs(value))) - digits + 1)
    assert float(text) == pytest.approx(value, rel=1e-12, abs=half_unit * 1.000001)


@pytest.mark.parametrize(
    ("value", "kind", "system", "text"),
    [
        (3.6, "length", "metric", "3.60\u00a0m"),
        (3.6, "length", "oilfield", "11.8\u00a0ft"),
        (0.74, "fraction", "metric", "74.0\u00a0%"),
        (210.0, "direction", "metric", "210°"),
        (1.29e6, "force", "metric", "1\u202f290\u00a0kN"),
        (1.29e6, "force", "oilfield", "290\u00a0klbf"),
        (0.71, "number", "metric", "0.710"),
        (float("nan"), "length", "metric", "not known"),
        (float("inf"), "length", "metric", "no limit"),
        (float("inf"), "rate", "oilfield", "always"),
        (float("nan"), "rate", "metric", "not known"),
    ],
)
def test_show(value: float, kind: str, system: str, text: str) -> None:
    assert show(value, kind, system) == text


@pytest.mark.parametrize(
    ("value", "other", "told"),
    [
        (2.3, 3.114, ("2.30\u00a0m", "3.11\u00a0m")),
        (3.0, 3.0, ("3.00\u00a0m", "3.00\u00a0m")),
        (3.0, 3.001, ("3.000\u00a0m", "3.001\u00a0m")),
        (1.000066, 1.0, ("1.0001\u00a0m", "1.0000\u00a0m")),
        (0.0, 0.0, ("0\u00a0m", "0\u00a0m")),
        (math.nan, math.nan, ("not known", "not known")),
        (math.inf, math.inf, ("no limit", "no limit")),
        (3.0, 3.0 + 1e-12, ("3.000000\u00a0m", "3.000000\u00a0m")),
    ],
)
def test_numbers_that_differ_do_not_read_alike(value: float, other: float, told: tuple[str, str]) -> None:
    assert show_apart(value, other, "length", "metric") == told
