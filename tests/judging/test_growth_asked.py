"""What a plan asks to grow to the limit: the way that was picked, in any sea that has it, else the first."""

from __future__ import annotations

from dataclasses import replace

import pytest

import heave
from heave.errors import InputError
from heave.judging.limit_curves import asking_for, growth_asked, growths
from heave.planning import OtherSeas, Plan, Record, Study
from heave.planning.other_seas import AS_USUAL, SYSTEM_PLACES
from heave.sea import MeasuredSpectrum, SeaState, WaveSystem
from heave.sea.systems import MOST_SYSTEMS


def of_systems(count: int) -> Plan:
    """The demo plan in a sea of so many wave systems."""
    systems = tuple(WaveSystem(hs=1.0 + n, period=8.0 + n, direction_from=20.0 * n) for n in range(count))
    return heave.demo_plan().changed(sea=SeaState(systems=systems, depth=1200.0))


def asking(plan: Plan, **asked: object) -> Plan:
    return plan.changed(other_seas=OtherSeas(**asked))  # type: ignore[arg-type]


@pytest.mark.parametrize("count", [2, 3, MOST_SYSTEMS])
def test_every_way_of_a_sea_can_be_asked_for_and_is_found_again(count: int) -> None:
    plan = of_systems(count)
    ways = growths(plan)
    assert len(ways) == 2 * count + 1
    asked = [asking_for(way, plan.other_seas) for way in ways]
    assert len(set(asked)) == len(ways)
    assert [growth_asked(plan.changed(other_seas=one)) for one in asked] == list(ways)


@pytest.mark.parametrize(
    ("growth", "place", "system", "alone"),
    [
        ("one beside the others", "first", 0, False),
        ("one beside the others", "second", 1, False),
        ("one alone", "second", 1, True),
        ("all together", "first", None, False),
        ("all together", "second", None, False),
    ],
)
def test_a_system_is_told_by_its_place(growth: str, place: str, system: int | None, alone: bool) -> None:
    found = growth_asked(asking(of_systems(2), growth=growth, growing_system=place))
    assert (found.system, found.alone) == (system, alone)


def test_a_sea_that_has_not_what_was_picked_grows_as_the_first_way_has_it_and_the_pick_stays() -> None:
    plan = asking(of_systems(3), growth="one alone", growing_system="third")
    assert growth_asked(plan).system == 2
    fewer = plan.changed(sea=of_systems(2).sea)
    assert growth_asked(fewer) == growths(fewer)[0]
    alone = plan.changed(sea=of_systems(1).sea)
    assert growth_asked(alone) == growths(alone)[0]
    spectrum = MeasuredSpectrum((0.05, 0.1, 0.15), (0.05,) * 3, (0.4, 3.0, 1.1), 200.0)
    measured = plan.changed(sea=SeaState(measured=spectrum, depth=1200.0))
    assert growth_asked(measured) == growths(measured)[0]
    assert growth_asked(fewer.changed(sea=plan.sea)) == growth_asked(plan)


def test_a_sea_can_have_as_many_systems_as_there_are_places() -> None:
    assert len(SYSTEM_PLACES) == MOST_SYSTEMS


def test_a_pick_of_growth_leaves_what_is_asked_of_a_climate() -> None:
    asked = OtherSeas(headings="best", bearing="all round")
    found = asking_for(growths(of_systems(2))[3], asked)
    assert found == replace(asked, growth="one alone", growing_system="second")


@pytest.mark.parametrize(
    ("field", "value", "allowed"),
    [
        ("headings", "any", "one of fixed, head, sector, best"),
        ("bearing", "north", "one of plan, all round"),
        ("growth", "one", "one of one beside the others, one alone, all together"),
        ("growing_system", "ninth", "one of first, second, third, fourth, fifth, sixth, seventh, eighth"),
        ("growing_system", None, "one of first, second, third, fourth, fifth, sixth, seventh, eighth"),
    ],
)
def test_what_is_not_allowed_is_refused_by_name(field: str, value: object, allowed: str) -> None:
    with pytest.raises(InputError) as refused:
        OtherSeas(**{field: value})  # type: ignore[arg-type]
    assert refused.value.allowed == allowed


def test_a_plan_holds_what_is_asked_and_nothing_else_there() -> None:
    with pytest.raises(InputError, match=r"other_seas.*OtherSeas"):
        heave.demo_plan().changed(other_seas=None)


def test_without_other_seas_a_plan_differs_in_nothing_else() -> None:
    plan = heave.demo_plan()
    assert plan.without_other_seas is plan
    asked = asking(plan, headings="head", growing_system="second")
    assert asked != plan
    assert asked.without_other_seas == plan
    assert plan.other_seas == AS_USUAL


def test_as_judged_a_plan_differs_in_nothing_that_moves_a_check() -> None:
    plan = heave.demo_plan()
    assert plan.as_judged is plan
    more = asking(plan, headings="head").changed(record=Record(well="Well 7"), study=Study(samples=500))
    assert more.as_judged == plan
    assert more.as_studied == plan.changed(study=Study(samples=500))
    assert repr(heave.assess(more).checks) == repr(heave.assess(plan).checks)
    assert more.changed(wob=plan.wob + 1e3).as_judged != plan
