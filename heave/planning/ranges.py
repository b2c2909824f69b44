"""What is not known of a plan: how far each input may be from its planned value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from heave import fields

GAS_FORCE_PER_KELVIN: Final = 0.005
"""Share by which the force of shut-in gas changes per kelvin: 3.5 to 5 % in 10 K, the ideal gas and nitrogen at
pressure (see `compensator.setting.TEMPERATURE_NOTE`); the larger is used [1/K]."""


def _either_way(label: str, kind: str = "fraction", *, usual: float, high: float, help: str) -> Any:
    """A range that nobody has said anything of is the `usual` one; 0 is no doubt."""
    return fields.quantity(label, kind, default=usual, low=0.0, high=high, help=help)


@dataclass(frozen=True)
class Ranges:
    """How far from the planned value each unknown may be, either way; zero is no doubt at all.

    Every check is worked at the planned values and at the worst of these ranges together. The defaults are common
    practice where nothing else is said; a rig that has measured its own puts those here.
    """

    gas_index: float = _either_way(
        "Gas index, share of the unit's own range",
        usual=1.0,
        high=1.0,
        help="Between the unit's low index (slow, constant temperature) and its high one (waves), or nitrogen's at "
        "that pressure where it is higher.",
    )
    gas_temperature: float = _either_way(
        "Gas temperature since setting",
        "kelvin",
        usual=10.0,
        high=60.0,
        help="Sun, spray and night. 10\u00a0K moves the gas force by 3.5 to 5\u00a0%; 5\u00a0% is counted.",
    )
    seal_friction: float = _either_way(
        "Seal friction",
        usual=0.5,
        high=0.9,
        help="1 to 3\u00a0% of the load about 2\u00a0%: common practice, no source.",
    )
    active_lost: float = _either_way(
        "Part of the active gain lost",
        usual=0.05,
        high=1.0,
        help="A worn or badly tuned loop. The loss of the whole is the plan with the active part off.",
    )
    hookload: float = _either_way(
        "Hookload and WOB against the indicator",
        usual=0.03,
        high=0.3,
        help="The indicator is read at the dead line; a few per cent, from memory.",
    )
    heave: float = _either_way(
        "Heave response of the vessel",
        usual=0.1,
        high=0.5,
        help="Computed responses and model tests differ by some 10\u00a0%, from memory; a calibration narrows it.",
    )
    sea_height: float = _either_way(
        "Wave height beyond the forecast",
        usual=0.0,
        high=0.5,
        help="Zero: the forecast factor counts the forecast's own doubt. More for a sea read by eye.",
    )
    sea_period: float = _either_way(
        "Wave period beyond the forecast",
        usual=0.0,
        high=0.3,
        help="Both ways. Zero until someone says how far the periods sent have been off here.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)


CLOSED: Final = Ranges(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
"""No doubt at all: the planned values alone."""

USUAL: Final = Ranges()
"""The defaults."""
