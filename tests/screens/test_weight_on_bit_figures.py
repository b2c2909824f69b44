"""The figures under the film: told apart without colour, with what belongs to the run."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.screens.figures.bit_share import overview_figure, record_figure, seeds_figure, share_figure
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.figures.sides import Side
from heave.screens.weight_on_bit import watch
from heave.simulation.comparisons import Variant, variants, without_drilling
from heave.simulation.played import play
from heave.simulation.reconcile import reconcile
from heave.simulation.scenario import Scenario
from heave.simulation.statistics import LiftOff, report, shared_edges


def sides_of(variants: Sequence[Variant], duration: float = 60.0) -> list[Side]:
    scenario = Scenario(duration=duration)
    return [
        Side(letter, variant, *play(variant, scenario))
        for letter, variant in zip("AB", variants, strict=False)
    ]


@pytest.fixture(scope="module")
def pair() -> list[Side]:
    """The demo plan with and without its compensator, in a sea that lifts the bare bit."""
    plan = without_drilling(demo_plan().changed(wob=160e3))
    return sides_of(variants(plan.changed(sea=plan.sea.with_primary(hs=5.0, tp=11.0)), "none"), 120.0)


def test_sides_differ_by_more_than_colour(pair: list[Side]) -> None:
    edges = shared_edges([side.result for side in pair])
    reports = [report(side.result, side.band, edges) for side in pair]
    share = share_figure(pair, reports, LIGHT)
    assert [trace.line.dash for trace in share.data] == ["solid", "6px,3px"]
    assert [trace.fill for trace in share.data] == ["tozeroy", None]
    assert [trace.line.dash for trace in overview_figure(pair, LIGHT).data] == ["solid", "6px,3px"]


def test_seeds_and_record_are_drawn() -> None:
    band = assess(demo_plan()).responses.bit
    made = seeds_figure((np.array([4e4, 5e4]), np.array([6e4, 7e4])), band, LIGHT)
    assert [trace.marker.symbol for trace in made.data] == ["triangle-up", "triangle-down"]
    assert list(made.data[1].y) == [60.0, 70.0]
    heave = np.sin(np.arange(0, 1200, 0.5) * 0.6)
    found = reconcile(demo_plan(), heave, 0.5)
    shown = record_figure(found, DARK)
    assert [trace.line.dash for trace in shown.data] == [None, "6px,3px"]
    assert shown.data[0].x[np.argmax(shown.data[0].y)] == pytest.approx(0.6, abs=0.04)


def test_stroke_is_told_of_what_has_one() -> None:
    """A drawworks has none, as its gauge says: there the block moves. Once is not "1 times"."""

    def told(hits: int, drawworks: bool) -> str:
        plan = SimpleNamespace(compensator=SimpleNamespace(is_drawworks=drawworks))
        run = SimpleNamespace(stroke=np.array([-0.25, 0.5]), summary=SimpleNamespace(stop_hits=[hits]))
        side: Any = SimpleNamespace(variant=SimpleNamespace(as_planned=True, plan=plan), result=run)
        return watch._stroke(side, "metric")

    assert told(0, drawworks=False) == "\u22120.250\u00a0m to 0.500\u00a0m"
    assert told(1, drawworks=False).endswith(", 1 time at an end")
    assert told(2, drawworks=False).endswith(", 2 times at an end")
    assert told(0, drawworks=True) == "no stroke; the block moves \u22120.250\u00a0m to 0.500\u00a0m"


@pytest.mark.parametrize(
    ("heavier", "seconds", "told"),
    [
        (135e3, 80.0, ("WOB A 67.0\u00a0kN and B 135\u00a0kN", "80 s after")),
        (67e3, 90.0, ("WOB 67.0\u00a0kN", "1.5 min after")),
    ],
)
def test_the_weights_of_two_runs_are_both_told(
    monkeypatch: pytest.MonkeyPatch, heavier: float, seconds: float, told: tuple[str, str]
) -> None:
    monkeypatch.setattr(watch.state, "system", lambda: "metric")
    shown = [Variant("one", demo_plan().changed(wob=weight)) for weight in (67e3, heavier)]
    result: Any = SimpleNamespace(events=())
    words = watch.echo(shown, Scenario(duration=seconds), result).replace("\\", "")
    assert words.endswith(told[0])
    assert told[1] in words


def test_a_list_of_lift_offs_that_is_cut_says_so_and_is_cut_of_each_run() -> None:
    """A bare bit may lift off hundreds of times; the other run's stay in the list."""

    def run(letter: str, count: int) -> tuple[Any, Any]:
        lifts = tuple(LiftOff(10.0 * n, 1.0) for n in range(count))
        return SimpleNamespace(letter=letter, variant=Variant("x", demo_plan())), SimpleNamespace(
            lift_offs=lifts
        )

    (a, many), (b, few) = run("A", 431), run("B", 7)
    title, rows = watch.lifted([a, b], [many, few])
    assert title == "Lift-offs, 438: of each run the first 100"
    assert [sum(row[0][0] == letter for row in rows) for letter in "AB"] == [100, 7]
    assert watch.lifted([b], [few])[0] == "Every lift-off, 7"
    assert len(watch.lifted([b], [few])[1]) == 7
