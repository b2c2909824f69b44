"""The film and the figures beside it: to scale, light to send, told apart without colour."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from heave.files.rigs import demo_compensators, demo_plan
from heave.judging import assess
from heave.screens.figures.bit_share import overview_figure, record_figure, seeds_figure, share_figure
from heave.screens.figures.look import DARK, LIGHT, Look
from heave.screens.figures.moving_rig import LIFT_SCALE, Frame, Rig, body_shape, fill_shape, vessel_shape
from heave.screens.figures.run_film import MOST_FRAMES, film_figure, rigs_of
from heave.screens.figures.sides import PANELS, Side, hook_bases
from heave.simulation.comparisons import Variant, band_of, variants, without_drilling
from heave.simulation.reconcile import reconcile
from heave.simulation.scenario import Scenario, run
from heave.simulation.statistics import busiest, report, shared_edges

LARGEST_FILM = 700_000
"""Most bytes of a film of two set-ups: sent once, then played without the server."""


def sides_of(variants: Sequence[Variant], duration: float = 60.0) -> list[Side]:
    scenario = Scenario(duration=duration)
    return [
        Side(letter, variant, run(variant, scenario), band_of(variant, assess(variant.plan)))
        for letter, variant in zip("AB", variants, strict=False)
    ]


@pytest.fixture(scope="module")
def pair() -> list[Side]:
    """The demo plan with and without its compensator, in a sea that lifts the bare bit."""
    plan = without_drilling(demo_plan().changed(wob=160e3))
    return sides_of(variants(plan.changed(sea=plan.sea.with_primary(hs=5.0, tp=11.0)), "none"), 120.0)


def rig(**changes: object) -> Rig:
    usual: dict[str, object] = {"centre": 0.0, "stroke": 7.62, "room": 7.62, "travel": 2.0}
    return Rig(**(usual | changes))  # type: ignore[arg-type]


def frame(**changes: float) -> Frame:
    usual = {
        "heave": 0.0,
        "block": 0.0,
        "hook": 0.0,
        "stroke": 0.0,
        "lift": 0.0,
        "hook_load": 0.5,
        "bit_force": 0.5,
    }
    return Frame(**(usual | changes))


def parts(y: Sequence[float]) -> list[list[float]]:
    """The heights of a shape, a list for each part."""
    found: list[list[float]] = [[]]
    for value in y:
        if math.isnan(value):
            found.append([])
        else:
            found[-1].append(value)
    return found


def test_the_vessel_heaves_to_scale_and_the_rock_does_not() -> None:
    calm, risen = (vessel_shape(rig(), frame(heave=h)).y for h in (0.0, 1.5))
    assert parts(risen)[0][0] - parts(calm)[0][0] == pytest.approx(1.5)
    calm, risen = (body_shape(rig(), frame(heave=h)).y for h in (0.0, 1.5))
    assert calm == risen  # block, hook and bit move on their own


def test_the_rod_keeps_its_length_and_the_piston_its_cylinder() -> None:
    """Hook and piston are one piece: with x = block − hook the rod is as long at either end of the stroke."""
    lengths = []
    for travel in (-3.81, 0.0, 3.81):
        now = frame(block=travel, hook=0.0, stroke=travel)
        _, cylinder, rod, *_ = parts(body_shape(rig(), now).y)
        piston = parts(fill_shape(rig(), now).y)[0]
        lengths.append(rod[0] - rod[1])
        assert min(cylinder) - 1e-9 <= min(piston) < max(piston) <= max(cylinder) + 1e-9
        assert rod[1] < min(cylinder)  # the rod sticks out even at the end of the stroke
    assert lengths == pytest.approx([lengths[0]] * 3)


def test_a_unit_under_the_crown_holds_crown_lines_and_block_still_while_the_derrick_heaves() -> None:
    """Cylinders go with the derrick; crown, lines, block and hook are one piece on rods that keep their length."""
    shape, length = rig(under_crown=True), []
    for travel in (-3.81, 0.0, 3.81):
        now = frame(heave=travel, block=travel, hook=0.0, stroke=travel)
        *_, derrick, line, other, left, right = parts(vessel_shape(shape, now).y)
        block, _, crown, rod, _, *_ = parts(body_shape(shape, now).y)
        pistons = parts(fill_shape(shape, now).y)[:2]
        length.append((rod[1] - rod[0], min(crown), min(block), line[0]))
        assert max(derrick) == pytest.approx(shape.crown + travel)
        assert max(left) == max(right) == pytest.approx(shape.crown + travel)
        for piston in pistons:
            assert min(left) - 1e-9 <= min(piston) < max(piston) <= max(left) + 1e-9
        assert line == other == [pytest.approx(min(crown)), pytest.approx(min(block) + 0.5)]
        assert min(crown) > max(left)  # the rods stick out even at the end of the stroke
        assert max(crown) <= shape.top + max(travel, 0.0) + 1e-9
    assert length == [pytest.approx(length[0])] * 3
    raised = parts(body_shape(shape, frame(hook=0.5, stroke=-0.5)).y)
    assert min(raised[0]) - length[0][2] == pytest.approx(0.5)
    assert min(raised[2]) - length[0][1] == pytest.approx(0.5)


def test_every_unit_is_drawn_where_it_sits(pair: list[Side]) -> None:
    """Of the demo units those under the crown have two cylinders, those in line one, a drawworks none."""
    for unit in demo_compensators().values():
        plan = pair[0].variant.plan.changed(compensator=unit)
        side = replace(pair[0], variant=replace(pair[0].variant, plan=plan, unit="as planned"))
        (drawn,) = rigs_of([side], 0.0, 10.0)
        assert drawn.under_crown == (unit.mounting == "crown")
        pistons = len(parts(fill_shape(drawn, frame()).y)) - 2
        assert pistons == {"crown": 2, "block": 1, None: 0}[unit.mounting]


def test_a_lifted_bit_is_drawn_off_the_rock() -> None:
    shape = rig()
    bit = [min(parts(body_shape(shape, frame(lift=lift)).y)[5]) for lift in (0.0, 0.01)]
    assert bit[0] == shape.rock
    assert bit[1] - bit[0] == pytest.approx(0.01 * LIFT_SCALE)


def test_gauges_are_as_full_as_they_are_told() -> None:
    empty, half, full = (fill_shape(rig(), frame(bit_force=level)).y for level in (0.0, 0.5, 1.0))
    heights = [np.ptp(parts(y)[-1]) for y in (empty, half, full)]
    assert heights[1] == pytest.approx(heights[2] / 2)
    assert 0 < heights[0] < 0.02 * heights[2]


def test_a_locked_unit_shows_its_bars_and_a_bare_hook_no_cylinder() -> None:
    count = [len(parts(body_shape(r, frame()).y)) for r in (rig(), rig(locked=True), rig(stroke=None))]
    assert count == [count[0], count[0] + 2, count[0] - 1]
    crown = [rig(under_crown=True), rig(under_crown=True, locked=True), rig(under_crown=True, stroke=None)]
    assert [len(parts(body_shape(r, frame()).y)) - count[0] for r in crown] == [2, 4, -1]


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=lambda look: look.name)
def test_the_film_is_light_and_frames_fit_what_they_move(pair: list[Side], look: Look) -> None:
    start = busiest([side.result for side in pair], 40.0)
    figure = film_figure(pair, start, 40.0, look)
    sent = figure.to_json(validate=False)
    assert len(sent) < LARGEST_FILM
    made = json.loads(sent)
    frames, data = made["frames"], made["data"]
    assert len(frames) == 240
    assert len(made["layout"]["sliders"][0]["steps"]) == len(frames)
    for one in (frames[0], frames[119], frames[-1]):
        for place, change in zip(one["traces"], one["data"], strict=True):
            for axis, values in change.items():
                assert len(values) == len(data[place][axis])
        gaps = [[v is None for v in change["y"]] for change in one["data"] if "y" in change]
        assert gaps == [[v is None for v in data[place]["y"]] for place in range(len(gaps))]
    assert float(frames[0]["name"]) == pytest.approx(start, abs=0.01)
    assert float(frames[-1]["name"]) == pytest.approx(start + 40.0, abs=0.01)


def test_a_long_film_has_no_more_frames(pair: list[Side]) -> None:
    figure = film_figure(pair[:1], 0.0, 120.0, LIGHT)
    assert len(figure.to_dict()["frames"]) == MOST_FRAMES


def test_nothing_is_sent_packed(pair: list[Side]) -> None:
    """Arrays that are sent packed vanish from the browser's picture once it is animated."""
    assert "bdata" not in film_figure(pair, 0.0, 30.0, LIGHT).to_json(validate=False)


