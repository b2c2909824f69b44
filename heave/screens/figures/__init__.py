"""Figures of the screens: functions from results to Plotly figures, and to SVG where nothing on them moves.

Those of the check page, which opens first; those of other pages are imported from where they stand.
"""

from heave.screens.figures.bit_band import bit_figure, bit_words
from heave.screens.figures.chart import HOVER, Chart
from heave.screens.figures.curves import load_figure, response_figure
from heave.screens.figures.look import DARK, LIGHT, Look, look_for, mark_svg
from heave.screens.figures.spectra import spectra_figure, spectrum_preview
from heave.screens.figures.stroke_column import stroke_figure, stroke_words
from heave.screens.figures.utilisation import (
    simulated_text,
    utilisation_figure,
    utilisation_text,
    utilisation_words,
)

__all__ = [
    "DARK",
    "HOVER",
    "LIGHT",
    "Chart",
    "Look",
    "bit_figure",
    "bit_words",
    "load_figure",
    "look_for",
    "mark_svg",
    "response_figure",
    "simulated_text",
    "spectra_figure",
    "spectrum_preview",
    "stroke_figure",
    "stroke_words",
    "utilisation_figure",
    "utilisation_text",
    "utilisation_words",
]
