"""The page of operating limits: what it says is what the limits are, and nothing passes that was not judged."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import plotly.graph_objects as go
import pytest
from streamlit.testing.v1 import AppTest

import heave
from heave.files.plan import plan_to_json
from heave.files.rigs import demo_plan
from heave.files.seals import text_hash
from heave.judging import NEAR, NOT_ASSESSED, OVER, LimitingSea
from heave.judging.limit_card import limit_card
from heave.judging.limit_curves import growths, highest_sea, letters_of, limits_of
from heave.planning import MODEL_VERSION, OPERATIONS, Plan, Record
from heave.screens.check.verdict import lowered
from heave.screens.figures.limit_lines import (
    Curve,
    limit_figure,
    limit_words,
    operations_figure,
    operations_words,
    runs,
)
from heave.screens.figures.limit_polar import off_words, polar_figure, polar_words
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.limits import kept_limits, table, words
from heave.screens.limits.card import Card, card_of
from heave.screens.limits.card_html import fit, html_of
from heave.sea import MeasuredSpectrum, SeaState

Words = Callable[[], str]
PAGE = "heave/screens/limits/page.py"


def opened(app: AppTest, plan: Plan | None = None) -> AppTest:
    if plan is not None:
        app.session_state["heave:plan"] = plan
    app.switch_page(PAGE).run()
    assert not app.exception
    return app


def test_it_says_the_limit_of_the_plan(app: AppTest, words: Words) -> None:
    plan = demo_plan()
    limit = heave.limiting_sea(plan)
    opened(app)
    page = words()
    assert f"Hs {lowered(limit.hs, 'metric')}" in page
    assert f"{str(limit.governing)[1:]} reaches 1" in page
    assert "below the limit" in page
    assert "on the checks judged" in page
    assert "near a limit" in page
    assert (
        "blow of the bit coming back is over however low these waves are" in page
    )  # at the worst ends of the ranges
    for caution in heave.assess(plan).cautions:
        assert caution in page


def test_what_grows_is_picked_and_stays(app: AppTest, words: Words) -> None:
    opened(app)
    way = growths(demo_plan())[-1].words
    app.selectbox(key="heave:limits:growth").set_value(way).run()
    assert not app.exception
    assert f"Hs {lowered(heave.limiting_sea(demo_plan(), system=None).hs, 'metric')}" in words()
    app.selectbox(key="heave:limits:growth").set_value(growths(demo_plan())[2].words).run()
    assert "The plan's sea without its other waves has Hs 2.80" in words()
    app.selectbox(key="heave:limits:growth").set_value(way).run()
    assert "The plan's own sea has Hs 3.13" in words()
    app.switch_page("heave/screens/check/page.py").run()
    opened(app)
    assert app.selectbox(key="heave:limits:growth").value == way


def test_not_assessed_stands_in_the_headline(app: AppTest, words: Words) -> None:
    opened(app, demo_plan().changed(procedures=()).doing("casing"))
    page = words()
    assert "[Not assessed]" in page
    assert "needs the rig's heave limit for running casing" in page
    assert "No height is a limit until then" in page
    assert "below the limit" not in page


@pytest.mark.parametrize(
    "sea",
    [
        SeaState.single(2.0, 9.0, 200.0),
        SeaState((replace(demo_plan().sea.systems[0], period=None, shape="ochi-hubble"),)),
        SeaState(
            measured=MeasuredSpectrum(
                (0.08, 0.1, 0.12), (0.02, 0.02, 0.02), (8.0, 12.0, 6.0), direction_from=200.0
            )
        ),
    ],
    ids=["one system", "period by height", "measured"],
)
def test_every_sort_of_sea_has_its_limits(app: AppTest, words: Words, sea: SeaState) -> None:
    plan = demo_plan().changed(sea=replace(sea, depth=1200.0))
    opened(app, plan)
    assert len(growths(plan)) == 1
    limit = limits_of(plan, growths(plan)[0]).at(0, 0)
    assert f"Hs {lowered(limit.hs, 'metric')}" in words()
    rows = list(csv.DictReader(io.StringIO(table.map_csv(plan, growths(plan)[0]))))
    assert len(rows) == 36 * max(len(kept_limits.whole(plan, growths(plan)[0]).periods), 1)


@pytest.mark.parametrize("kind", sorted(OPERATIONS))
def test_every_operation_opens_in_oilfield_units(app: AppTest, words: Words, kind: str) -> None:
    app.session_state["heave:units"] = "oilfield"
    opened(app, demo_plan().doing(kind))  # type: ignore[arg-type]
    assert "ft" in words()


def a_limit(hs: float, governing: str | None = "Stroke") -> LimitingSea:
    return LimitingSea(hs, governing, 10.0, 200.0, 3.0 if math.isnan(hs) else hs)


def test_the_large_word() -> None:
    result = heave.assess(demo_plan())
    over = heave.assess(demo_plan().changed(sea=demo_plan().sea.with_primary(hs=9.0)))
    assert words.answer(result, a_limit(4.0), 2.8, 9.0, "metric") == (NEAR, "Hs 1.2\u00a0m below the limit")
    # never more room than there is: 2.19 m are not 2.2 m
    assert words.answer(result, a_limit(4.99), 2.8, 9.0, "metric")[1] == "Hs 2.1\u00a0m below the limit"
    assert words.answer(over, a_limit(4.0), 9.0, 9.5, "metric") == (OVER, "Hs 5.0\u00a0m over the limit")
    assert words.answer(result, a_limit(9.4), 2.8, 9.0, "metric") == (NEAR, "No limit in any possible sea")
    assert (
        words.answer(result, a_limit(math.inf, None), 2.8, 9.0, "metric")[1] == "No limit in any possible sea"
    )
    assert words.answer(over, a_limit(0.0), 2.8, 9.0, "metric") == (OVER, "Over a limit at any height")
    assert words.answer(result, a_limit(math.nan), 2.8, 9.0, "metric") == (NOT_ASSESSED, "Not assessed")
    # over on what could be made is over, whatever is missing
    assert words.answer(over, a_limit(math.nan), 2.8, 9.0, "metric") == (OVER, "Over a limit")
    # utilisation rose and fell again: a sea below this one is over
    assert words.answer(result, a_limit(2.0), 2.8, 9.0, "metric") == (NEAR, "A lower sea is over a limit")
    # no room that reads as none, and never a limit that reads lower than the sea within it
    assert (
        words.answer(result, a_limit(2.85), 2.8, 9.0, "metric")[1] == "Less than 0.1\u00a0m below the limit"
    )
    assert words.answer(result, a_limit(2.85), 2.8, 9.0, "oilfield")[1] == "Hs 0.1\u00a0ft below the limit"
    line = words.lines(result, a_limit(2.879), a_limit(2.8715), growths(result.plan)[0], 2.87, 9.0, "metric")
    assert "**Hs 2.87\u00a0m, where" in line
    assert "Hs 2.871\u00a0m, where" not in line
    assert "with all that is not known at its worst: Hs 2.87\u00a0m" in line.lower().replace("hs", "Hs")


def test_no_limit_is_told_up_to_what_was_tried() -> None:
    """Seas of long periods can be higher than the highest that is tried, and so can the sea of a plan."""
    result = heave.assess(demo_plan())
    over = heave.assess(demo_plan().changed(sea=demo_plan().sea.with_primary(hs=9.0)))
    none, growth = a_limit(math.inf, None), growths(demo_plan())[0]
    assert words.answer(result, none, 2.8, 33.0, "metric") == (NEAR, "No limit up to Hs 20.0\u00a0m")
    assert words.answer(over, none, 22.0, 33.0, "metric") == (OVER, "Over a limit")
    told = words.lines(result, none, none, growth, 2.8, 33.0, "metric")
    assert "no check reaches its limit up to Hs 20.0\u00a0m, the highest sea tried." in told
    assert "no limit up to there either" in told
    possible = words.lines(result, none, none, growth, 2.8, 9.0, "metric")
    assert "up to Hs 9.00\u00a0m, the steepest sea of that period that can be." in possible


def test_a_measured_sea_without_a_limit(app: AppTest, words: Words) -> None:
    """It has no steepest sea, and no limit up to the highest tried."""
    plan = demo_plan()
    ripple = MeasuredSpectrum((0.28, 0.3, 0.32), (0.02, 0.02, 0.02), (8.0, 12.0, 6.0), direction_from=200.0)
    strong = replace(plan.compensator, compensated_rating=2e7, locked_rating=2e7)
    waits = replace(plan.doing("waiting").operation, heave_limit=30.0, hs_limits=())
    calm = plan.changed(
        sea=replace(plan.sea, systems=(), measured=ripple), compensator=strong, operation=waits, hoisting=None
    )
    assert math.isinf(limits_of(calm, growths(calm)[0]).at(0, 0).hs)
    opened(app, calm)
    assert "No limit up to Hs 20.0\u00a0m" in words()


def curve_of(plan: Plan, way: int) -> tuple[Curve, dict[str, str]]:
    along = kept_limits.over_period(plan, growths(plan)[way])
    assert along is not None
    return along, letters_of(along.planned)


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=lambda look: look.name)
@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_curve_is_drawn_where_the_limits_are(look: object, system: str) -> None:
    plan = demo_plan().doing("casing")
    curve, letters = curve_of(plan, 2)
    factor = 1.0 if system == "metric" else 0.3048
    at = kept_limits.own_place(plan, growths(plan)[2])
    drawn = limit_figure(curve, letters, look, system, across="peak period", up="Hs", at=at)  # type: ignore[arg-type]
    go.Figure(drawn.to_dict())  # Plotly's own rules hold
    traces = {trace.name: trace for trace in drawn.data if trace.name}
    there = np.isfinite(curve.hs) & (curve.hs <= curve.highest)
    line = np.asarray(traces["limit, planned values"].y, dtype=float)
    assert line[there] == pytest.approx(curve.hs[there] / factor)
    assert np.isnan(line[~there]).all()
    marked = {key for key, ok in zip(curve.keys, there, strict=True) if ok}
    symbols = {traces[f"{letters[key]} {curve.names[key]}"].marker.symbol for key in marked}
    assert len(symbols) == len(marked) >= 2  # by mark and letter, not by colour
    assert {note.text for note in drawn.layout.annotations} == {letters[key] for key in marked}
    mine = traces["the plan's own sea"]
    assert (mine.x[0], mine.y[0]) == pytest.approx((at[0], at[1] / factor))
    said = limit_words(curve, at, system)
    assert all(curve.names[key] in said for key in marked)
    assert runs(("a", "a", "", "b", "a")) == [("a", 0, 2), ("b", 3, 4), ("a", 4, 5)]


def test_a_curve_that_is_not_assessed_has_no_line() -> None:
    plan = demo_plan().changed(procedures=()).doing("casing")
    curve, letters = curve_of(plan, 2)
    drawn = limit_figure(curve, letters, LIGHT, "metric", across="peak period", up="Hs", at=(9.0, 2.0))
    for trace in drawn.data:
        if trace.name in ("limit, planned values", "limit, worst ends of the ranges"):
            assert np.isnan(np.asarray(trace.y, dtype=float)).all()
        if trace.fillcolor and not trace.name:
            assert np.asarray(trace.y, dtype=float).max() == 0.0
    assert not drawn.layout.annotations
    around = kept_limits.around(plan, growths(plan)[2])
    ring = polar_figure(around, letters, LIGHT, "metric", (5.0, 2.0))
    limit = next(trace for trace in ring.data if trace.name == "limit, planned values")
    assert max(limit.r) == 0.0


def test_the_polar_has_waves_from_starboard_on_its_right() -> None:
    plan = demo_plan()
    growth = growths(plan)[2]
    along = kept_limits.around(plan, growth)
    angle = kept_limits.own_angle(plan, growth)
    assert angle == pytest.approx(5.0)  # from 225° on a heading of 220°
    drawn = polar_figure(along, letters_of(along.planned), LIGHT, "metric", (angle, 2.8))
    go.Figure(drawn.to_dict())
    axis = drawn.layout.polar.angularaxis
    assert (axis.rotation, axis.direction) == (90, "clockwise")
    assert dict(zip(axis.tickvals, axis.ticktext, strict=True))[90] == "90 S"
    limit = next(trace for trace in drawn.data if trace.name == "limit, planned values")
    place = list(along.x).index(90.0)
    one = heave.limiting_sea(plan.changed(sea=growth.sea(plan.sea)), heading=135.0)
    assert limit.r[place] == pytest.approx(one.hs, rel=3e-4)
    assert off_words(90.0) == "from 90° to starboard of the bow"
    assert off_words(270.0) == "from 90° to port of the bow"
    assert (off_words(0.0), off_words(180.0)) == ("from ahead", "from astern")
    assert "from 5° to starboard" in polar_words(along, (angle, 2.8), "metric")


def test_operations_stand_on_one_axis_and_those_without_a_line_are_told() -> None:
    plan = demo_plan()
    growth = growths(plan)[2]
    answers = kept_limits.by_operation(plan, growth)
    limits = {OPERATIONS[kind].label: one.hs[:, 0] for kind, one in answers.items()}  # type: ignore[index,union-attr]
    periods = answers["drilling"].periods  # type: ignore[union-attr]
    highest = highest_sea(plan, growth, periods)
    drawn = operations_figure(periods, limits, "Drilling ahead", highest, LIGHT, "metric")
    go.Figure(drawn.to_dict())
    assert {trace.name for trace in drawn.data} >= set(limits)
    widths = {trace.name: trace.line.width for trace in drawn.data if trace.name in limits}
    assert max(widths, key=lambda name: widths[name]) == "Drilling ahead"
    bare = plan.changed(procedures=())
    said = words.left_out(kept_limits.by_operation(bare, growth), bare)
    assert "**Running casing**: not assessed, needs the rig's heave limit" in said.replace("\\", "")
    unknown = {OPERATIONS[k].label: v.hs[:, 0] for k, v in kept_limits.by_operation(bare, growth).items()}  # type: ignore[index,union-attr]
    assert "Running casing not assessed" in operations_words(unknown, "metric")


def test_the_file_of_the_map_has_every_cell_and_its_state() -> None:
    plan = demo_plan().changed(procedures=()).doing("casing")
    growth = growths(plan)[2]
    rows = list(csv.DictReader(io.StringIO(table.map_csv(plan, growth))))
    assert len(rows) == 40 * 36
    assert tuple(rows[0]) == table.HEAD
    assert {row["state"] for row in rows} == {"not assessed"}
    assert not any(row["hs_limit_m"] for row in rows)
    assert not any(row["governing"] or row["governing_worst"] for row in rows)
    whole = demo_plan()
    judged = list(csv.DictReader(io.StringIO(table.map_csv(whole, growths(whole)[0]))))
    map_ = kept_limits.whole(whole, growths(whole)[0])
    for place, row in enumerate(judged):
        hs = float(map_.hs.ravel()[place])
        assert row["state"] == (
            "no limit" if math.isinf(hs) else "limit" if hs else "none, over at any height"
        )
        if row["hs_limit_m"]:
            assert hs - 0.0101 < float(row["hs_limit_m"]) <= hs + 1e-9


def a_card(plan: Plan, way: int = 2, revision: str = "C", author: str = "someone") -> Card:
    plan = plan.changed(record=Record(revision=revision, prepared_by=author))
    limits = limit_card(plan, growths(plan)[way], (8.0, 12.0))
    return card_of(limits, heave.assess(plan), letters_of(limits.planned), "metric", "2026-11-26")


def test_the_card_says_what_it_holds_for() -> None:
    plan = demo_plan()
    card = a_card(plan)
    text = re.sub(r"<[^>]+>", " ", html_of(card)).replace("\u00a0", " ")
    for part in (
        "Limit card: drilling ahead",
        "wind sea alone, no swell",
        "Where the sea has other waves as well, this card does not hold",
        "Hookload 1\u202f364 kN, WOB 180 kN",
        "mud 1\u202f200 kg/m³",
        "Set pressure, gauge",
        "Heave response of the vessel ± 10 %",
        "jonswap spectrum",
        "Revision C · issued 2026-11-26 by someone",
        text_hash(plan_to_json(plan.changed(record=Record(revision="C", prepared_by="someone")))),
        f"Model {MODEL_VERSION}",
        "rounded down to 0.1 m",
        "riser",
        "A planning aid",
    ):
        assert part in text, part
    letters = {cell.letter for _, cells, _ in card.rows for cell in cells if cell.letter}
    assert letters == {letter for letter, _ in card.legend}
    beside = a_card(plan, 0)
    assert any("swell: gaussian-swell" in line and "Hs 1.40" in line for line in beside.valid)
    assert "S to starboard" in beside.reading


def test_a_card_that_is_not_assessed_says_so_across_it() -> None:
    card = a_card(demo_plan().changed(procedures=()).doing("casing"))
    assert "needs the rig's heave limit" in card.missing
    assert {cell.limit for _, cells, _ in card.rows for cell in cells} == {"?"}
    assert "Not assessed: needs the rig" in html_of(card)


def test_a_card_asks_for_nothing_and_escapes_what_was_typed() -> None:
    page = html_of(a_card(demo_plan().changed(name="<script>alert(1)</script>"), revision="<b>", author="&"))
    assert "<script>alert" not in page
    assert "Revision &lt;b&gt;" in page
    assert not re.search(r"(?:src|href)=\"(?!#)", page)
    assert "http" not in page.replace("http-equiv", "")
    assert 0.5 <= fit(a_card(demo_plan())) <= 1.0


@pytest.mark.parametrize("way", range(5))
def test_the_map_is_saved_where_the_height_of_a_system_sets_its_period(way: int) -> None:
    plan = demo_plan()
    first, second = plan.sea.systems
    held = replace(second, shape="ochi-hubble", period=None, gamma=None)
    plan = plan.changed(sea=replace(plan.sea, systems=(first, held)))
    growth = growths(plan)[way]
    rows = list(csv.DictReader(io.StringIO(table.map_csv(plan, growth))))
    periods = kept_limits.whole(plan, growth).periods
    assert len(rows) == 36 * len(periods)
    assert (len(periods) == 1) == (growth.system == 1)


def test_the_card_says_what_the_other_waves_do() -> None:
    plan = demo_plan()
    first, second = plan.sea.systems
    turn = (second.direction_from - first.direction_from) % 360
    for growth in growths(plan)[:1] + growths(plan)[-1:]:
        card = limit_card(plan, growth, (9.0,))
        made = card_of(card, heave.assess(plan), letters_of(card.planned), "metric", "2027-01-01")
        sea = made.valid[1]
        assert f"from {turn:.0f}" in sea
        assert f"clockwise of the {first.label}" in sea
        together = growth.system is None
        assert (f"Hs {100 * second.hs / plan.sea.hs:.3g}\u00a0% of the whole" in sea) == together
        assert (f"Hs {second.hs:g}" in sea) != together
