"""Motion at the hoist: geometry, one path for one sea or many, independent slow answers, statistics."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hoist_statistics import motion_statistics, statistics_from_moments
from hypothesis import given
from hypothesis import strategies as st

from heave.errors import InputError
from heave.sea import OMEGA, WEIGHTS, SeaBatch, SeaState, SystemSlot, WaveSystem, jonswap, two_parameter
from heave.sea.peaked import BLOCK
from heave.vessel import (
    BoxHull,
    ResponseTable,
    Semisubmersible,
    Vessel,
    hoist_moments,
    hoist_spectrum,
    hoist_transfer,
    relative_heading,
)
from heave.vessel.statistics import SHORTEST_EXPOSURE
from heave.vessel.viscous import receptance_squared

SHIP = Vessel("ship", BoxHull(200.0, 36.0, 11.0), hoist_x=8.0, hoist_y=3.0)
RIG = Vessel(
    "rig",
    Semisubmersible(
        columns=4,
        column_diameter=16.4,
        column_spacing=60.0,
        pontoon_length=110.0,
        pontoon_breadth=15.0,
        pontoon_height=9.0,
        pontoon_spacing=60.0,
        draught=19.0,
        added_mass=5.0e7,
    ),
)


def seas(count: int, seed: int = 3) -> SeaBatch:
    """Random two-system seas."""
    draw = np.random.default_rng(seed)

    def slot(spreading: str) -> SystemSlot:
        return SystemSlot(
            draw.uniform(0.5, 6, count),
            draw.uniform(5, 18, count),
            draw.uniform(0, 360, count),
            spreading=spreading,
        )

    return SeaBatch((slot("cos-n"), slot("long-crested")))


@pytest.mark.parametrize(
    ("bow", "coming_from", "relative"),
    [(0, 0, 180), (0, 180, 0), (0, 270, 270), (0, 90, 90), (90, 90, 180), (350, 10, 160), (10, 350, 200)],
)
def test_relative_heading(bow: float, coming_from: float, relative: float) -> None:
    """From dead ahead 180; from the west on a northerly heading it travels to starboard, 270."""
    assert relative_heading(bow, coming_from) == pytest.approx(relative)


def test_a_hair_short_of_a_whole_turn_is_none() -> None:
    """From the next number above 180: the turn that is missing to 0 is less than what 360 can be told from."""
    assert relative_heading(0.0, np.nextafter(180.0, 360.0)) == 0.0


@given(bow=st.floats(0, 360), coming_from=st.floats(0, 360))
def test_relative_heading_stays_on_the_circle(bow: float, coming_from: float) -> None:
    found = float(relative_heading(bow, coming_from))
    assert 0.0 <= found < 360.0
    assert np.cos(np.radians(found)) == pytest.approx(-np.cos(np.radians(bow - coming_from)), abs=1e-9)


def test_relative_heading_keeps_a_missing_direction_missing() -> None:
    assert np.isnan(relative_heading(0.0, np.array([np.nan, 10.0]))[0])


def test_hoist_to_port_rises_as_starboard_goes_down_and_forward_falls_as_the_bow_does() -> None:
    omega, headings = np.array([0.4, 0.8]), np.arange(0.0, 181.0, 45.0)
    none = np.zeros((5, 2))
    inner = (none + 0.01) * (np.sin(np.radians(headings)) > 1e-9)[:, None]
    rolling = Vessel("a", ResponseTable(omega, headings, none, inner, none), hoist_y=10.0)
    pitching = Vessel("b", ResponseTable(omega, headings, none, none, none + 0.01), hoist_x=10.0)
    assert hoist_transfer(rolling, np.array([0.6]), 90.0)[0, 0] == pytest.approx(0.1)
    assert hoist_transfer(pitching, np.array([0.6]), 90.0)[0, 0] == pytest.approx(-0.1)


def test_reference_point_moves_the_arm() -> None:
    omega, headings = np.array([0.4, 0.8]), np.arange(0.0, 181.0, 45.0)
    none = np.zeros((5, 2))
    table = ResponseTable(omega, headings, none + 1.0, none, none + 0.01, reference_x=30.0, reference_y=-2.0)
    at_reference = hoist_transfer(Vessel("a", table, hoist_x=30.0, hoist_y=-2.0), omega, 45.0)
    np.testing.assert_allclose(at_reference, 1.0)
    np.testing.assert_allclose(hoist_transfer(Vessel("a", table), omega, 45.0), 1.0 + 30 * 0.01)


@pytest.mark.parametrize("vessel", [SHIP, RIG], ids=lambda vessel: vessel.name)
def test_one_sea_is_a_batch_of_one(vessel: Vessel) -> None:
    batch = seas(2 * BLOCK + 7)
    together = hoist_moments(vessel, 33.3, batch)
    for row in (0, BLOCK - 1, BLOCK, 2 * BLOCK - 1, 2 * BLOCK, 2 * BLOCK + 6):
        alone = hoist_moments(vessel, 33.3, batch.take(np.array([row])))
        np.testing.assert_allclose(alone[0], together[row], rtol=1e-5)


@pytest.mark.parametrize("vessel", [SHIP, RIG], ids=lambda vessel: vessel.name)
def test_order_of_seas_and_headings_by_row(vessel: Vessel) -> None:
    batch = seas(50)
    heading = np.linspace(0.0, 359.0, 50)
    plain = hoist_moments(vessel, heading, batch)
    turned = hoist_moments(vessel, heading[::-1].copy(), batch.take(np.arange(49, -1, -1)))
    np.testing.assert_allclose(turned[::-1], plain, rtol=1e-6)


@pytest.mark.parametrize("vessel", [SHIP, RIG], ids=lambda vessel: vessel.name)
def test_blocks_share_memory_and_nothing_else(vessel: Vessel) -> None:
    batch = seas(2 * BLOCK + 40)
    whole = hoist_spectrum(vessel, 5.0, batch).ordinates
    for rows in (slice(0, 2 * BLOCK - 10), slice(2 * BLOCK - 10, 2 * BLOCK + 40)):
        again = hoist_spectrum(vessel, 5.0, batch.take(rows)).ordinates
        np.testing.assert_allclose(again, whole[rows], rtol=3e-6, atol=1e-9 * whole.max())


@pytest.mark.parametrize("vessel", [SHIP, RIG], ids=lambda vessel: vessel.name)
def test_moments_are_those_of_the_spectra(vessel: Vessel) -> None:
    batch = seas(2 * BLOCK + 60)
    heading = np.linspace(0.0, 400.0, batch.size)
    spectra = hoist_spectrum(vessel, heading, batch).ordinates
    found = hoist_moments(vessel, heading, batch)
    for place, order in enumerate((0, 2, 4, 6)):
        np.testing.assert_allclose(found[:, place], spectra @ (OMEGA**order * WEIGHTS), rtol=2e-6)


def test_whole_degrees_are_exact_and_between_them_close() -> None:
    """Against |H|² at the very heading, long-crested; kernels are linear between whole degrees."""
    for bow, tolerance in ((40.0, 2e-6), (40.5, 2e-3)):
        state = SeaState.single(4.0, 11.0, direction_from=0.0, spreading="long-crested")
        found = hoist_spectrum(SHIP, bow, state.batch()).ordinates[0]
        fine = np.linspace(0.02, 3.0, 60_001)
        direct = np.abs(hoist_transfer(SHIP, fine, bow + 180.0)[0]) ** 2 * state.spectrum(fine)
        assert found @ WEIGHTS == pytest.approx(np.trapezoid(direct, fine), rel=tolerance)


def test_spreading_by_a_plain_sum_over_directions() -> None:
    state = SeaState.single(4.0, 10.0, direction_from=300.0, spreading_exponent=4.0)
    ordinates = state.batch().spectra()[0].ordinates[0]
    step = 0.5
    offsets = np.arange(-90 + step / 2, 90, step)
    shares = np.cos(np.radians(offsets)) ** 4
    shares /= shares.sum()
    total = np.zeros(len(OMEGA))
    for offset, share in zip(offsets, shares, strict=True):
        beta = (77.0 - (300.0 + offset) + 180.0) % 360.0
        total += share * np.abs(hoist_transfer(SHIP, OMEGA, beta)[0]) ** 2 * ordinates
    found = hoist_spectrum(SHIP, 77.0, state.batch()).ordinates[0]
    assert found @ WEIGHTS == pytest.approx(total @ WEIGHTS, rel=5e-4)
    # Where the table has a corner the response is its average over the cell.
    np.testing.assert_allclose(found, total, atol=4e-3 * total.max())


def test_systems_add_their_energy_on_a_linear_hull() -> None:
    swell = WaveSystem(2.0, 19.0, direction_from=200.0, spreading_exponent=8.0, label="swell")
    wind = WaveSystem(3.0, 9.0, direction_from=280.0)
    both, one, other = (
        hoist_moments(SHIP, 250.0, SeaState(systems).batch())[0]
        for systems in ((swell, wind), (swell,), (wind,))
    )
    np.testing.assert_allclose(both, one + other, rtol=1e-6)


def test_systems_share_the_drag_of_a_semisubmersible() -> None:
    """The wind sea damps the swell's motion: together less than the sum, which holds at a common damping."""
    swell = WaveSystem(2.0, 19.0, direction_from=200.0, spreading="long-crested", label="swell")
    wind = WaveSystem(3.0, 9.0, direction_from=280.0, spreading="long-crested")
    together, *alone = (
        hoist_spectrum(RIG, 250.0, SeaState(systems).batch())
        for systems in ((swell, wind), (swell,), (wind,))
    )
    assert together.ordinates.sum() < sum(part.ordinates.sum() for part in alone)
    assert together.viscous_damping is not None
    fine = np.linspace(0.02, 3.0, 60_001)
    total = np.zeros(len(fine))
    for system in (swell, wind):
        beta = float(relative_heading(250.0, system.direction_from))
        heave = hoist_transfer(RIG, fine, beta, float(together.viscous_damping[0]))[0]
        total += np.abs(heave) ** 2 * system.spectrum(fine)
    assert together.ordinates[0] @ WEIGHTS == pytest.approx(np.trapezoid(total, fine), rel=5e-3)


