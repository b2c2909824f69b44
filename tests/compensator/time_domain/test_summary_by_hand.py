"""What a run comes to, from a few steps written down by hand."""

from __future__ import annotations

import statistics
from types import SimpleNamespace
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from heave.compensator.time_domain.summary import Summary, SummaryBook

STROKE = [1.0, 4.0, 2.0, -3.0, 0.5]
BIT = [50.0, 0.0, -1.0, 20.0, 0.0]
STOP = [0.0, 7.0, 7.0, 0.0, -2.0]
RUB = [10.0, -10.0, 9.9, 0.0, 10.0]


def booked(
    friction: float = 10.0, contact: str = "one-sided", joined: bool = False, skip: int = 0, cuts: int = 1
) -> Summary:
    """Five steps of one case under a load of 1000 N, booked in `cuts` stretches."""
    case = SimpleNamespace(load=1000.0, contact=contact)
    stepper: Any = SimpleNamespace(case=case, cases=1, friction=np.array([friction]))
    book = SummaryBook(stepper)
    book.joined = np.array([joined])
    signals: dict[str, npt.NDArray[np.float64]] = {
        name: np.array(values)[:, None]
        for name, values in {
            "heave": STROKE, "stroke": STROKE, "hook": STROKE, "bit": STROKE, "bit_force": BIT, "stop": STOP,
            "friction": RUB, "gas": [100.0, 200.0, 300.0, 400.0, 500.0], "active": [1.0, 2.0, 3.0, 4.0, 5.0],
        }.items()
    }  # fmt: skip
    for part in np.array_split(np.arange(5), cuts):
        first = {name: values[part] for name, values in signals.items()}
        book.add(first, min(max(skip - int(part[0]), 0), len(part)))
    return book.summary()


@pytest.mark.parametrize("cuts", [1, 2, 5])
def test_extremes_mean_and_spread(cuts: int) -> None:
    found = booked(cuts=cuts)
    assert (found.highest["stroke"][0], found.lowest["stroke"][0], found.steps) == (4.0, -3.0, 5)
    assert found.mean["stroke"][0] == pytest.approx(statistics.fmean(STROKE))
    assert found.sigma["stroke"][0] == pytest.approx(statistics.pstdev(STROKE))
    # load and gas, friction, cushion and active part: 1000 + 100 + 10 + 0 + 1, ...
    forces = [1111.0, 1199.0, 1319.9, 1404.0, 1513.0]
    assert found.highest["compensator_force"][0] == pytest.approx(1513.0)
    assert found.lowest["compensator_force"][0] == pytest.approx(1111.0)
    assert found.mean["compensator_force"][0] == pytest.approx(statistics.fmean(forces))
    assert found.sigma["compensator_force"][0] == pytest.approx(statistics.pstdev(forces))


@pytest.mark.parametrize("cuts", [1, 2, 5])
def test_how_long_and_how_often(cuts: int) -> None:
    """Up in the second, third and fifth step, twice; at an end in the same ones; seals hold at less than they can."""
    found = booked(cuts=cuts)
    assert (found.lift_off_share[0], found.lift_offs[0]) == (0.6, 2)
    assert (found.stop_share[0], found.stop_hits[0]) == (0.6, 2)
    assert found.stuck_share[0] == 0.4  # 9.9 of 10 N and nought
    held = booked(contact="held", cuts=cuts)
    assert (held.lift_off_share[0], held.lift_offs[0], held.stop_hits[0]) == (0.0, 0, 2)


def test_a_unit_without_friction_is_never_held_by_it() -> None:
    assert booked(friction=0.0).stuck_share[0] == 0.0
    assert booked(friction=np.inf).stuck_share[0] == 0.0
    assert booked(friction=9.95).stuck_share[0] == 0.4
    assert booked(friction=10.1).stuck_share[0] == 1.0


@pytest.mark.parametrize("cuts", [1, 5])
@pytest.mark.parametrize(
    ("skip", "joined", "times"), [(2, False, 2), (2, True, 1), (1, True, 2), (4, True, 1)]
)
def test_the_lead_in_is_not_counted(skip: int, joined: bool, times: int, cuts: int) -> None:
    """What went on before is no new lift-off for a case that carries another on, one for a case that begins."""
    found = booked(skip=skip, joined=joined, cuts=cuts)
    assert (found.lift_offs[0], found.stop_hits[0]) == (times, times)
    assert found.steps == 5 - skip
    assert found.mean["stroke"][0] == pytest.approx(statistics.fmean(STROKE[skip:]))
    assert found.lift_off_share[0] == pytest.approx(sum(force <= 0 for force in BIT[skip:]) / (5 - skip))