def test_one_time_axis_and_all_of_every_trace(pair: list[Side]) -> None:
    made = film_figure(pair, 20.0, 60.0, LIGHT).to_dict()
    lines = [trace for trace in made["data"] if trace.get("name")]
    assert {trace["xaxis"] for trace in lines} == {"x2"}
    for place, (name, *_) in enumerate(PANELS):
        low, high = made["layout"][f"yaxis{place + 2}"]["range"]
        for trace in (t for t in lines if t["yaxis"] == f"y{place + 2}"):
            assert low < min(trace["y"]) <= max(trace["y"]) < high, name
    inside = (pair[1].result.time >= 20.0) & (pair[1].result.time <= 80.0)
    shown = [t for t in lines if t["yaxis"] == "y5"][1]["y"]
    assert max(shown) == pytest.approx(pair[1].result.bit_force[inside].max() / 1e3, rel=1e-4)
    assert min(shown) == 0.0


def test_sides_differ_by_more_than_colour(pair: list[Side]) -> None:
    lines = [trace for trace in film_figure(pair, 0.0, 30.0, LIGHT).to_dict()["data"] if trace.get("name")]
    dashes = {trace["name"][0]: trace["line"].get("dash") for trace in lines if trace["name"] != "heave"}
    assert dashes == {"A": "solid", "B": "6px,3px"}
    assert sum(trace["name"] == "heave" for trace in lines) == 1  # the same for both: drawn once
    edges = shared_edges([side.result for side in pair])
    reports = [report(side.result, side.band, edges) for side in pair]
    share = share_figure(pair, reports, LIGHT)
    assert [trace.line.dash for trace in share.data] == ["solid", "6px,3px"]
    assert [trace.fill for trace in share.data] == ["tozeroy", None]
    assert [trace.line.dash for trace in overview_figure(pair, 0, 30, LIGHT).data] == ["solid", "6px,3px"]