def test_slow_sum_of_sines_at_the_hoist() -> None:
    """Time series of many small waves from many directions, each with heave, roll and pitch phases."""
    state = SeaState.single(3.5, 10.5, direction_from=350.0, spreading_exponent=4.0)
    duration, step, bow = 3600.0, 0.5, 15.0
    omega = (
        np.arange(round(0.25 * duration / 2 / np.pi), round(1.6 * duration / 2 / np.pi))
        * 2
        * np.pi
        / duration
    )
    offsets = np.arange(-80.0, 81.0, 10.0)
    shares = np.cos(np.radians(offsets)) ** 4
    shares /= shares.sum()
    density = jonswap(omega, 3.5, 10.5)
    time = np.arange(0.0, duration, step)
    phases = np.random.default_rng(11)
    beta = np.mod(bow - (350.0 + offsets) + 180.0, 360.0)
    motion = SHIP.response.transfer(omega, beta)  # type: ignore[union-attr]
    variances, rates = [], []
    for _ in range(8):
        turn = np.exp(2j * np.pi * phases.random((len(offsets), len(omega))))
        waves = np.sqrt(2 * density * 2 * np.pi / duration * shares[:, None]) * turn
        heave, roll, pitch = (np.sum(part * waves, axis=0) for part in motion)
        swing = np.exp(1j * omega[:, None] * time)
        parts = [(amplitude @ swing).real for amplitude in (heave, roll, pitch)]
        hoist = parts[0] + SHIP.hoist_y * parts[1] - SHIP.hoist_x * parts[2]
        variances.append(np.var(hoist))
        rates.append(np.count_nonzero((hoist[:-1] < 0) & (hoist[1:] >= 0)) / duration)
    found = motion_statistics(SHIP, bow, state.batch(), 10800.0, 0.1)
    assert found.heave.sigma[0] == pytest.approx(np.sqrt(np.mean(variances)), rel=0.03)
    assert found.heave.period[0] == pytest.approx(1 / np.mean(rates), rel=0.03)


