"""The linear model's fractions and dampings against the equation of motion written in complex numbers."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from transfer_functions import transfer_functions

from heave.compensator.linearisation import (
    FASTEST,
    FIGURES,
    SLOWEST,
    LinearModel,
    _least,
    _nodes,
    _parts,
    _place,
)
from heave.compensator.transfer import driven_force

OMEGA = np.array([0.4, 0.7, 1.1])


def system(rigid: bool = False, spring: float = 3.0, on_bottom: bool = True) -> Any:
    residual = np.array([0.4 + 0.3j, 0.7 - 0.2j, 1.3 + 0.1j])
    return SimpleNamespace(
        omega=OMEGA,
        on_bottom=on_bottom,
        rigid=rigid,
        spring=spring,
        dip=np.array([0.6 - 0.1j, 0.4 + 0.2j, -0.3 + 0.1j]),
        load=np.array([2.0 + 0.5j, 1.5 - 0.3j, -0.8 + 0.4j]),
        residual=residual,
        active=1 - residual,
    )


@pytest.mark.parametrize("damping", [0.0, 1.0, 2.5])
def test_size_of_every_figure_at_any_damping(damping: float) -> None:
    """K = ρ (k + iωc); stroke N/E, hook K dip/E, bit K/E, force K N/E, active (1 − ρ)(k + iωc) N/E, E = K dip + N."""
    given = system()
    passive = given.spring + 1j * OMEGA * damping
    unit = given.residual * passive
    whole = unit * given.dip + given.load
    exact = {
        "stroke": given.load,
        "hook": unit * given.dip,
        "bit": unit,
        "force": unit * given.load,
        "active": given.active * passive * given.load,
    }
    (one, cross, square), plain, damped = _parts(given)
    np.testing.assert_allclose(one + damping * cross + damping**2 * square, np.abs(whole) ** 2)
    assert set(plain) == set(damped) == set(exact) == set(FIGURES)
    for name, value in exact.items():
        np.testing.assert_allclose(
            plain[name] + damping**2 * damped[name], np.abs(value) ** 2, err_msg=name, atol=1e-12
        )


def test_a_rigid_unit_moves_as_its_active_part_tells_it() -> None:
    """Stroke 1 − ρ, hook ρ, bit ρ/dip, force ρ N/dip, and of that less k (1 − ρ) from the active part."""
    given = system(rigid=True)
    (one, cross, square), plain, damped = _parts(given)
    np.testing.assert_array_equal([one, cross, square], [[1.0] * 3, [0.0] * 3, [0.0] * 3])
    whole = given.residual * given.load / given.dip
    exact = {
        "stroke": 1 - given.residual,
        "hook": given.residual,
        "bit": given.residual / given.dip,
        "force": whole,
        "active": whole - 3.0 * (1 - given.residual),
    }
    for name, value in exact.items():
        np.testing.assert_allclose(plain[name], np.abs(value) ** 2, err_msg=name)
        assert not damped[name].any()
    assert not driven_force(system(rigid=True, spring=0.0)).any()


@pytest.mark.parametrize("on_bottom", [True, False])
@pytest.mark.parametrize("rigid", [True, False])
@pytest.mark.parametrize("damping", [0.0, 2.5, math.inf])
def test_transfer_functions_by_hand(on_bottom: bool, rigid: bool, damping: float) -> None:
    """The balance of forces: motion of the hook, stroke and force fit together, told for the bit."""
    given = system(rigid, on_bottom=on_bottom)
    found = transfer_functions(given, damping)
    np.testing.assert_allclose(found.stroke + found.hook, 1.0)
    np.testing.assert_allclose(found.compensator_force, found.hook * given.load / given.dip)
    bit, other = (found.bit_force, found.bit_motion) if on_bottom else (found.bit_motion, found.bit_force)
    assert bit is not None
    np.testing.assert_allclose(bit, found.hook / given.dip)
    assert other is None
    share = given.active / given.residual
    if rigid:
        np.testing.assert_allclose(found.hook, given.residual)
        np.testing.assert_allclose(found.active_force, found.compensator_force - 3.0 * given.active)
    else:
        np.testing.assert_allclose(found.active_force, share * found.compensator_force)
        if math.isinf(damping):
            np.testing.assert_array_equal(found.hook, 1.0)
        else:
            force = given.residual * (3.0 + 1j * OMEGA * damping) * found.stroke
            np.testing.assert_allclose(found.compensator_force, force)


def test_columns_of_a_figure_are_where_its_moments_are() -> None:
    assert [_place(("stroke", "force", "bit"), name) for name in ("stroke", "force", "bit")] == [
        slice(0, 3),
        slice(3, 5),
        slice(5, 8),
    ]


def test_least_damping_that_friction_and_loss_can_give() -> None:
    """F/v + c v is least at v = √(F/c), 2 √(F c); nine tenths of that, and no faster or slower than a sea can be."""
    coulomb, loss = (
        np.array([400.0, 400.0, 0.0, 0.0, 1e9, 1e-14]),
        np.array([100.0, 0.0, 100.0, 0.0, 100.0, 100.0]),
    )
    fast, slow = FASTEST, SLOWEST
    least = [2 * math.sqrt(400.0 * 100.0), 400.0 / fast, 100.0 * slow, 0.0, 1e9 / fast + 100.0 * fast]
    least.append(1e-14 / slow + 100.0 * slow)
    np.testing.assert_allclose(_least(coulomb, loss), 0.9 * np.array(least), rtol=1e-12)


def test_dampings_tried_reach_from_the_least_to_far_past_the_match() -> None:
    """The match is |at rest| / |rate| in the middle of the frequencies that feel any damping."""
    denominator = np.array([[1.0, 16.0, 100.0, 9.0], [0.0] * 4, [1.0, 4.0, 1.0, 0.0]])
    unit, nodes = _nodes(denominator, np.array([0.5, 0.1]))
    assert unit == 2.0  # of 1, 4 and 100
    assert (nodes[0], nodes[-1], nodes.size) == (pytest.approx(0.1), pytest.approx(2000.0), 48)
    assert _nodes(denominator, np.array([0.5, 7.0]))[1][-1] == pytest.approx(7000.0)
    unit, nodes = _nodes(denominator, np.zeros(2))
    assert (unit, nodes.tolist()) == (1.0, [0.0])
    deaf = np.array([[1.0, 4.0], [0.0, 0.0], [0.0, 0.0]])
    assert _nodes(deaf, np.array([0.5]))[0] == 0.5e9


def test_one_wave_is_damped_by_what_its_own_stroke_wants() -> None:
    """One frequency: c solves c σ(c) = √(2/π) F + √(8/π) c_q σ², σ = ω|N/E(c)| √S, found here by halving."""
    given = system()
    for part in ("omega", "dip", "load", "residual", "active"):
        setattr(given, part, getattr(given, part)[:1])
    friction, loss, spectrum = 0.3, 0.2, np.array([[0.8]])
    found = LinearModel(given, np.array([1.0]), friction, loss).respond(spectrum)[0]

    def short(damping: float) -> float:
        whole = given.residual[0] * (3.0 + 1j * 0.4 * damping) * given.dip[0] + given.load[0]
        speed = 0.4 * abs(given.load[0] / whole) * math.sqrt(0.8)
        return damping - math.sqrt(2 / math.pi) * friction / speed - math.sqrt(8 / math.pi) * loss * speed

    low, high = 0.0, 100.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if short(middle) < 0 else (low, middle)
    assert found.damping[0] == pytest.approx(low, rel=1e-4)
    assert not found.stuck[0]
