"""The load a compensator gives over its stroke: gas curve with its friction, rating, load of the plan, the ends."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

from heave.judging.checks import NOT_ASSESSED, OVER
from heave.planning.rig import Compensator, GasUnit, LoadCurve
from heave.screens.figures.look import Look
from heave.screens.figures.svg import Across, Picture, box, line, tag, text, upright
from heave.units import show, significant, unit_of

HEIGHT = 356
_LEFT, _RIGHT = 0.07, 0.93
_TOP, _FOOT = 26.0, 252.0
_GAP = 17.0
_KEY = _FOOT + 60.0
_FAR = 1.6
"""A rating further above the curve than this is told and not drawn: it would flatten the curve."""


def load_picture(unit: GasUnit, curve: LoadCurve, load: float, look: Look, system: str = "metric") -> Picture:
    """The load over the stroke as SVG, from nothing up: left the gas expanded, right compressed.

    Parameters
    ----------
    unit : the compensator
    curve : its load with friction, vessel rising and falling
    load : of the plan, on it [N]
    look : colours
    system : of units
    """
    gas: list[float] = ((curve.rising + curve.falling) / 2).tolist()
    half, high = float(curve.x[-1]), float(curve.rising.max())
    levels = {"rating compensating": unit.compensated_rating, "load of the plan": load}
    drawn = {name: value for name, value in levels.items() if value <= _FAR * high}
    top = 1.06 * max(high, *drawn.values())

    def across(x: float) -> Across:
        return Across(_LEFT + (_RIGHT - _LEFT) * (x + half) / (2 * half))

    def level(force: float) -> float:
        return _FOOT - (_FOOT - _TOP) * force / top

    grey = look.fill(NOT_ASSESSED)
    places, ends = [across(float(x)) for x in curve.x], zip(curve.falling, curve.rising, strict=True)
    friction = [
        box(one, other, level(float(low)), level(float(high)), grey)
        for (one, other), (low, high) in zip(pairwise(places), ends, strict=False)
    ]
    parts = [tag("g", "".join(friction), opacity=0.35)]
    parts += [
        line(one, level(y1), other, level(y2), look.sea, stroke_width=2.5)
        for (one, y1), (other, y2) in pairwise(zip(places, gas, strict=True))
    ]
    for name, force in drawn.items():
        colour, y = look.fill(OVER) if "rating" in name else look.text, level(force)
        parts.append(line(Across(_LEFT), y, Across(_RIGHT), y, colour, stroke_width=1.8))
    for end in (-half, half):
        parts.append(upright(across(end), _TOP, _FOOT, look.text, 2.5))
        reserve = across(end - unit.end_reserve if end > 0 else end + unit.end_reserve)
        if unit.end_reserve > 0:
            parts.append(upright(reserve, _TOP, _FOOT, look.muted, 1.2, "3 3"))
    parts.append(line(Across(_LEFT), _FOOT, Across(_RIGHT), _FOOT, look.muted))
    parts += _words(gas, drawn, look, system)
    parts += _scale(half, look, across, system)
    return Picture(HEIGHT, "Load over the stroke", load_words(unit, curve, load, system), *parts)


def _words(gas: Sequence[float], drawn: Mapping[str, float], look: Look, system: str) -> list[str]:
    """What the lines are, each behind a piece of it, under the picture: there is room at any width."""
    first, last = show(gas[0], "force", system), show(gas[-1], "force", system)
    labels = [(f"{name} {show(value, 'force', system)}", name) for name, value in drawn.items()]
    labels.append((f"gas {first} expanded, {last} compressed", "gas"))
    colours = {"gas": look.sea, "rating compensating": look.words(OVER)}
    found = []
    for place, (words, name) in enumerate(labels):
        y = _KEY + _GAP * place
        colour = look.fill(OVER) if "rating" in name else colours.get(name, look.text)
        found.append(tag("rect", x=0, y=y - 1.2, width=22, height=2.4, fill=colour))
        found.append(text(Across(0.0, 30), y, words, colours.get(name, look.text), size=12))
    return found


def _scale(half: float, look: Look, across: Callable[[float], Across], system: str) -> list[str]:
    """The stroke under the curve."""
    unit = unit_of("length", system)
    found = []
    for x in (-half, 0.0, half):
        figure = ("+" if x > 0 else "") + significant(x / unit.factor)
        found.append(text(across(x), _FOOT + 16, figure, look.muted, anchor="middle"))
    words = f"{unit.symbol} from mid-stroke · right: gas compressed · grey: friction"
    found.append(text(Across(0.0), _FOOT + 36, words, look.muted, size=12))
    return found


def load_words(unit: Compensator, curve: LoadCurve, load: float, system: str = "metric") -> str:
    """The picture in words, for those who cannot see it.

    Parameters
    ----------
    unit, curve, load, system : as `load_picture`
    """
    ends = [show(float(force), "force", system) for force in (curve.falling[0], curve.rising[-1])]
    return (
        f"Load over the stroke of {show(2 * float(curve.x[-1]), 'length', system)}: {ends[0]} with the gas expanded to "
        f"{ends[1]} compressed, friction included; load of the plan {show(load, 'force', system)}, rating compensating "
        f"{show(unit.compensated_rating, 'force', system)}"
    )
