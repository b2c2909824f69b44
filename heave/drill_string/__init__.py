"""Drill string: sections, weight in mud and hookload, stiffness and rod dynamics, pipe tables."""

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

__all__ = [
    "GRADES",
    "HEAVY_WEIGHT_CHOICES",
    "HOOKLOAD",
    "LOSS_FACTOR",
    "PIPE_CHOICES",
    "PIPE_CLASSES",
    "DrillString",
    "RodDynamics",
    "Section",
    "SectionTension",
    "collar",
    "drill_pipe",
    "first_free_fixed_period",
    "first_on_bottom_period",
    "heavy_weight",
    "rod_dynamics",
]