@pytest.mark.parametrize("drag", [0.2, 2.0, 6.0])
@pytest.mark.parametrize(("height", "period"), [(4.0, 11.0), (1.0, 20.4), (6.0, 17.0), (0.2, 20.0)])
def test_semisubmersible_against_a_fine_grid_and_plain_iteration(
    drag: float, height: float, period: float
) -> None:
    """The damping each sea settles at and its motion, with a step of 0.0001 rad/s and nothing clever.

    Swell at the natural period with little drag is the case in which the answer could hang on the grid.
    """
    hull = replace(RIG.response, drag_coefficient=drag)  # type: ignore[type-var]
    assert isinstance(hull, Semisubmersible)
    step = 1e-4
    omega = np.arange(0.05, 3.0, step)
    force = np.abs(hull.excitation(omega, 180.0)[0]) ** 2 * two_parameter(omega, height, period)
    spring, radiated = hull.stiffness - omega**2 * hull.total_mass, hull.radiated_damping(omega)
    low, high = 1.0, 1e9
    for _ in range(60):
        viscous = np.sqrt(low * high)
        motion = force / (spring**2 + omega**2 * (radiated + viscous) ** 2)
        wanted = hull.viscous_damping(np.sqrt(np.sum(motion * omega**2) * step))
        low, high = (viscous, high) if wanted > viscous else (low, viscous)
    state = SeaState.single(height, period, shape="two-parameter", spreading="long-crested")
    found = hoist_spectrum(Vessel("rig", hull), 0.0, state.batch())
    assert found.viscous_damping is not None
    assert found.viscous_damping[0] == pytest.approx(viscous, rel=5e-3)
    assert np.sqrt(found.ordinates[0] @ WEIGHTS) == pytest.approx(np.sqrt(np.sum(motion) * step), rel=5e-3)


