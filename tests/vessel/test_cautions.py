"""What the user is told about a response that does not suit the sea."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.sea import OMEGA as OMEGA_GRID
from heave.sea import WEIGHTS, SeaState, WaveSystem
from heave.vessel import (
    BoxHull,
    ResponseTable,
    Semisubmersible,
    Vessel,
    damping_caution,
    hoist_spectrum,
    response_warnings,
    table_cautions,
)
from heave.vessel.cautions import resonance
from heave.vessel.kernels import held_at, kernel
from heave.vessel.response_table import long_wave_limit

OMEGA = np.linspace(0.4, 0.9, 26)
HEADINGS = np.arange(0.0, 181.0, 60.0)
NONE = np.zeros((4, 26))
CUT_OFF = Vessel("cut off", ResponseTable(OMEGA, HEADINGS, NONE + 1.0, NONE, NONE))
BOX = Vessel("box", BoxHull(200.0, 36.0, 11.0))
HULL = Semisubmersible(4, 16.4, 60.0, 110.0, 15.0, 9.0, 60.0, 19.0, added_mass=5e7)


def sea(period: float, hs: float = 3.0) -> SeaState:
    return SeaState((WaveSystem(hs, period, shape="gaussian-swell", width=0.006),))


def test_a_table_that_covers_the_sea_says_nothing() -> None:
    assert response_warnings(CUT_OFF, 0.0, sea(10.0)) == ()


@pytest.mark.parametrize(("period", "words"), [(20.0, "above 15.7\u00a0s"), (6.0, "below 7.0\u00a0s")])
def test_energy_outside_a_table_is_told_with_the_side(period: float, words: str) -> None:
    """The response is held above the table for this, so one cut off early cannot hide what it lacks."""
    found = response_warnings(CUT_OFF, 0.0, sea(period))
    assert len(found) == 1
    assert words in found[0]


def test_one_per_cent_is_where_it_starts() -> None:
    """A swell moved step by step past the end of the table: told exactly when the share passes 1 %."""
    told = [bool(response_warnings(CUT_OFF, 0.0, sea(period))) for period in np.arange(10.0, 16.0, 0.25)]
    assert told == sorted(told)
    assert not told[0]
    assert told[-1]


@pytest.mark.parametrize(("spreading", "exponent"), [("long-crested", 2.0), ("cos-n", 3.0), ("cos-2s", 11.5)])
@pytest.mark.parametrize("heading", [0.0, 0.25, 77.9, 179.5, 212.0, 359.75])
def test_the_row_that_shows_energy_outside_is_one_of_the_kernel(
    spreading: str, exponent: float, heading: float
) -> None:
    """A box hull has no end to hold anything beyond, so its row at a heading is the kernel's there."""
    about = (BoxHull(200.0, 36.0, 11.0), 12.0, -4.0, spreading, exponent)
    expected, scratch = (np.empty(OMEGA_GRID.size, np.float32) for _ in range(2))
    row = kernel(*about).at(np.array([heading]), expected, scratch)[0]
    assert held_at(*about, heading) == pytest.approx(row, rel=1e-5, abs=1e-7)
    assert held_at(*about, heading) != pytest.approx(held_at(*about, (heading + 0.6) % 360), rel=1e-5)
    assert np.isnan(held_at(*about, math.nan)).all()


def test_box_hull_is_always_called_concept_stage_and_short_seas_are_named() -> None:
    long_sea, short_sea = response_warnings(BOX, 0.0, sea(14.0)), response_warnings(BOX, 90.0, sea(7.0))
    assert len(long_sea) == 1
    assert "concept stage" in long_sea[0]
    assert len(short_sea) == 2
    assert "below 9\u00a0s" in short_sea[1]


def test_semisubmersible_off_centre_hoist_is_named() -> None:
    assert len(response_warnings(Vessel("rig", HULL), 0.0, sea(14.0))) == 1
    found = response_warnings(Vessel("rig", HULL, hoist_x=2.0), 0.0, sea(14.0))
    assert len(found) == 2
    assert "roll and pitch" in found[1]


def test_a_vessel_that_does_not_move_is_no_division_by_zero() -> None:
    wide = np.linspace(0.01, 20.0, 26)
    nothing = Vessel("still", ResponseTable(wide, HEADINGS, NONE, NONE, NONE))
    assert response_warnings(nothing, 0.0, sea(10.0)) == ()


@pytest.mark.parametrize(
    ("period", "words"), [(7.5, "below 9\u00a0s"), (11.0, "below 12\u00a0s"), (16.0, "")]
)
def test_where_the_box_hull_fails_is_said_of_heave_and_pitch(period: float, words: str) -> None:
    found = response_warnings(BOX, 90.0, sea(period))
    assert "heave and pitch within about 10\u00a0% from 16\u00a0s" in found[0]
    assert [words in line for line in found[1:]] == ([True] if words else [])


