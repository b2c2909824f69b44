"""The account of energy, and the pieces of a long run, from a few numbers written down by hand."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from energy import EnergyAccount, EnergyBook

from heave.compensator.time_domain.pieces import GROWTH, cut, joined, lead_in
from heave.compensator.time_domain.summary import SUMMED, Summary

STEP, LOAD, WOB, ROCK = 0.5, 1000.0, 40.0, 200.0
BLOCK, HOOK, BIT, HOLE = [0.2, 0.5, 0.4], [0.1, 0.3, 0.3], [0.0, -0.1, 0.1], [0.0, -0.2, -0.2]
STROKE, SPEED = [0.4, 0.5, 0.2], [1.0, -2.0, 0.5]
GAS, RUB, STOP, ACTIVE, PRESS = (
    [10.0, 20.0, 5.0],
    [3.0, -9.0, 2.0],
    [0.0, 4.0, 0.0],
    [1.0, 2.0, -1.0],
    [50.0, 0.0, 60.0],
)


def booked(gas: bool = True, contact: str = "one-sided", index: float = 1.4, cuts: int = 1) -> EnergyAccount:
    """One mode with a damping of 7 N·s/m beside the bit's own movement, three steps, in `cuts` stretches."""
    case = SimpleNamespace(
        load=LOAD, hydraulic_loss=2.0, gas=gas, contact=contact, rock_stiffness=ROCK, start=0.3
    )
    stepper: Any = SimpleNamespace(
        case=case,
        cases=1,
        step=STEP,
        wob=np.array([WOB]),
        model=SimpleNamespace(
            size=2,
            damping=np.diag([7.0, 0.0]),
            mass=np.diag([8.0, 0.0]),
            stiffness=np.diag([6.0, 0.0]),
        ),
        index=np.array([index]),
        gas_end=4.0,
        gas_room=5.0,
        gas_force=1200.0,
        gas_base=1100.0,
    )
    book = EnergyBook(stepper)
    rates = [0.1, -0.3, 0.2]
    states = np.array(
        [[[place], [0.0], [rate], [9.0]] for place, rate in zip([0.3, 0.2, 0.5], rates, strict=True)]
    )
    signals = {
        name: np.array(values)[:, None]
        for name, values in {
            "block": BLOCK, "hook": HOOK, "bit": BIT, "stroke": STROKE, "speed": SPEED, "gas": GAS, "friction": RUB,
            "stop": STOP, "active": ACTIVE, "bit_force": PRESS, "rock": HOLE,
        }.items()
    }  # fmt: skip
    for part in np.array_split(np.arange(3), cuts):
        book.add({name: values[part] for name, values in signals.items()}, states[part])
    return book.account()


def moves(values: list[float], start: float = 0.0) -> list[float]:
    return [now - before for before, now in zip([start, *values], values, strict=False)]


@pytest.mark.parametrize("cuts", [1, 3])
def test_every_part_of_the_account(cuts: int) -> None:
    found = booked(cuts=cuts)
    whole = [
        LOAD + gas + rub + stop + active
        for gas, rub, stop, active in zip(GAS, RUB, STOP, ACTIVE, strict=True)
    ]
    lost = [2.0 * speed * abs(speed) for speed in SPEED]
    travel, block, bit, hole = moves(STROKE, 0.3), moves(BLOCK), moves(BIT), moves(HOLE)

    def work(forces: list[float], way: list[float]) -> float:
        return sum(force * step for force, step in zip(forces, way, strict=True))

    assert found.put_in[0] == pytest.approx(work(whole, block))
    assert found.friction[0] == pytest.approx(work(RUB, travel) - work(lost, travel))
    assert found.loss[0] == pytest.approx(work(lost, travel))
    assert found.stop[0] == pytest.approx(work(STOP, travel))
    assert found.active[0] == pytest.approx(work(ACTIVE, travel))
    stored = (60.0**2 - WOB**2) / (2 * ROCK)
    assert found.rock_stored[0] == pytest.approx(stored)
    assert found.bit_lost[0] == pytest.approx(
        sum(force * (down - up) for force, down, up in zip(PRESS, hole, bit, strict=True)) - stored
    )
    assert found.drilled[0] == pytest.approx(-work(PRESS, hole))
    assert found.lifted[0] == pytest.approx(LOAD * 0.3 + WOB * 0.1)
    assert found.string_stored[0] == pytest.approx((8.0 * 0.2**2 + 6.0 * 0.5**2) / 2)
    power = [0.0, *(7.0 * rate**2 for rate in (0.1, -0.3, 0.2))]
    assert found.string_lost[0] == pytest.approx(float(np.trapezoid(power, dx=STEP)))
    others = [value[0] for name, value in vars(found).items() if name != "put_in"]
    assert (len(others), found.accounted[0]) == (11, pytest.approx(sum(others)))
    spent = found.friction + found.loss + found.stop + found.string_lost + found.bit_lost
    assert found.dissipated[0] == pytest.approx(spent[0])
    assert found.imbalance[0] == pytest.approx((found.put_in[0] - sum(others)) / spent[0])


