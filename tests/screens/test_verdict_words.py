"""The words and whiskers of the verdict: room rounded to the safe side, doubt named, and what is not assessed first."""

from __future__ import annotations

import dataclasses
import math
import re

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

import heave
from heave.files.rigs import demo_compensators, demo_operations
from heave.judging import NOT_ASSESSED, Doubt, assess, largest_doubt, room_left, what_would_help
from heave.planning import OPERATIONS, Plan
from heave.planning.ranges import CLOSED
from heave.screens import state
from heave.screens.check import verdict
from heave.screens.figures.look import LIGHT
from heave.screens.figures.utilisation import utilisation_figure, utilisation_words
from heave.screens.weather.clock import Clock
from heave.screens.weather.summary import headline
from heave.screens.weather.tiles import tiles
from heave.weather import weather_windows
from heave.weather.forecast import Forecast


def grown(plan: Plan, factor: float) -> Plan:
    systems = tuple(dataclasses.replace(wave, hs=factor * wave.hs) for wave in plan.sea.systems)
    return plan.changed(sea=dataclasses.replace(plan.sea, systems=systems))


@pytest.mark.parametrize("kind", OPERATIONS)
@pytest.mark.parametrize("times", [0.5, 1.0, 1.7])
def test_the_room_told_is_never_more_than_there_is(kind: str, times: float) -> None:
    """The height and the factor on the page, taken back into the plan, are not over a limit."""
    plan = grown(heave.demo_plan().doing(kind), times)  # type: ignore[arg-type]
    room = room_left(plan)
    if not room.together.reached or room.together.hs <= 0:
        return
    words = verdict.room(assess(plan), room, "metric")
    found = re.search(r"\*\*Hs ([\d.]+)\xa0m\*\* of the whole sea \(×\xa0([\d.]+)\)", words)
    assert found is not None
    height, factor = map(float, found.groups())
    assert room.together.hs - 0.1 < height <= room.together.hs
    assert room.factor - 0.01 < factor <= room.factor
    assert assess(grown(plan, factor)).governing.utilisation < 1.002  # type: ignore[union-attr]
    told = [float(one) for one in re.findall(r" Hs ([\d.]+)\xa0m", words.partition("each alone:")[2])]
    alone = [limit.hs for limit in room.alone if limit.reached and limit.hs > 0]
    assert len(told) == (len(alone) if len(room.alone) > 1 else 0)
    assert all(one <= height for one, height in zip(told, alone, strict=False))


def test_a_whisker_goes_on_to_the_worst_of_the_ranges_and_is_told() -> None:
    """On the scale of the bars, from the left behind them; none where nothing is in doubt."""
    result = assess(heave.demo_plan())
    check = result.check("stroke_rising")
    assert check.high > check.utilisation + 0.02
    drawn = utilisation_figure([check], 0.85, LIGHT)
    whisker = next(part for part in drawn.split("<line ") if 'stroke-width="1.5"' in part.split("/>")[0])
    ending = float(whisker.split('x2="')[1].split('%"')[0])
    bar = next(part for part in drawn.split("<rect ") if LIGHT.fill(check.state) in part)
    width = float(bar.split('width="')[1].split('%"')[0])
    assert ending / width == pytest.approx(check.high / check.utilisation, rel=1e-6)
    assert f"(to {check.high:.2f} in doubt)" in utilisation_words([check])
    sure = assess(heave.demo_plan().changed(ranges=CLOSED)).check("stroke_rising")
    assert sure.high == sure.utilisation
    assert "in doubt" not in utilisation_words([sure])
    assert 'stroke-width="1.5"' not in utilisation_figure([sure], 0.85, LIGHT)


def test_what_matters_most_of_what_is_not_known_is_named() -> None:
    """Ten kelvin alone move the demo's band; only more unknowns together lift its bit and drop it again."""
    plan = heave.demo_plan()
    result = assess(plan)
    doubt = largest_doubt(result)
    assert doubt is not None
    assert doubt.moved is not None
    blow, band = result.check("bit_blow"), result.check("wob_band")
    assert verdict.in_doubt(doubt) == (
        f"In doubt: **Blow of the bit coming back** could reach {blow.high:.2f} with all that is not known at its "
        f"worst, by several together; **WOB band** {band.high:.2f}: gas temperature since setting alone brings it "
        f"from {band.utilisation:.2f} to {doubt.alone:.2f}."
    )
    warmed = largest_doubt(assess(plan.changed(ranges=dataclasses.replace(CLOSED, gas_temperature=10.0))))
    assert warmed is not None
    assert verdict.in_doubt(warmed) == (
        f"In doubt: **WOB band** could reach {warmed.check.high:.2f} with all that is not known at its worst; gas "
        f"temperature since setting alone brings it from {band.utilisation:.2f} to {warmed.check.high:.2f}."
    )
    assert verdict.in_doubt(Doubt(blow)) == (
        f"In doubt: **Blow of the bit coming back** could reach {blow.high:.2f} with all that is not known at its "
        "worst; no single unknown moves it, several together do."
    )
    assert verdict.in_doubt(largest_doubt(assess(plan.changed(ranges=CLOSED)))) == ""


