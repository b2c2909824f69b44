"""One look for every figure: the colours of a theme and the marks of the states."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from heave.judging.checks import NEAR, NOT_ASSESSED, OVER, WITHIN

FONT: Final = "system-ui, 'DejaVu Sans', 'Liberation Sans', Arial, sans-serif"

FILLS: Final = {WITHIN: "#0072B2", NEAR: "#E69F00", OVER: "#D55E00", NOT_ASSESSED: "#7A8696"}
"""Fill of each state: blue, orange and vermillion of the Okabe–Ito palette, and a grey."""


@dataclass(frozen=True)
class Look:
    """Colours for one background; text shades of the states keep at least 4.5 : 1 on it."""

    name: str
    text: str
    muted: str
    line: str
    track: str
    ground: str
    state_text: dict[str, str] = field(hash=False)
    sea: str
    heave: str
    ink: str = "#16202C"
    """Of marks on a fill of a state, which is the same on either background."""

    def fill(self, state: str) -> str:
        """Fill colour of a state."""
        return FILLS[state]

    def words(self, state: str) -> str:
        """Text colour of a state."""
        return self.state_text[state]


LIGHT: Final = Look(
    name="light",
    text="#16202C",
    muted="#566273",
    line="#9AA5B4",
    track="#E6EAF0",
    ground="#FFFFFF",
    state_text={WITHIN: "#005A8D", NEAR: "#805600", OVER: "#A34700", NOT_ASSESSED: "#566273"},
    sea="#0072B2",
    heave="#D55E00",
)
DARK: Final = Look(
    name="dark",
    text="#E8EDF3",
    muted="#A9B5C3",
    line="#667587",
    track="#26313D",
    ground="#10161E",
    state_text={WITHIN: "#7CC4EE", NEAR: "#F0B63C", OVER: "#F59563", NOT_ASSESSED: "#A9B5C3"},
    sea="#56B4E9",
    heave="#E8702A",
)


def look_for(theme: str | None) -> Look:
    """The look for a theme type, 'light' or 'dark'; light where it is not known."""
    return DARK if theme == "dark" else LIGHT


_TOPS: Final = {WITHIN: -1, NEAR: 5, OVER: 11, NOT_ASSESSED: -7}


def mark_paths(state: str) -> tuple[str, str]:
    """The two strokes of a state's mark, limit line and swell, about its centre in px, y up.

    Our mark: a level line, the limit, and a swell well below it, up to it, or through it.
    """
    level, top = 3 if state == OVER else 6, _TOPS[state]
    ends = "L -7 {0} M -2 {0} L 2 {0} M 7 {0} L 11 {0}" if state == NOT_ASSESSED else "L 11 {0}"
    swell = f"M -11 -10 L -11 -7 C -6 -7 -5 {top} 0 {top} C 5 {top} 6 -7 11 -7 L 11 -10 Z"
    return f"M -11 {level} {ends.format(level)}", swell


def mark_parts(state: str, look: Look) -> str:
    """A state's mark as SVG about its centre, y up."""
    limit, swell = mark_paths(state)
    colour = look.words(state)
    fill = "none" if state == NOT_ASSESSED else colour  # empty where there is no answer
    return (
        f'<g stroke="{colour}" stroke-linejoin="round"><path d="{swell}" fill="{fill}" stroke-width="1"/>'
        f'<path d="{limit}" fill="none" stroke-width="1.8"/></g>'
    )


def mark_svg(state: str, look: Look, size: int = 44) -> str:
    """A state's mark as a small SVG picture."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}" height="{size}" viewBox="-12 -12 24 24">'
        f'<g transform="scale(1,-1)">{mark_parts(state, look)}</g></svg>'
    )
