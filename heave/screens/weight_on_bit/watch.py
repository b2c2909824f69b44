"""Blocks of the weight-on-bit page: the film, its equations, the figures of the run, and many seeds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.planning import Plan
from heave.screens import every_page, pieces, state
from heave.screens.check.working import steps_text
from heave.screens.figures.bit_share import overview_figure, seeds_figure, share_figure
from heave.screens.figures.sides import Side
from heave.screens.film import component
from heave.screens.film.payload import LONGEST, Caption, Parts, film_of
from heave.screens.inputs import button, plain
from heave.screens.weight_on_bit import controls, runs
from heave.simulation.comparisons import Variant, for_the_bit, variants, without_drilling
from heave.simulation.played import Played
from heave.simulation.scenario import SOURCES, Scenario
from heave.simulation.simulate import SimulationResult
from heave.simulation.statistics import RunStatistics, instant, report, shared_edges
from heave.units import counted, fixed, show, significant

MOST_LIFTS: Final = 100
"""Most lift-offs of a run that are listed."""

READING: Final = """\
Two scales stand side by side, each with its own bar. In the whole, hull, derrick, block and hook move in metres as they
do in the run; in the enlarged view so do stroke, stretch of the string and a bit that lifts, larger by what is written
beside it. The piston goes with the block in an in-line unit, with the crown in one under the crown.

The gauges are the driller's: **hook load** is what the load cell shows, **weight on bit** what the rock feels. They are
not the same: inertia and ringing of the string lie between them, and no gauge shows those. Marks are limits of the
plan. A is drawn through, B in dashes.

A shaded band was predicted for this very run; what a check compares with its limit is drawn strongest. It counts the
drift of the mean while slow travel (hole made, tide, draught, vessel offset) runs its course: in a short run most of
that is still to come, so the trace keeps nearer the middle. Where the prediction is of something else than what is
run, there is no band.

