"""The bow and the wind against it: on the timeline, where it is pointed at, and as words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.files.rigs import demo_plan
from heave.screens.figures.bow import ARROWS, bow_cell, bow_words
from heave.screens.figures.look import LIGHT
from heave.screens.figures.timeline import timeline_figure
from heave.screens.figures.timeline_words import hour_lines
from heave.screens.weather import store
from heave.screens.weather.clock import Clock
from heave.weather import Forecast, WindowResult, weather_windows
from heave.weather.headings import off_bow


@pytest.fixture(scope="module")
def sample() -> WindowResult:
    found = store.sample().forecast
    assert isinstance(found, Forecast)
    return weather_windows(demo_plan(), found)


def blown(result: WindowResult, way: Any, heading: Any = None) -> WindowResult:
    """The same with another wind direction, and another bow where it is given."""
    size = result.forecast.size
    wind = None if way is None else np.broadcast_to(np.asarray(way, dtype=float), size)
    bow = result.heading if heading is None else np.broadcast_to(np.asarray(heading, dtype=float), size)
    return replace(result, forecast=replace(result.forecast, wind_direction_from=wind), heading=bow)


@pytest.mark.parametrize(
    ("way", "bow", "angle", "words", "cell"),
    [
        (225, 220, 5, "5° to starboard of the bow", "5 S"),
        (215, 220, -5, "5° to port of the bow", "5 P"),
        (10, 350, 20, "20° to starboard of the bow", "20 S"),
        (350, 10, -20, "20° to port of the bow", "20 P"),
        (40, 40.2, -0.2, "ahead", "0"),
        (0, 180, -180, "astern", "180"),
        (90, 0, 90, "90° to starboard of the bow", "90 S"),
    ],
)
def test_the_wind_off_the_bow(way: float, bow: float, angle: float, words: str, cell: str) -> None:
    """From a compass: a wind clockwise of the bow comes over the starboard side."""
    found = float(off_bow(way, bow))
    assert found == pytest.approx(angle)
    assert (bow_words(found), bow_cell(found)) == (words, cell)


@given(st.floats(0, 360), st.floats(0, 360))
def test_an_angle_off_the_bow_leads_back_to_the_wind(way: float, bow: float) -> None:
    found = float(off_bow(way, bow))
    assert -180 <= found < 180
    assert abs((bow + found - way + 180) % 360 - 180) < 1e-6


def test_the_wind_is_drawn_against_the_bow(sample: WindowResult) -> None:
    """Over north as well: the line is unbroken, every wind within half a turn of it, the arrows fly with the wind."""
    size = sample.forecast.size
    bow = (350.0 + np.arange(size) / 4) % 360
    way = (bow + 30.0) % 360
    way[:5] = np.nan
    figure = timeline_figure(blown(sample, way, bow), 0, Clock(), LIGHT)
    traces = {}
    for trace in figure.data:
        if trace.yaxis == "y6":
            traces.setdefault(trace.name, []).append(trace)
    (line,), (dots, arrows) = traces["bow"], traces["wind"]
    assert np.abs(np.diff(np.asarray(line.y, dtype=float))).max() < 1, "no jump over north"
    np.testing.assert_allclose(np.asarray(dots.y)[5:] - np.asarray(line.y)[5:], 30.0)
    assert np.isnan(np.asarray(dots.y)[:5]).all()
    known = ~np.isnan(np.asarray(arrows.y))
    flown = (
        np.asarray(arrows.marker.angle)[known] % 360
    )  # from 30° on the bow to 30° off the stern, the bow being up
    np.testing.assert_allclose(flown, 210.0)
    assert 5 <= known.sum() <= ARROWS
    low, high = figure.layout.yaxis6.range
    assert all(low <= tick <= high for tick in figure.layout.yaxis6.tickvals)
    words = zip(figure.layout.yaxis6.tickvals, figure.layout.yaxis6.ticktext, strict=True)
    assert all(int(text[:3]) == tick % 360 for tick, text in words)


@pytest.mark.parametrize(
    ("way", "turn", "drawn"), [(None, 0, False), (np.nan, 0, False), (None, 1, True), (10, 0, True)]
)
def test_without_a_wind_direction_and_a_turn_the_bow_has_no_panel(
    sample: WindowResult, way: Any, turn: int, drawn: bool
) -> None:
    figure = timeline_figure(blown(sample, way, turn * (np.arange(241) % 50)), 0, Clock(), LIGHT)
    assert any(trace.yaxis == "y6" for trace in figure.data) is drawn
    assert any(str(note.text).startswith("Bow: line") for note in figure.layout.annotations) is drawn


def test_pointing_tells_wind_and_current_with_their_ways(sample: WindowResult) -> None:
    size = sample.forecast.size
    forecast = replace(
        blown(sample, 250.0).forecast,
        current_speed=np.full(size, 0.5),
        current_direction_to=np.full(size, 90.0),
    )
    both = replace(sample, forecast=forecast, heading=np.full(size, 220.0))
    lines = hour_lines(both, 0, 60, Clock(), "metric")
    speed = f"{float(forecast.wind_speed[60]):.1f}"  # type: ignore[index]
    assert f"wind {speed}\u00a0m/s from 250°, 30° to starboard of the bow" in lines
    assert "current 0.5\u00a0m/s to 90°" in lines
    only = replace(
        both, forecast=replace(forecast, wind_speed=None, current_speed=None, current_direction_to=None)
    )
    assert "wind from 250°, 30° to starboard of the bow" in hour_lines(only, 0, 60, Clock(), "metric")
    variable = hour_lines(blown(sample, np.nan), 0, 60, Clock(), "metric")
    assert f"wind {speed}\u00a0m/s from –°, –" in variable


def test_a_step_with_its_own_heading_has_its_own_bow(sample: WindowResult) -> None:
    (step,) = sample.steps
    own = replace(step, asked=replace(step.asked, task=replace(step.asked.task, heading=300.0)))
    turned = replace(blown(sample, 250.0, 220.0), steps=(own,))
    assert "50° to port of the bow" in "\n".join(hour_lines(turned, 0, 60, Clock(), "metric"))
    assert turned.bow(0).tolist() == [300.0] * sample.forecast.size