@pytest.mark.parametrize("index", [1.0, 1.0 + 1e-10, 1.2, 1.4])
def test_work_on_the_gas_is_the_integral_of_its_law(index: float) -> None:
    """1100 N at 5 m of gas, to the power of the index, less what load and atmosphere differ by, 200 N."""
    travel = np.linspace(0.3, 0.2, 20_001)
    force = 1100.0 * (5.0 / (4.0 - travel)) ** index - 200.0
    assert booked(index=index).gas[0] == pytest.approx(float(np.trapezoid(force, travel)), rel=1e-7)


def test_without_gas_the_load_does_the_work_and_without_rock_nothing_is_kept_in_it() -> None:
    assert booked(gas=False).gas[0] == pytest.approx(LOAD * (0.2 - 0.3))
    free = booked(contact="none")
    assert free.rock_stored[0] == 0.0
    assert booked(contact="held").rock_stored[0] == pytest.approx(5.0)


def summary(**given: list[float]) -> Summary:
    """The figures of two pieces of two runs, alike for every signal."""
    about: dict[str, Any] = {
        "highest": [1.0, 2.0, 3.0, 1.0], "lowest": [-1.0, 0.0, -3.0, 0.5], "mean": [1.0, 2.0, 3.0, 2.0],
        "sigma": [0.5, 1.0, 1.5, 0.0], "lift_off_share": [0.1, 0.0, 0.3, 0.2], "lift_offs": [2.0, 0.0, 3.0, 1.0],
        "stop_share": [0.0, 0.4, 0.2, 0.0], "stop_hits": [1.0, 5.0, 0.0, 2.0], "stuck_share": [1.0, 0.0, 0.5, 0.1],
    }  # fmt: skip
    each = {
        name: {one: np.array(values) for one in SUMMED} if place < 4 else np.array(values)
        for place, (name, values) in enumerate((about | given).items())
    }
    return Summary(**each, steps=100)


def test_pieces_of_a_run_put_together() -> None:
    """The first and third are the one run's: extremes of both, means of shares, sums of counts, one spread."""
    found = joined(summary(), 2)
    for name in SUMMED:
        assert found.highest[name].tolist() == [3.0, 2.0]
        assert found.lowest[name].tolist() == [-3.0, 0.0]
        assert found.mean[name].tolist() == [2.0, 2.0]
        # of the first run: mean square 1 and 1, 0.5² and 3, 1.5², less the square of the mean
        assert found.sigma[name][0] == pytest.approx(math.sqrt((1 + 0.25 + 9 + 2.25) / 2 - 4.0))
        assert found.sigma[name][1] == pytest.approx(math.sqrt(0.5))
    np.testing.assert_allclose(found.lift_off_share, [0.2, 0.1])
    np.testing.assert_allclose(found.stop_share, [0.1, 0.2])
    np.testing.assert_allclose(found.stuck_share, [0.75, 0.05])
    assert (found.lift_offs.tolist(), found.stop_hits.tolist(), found.steps) == ([5.0, 1.0], [1.0, 7.0], 200)


def test_how_a_piece_is_led_in() -> None:
    """Three time constants 2/(η ω) of the mode that dies out slowest after the growth, never without loss."""
    model: Any = SimpleNamespace(damping=np.diag([0.5, 0.2, 0.4, 0.0]))
    assert lead_in(model) == GROWTH + 3.0 * 2 / 0.2
    model.damping = np.diag([0.5, 0.0, 0.0])
    assert lead_in(model) == math.inf


@pytest.mark.parametrize(
    ("contact", "cases", "duration", "pieces"),
    [
        ("held", 2, 479.9, None),
        ("held", 2, 480.0, 2),
        ("held", 2, 720.0, 3),
        ("held", 2, 720.1, None),  # 7201 samples are 19 × 379
        ("one-sided", 2, 480.0, 2),
        ("none", 2, 480.0, None),
        ("held", 1, 480.0, None),
        ("held", 333, 960.0, 3),
        ("held", 501, 960.0, None),
    ],
)
def test_a_run_is_cut_where_it_is_worth_it(
    contact: str, cases: int, duration: float, pieces: int | None
) -> None:
    """A lead-in of 30 + 3 × 2/0.067 = 119.6 s, pieces of twice that, a thousand columns at most."""
    from heave.compensator.time_domain import SimulationCase
    from heave.compensator.time_domain.block_motion import block_motion
    from heave.compensator.time_domain.heave_motion import HeaveMotion

    model: Any = SimpleNamespace(damping=np.diag([0.1, 0.067, 0.0]))
    case = SimulationCase(load=1e6, wob=0.0 if contact == "none" else 1e5, gas_length=70.0, index=1.2, half_stroke=3.0,
                          contact=contact)  # fmt: skip
    rows = round(duration * 10) + 1
    heave = HeaveMotion(0.1, np.zeros((rows, cases)), np.zeros((rows, cases)))
    found = cut(model, case, heave, block_motion(heave, case, (), 0.0))
    assert (None if found is None else found.pieces) == pieces
    if found is not None and pieces is not None:
        assert found.heave.cases == found.shift.size == pieces * cases
        assert found.heave.lead == pytest.approx(119.6, abs=0.1)
        assert found.heave.duration == pytest.approx(duration / pieces)
