"""A check is one object: put among the rules, it is judged, shown, searched for in forecasts and explained."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

import heave
from heave.formula import Formula
from heave.judging import RULES, Rule, utilisations
from heave.judging.checks import Outcome, outcome
from heave.judging.demands import Demands
from heave.planning import NO_FACTOR
from heave.weather import weather_windows

SWAY = Formula(
    "q_t = 7 × s_t",
    {"q_t": ("length", "swing of the test block"), "s_t": ("length", "spread of heave at the hoist")},
    "made up for this test",
)


@partial(Rule, "block_swing", "Swing of the test block", "length", "Invented", lambda plan: True, (SWAY,))
def block_swing(d: Demands) -> Outcome:
    """Seven times the spread of heave, against a metre and a half."""
    return outcome(SWAY(s_t=d.heave.sigma), capacity=1.5)


@pytest.fixture(autouse=True)
def added() -> Iterator[None]:
    RULES.append(block_swing)
    yield
    RULES.remove(block_swing)


def test_it_is_judged_and_its_working_shown() -> None:
    result = heave.assess(heave.demo_plan())
    check = result.check("block_swing")
    assert check.demand == pytest.approx(7 * result.responses.heave.sigma, rel=1e-12)
    assert result.governing == check
    assert [step.symbols() for step in check.working] == ["q_t = 7 × s_t"]
    assert heave.limiting_sea(heave.demo_plan()).governing == check.name


def test_it_is_made_for_many_seas_and_ends_windows(root: Path) -> None:
    plan = heave.demo_plan()
    forecast = heave.read_forecast(root / "sea_states" / "sample_forecast.csv")
    table = utilisations(plan, forecast.batch)
    assert table.by_check["block_swing"] == pytest.approx(7 * table.heave_sigma / 1.5, rel=1e-12)
    found = weather_windows(plan, forecast, alpha=NO_FACTOR)
    assert found.steps[0].plain.by_check["block_swing"].shape == (forecast.size,)
    ends = {window.ending.check_name for window in found.windows if window.ending.check is not None}
    assert ends == {"Swing of the test block"}


def test_it_is_on_the_check_page_and_the_method_page(root: Path) -> None:
    app = AppTest.from_file(str(root / "app.py"), default_timeout=300)
    # pages keep results by plan: a plan of its own is judged now, and leaves nothing for other tests
    app.session_state["heave:plan"] = heave.demo_plan().changed(name="judged by a rule of a test")
    app.run()
    assert not app.exception
    labels = [item.label.replace("\\", "") for item in app.expander]
    assert any(label.startswith("Swing of the test block") for label in labels)
    assert any("**Swing of the test block** governs" in item.value for item in app.markdown)
    app.session_state["heave:opened"]["working:block_swing"] = True
    app.session_state["heave:open:working:block_swing"] = True
    app.run()
    assert any("q_t = 7 × s_t" in item.value for item in app.markdown)
    app.switch_page("heave/screens/method/page.py").run()
    app.session_state["heave:opened"]["rule:block_swing"] = True
    app.session_state["heave:open:rule:block_swing"] = True
    app.run()
    page = "\n".join(item.value for item in app.markdown).replace("\\_", "_")
    assert "Seven times the spread of heave, against a metre and a half" in page
    assert r"$q_{t} = 7 \, s_{t}$" in page
