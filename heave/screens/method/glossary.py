"""The words of the planner: one for each thing, what it means, and what it is never called."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Term:
    """A word as the trade uses it; `never` are other words for it that stand nowhere, in screens, files and guide."""

    word: str
    meaning: str
    never: tuple[str, ...] = ()


GLOSSARY: Final = (
    Term(
        "Accepted risk",
        "The chance, chosen by the user, that the largest motion or load of the exposure passes the one checked.",
        ("risk level", "exceedance level", "probability of failure"),
    ),
    Term(
        "Active part",
        "What adds driven force or movement to a compensator. It can be lost; the verdict without it stands beside.",
        ("active heave", "active system", "AHC"),
    ),
    Term(
        "Bottles",
        "Gas volume that can be opened to the compensator or shut off, a bank at a time.",
        ("cylinder bank",),
    ),
    Term(
        "Compensator, unit",
        "What stands between block and hook, under the crown, or in the drawworks, and takes up heave.",
        ("heave compensator unit",),
    ),
    Term(
        "Double amplitude",
        "From crest to trough. Single amplitude is half of it.",
        ("peak-to-peak", "peak to peak"),
    ),
    Term("Drawworks", "The winch that raises and lowers the travelling block.", ("draw works", "draw-works")),
    Term(
        "End reserve",
        "Stroke at each end that is not to be used in the plan.",
        ("stroke margin", "safety stroke"),
    ),
    Term(
        "Exposure",
        "How long the operation stands in the sea: with the accepted risk it sets the extreme.",
        ("duration of risk",),
    ),
    Term(
        "Fast line, dead line",
        "The line to the drawworks, and the one to the anchor.",
        ("fastline", "deadline anchor"),
    ),
    Term(
        "Forecast factor α",
        "By how much the limit in wave height is lowered because a forecast is not exact; 1 where it is.",
        ("alpha factor", "uncertainty factor"),
    ),
    Term(
        "Hook load",
        "What a load cell above the string shows at an instant; it swings with heave and is not what the bit feels.",
        ("hook-load", "hook weight"),
    ),
    Term(
        "Hookload",
        "Weight of the string in mud and all that hangs with it, off bottom and at rest: a number of the plan.",
    ),
    Term("Latched", "Held at its lower end, as a string fixed at the seabed.", ("locked to bottom",)),
    Term(
        "Lift-off, landing",
        "The bit leaves the rock, and meets it again.",
        ("liftoff", "touchdown", "touch-down"),
    ),
    Term(
        "Locked",
        "The compensator held so that the hook moves with the vessel.",
        ("locked-out", "blocked compensator"),
    ),
    Term(
        "Off-bottom period",
        "The period at which a string that hangs in the compensator rings.",
        ("free hanging period",),
    ),
    Term("Overpull", "Pull planned above the hookload.", ("over-pull",)),
    Term(
        "Range",
        "How far what is not known may be from its planned value; every check is also made at the worst ends.",
    ),
    Term(
        "Reference period",
        "Planned time of a step and its contingency: how long the weather has to hold.",
        ("operation reference time",),
    ),
    Term(
        "Response table",
        "Heave, roll and pitch for each metre of wave, over period and heading.",
        ("transfer table", "motion table"),
    ),
    Term("Seabed", "The ground under the water.", ("seafloor", "sea floor", "mudline")),
    Term(
        "Seal friction",
        "What holds the compensator still until the load has changed by more than it.",
        ("stiction", "breakout"),
    ),
    Term(
        "Set pressure",
        "Gas pressure that carries the load where the piston stands; gauge.",
        ("setting pressure",),
    ),
    Term(
        "Significant wave height, Hs",
        "Four times the standard deviation of the water level, crest to trough.",
    ),
    Term(
        "Stroke",
        "Travel of the compensator between its ends; measured from the middle, positive with the gas compressed.",
    ),
    Term("Stroke-out", "The compensator meets an end.", ("stroke out", "bottoming out", "topping out")),
    Term("Travelling block", "The block that hangs in the lines.", ("traveling block",)),
    Term(
        "Utilisation",
        "What is asked over what is allowed; 1 is the limit.",
        ("utilization", "unity check", "usage factor"),
    ),
    Term(
        "Vessel rising, vessel falling",
        "The two ways of heave; rising compresses the gas of a passive compensator.",
        ("upstroke", "up-stroke", "downstroke", "down-stroke"),
    ),
    Term("Weight on bit, WOB", "Force of the bit on the rock.", ("bit weight", "weight on the bit")),
    Term(
        "Wind sea, swell",
        "Waves of the wind that blows, and waves that came from elsewhere.",
        ("wind-sea", "windwaves"),
    ),
    Term(
        "Within, near, over a limit; not assessed",
        "The four verdicts. Near is above the caution level of the plan.",
        ("out of limits", "exceeded limits"),
    ),
)
"""In the order of the alphabet."""
