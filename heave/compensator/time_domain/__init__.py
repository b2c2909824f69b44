"""Time domain: the string as modes, the unit with all its limits, stepped through heave."""

from heave.compensator.time_domain.case import (
    BLOCK_MOVES,
    CONTACTS,
    FEED_SPEED,
    Contact,
    Event,
    EventKind,
    SimulationCase,
    simulation_case,
)
from heave.compensator.time_domain.components import STEEPEST, Components, components, irregular_heave
from heave.compensator.time_domain.heave_motion import (
    HeaveMotion,
    regular_heave,
    sampled_heave,
)
from heave.compensator.time_domain.simulation import (
    TIME_STEP,
    Run,
    simulate_cases,
)
from heave.compensator.time_domain.string_model import StringModel, string_model
from heave.compensator.time_domain.summary import STUCK_MARGIN, Summary
