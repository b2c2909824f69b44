"""Pictures of the sensitivity page: every figure on them, in both themes."""

from __future__ import annotations

import importlib
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from studied import only

from heave.files.rigs import demo_plan
from heave.planning import StudiedInput
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.figures.monte_carlo import running_figure, share_text, shares_figure
from heave.screens.figures.swings import LINE, governing_words, swings_figure, swings_words
from heave.screens.sensitivity import swings
from heave.studies.monte_carlo import monte_carlo


def told(svg: str) -> str:
    """All words drawn on a picture."""
    nodes = (node for node in ET.fromstring(svg).iter() if node.tag.endswith("text"))
    return " ".join("".join(node.itertext()) for node in nodes)


def test_the_picture_has_every_row_with_both_figures() -> None:
    found = swings.of(demo_plan())
    shown = swings.moving(found)
    for look in (LIGHT, DARK):
        words = told(swings_figure(found, shown, look, "metric"))
        for row in shown:
            label = row.ranged.input.about.label
            assert label[:1].upper() + label[1:] in words
            for end in (row.low, row.high):
                assert f"{end.utilisation:.2f}" in words
        assert "governed by WOB band" in words
        assert f"as planned {found.planned.utilisation:.2f}" in words
        assert "limit 1" in words


def test_the_picture_in_words() -> None:
    found = swings.of(demo_plan())
    words = swings_words(swings.moving(found), "oilfield")
    assert "ft 0." in words
    assert words.count(";") == len(swings.moving(found)) - 1


def test_a_plan_far_over_its_limit_still_has_ends_that_differ() -> None:
    """Both ends of an input, and the plan, stood at one place where all were over 1.5."""
    plan = demo_plan()
    plan = plan.changed(sea=plan.sea.with_primary(hs=9.0, tp=14.0))
    found = swings.of(only(plan, StudiedInput("sea_height", 8.0, 10.0)))
    (row,) = found.swings
    assert 1.5 < row.low.utilisation < found.planned.utilisation < row.high.utilisation
    drawn = ET.fromstring(swings_figure(found, found.swings, LIGHT))
    ways = [node.get("style", "") for node in drawn.iter() if node.get("height") == "5"]
    (share,) = re.findall(r"width:calc\(([\d.]+)%", " ".join(ways))
    assert float(share) > 50


def test_a_running_chance_ends_at_the_chance() -> None:
    given = StudiedInput("sea_height", 2.0, 5.0), StudiedInput("sea_turn", -20.0, 20.0)
    found = monte_carlo(only(demo_plan(), *given, samples=300))
    # the app of another test may be importing it still, and Plotly looks for it
    importlib.import_module("pandas")
    chart = running_figure(found.running, LIGHT)
    assert [trace.name for trace in chart.data] == ["", "95\u00a0% interval", "any check over its limit"]
    assert chart.data[2].y[-1] == pytest.approx(100 * found.exceedances[0].share)
    assert chart.data[0].y[-1] <= chart.data[2].y[-1] <= chart.data[1].y[-1]


def test_shares_are_never_drawn_below_zero() -> None:
    words = told(shares_figure([("heave", 0.6, 0.02), ("a <b>", -0.01, 0.02)], DARK))
    assert "Heave" in words
    assert "A <b>" in words
    assert "60 ± 2\u00a0%" in words
    assert share_text(-0.01, 0.02) == "0 ± 2\u00a0%"


def test_what_governs_at_the_ends_takes_two_lines_where_one_would_be_cut() -> None:
    found = swings.of(only(demo_plan(), StudiedInput("tide_rise", 0.0, 1.0)))
    (row,) = found.swings
    assert governing_words(row, row.low.governing) == ()
    both = replace(
        row,
        low=replace(row.low, governing="Stroke, vessel rising"),
        high=replace(row.high, governing="Blow of the bit coming back"),
        worst=None,
    )
    lines = governing_words(both, "")
    assert lines == (
        "low: governed by Stroke, vessel rising",
        "high: governed by Blow of the bit coming back",
    )
    assert max(map(len, lines)) <= LINE + 2
    told = [replace(found, swings=(one,)) for one in (row, both)]
    heights = [float(ET.fromstring(swings_figure(one, one.swings, LIGHT)).get("height", "0")) for one in told]
    assert heights[1] == heights[0] + 34
    short = replace(both, low=replace(both.low, governing="Gas"), high=replace(both.high, governing="Line"))
    assert governing_words(short, "") == ("governed by Gas (low) · Line (high)",)
