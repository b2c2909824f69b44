"""What the user is told about a response that does not suit the sea."""

from __future__ import annotations

import numpy as np
import pytest

from heave.sea import SeaState, WaveSystem
from heave.vessel import BoxHull, ResponseTable, Semisubmersible, Vessel, response_warnings

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


@pytest.mark.parametrize(("period", "words"), [(20.0, "above 15.7 s"), (6.0, "below 7.0 s")])
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


def test_box_hull_is_always_called_concept_stage_and_short_seas_are_named() -> None:
    long_sea, short_sea = response_warnings(BOX, 0.0, sea(14.0)), response_warnings(BOX, 90.0, sea(7.0))
    assert len(long_sea) == 1
    assert "concept stage" in long_sea[0]
    assert len(short_sea) == 2
    assert "below 9 s" in short_sea[1]


def test_semisubmersible_off_centre_hoist_is_named() -> None:
    assert len(response_warnings(Vessel("rig", HULL), 0.0, sea(14.0))) == 1
    found = response_warnings(Vessel("rig", HULL, hoist_x=2.0), 0.0, sea(14.0))
    assert len(found) == 2
    assert "roll and pitch" in found[1]


def test_a_vessel_that_does_not_move_is_no_division_by_zero() -> None:
    wide = np.linspace(0.01, 20.0, 26)
    nothing = Vessel("still", ResponseTable(wide, HEADINGS, NONE, NONE, NONE))
    assert response_warnings(nothing, 0.0, sea(10.0)) == ()


@pytest.mark.parametrize(("period", "words"), [(7.5, "below 9 s"), (11.0, "below 12 s"), (16.0, "")])
def test_where_the_box_hull_fails_is_said_of_heave_and_pitch(period: float, words: str) -> None:
    found = response_warnings(BOX, 90.0, sea(period))
    assert "heave and pitch within about 10 % from 16 s" in found[0]
    assert [words in line for line in found[1:]] == ([True] if words else [])
