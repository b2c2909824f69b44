"""The parts of the reeved system, drawn in pixels from the left of the picture, and where each of them stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from heave.planning.rig import LINES_OF_CROWN, Compensator, GasUnit, HoistingPath
from heave.screens.figures.look import Look
from heave.screens.figures.svg import Style, tag

WIDTH: Final = 186.0
"""Room for the drawing; what is said of it stands to the right [px]."""

TOP: Final = 52.0
"""Height in the picture of the highest place of the crown [px]."""

FOOT: Final = 700.0
"""Height in the picture of the drill floor [px]."""

_CENTRE: Final = 92.0
_ANCHOR: Final = 36.0
_DRUM: Final = 142.0
"""Places across of the well, of the dead line's anchor and of the drum [px]."""

_BLOCK, _HOOK, _TOP_DRIVE, _LINKS, _ELEVATORS, _ROD = 22.0, 16.0, 36.0, 24.0, 9.0, 12.0
"""Heights of parts whose size is not in the plan, and of the rod that always shows [px]."""

_UNSCALED_STROKE: Final = 64.0
"""Stroke of a drawing that is not to scale [px]."""


@dataclass(frozen=True)
class Place:
    """Where a part stands: its sides and its middle height [px]."""

    left: float
    right: float
    y: float


@dataclass(frozen=True)
class Layout:
    """Heights of the drawing [px, downwards]; `per_metre` is None where nothing is to scale, and `why` says why.

    crown : middle of the crown block, a unit under it at mid-stroke
    block : top of the travelling block, at its highest
    stroke : of the unit; 0 for a drawworks
    levels : heights above the floor that the plan gives, by what they are called [m]
    """

    per_metre: float | None
    crown: float
    block: float
    stroke: float
    levels: dict[str, float]
    why: str = ""

    def at(self, height: float) -> float:
        """Height in the picture of a height above the floor [m]."""
        return FOOT - (self.per_metre or 0.0) * height


def hanging(unit: Compensator, stroke: float) -> float:
    """From the top of the block to the foot of the elevators [px], with so long a stroke."""
    own = 1.5 * stroke + 2 * _ROD if unit.under_block else 0.0
    return _BLOCK + own + _HOOK + _TOP_DRIVE + _LINKS + _ELEVATORS


def layout(path: HoistingPath, unit: Compensator) -> Layout:
    """Heights to the scale of those that the plan gives; not to scale where it gives none, or no room for the parts."""
    given = {"crown stop": path.crown_stop, "highest block": path.highest_block, "lowest": path.lowest_block}
    levels = {name: height for name, height in given.items() if height is not None}
    if path.drop is not None and path.lowest_block is not None:
        levels["crown"] = path.lowest_block + path.drop
    drawn = _to_scale(levels, unit) if levels else None
    if drawn is not None:
        return drawn
    why = "the heights given leave no room for the parts" if levels else "heights not given"
    stroke = _UNSCALED_STROKE if isinstance(unit, GasUnit) else 0.0
    crown = TOP + (stroke / 2 if unit.under_crown else 0.0)
    return Layout(None, crown, crown + 150.0 + (stroke if unit.under_crown else 0.0), stroke, {}, why)


def _to_scale(levels: dict[str, float], unit: Compensator) -> Layout | None:
    """None where what hangs on the lines does not fit between the heights given."""
    most = max(levels.values())
    crown = levels.get("crown", most + 6.0)
    whole = unit.stroke if isinstance(unit, GasUnit) else 0.0
    half = whole / 2 if unit.under_crown else 0.0
    per_metre = (FOOT - TOP) / (crown + half)
    stroke = per_metre * whole
    block = levels.get("highest block", 0.75 * crown)
    foot = per_metre * block - hanging(unit, stroke)
    above = per_metre * (crown - block) > (1.5 * stroke if half else 0.0) + 24.0
    if crown < most or not above or foot < max(per_metre * levels.get("lowest", 0.0), 20.0):
        return None
    return Layout(per_metre, FOOT - per_metre * crown, FOOT - per_metre * block, stroke, levels)


