"""The morning sheet: its numbers are those of the search, its text cannot break out, one page holds it."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from html import escape
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.judging import CHECK_NAMES, NOT_ASSESSED, OVER, WITHIN, assess
from heave.planning import Campaign, Operation, OperationStep, Plan
from heave.planning.task import Task, plan_for
from heave.screens.check.tiles import tile_texts
from heave.screens.figures.two_days import two_days_figure
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import JOINER, plain
from heave.screens.printing import marked
from heave.screens.weather import store, summary
from heave.screens.weather.changes import AHEAD, changes, coming
from heave.screens.weather.clock import Clock
from heave.screens.weather.sheet import Sheet, _chance, sheet_of, worst_sample
from heave.screens.weather.sheet_html import html_of
from heave.screens.weather.sheet_steps import UNKNOWN
from heave.screens.weather.table import pieces_table
from heave.sea import SeaBatch
from heave.weather import EnsembleResult, Forecast, WindowResult, weather_windows
from heave.weather.schedule import pieces_of

HOUR = np.timedelta64(1, "h")
HOSTILE = '<img src=x onerror="alert(1)">&</style><script>'


def made(
    plan: Plan | None = None, forecast: Forecast | None = None, now: Any = None
) -> tuple[WindowResult, Sheet]:
    """A search and its sheet, the settings of its worst hour."""
    asked = plan or demo_plan()
    result = weather_windows(asked, forecast or store.sample().forecast, now=now)
    worst = []
    for place, step in enumerate(result.campaign.steps):
        sea = replace(result.forecast.sea_state(worst_sample(result, place)), depth=asked.sea.depth)
        worst.append(assess(plan_for(asked, Task.of(step, asked)).changed(sea=sea)))
    return result, sheet_of(result, Clock(), "metric", worst)


def well(count: int = 5) -> Plan:
    """The demo plan with a campaign of `count` steps."""
    plan, kinds = demo_plan(), ("drilling", "tripping", "casing", "landing")
    steps = tuple(
        OperationStep(
            plan.doing(kinds[at % 4]).operation,
            name=f"Step {at} of the well",
            interruptible=True,
            contingency=3600.0,
        )
        for at in range(count)
    )
    return plan.changed(weather=plan.weather.but(campaign=Campaign(steps)))


def test_every_hour_is_told_with_its_own_numbers() -> None:
    result, sheet = made()
    assert len(sheet.hours) == AHEAD
    table = result.steps[0].reduced
    for at, hour in enumerate(sheet.hours):
        told = dict(zip(sheet.hours_head, hour.cells, strict=True))
        assert told["Hs m"] == f"{result.forecast.batch.hs[at]:.1f}"
        assert told["Used"] == utilisation_text(float(table.governing[at]))
        assert told["Governs"] == CHECK_NAMES[table.keys[int(table.governed_by[at])]]
        assert told["Heave m"] == f"{4 * table.heave_sigma[at]:.1f}" or result.alpha.applied
        assert hour.state == table.verdicts(result.plan.caution_level)[at]


def test_of_samples_ten_minutes_apart_the_worst_of_each_hour_is_told() -> None:
    sample = store.sample().forecast
    many = 6 * AHEAD + 1
    rows = np.zeros(many, dtype=int)
    rows[15] = int(np.argmax(sample.batch.hs))  # one high sea, in the third hour
    close = replace(
        sample,
        times=sample.times[0] + np.arange(many) * np.timedelta64(600, "s"),
        batch=_rows(sample.batch, rows),
        step=600.0,
        gap_after=np.zeros(many - 1, dtype=bool),
        wind_speed=None,
        wind_direction_from=None,
    )
    result, sheet = made(forecast=close)
    assert len(sheet.hours) == AHEAD
    worst = float(result.steps[0].reduced.governing[15])
    assert worst > 1
    assert [hour.state == OVER for hour in sheet.hours] == [at == 2 for at in range(AHEAD)]
    assert utilisation_text(worst) in sheet.hours[2].cells
    assert worst_sample(result) == 15


def _rows(batch: SeaBatch, rows: Any) -> SeaBatch:
    slots = []
    for slot in batch.slots:
        moved = {name: getattr(slot, name)[rows] for name in ("hs", "tp", "direction_from")}
        slots.append(replace(slot, **moved))
    return replace(batch, slots=tuple(slots))


def test_an_hour_whose_sea_is_missing_says_so() -> None:
    sample = store.sample().forecast
    holes = np.zeros(sample.size)
    holes[3] = np.nan
    slots = tuple(replace(slot, hs=slot.hs + holes) for slot in sample.batch.slots)
    _, sheet = made(forecast=replace(sample, batch=replace(sample.batch, slots=slots)))
    told = dict(zip(sheet.hours_head, sheet.hours[3].cells, strict=True))
    assert told["Hs m"] == told["Tp s"] == told["Used"] == UNKNOWN
    assert sheet.hours[3].state == NOT_ASSESSED


def test_the_sheet_starts_at_the_present_hour_and_past_windows_are_not_told() -> None:
    sample = store.sample().forecast
    now = sample.times[0] + 30 * HOUR
    result, sheet = made(now=str(now))
    assert sheet.hours[0].cells[0] == Clock().brief(now)
    assert int(coming(result)[0]) == 30
    assert all(window.latest_start >= now for window in summary.ahead(result))


def test_the_settings_are_those_of_the_check_page_in_the_worst_hour() -> None:
    result, sheet = made()
    place = worst_sample(result)
    assert place == int(np.nanargmax(result.steps[0].reduced.governing[coming(result)]))
    sea = replace(result.forecast.sea_state(place), depth=result.plan.sea.depth)
    assert sheet.settings == tuple(tile_texts(assess(result.plan.changed(sea=sea)), "metric"))


def test_later_steps_tell_their_own_settings_those_alike_together() -> None:
    """Two steps of one string share a pressure; a third with a lighter hook has its own; tripping has none."""
    plan = demo_plan()
    drill = OperationStep(plan.doing("drilling").operation, interruptible=True, contingency=0.0)
    trip = replace(drill, operation=plan.doing("tripping").operation)
    light = replace(drill, hookload=0.6 * plan.hookload)
    steps = (drill, trip, drill, light, trip)
    asked = plan.changed(weather=plan.weather.but(campaign=Campaign(steps)))
    _, sheet = made(asked)
    pressure = next(figure for title, figure, _ in sheet.settings if title.startswith("Set pressure"))
    assert len(sheet.later) == 3
    nothing, third, fourth = sheet.later
    assert nothing == "Steps 2, 5: nothing to set, or not known"
    assert third.startswith("Step 3: ")
    assert pressure in third
    assert fourth.startswith("Step 4: ")
    assert pressure not in fourth


def test_where_no_setting_can_be_told_it_says_why() -> None:
    result, _ = made()
    sheet = sheet_of(result, Clock(), "metric", [InputError("sea state", "missing", None, "a sea")])
    assert sheet.settings == ()
    assert any("No settings: sea state" in line for line in sheet.sure)


def test_each_hour_of_a_well_plan_is_of_the_step_under_way() -> None:
    result, sheet = made(well())
    schedule = result.schedule
    for place, hour in zip(coming(result), sheet.hours, strict=True):
        when = result.forecast.times[place]
        step = max((at for at, row in enumerate(schedule) if row.start <= when), default=0)
        told = dict(zip(sheet.hours_head, hour.cells, strict=True))
        assert told["Step"] == str(step + 1)
        assert told["Used"] == utilisation_text(float(result.steps[step].reduced.governing[place]))


@pytest.mark.parametrize("later", [-6, 0, 9])
def test_it_says_how_far_the_window_moved(later: int) -> None:
    sample = store.sample().forecast
    now = sample.times[60]  # a storm stands before the next window
    moved = replace(sample, times=sample.times + later * HOUR)
    before, after = (weather_windows(demo_plan(), one, now=str(now)) for one in (sample, moved))
    assert summary.ahead(before)[0].start > now + 9 * HOUR
    words = " ".join(changes(before, after, Clock(), "metric"))
    expected = {-6: "6 h earlier", 0: "as before", 9: "9 h later"}[later].replace(" h", "\u00a0h")
    assert words.count(expected) == 3
    assert f"Against {sample.name}:" in words


def test_a_window_that_is_gone_or_new_is_said() -> None:
    sample = store.sample().forecast
    rough = replace(
        sample, batch=sample.batch.times(20.0 / max(slot.hs.max() for slot in sample.batch.slots))
    )
    with_window, without = (weather_windows(demo_plan(), one) for one in (sample, rough))
    assert without.windows == ()
    assert any("is gone" in line for line in changes(with_window, without, Clock(), "metric"))
    assert any("There was no window" in line for line in changes(without, with_window, Clock(), "metric"))
    assert any("No window, as before" in line for line in changes(without, without, Clock(), "metric"))
    assert changes(None, with_window, Clock(), "metric") == ("No earlier forecast in this session.",)


def test_no_text_of_anyone_becomes_markup_and_nothing_is_asked_of_a_network() -> None:
    plan = well(2)
    first, *others = plan.campaign.steps
    campaign = replace(plan.campaign, steps=(replace(first, name=HOSTILE), *others))
    plan = plan.changed(name=HOSTILE, weather=plan.weather.but(campaign=campaign))
    text = html_of(made(plan, replace(store.sample().forecast, name=HOSTILE))[1])
    assert "<img" not in text
    assert text.count("<script>") == text.count("</style>") == 1
    assert escape(HOSTILE) in text
    tags = " ".join(re.findall(r"<[^>]+>", text))
    assert not re.search(r"""https?:|//|src=|href="(?!#)|url\((?!#)|\bon[a-z]+=""", tags)
    assert "@import" not in text


