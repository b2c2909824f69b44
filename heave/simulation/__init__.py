"""A plan through time: runs, what is set side by side, what a run says, and measured records."""

from heave.simulation.reconcile import Reconciliation, reconcile
from heave.simulation.run_report import LiftOff, RunReport, busiest, instant, report, shared_edges, stretch
from heave.simulation.setups import (
    COMPARISONS,
    Setup,
    band_of,
    for_the_bit,
    set_ups,
    why_not,
    without_drilling,
)
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
from heave.simulation.trial import HAPPENINGS, SOURCES, Happening, MeasuredHeave, Trial, applies, run

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
    "RunReport",
    "SeedsResult",
    "Setup",
    "SimulationCancelled",
    "SimulationResult",
    "Trial",
    "applies",
    "band_of",
    "busiest",
    "for_the_bit",
    "instant",
    "reconcile",
    "regular_wave_heave",
    "report",
    "run",
    "set_ups",
    "shared_edges",
    "simulate",
    "simulate_seeds",
    "stretch",
    "why_not",
    "without_drilling",
]