Space or K plays and pauses, the arrows step by a tenth of a second, and a finger or the mouse along the traces draws
the time with it."""
"""How to read the drawing."""


def watch() -> None:
    """Controls, film, and under it the figures and equations of the run."""
    plan, changed = for_the_bit(state.plan().as_judged)
    with st.container(key="wob-run", horizontal=True, vertical_alignment="center"):
        key = controls.comparison(plan)
        scenario = controls.scenario()
    try:
        shown = variants(plan, key)
    except InputError as error:
        st.error(plain(f"This cannot be set side by side. {error}"))
        shown = variants(plan, "alone")
    for words in ([changed] if changed else []) + controls.left_out(shown, scenario):
        st.info(plain(words))
    sides = show_run(shown, scenario, key="watch")
    if sides is None:
        return
    with st.expander("How to read the drawing"):
        st.markdown(READING)
    whole_run(sides)
    seeds(plan)
    st.caption("Loads beyond a rating are not stopped here; the Compensator check judges them.")


def show_run(
    shown: tuple[Variant, ...],
    scenario: Scenario,
    *,
    key: str,
    opens: float | None = None,
    captions: Sequence[Caption] = (),
) -> list[Side] | None:
    """Run variants in a scenario, and show their film with the equations of the instant at which it stands.

    Parameters
    ----------
    shown : one variant, or two to set side by side
    scenario : heave and events
    key : of the film on the page; while it stays the same the film keeps its time from one set-up to the next
    opens : the instant at which it comes up [s]; None leaves that to what happens
    captions : words under the picture, each with the stretch it goes with

    Returns
    -------
    The runs with what is predicted for them; None where the user stopped them
    """
    played = runs.played_of(shown, scenario)
    if played is None:
        return None
    _film(shown, scenario, key, opens, tuple(captions))
    return _sides(shown, played)


@st.fragment
def _film(
    shown: tuple[Variant, ...],
    scenario: Scenario,
    key: str,
    opens: float | None,
    captions: tuple[Caption, ...],
) -> None:
    """The film and its equations; only this is drawn anew when it is paused, and it holds no runs of its own."""
    how = (every_page.look(), state.system())
    played = runs.kept_of(shown, scenario)
    results = runs.results(played)

    def make() -> Parts:
        return film_of(_sides(shown, played), scenario, *how, opens=opens, captions=captions)

    made = runs.KEPT.kept(("film", shown, scenario, *how, opens, captions), make, state.session())
    told = component.show(made, f"heave:film:{key}")
    st.caption(echo(shown, scenario, results[0]))
    equations(shown, results, rested(made, key, told))


def rested(film: Parts, key: str, told: float | None) -> float:
    """The instant at which the film stands [s]: as it says, or where it opened since.

    Parameters
    ----------
    film : as of `film_of`
    key : of the film on the page
    told : what the film said last, perhaps before it opened anew
    """
    name, opens = f"wob:opened:{key}", film["opens"]
    kept: tuple[float, float | None] | None = state.kept(name)
    if kept is None or kept[0] != opens:
        kept = (opens, told)
        state.keep(name, kept)
    at = float(opens if told is None or told == kept[1] else told)
    last = film["start"] + film["step"] * (film["count"] - 1)
    return min(max(at, float(film["start"])), float(last))


def _sides(shown: tuple[Variant, ...], played: Sequence[Played]) -> list[Side]:
    return [Side(letter, variant, *each) for letter, variant, each in zip("AB", shown, played, strict=False)]


def echo(shown: Sequence[Variant], scenario: Scenario, result: SimulationResult) -> str:
    """Every number the run used that is not in the sidebar."""
    system = state.system()
    what = SOURCES[scenario.source]
    if scenario.source == "sea":
        what += f", seed {scenario.seed}"
    elif scenario.source == "wave":
        height = show(scenario.height, "length", system)
        what += f" of {height} crest to trough, {show(scenario.period, 'period', system)}"
    elif scenario.record is not None:
        what += f" of {scenario.record.name}"
    letters = zip("AB", shown, strict=False)
    parts = [f"{letter}: {variant.label}" for letter, variant in letters] if len(shown) > 1 else []
    minutes = scenario.length / 60
    length = f"{minutes:g} min" if minutes % 0.5 == 0 else f"{scenario.length:.4g} s"
    parts += [what, f"{length} after a lead-in of 1 min"]
    weights = [show(variant.plan.wob, "force", system) for variant in shown]
    told = " and ".join(f"{letter} {one}" for letter, one in zip("AB", weights, strict=False))
    parts.append(f"WOB {told if len(set(weights)) > 1 else weights[0]}")
    parts += [f"{event.kind} at {event.time:.0f} s" for event in result.events[:6]]
    return "Simulated: " + plain(" · ".join(parts))


def equations(shown: Sequence[Variant], results: Sequence[SimulationResult], moment: float) -> None:
    """Each quantity's equation with the numbers of one instant of the run."""
    with st.expander("Equations of this instant", key="heave:wob:equations"):
        st.caption(f"At {moment:.2f} s, where the film stands; they go with it whenever it comes to rest.")
        for place, letter, variant, result in zip(st.columns(len(shown)), "AB", shown, results, strict=False):
            if len(shown) > 1:
                place.markdown(f"**{letter}: {plain(variant.label)}**")
            place.markdown(steps_text(instant(result, moment, variant.unit), state.system()))


def whole_run(sides: Sequence[Side]) -> None:
    """Table and histogram of the whole run, all of it where the film is shorter, and every lift-off."""
    system, look = state.system(), every_page.look()
    edges = shared_edges([side.result for side in sides])
    reports = [report(side.result, side.band, edges) for side in sides]
    st.header("The whole run")
    left, right = st.container(key="curves").columns(2, gap="large")
    with left:
        st.markdown(table(sides, reports, system))
        for side in sides:
            if side.without:
                st.caption(plain(f"{side.letter}: {side.without}"))
    with right:
        figure = share_figure(sides, reports, look, system)
        words = "Histogram of weight on bit with the nominal band"
        pieces.chart(figure, "share", words, name="Weight on bit, share of the time")
    if float(sides[0].result.time[-1]) > LONGEST + 1:
        figure = overview_figure(sides, look, system)
        words = "Weight on bit over the whole run"
        pieces.chart(figure, "overview", words, name=words)
    title, lifts = lifted(sides, reports)
    if lifts:
        with st.expander(title):
            st.markdown(pieces.markdown_table(("Run", "At", "For"), lifts))


def lifted(sides: Sequence[Side], reports: Sequence[RunStatistics]) -> tuple[str, list[tuple[str, str, str]]]:
    """What the table of lift-offs is called, and its rows: of each run the first `MOST_LIFTS`."""
    rows = [
        (
            f"{side.letter} {plain(side.variant.label)}",
            f"{fixed(lift.start, 1)}\u00a0s",
            f"{fixed(lift.duration, 2)}\u00a0s",
        )
        for side, run in zip(sides, reports, strict=True)
        for lift in run.lift_offs[:MOST_LIFTS]
    ]
    count = sum(len(run.lift_offs) for run in reports)
    some = f"Lift-offs, {count}: of each run the first {MOST_LIFTS}"
    return some if count > len(rows) else f"Every lift-off, {count}", rows


