"""Drill string: sections, weight in mud and hookload, stiffness and rod dynamics, pipe tables."""

from heave.drill_string.sections import DrillString, Section, SectionTension

__all__ = ["DrillString", "Section", "SectionTension"]
