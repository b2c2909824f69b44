"""Our own drawing of a rig in heave: derrick, crown, block, compensator, hook, string, bit, and two gauges.

Heights above the drill floor are to scale in metres; the string is shortened, and a bit off the rock is
shown twenty times as far off as it is. Every part is a list of points whose x never moves, so that a
frame of the animation is nothing but new y.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.simulation.simulate import SimulationResult

Line = tuple[tuple[float, ...], tuple[float, ...]]
"""Places across and heights of the points of one line [m]."""

LIFT_SCALE: Final = 20.0
"""How many times a bit off the rock is drawn further off than it is."""

ROD: Final = 0.8
"""Rod that always sticks out of the cylinder [m]."""

TOP: Final = 2.6
"""From the highest place of the block up to the crown [m]."""

FLOOR: Final = 2.6
"""From the lowest place of the hook down to the drill floor [m]."""

BELOW: Final = 5.6
"""From the floor down to the rock [m of the drawing]."""

BEAM: Final = 0.4
"""Height of the crown that a unit under it carries [m]."""

SHORT: Final = 1.0
"""From the block to the hook where no compensator hangs between them [m]."""

_CYLINDERS: Final = (-0.23, 0.23)
"""Places of the cylinders beside the crown, from the middle."""

_COIL: Final = 13
_GAP: Final = math.nan


@dataclass(frozen=True)
class Frame:
    """Where things are at one instant: positions above rest [m], and how full the gauges are, 0 to 1.

    `lift` is how far the bit is off the rock [m].
    """

    heave: float
    block: float
    hook: float
    stroke: float
    lift: float
    hook_load: float
    bit_force: float


@dataclass(frozen=True)
class Shape:
    """Points of one part: x that stays, y that moves."""

    x: tuple[float, ...]
    y: tuple[float, ...]


@dataclass(frozen=True)
class Rig:
    """A rig to draw: where it stands, and what hangs between block and hook.

    centre : its place across the drawing
    stroke : of the compensator [m]; None without cylinders
    room : stroke that room is kept for, the same for rigs side by side [m]
    travel : farthest block or vessel movement drawn [m]
    locked : a bar through the rod
    start : start position from mid-stroke [m]
    fall : how far feeding lowers block and hook in the stretch [m]
    under_crown : the cylinders stand beside the crown and carry it, and with it lines and block
    """

    centre: float
    stroke: float | None
    room: float
    travel: float
    locked: bool = False
    start: float = 0.0
    fall: float = 0.0
    under_crown: bool = False

    @property
    def link(self) -> float:
        """From block to hook, which is at zero, both at rest [m]: the rod sticks out even at the end of the stroke."""
        return 1.5 * self.room + ROD + max(self.start, 0.0)

    @property
    def crown(self) -> float:
        """Height of the crown, the vessel at rest [m]."""
        return self.link + self.travel + TOP

    @property
    def top(self) -> float:
        """Highest that anything of the rig is drawn, the vessel at rest [m]."""
        if not self.under_crown or self.stroke is None:
            return self.crown
        return self.crown + self.stroke + 0.22 + ROD + BEAM

    @property
    def floor(self) -> float:
        """Height of the drill floor, the vessel at rest [m]."""
        return -self.room / 2 - self.travel - self.fall - FLOOR

    @property
    def gauge(self) -> float:
        """Place of the gauges across the drawing."""
        return self.centre + 0.42

    @property
    def rock(self) -> float:
        """Height of the rock [m of the drawing]."""
        return self.floor - self.travel - BELOW


def frame_at(
    result: SimulationResult, row: int, spans: tuple[tuple[float, float], tuple[float, float]]
) -> Frame:
    """The instant at `row` of a run; `spans` are the least and greatest of hook load and bit force gauges."""
    rate, lift = result.plan.offsets.penetration_rate, 0.0
    if result.lift_off[row] and result.plan.wob > 0:
        lift = max(float(result.bit[row]) + rate * float(result.time[row]), 0.0)
    heave, block, hook, stroke = (
        float(place[row]) for place in (result.heave, result.block, result.hook, result.stroke)
    )
    hook_load, bit_force = (
        min(max((float(force[row]) - low) / (high - low), 0.0), 1.0)
        for force, (low, high) in zip((result.hook_load, result.bit_force), spans, strict=True)
    )
    return Frame(heave, block, hook, stroke, lift, hook_load, bit_force)


def vessel_shape(rig: Rig, now: Frame) -> Shape:
    """Floor, derrick, cylinders beside the crown, and the lines down to the block."""
    c, floor, crown = rig.centre, rig.floor + now.heave, rig.crown + now.heave
    raised, block = (_raised(rig, now), now.hook + SHORT) if _carried(rig) else (crown, rig.link + now.block)
    cylinders = []
    if rig.stroke is not None and _carried(rig):
        cylinders = [_box(c + side, 0.035, crown - rig.stroke - 0.44, crown) for side in _CYLINDERS]
    return _joined(
        ((c - 0.45, c - 0.06), (floor, floor)),
        ((c + 0.06, c + 0.45), (floor, floor)),
        ((c - 0.32, c - 0.17, c + 0.17, c + 0.32), (floor, crown, crown, floor)),
        ((c - 0.05, c - 0.05), (raised, block + 0.5)),
        ((c + 0.05, c + 0.05), (raised, block + 0.5)),
        *cylinders,
    )


def body_shape(rig: Rig, now: Frame) -> Shape:
    """Outlines of block, cylinder, rod, hook, string and bit; of a unit under the crown, its rods and the crown."""
    c, hook = rig.centre, now.hook
    parts = _hung_from_crown(rig, now) if _carried(rig) else _hung_from_block(rig, now)
    bit = rig.rock + LIFT_SCALE * now.lift
    parts += [
        _box(c, 0.055, hook - 0.9, hook),
        _coil(c, hook - 0.9, bit + 0.9),
        ((c - 0.06, c + 0.06, c, c - 0.06), (bit + 0.9, bit + 0.9, bit, bit + 0.9)),
    ]
    return _joined(*parts, *(_box(rig.gauge, 0.03, low, high) for _, low, high in _gauges(rig)))


def _hung_from_block(rig: Rig, now: Frame) -> list[Line]:
    """Block, cylinder, rod, and the bar that locks it."""
    c, block, hook = rig.centre, rig.link + now.block, now.hook
    parts = [_box(c, 0.1, block, block + 0.6)]
    rod = block
    if rig.stroke is not None:
        rod = _piston(rig.stroke, now, block)
        parts.append(_box(c, 0.08, block - rig.stroke - 0.44, block))
    parts.append(((c, c), (rod, hook)))
    return parts + (_bars(c, hook, block) if rig.locked else [])


def _hung_from_crown(rig: Rig, now: Frame) -> list[Line]:
    """Block and hook on the lines, the crown with its two rods, and the bars that lock it."""
    c, crown, raised, block = rig.centre, rig.crown + now.heave, _raised(rig, now), now.hook + SHORT
    parts = [
        _box(c, 0.1, block, block + 0.6),
        ((c, c), (block, now.hook)),
        _box(c, 0.26, raised, raised + BEAM),
    ]
    piston = _piston(rig.stroke or 0.0, now, crown)
    parts += [((c + side, c + side), (piston, raised)) for side in _CYLINDERS]
    return parts + (_bars(c, crown, raised) if rig.locked else [])


def _bars(centre: float, low: float, high: float) -> list[Line]:
    levels = [low + place * (high - low) for place in (0.35, 0.55)]
    return [((centre - 0.14, centre + 0.14), (level - 0.25, level + 0.25)) for level in levels]


def fill_shape(rig: Rig, now: Frame) -> Shape:
    """Filled parts: piston and the levels of the two gauges."""
    parts = []
    if rig.stroke is not None and _carried(rig):
        piston = _piston(rig.stroke, now, rig.crown + now.heave)
        parts += [_box(rig.centre + side, 0.035, piston - 0.22, piston + 0.22) for side in _CYLINDERS]
    elif rig.stroke is not None:
        piston = _piston(rig.stroke, now, rig.link + now.block)
        parts.append(_box(rig.centre, 0.08, piston - 0.22, piston + 0.22))
    for (_, low, high), level in zip(_gauges(rig), (now.hook_load, now.bit_force), strict=True):
        parts.append(_box(rig.gauge, 0.03, low, low + max(level, 0.005) * (high - low)))
    return _joined(*parts)


def gauge_labels(rig: Rig) -> tuple[tuple[float, float, str], ...]:
    """Place across, height and word of each gauge's label."""
    return tuple((rig.gauge, top, word) for word, _, top in _gauges(rig))


