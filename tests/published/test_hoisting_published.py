"""Hoisting against API RP 9B, published worked examples and the handbooks of the trade."""

from __future__ import annotations

import math

import pytest

from heave.hoisting import (
    LINE_STRENGTH,
    MINIMUM_FACTOR,
    DrillingLine,
    Drum,
    Tripping,
    compensating_work,
    design_factor,
    hook_speed,
    stand_time,
)
from heave.units import from_si, to_si


@pytest.mark.parametrize(
    ("inches", "pounds"),
    [
        *((0.875, 79_600), (1.0, 103_400), (1.125, 130_000), (1.25, 159_800), (1.375, 192_000)),
        *((1.5, 228_000), (1.625, 264_000), (1.75, 306_000), (1.875, 348_000), (2.0, 396_000)),
    ],
)
def test_nominal_strength_of_extra_improved_plow_steel(inches: float, pounds: float) -> None:
    """API RP 9B, 6×19 class, steel core, EIPS, to 1-3/8 in as printed; from 1-1/2 in from memory."""
    line = DrillingLine(to_si(inches, "in"))
    assert line.strength / to_si(1.0, "lbf") == pytest.approx(pounds, abs=0.5)
    assert len(LINE_STRENGTH["EIPS"]) == 10


@pytest.mark.parametrize(
    ("inches", "pounds"),
    [
        *((0.875, 1.42), (1.0, 1.85), (1.125, 2.34), (1.25, 2.89), (1.375, 3.50)),
        *((1.5, 4.16), (1.625, 4.88), (1.75, 5.67), (1.875, 6.50), (2.0, 7.39)),
    ],
)
def test_weight_per_foot(inches: float, pounds: float) -> None:
    """6×19 class with a steel core, lb/ft as the wire rope handbooks list it, from memory; 0.2 % and its rounding."""
    mass = DrillingLine(to_si(inches, "in")).linear_mass / to_si(1.0, "lb/ft")
    assert mass == pytest.approx(pounds, rel=2e-3, abs=5e-3)


def test_design_factor() -> None:
    """API RP 9B, 14th ed., Addendum 1: 1-3/8 in EIPS, ten lines, fast line 49,200 lb, design factor 3.9."""
    line = DrillingLine(to_si(1.375, "in"))
    factor = design_factor(line.strength, to_si(49.2, "klbf"))
    assert factor == pytest.approx(3.9, abs=0.05)
    assert factor == pytest.approx(192 / 49.2, rel=1e-12)


def test_least_design_factors() -> None:
    """API RP 9B: three hoisting, two setting casing or pulling on stuck pipe."""
    assert MINIMUM_FACTOR == {"hoisting": 3.0, "setting casing": 2.0, "pulling on stuck pipe": 2.0}


def handbook() -> Tripping:
    """13.3 lb/ft pipe in mud (0.8473), 94 ft stands, 95,000 lb travelling, 26,866 lb excess of collars."""
    return Tripping(
        stand=to_si(94.0, "ft"),
        pipe_weight=to_si(13.3 * 0.8473, "lbf") / to_si(1.0, "ft"),
        block_weight=to_si(95.0, "klbf"),
        excess_weight=to_si(26.866, "klbf"),
    )


def test_work_of_a_round_trip() -> None:
    """The worked example of the drilling handbooks: 5,500 ft, printed 258.75 ton-miles.

    Its own inputs in its own formula come to 258.735, worked here in pounds and feet; the print seems to round on the
    way (13.3 × 0.8473 × 5500 = 61,980 taken as 62,000 gives 258.746). So 0.02 of the print, and all digits of the
    inputs.
    """
    work = from_si(float(handbook().work("round trip", to_si(5500.0, "ft"))), "ton-mile")
    assert work == pytest.approx(258.75, abs=0.02)
    assert work == pytest.approx(pounds_and_feet(5500), rel=1e-9)


def pounds_and_feet(depth: float) -> float:
    """[W_p D (L_s + D) + 4 D (M + C/2)]/10,560,000, ton-miles of the same string."""
    return (13.3 * 0.8473 * depth * (94 + depth) + 4 * depth * (95_000 + 26_866 / 2)) / 10_560_000


@pytest.mark.parametrize(
    ("job", "multiple"),
    [
        ("short trip", 1.0),
        ("drilling with a kelly, reaming", 3.0),
        ("drilling with a kelly", 2.0),
        ("drilling with a top drive, reaming", 2.0),
        ("drilling with a top drive", 1.0),
        ("coring", 2.0),
    ],
)
def test_work_between_two_depths(job: str, multiple: float) -> None:
    """API RP 9B: drilling 3 times the difference of the trips, 2 without reaming; the rest from memory."""
    string, deep, shallow = handbook(), to_si(5500.0, "ft"), to_si(4600.0, "ft")
    work = from_si(float(string.work(job, deep, shallow)), "ton-mile")
    assert work == pytest.approx(multiple * (pounds_and_feet(5500) - pounds_and_feet(4600)), rel=1e-9)


def test_work_of_setting_casing() -> None:
    """API RP 9B, from memory: D (L + D) W/21,120,000 + D M/5,280,000 ton-miles; 40 ft joints of 47 lb/ft in mud."""
    casing = Tripping(
        stand=to_si(40.0, "ft"),
        pipe_weight=to_si(47 * 0.8473, "lbf") / to_si(1.0, "ft"),
        block_weight=to_si(95.0, "klbf"),
    )
    by_hand = 9000 * 9040 * 47 * 0.8473 / 21_120_000 + 9000 * 95_000 / 5_280_000
    work = casing.work("setting casing", to_si(9000.0, "ft"))
    assert from_si(float(work), "ton-mile") == pytest.approx(by_hand, rel=1e-9)


def test_work_of_a_compensating_drawworks() -> None:
    """W 4a/1609 3600/T: 200 short tons, 1 m at 10 s, is 179 ton-miles an hour (computed)."""
    work = compensating_work(to_si(200 * 2.0, "klbf"), 4 * 1.0 / 10.0)
    assert from_si(float(work), "ton-mile") == pytest.approx(179, abs=0.5)


def test_speed_of_the_hook() -> None:
    """Bourgoyne et al., Applied Drilling Engineering, ex. 1.2: 300,000 lbf, E 0.841, 500 hp.

    Printed: hook power 420.5 hp, 46.3 ft/min; and 90/46.3 = 1.9 min for a 90 ft stand (from memory).
    """
    load, power = to_si(300.0, "klbf"), to_si(500.0, "hp")
    speed = float(hook_speed(power, load, 0.841))
    assert from_si(load * speed, "hp") == pytest.approx(420.5, abs=0.05)
    assert from_si(speed, "ft/s") * 60 == pytest.approx(46.3, abs=0.05)
    assert stand_time(to_si(90.0, "ft"), speed, 50.0) / 60 == pytest.approx(1.9, abs=0.05)


def test_capacity_of_a_drum() -> None:
    """Wire rope handbooks, from memory: (A + B) A C × 0.2618/d² ft, all in inches, lines square on each other.

    A depth of the layers, B core, C width: 1-3/8 in line, five layers on 30 in core, forty wraps wide.
    """
    line, core, wide, deep = 1.375, 30.0, 40 * 1.375, 5 * 1.375
    drum = Drum(*(to_si(x, "in") for x in (core, wide, line)), layers=5, stacking=1.0)
    feet = (deep + core) * deep * wide * math.pi / 12 / line**2
    assert math.pi / 12 == pytest.approx(0.2618, abs=5e-5)
    assert from_si(drum.capacity, "ft") == pytest.approx(feet, rel=1e-9)
