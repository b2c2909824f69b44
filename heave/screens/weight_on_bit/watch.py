"""Blocks of the weight-on-bit page: the film, the figures of the run, its equations, and many seeds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import streamlit as st

from heave.planning import Plan
from heave.screens import every_page, pieces, state
from heave.screens.check.working import steps_text
from heave.screens.figures.bit_share import overview_figure, seeds_figure, share_figure
from heave.screens.figures.run_film import FILM, film_figure
from heave.screens.figures.sides import Side
from heave.screens.inputs import plain
from heave.screens.weight_on_bit import controls, runs
from heave.simulation.comparisons import Variant, band_of, for_the_bit, variants, without_drilling
from heave.simulation.scenario import SOURCES, Scenario
from heave.simulation.statistics import RunStatistics, busiest, instant, report, shared_edges
from heave.units import show, significant

READING: Final = (
    "Above the drill floor the drawing is to scale: derrick and floor heave with the vessel, the dotted line is where "
    "the floor stands in a calm. The filled bar in the cylinder is the piston; it moves down as the gas is compressed."
    " The string is drawn as the spring it is, shortened. A bit that lifts is drawn twenty times as far off the rock "
    "as it is. The two gauges reach over the same force, so that their swings compare: **hook** is what the load cell "
    "shows, about its mean, **bit** is what the rock feels, from nothing. In the weight-on-bit panel the shaded band "
    "is the nominal one predicted at the plan's risk and exposure, the dotted lines the low and the high one; of B "
    "only the nominal band is drawn, in dashes and dots. The bands are those of the compensator check: swing in the "
    "sea, and the drift of the mean while slow travel (hole made, tide, draught, vessel offset) runs its course. In a "
    "short run most of that travel is still to come, so the trace keeps nearer the middle."
)
"""How to read the drawing."""


QUIET: Final = (
    "<script>window.addEventListener('unhandledrejection', event => "
    "{ if (event.reason === undefined) event.preventDefault(); });</script>"
)
"""Keeps the browser's console free of the empty rejection that stopping an animation leaves behind."""


def watch() -> None:
    """Controls, film, figures and equations of the run."""
    plan, changed = for_the_bit(state.plan())
    with st.container(border=True):
        left, right = st.container(key="wob-run").columns(2)
        with left:
            key = controls.comparison(plan)
        with right:
            source = controls.source()
        scenario = controls.scenario(source)
    shown = variants(plan, key)
    for words in ([changed] if changed else []) + controls.left_out(shown, scenario.happenings):
        st.info(plain(words))
    results = runs.results_of(shown, scenario)
    if results is None:
        return
    sides = [
        Side(letter, variant, result, band_of(variant, state.assessed(variant.plan)))
        for letter, variant, result in zip("AB", shown, results, strict=False)
    ]
    st.caption(echo(sides, scenario))
    start, length = film(sides, scenario)
    edges = shared_edges([side.result for side in sides])
    reports = [report(side.result, side.band, edges) for side in sides]
    whole_run(sides, reports, start, start + length)
    equations(sides)
    seeds(plan)


def echo(sides: Sequence[Side], scenario: Scenario) -> str:
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
    parts = [f"{side.letter}: {side.variant.label}" for side in sides] if len(sides) > 1 else []
    parts += [what, f"{scenario.length / 60:.4g} min after a lead-in of 1 min"]
    parts.append(f"WOB {show(sides[0].variant.plan.wob, 'force', system)}")
    parts += [f"{event.kind} at {event.time:.0f} s" for event in sides[0].result.events[:6]]
    return "Simulated: " + plain(" · ".join(parts))


def film(sides: Sequence[Side], scenario: Scenario) -> tuple[float, float]:
    """The film with its controls; returns the start and the length of the stretch shown [s]."""
    left, right = st.container(key="wob-film").columns([3, 2], vertical_alignment="bottom")
    with right:
        length = min(controls.stretch_length(), scenario.length)
    largest = busiest([side.result for side in sides], length)
    start = controls.stretch_shown(left, scenario.length, largest)
    # Plotly rejects the promise of a film that is paused or scrubbed; nobody waits for it.
    st.html(QUIET, unsafe_allow_javascript=True)
    how = (start, length, every_page.look(), state.system())
    shown = (tuple(side.variant for side in sides), scenario, *how)
    figure = runs.FILMS.kept(shown, lambda: film_figure(sides, *how))
    names = " against ".join(side.variant.label for side in sides)
    alt = f"Moving drawing and traces of heave, stroke, hook load and weight on bit: {names}"
    pieces.chart(figure, "film", alt, FILM)
    with st.expander("How to read the drawing"):
        st.markdown(READING)
    return start, length


def whole_run(sides: Sequence[Side], reports: Sequence[RunStatistics], start: float, end: float) -> None:
    """Table, overview and histogram of the whole run, and every lift-off."""
    system, look = state.system(), every_page.look()
    st.subheader("The whole run")
    st.markdown(table(sides, reports, system))
    left, right = st.container(key="curves").columns(2, gap="large")
    with left:
        st.markdown("##### From end to end")
        figure = overview_figure(sides, start, end, look, system)
        pieces.chart(figure, "overview", "Weight on bit over the whole run, the stretch of the film shaded")
    with right:
        st.markdown("##### How the time is shared out")
        figure = share_figure(sides, reports, look, system)
        pieces.chart(figure, "share", "Histogram of weight on bit with the nominal band")
    lifts = [
        (f"{side.letter} {plain(side.variant.label)}", f"{lift.start:.1f} s", f"{lift.duration:.2f} s")
        for side, run in zip(sides, reports, strict=True)
        for lift in run.lift_offs
    ]
    if lifts:
        with st.expander(f"Every lift-off, {len(lifts)}"):
            st.markdown(pieces.markdown_table(("Run", "At", "For"), lifts[:200]))


