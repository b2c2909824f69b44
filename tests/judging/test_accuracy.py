"""The grid, its averaged responses and single precision against a dense grid in double precision.

The reference samples spectrum, response and string at steps of 0.0005 rad/s, one sea after the other's neighbour,
with nothing averaged and nothing left out: the same formulas, integrated by brute force.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.optimize import brentq

import heave
from heave.arrays import FloatArray
from heave.compensator import AVERAGE, LARGEST, LinearModel, linear_system
from heave.drill_string import rod_dynamics
from heave.files.rigs import demo_vessels
from heave.judging import limiting_sea, utilisations
from heave.judging.demands import Demands
from heave.judging.moments import Moments, setting_of
from heave.judging.rules import rules_for
from heave.planning import Operation, Plan
from heave.sea import SHAPES, SeaBatch, SystemSlot
from heave.sea.peaked import densities
from heave.vessel import TableOscillator, Vessel, hoist_moments, hoist_transfer, relative_heading

STEP = 5e-4
DENSE = np.arange(0.05, 2.4, STEP)
SEAS = 10_000
OWN_DAMPING = demo_vessels()["Demo semisubmersible"]
STATED = dict.fromkeys(("viscous_damping", "natural_period", "heave_stiffness", "radiation_damping"))
TABLE = replace(OWN_DAMPING, name="Table alone", response=replace(OWN_DAMPING.response, **STATED))
VESSELS = [demo_vessels()["Demo drillship"], OWN_DAMPING, TABLE]
"""The second damped by each sea's own speed, as it ships; the third as its table stands."""


def random_seas(shape: str, count: int, seed: int) -> SeaBatch:
    """Seas that stand, of every height, period and direction; long-crested, so that the reference can follow."""
    rng = np.random.default_rng(seed)
    tp = rng.uniform(5.0, 20.0, count)
    hs = np.minimum(rng.uniform(0.3, 10.0, count), 0.06 * tp**2)
    slot = SystemSlot(hs, tp, rng.integers(0, 360, count).astype(float), shape, spreading="long-crested")
    return SeaBatch((slot,))


@cache
def responses(vessel: Vessel) -> FloatArray:
    """|H|² at whole degrees on the dense grid, shape (360, n)."""
    return np.abs(hoist_transfer(vessel, DENSE, np.arange(360.0))) ** 2


def dense_blocks(
    vessel: Vessel, heading: float, seas: SeaBatch, size: int = 250
) -> Iterator[tuple[slice, FloatArray]]:
    """Heave spectra on the dense grid, some seas at a time."""
    slot = seas.slots[0]
    beta = relative_heading(heading, slot.direction_from).astype(int)
    for start in range(0, seas.size, size):
        rows = slice(start, min(start + size, seas.size))
        yield rows, settled(vessel, densities(slot.take(rows).parts, DENSE) * responses(vessel)[beta[rows]])