@given(st.text(st.characters(exclude_characters=JOINER), max_size=60))
def test_escapes_of_the_page_are_read_back(words: str) -> None:
    assert marked(plain(words)) == escape(words)
    assert marked(f"a **{plain(words)}** b") == f"a <b>{escape(words)}</b> b"


def test_the_picture_breaks_where_the_sea_is_not_known_and_joins_like_neighbours() -> None:
    begin = np.arange(6.0)
    heights = np.array([1.0, 2.0, np.nan, 3.0, 2.0, 1.0])
    states = [WITHIN, WITHIN, NOT_ASSESSED, OVER, OVER, WITHIN]
    svg = two_days_figure(
        begin, begin + 1, [("Hs", heights, "m")], [("A", states)], [(0, 1)], [], 6.0, "words"
    )
    (path,) = re.findall(r'<path d="([^"]+)" fill="none"', svg)
    assert path.count("M") == 2
    assert path.count("L") == 1 + 2
    assert svg.count("url(#bars)") == 1
    assert svg.count('height="9"') == 2 * 4  # four runs of one state, each a box and what tells it apart
    assert ">3.0 m<" in svg


def test_the_wind_stands_on_the_sheet_with_its_angle_off_the_bow() -> None:
    sample = store.sample().forecast
    assert isinstance(sample, Forecast)
    way = np.full(sample.size, 250.0)
    way[2] = np.nan
    plan = demo_plan()
    result, sheet = made(forecast=replace(sample, wind_direction_from=way))
    off = (250.0 - plan.heading + 180) % 360 - 180
    cells = [dict(zip(sheet.hours_head, hour.cells, strict=True)) for hour in sheet.hours]
    assert cells[0]["Wind from °"] == "250"
    assert cells[0]["Off bow °"] == f"{abs(off):.0f} {'S' if off > 0 else 'P'}"
    assert cells[2]["Wind from °"] == cells[2]["Off bow °"] == UNKNOWN
    assert "wind, bow up" in sheet.picture
    turned = re.findall(r"rotate\((\d+)\)", sheet.picture.partition("wind, bow up")[2])
    assert len(turned) == AHEAD // 3
    assert set(turned) == {f"{(off + 180) % 360:.0f}"}
    assert "bow up" in sheet.legend
    assert np.isnan(result.forecast.wind_direction_from).sum() == 1  # type: ignore[arg-type]


