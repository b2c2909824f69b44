"""Sides of a comparison: a variant with its run, its colour, and the panels that show it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from heave.judging.results import BitBand
from heave.screens.figures.look import Look
from heave.simulation.bands import Bands
from heave.simulation.comparisons import Variant
from heave.simulation.simulate import SimulationResult

PANELS: Final[tuple[tuple[str, str, str], ...]] = (
    ("heave", "Heave of the hoist", "length"),
    ("stroke", "Stroke from mid-stroke", "length"),
    ("hook_load", "Hook load, the load cell", "force"),
    ("bit_force", "Weight on bit", "force"),
)
"""Traces from top to bottom: name in a result, title, kind of quantity."""


@dataclass(frozen=True)
class Side:
    """One variant as it was played (`heave.simulation.played`); `letter` is A or B.

    result : its run; band : of weight on bit; bands : by panel; without : why there are none, or nothing
    """

    letter: str
    variant: Variant
    result: SimulationResult
    band: BitBand | None
    bands: Bands = field(default_factory=dict)
    without: str = ""

    @property
    def name(self) -> str:
        """Letter and label."""
        return f"{self.letter} {self.variant.label}"

    @property
    def dash(self) -> str:
        """A's lines are drawn through, B's are dashed."""
        return "solid" if self.letter == "A" else "6px,3px"

    @property
    def dots(self) -> str:
        """How what is predicted for the side is drawn."""
        return "dot" if self.letter == "A" else "dashdot"

    def colour(self, look: Look) -> str:
        """Colour of side A or B."""
        return look.sea if self.letter == "A" else look.heave

    def nominal(self, factor: float) -> list[float]:
        """Edges of the nominal band in units of `factor` [N]; none where there is no band."""
        return [] if self.band is None else [edge / factor for edge in self.band.span(self.band.nominal)]

    def checked(self, factor: float) -> list[float]:
        """Edges of the high band in units of `factor` [N], where the checks compare that with a limit."""
        bands = self.bands.get("bit_force", ())
        return [edge / factor for band in bands if band.checked for edge in (band.low, band.high)]
