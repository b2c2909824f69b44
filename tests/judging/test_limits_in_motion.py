"""Limits a rig states in other motions than heave: vertical speed and acceleration at the rotary, roll and pitch."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.files.rigs import demo_vessels
from heave.judging import NOT_ASSESSED, OVER, WITHIN, assess, utilisations, wanted
from heave.planning import NO_FACTOR, HsLimit, Operation, Plan
from heave.planning.operations import HEAVE_BASES
from heave.planning.rig import closed_form_vessels
from heave.sea import OMEGA, SeaState, WaveSystem, spreading_weights
from heave.vessel import MotionTransfer, ResponseTable, Vessel, relative_heading
from heave.weather import hindcast_windows, weather_windows
from heave.weather.forecast import Forecast

SEA = SeaState(
    (
        WaveSystem(hs=2.8, period=8.8, direction_from=260.0),
        WaveSystem(hs=1.4, period=13.0, direction_from=190.0, spreading_exponent=10.0),
    ),
    depth=1200.0,
)


def limited(vessel: str = "Demo drillship", **limits: float) -> Plan:
    return heave.demo_plan().changed(
        sea=SEA, vessel=demo_vessels()[vessel], operation=Operation(kind="casing", **limits)
    )


def plainly(plan: Plan, motion: str) -> float:
    """Level of a turn of the vessel: response of every direction times its share of the spectrum, trapezium rule."""
    fine = np.linspace(0.2, 2.2, 6001)
    power = np.zeros(fine.size)
    for slot in plan.sea.batch().spectra():
        spread = spreading_weights(slot.spreading, slot.exponent, 1.0)
        travel = relative_heading(plan.heading, slot.direction_from[0] + spread.offsets)
        found: MotionTransfer = plan.vessel.response.transfer(fine, np.asarray(travel))
        squared = np.abs(getattr(found, motion)) ** 2
        power += (spread.weights @ squared) * np.interp(fine, OMEGA, slot.ordinates[0])
    m0, m2 = (float(np.trapezoid(power * fine**order, fine)) for order in (0, 2))
    cycles = plan.exposure / (2 * math.pi * math.sqrt(m0 / m2))
    return math.sqrt(2 * m0 * math.log(cycles / -math.log(1 - plan.risk)))


@pytest.mark.parametrize("vessel", ["Demo drillship", "Demo semisubmersible"])
@pytest.mark.parametrize("motion", ["roll", "pitch"])
def test_roll_and_pitch_are_those_of_a_plain_sum(vessel: str, motion: str) -> None:
    plan = limited(vessel, heave_limit=3.0, **{f"{motion}_limit": 0.1})
    check = assess(plan).check(f"{motion}_limit")
    assert check.demand == pytest.approx(plainly(plan, motion), rel=2e-3)
    assert check.capacity == 0.1
    assert check.utilisation == pytest.approx(check.demand / 0.1, rel=1e-12)
    assert check.high == pytest.approx(1.1 * check.utilisation, rel=0.01), "the range of the response counts"
    calibrated = assess(plan.changed(heave_calibration=1.3)).check(f"{motion}_limit")
    assert calibrated.demand == check.demand, "a record of heave says nothing of it"
    moved = assess(plan.changed(vessel=replace(plan.vessel, hoist_x=60.0))).check(f"{motion}_limit")
    assert moved.demand == check.demand, "the whole vessel turns"


def test_a_beam_sea_rolls_and_a_head_sea_pitches() -> None:
    plan = limited(heave_limit=3.0, roll_limit=0.1, pitch_limit=0.1)
    wave = WaveSystem(hs=3.0, period=12.0, direction_from=310.0, spreading="long-crested")
    beam = plan.changed(sea=SeaState((wave,), depth=1200.0))
    ahead = plan.changed(sea=SeaState((replace(wave, direction_from=220.0),), depth=1200.0))
    for more, less, key in ((beam, ahead, "roll_limit"), (ahead, beam, "pitch_limit")):
        assert assess(more).check(key).demand > 2 * assess(less).check(key).demand


@pytest.mark.parametrize("limit", ["speed_limit", "acceleration_limit"])
def test_a_limit_of_speed_or_acceleration_answers_how_much_the_rotary_moves(limit: str) -> None:
    plan = limited(**{limit: 1.0})
    assert wanted(plan) == ()
    assert assess(plan).verdict == WITHIN
    tight = limited(**{limit: 0.2})
    assert assess(tight).governing.key == limit  # type: ignore[union-attr]
    assert assess(tight).verdict == OVER


def test_roll_or_pitch_alone_does_not_say_how_much_the_rotary_moves() -> None:
    plan = limited(roll_limit=0.2, pitch_limit=0.2)
    assert assess(plan).verdict == NOT_ASSESSED
    assert wanted(plan) == ("needs the rig's heave limit for running casing",)


@pytest.mark.parametrize(("basis", "times"), list(zip(HEAVE_BASES, (4.0, None, 2.0, None), strict=True)))
def test_a_heave_limit_is_met_as_the_procedure_means_it(basis: str, times: float | None) -> None:
    result = assess(limited(heave_limit=2.0, heave_basis=basis))  # type: ignore[arg-type]
    heave_ = result.responses.heave
    level = heave_.level if basis.endswith("single amplitude") else 2 * heave_.level
    expected = level if times is None else times * heave_.sigma
    assert result.check("heave_limit").demand == pytest.approx(expected, rel=1e-12)


def without(vessel: Vessel, motion: str) -> Vessel:
    table = vessel.response
    assert isinstance(table, ResponseTable)
    return replace(vessel, response=replace(table, **{motion: 0 * table.heave}))


@pytest.mark.parametrize("motion", ["roll", "pitch"])
def test_a_limit_of_a_motion_the_response_lacks_is_not_assessed_and_says_so(motion: str) -> None:
    plan = limited(heave_limit=3.0, **{f"{motion}_limit": 0.1})
    assert assess(plan).verdict == WITHIN
    hulls = (without(plan.vessel, motion), closed_form_vessels()["Semisubmersible, closed form"])
    for vessel in hulls:
        lacking = plan.changed(vessel=vessel)
        result = assess(lacking)
        assert result.check(f"{motion}_limit").state == NOT_ASSESSED
        assert result.verdict == NOT_ASSESSED
        assert wanted(lacking) == (f"needs the vessel's {motion} response",)
        assert not utilisations(lacking, lacking.sea.batch()).inside[0]
        assert assess(lacking.changed(operation=replace(plan.operation, heave_limit=0.1))).verdict == OVER


def test_a_hoist_off_the_axis_of_a_table_without_roll_is_cautioned() -> None:
    plan = limited(heave_limit=3.0)
    flat = without(plan.vessel, "roll")
    for vessel, told in ((flat, False), (replace(flat, hoist_y=5.0), True)):
        cautions = assess(plan.changed(vessel=vessel)).cautions
        assert any("has no roll" in caution for caution in cautions) == told


def test_windows_and_years_are_judged_by_the_same_limits() -> None:
    """Twelve hours of one wind sea growing: the hours inside are those whose own assessment is below 1."""
    plan = limited(
        heave_limit=6.0, pitch_limit=0.045, roll_limit=0.03, speed_limit=1.6, acceleration_limit=1.2
    )
    # at risk for its two hours, contingency in: a step is judged over no more than that
    plan = plan.changed(operation=replace(plan.operation, duration=3600.0), exposure=7200.0)
    heights = np.linspace(1.0, 4.5, 12)
    one = SeaState.single(hs=1.0, tp=10.0, direction_from=250.0, depth=1200.0)
    times = np.datetime64("2026-05-01T00:00:00", "s") + np.arange(12) * np.timedelta64(3600, "s")
    forecast = Forecast(times, one.batch().scaled(heights), ("sea",), 3600.0, np.zeros(11, dtype=np.bool_))
    each = [assess(plan.changed(sea=one.with_primary(hs=height))) for height in heights]
    expected = [result.governing.utilisation for result in each]  # type: ignore[union-attr]
    assert {r.governing.key for r in each} & {"roll_limit", "pitch_limit"}  # type: ignore[union-attr]
    assert min(expected) < 1 < max(expected)
    step = weather_windows(plan, forecast, alpha=NO_FACTOR).steps[0]
    assert step.plain.governing == pytest.approx(expected, rel=1e-5)
    assert hindcast_windows(plan, forecast).inside[0].tolist() == [used < 1 for used in expected]
    no_roll = plan.changed(vessel=without(plan.vessel, "roll"))
    found = weather_windows(no_roll, forecast, alpha=NO_FACTOR)
    assert not found.windows
    assert any("needs: the vessel's roll response" in note for note in found.notes)


def test_many_headings_turn_the_vessel_as_one_each() -> None:
    plan = limited(heave_limit=3.0, roll_limit=0.1, pitch_limit=0.1)
    bows = np.array([[180.0, 220.0, 300.0]])
    table = utilisations(plan, plan.sea.batch(), bows)
    for place, bow in enumerate(bows[0]):
        one = assess(plan.changed(heading=float(bow)))
        for key in ("roll_limit", "pitch_limit"):
            assert table.by_check[key][place] == pytest.approx(one.check(key).utilisation, rel=1e-5)


def test_a_plan_file_of_version_3_has_none_of_these_limits_and_one_of_version_4_reads_back() -> None:
    import json

    from heave.files.plan import plan_to_json

    given = {"speed_limit": 1.0, "acceleration_limit": 0.8, "roll_limit": 0.05, "pitch_limit": 0.04}
    plan = heave.demo_plan().changed(
        procedures=(), operation=Operation(kind="casing", hs_limits=(HsLimit(3.0),), **given)
    )
    assert heave.read_plan(plan_to_json(plan).encode()) == plan
    document = json.loads(plan_to_json(plan))
    document["version"] = 3
    for key in ("speed_limit_m_per_s", "acceleration_limit_m_per_s2", "roll_limit_rad", "pitch_limit_rad"):
        del document["plan"]["operation"][key]
    older = heave.read_plan(json.dumps(document).encode())
    assert older == plan.changed(operation=replace(plan.operation, **dict.fromkeys(given)))
