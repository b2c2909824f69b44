"""Times in the answer on the weather: each with its zone, and by when to begin making safe as it can mislead nobody."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from test_weather_promises import CALM, HOUR, ROUGH, START, drilling, forecast, plan_of

from heave.files.rigs import demo_plan
from heave.planning import BASE_CASE, AlphaTable, Plan
from heave.screens.inputs import plain
from heave.screens.weather import summary, table
from heave.screens.weather.clock import Clock
from heave.screens.weather.sheet_steps import steps_of
from heave.weather import Forecast, WindowResult, weather_windows

TOLD = re.compile(r"[A-Z][a-z]{2} \d{1,2} [A-Z][a-z]{2}(?: \d{4})? \d\d:\d\d(.*)")


def after(hours: float) -> np.datetime64:
    return START + np.timedelta64(round(hours * 60), "m")


def answers() -> list[tuple[str, Plan, Forecast, float]]:
    """Plans and forecasts whose headlines tell times of every sort, and the hour it is."""
    under_way = plan_of(drilling(), under_way=True)
    pieces = plan_of(drilling(contingency=40 * HOUR))
    longest = AlphaTable(BASE_CASE.rows[:1])
    long = replace(demo_plan().operation, duration=30 * HOUR)
    whole = plan_of(drilling(operation=long, interruptible=False), alpha=longest)
    row = forecast([CALM] * 60)
    return [
        ("Start making safe by", under_way, forecast([CALM] * 20 + [ROUGH] * 5), 0),
        ("In pieces only", pieces, forecast([ROUGH] * 3 + [CALM] * 20 + [ROUGH] * 5), 0),
        ("Not assessed", whole, row, 0),
        ("This forecast ended", plan_of(drilling()), forecast([CALM] * 9), 20),
        ("Open now", plan_of(drilling()), forecast([CALM] * 60), 30),
        ("Open now", plan_of(drilling()), forecast([CALM] * 60, issued=None), 30),
    ]


@pytest.mark.parametrize("case", answers(), ids=lambda case: case[0])
@pytest.mark.parametrize("zone", ["UTC", "Europe/Oslo"])
def test_every_time_of_a_headline_has_its_zone(case: tuple[str, Plan, Forecast, float], zone: str) -> None:
    """As 'Fri 1 May 02:00 UTC' or 'Fri 1 May 04:00 Europe/Oslo (02:00 UTC)', in the large words as in the lines."""
    title, plan, seas, hours = case
    answer = summary.headline(weather_windows(plan, seas, now=after(hours)), Clock(zone))
    assert answer.title.startswith(title)
    found = 0
    for text in (answer.title, *answer.lines):
        rest = text.replace("\\", "")
        while match := TOLD.search(rest):
            rest, found = match[1], found + 1
            assert re.match(r" UTC" if zone == "UTC" else r" Europe/Oslo \([^)]* UTC\)", rest), text
    assert found


def test_a_time_of_another_year_has_its_year() -> None:
    new_year = np.datetime64("2026-12-31T23:30:00", "s")
    assert (
        Clock("Europe/Oslo").both(new_year, START) == "Fri 1 Jan 2027 00:30 Europe/Oslo (Thu 31, 23:30 UTC)"
    )
    assert Clock().both(new_year, START) == Clock().both(new_year) == "Thu 31 Dec 23:30 UTC"


@pytest.mark.parametrize(
    ("held", "line", "cell"),
    [
        (9, "unless it is done by then, begin making safe by **Fri 1 May 07:00 UTC**.", "Fri 1, 07:00"),
        (
            5,
            "begin making safe by **Fri 1 May 03:00 UTC** or finish it: after that it cannot be made safe before its "
            "limits end, Fri 1 May 05:00 UTC.",
            "Fri 1, 03:00, or finish it",
        ),
        (
            4,
            "begin making safe by **Fri 1 May 02:00 UTC** or finish it: after that it cannot be made safe before its "
            "limits end, Fri 1 May 04:00 UTC.",
            "Fri 1, 02:00, or finish it",
        ),
    ],
)
def test_making_safe_before_the_end_of_the_step_is_an_alternative_to_it(
    held: int, line: str, cell: str
) -> None:
    """Four hours of work and two to make safe; the limits hold from now for so many hours."""
    step = drilling(name="Drill", make_safe=2 * HOUR)
    result = weather_windows(plan_of(step), forecast([CALM] * (held + 1) + [ROUGH] * 9))
    answer = summary.headline(result, Clock())
    assert answer.title == "Open now"
    assert f"Drill: {line}" in answer.lines
    assert _cells(result) == (cell, cell)


def test_work_with_no_time_to_make_it_safe_can_only_be_finished() -> None:
    step = drilling(name="Drill", make_safe=6 * HOUR)
    result = weather_windows(plan_of(step), forecast([CALM] * 6 + [ROUGH] * 9))
    assert (
        "Drill: once begun it can only be finished: making safe takes 6\u00a0h and its limits end Fri 1 May 05:00 UTC."
        in summary.headline(result, Clock()).lines
    )
    assert _cells(result) == ("no time for it: finish it",) * 2


def _cells(result: WindowResult) -> tuple[str, str]:
    """By when to begin making safe, in the plan from now on and on the sheet."""
    (row,) = table.plan_table(result, Clock())
    (sheet,) = steps_of(result, Clock())
    assert plain(row["Step"]) == sheet[0]
    return row["Begin making safe by"], sheet[4]
