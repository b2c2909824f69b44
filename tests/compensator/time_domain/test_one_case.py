"""A case alone, worked in plain numbers, is the same case among others, worked in arrays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from energy import accounted

from heave.compensator.time_domain import (
    CONTACTS,
    Event,
    HeaveMotion,
    SimulationCase,
    irregular_heave,
    regular_heave,
    simulate_cases,
    string_model,
)
from heave.drill_string import DrillString
from heave.errors import InputError
from heave.sea import OMEGA, jonswap

Pipe = Callable[..., DrillString]

PLACES = ("stroke", "hook", "bit", "heave", "block")

KINDS: dict[str, tuple[dict[str, Any], tuple[Event, ...]]] = {
    "passive": ({}, ()),
    "no friction, no loss": ({"friction": 0.0, "hydraulic_loss": 0.0}, ()),
    "lifts off": ({"wob": 25e3}, ()),
    "meets its ends": ({"half_stroke": 0.5, "start": 0.2}, ()),
    "active": ({"gain": 0.9, "delay": 0.083, "active_force_limit": 40e3}, ()),
    "active, quick": ({"gain": 0.5, "delay": 0.007, "active_velocity_limit": 0.3}, ()),
    "active lost": ({"gain": 0.9, "delay": 0.06}, (Event("active unit lost", 17.0),)),
    "gas shut": ({"atmosphere": 10e3, "index": 1.5}, (Event("gas bank shut", 12.0, 4.0),)),
    "locked": ({"locked": True}, ()),
    "locked on the way": ({"gain": 0.8}, (Event("compensator locked", 16.3),)),
    "drilled and fed": ({}, (Event("driller feeds off", 10.0, 0.3),)),
    "drawworks": ({"gas": False, "drawworks": True, "gain": 0.95, "delay": 0.1, "friction": 0.0}, ()),
    "nothing": ({"gas": False, "locked": True, "friction": 0.0, "hydraulic_loss": 0.0}, ()),
    "power lost": ({"gain": 0.9, "delay": 0.06}, (Event("power lost", 17.0),)),
    "run into its end": ({"half_stroke": 1.0}, (Event("block raised", 8.0, 1.5, 6.0),)),
    "run out of its end": ({"half_stroke": 1.0}, (Event("block lowered", 8.0, 1.5, 6.0),)),
}


@pytest.mark.parametrize("contact", CONTACTS)
@pytest.mark.parametrize("kind", KINDS)
def test_alone_and_among_others(kind: str, contact: str, pipe: Pipe, bench_case: SimulationCase) -> None:
    """Strings, seas and loads at random; positions to 5e-13 m, speed to 5e-12 m/s, forces to 2e-11 of the largest.

    Every other one keeps the account of energy, and so the string at every step instead of every eighth.
    """
    changes, events = KINDS[kind]
    rng = np.random.default_rng([list(KINDS).index(kind), CONTACTS.index(contact)])
    account = (list(KINDS).index(kind) + CONTACTS.index(contact)) % 2 == 0
    wob = 0.0 if contact == "none" else changes.get("wob", rng.uniform(100e3, 200e3))
    case = replace(bench_case, **(changes | {"contact": contact, "wob": wob, "load": rng.uniform(1e6, 2e6)}))
    model = string_model(
        pipe(rng.uniform(500, 6000)), rng.uniform(5e3, 60e3), loss_factor=rng.uniform(0.01, 0.1)
    )
    sea = jonswap(OMEGA, rng.uniform(1.0, 4.0), rng.uniform(6.0, 14.0), 2.0)
    pair = irregular_heave(OMEGA, sea, 24.0, (int(rng.integers(1000)), 1), lead=5.0)
    alone = HeaveMotion(pair.step, pair.position[:, :1], pair.velocity[:, :1], pair.lead)
    about: dict[str, Any] = {"events": events, "drilling_rate": 3e-3 * ("fed" in kind)}
    (one, spent), (two, other) = (
        accounted(model, case, motion, **about)
        if account
        else (simulate_cases(model, case, motion, **about), None)
        for motion in (alone, pair)
    )
    forces = [
        np.abs(two.traces[name][:, 0]).max() for name in ("gas", "friction", "stop", "active", "bit_force")
    ]
    for name, trace in one.traces.items():
        room = 5e-12 if name == "speed" else 5e-13 if name in PLACES else 2e-11 * max(forces)
        assert two.traces[name][:, 0] == pytest.approx(trace[:, 0], rel=0, abs=room), name
    if spent is not None and other is not None:
        scale = float(spent.dissipated[0] + np.abs(spent.gas[0]))
        for name, value in vars(spent).items():
            assert getattr(other, name)[0] == pytest.approx(value[0], rel=1e-9, abs=1e-9 * scale), name


def test_travel_past_the_gas_is_refused(pipe: Pipe, bench_case: SimulationCase) -> None:
    """A cylinder without ends and a metre of gas in two metres of heave, alone and among others."""
    model = string_model(pipe(1000.0), 30e3, loss_factor=0.04)
    case = replace(bench_case, gas_length=1.0, index=1e-6, half_stroke=np.inf)
    for cases in (1, 2):
        with pytest.raises(InputError, match="travel"), np.errstate(invalid="ignore"):
            simulate_cases(model, case, regular_heave(np.full(cases, 4.0), 10.0, 60.0))
