"""The reeved system: derrick, crown, every line, block, compensator and what hangs below, with the load on each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from heave.judging.checks import NOT_ASSESSED, WITHIN
from heave.judging.path_loads import PartLoad, PathLoads
from heave.planning.plan import Plan
from heave.planning.rig import HoistingPath
from heave.screens.figures.look import Look
from heave.screens.figures.reeved_parts import FOOT, WIDTH, Drawing, Layout, Place, layout
from heave.screens.figures.svg import Across, Picture, Pieces, Style, spread, tag, text
from heave.screens.figures.utilisation import utilisation_text
from heave.units import display_value, show, significant, unit_of

HEIGHT: Final = 762.0
_LABELS: Final = WIDTH + 14
_ROW: Final = 14.6
"""From one line of words to the next [px]."""

Row = tuple[str, Style]
"""A line of words and how it is set."""


def reeving_figure(
    plan: Plan,
    path: HoistingPath,
    loads: PathLoads,
    states: Mapping[str, str],
    look: Look,
    system: str = "metric",
) -> Picture:
    """The hoisting path as it is strung, upright, as SVG, with the loads of every part beside it.

    Heights that the plan gives are to one scale, and so is the stroke; sizes of parts are not. The number of lines is
    the actual one. The weakest link is filled, has an arrow at each side and is named.

    Parameters
    ----------
    plan : the plan
    path : its hoisting path
    loads : from `heave.judging.path_loads`
    states : of the checks by key
    look, system : colours and units on the screen
    """
    heights = layout(path, plan.compensator)
    locked = not plan.operation.compensated
    drawing = Drawing(path, plan.compensator, loads.unit, heights, look, locked)

    def paint(key: str) -> Style:
        if key == loads.weakest_link:
            colour = states.get(key, NOT_ASSESSED)
            return {"fill": look.fill(colour), "stroke": look.words(colour), "stroke_width": 2.2}
        thin = {"derrick": look.muted, "drilling_line": look.muted}.get(key)
        return {"fill": "none" if thin else look.ground, "stroke": thin or look.text, "stroke_width": 1.4}

    parts = list(drawing.parts(paint))
    rows, leaders = _labels(loads, drawing.places, heights, states, look, system)
    said = (
        (9, f"{unit_of('force', system).symbol}: hoisting · holding · lowering"),
        (25, "then the most in this sea, of the rating"),
        (HEIGHT - 9, scale_words(heights, system)),
    )
    return Picture(
        HEIGHT,
        "The reeved system",
        reeving_words(plan, path, loads, states, system),
        *_levels(heights, path, look),
        *leaders,
        *parts,
        *_arrows(drawing.places, loads.weakest_link, states, look),
        *rows,
        *(text(Across(0.0), y, words, look.muted, size=12) for y, words in said),
    )


def scale_words(heights: Layout, system: str) -> str:
    """To what scale the drawing is."""
    if heights.per_metre is None:
        return f"Not to scale: {heights.why}."
    unit = unit_of("length", system)
    step = next(s for s in (1, 2, 5, 10, 20) if s * unit.factor * heights.per_metre >= 40)
    pixels = step * unit.factor * heights.per_metre
    return f"Levels and stroke to scale: {step} {unit.symbol} is {significant(pixels, 2)} px."


def reeving_words(
    plan: Plan, path: HoistingPath, loads: PathLoads, states: Mapping[str, str], system: str = "metric"
) -> str:
    """The picture in words, for those who cannot see it."""
    where = {"crown": "under the crown", "block": "between block and hook", None: "in the line, at the drum"}
    parts = [
        f"{part.name} {', '.join(_rows_of(part, states, part.key == loads.weakest_link, system))}"
        for part in loads.chain
    ]
    return (
        f"Reeved system: {path.count} lines to the block, compensator {where[plan.compensator.mounting]}; "
        f"loads hoisting, holding and lowering in {unit_of('force', system).symbol}: {'; '.join(parts)}"
    )


def _rows_of(part: PartLoad, states: Mapping[str, str], weakest: bool, system: str) -> list[str]:
    """Loads of a part in words, a line each."""
    still = [force(load, system) for load in (part.hoisting, part.holding, part.lowering)]
    state = states.get(part.key, NOT_ASSESSED)
    rating = "no rating"
    if part.rating is not None:
        rating = f"of {force(part.rating, system)}, {utilisation_text(part.utilisation)}"
    loads = still[0] if len(set(still)) == 1 else " · ".join(still)
    rows = [loads, f"sea {force(part.extreme, system)} {rating}"]
    if weakest:
        rows.append("weakest link")
    if part.rating is not None and state != WITHIN:
        rows.append(state)
    return rows


def force(load: float, system: str) -> str:
    """A force to three figures without its unit."""
    return significant(display_value(load, "force", system))


def _labels(
    loads: PathLoads,
    places: Mapping[str, Place],
    heights: Layout,
    states: Mapping[str, str],
    look: Look,
    system: str,
) -> tuple[list[str], list[str]]:
    """Words beside the drawing, spread so that none overlap, and a leader to each part or level."""
    blocks: list[tuple[float, float, list[Row]]] = []
    for part in loads.chain:
        place, weakest = places[part.key], part.key == loads.weakest_link
        colour = look.words(states.get(part.key, NOT_ASSESSED)) if weakest else look.text
        said = _rows_of(part, states, weakest, system)
        rows: list[Row] = [(part.name, {"font_weight": 700, "fill": colour})]
        rows += [(words, {"fill": look.muted}) for words in said[:2]]
        strong: Style = {"fill": look.words(states.get(part.key, NOT_ASSESSED)), "font_weight": 700}
        blocks.append((place.y, place.right, rows + [(words, strong) for words in said[2:]]))
    quiet: Style = {"fill": look.muted, "font_style": "italic"}
    for name, height in heights.levels.items():
        words = f"{name} {show(height, 'length', system)}"
        blocks.append((heights.at(height), WIDTH - 4, [(words, quiet)]))
    blocks.sort(key=lambda block: block[0])
    levels = [y for y, _, rows in blocks for _ in rows]
    found = iter(spread(levels, _ROW, 44, HEIGHT - 34))
    texts, leaders = [], []
    for y, right, rows in blocks:
        at = [next(found) for _ in rows]
        for place_y, (words, style) in zip(at, rows, strict=True):
            pieces: Pieces = ((words, style),)
            texts.append(text(Across(0.0, _LABELS), place_y, pieces, look.text, size=12))
        corners = f"M{right + 2:.6g} {y:.6g}L{WIDTH - 2} {y:.6g}L{_LABELS - 4} {at[0]:.6g}"
        leaders.append(tag("path", d=corners, fill="none", stroke=look.line, stroke_width=0.8))
    return texts, leaders


def _levels(heights: Layout, path: HoistingPath, look: Look) -> Iterator[str]:
    """Dashed across the derrick: the crown stop, the highest and the lowest place; hatched the clearance kept."""
    for name, height in heights.levels.items():
        if name != "crown":
            d = f"M8 {heights.at(height):.6g}H{WIDTH - 4}"
            yield tag("path", d=d, stroke=look.muted, stroke_width=1, stroke_dasharray="4 3")
    kept = path.clearance * (heights.per_metre or 0.0)
    tops = [heights.at(heights.levels[name]) for name in ("crown stop",) if name in heights.levels]
    for top in (*tops, FOOT - kept) if kept > 0 else ():
        yield tag("rect", x=20, y=round(top, 2), width=WIDTH - 40, height=round(kept, 2), fill=look.track)


def _arrows(
    places: Mapping[str, Place], weakest: str | None, states: Mapping[str, str], look: Look
) -> Iterator[str]:
    """An arrow head at each side of the weakest link."""
    if weakest is None:
        return
    place, colour = places[weakest], look.words(states.get(weakest, NOT_ASSESSED))
    for x, way in ((place.left - 4, -1), (place.right + 4, 1)):
        d = f"M{x:.6g} {place.y:.6g}l{9 * way} -6v12Z"
        yield tag("path", d=d, fill=colour, stroke=look.ground, stroke_width=1)
