"""Plans side by side: what differs is what was changed, and each column is what its plan alone comes to."""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Iterable
from dataclasses import replace

import pytest

import heave
from heave.errors import InputError
from heave.files.comparison import comparison_text
from heave.files.rigs import demo_compensators, demo_strings, demo_vessels
from heave.judging import CHECK_NAMES, Check, assess, limiting_sea
from heave.planning import OPERATIONS, Operation
from heave.planning.rig import closed_form_vessels
from heave.sea import MeasuredSpectrum, SeaState
from heave.studies.compare import (
    ABSENT,
    MOST,
    check_rows,
    comparison_rows,
    differences,
    limit_curve,
    sides,
    variant,
)

PLAN = heave.demo_plan()
ACTIVE = demo_compensators()["Demo active-assisted unit, 600 klbf"]


def figures(checks: Iterable[Check]) -> list[tuple[str, ...]]:
    """Checks by their figures as text, for one that is not known equals nothing."""
    return [(c.key, c.state, repr(c.demand), repr(c.capacity), repr(c.utilisation)) for c in checks]


def told(*plans: heave.Plan) -> dict[tuple[str, str], tuple[object, ...]]:
    return {(one.part, one.label): one.values for one in differences(plans)}


@pytest.mark.parametrize("kind", OPERATIONS)
def test_a_plan_beside_itself_differs_in_nothing(kind: str) -> None:
    plan = PLAN.doing(kind)  # type: ignore[arg-type]
    assert differences([plan, heave.demo_plan().doing(kind)]) == ()  # type: ignore[arg-type]


def test_what_differs_is_the_list_of_what_was_changed() -> None:
    first, *rest = PLAN.sea.systems
    other = PLAN.changed(
        name="Other",
        sea=replace(PLAN.sea, systems=(replace(first, hs=3.1, shape="two-parameter"), *rest), depth=900.0),
        heading=200.0,
        wob=150e3,
        hookload_entered=1.4e6,
        active=False,
        ranges=replace(PLAN.ranges, heave=0.2),
        hoisting=replace(PLAN.hoisting, links_rating=None),  # type: ignore[type-var]
    )
    assert told(PLAN, other) == {
        ("Sea, system 1", "Significant wave height"): (2.8, 3.1),
        ("Sea, system 1", "Spectral shape"): ("jonswap", "two-parameter"),
        ("Sea", "Water depth"): (1200.0, 900.0),
        ("Plan", "Plan name"): ("Demo plan", "Other"),
        ("Plan", "Vessel heading"): (220.0, 200.0),
        ("Plan", "Weight on bit"): (180e3, 150e3),
        ("Plan", "Hookload off bottom"): (None, 1.4e6),
        ("Plan", "Active part in use"): (True, False),
        ("Ranges", "Heave response of the vessel"): (0.1, 0.2),
        ("Hoisting", "links rating"): (4.45e6, None),
    }


def test_the_order_is_that_of_the_plan_and_of_the_plans() -> None:
    low, high = (PLAN.changed(wob=load, heading=bow) for load, bow in ((100e3, 10.0), (200e3, 20.0)))
    found = differences([high, PLAN, low])
    assert [one.label for one in found] == ["Vessel heading", "Weight on bit"]
    assert found[1].values == (200e3, 180e3, 100e3)


def test_another_kind_of_unit_shows_what_only_one_of_them_has() -> None:
    found = told(PLAN, variant(PLAN, "compensator", demo_compensators()["Demo compensating drawworks"]))
    assert found["Compensator", "kind"] == ("in-line", "drawworks")
    assert found["Compensator", "effective area"] == (PLAN.compensator.effective_area, ABSENT)
    assert found["Compensator", "lines strung"] == (ABSENT, 12.0)
    assert {part for part, _ in found} == {"Compensator"}


def test_hull_and_table_are_told_apart_and_a_table_is_one_input_a_motion() -> None:
    found = told(PLAN, variant(PLAN, "vessel", closed_form_vessels()["Box-hull ship, closed form"]))
    assert found["Vessel, response", "kind"] == ("Response table", "Box hull")
    table = PLAN.vessel.response
    heave_ = table.heave.copy()  # type: ignore[union-attr]
    heave_[0, 0] *= 1 + 1e-12
    other = replace(PLAN.vessel, response=replace(table, heave=heave_))  # type: ignore[type-var]
    (one,) = differences([PLAN, PLAN.changed(vessel=other)])
    assert (one.part, one.label) == ("Vessel, response", "heave")
    before, after = one.words()
    assert before.startswith("13 × 84 numbers, ")
    assert before != after


