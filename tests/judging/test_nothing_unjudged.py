"""A pass means that everything which can hurt was compared: what each operation asks, and what was let through once."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.drill_string import DrillString, Section, neutral_height
from heave.files.rigs import demo_compensators, demo_operations, demo_strings
from heave.judging import NOT_ASSESSED, OVER, RULES, WITHIN, assess, utilisations
from heave.judging.rules import rules_for
from heave.planning import OPERATIONS, HsLimit, Operation, Plan, StaticOffsets
from heave.sea import MeasuredSpectrum, SeaState, WaveSystem
from heave.simulation.simulate import simulate_seeds

UNITS = {unit.kind: unit for unit in demo_compensators().values()}


def storm(plan: Plan, hs: float = 10.0, tp: float = 14.0) -> Plan:
    return plan.changed(sea=SeaState.single(hs=hs, tp=tp, direction_from=225.0, depth=1200.0))


@pytest.mark.parametrize("kind", OPERATIONS)
@pytest.mark.parametrize("unit", UNITS)
def test_every_question_of_an_operation_has_an_answer(kind: str, unit: str) -> None:
    """Each is answered by a check that is made, or not here and it says by whom; and no check answers nothing."""
    plan = heave.demo_plan().changed(
        operation=Operation(kind=kind, hs_limits=(HsLimit(3.0),)), compensator=UNITS[unit]
    )
    made, answers = {rule.key for rule in rules_for(plan)}, OPERATIONS[kind].answers
    for question, answer in answers.items():
        assert made & set(answer.checks) or answer.elsewhere, question
    assert {"highest load", "lowest load", "string", "equipment"} <= set(answers)
    optional = {rule.key for rule in RULES if rule.limits}
    assert made - optional <= {key for answer in answers.values() for key in answer.checks}
    known = {rule.key for rule in RULES}
    assert {key for answer in answers.values() for key in answer.checks} <= known


@pytest.mark.parametrize("kind", OPERATIONS)
def test_a_needed_limit_is_that_of_a_check_that_is_made(kind: str) -> None:
    given = {"hs_limits": (HsLimit(3.0),), "speed_limit": 1.0, "acceleration_limit": 1.0}
    rules = rules_for(heave.demo_plan().changed(operation=Operation(kind=kind, **given)))
    for group in OPERATIONS[kind].needs:
        for name in group:
            assert any(name in rule.limits for rule in rules), name


@pytest.mark.parametrize(
    ("kind", "words"),
    [("casing", "running casing"), ("tripping", "tripping"), ("waiting", "waiting, string off bottom")],
)
def test_off_bottom_in_a_10_m_storm_is_not_within(kind: str, words: str) -> None:
    """The rig alone can say how much motion at the rotary it takes; without that there is no verdict."""
    plan = storm(heave.demo_plan()).changed(operation=Operation(kind=kind))
    result = assess(plan)
    assert result.verdict in (NOT_ASSESSED, OVER)
    assert plan.operation.missing == ("heave_limit",)
    assert plan.operation.wanted == f"the rig's heave limit for {words}"
    assert assess(storm(plan, 1.0, 8.0)).verdict == NOT_ASSESSED, "in a slight sea too"
    assert not utilisations(plan, plan.sea.batch()).inside[0]
    limited = plan.changed(operation=Operation(kind=kind, heave_limit=3.0))
    assert assess(limited).verdict == OVER
    assert assess(storm(limited, 1.0, 8.0)).verdict == WITHIN


@pytest.mark.parametrize("given", [{"wob_low": 60e3}, {"wob_high": 300e3}, {}])
def test_coring_with_a_limit_missing_is_not_assessed(given: dict[str, float]) -> None:
    plan = storm(heave.demo_plan(), 0.8, 7.0)
    both = plan.changed(operation=Operation(kind="coring", wob_low=60e3, wob_high=300e3))
    assert assess(both).verdict not in (NOT_ASSESSED, OVER)
    missing = plan.changed(operation=Operation(kind="coring", **given))
    assert assess(missing).verdict == NOT_ASSESSED
    assert assess(missing).check("wob_band").state == NOT_ASSESSED
    drilling = assess(plan.changed(operation=Operation(kind="drilling", **given)))
    assert drilling.verdict not in (NOT_ASSESSED, OVER)


def test_coring_past_the_only_end_given_is_over() -> None:
    plan = heave.demo_plan().changed(operation=Operation(kind="coring", wob_low=175e3))
    assert assess(plan).check("wob_band").state == OVER


@pytest.mark.parametrize("kind", ["drilling", "coring", "tripping"])
def test_overpull_meets_the_ratings(kind: str) -> None:
    """Hookload 1 364 kN and 39 kN of moving parts: 3 100 kN of overpull is more than 4 450 kN locked."""
    plan = storm(heave.demo_plan(), 0.5, 7.0).changed(
        operation=Operation(kind=kind, wob_low=20e3, wob_high=340e3, heave_limit=3.0)
    )
    key = "overpull" if plan.on_bottom else "locked_load"
    for pull, over in ((300e3, False), (3.1e6, True)):
        result = assess(plan.changed(overpull=pull))
        assert (result.check(key).state == OVER) is over
        assert result.check("tension").demand == pytest.approx(
            assess(plan.changed(overpull=0.0)).check("tension").demand + pull, rel=1e-9
        )
    assert assess(plan.changed(overpull=1.5e6)).verdict == OVER, "the string meets its yield"


def test_a_latched_string_that_goes_into_compression_is_over() -> None:
    plan = storm(heave.demo_plan().doing("fixed"), 4.5, 12.0).changed(compensator=UNITS["crown-mounted"])
    enough, little = (assess(plan.changed(overpull=pull)) for pull in (400e3, 60e3))
    assert enough.check("latch_tension").utilisation < 1
    assert little.check("latch_tension").state == little.verdict == OVER
    assert little.check("latch_tension").demand > 60e3
    assert any("compression and may buckle" in caution for caution in little.cautions)
    assert not any("compression and may buckle" in caution for caution in enough.cautions)
    assert any("If the unit locks, the string goes slack" in caution for caution in enough.cautions)
    tight = assess(storm(plan, 0.05, 8.0).changed(overpull=400e3))
    assert not any("If the unit locks, the string goes slack" in caution for caution in tight.cautions)


def test_a_short_landing_string_on_a_locked_unit_goes_slack() -> None:
    """1 480 m in Hs 5 m, Tp 13 s swings by ± 1.6 MN against 0.8 MN of hookload: an independent computation."""
    string = next(one for one in demo_strings().values() if round(one.length) == 1480)
    result = assess(storm(heave.demo_plan().doing("fixed").changed(string=string, overpull=300e3), 5.0, 13.0))
    assert result.responses.locked == pytest.approx(1.6e6, rel=0.02)
    assert result.plan.hookload == pytest.approx(0.8e6, rel=0.02)
    assert any("If the unit locks, the string goes slack" in caution for caution in result.cautions)


def test_a_latch_without_overpull_has_no_tension_to_lose() -> None:
    result = assess(heave.demo_plan().doing("fixed").changed(overpull=0.0))
    assert math.isinf(result.check("latch_tension").utilisation)


def test_a_unit_started_high_up_is_set_there_and_takes_off_what_the_sea_does() -> None:
    """3.5 m towards compression the gas holds what it holds at mid-stroke: its own slope comes off, and at least
    friction, at whose end slow travel can leave the seals."""
    plan = storm(heave.demo_plan().doing("fixed"), 0.1, 7.0)
    plan = plan.changed(offsets=replace(plan.offsets, start_position=3.5, tide_fall=0.0))
    high = assess(plan)
    slides = high.setting.friction_force + high.setting.stiffness_high * high.responses.stroke.extreme
    pulled = max(high.responses.locked, high.setting.friction_force)
    taken = min(slides, pulled) + high.setting.stiffness_high * plan.drift_sides[1]
    assert high.check("hook_slack").demand == pytest.approx(taken, rel=0.05)


def test_the_tension_left_at_the_latch_is_no_more_than_simulated() -> None:
    """Three seeds of 10 min on the crown-mounted unit: the bit force of the latched string is its change of tension."""
    plan = storm(heave.demo_plan().doing("fixed"), 5.0, 12.0).changed(
        compensator=UNITS["crown-mounted"], overpull=400e3, exposure=600.0, risk=0.5, offsets=StaticOffsets()
    )
    most = float(np.max(simulate_seeds(plan, 600.0, range(1, 4)).summary.highest["bit_force"]))
    assert (
        0.5 * assess(plan).check("latch_tension").demand < most < assess(plan).check("latch_tension").demand
    )


def test_neutral_point_of_a_string_that_stands() -> None:
    """100 m of collars of 2 kN/m in air and pipe of 0.3 kN/m, mud taking a tenth: 180 kN is all of the collars."""
    collar = Section("collar", 100.0, 0.2, 0.07, 2000 / 9.80665, 7e8)
    pipe = Section("pipe", 900.0, 0.127, 0.1086, 300 / 9.80665, 7e8)
    string = DrillString((pipe, collar), mud_density=785.0, steel_density=7850.0)
    assert neutral_height(string, 90e3) == pytest.approx(50.0)
    assert neutral_height(string, 180e3) == pytest.approx(100.0)
    assert neutral_height(string, 180e3 + 121.5e3) == pytest.approx(550.0)
    assert neutral_height(string, 1e6) == pytest.approx(1000.0)


def test_the_blow_of_a_bit_coming_back_begins_where_it_lifts() -> None:
    """Nothing while it stays on bottom; then it grows without a jump."""
    plan = heave.demo_plan()
    for hs in (3.0, 6.0, 9.0):
        result = assess(storm(plan, hs, 11.0))
        lifts = result.check("lift_off").utilisation > 1
        assert (result.check("bit_blow").demand > 0) == lifts
    demand = [assess(storm(plan, hs, 11.0)).check("bit_blow").demand for hs in np.linspace(3.0, 9.0, 7)]
    assert demand == sorted(demand)


def rows() -> tuple[HsLimit, ...]:
    return (HsLimit(4.0, 2.0, 10.0), HsLimit(3.0, 10.0, 16.0), HsLimit(2.0, 2.0, 16.0, 60.0, 120.0))


@pytest.mark.parametrize(
    ("systems", "allowed"),
    [
        ([(2.0, 8.0, 220.0)], 4.0),
        ([(2.0, 12.0, 220.0)], 3.0),
        ([(2.0, 8.0, 130.0)], 2.0),  # 90° on the one bow or
        ([(2.0, 8.0, 310.0)], 2.0),  # on the other
        ([(2.0, 8.0, 220.0), (1.0, 12.0, 220.0)], 3.0),
        ([(2.0, 8.0, 220.0), (1.0, 18.0, 220.0)], math.nan),  # a swell that the procedure does not speak of
    ],
)
def test_limits_in_wave_height_by_period_and_heading(
    systems: list[tuple[float, float, float]], allowed: float
) -> None:
    sea = SeaState(tuple(WaveSystem(hs=h, period=t, direction_from=d) for h, t, d in systems), depth=1200.0)
    plan = heave.demo_plan().changed(
        sea=sea, heading=220.0, operation=Operation(kind="casing", hs_limits=rows())
    )
    result = assess(plan)
    check = result.check("hs_limit")
    assert check.demand == pytest.approx(math.hypot(*(h for h, _, _ in systems)), rel=1e-12)
    assert check.capacity == pytest.approx(allowed, nan_ok=True)
    assert (result.verdict == NOT_ASSESSED) == math.isnan(allowed)
    headings = np.array([[220.0, 130.0, 310.0]])
    table = utilisations(plan, sea.batch(), headings)
    assert table.by_check["hs_limit"][0] == pytest.approx(check.utilisation, nan_ok=True)
    one = utilisations(plan.changed(heading=130.0), sea.batch())
    assert table.by_check["hs_limit"][1] == pytest.approx(one.by_check["hs_limit"][0], nan_ok=True)


def test_a_calm_meets_any_limit_in_wave_height() -> None:
    plan = heave.demo_plan().changed(operation=Operation(kind="waiting", hs_limits=rows()))
    calm = plan.sea.batch().times(0.0)
    assert utilisations(plan, calm).by_check["hs_limit"].tolist() == [0.0]


@pytest.mark.parametrize(("hertz", "allowed"), [(0.14, 4.0), (0.08, 3.0)])
def test_a_measured_sea_is_judged_by_its_peak(hertz: float, allowed: float) -> None:
    """A narrow band at 0.14 Hz peaks at 7.1 s, the first row's; at 0.08 Hz at 12.5 s, the second row's."""
    bands = (hertz - 0.01, hertz, hertz + 0.01)
    sea = SeaState(
        measured=MeasuredSpectrum(bands, (0.01,) * 3, (1.0, 9.0, 1.0), direction_from=220.0), depth=1200.0
    )
    plan = heave.demo_plan().changed(sea=sea, operation=Operation(kind="waiting", hs_limits=rows()))
    found = assess(plan).check("hs_limit")
    assert found.demand == pytest.approx(sea.hs, rel=2e-3)
    assert found.capacity == allowed


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"hs": 0.0}, "Hs limit"),
        ({"hs": 2.0, "period_from": 12.0, "period_to": 8.0}, "Peak period to.*8.*from 12"),
        ({"hs": 2.0, "heading_from": 120.0, "heading_to": 60.0}, "Relative heading to.*60.*from 120"),
    ],
)
def test_a_row_that_says_nothing_is_refused(row: dict[str, float], words: str) -> None:
    with pytest.raises(heave.InputError, match=words):
        HsLimit(**row)


@pytest.mark.parametrize("wrong", [(1.0,), tuple(HsLimit(1.0) for _ in range(61))])
def test_rows_that_are_none_or_too_many_are_refused(wrong: tuple[object, ...]) -> None:
    with pytest.raises(heave.InputError, match="Hs limits"):
        Operation(kind="casing", hs_limits=wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("kind", OPERATIONS)
def test_every_operation_of_the_demo_can_be_judged_and_says_its_limits_are_invented(kind: str) -> None:
    plan = heave.demo_plan().doing(kind)  # type: ignore[arg-type]
    result = assess(plan)
    assert result.verdict != NOT_ASSESSED
    given = plan.operation.missing == () and plan.operation.about.needs
    assert any("invented" in caution for caution in result.cautions) or not given
    assert {one.kind for one in demo_operations()} == set(OPERATIONS)


def test_changing_the_operation_and_back_loses_no_limit_and_lends_none() -> None:
    own = heave.demo_plan().changed(
        procedures=(), operation=Operation(kind="casing", heave_limit=1.2, duration=7200.0)
    )
    waiting = own.doing("waiting")
    assert waiting.operation == Operation(kind="waiting", duration=7200.0)
    assert waiting.doing("casing").operation == own.operation
    with pytest.raises(heave.InputError, match="each kind of operation once"):
        own.changed(procedures=(own.operation, own.operation))
    with pytest.raises(heave.InputError, match="Operations"):
        own.changed(procedures=(1,))


def test_an_empty_block_follows_the_line_no_faster_than_it_falls() -> None:
    """The speed of a body let go, stepped for a quarter of a cycle. In a narrow swell, nearly a sine, speed uses 2/π
    of what acceleration does: v / (g T/4) against 2π v / (T g)."""
    swell = WaveSystem(
        hs=4.0, period=12.0, shape="gaussian-swell", spreading="long-crested", direction_from=220.0
    )
    plan = heave.demo_plan().changed(sea=SeaState((swell,), depth=1200.0), compensator=UNITS["drawworks"])
    result = assess(plan)
    speed, acceleration = result.check("slack_line_speed"), result.check("slack_line")
    step, velocity = float(result.responses.heave.period) / 4 / 1000, 0.0
    for _ in range(1000):
        velocity += 9.80665 * step
    assert speed.capacity == pytest.approx(velocity, rel=1e-9)
    assert speed.demand == pytest.approx(result.responses.velocity.level, rel=1e-12)
    assert speed.utilisation == pytest.approx(2 / math.pi * acceleration.utilisation, rel=0.05)


def test_in_a_calm_the_block_has_all_the_time_to_fall() -> None:
    plan = heave.demo_plan().changed(compensator=UNITS["drawworks"])
    calm = utilisations(plan, plan.sea.batch().times(0.0))
    assert calm.by_check["slack_line_speed"].tolist() == [0.0]
    assert calm.by_check["slack_line"].tolist() == [0.0]
