"""The drum against line wound on wrap by wrap, and the ledger against the metres there are."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from heave.errors import InputError
from heave.hoisting import MINIMUM_WRAPS, Drum, Ledger

LINE = 0.0349
DRUM = Drum(core_diameter=0.9, width=1.6, line_diameter=LINE, layers=5)


def wound(drum: Drum, wraps: float) -> float:
    """Length of so many wraps, wound one by one, each a turn of a helix a pitch long on its layer's circle."""
    pitch = drum.line_diameter if drum.pitch is None else drum.pitch
    side_by_side = 0
    while (side_by_side + 1) * pitch <= drum.width + 1e-9:
        side_by_side += 1
    length, wrap = 0.0, 0
    while wrap < wraps:
        radius = drum.core_diameter / 2 + drum.line_diameter * (0.5 + drum.stacking * (wrap // side_by_side))
        length += min(wraps - wrap, 1.0) * math.hypot(2 * math.pi * radius, pitch)
        wrap += 1
    return length


drums = st.builds(
    Drum,
    core_diameter=st.floats(0.5, 1.5),
    width=st.floats(0.5, 2.0),
    line_diameter=st.floats(0.02, 0.052),
    layers=st.integers(1, 6),
    pitch=st.none() | st.floats(0.052, 0.056),
    stacking=st.floats(0.87, 1.0),
)


@given(drum=drums, share=st.floats(0.001, 1.0))
def test_wraps_of_a_length_against_winding_it_on(drum: Drum, share: float) -> None:
    """The climb across a pitch, left out, is less than 0.1 % of a wrap."""
    found = drum.spooled(share * drum.capacity)
    assert wound(drum, found.wraps) == pytest.approx(share * drum.capacity, rel=1e-3)
    assert found.layer == max(1, math.ceil(found.wraps / drum.wraps_a_layer - 1e-9))
    rise = drum.line_diameter * (0.5 + drum.stacking * (found.layer - 1))
    assert found.radius == pytest.approx(drum.core_diameter / 2 + rise)


@given(drum=drums)
def test_empty_and_full(drum: Drum) -> None:
    assert drum.spooled(0.0).wraps == pytest.approx(0.0, abs=1e-9)
    full = drum.spooled(drum.capacity)
    assert (full.layer, full.wraps) == (drum.layers, pytest.approx(drum.layers * drum.wraps_a_layer))
    with pytest.raises(InputError, match="line on the drum"):
        drum.spooled(drum.capacity * 1.001)
    with pytest.raises(InputError, match="line on the drum"):
        drum.spooled(-1.0)


def test_a_layer_just_full_is_the_layer_of_its_last_wrap() -> None:
    full = DRUM.wraps_a_layer * DRUM.lap(1)
    assert DRUM.spooled(full).layer == 1
    assert DRUM.spooled(full + 0.01).layer == 2
    assert DRUM.spooled(full + 0.01).wraps == pytest.approx(DRUM.wraps_a_layer + 0.01 / DRUM.lap(2))


@given(drum=drums)
def test_more_layers_hold_more_and_a_thicker_line_less(drum: Drum) -> None:
    assert replace(drum, layers=drum.layers + 1).capacity > drum.capacity
    deep = Drum(drum.core_diameter, drum.width, drum.line_diameter, flange_depth=0.3)
    assert replace(deep, line_diameter=1.2 * drum.line_diameter).capacity < deep.capacity


@given(depth=st.floats(0.036, 0.5), stacking=st.floats(0.87, 1.0))
def test_layers_fit_below_the_rim_and_one_more_would_not(depth: float, stacking: float) -> None:
    drum = Drum(0.9, 1.6, LINE, flange_depth=depth, stacking=stacking)
    top = LINE + (drum.layers_held - 1) * stacking * LINE
    assert top <= depth + 1e-9
    assert top + stacking * LINE > depth - 1e-9


def test_line_volume_fits_between_core_and_rim() -> None:
    """The line fills less than the ring between flanges, and no less than squares a line wide would."""
    drum = Drum(0.9, 46 * LINE, LINE, layers=5, stacking=1.0)
    ring = math.pi / 4 * ((0.9 + 10 * LINE) ** 2 - 0.9**2) * drum.width
    assert drum.capacity * LINE**2 == pytest.approx(ring, rel=1e-9)


@given(share=st.floats(0.3, 1.0), travel=st.floats(0.0, 40.0), lines=st.sampled_from([8, 10, 12]))
def test_wraps_left_when_the_block_is_down(share: float, travel: float, lines: int) -> None:
    length = share * DRUM.capacity
    assume(travel * lines < length)
    left = DRUM.wraps_left(length, travel, lines)
    assert wound(DRUM, left) == pytest.approx(length - travel * lines, rel=1e-3, abs=1e-6)
    assert left <= DRUM.spooled(length).wraps


def test_six_wraps_by_hand() -> None:
    """Core 0.9 m: a wrap of the first layer is π 0.9349 = 2.937 m; six of them and 12 lines of 40 m."""
    least = MINIMUM_WRAPS * math.pi * 0.9349
    assert DRUM.wraps_left(least + 12 * 40.0, 40.0, 12) == pytest.approx(6.0)
    assert DRUM.wraps_left(least + 12 * 40.0, 41.0, 12) < MINIMUM_WRAPS
    with pytest.raises(
        InputError, match=r"travel of the block: 50\.0\u00a0m cannot be used; allowed: up to 41\.47\u00a0m"
    ):
        DRUM.wraps_left(least + 12 * 40.0, 50.0, 12)


def test_a_cut_ends_half_a_lap_over() -> None:
    lap = math.pi * (0.9 + LINE)
    assert DRUM.lap() == pytest.approx(lap)
    assert DRUM.half_lap(9.0) == pytest.approx(3.5 * lap)
    assert DRUM.half_lap(3.5 * lap) == pytest.approx(3.5 * lap)
    assert DRUM.half_lap(3.5 * lap + 0.01) == pytest.approx(4.5 * lap)
    assert DRUM.half_lap(0.0) == pytest.approx(0.5 * lap)


@given(st.floats(0.0, 200.0))
def test_a_cut_is_never_shorter_than_asked_and_less_than_a_lap_longer(length: float) -> None:
    cut = DRUM.half_lap(length)
    assert length - 1e-6 <= cut < length + DRUM.lap() * 1.000001
    assert (cut / DRUM.lap()) % 1.0 == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        (
            {"core_diameter": 0.03},
            r"core diameter of the drum: 0\.03\u00a0m .* from the line's diameter, 0\.0349\u00a0m",
        ),
        ({"core_diameter": -0.9}, "core diameter of the drum"),
        ({"width": 0.03}, "width between the flanges: .* from one pitch"),
        ({"width": 0.0}, "width between the flanges"),
        ({"pitch": 0.03}, "pitch of the wraps: .* from the line's diameter"),
        ({"line_diameter": 0.0}, "line diameter"),
        ({"layers": 0}, "layers on the drum"),
        ({"layers": 2.5}, "layers on the drum: 2.5 cannot be used; allowed: a whole number"),
        ({"layers": None}, "what the drum holds: .*one of the two"),
        ({"flange_depth": 0.2}, "what the drum holds: .*one of the two"),
        ({"layers": None, "flange_depth": 0.03}, "flange depth: .* from the line's diameter"),
        ({"stacking": 0.8}, "rise of a layer"),
        ({"stacking": 1.1}, "rise of a layer"),
    ],
)
def test_bad_drums_are_refused_by_name(changes: dict[str, float], named: str) -> None:
    with pytest.raises(InputError, match=named):
        replace(DRUM, **changes)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: DRUM.lap(0), "layer: 0"),
        (lambda: DRUM.lap(6), "layer: 6"),
        (lambda: DRUM.half_lap(-1.0), "length"),
        (lambda: DRUM.wraps_left(1e6, 10.0, 10), "line on the drum"),
        (lambda: DRUM.wraps_left(400.0, -1.0, 10), "length: -1.0\u00a0m"),
        (lambda: DRUM.wraps_left(400.0, 10.0, 0), "lines strung"),
    ],
)
def test_bad_questions_to_a_drum_are_refused_by_name(call: object, named: str) -> None:
    with pytest.raises(InputError, match=named):
        call()  # type: ignore[operator]


