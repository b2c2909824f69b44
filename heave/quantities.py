"""Quantities that more than one room holds to: each one object, with one pair of bounds, imported by all of them.

What only one room knows is declared there. A field made of one of these may say more in its label and help, but not
other bounds.
"""

from __future__ import annotations

from typing import Final

from heave.fields import Quantity

DIRECTION: Final = Quantity("Direction from", "direction", low=0.0, below=360.0)
"""By the compass."""

MOST_LINES: Final = 20
"""Most lines to the travelling block [-]."""

LINES: Final = Quantity("lines strung", "number", low=2, high=MOST_LINES)
"""To the travelling block. A hoisting path's are even besides, a drawworks' whole."""

LONGEST_HOLE: Final = 15_000.0
"""Longest way along a hole, and so deepest depth along it and longest part of what is in it [m]."""

PART_LENGTH: Final = Quantity("length along the hole", "length", low=0.1, high=LONGEST_HOLE)
"""Of a section of a string, or of an interval of a hole."""

DEPTH: Final = Quantity("depth", "length", low=0.0, high=LONGEST_HOLE)
"""Of the bit or a string, along the hole."""

MACHINE_POWER: Final = Quantity("power", "power", low=1e3, high=1e8)
"""Of drawworks, their brake, or the supply of an active part."""
