"""A box-shaped ship by the formulas of Jensen, Mansour and Olsen (2004, from memory), one number at a time."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from heave.errors import InputError
from heave.vessel.box import box_hull_response

G, LENGTH, BEAM, DRAUGHT, BLOCK = 9.80665, 180.0, 32.0, 9.0, 0.8


def by_hand(omega: float, beta: float, roll: tuple[float, float] | None) -> tuple[complex, complex, complex]:
    """Heave, roll and pitch per metre; waves along β from the bow."""
    k = omega**2 / G
    turn = math.radians(beta)
    along, across = k * abs(math.cos(turn)), k * math.sin(turn)
    breadth = BEAM * BLOCK
    amplitude = 2 * math.sin(k * breadth / 2) * math.exp(-k * DRAUGHT)
    radiated = amplitude**2 / (k * breadth)
    f = math.sqrt((1 - k * DRAUGHT) ** 2 + radiated**2)
    eta = 1 / math.sqrt((1 - 2 * k * DRAUGHT) ** 2 + radiated**2)
    smith = math.exp(-along * DRAUGHT)
    half = along * LENGTH / 2
    force = smith * f * (math.sin(half) / half if half > 1e-9 else 1.0)
    moment = 0.0
    if half > 1e-9:
        moment = smith * f * 24 / ((along * LENGTH) ** 2 * LENGTH) * (math.sin(half) - half * math.cos(half))
    way = 0.0 if half <= 1e-9 else math.copysign(1.0, math.cos(turn))
    wide = across * BEAM / 2
    slope = -1j * across * math.exp(-k * DRAUGHT / 2)
    slope *= (math.sin(half) / half if half > 1e-9 else 1.0) * (
        math.sin(wide) / wide if abs(wide) > 1e-9 else 1.0
    )
    if roll is not None:
        own = 2 * math.pi / roll[0]
        slope *= own**2 / (own**2 - omega**2 + 2j * roll[1] * own * omega)
    return eta * force, slope, 1j * way * eta * moment


@pytest.mark.parametrize("roll", [None, (14.0, 0.08), (22.0, 0.2)])
@pytest.mark.parametrize("beta", [0.0, 37.0, 90.0, 120.0, 180.0, 250.0])
def test_every_motion_at_every_heading(roll: tuple[float, float] | None, beta: float) -> None:
    omega = np.array([0.2, 2 * math.pi / 14.0, 0.52, 0.7, 1.0])
    found = box_hull_response(omega, beta, LENGTH, BEAM, DRAUGHT, BLOCK, roll)
    for place, one in enumerate(omega):
        expected = by_hand(float(one), beta, roll)
        for value, exact in zip(
            (found.heave[place], found.roll[place], found.pitch[place]), expected, strict=True
        ):
            assert abs(complex(value) - exact) <= 1e-9 + 1e-7 * abs(exact)


def test_at_its_own_period_roll_is_the_slope_over_twice_the_damping() -> None:
    """A quarter of a cycle behind it; slow waves are followed, quick ones hardly felt."""
    roll = (15.0, 0.1)
    omega = 2 * math.pi / 15.0 * np.array([0.01, 1.0, 4.0])
    free = box_hull_response(omega, 90.0, LENGTH, BEAM, DRAUGHT, BLOCK).roll
    bound = box_hull_response(omega, 90.0, LENGTH, BEAM, DRAUGHT, BLOCK, roll).roll
    assert abs(complex(bound[0] / free[0])) == pytest.approx(1.0, rel=1e-3)
    assert abs(complex(bound[1] / free[1])) == pytest.approx(5.0, rel=1e-9)
    assert cmath.phase(complex(bound[1] / free[1])) == pytest.approx(-math.pi / 2, rel=1e-9)
    assert complex(bound[2] / free[2]) == pytest.approx(1 / (1 - 16 + 0.8j), rel=1e-9)


@pytest.mark.parametrize(
    "changes",
    [
        {"length": 0.0},
        {"beam": 0.0},
        {"draught": 0.0},
        {"block_coefficient": 0.0},
        {"block_coefficient": 1.001},
    ],
)
def test_dimensions_that_cannot_be(changes: dict[str, float]) -> None:
    given = {"length": LENGTH, "beam": BEAM, "draught": DRAUGHT, "block_coefficient": BLOCK} | changes
    with pytest.raises(InputError):
        box_hull_response(0.5, 180.0, **given)  # type: ignore[arg-type]
    assert box_hull_response(0.5, 180.0, LENGTH, BEAM, DRAUGHT, 1.0).heave.shape == ()
