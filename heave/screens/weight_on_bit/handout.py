"""What was learned, on one page: of each scene gone through its sentence, the plan's numbers and a small still trace.

No certificate: it says what was seen, not who saw it or how well.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from heave.errors import InputError
from heave.planning import MODEL_VERSION, Plan
from heave.screens import printing
from heave.screens.figures.svg import Across, Picture, Style, percent, tag, text
from heave.screens.inputs import sentence
from heave.teaching import SCENES
from heave.teaching.measures import Tell
from heave.teaching.scene import Told, told
from heave.teaching.staging import LEAST, Runs, Stage, Staged
from heave.units import unit_of

POINTS: Final = 400
"""Most points of a trace, the least and the greatest of every stretch among them."""

HEIGHT: Final = 34.0
"""Of a trace on the paper [px]."""

INK: Final = ("#16202c", "#6b7480")
"""Colours of A and B, told apart by their dashes as well."""

DASHES: Final = ("none", "5 3")


def handout(plan: Plan, system: str = "metric") -> str:
    """One HTML file that asks nothing of a network and prints on a page of A4 or Letter, in grey as well.

    Parameters
    ----------
    plan : the plan, with the scenes gone through
    system : units on the paper
    """
    done = [key for key in SCENES if key in plan.progress.scenes]
    parts = [_scene(place, key, plan, system) for place, key in enumerate(done)]
    rig = f"{plan.vessel.name} · {plan.compensator.name}"
    what = f"Plan: {plan.name or 'without a name'} · {rig} · model {MODEL_VERSION}"
    foot = (
        f"{len(done)} of {len(SCENES)} scenes. Every number is of a simulated run made of this plan, changed for "
        f"the scene as said under its trace; it is no forecast of the rig. This is {printing.OTHERS[1]}."
    )
    body = (
        printing.words("h1", "Heave and weight on bit: what was learned")
        + printing.words("p", what, "quiet")
        + printing.tag("div", "".join(parts), "scenes")
        + printing.words("p", foot, "quiet")
    )
    return printing.document("What was learned", printing.style_of("handout"), body)


def _scene(place: int, key: str, plan: Plan, system: str) -> str:
    scene = SCENES[key]
    try:
        found, staged, played = told(scene, plan, system)
    except InputError as error:
        why = printing.words("p", f"This scene cannot be made of this plan. {error}")
        return printing.tag("div", printing.words("h2", scene.title) + why, "scene")
    content = (
        printing.words("h2", scene.title)
        + printing.words("p", found.learned.replace("± ", "±\u00a0"))
        + printing.figure(sketch(found, staged, played, system), _caption(found, staged, system), f"s{place}")
        + printing.words("p", " ".join(staged.said), "quiet")
    )
    return printing.tag("div", content, "scene")


def _caption(told: Told, staged: Staged, system: str) -> str:
    drawn, unit = told.sketch, unit_of(told.sketch.kind, system).symbol
    names = [f"{letter} {one.label}" for letter, one in zip("AB", staged.play.variants, strict=False)]
    both = f" · solid {names[0]}, dashed {names[1]}" if len(names) > 1 else ""
    return f"{sentence(drawn.name)}, {unit}, {drawn.end - drawn.start:.0f} s of the run{both}"


def sketch(told: Told, staged: Staged, played: Runs, system: str) -> str:
    """The trace of a scene as a still picture, its least and greatest value written beside it.

    Parameters
    ----------
    told, staged, played : of the scene
    system : units beside it
    """
    drawn, tell = told.sketch, Stage(played[0].plan, system).teller(told.sketch.kind)
    curves = [run.decimated(drawn.trace, POINTS, drawn.start, drawn.end) for run in played]
    low = min(float(values.min()) for _, values in curves)
    high = max(float(values.max()) for _, values in curves)
    room = max(high - low, 10 * LEAST[drawn.kind])
    top = (high + low + room) / 2
    lines = "".join(
        tag(
            "polyline",
            points=" ".join(
                f"{1000 * (x - drawn.start) / (drawn.end - drawn.start):.1f},{HEIGHT * (top - y) / room:.2f}"
                for x, y in zip(times, values, strict=True)
            ),
            fill="none",
            stroke=ink,
            stroke_width=1.1,
            stroke_dasharray=dash,
            vector_effect="non-scaling-stroke",
        )
        for (times, values), ink, dash in zip(curves, INK, DASHES, strict=False)
    )
    place: Style = {"x": percent(0.16), "y": 4, "width": percent(0.84), "height": HEIGHT}
    frame = tag("svg", lines, **place, viewBox=f"0 0 1000 {HEIGHT:g}", preserveAspectRatio="none")
    apart = high - low > LEAST[drawn.kind]
    marks = ((high, 8.0), (low, HEIGHT)) if apart else ((high, HEIGHT / 2 + 4),)
    ends = "".join(text(Across(0.15), y, tell(value), INK[0], size=9, anchor="end") for value, y in marks)
    title = f"{drawn.name} over time"
    return Picture(HEIGHT + 8, title, _words(told, curves, tell), frame, ends)


def _words(told: Told, curves: Sequence[tuple[Any, Any]], tell: Tell) -> str:
    """The picture in words."""
    spans = (
        f"{letter} from {tell(float(values.min()))} to {tell(float(values.max()))}"
        for letter, (_, values) in zip("AB", curves, strict=False)
    )
    return f"{told.sketch.name}: {'; '.join(spans)}"
