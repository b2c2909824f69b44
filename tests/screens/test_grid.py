"""A table edited in place: every refusal by row and column, all edits or none, and what was typed survives."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

import heave
from heave.planning import LineJob, LineWork, Plan
from heave.planning.rig import collar
from heave.units import to_si

PAGE = """
from heave.planning import rig
from heave.screens import grid, state
from heave.screens.hoisting import ledger
from heave.screens.rig import parts
grid.draw("sections", state.plan().string.sections, parts._SECTION, rig.with_sections)
if state.plan().line_work:
    grid.draw("jobs", state.plan().line_work.jobs, ledger._JOB, ledger._with_jobs)
"""
Page = Callable[[], AppTest]


@pytest.fixture
def app() -> AppTest:
    """Both tables on a page of their own."""
    page = AppTest.from_string(PAGE, default_timeout=300).run()
    assert not page.exception
    return page


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def put(app: AppTest, cells: dict[int, dict[str, Any]], table: int = 0) -> None:
    """Leave edits in a table as the browser sends them: by row from 0 and column."""
    key = app.data_editor[table].key
    assert key is not None
    app.session_state[key] = {"edited_rows": cells, "added_rows": [], "deleted_rows": []}
    app.run()
    assert not app.exception


def said(app: AppTest) -> list[str]:
    """What is said beside the tables; what stands in them is printed from a table of its own."""
    return [item.value.replace("\\", "") for item in app.markdown if not item.value.startswith("| ")]


def test_cells_are_what_the_boxes_would_show_and_edits_are_taken_together(app: AppTest) -> None:
    shown, sections = app.data_editor[0].value, plan_of(app).string.sections
    assert list(shown["Row"]) == [str(place + 1) for place in range(len(sections))]
    assert list(shown["Section"]) == [one.name for one in sections]
    assert list(shown["Length (m)"]) == [f"{one.length:g}" for one in sections]
    put(app, {0: {"Length (m)": "1 234,5", "Section": "new pipe"}, 1: {"Outside (mm)": "166"}})
    after = plan_of(app).string.sections
    assert (after[0].name, after[0].length) == ("new pipe", 1234.5)
    assert after[1].outer_diameter == pytest.approx(0.166, rel=1e-12)
    assert after[2:] == sections[2:]
    assert said(app) == []
    assert app.data_editor[0].value["Length (m)"][0] == "1234.5"


def test_each_refusal_names_row_and_column_and_nothing_is_taken(app: AppTest) -> None:
    before, key = plan_of(app), app.data_editor[0].key
    bad = {
        0: {"Length (m)": "long", "Outside (mm)": "130"},
        1: {"Mass in air (kg/m)": "-3", "Section": "kept"},
    }
    put(app, bad)
    words = said(app)
    assert len(words) == 2
    assert words[0].startswith(
        ":red[**Not taken.** Row 1, Length (m): Section length: long\u00a0m cannot be used"
    )
    assert words[1].startswith(
        ":red[**Not taken.** Row 2, Mass in air (kg/m): Mass per metre in air: -3\u00a0kg/m cannot"
    )
    assert "allowed: from 1.00 to 2" in words[1].replace("\u202f", "")
    assert plan_of(app) == before
    assert app.data_editor[0].key == key, "what was typed stays in the same table"
    assert app.session_state[key]["edited_rows"] == bad  # type: ignore[index]
    bad[0]["Length (m)"], bad[1]["Mass in air (kg/m)"] = "900", "36,5"
    put(app, bad)
    first, second = plan_of(app).string.sections[:2]
    assert (first.length, first.outer_diameter) == (900.0, pytest.approx(0.13))
    assert (second.name, second.linear_mass) == ("kept", 36.5)
    assert app.data_editor[0].key != key


def test_what_fields_refuse_together_is_named_by_its_row(app: AppTest) -> None:
    before = plan_of(app)
    put(app, {1: {"Inside (mm)": "500"}})
    assert said(app)[0].startswith(
        ":red[**Not taken.** Row 2: inside diameter: 0.5000\u00a0m cannot be used; allowed: below"
    )
    assert plan_of(app) == before


def test_an_optional_cell_may_be_emptied_and_a_needed_one_not(app: AppTest) -> None:
    put(app, {0: {"Area in tension (cm²)": ""}})
    assert plan_of(app).string.sections[0].tensile_area is None
    put(app, {0: {"Length (m)": None}})
    assert "Row 1, Length (m): Section length: an empty box cannot be used" in said(app)[0]


def test_the_same_number_typed_again_changes_nothing(app: AppTest) -> None:
    before = plan_of(app)
    length = before.string.sections[0].length
    put(app, {0: {"Length (m)": f"{length:.3f}"}})
    assert plan_of(app) == before
    assert said(app) == []


def test_rows_changed_elsewhere_begin_the_table_anew(app: AppTest) -> None:
    """A refused edit is of the rows it was typed into, never of others that come in their place."""
    put(app, {0: {"Length (m)": "0"}})
    assert said(app)
    other = heave.demo_plan()
    other = other.changed(
        string=heave.drill_string.DrillString((collar(0.2, 0.07, 150.0),), mud_density=1200.0)
    )
    app.session_state["heave:plan"] = other
    app.run()
    assert not app.exception
    assert said(app) == []
    assert plan_of(app) == other


def test_units_on_the_screen_are_those_of_the_columns(app: AppTest) -> None:
    app.session_state["heave:units"] = "oilfield"
    app.run()
    put(app, {0: {"Length (ft)": "3000"}})
    assert plan_of(app).string.sections[0].length == pytest.approx(to_si(3000.0, "ft"))


def test_a_pick_is_one_of_the_options(app: AppTest) -> None:
    record = LineWork(jobs=(LineJob("round trip", 2000.0), LineJob("coring", 2100.0, 2000.0)))
    app.session_state["heave:plan"] = heave.demo_plan().changed(line_work=record)
    app.run()
    put(app, {0: {"Job": "Short trip", "Times": "2"}}, 1)
    assert plan_of(app).line_work.jobs[0] == LineJob("short trip", 2000.0, times=2.0)  # type: ignore[union-attr]
    before = plan_of(app)
    put(app, {0: {"Job": "Juggling"}}, 1)
    assert "Row 1, Job: job: 'Juggling' cannot be used; allowed: one of round trip, " in said(app)[0]
    assert plan_of(app) == before
    put(app, {1: {"To depth (m)": "1500"}}, 1)
    assert "Row 2: from depth" in said(app)[0]
    assert plan_of(app) == before