@pytest.mark.parametrize("times", [1.0, 2.0])
def test_every_remedy_says_what_it_costs(times: float) -> None:
    for one in demo_operations():
        for remedy in what_would_help(assess(grown(heave.demo_plan().doing(one.kind), times))):
            assert len(remedy.side_effect) > 10, remedy.words("metric")


def test_no_window_of_an_unconfirmed_hookload_says_why() -> None:
    plan = heave.demo_plan()
    plan = plan.changed(hookload_entered=1.37 * plan.string.hookload)
    times = np.datetime64("2026-05-01T00:00:00", "s") + np.arange(24) * np.timedelta64(3600, "s")
    seas = Forecast(times, plan.sea.batch().repeated(24), ("a", "b"), 3600.0, np.zeros(23, dtype=np.bool_))
    found = weather_windows(plan, seas)
    told, rows = headline(found, Clock()), tiles(found, Clock())
    assert [figure for title, figure, _ in rows if title in ("First limit", "Back within limits")] == [
        "not assessed"
    ] * 2
    assert told.state == NOT_ASSESSED
    assert any("37\u00a0% over the string's, confirm it" in line.replace("\\", "") for line in told.lines)
    casing = heave.demo_plan().changed(procedures=()).doing("casing")
    asked = headline(weather_windows(casing, seas), Clock())
    assert any(
        "needs the rig's heave limit for running casing" in line.replace("\\", "") for line in asked.lines
    )


def test_the_check_page_says_what_is_to_be_confirmed(app: AppTest) -> None:
    plan: Plan = app.session_state["heave:plan"]
    unit = next(unit for unit in demo_compensators().values() if unit.kind == "crown-mounted")
    changed = plan.changed(hookload_entered=1.3 * plan.string.hookload, compensator=unit)
    assert state.assessed(changed).verdict == NOT_ASSESSED
    words = verdict.governs(state.assessed(changed), "metric").replace("\\", "")
    assert (
        "Not assessed: hookload entered is 30\u00a0% over the string's, confirm it under Operation." in words
    )
    assert math.isfinite(assess(changed).governing.utilisation)  # type: ignore[union-attr]


def test_calm_is_said_of_a_calm_only() -> None:
    """A rating below the static load is over in any sea; too much swell, of which the wind sea alone cannot fall far
    enough, is not."""
    plan = heave.demo_plan()
    weak = plan.changed(compensator=dataclasses.replace(plan.compensator, compensated_rating=1e6))
    assert "Compensated load is over its limit even in calm water" in verdict.room(
        assess(weak), room_left(weak), "metric"
    )
    swell = tuple(dataclasses.replace(wave, hs=max(2 * wave.hs, 6.0)) for wave in plan.sea.systems)
    over = plan.changed(sea=dataclasses.replace(plan.sea, systems=swell))
    words = verdict.room(assess(over), room_left(over), "metric")
    assert words.startswith("All waves together would have to fall to **Hs")
    assert "over a limit even without it" in words
    assert "calm" not in words


def test_the_room_does_not_read_lower_than_the_sea_within_it() -> None:
    """A tenth of a metre rounded down would say so of 2.87 m where there are 2.84."""
    assert verdict.lowered(2.87, "metric", 2.5) == "2.8\u00a0m"
    assert verdict.lowered(2.87, "metric", 2.84) == "2.87\u00a0m"
    assert verdict.lowered(2.879, "metric", 2.878) == "2.879\u00a0m"
    # a sea that has to fall is told lower than it is
    assert verdict.lowered(2.87, "metric", 2.9) == "2.8\u00a0m"
    plan = heave.demo_plan()
    close = grown(plan, 0.9995 * room_left(plan).factor)
    told = verdict.room(assess(close), room_left(close), "metric")
    found = re.search(r"Room to \*\*Hs ([\d.]+)\xa0m", told)
    assert found is not None
    assert float(found[1]) >= round(close.sea.hs, 3) - 5e-4
