"""What one who follows the answer on the weather comes to: near a limit only where it is said, in waits too."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from members_drawn import HOUR, START, drawn_members, drawn_plan, plain_judging, together

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.judging import NEAR, WITHIN, Utilisations
from heave.planning import NO_FACTOR, Campaign, OperationStep, Plan
from heave.screens.weather import ensemble, summary, tiles
from heave.screens.weather.clock import Clock
from heave.screens.weather.sheet import sheet_of
from heave.sea import SeaBatch, SystemSlot
from heave.weather import Forecast, WindowResult, ensemble_windows, weather_windows
from heave.weather.windows import calm_in, search_in, waits_of

LIMIT = 1.2
"""Height at which the plain rule has drilling at its limit [m]."""


def seas(heights: list[float], **beside: Any) -> Forecast:
    size = len(heights)
    slot = SystemSlot(LIMIT * np.array(heights), np.full(size, 9.0), np.full(size, 220.0))
    times, gaps = START + np.arange(size) * np.timedelta64(1, "h"), np.zeros(size - 1, dtype=np.bool_)
    return Forecast(times, SeaBatch((slot,), 1200.0), ("wind sea",), HOUR, gaps, issued=START, **beside)


def two_steps(**waits: Any) -> Plan:
    """Four hours, stopped by wind, and four hours stopped by current; between them it may be made safe and wait."""
    plan = demo_plan()
    operation = replace(plan.doing("drilling").operation, duration=4 * HOUR)
    both = {"interruptible": True, "make_safe": HOUR, "contingency": 0.0}
    first = OperationStep(operation, "First", wind_limit=20.0, **{**both, **waits})
    steps = (first, OperationStep(operation, "Second", current_limit=1.0, **both))
    return plan.changed(weather=replace(plan.weather, campaign=Campaign(steps, 48 * HOUR), alpha=NO_FACTOR))


def told(plan: Plan, forecast: Forecast) -> tuple[WindowResult, summary.Headline, summary.Headline]:
    """The windows, the answer of the forecast, and that of an ensemble of two members alike."""
    result = weather_windows(plan, forecast)
    both = ensemble_windows(plan, together([forecast] * 2))
    return result, summary.headline(result, Clock()), ensemble.headline(both, Clock(), START)


@pytest.mark.parametrize(
    ("used", "worst", "state", "said"),
    [
        (0.5, 1.08, WITHIN, ""),
        (0.9, 1.08, NEAR, "near a limit"),
        (
            0.8,
            1.3,
            NEAR,
            "in doubt",
        ),  # as planned not near a limit, and over it at the worst of what is not known
    ],
)
def test_a_wait_near_a_limit_or_in_doubt_is_said_of_a_start_now(
    used: float, worst: float, state: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first step must be begun within two hours, the second waits from hour 4 to 14; meanwhile the sea rises."""
    plain_judging(monkeypatch, worst)
    plan = two_steps(waits_in=replace(demo_plan().doing("drilling").operation, duration=HOUR))
    wind = np.array([5.0] * 7 + [30.0] * 25)
    current = np.array([0.2] * 4 + [2.0] * 10 + [0.2] * 18)
    heights = [0.3] * 8 + [used] * 3 + [0.3] * 21
    result, *answers = told(plan, seas(heights, wind_speed=wind, current_speed=current))
    for answer in answers:
        assert (answer.title, answer.state) == ("Open now", state)
        lines = " ".join(answer.lines).lower()
        assert ("near a limit" in lines or "in doubt" in lines) == bool(said)
        assert said in lines
    # what the page, the table and the sheet say is left is left in the wait too
    left = 1.0 - max(used, 0.3)
    assert result.windows[0].margin == pytest.approx(left)
    assert result.outlook.margin == pytest.approx(left)
    figures = {name: (figure, under) for name, figure, under in tiles.tiles(result, Clock())}
    assert figures["Margin in the window"][1] == "closest: waiting between steps"
    none = InputError("sea", "none", None, "any")
    assert any("waiting between steps" in line for line in sheet_of(result, Clock(), "metric", [none]).sure)


def test_making_safe_after_a_step_is_of_its_window(monkeypatch: pytest.MonkeyPatch) -> None:
    """Made safe from hour 5 at the latest, in a sea near a limit of the step that is done; its wait has no limits."""
    plain_judging(monkeypatch)
    wind = np.array([5.0] * 6 + [30.0] * 26)
    current = np.array([0.2] * 4 + [2.0] * 10 + [0.2] * 18)
    heights = [0.3] * 5 + [0.9] + [0.3] * 26
    result, answer, _ = told(two_steps(), seas(heights, wind_speed=wind, current_speed=current))
    assert result.windows[0].latest_start == START
    assert result.windows[0].margin == pytest.approx(0.1)
    assert (answer.title, answer.state) == ("Open now", NEAR)
    assert any("Near a limit: **Stroke, vessel rising** reaches 0.9" in line for line in answer.lines)


