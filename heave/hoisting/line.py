"""Drilling line."""

from __future__ import annotations

from dataclasses import dataclass

from heave.fields import quantity, text, validate


@dataclass(frozen=True)
class DrillingLine:
    """The drilling line: what it measures, weighs and breaks at."""

    name: str = text("drilling line")
    diameter: float = quantity("line diameter", "diameter", low=0.01, high=0.08)
    strength: float = quantity("breaking strength of the line", "force", low=1e4, high=1e7)
    linear_mass: float = quantity("mass per metre of the line", "linear_mass", low=0.3, high=30.0)

    def __post_init__(self) -> None:
        validate(self)
