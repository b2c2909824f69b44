"""Reeving: published efficiencies and worked examples, equilibrium of every sheave, and work in equal to work out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.errors import InputError
from heave.hoisting import (
    MOTIONS,
    SHEAVE_FACTOR,
    crown_ratio,
    efficiency,
    line_pulls,
)

LBF = 4.4482216152605
LINES = st.sampled_from(range(2, 17, 2))
FACTORS = st.floats(1.0001, 1.3)


@pytest.mark.parametrize(
    ("lines", "printed"), [(6, 0.8737), (8, 0.8416), (10, 0.8111), (12, 0.7821), (14, 0.7545)]
)
def test_efficiencies_with_roller_bearings(lines: int, printed: float) -> None:
    """The formula of API RP 9B with a friction factor of 1.04, worked out by hand to four figures."""
    assert efficiency(lines) == pytest.approx(printed, abs=5e-5)


@pytest.mark.parametrize(
    ("lines", "printed"), [(6, 0.874), (8, 0.841), (10, 0.810), (12, 0.770), (14, 0.740)]
)
def test_a_textbook_table_is_within_its_rounding_of_the_formula(lines: int, printed: float) -> None:
    """Bourgoyne and others, Applied Drilling Engineering (1986), table 1.2, a little below the formula from 12 on."""
    assert efficiency(lines) == pytest.approx(printed, rel=0.02)


@pytest.mark.parametrize("bearing", SHEAVE_FACTOR)
@pytest.mark.parametrize("lines", range(2, 17, 2))
def test_efficiency_is_what_sheaves_one_by_one_leave(bearing: str, lines: int) -> None:
    """Each line pulls 1/K of the one before it: load over N times the fast line, by adding up."""
    factor = SHEAVE_FACTOR[bearing]  # type: ignore[index]
    pulls, last = [], 1.0
    for _ in range(lines):
        last /= factor
        pulls.append(last)
    assert efficiency(lines, factor) == pytest.approx(sum(pulls) / lines, rel=1e-12)


def test_example_of_a_400_000_lb_load_on_ten_lines() -> None:
    """API RP 9B, 14th edition, addendum 1: fast line 49,200 lb; design factor 3.9 with a 192,000 lb line."""
    pull = float(line_pulls(400_000 * LBF, 10)[..., 0]) / LBF
    assert pull == pytest.approx(49_200, rel=3e-3)
    assert round(192_000 / pull, 1) == 3.9


def test_example_of_a_300_000_lbf_load_on_eight_lines() -> None:
    """Bourgoyne and others (1986), example 1.2, whose efficiency is 0.841 and whose dead line has a holding pull."""
    fast, dead = (
        float(line_pulls(300_000.0, 8, motion=motion)[place])
        for motion, place in (("hoisting", 0), ("holding", -1))
    )
    assert fast == pytest.approx(44_590, rel=1e-3)
    assert dead == 37_500
    assert 300_000 + fast + dead == pytest.approx(382_090, rel=2e-4)
    assert 300_000 + 4 * dead == 450_000
    assert (300_000 + fast + dead) / 450_000 == pytest.approx(0.849, abs=5e-4)


@given(lines=LINES, factor=FACTORS, load=st.floats(1e3, 1e7), motion=st.sampled_from(MOTIONS))
def test_every_block_sheave_is_in_balance(lines: int, factor: float, load: float, motion: str) -> None:
    """Lines to the block hold the load; neighbours differ by the friction of the sheave between them, whose side is
    that of the motion; and the crown bears all lines with fast and dead line."""
    pulls = line_pulls(load, lines, factor, motion)  # type: ignore[arg-type]
    assert pulls.shape == (lines + 2,)
    assert pulls[1:-1].sum() == pytest.approx(load, rel=1e-12)
    step = {"hoisting": 1 / factor, "holding": 1.0, "lowering": factor}[motion]
    assert pulls[1:-1] / pulls[:-2] == pytest.approx(step, rel=1e-12)
    assert pulls[-1] == pulls[-2]  # the sheave of the dead line does not turn
    assert pulls.sum() == pytest.approx(load + pulls[0] + pulls[-1], rel=1e-12)


@given(lines=LINES, factor=FACTORS, load=st.floats(1e3, 1e7))
def test_work_at_the_drum_is_load_raised_and_friction(lines: int, factor: float, load: float) -> None:
    """The block rises 1 m: the drum takes N m at the fast line's pull, and each sheave keeps the difference of its two
    sides times the line that runs over it, the i-th line N − i + 1 times the block's travel."""
    pulls = line_pulls(load, lines, factor)
    runs = np.arange(lines, 0, -1)
    friction = float(((pulls[:-2] - pulls[1:-1]) * runs).sum())
    assert pulls[0] * lines == pytest.approx(load + friction, rel=1e-9)
    assert load / (pulls[0] * lines) == pytest.approx(efficiency(lines, factor), rel=1e-9)