def semisubmersible_table(speed: float) -> ResponseTable:
    """The closed form damped once and for all as at one heave speed."""
    omega = np.concatenate(
        (np.linspace(0.2, 0.26, 20), np.linspace(0.262, 0.36, 180), np.linspace(0.365, 1.6, 160))
    )
    found = HULL.transfer(omega, HEADINGS, float(HULL.viscous_damping(np.array([speed]))[0]))
    return ResponseTable(omega, HEADINGS, *found, damping_speed=speed)


@pytest.mark.parametrize("period", [14.0, 16.0, 18.0])
@pytest.mark.parametrize("hs", [0.7, 2.0, 5.0, 9.0])
def test_damping_for_another_sea_is_bounded_by_what_is_said(hs: float, period: float) -> None:
    """Against the same hull with its damping settled in each sea: the truth lies between the table and the far end."""
    table = semisubmersible_table(0.25)
    batch = SeaState.single(hs, period).batch()
    spectrum, settled = (
        hoist_spectrum(Vessel("v", response), 0.0, batch).ordinates[0] for response in (table, HULL)
    )
    fixed, own = (math.sqrt(float(np.sum(found * WEIGHTS))) for found in (spectrum, settled))
    speed = math.sqrt(float(np.sum(spectrum * OMEGA_GRID**2 * WEIGHTS)))
    period = resonance(table)
    assert period is not None
    share = near_share(spectrum, 2 * np.pi / period)
    factor = math.sqrt(1 + share * (0.25 / speed - 1))
    assert min(1.0, factor) * 0.98 <= own / fixed <= max(1.0, factor) * 1.02
    said = damping_caution(table, spectrum, speed)
    assert bool(said) == (abs(factor - 1) > 0.1)
    assert not said or f"{factor:.2g} times what is shown" in said[0]
    assert damping_caution(replace(table, damping_speed=None), spectrum, speed) == ()


def near_share(ordinates: np.ndarray, own: float) -> float:
    near = np.abs(OMEGA_GRID / own - 1) < 0.15
    return float(np.sum((ordinates * WEIGHTS)[near]) / np.sum(ordinates * WEIGHTS))


LONG = np.linspace(0.2, 1.2, 40)


def following(**factors: complex) -> ResponseTable:
    """A table of a hull that follows every wave, with some motion multiplied."""
    limit = long_wave_limit(LONG, HEADINGS)
    return ResponseTable(LONG, HEADINGS, *(getattr(limit, m) * factors.get(m, 1) for m in limit._fields))


@pytest.mark.parametrize(
    ("motion", "factor", "words"),
    [
        ("heave", 1.3, ""),
        ("heave", 0.3048, "0.3 times the wave's,"),
        ("heave", 2.0, "2 times the wave's,"),
        ("heave", -1.0, "heave is 180° from"),
        ("pitch", 0.5, ""),
        ("pitch", np.pi / 180, "pitch is 0.017 times the wave's slope"),
        ("pitch", -1.0, "pitch is 180° from"),
        ("pitch", 1j, "pitch is 90° from"),
    ],
)
def test_a_table_goes_where_every_hull_goes_in_long_waves(motion: str, factor: complex, words: str) -> None:
    found = table_cautions(following(**{motion: factor}))
    assert bool(found) == bool(words)
    assert not words or words in found[0]


def test_long_waves_are_looked_for_only_where_a_table_has_them() -> None:
    wrong = following(heave=-1.0)
    assert table_cautions(wrong)
    short = wrong.omega > 2 * np.pi / 24.0
    cut = [getattr(wrong, name)[:, short] for name in ("heave", "roll", "pitch")]
    assert table_cautions(ResponseTable(wrong.omega[short], HEADINGS, *cut)) == ()
    # 2π/0.2 = 31.4 s is past 1.4 × the heave resonance of 20.4 s; of 24 s it would not be
    rig = semisubmersible_table(0.25)
    assert resonance(rig) == pytest.approx(HULL.natural_period, rel=0.02)
    assert table_cautions(rig) == ()
    assert table_cautions(replace(rig, heave=-rig.heave))
    slower = replace(rig, omega=rig.omega * 20.4 / 24.0 + 0.0)
    assert 2 * np.pi / slower.omega[0] > 25.0
    lost = slower.omega > 0.2
    parts = [-getattr(slower, name)[:, lost] for name in ("heave", "roll", "pitch")]
    assert table_cautions(ResponseTable(slower.omega[lost], HEADINGS, *parts)) == ()
    assert resonance(following()) is None


def test_the_plan_is_told_of_its_table() -> None:
    plan = heave.demo_plan()
    table = plan.vessel.response
    wrong = plan.changed(vessel=replace(plan.vessel, response=replace(table, pitch=-table.pitch)))
    assert any("pitch is 180° from" in line for line in heave.assess(wrong).cautions)
    rig = replace(
        heave.files.rigs.demo_vessels()["Demo semisubmersible"], hoist_x=1.0
    )  # off its reference point
    for hs, period, told in ((6.0, 14.0, False), (1.0, 18.0, True)):
        sea_ = SeaState.single(hs, period, direction_from=220.0, depth=1200.0)
        cautions = heave.assess(plan.changed(vessel=rig, sea=sea_)).cautions
        assert any("damped as in a sea" in line for line in cautions) == told