def test_where_the_bow_turns_it_stands_beside_the_angle() -> None:
    sample, plan = store.sample().forecast, demo_plan()
    assert isinstance(sample, Forecast)
    free = plan.changed(weather=plan.weather.but(heading="best"))
    result, sheet = made(free, sample, now=str(sample.times[0] + 130 * HOUR))
    told = [dict(zip(sheet.hours_head, hour.cells, strict=True)) for hour in sheet.hours]
    assert "Wind from °" not in sheet.hours_head
    assert len({cells["Bow °"] for cells in told}) > 1
    for place, cells in zip(coming(result), told, strict=False):
        angle, _, side = cells["Off bow °"].partition(" ")
        wind = float(cells["Bow °"]) + float(angle) * (-1 if side == "P" else 1)
        assert abs((wind - result.forecast.wind_direction_from[place] + 180) % 360 - 180) <= 1  # type: ignore[index]


def test_without_a_wind_direction_the_sheet_has_no_column_for_it() -> None:
    sample = store.sample().forecast
    assert isinstance(sample, Forecast)
    _, sheet = made(forecast=replace(sample, wind_direction_from=None))
    assert not any("bow" in name for name in sheet.hours_head)
    assert "bow up" not in sheet.picture + sheet.legend


def in_pieces() -> tuple[Plan, Forecast]:
    """Drilling of 90 h that can be stopped, in a forecast whose gales leave no such time."""
    plan, sample = demo_plan(), store.sample().forecast
    assert isinstance(sample, Forecast)
    drilling = replace(plan.doing("drilling").operation, duration=90 * 3600.0)
    step = OperationStep(drilling, interruptible=True, make_safe=3600.0, contingency=0.0)
    waits = replace(step, waits_in=Operation(kind="waiting", heave_limit=30.0))
    campaign = Campaign((waits,), longest_wait=20 * 86400.0)
    return plan.changed(weather=plan.weather.but(campaign=campaign)), sample


