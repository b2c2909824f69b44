"""A variant run in a scenario, with what is predicted for that very run."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from heave.judging import assess
from heave.judging.results import BitBand
from heave.simulation.bands import Bands, bands_for, bit_band_for, no_band_words
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Scenario, run
from heave.simulation.simulate import SimulationResult


class Played(NamedTuple):
    """A run and its predictions.

    result : of the run
    band : of weight on bit, None where none belongs to it
    bands : by panel
    without : why there are none, or nothing
    """

    result: SimulationResult
    band: BitBand | None
    bands: Bands
    without: str


def play(variant: Variant, scenario: Scenario, progress: Callable[[float], None] | None = None) -> Played:
    """Simulate a variant in a scenario, assess its plan, and keep of that what belongs to the run.

    Parameters
    ----------
    variant : what stands between block and bit
    scenario : heave and events
    progress : called now and then with the share of the simulation that is done, 0 to 1; what it raises is raised

    Returns
    -------
    Played

    Raises
    ------
    InputError
        If something is out of range.
    """
    result = run(variant, scenario, progress)
    asked = variant, assess(variant.plan), scenario
    return Played(result, bit_band_for(*asked), bands_for(*asked), no_band_words(*asked))
