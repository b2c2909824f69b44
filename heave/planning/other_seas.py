"""What the user decides about seas other than the plan's own: headings over a climate, and what grows to the limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

from heave import fields

HeadingRule = Literal["fixed", "head", "sector", "best"]

HEADING_RULES: Final[tuple[HeadingRule, ...]] = get_args(HeadingRule)
"""How the bow lies over a climate, from the plan's heading to the best of all at each sea."""

Bearing = Literal["plan", "all round"]

BEARINGS: Final[tuple[Bearing, ...]] = get_args(Bearing)
"""Where the waves of a diagram without sectors come from: as in the plan's own sea, or from all round alike."""

GrowthRule = Literal["one beside the others", "one alone", "all together"]

GROWTH_RULES: Final[tuple[GrowthRule, ...]] = get_args(GrowthRule)
"""What is made higher until a check reaches its limit: one wave system, the others as planned or left out, or all of
them by one factor."""

SystemPlace = Literal["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"]

SYSTEM_PLACES: Final[tuple[SystemPlace, ...]] = get_args(SystemPlace)
"""Places of the wave systems of a sea, as many as it can have."""


@dataclass(frozen=True)
class OtherSeas:
    """The question put to a climate and to limiting seas; nothing of it moves the assessment of the plan's own sea.

    A scatter diagram or a hindcast is a file, and no part of the plan. A sea that has not so many wave systems, or
    one only, is grown as the first way has it; what was picked stays for the next sea.
    """

    headings: HeadingRule = fields.choice(
        "Headings over a climate",
        HEADING_RULES,
        default="fixed",
        help="The plan's, bow to the waves, best in the bow's sector, or best of all at each sea.",
    )
    bearing: Bearing = fields.choice(
        "Waves of a climate come from",
        BEARINGS,
        default="plan",
        help="Of a scatter diagram without sectors: as in the plan's own sea, or all round alike.",
    )
    growth: GrowthRule = fields.choice(
        "Waves that grow to the limit",
        GROWTH_RULES,
        default="one beside the others",
        help="What is made higher until a check reaches its limit.",
    )
    growing_system: SystemPlace = fields.choice(
        "Wave system that grows",
        SYSTEM_PLACES,
        default="first",
        help="Its place in the plan's sea; where all grow together it does not matter.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)


AS_USUAL: Final = OtherSeas()
"""What a new plan asks of other seas."""