def test_what_a_window_has_come_near_is_past_once_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Near a limit and in doubt in hour 2; from hour 6 on what is left of the window is near one in hour 20 alone."""
    plain_judging(monkeypatch)
    plan = two_steps()
    plan = plan.changed(
        weather=replace(plan.weather, campaign=Campaign(plan.campaign.steps[:1]), now="2026-05-01T06:00")
    )
    calm = np.full(32, 5.0)
    heights = [0.3] * 2 + [0.98] + [0.3] * 17 + [0.87] + [0.3] * 11
    result, answer, _ = told(plan, seas(heights, wind_speed=calm))
    assert result.windows[0].margin == pytest.approx(0.02)
    lines = " ".join(answer.lines)
    assert answer.state == WITHIN
    assert (
        "Begun after **Fri 1 May 15:00 UTC**: near a limit: **Stroke, vessel rising** reaches 0.87 in it"
        in lines
    )
    assert lines.startswith("Safe to start until")
    assert "n doubt" not in lines
    figures = {name: figure for name, figure, _ in tiles.tiles(result, Clock())}
    assert figures["Margin in the window"] == "13.0\u00a0%"


def test_a_later_start_whose_next_step_would_come_near_a_limit_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Begun by hour 3 the second step is done by 11, before an hour near a limit; later it can wait for that to pass.

    Every start is within limits throughout where it waits so, and nothing keeps it from going on at once.
    """
    plain_judging(monkeypatch)
    forecast = seas(
        [0.3] * 12 + [0.9] + [0.3] * 19, wind_speed=np.full(32, 5.0), current_speed=np.full(32, 0.2)
    )
    wind = np.array([5.0] * 12 + [30.0] * 20)  # the first step is over by then
    plan = two_steps()
    _, *answers = told(plan, replace(forecast, wind_speed=wind))
    only = "ithin limits throughout only where a later step waits for a calmer time"
    said = f"Begun after **Fri 1 May 03:00 UTC**: w{only}."
    for answer in answers:
        assert (answer.title, answer.state) == ("Open now", WITHIN)
        assert said in answer.lines
    # the hour near a limit earlier: a start now has to wait already
    _, *answers = told(
        plan, replace(forecast, batch=seas([0.3] * 7 + [0.9] + [0.3] * 24).batch, wind_speed=wind)
    )
    for answer in answers:
        assert (answer.title, answer.state) == ("Open now", WITHIN)
        assert f"W{only}: done by Fri 1 May 12:00 UTC." in answer.lines


def near_in(result: WindowResult, begins: tuple[float, ...], level: float) -> bool:
    """Whether a campaign whose blocks begin so, contingency used, comes near a limit or in doubt, waits with it."""
    times, campaign = result.forecast.elapsed, result.campaign

    def rough(table: Utilisations, begin: float, end: float) -> bool:
        low = int(np.searchsorted(times, begin, side="right")) - 1
        part = slice(low, int(np.searchsorted(times, end, side="left")) + 1)
        return bool((table.governing[part] >= level).any() or (table.high[part] >= 1.0).any())

    for block, begin, following in zip(campaign.blocks, begins, (*begins[1:], None), strict=True):
        for place, (early, late) in enumerate(block.spans, block.first):
            if rough(result.steps[place].reduced, begin + early, begin + late):
                return True
        done, last = begin + block.reference, result.steps[block.first + len(block.steps) - 1]
        if following is not None and following > done:
            safe = min(done + last.step.secured_in, following)
            waits = last.waiting is not None and safe < following and rough(last.waiting, safe, following)
            if waits or rough(last.reduced, done, safe):
                return True
    return False


@pytest.mark.parametrize("worst", [1.08, 1.3])
def test_who_follows_a_green_answer_comes_near_no_limit_unsaid(
    worst: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Begun at any time it names as within limits, each step as early as it can be, or put off where it says so."""
    plain_judging(monkeypatch, worst)
    green = later = 0
    for seed in range(400):
        rng = np.random.default_rng(seed)
        plan, forecast = drawn_plan(rng), replace(drawn_members(rng, 1)[0], issued=START)
        plan = plan.changed(weather=replace(plan.weather, under_way=False))
        result = weather_windows(plan, forecast)
        answer = summary.headline(result, Clock())
        if answer.state != WITHIN:
            continue
        lines, outlook = " ".join(answer.lines), result.outlook
        now = float((outlook.now - forecast.times[0]) / np.timedelta64(1, "s"))
        tables = [step.reduced for step in result.steps], [step.waiting for step in result.steps]
        quiet = calm_in(plan, forecast, *tables)
        plainly = search_in(
            forecast, plan.campaign, [step.inside for step in result.steps], waits_of(result.steps)
        )
        last = float((summary.ahead(result)[0].latest_start - forecast.times[0]) / np.timedelta64(1, "s"))
        if re.search(r"Begun after \*\*[^*]*\*\*: (near|in doubt)", lines):
            last = now + outlook.start_calm_for
        put_off = now + outlook.put_off_in if "waits for a calmer time" in lines else np.inf
        for start in np.linspace(now, last, 25).tolist():
            waits = start > put_off + 1e-6 or outlook.put_off_in == 0.0
            begins = quiet.begins(start) if waits else plainly.begins(start)
            assert not near_in(result, begins, plan.caution_level), (seed, start)
        green, later = green + 1, later + (put_off < np.inf)
    assert (green > 60, later > 0) == (True, True)
