"""Long runs in pieces against the same runs whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from heave.compensator.time_domain import (
    Event,
    HeaveMotion,
    SimulationCase,
    irregular_heave,
    regular_heave,
    simulate_cases,
    simulation,
    string_model,
)
from heave.compensator.time_domain.block_motion import block_motion
from heave.compensator.time_domain.pieces import FADING, GROWTH, SHORTEST, cut, lead_in
from heave.compensator.time_domain.summary import SummaryBook
from heave.drill_string import DrillString
from heave.sea import OMEGA, jonswap

Pipe = Callable[..., DrillString]

DURATION = 360.0
FEEDS = tuple(Event("driller feeds off", time) for time in (90.0, 180.0, 270.0))


@pytest.fixture(scope="module")
def sea() -> HeaveMotion:
    """Six minutes of a sea in three drawings."""
    return irregular_heave(OMEGA, jonswap(OMEGA, 3.0, 9.0, 2.0), DURATION, (1, 2, 3))


def test_lead_in_is_growth_and_fading(pipe: Pipe) -> None:
    """2/(η ω₁) of a string under a hook that weighs nothing, ω₁ = π c/2L: 4L/(π η c) (computed)."""
    found = lead_in(string_model(pipe(3000.0), 0.0, loss_factor=0.04))
    assert found == pytest.approx(GROWTH + FADING * 4 * 3000 / (np.pi * 0.04 * 4575), rel=1e-3)
    assert lead_in(string_model(pipe(3000.0), 0.0)) == np.inf


@pytest.mark.parametrize(
    ("changes", "rate"),
    [
        ({}, 0.0),
        ({}, 20 / 3600),
        ({"wob": 40e3}, 0.0),
        ({"half_stroke": 0.8}, 0.0),
        ({"contact": "held"}, 0.0),
        ({"friction": np.array([5e3, 30e3, 60e3])}, 10 / 3600),
        ({"gain": 0.9, "delay": 0.1}, 0.0),
        ({"gas": False, "drawworks": True, "gain": 0.9, "delay": 0.1, "friction": 0.0}, 10 / 3600),
    ],
    ids=["on bottom", "drilled", "lifts off", "meets its ends", "held", "frictions", "active", "drawworks"],
)
def test_pieces_are_the_whole(
    changes: dict[str, Any], rate: float, pipe: Pipe, bench_case: SimulationCase, sea: HeaveMotion
) -> None:
    """Means, σ and extremes to 1 % of σ: an hour's extreme of one drawing and the next differ by half a σ."""
    model, case = string_model(pipe(2000.0), 30e3, loss_factor=0.08), replace(bench_case, **changes)
    ways = {"events": FEEDS if rate else (), "drilling_rate": rate, "keep": False, "in_pieces": True}
    parts = simulate_cases(model, case, sea, **ways).summary  # type: ignore[arg-type]
    for number in range(sea.cases):
        own = {name: value[number] for name, value in changes.items() if isinstance(value, np.ndarray)}
        alone = HeaveMotion(sea.step, sea.position[:, number, None], sea.velocity[:, number, None], sea.lead)
        whole = simulate_cases(model, replace(case, **own), alone, **ways).summary  # type: ignore[arg-type]
        assert parts.steps == whole.steps
        for name, sigma in whole.sigma.items():
            for figure in ("highest", "lowest", "mean", "sigma"):
                away = getattr(parts, figure)[name][number] - getattr(whole, figure)[name][0]
                assert abs(away) <= 0.01 * sigma[0], (figure, name)
        assert abs(parts.lift_offs[number] - whole.lift_offs[0]) <= 2
        assert abs(parts.stop_hits[number] - whole.stop_hits[0]) <= 2
        for share in ("lift_off_share", "stop_share", "stuck_share"):
            assert getattr(parts, share)[number] == pytest.approx(getattr(whole, share)[0], abs=0.002)


