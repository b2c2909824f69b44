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
from heave.simulation.proof import Proof, Simulated, nothing_to_simulate, simulated
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
    "Proof",
    "Reconciliation",
    "RunStatistics",
    "Scenario",
    "SeedsResult",
    "Simulated",
    "SimulationCancelled",
    "SimulationResult",
    "Variant",
    "applies",
    "band_of",
    "busiest",
    "for_the_bit",
    "instant",
    "nothing_to_simulate",
    "reconcile",
    "regular_wave_heave",
    "report",
    "run",
    "shared_edges",
    "simulate",
    "simulate_seeds",
    "simulated",
    "stretch",
    "variants",
    "why_not",
    "without_drilling",
]
