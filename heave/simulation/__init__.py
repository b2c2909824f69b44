"""A plan through time: runs, what is set side by side, what a run says, and measured records."""

from heave.simulation.comparisons import (
    COMPARISONS,
    Variant,
    band_of,
    for_the_bit,
    variants,
    why_not,
    without_drilling,
)
from heave.simulation.reconcile import Reconciliation, reconcile
from heave.simulation.scenario import HAPPENINGS, SOURCES, Happening, MeasuredHeave, Scenario, applies, run
from heave.simulation.simulate import (
    Event,
    HeaveMotion,
    SeedsResult,
    SimulationCancelled,
    SimulationResult,
    regular_wave_heave,
    simulate,
    simulate_seeds,
)
from heave.simulation.statistics import (
    LiftOff,
    RunStatistics,
    busiest,
    instant,
    report,
    shared_edges,
    stretch,
)

__all__ = [
    "COMPARISONS",
    "HAPPENINGS",
    "SOURCES",
    "Event",
    "Happening",
    "HeaveMotion",
    "LiftOff",
    "MeasuredHeave",
    "Reconciliation",
    "RunStatistics",
    "Scenario",
    "SeedsResult",
    "SimulationCancelled",
    "SimulationResult",
    "Variant",
    "applies",
    "band_of",
    "busiest",
    "for_the_bit",
    "instant",
    "reconcile",
    "regular_wave_heave",
    "report",
    "run",
    "shared_edges",
    "simulate",
    "simulate_seeds",
    "stretch",
    "variants",
    "why_not",
    "without_drilling",
]