def test_traces_agree_once_the_lead_in_is_over(
    pipe: Pipe, bench_case: SimulationCase, sea: HeaveMotion
) -> None:
    """Every later piece, run by itself and kept: hook and bit force within 1 % of σ from the first counted step."""
    model = string_model(pipe(2000.0), 30e3, loss_factor=0.08)
    rate, step = 20 / 3600, 0.02
    whole = simulate_cases(model, bench_case, sea, events=FEEDS, drilling_rate=rate)
    parted = cut(model, bench_case, sea, block_motion(sea, bench_case, FEEDS, rate))
    assert parted is not None
    count = parted.pieces
    length = len(whole.time) // count
    for piece in range(1, count):
        columns = slice(piece * sea.cases, (piece + 1) * sea.cases)
        offset, level = (
            values[:, piece, None] for values in (parted.block.offset.position, parted.block.level)
        )
        moved = replace(
            parted.heave,
            position=parted.heave.position[:, columns] + offset - level,
            velocity=parted.heave.velocity[:, columns] + np.gradient(offset - level, sea.step, axis=0),
        )
        alone = simulate_cases(model, bench_case, moved, step=step)
        rows = slice(piece * length, (piece + 1) * length)
        for name in ("stroke", "bit_force"):
            away = np.abs(alone.traces[name] - whole.traces[name][rows])
            assert np.all(away.max(axis=0) < 0.01 * whole.summary.sigma[name]), (piece, name)


def test_what_must_stay_whole_does(pipe: Pipe, bench_case: SimulationCase, sea: HeaveMotion) -> None:
    model = string_model(pipe(2000.0), 30e3, loss_factor=0.08)

    def parted(case: SimulationCase, heave: HeaveMotion = sea, loss: float = 0.08) -> int:
        string = string_model(pipe(2000.0), 30e3, loss_factor=loss)
        found = cut(string, case, heave, block_motion(heave, case, (), 0.0))
        return 1 if found is None else found.pieces

    assert parted(bench_case) == int(DURATION / (SHORTEST * lead_in(model))) > 1
    assert parted(replace(bench_case, contact="none")) == 1
    assert parted(bench_case, loss=0.0) == 1
    single = HeaveMotion(sea.step, sea.position[:, :1], sea.velocity[:, :1], sea.lead)
    assert parted(bench_case, single) == 1


def test_what_happens_to_a_unit_or_is_kept_is_not_cut(
    pipe: Pipe, bench_case: SimulationCase, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []
    monkeypatch.setattr(simulation, "cut", lambda *parts: asked.append(parts))
    model, heave = string_model(pipe(2000.0), 30e3), regular_heave(np.array([0.5, 1.0]), 8.0, 10.0, lead=2.0)
    for events, keep in (((Event("compensator locked", 5.0),), False), ((), True)):
        simulate_cases(model, bench_case, heave, events=events, keep=keep, in_pieces=True)
    assert not asked
    simulate_cases(model, bench_case, heave, keep=False, in_pieces=True)
    assert len(asked) == 1


def test_what_goes_on_across_a_cut_is_met_once(bench_case: SimulationCase) -> None:
    """Of two cases off the rock all along, the second carries on from a piece before: it does not leave it anew."""
    stepper: Any = SimpleNamespace(case=bench_case, cases=2, friction=30e3)
    book = SummaryBook(stepper)
    book.joined[1] = True
    names = ("heave", "stroke", "hook", "bit", "bit_force", "gas", "friction", "stop", "active")
    signals = {name: np.zeros((10, 2)) for name in names} | {"stop": np.ones((10, 2))}
    book.add(signals, 4)
    book.add(signals, 0)
    found = book.summary()
    assert found.steps == 16
    assert found.lift_offs.tolist() == found.stop_hits.tolist() == [1.0, 0.0]
    assert found.lift_off_share.tolist() == found.stop_share.tolist() == [1.0, 1.0]