@given(lines=LINES, factor=FACTORS)
def test_friction_goes_with_the_factor_and_ten_lines_lift_less_than_ten_times(
    lines: int, factor: float
) -> None:
    assert efficiency(lines, factor) < 1
    assert efficiency(lines, 1 + (factor - 1) / 2) > efficiency(lines, factor)
    assert efficiency(lines, 1 + 1e-9) == pytest.approx(1.0, abs=1e-6)
    hoisting, holding, lowering = (float(line_pulls(1.0, lines, factor, one)[..., 0]) for one in MOTIONS)
    assert lowering < holding < hoisting
    assert holding == pytest.approx(1 / lines)
    if lines > 2:
        assert efficiency(lines - 2, factor) > efficiency(lines, factor)


def test_without_friction_ten_lines_pull_a_tenth() -> None:
    assert float(line_pulls(1e6, 10, 1 + 1e-12)[..., 0]) == pytest.approx(1e5, rel=1e-6)


@pytest.mark.parametrize("lines", range(4, 17, 2))
def test_a_crown_that_moves_is_in_balance_with_every_part_of_the_line(lines: int) -> None:
    """Every sheave of crown and block written out as unknown pulls and forces; the crown's is what its unit carries.

    Without friction: straight fast and dead line pull down on the crown; with arms that keep the line's length they do
    no work, and the unit carries what the block does.
    """
    load, turns = 1e6, lines + 1  # sheaves the line passes: fast, block and crown in turn, dead
    size = lines + 2 + 1  # pulls of fast line, lines and dead line, and the force under the crown
    rows, right = [], []
    for sheave in range(turns):  # both sides of each sheave pull alike
        row = np.zeros(size)
        row[sheave], row[sheave + 1] = 1, -1
        rows.append(row)
        right.append(0.0)
    block = np.zeros(size)
    block[1 : lines + 1] = 1
    rows.append(block)
    right.append(load)
    crown = np.zeros(size)
    crown[: lines + 2], crown[-1] = 1, -1
    rows.append(crown)
    right.append(0.0)
    force = np.linalg.solve(np.array(rows), np.array(right))[-1]
    assert force == pytest.approx(load * crown_ratio(lines, line_kept=False), rel=1e-12)
    assert crown_ratio(lines, line_kept=True) == 1.0
    # the line's length: N (crown − block) + 2 crown stays, so the block rises (N + 2)/N times as far
    assert crown_ratio(lines, line_kept=False) == pytest.approx((lines + 2) / lines)


@pytest.mark.parametrize("lines", [0, 1, 3, 7, 22, 4.5, True, -2])
def test_odd_or_too_many_lines_are_refused(lines: int) -> None:
    for work in (
        lambda: efficiency(lines),
        lambda: line_pulls(1.0, lines),
        lambda: crown_ratio(lines, True),
    ):
        with pytest.raises(InputError, match=r"lines strung.*from 2(.00)? to 20"):
            work()


def test_sheaves_without_friction_and_a_strange_motion_are_refused() -> None:
    for factor in (1.0, 0.9, 1.31, float("nan")):
        with pytest.raises(InputError, match="sheave factor"):
            efficiency(8, factor)
    assert efficiency(16, 1.3) > 0
    with pytest.raises(InputError, match="motion of the block"):
        line_pulls(1.0, 8, motion="falling")  # type: ignore[arg-type]