class Drawing:
    """The parts of one hoisting path as SVG, and the place of each by the key of its check.

    paint : what marks a part: style of its outline and filling, by key
    """

    def __init__(
        self, path: HoistingPath, unit: Compensator, unit_key: str, heights: Layout, look: Look, locked: bool
    ) -> None:
        self.path, self.unit, self.unit_key, self.heights = path, unit, unit_key, heights
        self.look, self.locked = look, locked
        self.step = min(24.0, 116.0 / (path.count / 2))
        self.half = self.step * path.count / 4
        """Half the width over the lines of the block and a sheave beside them."""
        self.places: dict[str, Place] = {}

    def parts(self, paint: Callable[[str], Style]) -> Iterator[str]:
        """Every part from the derrick down."""
        yield from self._derrick(paint)
        if self.unit.under_crown:
            yield from self._under_crown(paint(self.unit_key))
        yield from self._lines(paint)
        yield from self._sheaves(paint)
        yield from self._drum(paint)
        yield from self._hung(paint)

    def _derrick(self, paint: Callable[[str], Style]) -> Iterator[str]:
        top = self._beam
        legs = (_CENTRE - 84, _CENTRE - self.half - 14, _CENTRE + self.half + 14, _CENTRE + 84)
        self.places["derrick"] = Place(legs[1], legs[2], top)
        yield _lines(((legs[0], FOOT), (legs[1], top), (legs[2], top), (legs[3], FOOT)), **paint("derrick"))
        yield _lines(((0, FOOT), (WIDTH, FOOT)), stroke=self.look.text, stroke_width=2)

    @property
    def _beam(self) -> float:
        """Top of the derrick: under the crown, and under the whole travel of one that moves."""
        under = self.heights.stroke / 2 + _ROD if self.unit.under_crown else 0.0
        return self.heights.crown + under + 8

    def _under_crown(self, style: Style) -> Iterator[str]:
        """Two cylinders that stand in the top of the derrick and carry the crown block on their rods."""
        h, beam = self.heights, self._beam
        for side in (-1, 1):
            x = _CENTRE + side * (self.half + 7)
            yield _lines(((x, h.crown), (x, beam + h.stroke / 2)), stroke=self.look.text, stroke_width=2.5)
            yield from self._cylinder(x, 5, beam, beam + h.stroke + 8, beam + h.stroke / 2, style)
        right = _CENTRE + self.half + 12
        self.places[self.unit_key] = Place(_CENTRE - self.half - 12, right, beam + h.stroke / 2)
        yield from self._active(right + 4, beam, h.stroke)
        if self.locked:
            yield from self._bars(_CENTRE, self.half + 12, h.crown + 10)

    def _cylinder(
        self, x: float, half: float, top: float, foot: float, piston: float, style: Style
    ) -> Iterator[str]:
        yield _box(x, half, top, foot, **{**style, "fill_opacity": 0.35})
        yield _box(x, half, piston - 3, piston + 3, fill=self.look.text)

    def _active(self, x: float, top: float, stroke: float) -> Iterator[str]:
        """The cylinder of an active part beside the passive ones, dashed, with an arrow each way."""
        if not self.unit.has_active or self.unit.is_drawworks:
            return
        edge: Style = {"fill": "none", "stroke": self.look.text, "stroke_dasharray": "3 2"}
        yield _box(x + 3, 3, top, top + stroke + 8, **edge)
        yield _both_ways(x + 3, top + stroke / 2 + 4, 9, self.look)

    def _bars(self, x: float, half: float, y: float) -> Iterator[str]:
        """Bars across the rod of a locked unit."""
        for down in (0, 6):
            ends = ((x - half - 3, y + down), (x + half + 3, y + down))
            yield _lines(ends, stroke=self.look.text, stroke_width=3)

    def _lines(self, paint: Callable[[str], Style]) -> Iterator[str]:
        """Every line between crown and block, the fast line to the drum and the dead line to its anchor."""
        style = {**paint("drilling_line"), "fill": "none"}
        quarter, crown, block = self.step / 4, self.heights.crown, self.heights.block + _BLOCK / 2
        first = _CENTRE - self.half + quarter
        for place in range(self.path.count):
            x = first + place * self.step / 2
            yield _lines(((x, crown), (x, block)), **style)
        self.places["drilling_line"] = Place(first, _CENTRE + self.half - quarter, (crown + block) / 2)
        edge = self.half + quarter
        fast, dead = [(_CENTRE + edge, crown)], [(_CENTRE - edge, crown)]
        if self.unit.under_crown and self.path.lines_of_crown == LINES_OF_CROWN[0]:
            middle = (crown + self._beam) / 2
            for side in (-1, 1):
                x, end = _CENTRE + side * (edge + 13), _CENTRE + side * self.half
                arm = ((end, crown), (x, middle), (end, self._beam))
                yield _lines(arm, stroke=self.look.muted, stroke_width=1.5)
                yield _circle(x, middle, 4.5, **self._plain)
            fast.append((_CENTRE + edge + 17, middle))
            dead.append((_CENTRE - edge - 17, middle))
        yield _lines((*fast, (_DRUM + 12, FOOT - 18)), **style)
        yield _lines((*dead, (_ANCHOR, FOOT - 14)), **style)

    @property
    def _plain(self) -> Style:
        return {"fill": self.look.ground, "stroke": self.look.text, "stroke_width": 1.4}

    def _sheaves(self, paint: Callable[[str], Style]) -> Iterator[str]:
        """A sheave over each pair of lines: one more in the crown than in the block."""
        quarter, h = self.step / 4, self.heights
        ends = ((_CENTRE - self.half - 6, h.crown), (_CENTRE + self.half + 6, h.crown))
        yield _lines(ends, **{**paint("crown_block"), "stroke_width": 5})
        pairs = self.path.count // 2
        for place in range(pairs + 1):
            yield _circle(_CENTRE + (place - pairs / 2) * self.step, h.crown, quarter, **paint("crown_block"))
        self.places["crown_block"] = Place(ends[0][0], ends[1][0], h.crown)
        half, middle = max(self.half - quarter + 4, 16.0), h.block + _BLOCK / 2
        yield _box(_CENTRE, half, h.block, h.block + _BLOCK, **paint("travelling_block"))
        for place in range(pairs):
            x = _CENTRE + (place + 0.5 - pairs / 2) * self.step
            yield _circle(x, middle, quarter, **self._plain)
        self.places["travelling_block"] = Place(_CENTRE - half, _CENTRE + half, middle)

    def _drum(self, paint: Callable[[str], Style]) -> Iterator[str]:
        """The drum at the right, the anchor of the dead line at the left."""
        x, y = _DRUM, FOOT - 16
        yield _circle(x, y, 14, **paint("drawworks_pull"))
        yield _circle(x, y, 8, **self._plain)
        self.places["drawworks_pull"] = Place(x - 14, x + 14, y)
        yield _box(_ANCHOR, 7, FOOT - 14, FOOT, **paint("dead_line"))
        yield _circle(_ANCHOR, FOOT - 14, 4, **self._plain)
        self.places["dead_line"] = Place(_ANCHOR - 7, _ANCHOR + 7, FOOT - 7)
        if self.unit.is_drawworks:
            self.places[self.unit_key] = Place(x - 14, x + 14, y - 24)
            turn = f"M{x - 17} {y - 9}A19 19 0 0 1 {x + 17} {y - 9}"
            yield tag("path", d=turn, **{**paint(self.unit_key), "fill": "none", "stroke_width": 2})
            for end in (-1, 1):
                tip = f"M{x + end * 12} {y - 12}L{x + end * 17} {y - 7}L{x + end * 19} {y - 14}Z"
                yield tag("path", d=tip, fill=paint(self.unit_key)["stroke"])
            yield _both_ways(_CENTRE - max(self.half, 16) - 13, self.heights.block + 11, 20, self.look)

    def _hung(self, paint: Callable[[str], Style]) -> Iterator[str]:
        """What hangs under the block: an in-line unit, hook, top drive, links, elevators and string."""
        y = self.heights.block + _BLOCK
        if self.unit.under_block:
            stroke = self.heights.stroke
            foot, piston = y + stroke + _ROD, y + stroke / 2 + _ROD / 2
            rod = ((_CENTRE, piston), (_CENTRE, foot + stroke / 2 + _ROD))
            yield _lines(rod, stroke=self.look.text, stroke_width=3)
            yield from self._cylinder(_CENTRE, 12, y, foot, piston, paint(self.unit_key))
            yield from self._active(_CENTRE + 15, y, stroke)
            self.places[self.unit_key] = Place(_CENTRE - 12, _CENTRE + 12, (y + foot) / 2)
            if self.locked:
                yield from self._bars(_CENTRE, 8, foot + 8)
            y = rod[1][1]
        hook = f"M{_CENTRE} {y}v{_HOOK - 9}m-6 0a6 5 0 1 0 12 0"
        yield tag("path", d=hook, **{**paint("hook"), "fill": "none", "stroke_width": 2.5})
        self.places["hook"] = Place(_CENTRE - 7, _CENTRE + 7, y + _HOOK / 2)
        y += _HOOK
        yield _box(_CENTRE, 13, y, y + _TOP_DRIVE, **paint("top_drive"))
        self.places["top_drive"] = Place(_CENTRE - 13, _CENTRE + 13, y + _TOP_DRIVE / 2)
        y += _TOP_DRIVE
        for side in (-1, 1):
            link = ((_CENTRE + side * 9, y), (_CENTRE + side * 7, y + _LINKS))
            yield _lines(link, **{**paint("links"), "stroke_width": 2.5})
        self.places["links"] = Place(_CENTRE - 9, _CENTRE + 9, y + _LINKS / 2)
        y += _LINKS
        string = ((_CENTRE, y - _LINKS), (_CENTRE, FOOT + 26))
        yield _lines(string, **{**paint("tension"), "stroke_width": 3, "fill": "none"})
        yield _box(_CENTRE, 10, y, y + _ELEVATORS, **paint("elevators"))
        self.places["elevators"] = Place(_CENTRE - 10, _CENTRE + 10, y + _ELEVATORS / 2)
        self.places["tension"] = Place(_CENTRE - 3, _CENTRE + 3, max(y + 40, FOOT - 60))


def _lines(points: tuple[tuple[float, float], ...], **style: str | float) -> str:
    path = "M" + "L".join(f"{x:.6g} {y:.6g}" for x, y in points)
    return tag("path", d=path, **({"fill": "none"} | style))


def _box(x: float, half: float, top: float, foot: float, **style: str | float) -> str:
    return tag(
        "rect", x=x - half, y=round(top, 2), width=2 * half, height=round(foot - top, 2), rx=2, **style
    )


def _circle(x: float, y: float, radius: float, **style: str | float) -> str:
    return tag("circle", cx=round(x, 2), cy=round(y, 2), r=round(radius, 2), **style)


def _both_ways(x: float, y: float, half: float, look: Look) -> str:
    """An arrow up and down: what is moved both ways."""
    tips = f"M{x - 4} {y - half + 6}l4 -6l4 6M{x - 4} {y + half - 6}l4 6l4 -6"
    return tag("path", d=f"M{x} {y - half}V{y + half}{tips}", fill="none", stroke=look.text, stroke_width=1.6)
