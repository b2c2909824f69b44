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

__all__ = [
    "GRADES",
    "HEAVY_WEIGHT_CHOICES",
    "HOOKLOAD",
    "LOSS_FACTOR",
    "MOTIONS",
    "PIPE_CHOICES",
    "PIPE_CLASSES",
    "STIFF_WALL",
    "BottomHole",
    "Buckling",
    "DrillString",
    "Extremes",
    "HoleInterval",
    "JobHookload",
    "Motion",
    "RodDynamics",
    "Section",
    "SectionTension",
    "Well",
    "bottom_hole",
    "bottom_hole_assembly",
    "buckling",
    "collar",
    "critical_forces",
    "drill_pipe",
    "first_free_fixed_period",
    "first_on_bottom_period",
    "heavy_weight",
    "hookload_at",
    "hookload_over_job",
    "neutral_height",
    "rod_dynamics",
    "vertical",
]
