"""A wrong table is caught when it comes, and the convention that would bring it right is named."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from heave.files.rigs import demo_vessels
from heave.sea import wave_number
from heave.vessel import ResponseConventions, ResponseTable, plausibility, table_cautions
from heave.vessel.response_table import long_wave_limit

HEADINGS = np.arange(0.0, 181.0, 30.0)
LONG = np.linspace(0.2, 1.2, 40)
READ = ResponseConventions(
    phase="lead", phase_zero="crest", per="wave amplitude", rotation="deg/m", head_sea="180", side="starboard"
)


@cache
def drillship() -> ResponseTable:
    table = demo_vessels()["Demo drillship"].response
    assert isinstance(table, ResponseTable)
    return table


def turned(table: ResponseTable, **factors: Any) -> ResponseTable:
    return replace(table, **{name: getattr(table, name) * one for name, one in factors.items()})


def swapped(table: ResponseTable) -> ResponseTable:
    parts = {name: getattr(table, name)[::-1] for name in ("heave", "roll", "pitch")}
    return replace(table, **parts)


def conjugate(table: ResponseTable) -> ResponseTable:
    return replace(table, **{name: np.conj(getattr(table, name)) for name in ("heave", "roll", "pitch")})


RAD = np.pi / 180
K = LONG**2 / 9.80665
WRONG = {
    "heave down": (lambda t: turned(t, heave=-1), "heave", "heave positive down"),
    "pitch bow up": (lambda t: turned(t, pitch=-1), "pitch", "pitch positive bow up"),
    "roll to port": (lambda t: turned(t, roll=-1), "roll", "roll positive port down"),
    "0 and 180 swapped": (swapped, "head_sea", "a head sea at 0°"),
    "lag as lead": (conjugate, "phase", "phases as lags"),
    "trough for crest": (lambda t: turned(t, heave=-1, roll=-1, pitch=-1), "phase_zero", "the wave's trough"),
    "quarter of a turn": (
        lambda t: turned(t, heave=-1j, roll=-1j, pitch=-1j),
        "phase_zero",
        "the wave's rise",
    ),
    "radians as degrees": (lambda t: turned(t, roll=RAD, pitch=RAD), "rotation", "roll and pitch in rad/m"),
    "slope as degrees": (lambda t: turned(t, roll=RAD / K, pitch=RAD / K), "rotation", "in wave slope"),
    "per height": (lambda t: turned(t, heave=0.5, roll=0.5, pitch=0.5), "per", "per wave height"),
    "heave in feet": (lambda t: turned(t, heave=0.3), None, ""),
}


def follower() -> ResponseTable:
    """A hull that follows every wave."""
    return ResponseTable(LONG, HEADINGS, *long_wave_limit(LONG, HEADINGS))


@pytest.mark.parametrize("wrong", WRONG, ids=str)
def test_every_wrong_table_is_caught_and_its_repair_is_named(wrong: str) -> None:
    change, key, words = WRONG[wrong]
    table = change(follower())
    found = plausibility(table, READ)
    assert found.findings
    assert table_cautions(table)
    if key is not None:
        assert any(repair.key == key and words in repair.words for repair in found.repairs)
    else:
        assert not found.repairs


@pytest.mark.parametrize(
    "wrong", [wrong for wrong in WRONG if wrong not in ("slope as degrees", "heave in feet")], ids=str
)
def test_a_computed_ship_is_judged_by_the_same_rules(wrong: str) -> None:
    """The drillship of the boundary-element method: right as it is, each wrong reading of it caught and named."""
    assert plausibility(drillship(), READ).findings == ()
    change, key, words = WRONG[wrong]
    found = plausibility(change(drillship()), READ)
    assert found.findings
    assert any(repair.key == key and words in repair.words for repair in found.repairs)


def test_degrees_per_metre_read_as_slope_and_the_other_way_are_caught_on_a_ship() -> None:
    table, k = drillship(), drillship().omega ** 2 / 9.80665
    as_slope = turned(table, roll=k / RAD, pitch=k / RAD)
    as_metre = turned(table, roll=RAD / k, pitch=RAD / k)
    slope = replace(READ, rotation="wave slope", waves="deep water")
    for wrong, read, words in ((as_slope, slope, "in deg/m"), (as_metre, READ, "in wave slope")):
        found = plausibility(wrong, read)
        assert any(finding.motion == "pitch" for finding in found.findings)
        assert any(words in repair.words for repair in found.repairs)


@pytest.mark.parametrize(("true", "said"), [(60.0, 60.0 / 0.3048), (60.0, 60.0 * 0.3048)])
def test_a_depth_in_the_wrong_unit_is_caught(true: float, said: float) -> None:
    """In 60 m of water a wave of 25 s is 1.7 times as steep as in the deep; said in feet the slope does not fit."""
    steeper = wave_number(LONG, true) / wave_number(LONG)
    limit = long_wave_limit(LONG, HEADINGS)
    table = ResponseTable(LONG, HEADINGS, limit.heave, limit.roll * steeper, limit.pitch * steeper)
    right = replace(READ, waves="finite depth", depth=true)
    assert plausibility(table, right).findings == ()
    found = plausibility(table, replace(right, depth=said))
    assert [finding.motion for finding in found.findings] == ["pitch"]
    assert any(
        repair.key == "depth" and float(repair.value) == pytest.approx(true) for repair in found.repairs
    )


def test_a_table_for_shallow_water_that_does_not_say_so_names_its_depth() -> None:
    steeper = wave_number(LONG, 25.0) / wave_number(LONG)
    limit = long_wave_limit(LONG, HEADINGS)
    table = ResponseTable(LONG, HEADINGS, limit.heave, limit.roll * steeper, limit.pitch * steeper)
    found = plausibility(table, READ)
    assert found.findings
    depths = [float(repair.value) for repair in found.repairs if repair.key == "depth"]
    assert depths == [pytest.approx(25.0, rel=0.05)]


def test_what_a_table_does_not_reach_is_said() -> None:
    whole = follower()
    short = whole.omega > 2 * np.pi / 20.0
    parts = [-getattr(whole, name)[:, short] for name in ("heave", "roll", "pitch")]
    cut = plausibility(ResponseTable(whole.omega[short], HEADINGS, *parts), READ)
    assert cut.findings == ()
    assert cut.repairs == ()
    assert "cannot be judged from this table" in cut.not_judged[0]
    semi = demo_vessels()["Demo semisubmersible"].response
    assert isinstance(semi, ResponseTable)
    found = plausibility(semi, READ)
    assert found.findings == ()
    assert any("Pitch cannot be judged" in words for words in found.not_judged)
    assert plausibility(follower(), READ).not_judged == ()


def test_the_two_sides_must_answer_alike() -> None:
    round_ = np.arange(0.0, 360.0, 30.0)
    limit = long_wave_limit(LONG, round_)
    right = ResponseTable(LONG, round_, *limit, symmetric=False)
    assert plausibility(right, READ).findings == ()
    other = round_ > 180
    roll = np.where(other[:, None], -limit.roll, limit.roll)
    words = [one.words for one in plausibility(replace(right, roll=roll), READ).findings]
    assert any(
        "roll that must be opposite, and it is with the sign of the other side" in one for one in words
    )
    heave = np.where(other[:, None], 0.8 * limit.heave, limit.heave)
    found = plausibility(replace(right, heave=heave), READ).findings
    assert [one.motion for one in found] == ["heave"]
    assert "different by 20\u00a0%" in found[0].words


def test_a_pitch_that_does_not_turn_from_head_to_following_is_caught_and_no_convention_repairs_it() -> None:
    table = follower()
    pitch = np.where(np.cos(np.radians(HEADINGS))[:, None] > 0, -table.pitch, table.pitch)
    found = plausibility(replace(table, pitch=pitch), READ)
    assert [one.motion for one in found.findings] == ["pitch"]
    assert found.repairs == ()


def test_without_phases_only_sizes_are_judged() -> None:
    sizes = [np.abs(part) for part in long_wave_limit(LONG, HEADINGS)]
    table = ResponseTable(LONG, HEADINGS, *sizes, phases=False)
    assert plausibility(table, READ).findings == ()
    assert any("Signs and phases" in words for words in plausibility(table, READ).not_judged)
    assert plausibility(turned(table, heave=0.3048), READ).findings