def table(sides: Sequence[Side], reports: Sequence[RunStatistics], system: str) -> str:
    """Figures of the runs side by side, as Markdown."""
    columns = [_figures(side, run, system) for side, run in zip(sides, reports, strict=True)]
    head = ["Of the run", *(f"{side.letter}: {plain(side.variant.label)}" for side in sides)]
    return pieces.markdown_table(head, ((name, *(each[name] for each in columns)) for name in columns[0]))


def _figures(side: Side, run: RunStatistics, system: str) -> dict[str, str]:
    """Figures of one run in words, by what they are."""

    def force(value: float) -> str:
        return show(value, "force", system)

    return {
        "Weight on bit, lowest to highest": f"{force(run.lowest)} to {force(run.highest)}",
        "Predicted nominal band": _band(side, system),
        "Time outside the nominal band": _share(run.outside_nominal),
        "Time outside the low · high band": f"{_share(run.outside_low)} · {_share(run.outside_high)}",
        "Time outside the WOB limits of the plan": _share(run.outside_limits),
        "Lift-offs": _lifts(run),
        "Largest swing, hook load": f"± {force(run.hook_swing)}",
        "Largest swing, bit": f"± {force(run.bit_swing)}",
        "Stroke used": _stroke(side, system),
        "Seals hold the unit still": _share(float(side.result.stuck.mean())),
    }


def _share(value: float) -> str:
    return "no limit given" if math.isnan(value) else f"{significant(100 * value, 2)}\u00a0%"


def _band(side: Side, system: str) -> str:
    if side.band is None:
        return "none"
    low, high = side.band.span(side.band.nominal)
    return f"{'lift-off' if low <= 0 else show(low, 'force', system)} to {show(high, 'force', system)}"


def _lifts(run: RunStatistics) -> str:
    if not run.lift_offs:
        return "none"
    longest = max(item.duration for item in run.lift_offs)
    return f"{len(run.lift_offs)}, the longest {fixed(longest, 2)}\u00a0s"


def _stroke(side: Side, system: str) -> str:
    if not side.variant.as_planned:
        return "does not stroke"
    # to the millimetre: what is less is the arithmetic of a unit that does not move
    low, high = (round(float(end), 3) + 0.0 for end in (side.result.stroke.min(), side.result.stroke.max()))
    out = int(side.result.summary.stop_hits[0])
    ends = f", {counted(out, 'time')} at an end" if out else ""
    way = f"{show(low, 'length', system)} to {show(high, 'length', system)}{ends}"
    return f"no stroke; the block moves {way}" if side.variant.plan.compensator.is_drawworks else way


def seeds(plan: Plan) -> None:
    """The plan in many drawings of its sea, each seed's extreme against the band."""
    with st.expander("Many seeds against the prediction"):
        st.markdown(
            "One run is one drawing of the sea. Here the plan as it is runs through many, and the largest swing at "
            "the bit of each stands against the band predicted for that time at the plan's risk."
        )
        left, middle = st.columns(2)
        count = int(controls.typed(left, "seeds", "Seeds", 12, 2, 50, whole=True))
        minutes = controls.typed(middle, "seed_minutes", "Time of each, min", 30.0, 10.0, 180.0)
        still = without_drilling(plan)
        asked = (still, 60 * minutes, count)
        button("Run the seeds", "wob:seeds", runs.ask_for_seeds, *asked)
        if not runs.are_asked(*asked):
            return
        run = runs.seeds_of(*asked)
        band = state.assessed(plan.changed(exposure=60 * minutes)).responses.bit
        if run is None or band is None:
            return
        swings = run.summary.highest["bit_force"] - plan.wob, plan.wob - run.summary.lowest["bit_force"]
        figure = seeds_figure(swings, band, every_page.look(), state.system())
        alt = "Largest swing of weight on bit up and down in each seed, with the predicted band"
        pieces.chart(figure, "seeds", alt, name="Largest swing of each seed")
        largest = [max(up, down) for up, down in zip(*swings, strict=True)]
        past = [sum(swing > level for swing in largest) for level in (band.nominal, band.high)]
        st.caption(
            f"Of {count} seeds {past[0]} went past the nominal band and {past[1]} past the high one. No hole is made "
            f"here. The elastic part of the band holds at the accepted risk, {significant(100 * plan.risk, 2)}\u00a0%."
        )
