"""Monte Carlo against exact answers, against plans judged one by one, and against itself."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from studied import only

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.judging.cases import Case
from heave.judging.demands import demands_of
from heave.judging.rules import rules_for
from heave.planning import CLOSED, STUDIED, Plan, StudiedInput
from heave.sea import SeaState
from heave.studies.inputs import INPUTS, ranged
from heave.studies.monte_carlo import (
    ANY,
    MonteCarlo,
    effective,
    monte_carlo,
    samples,
    wilson,
)
from heave.weather import CancelledError


@cache
def linear() -> Plan:
    """A plan whose heave limit is used in proportion to Hs: one sea whose shape does not follow its height."""
    plan = demo_plan()
    sea = SeaState.single(3.0, 10.0, 225.0, depth=plan.sea.depth, gamma=2.0)
    operation = replace(plan.operation, heave_limit=2.0, heave_basis="significant, double amplitude")
    plan = plan.changed(sea=sea, operation=operation)
    used = next(check for check in assess(plan).checks if check.key == "heave_limit").utilisation
    return plan.changed(operation=replace(operation, heave_limit=2.0 * used))  # used 1.0 at 3.0 m


def row(found: MonteCarlo, key: str):
    return next(one for one in found.exceedances if one.key == key)


def test_exceedance_of_a_linear_case_is_the_exact_one() -> None:
    """Utilisation Hs/3 m with ln Hs normal: P(Hs ≥ 3) = 1 − Φ(ln(3/median)/s), by definition."""
    low, high = 2.0, 3.6
    found = monte_carlo(only(linear(), StudiedInput("sea_height", low, high, "lognormal"), samples=40_000))
    median, s = math.sqrt(low * high), math.log(high / low) / 2 / 1.6448536
    exact = 0.5 * math.erfc(math.log(3.0 / median) / s / math.sqrt(2))
    limit = row(found, "heave_limit")
    assert limit.unknown == 0
    assert limit.share == pytest.approx(exact, abs=3 * math.sqrt(exact * (1 - exact) / 40_000))
    assert limit.interval.low < exact < limit.interval.high
    used = found.judged.used[found.judged.keys.index("heave_limit")]
    assert used == pytest.approx(found.drawn.columns["sea_height"] / 3.0, rel=1e-5)


def test_the_interval_covers_as_often_as_it_says() -> None:
    """Of 200 seeds some 95 % hold the exact probability, with seas that share draws of the equipment and without."""
    rng = np.random.default_rng(5)
    for together in (1, 10):
        held = 0
        draws = np.arange(400 * together) // together
        for _ in range(400):
            shared = rng.normal(size=400)[draws]
            over = 0.8 * shared + 0.6 * rng.normal(size=draws.size) > 1.0
            low, high = wilson(over.mean(), effective(over, draws))
            held += bool(low < 0.5 * math.erfc(1 / math.sqrt(2)) < high)
        assert 0.92 <= held / 400 <= 0.98


def test_wilson_against_a_published_figure() -> None:
    """81 of 263: 0.255 to 0.366 (Newcombe 1998, table I, method 3, from memory); 0 of 20: 0 to 0.161."""
    low, high = wilson(81 / 263, 263)
    assert (round(float(low), 4), round(float(high), 4)) == (0.2553, 0.3662)
    low, high = wilson(0.0, 20)
    assert (float(low), round(float(high), 4)) == (0.0, 0.1611)


def test_effective_samples() -> None:
    rng = np.random.default_rng(1)
    draws = np.arange(10_000) // 10
    whole = rng.random(1000)[draws] < 0.3  # all seas of a draw alike: each draw is worth one sample
    assert effective(whole, draws) == pytest.approx(1000, rel=0.01)
    free = rng.random(10_000) < 0.3
    assert effective(free, draws) == pytest.approx(10_000, rel=0.15)
    assert effective(free, np.arange(10_000)) == 10_000
    assert effective(np.zeros(10_000, dtype=bool), draws) == 1000
    uneven = np.minimum(draws, 998)  # the last draw has twice the seas
    assert effective(whole, uneven) == pytest.approx(1000, rel=0.02)


STUDY = (
    StudiedInput("sea_height", 2.0, 5.0, "lognormal"),
    StudiedInput("sea_period", 7.0, 12.0, "triangular"),
    StudiedInput("sea_turn", -20.0, 20.0, "normal"),
    StudiedInput("heading_turn", -10.0, 10.0),
    StudiedInput("hookload", 1.3e6, 1.42e6),
    StudiedInput("wob", 150e3, 210e3, "triangular"),
    StudiedInput("gas_volume", 8.5, 9.5, "normal"),
    StudiedInput("seal_friction", 0.01, 0.03),
    StudiedInput("gas_index", 1.15, 1.5),
    StudiedInput("tide_rise", 0.0, 0.6),
    StudiedInput("vessel_offset", 0.0, 40.0),
    StudiedInput("mud_density", 1150.0, 1250.0),
)


def by_hand(plan: Plan, at: dict[str, float]) -> Plan:
    """The plan with these values written into its fields, by another road than the study takes."""
    systems = tuple(
        replace(
            one,
            hs=one.hs * at["sea_height"] / plan.sea.hs,
            period=one.tp * at["sea_period"] / plan.sea.tp,
            direction_from=(one.direction_from + at["sea_turn"]) % 360,
        )
        for one in plan.sea.systems
    )
    unit = replace(
        plan.compensator,
        gas_volume=at["gas_volume"],
        friction_fraction=at["seal_friction"],
        index=at["gas_index"],
    )
    string = replace(plan.string, mud_density=at["mud_density"])
    own = at["hookload"] * string.hookload / plan.string.hookload
    offsets = replace(plan.offsets, tide_rise=at["tide_rise"], vessel_offset=at["vessel_offset"])
    return plan.changed(
        sea=replace(plan.sea, systems=systems),
        heading=(plan.heading + at["heading_turn"]) % 360,
        compensator=unit,
        string=string,
        hookload_entered=own,
        wob=at["wob"],
        offsets=offsets,
        ranges=CLOSED,
    )


@pytest.mark.parametrize("together", [1, 10])
def test_utilisations_are_those_of_plans_assessed_one_by_one(together: int) -> None:
    plan = only(demo_plan(), *STUDY, samples=100, seas_per_draw=together)
    found = monte_carlo(plan)
    for place in range(0, 100, 7):
        values = {name: float(column[place]) for name, column in found.drawn.columns.items()}
        result = assess(by_hand(plan, values))
        told = dict(zip(found.judged.keys, found.judged.used[:, place], strict=True))
        assert {check.key for check in result.checks} == set(told)
        for check in result.checks:
            assert told[check.key] == pytest.approx(check.utilisation, rel=2e-6, nan_ok=True), check.key
        assert result.governing is not None
        assert found.judged.governing[place] == pytest.approx(result.governing.utilisation, rel=2e-6)
        assert found.judged.keys[found.judged.governed_by[place]] == result.governing.key


def test_heave_and_temperature_are_the_cases_of_the_ranges() -> None:
    """What no field of a plan holds: as demands of a case built by hand."""
    given = StudiedInput("heave_factor", 0.8, 1.2), StudiedInput("gas_temperature", -20.0, 20.0)
    plan = only(demo_plan(), *given, samples=100)
    found = monte_carlo(plan)
    warm = plan.changed(ranges=replace(CLOSED, gas_temperature=20.0))
    spring = plan.compensator.spring(found.plan.hookload + plan.moving_mass * 9.80665 - plan.wob)
    for place in range(0, 100, 17):
        heave, kelvin = (float(found.drawn.columns[one.name][place]) for one in given)
        force = 0.005 * kelvin * spring.absolute_force
        case = Case(plan.changed(ranges=CLOSED), heave=heave, gas_force=force)
        own = demands_of([case], plan.sea.batch(), np.asarray(plan.heading))[0]
        for rule in rules_for(plan):
            told = found.judged.used[found.judged.keys.index(rule.key), place]
            used = np.broadcast_to(rule.work(own).utilisation, (1,))[0]
            assert told == pytest.approx(used, rel=1e-9, nan_ok=True), rule.key
    assert warm != plan


def test_the_same_seed_draws_the_same_and_another_does_not() -> None:
    plan = only(demo_plan(), *STUDY, samples=1000)
    one, two = samples(plan, ranged(plan)), samples(plan, ranged(plan))
    other = samples(plan.changed(study=replace(plan.study, seed=2)), ranged(plan))
    for name, column in one.columns.items():
        assert np.array_equal(column, two.columns[name])
        assert not np.array_equal(column, other.columns[name])


def test_no_input_moves_the_draws_of_another() -> None:
    """Neither their order in the plan nor what else is varied."""
    whole = samples(plan := only(demo_plan(), *STUDY, samples=1000), ranged(plan)).columns
    turned = samples(plan := only(demo_plan(), *reversed(STUDY), samples=1000), ranged(plan)).columns
    fewer = samples(plan := only(demo_plan(), *STUDY[2:7], samples=1000), ranged(plan)).columns
    assert list(whole) == list(turned)
    assert all(np.array_equal(whole[name], turned[name]) for name in whole)
    assert all(np.array_equal(whole[name], fewer[name]) for name in fewer)


@pytest.mark.parametrize("wanted", [-0.8, 0.0, 0.6, 0.9])
def test_height_and_period_are_correlated_as_asked(wanted: float) -> None:
    plan = only(demo_plan(), *STUDY, samples=20_000, period_correlation=wanted)
    columns = samples(plan, ranged(plan)).columns
    ranks = [np.argsort(np.argsort(columns[name])) for name in ("sea_height", "sea_period", "sea_turn")]
    found = np.corrcoef(ranks)
    assert found[0, 1] == pytest.approx(wanted, abs=0.012)
    assert found[0, 2] == pytest.approx(0.0, abs=0.02)
    alone = samples(plan := only(demo_plan(), *STUDY, samples=20_000), ranged(plan)).columns
    assert np.array_equal(columns["sea_height"], alone["sea_height"])
    assert np.mean(columns["sea_period"]) == pytest.approx(np.mean(alone["sea_period"]), rel=0.01)


def test_draws_stay_inside_the_bounds_and_it_is_said() -> None:
    given = StudiedInput("tide_rise", -0.3, 0.3, "normal"), StudiedInput("seal_friction", 0.1, 0.3)
    found = monte_carlo(only(demo_plan(), *given, samples=100))
    assert found.drawn.columns["tide_rise"].min() >= 0.0
    assert found.drawn.columns["seal_friction"].max() <= 0.2
    assert found.drawn.cut == pytest.approx({"tide_rise": 0.5, "seal_friction": 0.5}, abs=1e-9)
    notes = " ".join(found.notes)
    assert "Tide still to rise: 50\u00a0%" in notes
    assert not found.judged.refused


def test_what_is_not_known_is_never_a_pass() -> None:
    """Samples that can be no plan, and a limit that the rig has not given."""
    plan = demo_plan()
    given = StudiedInput("wob", 0.5e6, 2.0e6)  # most of it above the hookload
    found = monte_carlo(only(plan, given, samples=200))
    drawn = found.drawn.columns["wob"]
    no_plan = drawn > plan.hookload - 1000.0
    assert 0 < no_plan.sum() < 200
    anything = row(found, ANY)
    assert anything.unknown == no_plan.sum()
    assert anything.over + anything.unknown <= 200
    assert anything.interval.high >= (anything.over + anything.unknown) / 200
    assert f"{no_plan.sum()} samples can be no plan" in " ".join(found.notes)
    assert "Weight on bit" in found.judged.refused[int(np.flatnonzero(no_plan)[0])]
    bare = plan.changed(operation=replace(plan.operation, heave_limit=None))
    limit = row(monte_carlo(only(bare, StudiedInput("wob", 150e3, 200e3), samples=100)), "heave_limit")
    assert (limit.over, limit.unknown, limit.interval.high) == (0, 100, 1.0)


def test_a_hookload_that_is_not_confirmed_assesses_nothing() -> None:
    plan = demo_plan()
    plan = plan.changed(hookload_entered=1.3 * plan.own_hookload)
    found = monte_carlo(only(plan, StudiedInput("tide_rise", 0.0, 0.1), samples=100))
    anything = row(found, ANY)
    assert anything.over + anything.unknown == 100
    for one in found.exceedances:
        assert one.over + one.unknown == 100, "no check below 1 is a pass either"
        assert one.over == 100 or one.interval.high == pytest.approx(1.0)
    assert "not confirmed" in " ".join(found.notes)


def test_contributions_of_one_input_and_convergence() -> None:
    found = monte_carlo(only(linear(), StudiedInput("sea_height", 2.0, 3.6), samples=5000))
    (only_one, share), *others = found.contributions
    assert not others
    assert only_one.input.name == "sea_height"
    assert share.share == pytest.approx(1.0, abs=0.01)
    running = found.running
    assert running.samples[-1] == 5000
    assert running.share[-1] == row(found, ANY).share
    assert np.all((running.low <= running.share) & (running.share <= running.high))
    width = running.high - running.low
    assert width[-1] < width[len(width) // 4]


def test_progress_and_cancel() -> None:
    told: list[float] = []
    plan = only(demo_plan(), StudiedInput("wob", 150e3, 200e3), samples=100)
    monte_carlo(plan, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert len(told) == 100

    def stop(share: float) -> None:
        raise CancelledError

    with pytest.raises(CancelledError):
        monte_carlo(plan, progress=stop)


def test_nothing_varied_is_refused() -> None:
    with pytest.raises(InputError, match="none varied"):
        monte_carlo(only(demo_plan(), samples=100))


def test_every_key_has_an_input() -> None:
    assert tuple(INPUTS) == STUDIED
