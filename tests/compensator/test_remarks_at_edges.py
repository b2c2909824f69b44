"""Remarks on a unit's numbers, on both sides of each of their bounds."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from heave.compensator.data_sheet import (
    LARGEST_RISE,
    MOST_LOCKED,
    MOST_SPARE,
    USUAL_PRESSURE,
    USUAL_SPEED,
    USUAL_STROKE,
    USUAL_VOLUME_RATIO,
    remarks,
)


def doubts(unit: Any, load: float = 1.0e6) -> list[str]:
    return [one.words for one in remarks(unit, load, "metric") if one.doubtful]


def told(unit: Any, words: str, load: float = 1.0e6) -> bool:
    """Whether the remark with these words is a doubt."""
    (one,) = [one for one in remarks(unit, load, "metric") if words in one.words]
    return one.doubtful


def test_ratings_and_load(device: Any) -> None:
    for locked, doubt in ((MOST_LOCKED * 2.0e6, False), (MOST_LOCKED * 2.0e6 + 1, True)):
        assert told(device(locked_rating=locked), "rating locked") == doubt
    for load, doubt in ((2.0e6, False), (2.0e6 + 1, True)):
        assert told(device(), "The load of the plan, ", load) == doubt


def test_area_and_pressure_against_the_rating(device: Any) -> None:
    """0.1 m²: at 20 MPa just the 2 MN compensating, at twice that no more than usual; 1 MN needs 10 MPa."""
    for pressure, doubt in (
        (20e6, False),
        (20e6 - 10, True),
        (MOST_SPARE * 20e6, False),
        (MOST_SPARE * 20e6 + 10, True),
    ):
        assert told(device(pressure_rating=pressure), "At its pressure rating") == doubt, pressure
    for load, doubt in ((2.5e6, False), (2.5e6 + 1, True)):
        assert told(device(compensated_rating=2.5e6), "needs", load) == doubt


def test_gas_over_the_stroke(device: Any) -> None:
    """The load grows by (L / (L − S/2))ⁿ of the absolute force; volume is usual within shares of the swept."""
    swept = 0.1 * 7.62
    for ratio, doubt in (
        (USUAL_VOLUME_RATIO[1], False),
        (USUAL_VOLUME_RATIO[1] * 1.001, True),
    ):
        assert told(device(gas_volume=ratio * swept), "times the swept volume") == doubt, ratio

    def rise(ratio: float, load: float) -> float:
        air = 101_325.0 * 0.1
        return ((load + air) * (ratio / (ratio - 0.5)) ** 1.2 - air) / load - 1

    low, high = 1.0, 50.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if rise(middle, 1e6) > LARGEST_RISE else (low, middle)
    edge = max(low, USUAL_VOLUME_RATIO[0])
    assert not told(device(gas_volume=edge * 1.001 * swept), "times the swept volume")
    assert told(device(gas_volume=edge * 0.999 * swept), "times the swept volume")


def test_the_gas_compressed_to_the_end(device: Any) -> None:
    """(p + p_a) (L / (L − S/2))^n_h − p_a of 10 MPa, ten volumes and index 1.6: 10.96 MPa over the atmosphere."""
    end = (10e6 + 101_325.0) * (10 / 9.5) ** 1.6 - 101_325.0
    for pressure, doubt in ((end * 1.0001, False), (end * 0.9999, True)):
        unit = device(pressure_rating=pressure, compensated_rating=1e6, index_high=1.6)
        assert told(unit, "Fully compressed") == doubt


@pytest.mark.parametrize(
    ("field", "bounds", "words"),
    [
        ("stroke", USUAL_STROKE, "The stroke"),
        ("velocity_rating", USUAL_SPEED, "The velocity rating"),
        ("pressure_rating", USUAL_PRESSURE, "The pressure rating"),
    ],
)
def test_what_is_usual(device: Any, field: str, bounds: tuple[float, float], words: str) -> None:
    low, high = bounds
    for value, doubt in ((low, False), (low * 0.999, True), (high, False), (high * 1.001, True)):
        assert (
            told(
                device(**{field: value, "gas_volume": 0.1 * 10 * (value if field == "stroke" else 7.62)}),
                words,
            )
            == doubt
        )


def test_a_drawworks_has_no_gas_to_remark_on(drawworks: Any) -> None:
    assert len(remarks(drawworks(), 1e6, "metric")) == 2
    assert doubts(drawworks()) == []
    assert math.isclose(drawworks().locked_rating / drawworks().compensated_rating, 1.25)


def sentence(words: str, unit: Any, load: float = 1.0e6, ratio: float = 1.0) -> str:
    """The remark with these words."""
    (one,) = [one for one in remarks(unit, load, "metric", ratio) if words in one.words]
    return one.words


def figures(text: str, unit: str) -> list[float]:
    found = re.findall(rf"(\d[\d\u202f]*(?:\.\d+)?)\u00a0{unit}", text)
    return [float(one.replace("\u202f", "")) for one in found]


@pytest.mark.parametrize("more", [1.0004, 1.02])
def test_a_doubt_just_past_its_bound_does_not_read_as_at_it(device: Any, more: float) -> None:
    load, rating = figures(sentence("The load of the plan, ", device(), 2.0e6 * more), "kN")
    assert load > rating
    most, rated = figures(sentence("At its pressure rating", device(pressure_rating=20e6 / more)), "kN")
    assert most < rated
    needed, given = figures(sentence("needs", device(), 20e5 * more * 1.0), "bar")[:2]
    assert needed < given
    needed, given = figures(sentence("needs", device(pressure_rating=10e6 / more), 1e6), "bar")
    assert needed > given
    (told_, *_) = figures(sentence("The stroke", device(stroke=9.0 * more, gas_volume=9.0)), "m")
    assert told_ > 9.0


def test_lines_that_pull_on_the_crown_load_a_unit_under_it(device: Any) -> None:
    """Twelve lines straight to the floor: fourteen twelfths of the hook's load are on the unit, and on its rating;
    the gas is of the load at the hook, over the travel of the hook."""
    ratio = 14 / 12
    for load, doubt in ((2.0e6 / ratio - 1, False), (2.0e6 / ratio + 1, True)):
        (one,) = [
            one for one in remarks(device(), load, "metric", ratio) if "The load of the plan, " in one.words
        ]
        assert one.doubtful == doubt
        assert "with the pull of its lines" in one.words
    assert figures(sentence("At its pressure rating", device(), ratio=ratio), "kN")[0] == pytest.approx(
        ratio * figures(sentence("At its pressure rating", device()), "kN")[0], rel=3e-3
    )
    for words in ("needs", "Fully compressed", "times the swept volume"):
        assert sentence(words, device(), ratio=ratio) == sentence(words, device())