LEDGER = Ledger(since_cut=2e9, goal=5e9, cut_length=30.0, on_reel=1000.0, on_drum=500.0)


@given(rate=st.floats(1e3, 1e7), since=st.floats(0.0, 1e10))
def test_working_on_at_the_rate_comes_to_the_goal(rate: float, since: float) -> None:
    ledger = replace(LEDGER, since_cut=since)
    time = float(ledger.time_left(rate))
    assert since + rate * time == pytest.approx(5e9, rel=1e-9)
    assert (time < 0) == (since > 5e9)
    if time > 0:
        assert ledger.worked(rate * time).left == pytest.approx(0.0, abs=10.0)


def test_no_work_needs_no_cut_unless_it_is_due() -> None:
    assert LEDGER.time_left(0.0) == math.inf
    assert replace(LEDGER, since_cut=6e9).time_left(0.0) == -math.inf
    assert replace(LEDGER, since_cut=5e9).time_left(0.0) == 0.0
    times = LEDGER.time_left(np.array([[3e5, 0.0, math.nan]]))
    assert times.shape == (1, 3)
    assert times[0, :2] == pytest.approx([1e4, math.inf])
    assert math.isnan(times[0, 2])


@given(cut=st.floats(5.0, 60.0), slip=st.none() | st.floats(5.0, 60.0))
def test_cutting_until_the_reel_is_empty_loses_no_line(cut: float, slip: float | None) -> None:
    ledger = replace(LEDGER, cut_length=cut, slip_length=slip, on_drum=12_000.0)
    planned, there = ledger.cuts_left, ledger.on_reel + ledger.on_drum
    for done in range(1, planned + 1):
        ledger = ledger.after_cut()
        assert ledger.on_reel + ledger.on_drum + done * cut == pytest.approx(there)
        assert ledger.since_cut == 0.0
        assert ledger.cuts_left == planned - done
    assert ledger.on_reel < ledger.slipped
    with pytest.raises(InputError, match="line on the supply reel"):
        ledger.after_cut()