def _carried(rig: Rig) -> bool:
    """Whether cylinders beside the crown carry it."""
    return rig.under_crown and rig.stroke is not None


def _raised(rig: Rig, now: Frame) -> float:
    """Height of the crown on its rods, which are as long as the cylinders and stick out at the end of the stroke."""
    stroke = rig.stroke or 0.0
    return _piston(stroke, now, rig.crown + now.heave) + stroke + 0.44 + ROD


def _piston(stroke: float, now: Frame, top: float) -> float:
    """Height of the piston in a cylinder whose upper end is at `top`: down as the gas is compressed."""
    return top - 0.22 - stroke / 2 - now.stroke


def _gauges(rig: Rig) -> tuple[tuple[str, float, float], ...]:
    """Word, foot and top of the gauges, of the hook load half way up and of the bit force at the bit."""
    middle = (rig.crown + rig.floor) / 2
    return ("hook", middle - 3.0, middle + 3.0), ("bit", rig.rock + 0.2, rig.rock + BELOW - 0.8)


def _box(centre: float, half: float, low: float, high: float) -> Line:
    left, right = centre - half, centre + half
    return (left, right, right, left, left), (low, low, high, high, low)


def _coil(centre: float, top: float, low: float) -> Line:
    """The string, drawn as what it is to a driller pulling on it: a long spring."""
    share = np.linspace(0.0, 1.0, _COIL)
    side = np.where(np.arange(_COIL) % 2 == 0, -0.035, 0.035)
    side[0] = side[-1] = 0.0
    return tuple(float(v) for v in centre + side), tuple(float(v) for v in top + share * (low - top))


def _joined(*parts: Line) -> Shape:
    """Parts in one list of points with a gap between them."""
    x: list[float] = []
    y: list[float] = []
    for across, up in parts:
        x += [*across, _GAP]
        y += [*up, _GAP]
    return Shape(tuple(x[:-1]), tuple(y[:-1]))