def test_strings_of_different_weight_are_drawn_about_their_means() -> None:
    heavy = sides_of(variants(without_drilling(demo_plan()), "depth"), 30.0)
    bases = hook_bases(heavy)
    assert bases == pytest.approx([side.result.hook_load.mean() for side in heavy])
    notes = " ".join(
        note["text"] for note in film_figure(heavy, 0, 30, LIGHT).to_dict()["layout"]["annotations"]
    )
    assert "Hook load from its mean" in notes


def test_like_weights_are_drawn_as_they_are(pair: list[Side]) -> None:
    assert hook_bases(pair) == (0.0, 0.0)


def test_oilfield_units_are_in_titles_and_numbers(pair: list[Side]) -> None:
    metric, oilfield = (
        film_figure(pair, 0, 30, LIGHT, system).to_dict() for system in ("metric", "oilfield")
    )
    titles = " ".join(note["text"] for note in oilfield["layout"]["annotations"])
    assert "klbf" in titles
    assert "ft" in titles
    one, other = ([t for t in made["data"] if t.get("name")][-1]["y"] for made in (metric, oilfield))
    assert np.array(other) == pytest.approx(np.array(one) / 4.4482216, rel=1e-3)


def test_a_drawworks_has_a_film_without_a_cylinder() -> None:
    plan = demo_plan().changed(compensator=demo_compensators()["Demo compensating drawworks"])
    assert film_figure(sides_of(variants(plan, "active"), 30.0), 0, 30, LIGHT).to_dict()["frames"]


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