def test_damping_agrees_with_the_motion_it_leads_to() -> None:
    batch = seas(200)
    found = hoist_spectrum(RIG, 10.0, batch)
    assert found.viscous_damping is not None
    assert isinstance(RIG.response, Semisubmersible)
    again = RIG.response.viscous_damping(np.sqrt(found.ordinates @ (OMEGA**2 * WEIGHTS)))
    np.testing.assert_allclose(found.viscous_damping, again, rtol=5e-4)


def test_shares_of_the_receptance_are_plain_values_where_damping_is_large() -> None:
    hull = RIG.response
    assert isinstance(hull, Semisubmersible)
    damping = np.array([3e7])
    plain = np.abs(hull.receptance(OMEGA, damping)) ** 2
    found = receptance_squared(hull, damping)
    np.testing.assert_allclose(found, plain, rtol=0.01)
    assert found[0] @ WEIGHTS == pytest.approx(plain[0] @ WEIGHTS, rel=2e-4)


@pytest.mark.parametrize("damping", [1e3, 1e5, 1e6])
def test_shares_of_the_receptance_integrate_a_sharp_resonance(damping: float) -> None:
    """∫dω/((C − ω²m)² + (ωB)²) from 0 to ∞ is π/(2BC) for constant B (residues): no finer grid is needed."""
    hull = replace(RIG.response, radiation_damping=0.0)  # type: ignore[type-var]
    assert isinstance(hull, Semisubmersible)
    found = receptance_squared(hull, np.array([damping]))[0]
    from_zero = OMEGA[0] / hull.stiffness**2
    assert found @ WEIGHTS + from_zero == pytest.approx(np.pi / (2 * damping * hull.stiffness), rel=3e-3)


@given(scale=st.floats(1.05, 3.0), period=st.floats(6.0, 20.0), bow=st.floats(0.0, 359.0))
def test_higher_seas_move_the_hoist_more_and_a_damped_rig_less_than_in_proportion(
    scale: float, period: float, bow: float
) -> None:
    state = SeaState.single(2.0, period, gamma=2.0, direction_from=20.0)
    heights = np.array([2.0, 2.0 * scale])
    ship = np.sqrt(hoist_moments(SHIP, bow, state.batch().scaled(heights))[:, 0])
    rig = np.sqrt(hoist_moments(RIG, bow, state.batch().scaled(heights))[:, 0])
    assert ship[1] / ship[0] == pytest.approx(scale, rel=1e-5)
    assert 1.0 < rig[1] / rig[0] <= scale * (1 + 1e-5)


@given(bow=st.floats(0.0, 359.0), turn=st.floats(0.0, 359.0))
def test_turning_ship_and_sea_together_changes_nothing(bow: float, turn: float) -> None:
    one = SeaState.single(3.0, 11.0, direction_from=100.0)
    other = SeaState.single(3.0, 11.0, direction_from=(100.0 + turn) % 360.0)
    here = hoist_moments(SHIP, bow, one.batch())
    there = hoist_moments(SHIP, (bow + turn) % 360.0, other.batch())
    np.testing.assert_allclose(here, there, rtol=1e-6)


def test_port_and_starboard_alike_on_the_centreline() -> None:
    ship = replace(SHIP, hoist_y=0.0)
    port, starboard = (
        hoist_moments(ship, 0.0, SeaState.single(3.0, 11.0, direction_from=side).batch())
        for side in (300.0, 60.0)
    )
    np.testing.assert_allclose(port, starboard, rtol=1e-9)