def settled(vessel: Vessel, spectra: FloatArray) -> FloatArray:
    """Spectra of a table brought from its own damping to that of each sea: B = B_t σ_v/σ_t, found by halving."""
    own = vessel.oscillator
    if not isinstance(own, TableOscillator):
        return spectra
    spring = (own.stiffness - DENSE**2 * own.stiffness * (own.natural_period / (2 * math.pi)) ** 2) ** 2
    force = spectra * (spring + DENSE**2 * (own.radiated + own.viscous) ** 2)

    def damped(speed: FloatArray) -> FloatArray:
        damping = own.radiated + own.viscous * speed[:, None] / own.speed
        return force / (spring + DENSE**2 * damping**2)

    low, high = (np.full(len(force), bound) for bound in (1e-6, 20.0))
    for _ in range(26):
        middle = np.sqrt(low * high)
        faster = damped(middle) @ (DENSE**2 * STEP) > middle**2
        low, high = np.where(faster, middle, low), np.where(faster, high, middle)
    return damped(np.sqrt(low * high))


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("vessel", VESSELS, ids=lambda vessel: vessel.name)
def test_standard_deviations_of_motion(vessel: Vessel, shape: str) -> None:
    seas = random_seas(shape, SEAS // (len(SHAPES) * len(VESSELS)), 3)
    found = hoist_moments(vessel, 30.0, seas)
    orders = np.stack([DENSE**order * STEP for order in (0, 2, 4)], axis=1)
    exact = np.concatenate([spectra @ orders for _, spectra in dense_blocks(vessel, 30.0, seas)])
    # a hundredth of a millimetre is no motion
    np.testing.assert_allclose(np.sqrt(found[:, :3]), np.sqrt(exact), rtol=5e-4, atol=1e-5)


@pytest.mark.parametrize("vessel", VESSELS, ids=lambda vessel: vessel.name)
def test_standard_deviations_of_two_systems_that_spread(vessel: Vessel) -> None:
    """A wind sea with cosⁿ and a swell with cos²ˢ, a direction at every whole degree."""
    count, rng = 250, np.random.default_rng(9)
    tp = rng.uniform(5.0, 12.0, count), rng.uniform(10.0, 20.0, count)
    hs = np.minimum(rng.uniform(0.3, 6.0, count), 0.06 * tp[0] ** 2), rng.uniform(0.3, 4.0, count)
    origin = rng.integers(0, 360, (2, count)).astype(float)
    wind = SystemSlot(hs[0], tp[0], origin[0], spreading="cos-n", spreading_exponent=3.0)
    swell = SystemSlot(hs[1], tp[1], origin[1], "gaussian-swell", spreading="cos-2s", spreading_exponent=20.0)
    angle = np.radians(np.arange(-180.0, 180.0))
    shares = np.cos(np.clip(angle, -np.pi / 2, np.pi / 2)) ** 3, np.cos(angle / 2) ** 40
    spectra = np.zeros((count, DENSE.size))
    for slot, share in zip((wind, swell), shares, strict=True):
        turned = (
            relative_heading(30.0, slot.direction_from).astype(int)[:, None] + np.arange(-180, 180)
        ) % 360
        weights = np.zeros((count, 360))
        np.put_along_axis(weights, turned, share[None] / share.sum(), axis=1)
        spectra += densities(slot.parts, DENSE) * (weights @ responses(vessel))
    orders = np.stack([DENSE**order * STEP for order in (0, 2, 4)], axis=1)
    exact = settled(vessel, spectra) @ orders
    found = hoist_moments(vessel, 30.0, SeaBatch((wind, swell)))
    np.testing.assert_allclose(np.sqrt(found[:, :3]), np.sqrt(exact), rtol=5e-4, atol=1e-5)


def dense_governing(plan: Plan, seas: SeaBatch) -> FloatArray:
    """Governing utilisation of every sea from the dense grid."""
    setting, condition = setting_of(plan), plan.operation.about.condition
    rod = rod_dynamics(plan.string, DENSE, plan.string_loss)
    free = condition.endswith("free")
    top = rod.top_stiffness_free if free else rod.top_stiffness_fixed
    held = np.abs(top - DENSE**2 * (plan.compensator.moving_mass + plan.string.handling_mass)) ** 2
    heave_columns = np.stack([DENSE**order * STEP for order in (0, 2, 4, 6)], axis=1)
    end = 1 / np.abs(rod.a if free else rod.b) ** 2
    force_columns = np.stack(
        [held * STEP, held * DENSE**2 * STEP] + [end * DENSE**order * STEP for order in (0, 2, 4)], axis=1
    )
    system = linear_system(
        plan.compensator,
        plan.string,
        setting,
        DENSE,
        condition,
        active=plan.active,
        loss_factor=plan.string_loss,
    )
    model = LinearModel(
        system,
        np.full(DENSE.size, STEP),
        setting.friction_force,
        plan.compensator.hydraulic_loss,
        cycles=(AVERAGE, LARGEST),
        figures=("stroke", "bit"),
    )
    governing = np.empty(seas.size)
    for rows, spectra in dense_blocks(plan.vessel, plan.heading, seas):
        average, largest = (answer.moments for answer in model.respond(spectra))
        still = np.concatenate((spectra @ heave_columns, spectra @ force_columns), axis=1)
        found = Demands(plan, Moments(still.T, working=np.stack((average.T, largest.T))))
        used = [np.broadcast_to(rule.work(found).utilisation, len(spectra)) for rule in rules_for(plan)]
        governing[rows] = np.nanmax(used, axis=0)
    return governing


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("kind", ["drilling", "landing"])
@pytest.mark.parametrize("vessel", VESSELS, ids=lambda vessel: vessel.name)
def test_governing_utilisations(vessel: Vessel, kind: str, shape: str) -> None:
    operation = Operation(kind=kind, residual_motion_limit=2.0, residual_velocity_limit=2.0)
    plan = heave.demo_plan().changed(vessel=vessel, operation=operation)
    seas = random_seas(shape, SEAS // (2 * len(SHAPES) * len(VESSELS)), 5)
    exact = dense_governing(plan, seas)
    found = utilisations(plan, seas).governing
    finite = np.isfinite(exact)
    assert (np.isfinite(found) == finite).all()
    np.testing.assert_allclose(found[finite], exact[finite], rtol=1e-3)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("vessel", VESSELS, ids=lambda vessel: vessel.name)
def test_limiting_heights(vessel: Vessel, shape: str) -> None:
    """Against brentq on the dense grid, to half a per cent and 0.02 m."""
    demo = heave.demo_plan()
    plan = demo.changed(vessel=vessel, offsets=replace(demo.offsets, vessel_offset=0.0))
    judged = 0
    for tp, direction in ((7.0, 40.0), (9.5, 130.0), (12.0, 225.0), (15.0, 300.0)):
        period = None if shape == "ochi-hubble" else tp
        sea = heave.SeaState.single(3.0, period, direction, spreading="long-crested", shape=shape)
        changed = plan.changed(sea=sea)
        limit = limiting_sea(changed)
        if not limit.reached or limit.hs == 0.0:
            continue
        judged += 1

        def over(hs: float, changed: Plan = changed) -> float:
            batch = changed.sea.with_primary(hs=hs).batch()
            return math.log(dense_governing(changed, batch)[0])

        exact = brentq(over, 0.9 * limit.hs, 1.1 * limit.hs, xtol=1e-4)
        assert limit.hs == pytest.approx(exact, rel=5e-3)
        assert abs(limit.hs - exact) < 0.02
    assert judged >= 2
