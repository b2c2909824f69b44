"""A table that states its damping is damped by each sea's own heave speed, as the hull it was made of is."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from response_text import response_table_text

import heave
from heave.errors import FileError, InputError
from heave.files.response_table import read_response_table
from heave.files.rigs import demo_vessels
from heave.sea import OMEGA, WEIGHTS, SeaState
from heave.vessel import ResponseTable, Semisubmersible, Vessel, hoist_moments, hoist_spectrum, hoist_transfer

HULL = Semisubmersible(
    4, 15.0, 55.0, 105.0, 15.0, 9.5, 60.0, 19.0, added_mass=4.0e7, radiation_damping=5e4, drag_coefficient=2.0
)
SPEED = 0.3
FREQUENCIES = np.unique(np.concatenate([np.linspace(0.15, 2.0, 150), np.linspace(0.26, 0.36, 60)]))
HEADINGS = np.arange(0.0, 181.0, 15.0)


def table(**changes: float | None) -> ResponseTable:
    """The closed-form hull with its damping made linear at `SPEED`, as numbers."""
    viscous = float(HULL.viscous_damping(np.array([SPEED]))[0])
    found = HULL.transfer(FREQUENCIES, HEADINGS, viscous)
    stated = {
        "damping_speed": SPEED,
        "viscous_damping": viscous,
        "natural_period": HULL.natural_period,
        "heave_stiffness": HULL.stiffness,
        "radiation_damping": 5e4,
    }
    return ResponseTable(FREQUENCIES, HEADINGS, *found, **(stated | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(("hs", "tp"), [(1.0, 18.0), (2.5, 14.0), (6.0, 14.0), (6.0, 20.0), (12.0, 17.0)])
def test_a_table_settles_where_the_hull_it_was_made_of_does(hs: float, tp: float) -> None:
    batch = SeaState.single(hs=hs, tp=tp, direction_from=20.0).batch()
    stated, hull = (Vessel("v", response) for response in (table(), HULL))
    found, exact = (hoist_moments(vessel, 0.0, batch)[0, :3] for vessel in (stated, hull))
    assert np.sqrt(found) == pytest.approx(np.sqrt(exact), rel=5e-3)
    dampings = [hoist_spectrum(vessel, 0.0, batch).viscous_damping for vessel in (stated, hull)]
    assert dampings[0] == pytest.approx(dampings[1], rel=0.01)
    plain = table(viscous_damping=None, natural_period=None, heave_stiffness=None, radiation_damping=None)
    as_made = float(np.sqrt(hoist_moments(Vessel("v", plain), 0.0, batch)[0, 0]))
    if tp >= 17:  # a sea that reaches the resonance: what the table alone would have said is far off
        assert abs(as_made / math.sqrt(exact[0]) - 1) > 0.05


def test_damping_agrees_with_the_speed_it_gives() -> None:
    """B = B_t σ_v/σ_t, with σ_v of the spectrum that B leaves: solved here by halving on a dense grid."""
    vessel = demo_vessels()["Demo semisubmersible"]
    own = vessel.oscillator
    assert own is not None
    dense = np.arange(0.2, 2.0, 1e-4)
    for hs, tp in ((2.0, 16.0), (8.0, 18.0)):
        sea = SeaState.single(hs=hs, tp=tp, direction_from=0.0, spreading="long-crested")
        spectrum = sea.spectrum(dense)

        def speed(damping: float, spectrum: np.ndarray = spectrum) -> float:
            response = np.abs(hoist_transfer(vessel, dense, 180.0, damping)[0]) ** 2
            return math.sqrt(float(np.trapezoid(spectrum * response * dense**2, dense)))

        low, high = 1e3, 1e8
        for _ in range(60):
            middle = math.sqrt(low * high)
            low, high = (middle, high) if speed(middle) > 0.2561 * middle / 1.5205e6 else (low, middle)
        found = hoist_spectrum(vessel, 0.0, sea.batch())
        assert found.viscous_damping is not None
        assert found.viscous_damping[0] == pytest.approx(low, rel=2e-3)
        sigma_v = math.sqrt(float(found.ordinates[0] @ (OMEGA**2 * WEIGHTS)))
        assert sigma_v == pytest.approx(speed(low), rel=2e-3)


def test_in_the_sea_it_was_damped_for_a_table_is_as_it_stands() -> None:
    """A two-parameter head sea of 6 m and 14 s is the one that the demonstration table states."""
    vessel = demo_vessels()["Demo semisubmersible"]
    sea = SeaState.single(
        hs=6.0, tp=14.0, direction_from=0.0, shape="two-parameter", spreading="long-crested"
    )
    found = hoist_spectrum(vessel, 0.0, sea.batch()).viscous_damping
    assert found is not None
    assert found[0] == pytest.approx(1.5205e6, rel=0.02)
    assert isinstance(vessel.response, ResponseTable)
    response = hoist_transfer(vessel, vessel.response.omega, 180.0)[0]
    assert response == pytest.approx(vessel.response.heave[-1], rel=1e-12)
    assert hoist_transfer(vessel, vessel.response.omega, 180.0, 1.5205e6)[0] == pytest.approx(response)


def test_a_small_swell_near_the_resonance_moves_more_and_a_high_one_less_than_the_table_alone() -> None:
    stated = Vessel("v", table())
    plain = Vessel(
        "v", table(viscous_damping=None, natural_period=None, heave_stiffness=None, radiation_damping=None)
    )
    for hs, more in ((0.5, True), (10.0, False)):
        batch = SeaState.single(hs=hs, tp=20.0, direction_from=0.0).batch()
        ratio = hoist_moments(stated, 0.0, batch)[0, 0] / hoist_moments(plain, 0.0, batch)[0, 0]
        assert (ratio > 1.3) == more
        assert (ratio < 0.9) != more


@pytest.mark.parametrize(
    ("hs", "tp", "near"),
    [(1.5, 19.0, "more"), (12.0, 19.0, "less"), (1.5, 8.0, ""), (6.0, 10.0, "")],
)
def test_off_the_reference_point_the_table_stands_as_made_and_says_so(
    hs: float, tp: float, near: str
) -> None:
    """Where the sea reaches the resonance: a milder one than the table was damped for moves the hull more."""
    plan = heave.demo_plan().changed(
        vessel=demo_vessels()["Demo semisubmersible"],
        sea=SeaState.single(hs=hs, tp=tp, direction_from=220.0, depth=1200.0),
    )
    settled = heave.assess(plan.changed(vessel=replace(plan.vessel, hoist_x=0.0))).responses.heave.sigma
    for arm, told in ((0.0, False), (3.0, bool(near))):
        moved = plan.changed(vessel=replace(plan.vessel, hoist_x=arm))
        assert (moved.vessel.oscillator is None) == (arm > 0)
        result = heave.assess(moved)
        said = [c for c in result.cautions if "is damped as in a sea with" in c]
        assert bool(said) == told
        if told:  # what is said reaches the heave with the damping of this sea
            factor = float(said[0].split(" times what is shown")[0].split()[-1])
            assert (factor > 1) == (near == "more")
            assert min(1.0, factor) * 0.98 < settled / result.responses.heave.sigma < max(1.0, factor) * 1.02


def test_what_a_table_states_is_read_and_written(tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_text(response_table_text(table()), "utf-8")
    again = read_response_table(path)
    assert again.oscillator == table().oscillator
    np.testing.assert_allclose(again.heave, table().heave, rtol=1e-12)
    text = path.read_text("utf-8").replace("# heave_stiffness_n_per_m", "# nothing")
    with pytest.raises(FileError, match="all of them or none"):
        read_response_table(text.encode())


@pytest.mark.parametrize("name", ["damping_speed", "viscous_damping", "natural_period", "heave_stiffness"])
def test_half_of_a_damping_is_refused(name: str) -> None:
    with pytest.raises(InputError, match="all of them or none"):
        table(**{name: None})
