"""A hookload that is not the string's gives no pass until somebody has confirmed it, for one sea or for many."""

from __future__ import annotations

import numpy as np
import pytest

import heave
from heave.files.rigs import demo_compensators
from heave.judging import NOT_ASSESSED, OVER, assess, utilisations, wanted
from heave.planning import NO_FACTOR, Plan
from heave.weather import ensemble_windows, hindcast_windows, weather_windows
from heave.weather.forecast import EnsembleForecast, Forecast


def plan_with(share: float) -> Plan:
    units = demo_compensators().values()
    plan = heave.demo_plan().changed(compensator=next(unit for unit in units if unit.kind == "crown-mounted"))
    return plan.changed(hookload_entered=share * plan.string.hookload)


def calm(plan: Plan) -> Forecast:
    times = np.datetime64("2026-05-01T00:00:00", "s") + np.arange(24) * np.timedelta64(3600, "s")
    batch = plan.sea.batch().repeated(24).times(0.2)
    return Forecast(times, batch, ("wind sea", "swell"), 3600.0, np.zeros(23, dtype=np.bool_))


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (1.14, ()),
        (1.37, ("hookload entered is 37\u00a0% over the string's, confirm it",)),
        (0.8, ("hookload entered is 20\u00a0% under the string's, confirm it",)),
    ],
)
def test_an_unconfirmed_hookload_is_no_pass(share: float, words: tuple[str, ...]) -> None:
    plan = plan_with(share)
    assert wanted(plan) == words
    assert (assess(plan).verdict == NOT_ASSESSED) == bool(words)
    confirmed = plan.changed(hookload_confirmed=plan.hookload_entered)
    assert assess(confirmed).verdict != NOT_ASSESSED
    assert wanted(confirmed) == ()
    moved = confirmed.changed(hookload_entered=0.7 * plan.string.hookload)
    assert assess(moved).verdict == NOT_ASSESSED, "another hookload asks again"


def test_what_is_over_stays_over() -> None:
    plan = plan_with(1.37)
    rough = plan.changed(sea=plan.sea.with_primary(hs=11.0))
    assert assess(rough).verdict == OVER


def test_the_verdict_without_the_active_part_waits_as_well() -> None:
    units = demo_compensators().values()
    plan = plan_with(1.3).changed(compensator=next(u for u in units if u.kind == "active-assisted"))
    assert assess(plan).lost.verdict == NOT_ASSESSED  # type: ignore[union-attr]


def test_no_window_opens_on_an_unconfirmed_hookload() -> None:
    plan = plan_with(1.37)
    confirmed = plan.changed(hookload_confirmed=plan.hookload_entered)
    assert assess(confirmed.changed(sea=plan.sea.with_primary(hs=0.5))).verdict not in (NOT_ASSESSED, OVER)
    seas = calm(plan)
    assert not utilisations(plan, seas.batch).inside.any()
    assert utilisations(confirmed, seas.batch).inside.all()
    found = weather_windows(plan, seas, alpha=NO_FACTOR)
    assert not found.windows
    assert any("37\u00a0% over the string's, confirm it" in note for note in found.notes)
    assert weather_windows(confirmed, seas, alpha=NO_FACTOR).windows
    years = hindcast_windows(plan, seas)
    assert years.overall.missing == 1.0
    assert any("confirm it" in note for note in years.notes)
    assert hindcast_windows(confirmed, seas).overall.availability == 1.0
    members = EnsembleForecast((seas, seas), ("a", "b"))
    asked = ensemble_windows(plan, members, alpha=NO_FACTOR, needed=0.5)
    assert not asked.windows
    assert any("confirm it" in note for note in asked.notes)
