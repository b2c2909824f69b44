"""The bands of weight on bit: round steps under them, their figures clear of the lines."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.screens.figures.bit_band import bit_figure
from heave.screens.figures.look import LIGHT
from heave.screens.figures.svg import round_step


def parts_of(picture: str, name: str) -> list[ElementTree.Element]:
    return list(ElementTree.fromstring(picture).iter("{http://www.w3.org/2000/svg}" + name))


@pytest.mark.parametrize(
    ("low_limit", "high_limit", "held"),
    [(60e3, 280e3, "middle"), (None, None, "middle"), (-900e3, None, "middle"), (None, 20e3, "end")],
)
def test_figures_of_the_bit_bands_stand_in_the_widest_gap(
    low_limit: float | None, high_limit: float | None, held: str
) -> None:
    band = assess(demo_plan()).responses.bit
    assert band is not None
    picture = bit_figure(
        replace(band, wob=30e3 if held == "end" else band.wob), LIGHT, "metric", low_limit, high_limit
    )
    lines = [
        float(line.attrib["x1"][:-1])
        for line in parts_of(picture, "line")
        if line.get("stroke-width") == "1.6"
    ]
    words = [word for word in parts_of(picture, "text") if re.match("low|nominal|high", word.text or "")]
    left, right = max(pairwise([0.0, *sorted(lines), 100.0]), key=lambda gap: gap[1] - gap[0])
    assert {word.get("text-anchor") for word in words} == {held}
    place = right if held == "end" else (left + right) / 2
    assert [float(word.attrib["x"][:-1]) for word in words] == pytest.approx([place] * 3)


@given(st.floats(1e-3, 1e6))
def test_steps_of_an_axis_are_round(least: float) -> None:
    step = round_step(least)
    assert least * (1 - 1e-9) <= step <= 2.5 * least * (1 + 1e-9)
    assert f"{step:.0e}"[0] in "125"
    assert float(f"{step:.0e}") == pytest.approx(step, rel=1e-9)
