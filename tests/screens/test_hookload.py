"""Hookload over the job on the screen: the figure as a function, and the panel with its table edited in place."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

import numpy as np
import plotly.graph_objects as go
import pytest
from streamlit.testing.v1 import AppTest

from heave.files.rigs import demo_plan
from heave.judging.checks import OVER
from heave.planning import Plan
from heave.planning.job import HoleInterval, JobHookload, Well, bottom_hole_of, held_against, job_of
from heave.screens.figures.chart import Chart
from heave.screens.figures.hookload import hookload_figure, hookload_words, shown_motions
from heave.screens.figures.look import DARK, LIGHT, Look
from heave.units import show, unit_of

WELL = Well(
    (
        HoleInterval(1200.0),
        HoleInterval(800.0, math.radians(30.0), 0.2, 0.3112),
        HoleInterval(1000.0, math.radians(75.0), 0.35, 0.2159),
    ),
    1.15,
)
PLAN = demo_plan().changed(well=WELL)
JOB = job_of(PLAN)
FORCES = {"metric": 1e3, "oilfield": 4448.2216152605}
LENGTHS = {"metric": 1.0, "oilfield": 0.3048}


def drawn(
    job: JobHookload = JOB, against: Mapping[str, float] | None = None, look: Look = LIGHT, system: str = "metric"
) -> Chart:  # fmt: skip
    return hookload_figure(job, held_against(PLAN) if against is None else against, look, system)


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=lambda look: look.name)
@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_figure_is_one_plotly_accepts_in_the_units_on_the_screen(look: Look, system: str) -> None:
    figure = go.Figure(drawn(look=look, system=system).to_dict())
    assert unit_of("force", system).symbol in figure.layout.xaxis.title.text
    assert unit_of("length", system).symbol in figure.layout.yaxis.title.text
    assert figure.layout.yaxis.autorange == "reversed", "depth goes downwards"
    for trace in drawn(look=look, system=system).data[:4]:
        assert np.max(trace.y) * LENGTHS[system] == pytest.approx(PLAN.string.length)
        assert np.nanmax(trace.x) * FORCES[system] == pytest.approx(JOB.extremes(trace.name).highest)


def test_a_curve_for_each_motion_and_their_ends_marked() -> None:
    figure = drawn()
    names = [trace.name for trace in figure.data]
    assert names == ["running in", "rotating off bottom", "drilling", "pulling out", "highest", "lowest"]
    for trace, high in ((figure.data[4], True), (figure.data[5], False)):
        for place, name in enumerate(names[:4]):
            found = JOB.extremes(name)
            want = (found.highest, found.highest_at) if high else (found.lowest, found.lowest_at)
            assert (trace.x[place] * 1e3, trace.y[place]) == pytest.approx(want)


def test_without_weight_on_bit_drilling_is_no_curve_of_its_own() -> None:
    job = job_of(PLAN.changed(wob=0.0))
    assert shown_motions(job) == ("running in", "rotating off bottom", "pulling out")
    assert [trace.name for trace in drawn(job).data][2:] == ["pulling out", "highest", "lowest"]
    assert "drilling" not in hookload_words(job)


def test_loads_to_compare_with_stand_upright_unless_they_are_far() -> None:
    highest = JOB.extremes("pulling out").highest
    against = {
        "hookload judged": 0.8 * highest,
        "rating near": 1.39 * highest,
        "rating far": 1.41 * highest,
    }
    figure = drawn(against=against)
    assert [note.text for note in figure.layout.annotations] == ["hookload judged", "rating near"]
    places = [shape.x0 * 1e3 for shape in figure.layout.shapes]
    assert places == pytest.approx([0.8 * highest, 1.39 * highest])
    judged, rating = figure.layout.shapes
    assert rating.line.color == LIGHT.fill(OVER)
    assert judged.line.color != rating.line.color
    heights = {note.y for note in figure.layout.annotations}
    assert len(heights) == 2, "words of close lines stand apart"


def test_ratings_are_compared_without_the_weight_of_the_units_own_parts() -> None:
    unit = PLAN.compensator
    against = held_against(PLAN)
    assert against["hookload judged"] == PLAN.hookload
    own = unit.moving_mass * 9.80665
    assert against["rating compensating, less moving parts"] == pytest.approx(unit.compensated_rating - own)
    assert against["rating locked, less moving parts"] == pytest.approx(unit.locked_rating - own)


def test_long_curves_keep_their_extremes_in_few_points() -> None:
    part = PLAN.string.length / 60
    well = Well(tuple(HoleInterval(part * 1.001, 0.02 * place, 0.3) for place in range(60)))
    sections = tuple(
        type(PLAN.string.sections[0])("pipe", part, 0.127, 0.1, 30.0 + place, 9e8) for place in range(60)
    )
    plan = PLAN.changed(well=None).changed(
        string=type(PLAN.string)(sections, 1200.0, handling_mass=1e4), wob=0.0
    )
    job = job_of(plan.changed(well=well))
    assert job.depth.size > 1000
    figure = drawn(job)
    for trace in figure.data[:3]:
        assert len(trace.x) <= 2000
        assert np.max(trace.x) * 1e3 == pytest.approx(job.extremes(trace.name).highest)


def test_the_words_tell_every_curve() -> None:
    told = hookload_words(JOB, "oilfield")
    for motion in shown_motions(JOB):
        assert f"{motion} {show(JOB.extremes(motion).lowest, 'force', 'oilfield')}" in told


PANEL = "from heave.screens.hoisting import hookload\nhookload.panel()\n"


@pytest.fixture
def app() -> AppTest:
    """The panel by itself."""
    page = AppTest.from_string(PANEL, default_timeout=300).run()
    assert not page.exception
    return page


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def well_of(app: AppTest) -> Well:
    well = plan_of(app).well
    assert well is not None
    return well


def press(app: AppTest, key: str) -> None:
    app.button(key=f"heave:well:{key}").click().run()
    assert not app.exception


def type_in(app: AppTest, label: str, text: str) -> None:
    """Put a text into the cell of a column and row, 'Length, 2 (m)', of the table of intervals."""
    column, place, unit = re.fullmatch(r"(.+), (\d+)( \(.+\))?", label).groups()  # type: ignore[union-attr]
    app.session_state[key_of(app)] = {
        "edited_rows": {int(place) - 1: {column + (unit or ""): text}},
        "added_rows": [],
        "deleted_rows": [],
    }
    app.run()
    assert not app.exception


def key_of(app: AppTest) -> str:
    (table,) = app.data_editor
    return str(table.key)


def words_of(app: AppTest) -> str:
    return "\n".join(item.value for kind in (app.markdown, app.caption) for item in kind).replace("\\", "")


def test_a_hole_is_described_edited_and_taken_away(app: AppTest) -> None:
    assert "taken to hang free and vertical" in words_of(app)
    assert "the neutral point is" in words_of(app)
    press(app, "new")
    assert [one.length for one in well_of(app).intervals] == [1200.0, 1780.0]
    type_in(app, "Inclination, 2 (°)", "35")
    type_in(app, "Friction, 2", "0,25")
    type_in(app, "Diameter, 2 (mm)", "215.9")
    type_in(app, "Length, 2 (m)", "1 850,5")
    assert well_of(app).intervals[1] == HoleInterval(1850.5, math.radians(35.0), 0.25, 215.9 * 1e-3)
    press(app, "add")
    assert [one.length for one in well_of(app).intervals] == [1200.0, 1850.5, 100.0]
    assert well_of(app).intervals[2].friction == 0.25
    press(app, "cut:2")
    assert len(well_of(app).intervals) == 2
    assert any("Length of the string" in str(m) for m in _after_cutting(app))
    press(app, "none")
    assert plan_of(app).well is None


def _after_cutting(app: AppTest) -> list[tuple[str, str]]:
    """What is said when an interval that the string reaches is removed; nothing else changes."""
    before = plan_of(app)
    press(app, "cut:1")
    assert plan_of(app) == before
    messages: list[tuple[str, str]] = app.session_state["heave:messages"]
    return messages


def test_wrong_entries_are_refused_under_their_box(app: AppTest) -> None:
    press(app, "new")
    before = well_of(app)
    for label, text, why in (
        ("Inclination, 2 (°)", "120", "to 100"),
        ("Friction, 2", "1.2", "to 1.00"),
        ("Length, 2 (m)", "900", "up to 2100\u00a0m, the whole well"),
        ("Diameter, 2 (mm)", "190", "above 0.2032\u00a0m"),
        ("Length, 1 (m)", "deep", "one number"),
    ):
        type_in(app, label, text)
        assert "**Not taken.**" in words_of(app)
        assert why in words_of(app).replace("\u202f", "").replace("2 100", "2100"), label
        assert well_of(app) == before


def test_the_table_and_the_neutral_point_say_what_is_computed(app: AppTest) -> None:
    app.session_state["heave:plan"] = PLAN
    app.run()
    assert not app.exception
    words = words_of(app)
    found = JOB.extremes("pulling out")
    row = next(line for line in words.split("\n") if line.startswith("| Pulling out"))
    assert show(found.highest, "force", "metric", 4) in row
    assert show(found.highest_at, "length", "metric", 4) in row
    assert row.endswith(f"| {show(found.at_end, 'force', 'metric', 4)} |")
    assert "Pulling out counts beside weight: friction of the well." in words
    assert show(PLAN.job_hookload + PLAN.overpull, "force", "metric", 4) in words
    foot = bottom_hole_of(PLAN)
    assert foot.usable is not None
    assert f"**{show(foot.neutral, 'length', 'metric')}**" in words
    assert f"design factor of 1.15: **{show(foot.usable, 'force', 'metric')}**" in words
    app.session_state["heave:units"] = "oilfield"
    app.run()
    assert show(found.highest, "force", "oilfield", 4) in words_of(app)
    app.session_state["heave:plan"] = PLAN.changed(wob=bottom_hole_of(PLAN).available + 50e3)
    app.run()
    assert "neutral point is above the bottom-hole assembly" in words_of(app)


def test_off_bottom_nothing_is_said_to_stand_on_the_bit(app: AppTest) -> None:
    nothing = "In this operation nothing stands on the bit"
    assert nothing not in words_of(app)
    app.session_state["heave:plan"] = demo_plan().doing("landing")
    app.run()
    assert nothing in words_of(app)