def test_work_in_pieces_stands_with_what_must_confirm_each() -> None:
    plan, sample = in_pieces()
    result, sheet = made(plan, sample)
    assert not result.schedule
    pieces = pieces_of(plan, sample, result.campaign, result.work[0])
    assert len(pieces) > 1
    clock = Clock()
    for number, (piece, row) in enumerate(zip(pieces, sheet.steps, strict=True), 1):
        assert row[0] == f"Drilling ahead, piece {number}"
        assert row[1:3] == (clock.brief(piece.start), clock.brief(piece.end))
        told = "this forecast" if piece.confirm is None else clock.brief(piece.confirm)
        assert told in row[5]
    assert pieces[0].confirm is None
    assert pieces[-1].confirm is not None
    title = summary.headline(result, clock)
    assert title.title == "In pieces only"
    first = next(piece for piece in pieces if piece.confirm is not None)
    assert any(clock.both(first.confirm) in line and "must confirm it" in line for line in title.lines)  # type: ignore[arg-type]
    rows = pieces_table(result, clock)
    assert [row["Work"] for row in rows] == ["Drilling ahead"] * len(pieces)
    assert [row["Ahead, h"] for row in rows] == [f"{piece.lead / 3600:.4g}" for piece in pieces]
    assert rows[0]["Confirmed by"] == "this forecast"
    assert rows[-1]["Confirmed by"] == f"issue of {clock.brief(pieces[-1].confirm)} on"  # type: ignore[arg-type]
    assert rows[0]["Way"] == "1"


def test_answer_and_sheet_say_what_of_the_hoisting_path_nobody_judged() -> None:
    """Nothing where all of it is rated; a path that is missing, or a part of it, once for all steps."""
    whole = well()
    result, sheet = made(whole)
    assert summary.unjudged(result) == ()
    for path, words in (
        (None, "Nothing of the hoisting path is judged"),
        (replace(whole.hoisting, hook_rating=None), "no rating or height given: hook."),
    ):
        result, sheet = made(whole.changed(hoisting=path))
        (said,) = summary.unjudged(result)
        assert words in said
        assert plain(said) in summary.headline(result, Clock()).lines
        assert said in sheet.elsewhere


def test_members_that_can_start_are_those_of_the_hour_itself() -> None:
    """Between two times of the forecast too; outside of it those of its nearer end."""
    start = np.datetime64("2026-05-01T00:00")
    starts = (np.array([[0.0, 9000.0]]), np.array([[10800.0, 36000.0]]))
    forecast = SimpleNamespace(times=start + np.arange(11) * HOUR, members=(None, None))
    counted: Any = SimpleNamespace(ensemble=forecast, starts=starts)
    counted.members_at = partial(EnsembleResult.members_at, counted)
    told = []
    for minutes in (-90, 150, 165, 180, 700):
        asked: Any = SimpleNamespace(outlook=SimpleNamespace(now=start + np.timedelta64(minutes, "m")))
        told.append(_chance(counted, asked, Clock()))
    at = (
        "Fri 1, 00:00 in 1",
        "Fri 1, 02:30 in 1",
        "Fri 1, 02:45 in 0",
        "Fri 1, 03:00 in 1",
        "Fri 1, 10:00 in 1",
    )
    assert told == [f"Can start at {words} of 2 members." for words in at]
