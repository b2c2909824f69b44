"""The curves that the rig page draws are those of the hull, each period beside its own heave."""

from __future__ import annotations

import math

import pytest

from heave.planning.rig import closed_form_vessels, response_curves


def box_heave(omega: float, length: float, breadth: float, draught: float) -> float:
    """Heave of a box in head or following sea (Jensen, Mansour and Olsen, 2004; from memory)."""
    k = omega**2 / 9.80665
    wave = 2 * math.sin(k * breadth / 2) * math.exp(-k * draught)
    damping = (wave**2 / (k * breadth)) ** 2
    f = math.sqrt((1 - k * draught) ** 2 + damping)
    eta = 1 / math.sqrt((1 - 2 * k * draught) ** 2 + damping)
    half = k * length / 2
    return eta * f * math.exp(-k * draught) * abs(math.sin(half) / half)


def test_each_period_has_its_own_heave() -> None:
    """Of a box amidships in a head sea, from 9 s up: below, the form is faded out."""
    vessel = closed_form_vessels()["Box-hull ship, closed form"]
    hull = vessel.response
    curves = response_curves(vessel)
    assert curves is not None
    assert (curves.period[0], curves.period[-1], len(curves.period)) == (4.0, 30.0, 131)
    ahead = curves.headings.index(180.0)
    for place in range(26, 131):
        want = box_heave(
            2 * math.pi / curves.period[place],
            hull.length,  # type: ignore[union-attr]
            hull.beam * hull.block_coefficient,  # type: ignore[union-attr]
            hull.draught,  # type: ignore[union-attr]
        )
        assert curves.heave[ahead, place] == pytest.approx(want, rel=1e-6, abs=1e-9)