def test_statistics_of_known_moments() -> None:
    """Values in units of σ for 1080 cycles (3 h at 10 s): most probable maximum 3.7376 (computed)."""
    rate = (2 * np.pi / 10) ** 2
    found = statistics_from_moments(np.array([[4.0 * rate**i for i in range(4)]]), exposure=10800.0, risk=0.1)
    assert found.heave.sigma[0] == pytest.approx(2.0)
    assert found.heave.period[0] == pytest.approx(10.0)
    assert found.heave.cycles[0] == pytest.approx(1080.0)
    assert found.heave.most_probable_maximum[0] / 2.0 == pytest.approx(3.7376, abs=5e-5)
    level = np.sqrt(2 * np.log(1080 / -np.log(0.9)))
    assert found.heave.level[0] / 2.0 == pytest.approx(level)
    assert found.velocity.sigma[0] == pytest.approx(2.0 * 2 * np.pi / 10)
    assert found.velocity.period[0] == pytest.approx(10.0)
    assert found.acceleration.sigma[0] == pytest.approx(2.0 * rate)
    assert 4 * found.heave.sigma[0] == pytest.approx(8.0)


@given(risk=st.floats(1e-4, 0.6), hours=st.floats(0.5, 100.0))
def test_rarer_and_longer_is_higher(risk: float, hours: float) -> None:
    batch = SeaState.single(3.0, 11.0).batch()
    here = motion_statistics(SHIP, 0.0, batch, hours * 3600, risk)
    rarer = motion_statistics(SHIP, 0.0, batch, hours * 3600, risk / 2)
    longer = motion_statistics(SHIP, 0.0, batch, 2 * hours * 3600, risk)
    for name in ("heave", "velocity", "acceleration"):
        level = getattr(here, name).level[0]
        assert getattr(rarer, name).level[0] > level
        assert getattr(longer, name).level[0] > level
        assert getattr(here, name).most_probable_maximum[0] <= level


@pytest.mark.parametrize("vessel", [SHIP, RIG], ids=lambda vessel: vessel.name)
def test_a_flat_sea_moves_nothing_and_a_missing_one_is_not_a_flat_one(vessel: Vessel) -> None:
    slot = SystemSlot(
        np.array([0.0, np.nan, 2.0, 2.0, 2.0]),
        np.array([10.0, 10.0, np.nan, 10.0, 10.0]),
        np.array([0.0, 0.0, 0.0, np.nan, 0.0]),
    )
    found = motion_statistics(vessel, 0.0, SeaBatch((slot,)), 10800.0, 0.1)
    assert found.heave.sigma[0] == 0.0
    assert found.heave.level[0] == 0.0
    assert found.heave.most_probable_maximum[0] == 0.0
    assert found.heave.cycles[0] == 0.0
    assert np.isnan(found.heave.period[0])
    for values in (found.heave.sigma, found.velocity.sigma, found.acceleration.sigma, found.heave.level):
        assert np.all(np.isnan(values[1:4]))
        assert values[4] > 0.0


@pytest.mark.parametrize(
    ("heading", "exposure", "risk", "what"),
    [
        (np.nan, 10800.0, 0.1, "Heading"),
        (np.array([0.0, 1.0]), 10800.0, 0.1, "Heading"),
        (0.0, SHORTEST_EXPOSURE - 0.1, 0.1, "Exposure"),
        (0.0, np.nan, 0.1, "Exposure"),
        (0.0, 10800.0, 0.0, "probability"),
        (0.0, 10800.0, 0.7, "probability"),
    ],
)
def test_refuses(heading: float, exposure: float, risk: float, what: str) -> None:
    with pytest.raises(InputError) as caught:
        motion_statistics(SHIP, heading, seas(5), exposure, risk)
    assert what in caught.value.what


def test_shortest_exposure_is_taken() -> None:
    found = motion_statistics(SHIP, 0.0, SeaState.single(3.0, 10.0).batch(), SHORTEST_EXPOSURE, 0.1)
    assert found.heave.cycles[0] > 1.0


def test_halving_the_frequency_step_changes_nothing_that_matters() -> None:
    """The same sum on a grid with a point put between every two: less than 0.5 % in each moment."""
    finer = np.sort(np.concatenate([OMEGA, 0.5 * (OMEGA[1:] + OMEGA[:-1])]))
    for period in (5.0, 9.0, 14.0, 20.0):
        state = SeaState.single(3.0, period, gamma=3.3, direction_from=30.0, spreading="long-crested")
        squared = np.abs(hoist_transfer(SHIP, finer, 150.0)[0]) ** 2
        motion = squared * jonswap(finer, 3.0, period, 3.3)
        found = hoist_moments(SHIP, 0.0, state.batch())[0]
        for order, moment in zip((0, 2, 4), found, strict=False):
            values = motion * finer**order
            plain = np.sum(0.5 * (values[1:] + values[:-1]) * np.diff(finer))
            assert moment == pytest.approx(plain, rel=5e-3)
