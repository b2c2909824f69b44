"""Drill string: sections, weight in mud and hookload over the job, stiffness and rod dynamics, pipe tables."""

from heave.drill_string.bottom_hole import (
    STIFF_WALL,
    BottomHole,
    Buckling,
    bottom_hole,
    bottom_hole_assembly,
    buckling,
    critical_forces,
    neutral_height,
)
from heave.drill_string.job import (
    MOTIONS,
    Extremes,
    JobHookload,
    Motion,
    hookload_at,
    hookload_over_job,
)
from heave.drill_string.pipes import (
    GRADES,
    HEAVY_WEIGHT_CHOICES,
    PIPE_CHOICES,
    PIPE_CLASSES,
    collar,
    drill_pipe,
    heavy_weight,
)
from heave.drill_string.rod import (
    LOSS_FACTOR,
    RodDynamics,
    first_free_fixed_period,
    first_on_bottom_period,
    rod_dynamics,
)
from heave.drill_string.sections import HOOKLOAD, DrillString, Section, SectionTension
from heave.drill_string.well import HoleInterval, Well, vertical