def table(sides: Sequence[Side], reports: Sequence[RunStatistics], system: str) -> str:
    """Figures of the runs side by side, as Markdown."""
    columns = [_figures(side, run, system) for side, run in zip(sides, reports, strict=True)]
    head = ["", *(f"{side.letter}: {plain(side.variant.label)}" for side in sides)]
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
    return "no limit given" if math.isnan(value) else f"{significant(100 * value, 2)} %"


def _band(side: Side, system: str) -> str:
    if side.band is None:
        return "none"
    low, high = side.band.span(side.band.nominal)
    if low <= 0:
        return f"lift-off to {show(high, 'force', system)}"
    return f"{show(low, 'force', system)} to {show(high, 'force', system)}"


def _lifts(run: RunStatistics) -> str:
    if not run.lift_offs:
        return "none"
    longest = max(item.duration for item in run.lift_offs)
    return f"{len(run.lift_offs)}, the longest {longest:.2f} s"


def _stroke(side: Side, system: str) -> str:
    if side.variant.unit != "as planned":
        return "does not stroke"
    # to the millimetre: what is less is the arithmetic of a unit that does not move
    low, high = (round(float(end), 3) + 0.0 for end in (side.result.stroke.min(), side.result.stroke.max()))
    out = int(side.result.summary.stop_hits[0])
    ends = f", {out} times at an end" if out else ""
    return f"{show(low, 'length', system)} to {show(high, 'length', system)}{ends}"


@st.fragment
def equations(sides: Sequence[Side]) -> None:
    """Each quantity's equation with the numbers of one instant of the run; only this is drawn anew for another."""
    st.subheader("Equations of one instant")
    last = math.floor(float(sides[0].result.time[-1]) * 10) / 10
    lowest = float(sides[0].result.time[int(sides[0].result.bit_force.argmin())])
    moment = st.slider(
        "Instant (s); it opens where weight on bit is lowest",
        0.0,
        last,
        min(round(lowest, 1), last),
        0.1,
        key=f"heave:wob:instant:{last:g}",
    )
    for place, side in zip(st.columns(len(sides)), sides, strict=True):
        with place:
            if len(sides) > 1:
                st.markdown(f"**{side.letter}: {plain(side.variant.label)}**")
            st.markdown(steps_text(instant(side.result, moment, side.variant.unit), state.system()))


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
        st.button("Run the seeds", key="heave:wob:seeds", on_click=runs.ask_for_seeds, args=asked)
        if not runs.are_asked(*asked):
            return
        run = runs.seeds_of(*asked)
        band = state.assessed(plan.changed(exposure=60 * minutes)).responses.bit
        if run is None or band is None:
            return
        swings = run.summary.highest["bit_force"] - plan.wob, plan.wob - run.summary.lowest["bit_force"]
        pieces.chart(
            seeds_figure(swings, band, every_page.look(), state.system()),
            "seeds",
            "Largest swing of weight on bit up and down in each seed, with the predicted band",
        )
        largest = [max(up, down) for up, down in zip(*swings, strict=True)]
        past = [sum(swing > level for swing in largest) for level in (band.nominal, band.high)]
        st.caption(
            f"Of {count} seeds {past[0]} went past the nominal band and {past[1]} past the high one. No hole is made "
            f"here. The elastic part of the band holds at the accepted risk, {significant(100 * plan.risk, 2)} %."
        )


def show_run(
    shown: tuple[Variant, ...],
    scenario: Scenario,
    *,
    key: str,
    opens: float | None = None,
    captions: Sequence[tuple[float, float, str]] = (),
) -> list[Side] | None:
    """Run variants in a scenario and show the film of a stretch of it, with the words that go with that.

    Parameters
    ----------
    shown : one variant, or two to set side by side
    scenario : heave and events
    key : of the film on the page
    opens : the instant at which it comes up [s]
    captions : words under the picture, each with the stretch it goes with

    Returns
    -------
    The runs with what is predicted for them; None where the user stopped them
    """
    results = runs.results_of(shown, scenario)
    if results is None:
        return None
    sides = [
        Side(letter, variant, result, band_of(variant, state.assessed(variant.plan)))
        for letter, variant, result in zip("AB", shown, results, strict=False)
    ]
    start, length = opens or 0.0, min(STRETCH, scenario.length)
    start = min(start, scenario.length - length)
    how = (start, length, every_page.look(), state.system())
    figure = runs.FILMS.kept((shown, scenario, *how), lambda: film_figure(sides, *how))
    names = " against ".join(side.variant.label for side in sides)
    pieces.chart(figure, f"film-{key}", f"Moving drawing and traces: {names}", FILM)
    told = [
        f"{begin:.0f} s: {words}" for begin, end, words in captions if end > start and begin < start + length
    ]
    st.markdown(plain("\n".join(told)).replace("\n", "\n\n"))
    st.caption(echo(sides, scenario))
    return sides


STRETCH: Final = 40.0
"""Length of the film of a scene [s]."""
