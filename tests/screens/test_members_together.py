"""What an ensemble says beside what its members say alone: of one the same, shares as counted, never calmer."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from members_drawn import drawn_members, drawn_plan, plain_judging, promised, together, worsened

from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.planning import Plan
from heave.screens.weather import ensemble, summary
from heave.screens.weather.clock import Clock
from heave.weather import Forecast, WindowResult, ensemble_windows, weather_windows

RANK = {WITHIN: 0, NEAR: 1, NOT_ASSESSED: 2, OVER: 3}
TIME = re.compile(r"[A-Z][a-z]{2} \d+ [A-Z][a-z]{2} \d\d:\d\d")
DONE = re.compile(r"done by ([^.;]*?UTC)")


def kept(found: WindowResult) -> tuple[list[object], object]:
    """Windows, and how the first step stands now."""
    windows = [(one.start, one.latest_start, one.end) for one in found.windows]
    return windows, found.outlook.inside


def same(plan: Plan, forecast: Forecast) -> tuple[str, str]:
    """State and title of a forecast, which an ensemble of it alone has as well, with its times and its windows."""
    alone, found = weather_windows(plan, forecast), ensemble_windows(plan, together([forecast]))
    told, both = (
        summary.headline(alone, Clock()),
        ensemble.headline(found, Clock(), alone.outlook.now),
    )
    assert (both.state, both.title) == (told.state, told.title)
    windows, inside = kept(alone)
    assert [(one.start, one.latest_start, one.end) for one in found.windows] == windows
    assert found.under_way(alone.outlook.now).inside == inside
    one, other = (" ".join(answer.lines).replace("\\", "").replace("*", "") for answer in (told, both))
    if told.state != NOT_ASSESSED:
        assert DONE.findall(one)[:1] == DONE.findall(other)[:1]
    if plan.weather.under_way and told.state != NOT_ASSESSED:
        assert TIME.findall(one) == TIME.findall(other)
    return told.state, told.title


def test_an_ensemble_of_one_member_says_what_its_forecast_says(monkeypatch: pytest.MonkeyPatch) -> None:
    """Open, to come, in pieces, under way, or none of it: the same answer and times."""
    plain_judging(monkeypatch)
    told: Counter[str] = Counter()
    for seed in range(150):
        rng = np.random.default_rng(seed)
        plan = drawn_plan(rng)
        _, title = same(plan, drawn_members(rng, 1)[0])
        told[" ".join(title.split()[:2])] += 1
    looked_for = ("Open now", "Opens in", "In pieces", "No window", "Start making", "Over a", "Must be")
    assert all(told[title] for title in looked_for), told


def test_it_says_the_same_by_the_checks_themselves() -> None:
    for seed in range(8):
        rng = np.random.default_rng(seed)
        plan = drawn_plan(rng)
        same(plan, drawn_members(rng, 1)[0])


def test_the_share_at_each_start_is_that_of_the_members_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each searched as a forecast by itself; together they are within limits where each of them is, and only there."""
    plain_judging(monkeypatch)
    calm = 0
    for seed in range(40):
        rng = np.random.default_rng(seed)
        plan = drawn_plan(rng)
        series = drawn_members(rng, int(rng.integers(3, 8)))
        if seed % 4 == 0:
            series = [
                replace(one, batch=replace(one.batch, slots=(one.batch.slots[0].times(0.2),)))
                for one in series
            ]
        found, alone = (
            ensemble_windows(plan, together(series)),
            [weather_windows(plan, one) for one in series],
        )
        assert (found.start_probability == np.mean([one.start_works for one in alone], axis=0)).all()
        now = alone[0].outlook.now
        for when in (now, *(now + np.timedelta64(int(span), "s") for span in rng.uniform(0, 40 * 3600, 4))):
            counted = sum(any(w.start <= when <= w.latest_start for w in one.windows) for one in alone)
            assert found.members_at(when) == counted
        states = {summary.headline(one, Clock()).state for one in alone}
        assert (ensemble.headline(found, Clock(), now).state == WITHIN) == (states == {WITHIN})
        calm += states == {WITHIN}
    assert calm > 2


def test_a_worse_sea_of_any_member_never_makes_a_calmer_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Colour, earliest start, by when all is done, shares: each step of worsening on the one before."""
    plain_judging(monkeypatch)
    moved = 0
    for seed in range(60):
        rng = np.random.default_rng(seed)
        plan, series = drawn_plan(rng), drawn_members(rng, int(rng.integers(1, 7)))
        now, before = np.datetime64(plan.weather.now or "", "s"), None
        for _ in range(3):
            found = ensemble_windows(plan, together(series))
            answer = ensemble.headline(found, Clock(), now)
            after = {"state": float(RANK[answer.state]), **promised(found, now)}
            if before is not None:
                calmer = [name for name, value in after.items() if value < before[name] - 1e-6]
                assert not calmer, (seed, calmer, before, after)
                moved += after != before
            before, series = after, worsened(rng, series)
    assert moved > 40