def test_sections_and_rows_are_told_one_by_one_and_limits_of_a_procedure_by_its_operation() -> None:
    short = replace(
        PLAN.string, sections=(replace(PLAN.string.sections[0], length=2000.0), *PLAN.string.sections[1:])
    )
    waiting = next(one for one in PLAN.procedures if one.kind == "waiting")
    limits = replace(waiting, hs_limits=waiting.hs_limits[:2])
    procedures = tuple(limits if one.kind == "waiting" else one for one in PLAN.procedures)
    found = told(PLAN, PLAN.changed(string=short, procedures=procedures, wob=0.0))
    assert found["String, section 1", "section length"] == (PLAN.string.sections[0].length, 2000.0)
    rows = {part: values for (part, _), values in found.items() if "hs limit" in part}
    assert set(rows) == {"Procedure waiting, hs limit 3"}
    assert found["Procedure waiting, hs limit 3", "Hs limit"] == (4.0, ABSENT)


@pytest.mark.parametrize(
    ("system", "unit", "words"),
    [("metric", "m", "1\u202f200\u00a0m"), ("oilfield", "ft", "3\u202f940\u00a0ft")],
)
def test_values_stand_in_the_units_on_the_screen(system: str, unit: str, words: str) -> None:
    (one,) = differences([PLAN, PLAN.changed(sea=replace(PLAN.sea, depth=900.0))])
    assert one.words(system)[0] == words
    row = next(
        row
        for row in comparison_rows(
            sides([("a", PLAN), ("b", PLAN.changed(sea=replace(PLAN.sea, depth=900.0)))]), system
        )
        if "Water depth" in row[0]
    )
    assert row[1] == unit
    assert float(row[2]) == pytest.approx(1200.0 / {"m": 1.0, "ft": 0.3048}[unit], rel=1e-8)


def test_values_that_differ_never_read_alike() -> None:
    near = PLAN.changed(wob=180_000.01)
    (one,) = differences([PLAN, near, PLAN])
    first, second, third = one.words()
    assert first == third != second


def test_every_column_is_what_its_plan_alone_comes_to() -> None:
    plans = [PLAN, PLAN.doing("tripping"), variant(PLAN, "vessel", demo_vessels()["Demo semisubmersible"])]
    found = sides([(str(place), plan) for place, plan in enumerate(plans)])
    assert [side.name for side in found] == ["0", "1", "2"]
    for side, plan in zip(found, plans, strict=True):
        result = assess(plan)
        assert figures(side.checks.values()) == figures(result.checks)
        assert (side.verdict, side.governing) == (result.verdict, result.governing)
    rows = check_rows(found)
    places = [list(CHECK_NAMES).index(row.key) for row in rows]
    assert places == sorted(places)
    assert {row.key for row in rows} == {key for side in found for key in side.checks}
    lift = next(row for row in rows if row.key == "lift_off")
    assert lift.checks[1] is None
    assert lift.checks[0] == assess(PLAN).check("lift_off")


def test_an_active_unit_has_a_second_column_with_its_active_part_lost() -> None:
    """It is the second verdict of the assessment, and that of the plan that does not count on the active part."""
    plan = variant(PLAN, "compensator", ACTIVE)
    one, lost, last = sides([("A", plan), ("B", PLAN)])
    assert (one.name, lost.name, last.name) == ("A", "A, active part lost", "B")
    assert (one.place, lost.place, last.place) == (0, 0, 1)
    assert (one.lost, lost.lost) == (False, True)
    second, without = assess(plan).lost, assess(plan.changed(active=False))
    assert second is not None
    assert figures(lost.checks.values()) == figures(second.checks)
    assert (lost.verdict, lost.governing) == (second.verdict, second.governing)
    assert (lost.verdict, [c.utilisation for c in lost.checks.values()]) == (
        without.verdict,
        pytest.approx([c.utilisation for c in without.checks], nan_ok=True),
    )
    assert "active_force" in one.checks
    assert "active_force" not in lost.checks
    assert len(sides([("A", plan.changed(active=False))])) == 1


