"""The limiting sea of every column on one axis."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import streamlit as st

from heave.screens import pieces
from heave.screens.figures import Look
from heave.screens.figures.limit_curves import limit_figure, limit_words
from heave.screens.inputs import plain
from heave.studies.compare import Side, limit_curve

_curve = lru_cache(maxsize=32)(limit_curve)
"""The curve of a plan; plans are frozen values, so equal ones share it."""


def draw(sides: Sequence[Side], system: str, look: Look) -> None:
    """The largest Hs of the first wave system against its peak period, a line a column."""
    curves = [(side, _curve(side.plan.without_other_seas)) for side in sides]
    known = [(side, curve) for side, curve in curves if curve is not None]
    if known:
        figure = limit_figure(known, look, system)
        pieces.chart(figure, "compare", limit_words(known, system), name="Limiting sea of every column")
        st.caption(
            "Largest Hs of the first wave system at each peak period, other systems, heading and everything else as in "
            "the plan of the line; where a line ends, no check reaches 1 up to 20\u00a0m. The ranges of what "
            "is not known are not counted, nor what is listed above as not judged. Dots: the sea as planned."
        )
    measured = [side.name for side, curve in curves if curve is None]
    if measured:
        words = f"No curve for {', '.join(measured)}: a measured spectrum has no one period to change."
        st.caption(plain(words))
