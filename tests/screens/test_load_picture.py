"""The picture of a compensator's load over its stroke: to scale, with its ends, and told in words."""

from __future__ import annotations

import re

import pytest

from heave.errors import InputError
from heave.files.rigs import demo_compensators
from heave.planning.rig import curve_at
from heave.screens.figures.load_picture import load_picture, load_words
from heave.screens.figures.look import DARK, LIGHT

UNITS = {name: unit for name, unit in demo_compensators().items() if not unit.is_drawworks}


@pytest.mark.parametrize("name", UNITS)
@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
def test_the_curve_rises_to_the_end_the_gas_is_compressed_at(name: str, look: object) -> None:
    unit = UNITS[name]
    load = 0.7 * unit.compensated_rating
    curve = curve_at(unit, load)
    assert curve is not None
    picture = load_picture(unit, curve, load, look)  # type: ignore[arg-type]
    sea = look.sea  # type: ignore[attr-defined]
    lines = re.findall(
        rf'<line x1="([\d.]+)%" y1="([\d.]+)" x2="([\d.]+)%" y2="([\d.]+)" stroke="{sea}"', picture
    )
    assert len(lines) == len(curve.x) - 1
    heights = [float(y1) for _, y1, _, _ in lines] + [float(lines[-1][3])]
    assert heights == sorted(heights, reverse=True)
    # heights are in proportion to the load, from the foot up
    gas = (curve.rising + curve.falling) / 2
    assert (252.0 - heights[0]) / (252.0 - heights[-1]) == pytest.approx(gas[0] / gas[-1], rel=2e-4)
    assert "rating compensating" in picture


def test_a_far_rating_is_told_in_words_and_not_drawn() -> None:
    unit = next(iter(UNITS.values()))
    load = 0.2 * unit.compensated_rating
    curve = curve_at(unit, load)
    assert curve is not None
    picture = load_picture(unit, curve, load, LIGHT)
    drawn = re.sub(r"<desc.*?</desc>", "", picture)
    assert "rating compensating" not in drawn
    assert "rating compensating" in load_words(unit, curve, load)


def test_a_drawworks_has_no_curve() -> None:
    unit = next(unit for unit in demo_compensators().values() if unit.is_drawworks)
    with pytest.raises(InputError, match="kind of compensator"):
        curve_at(unit, 1e6)
