"""Where a response table begins to be wrong, to resonate and to be judged: numbers on both sides of every bound."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from heave.vessel import ResponseTable, plausibility
from heave.vessel.plausibility import judged, long_wave_findings, resonance, side_findings
from heave.vessel.response_table import long_wave_limit

HEADINGS = np.arange(0.0, 181.0, 30.0)
OMEGA = np.array([0.2, 0.27, 0.29, 0.4, 0.5, 0.7, 1.0])


def follower(omega: np.ndarray = OMEGA, headings: np.ndarray = HEADINGS) -> ResponseTable:
    """A hull that follows every wave, and rolls a little more than the steepest ones."""
    heave, roll, pitch = long_wave_limit(omega, headings)
    return ResponseTable(omega, headings, heave, roll * np.where(omega == omega[-1], 1.1, 1.0), pitch)


def peaked(motion: str, place: int, size: float, omega: np.ndarray = OMEGA) -> ResponseTable:
    """The same, with one frequency of a motion `size` times as high."""
    table = follower(omega)
    factor = np.where(np.arange(omega.size) == place, size, 1.0)
    return replace(table, **{motion: getattr(table, motion) * factor})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("period", "size", "own"),
    [(15.0, 2.0, None), (15.001, 2.0, 15.001), (20.0, 1.1, None), (20.0, 1.1001, 20.0), (14.0, 3.0, None)],
)
def test_a_heave_over_a_tenth_higher_and_slower_than_fifteen_seconds_is_a_resonance(
    period: float, size: float, own: float | None
) -> None:
    omega = np.array([0.2, 2 * np.pi / period, 0.6, 0.9])
    found = resonance(peaked("heave", 1, size, omega))
    assert found == (None if own is None else pytest.approx(own))


@pytest.mark.parametrize(("longest", "own", "far"), [
    (24.9, None, False), (25.1, None, True), (27.9, 20.0, False), (28.1, 20.0, True), (24.9, 17.0, False),
])  # fmt: skip
def test_a_table_is_judged_from_twenty_five_seconds_and_from_1_4_times_its_own_period(
    longest: float, own: float | None, far: bool
) -> None:
    omega = 2 * np.pi / np.array([longest, own or 12.0, 8.0, 6.0])
    table = peaked("heave", 1, 1.0 if own is None else 2.0, omega)
    assert judged(table) == far
    said = plausibility(table).not_judged
    assert any("from this table" in words for words in said) == (not far)
    assert any("too near its own period in heave" in words for words in said) == (longest > 25 and not far)


@pytest.mark.parametrize(("place", "far"), [(0, False), (1, False), (2, True), (4, True)])
def test_roll_is_judged_where_it_peaks_1_4_times_faster_than_the_table_ends(place: int, far: bool) -> None:
    """The table ends at 0.2 rad/s: a peak at 0.27 is 1.35 times as fast, one at 0.29 is 1.45."""
    found = plausibility(peaked("roll", place, 2.0)).not_judged
    assert found == (
        () if far else ("Roll cannot be judged: the table ends too near its own period in roll.",)
    )
    wrong = replace(peaked("roll", place, 2.0), roll=-peaked("roll", place, 2.0).roll)
    assert [one.motion for one in long_wave_findings(wrong)] == (["roll"] if far else [])


@pytest.mark.parametrize(("motion", "low", "high", "angle"), [
    ("heave", 0.7, 1.4, 25.0), ("pitch", 0.4, 2.0, 60.0), ("roll", 0.3, 3.0, 60.0),
])  # fmt: skip
def test_each_motion_has_its_own_room_in_size_and_phase(
    motion: str, low: float, high: float, angle: float
) -> None:
    turn = np.exp(1j * np.radians(angle))
    cases = [(0.99 * low, False), (1.01 * low, True), (0.99 * high, True), (1.01 * high, False)]
    for factor, right in (
        *cases,
        (turn**0.99, True),
        (turn**1.01, False),
        (turn**-0.99, True),
        (turn**-1.01, False),
    ):
        table = follower()
        values = getattr(table, motion) * factor
        found = long_wave_findings(replace(table, **{motion: values}))  # type: ignore[arg-type]
        assert [one.motion for one in found] == ([] if right else [motion])
        if not right and abs(abs(factor) - 1) > 1e-9:
            assert f"{factor:.2g} times" in found[0].words
        elif not right:
            assert f"{1.01 * angle:.0f}° from" in found[0].words


@pytest.mark.parametrize(("heading", "asked"), [
    (0.0, ["pitch"]), (45.0, ["pitch", "roll"]), (44.0, ["pitch"]), (46.0, ["roll"]), (90.0, ["roll"]),
])  # fmt: skip
def test_pitch_is_asked_ahead_and_roll_abeam_from_45_degrees(heading: float, asked: list[str]) -> None:
    """cos and sin of 45° are 0.707; those of 46° and 44° are 0.695."""
    table = follower(headings=np.union1d(HEADINGS, heading))
    sign = np.where(table.heading == heading, -1.0, 1.0)[:, None]
    wrong = replace(table, pitch=sign * table.pitch, roll=sign * table.roll)
    assert [one.motion for one in long_wave_findings(wrong)] == asked


@pytest.mark.parametrize(("depth", "factor", "right"), [
    (None, 1.9, True), (200.0, 1.9, False), (200.0, 0.7, False), (200.0, 1.0, True), (200.0, 1.31, False),
])  # fmt: skip
def test_a_known_depth_leaves_pitch_less_room(depth: float | None, factor: float, right: bool) -> None:
    """At 0.2 rad/s in 200 m k d tanh(k d) = ω²d/g: k d = 1.046, so waves are 1.282 times as steep as in the deep."""
    steep = 1.2822 if depth else 1.0
    table = follower()
    found = long_wave_findings(
        replace(table, pitch=table.pitch * factor * steep, roll=table.roll * steep), depth
    )
    assert [one.motion for one in found] == ([] if right else ["pitch"])


def test_sides_may_differ_by_a_twentieth_of_the_largest() -> None:
    around = np.arange(0.0, 360.0, 30.0)
    limit = long_wave_limit(OMEGA, around)
    for share, right in ((0.049, True), (0.051, False)):
        heave = np.where(around[:, None] > 180, 1 - share, 1.0) * limit.heave
        found = side_findings(ResponseTable(OMEGA, around, heave, limit.roll, limit.pitch, symmetric=False))
        assert [one.motion for one in found] == ([] if right else ["heave"])


@pytest.mark.parametrize(("off", "how"), [
    (0.0, "with the sign of the other side"),
    (0.049, "with the sign of the other side"),
    (0.051, "different by 195\u00a0%"),
])  # fmt: skip
def test_a_roll_of_the_wrong_sign_is_told_from_another_roll_within_a_twentieth(off: float, how: str) -> None:
    """Of the largest roll, which is a tenth of a radian a metre and no whole one."""
    around = np.arange(0.0, 360.0, 30.0)
    heave, roll, pitch = long_wave_limit(OMEGA, around)
    roll = np.where(around[:, None] > 180, -(1 - off), 1.0) * roll
    found = side_findings(ResponseTable(OMEGA, around, heave, roll, pitch, symmetric=False))
    assert [one.motion for one in found] == ["roll"]
    assert how in found[0].words