def test_what_nobody_judged_is_told_of_each_plan() -> None:
    bare = PLAN.changed(hoisting=None, operation=Operation(kind="casing"))
    unconfirmed = PLAN.changed(hookload_entered=1.0 * PLAN.own_hookload * 1.3)
    whole, less, asked = sides([("a", PLAN), ("b", bare), ("c", unconfirmed)])
    assert all(words.startswith("not judged here") for words in whole.unjudged)
    assert whole.answer == whole.verdict == "near a limit"
    bits = replace(PLAN.hoisting, links_rating=None)  # type: ignore[type-var]
    good, part = sides([("a", PLAN.changed(hoisting=None)), ("b", PLAN.changed(hoisting=bits))])
    assert good.answer == "near a limit, hoisting path not judged"
    assert part.answer == "near a limit, part of the hoisting path not judged"
    assert less.answer == "not assessed"
    assert any("Nothing of the hoisting path is judged" in words for words in less.unjudged)
    assert any(words.startswith("needs the rig's heave limit") for words in less.unjudged)
    assert any(words.startswith("not assessed: Heave limit") for words in less.unjudged)
    assert any("confirm it" in words for words in asked.unjudged)


def test_the_limit_curve_is_the_limiting_sea_at_each_period() -> None:
    plan = variant(PLAN, "compensator", ACTIVE)
    for one in (plan, plan.changed(active=False), PLAN.doing("landing")):
        curve = limit_curve(one, (8.0, 12.0, 16.0))
        assert curve is not None
        assert [found.tp for found in curve] == [8.0, 12.0, 16.0]
        for found in curve:
            alone = limiting_sea(one, tp=found.tp)
            assert (found.hs, found.governing) == (pytest.approx(alone.hs, rel=1e-6), alone.governing)


def test_a_measured_sea_has_no_limit_curve() -> None:
    spectrum = MeasuredSpectrum((0.05, 0.1, 0.15), (0.05, 0.05, 0.05), (0.4, 3.0, 1.1), direction_from=200.0)
    assert limit_curve(PLAN.changed(sea=SeaState(measured=spectrum, depth=1200.0))) is None


def test_variants_change_one_part_and_refuse_what_cannot_be() -> None:
    assert variant(PLAN, "heading", 33.0) == PLAN.changed(heading=33.0)
    assert variant(PLAN, "operation", "tripping") == PLAN.doing("tripping")
    string = list(demo_strings().values())[-1]
    assert variant(PLAN.changed(wob=0.0), "string", string).string == string
    with pytest.raises(InputError, match="Vessel heading"):
        variant(PLAN, "heading", 400.0)
    with pytest.raises(InputError, match=r"part of the plan.*one of vessel"):
        variant(PLAN, "moon", 1.0)  # type: ignore[arg-type]
    for count in (0, MOST + 1):
        with pytest.raises(InputError, match="plans side by side"):
            sides([("x", PLAN)] * count)


def test_the_file_of_the_comparison_is_a_whole_table_safe_for_a_spreadsheet() -> None:
    other = variant(PLAN, "compensator", ACTIVE).changed(name="=1+1")
    rows = list(csv.reader(io.StringIO(comparison_text(sides([("a", PLAN), ("=b", other)])))))
    assert {len(row) for row in rows} == {5}
    assert rows[0] == ["row", "unit", "a", "'=b", "'=b, active part lost"]
    found = {row[0]: row[1:] for row in rows}
    assert len(found) == len(rows)
    assert found["input: Plan: Plan name"] == ["", "Demo plan", "'=1+1", "'=1+1"]
    result = assess(PLAN)
    check = result.check("stroke_rising")
    assert float(found[f"{check.name}: demand"][1]) == pytest.approx(check.demand, rel=1e-8)
    assert float(found[f"{check.name}: utilisation"][1]) == pytest.approx(check.utilisation, rel=1e-8)
    assert found[f"{check.name}: state"][1] == check.state
    assert found["verdict"][1] == result.verdict
    assert found["Active force: state"][1] == ""
    assert float(found["Compensated load: demand"][1]) == pytest.approx(
        result.check("compensated_load").demand / 1e3, rel=1e-8
    )


def test_any_two_plans_can_be_compared_either_way() -> None:
    plans = [
        *(PLAN.changed(compensator=unit) for unit in demo_compensators().values()),
        PLAN.doing("tripping"),
    ]
    for one, other in itertools.combinations(plans, 2):
        there, back = told(one, other), told(other, one)
        assert {key: values[::-1] for key, values in back.items()} == there