def test_a_reel_that_ends_with_its_last_cut_is_used_up() -> None:
    """A third of 100 m, three times: the last piece comes out a hair short of it."""
    ledger = replace(LEDGER, cut_length=100 / 3, on_reel=100.0)
    assert ledger.cuts_left == 3
    for _ in range(3):
        ledger = ledger.after_cut()
    assert ledger.on_reel == pytest.approx(0.0, abs=1e-9)
    assert ledger.cuts_left == 0


def test_slipping_as_much_as_is_cut_leaves_the_drum_as_it_was() -> None:
    after = LEDGER.after_cut()
    assert (after.on_reel, after.on_drum, after.left) == (970.0, 500.0, 5e9)
    more = replace(LEDGER, slip_length=20.0).after_cut()
    assert (more.on_reel, more.on_drum) == (980.0, 490.0)
    assert (LEDGER.cuts_left, replace(LEDGER, slip_length=20.0).cuts_left) == (33, 50)
    assert LEDGER.worked(0.0) == LEDGER


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"since_cut": -1.0}, "work since the last cut"),
        ({"goal": 0.0}, "work between cuts"),
        ({"goal": None}, "work between cuts"),
        ({"cut_length": 0.0}, "length of a cut"),
        ({"slip_length": -3.0}, "length slipped with a cut"),
        ({"on_reel": -1.0}, "line on the supply reel"),
        ({"on_drum": math.nan}, "line on the drum"),
    ],
)
def test_bad_ledgers_are_refused_by_name(changes: dict[str, float], named: str) -> None:
    with pytest.raises(InputError, match=named):
        replace(LEDGER, **changes)


def test_the_last_metre_may_go() -> None:
    """All the line off the drum, by the block or by cutting, is still line that is there."""
    assert DRUM.wraps_left(400.0, 40.0, 10) == 0.0
    assert replace(LEDGER, on_drum=20.0, slip_length=10.0).after_cut().on_drum == 0.0
    with pytest.raises(InputError, match="length of a cut"):
        replace(LEDGER, on_drum=19.9, slip_length=10.0).after_cut()


def test_what_cannot_be_done_with_a_ledger_is_refused_by_name() -> None:
    with pytest.raises(
        InputError, match=r"line on the supply reel: 29\.0\u00a0m cannot be used; allowed: from 30\u00a0m"
    ):
        replace(LEDGER, on_reel=29.0).after_cut()
    with pytest.raises(
        InputError, match=r"length of a cut: 30\.0\u00a0m cannot be used; allowed: up to 15\u00a0m"
    ):
        replace(LEDGER, on_drum=5.0, slip_length=10.0).after_cut()
    with pytest.raises(InputError, match="work of the line"):
        LEDGER.worked(-1.0)
    with pytest.raises(InputError, match="line work over time"):
        LEDGER.time_left(-1.0)
