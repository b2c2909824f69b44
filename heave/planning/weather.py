"""What the user decides about weather: the steps, how far a forecast is trusted, the bow, and the clock."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final, Literal, get_args

import numpy as np

from heave import fields
from heave.errors import InputError
from heave.planning.alpha import BASE_CASE, AlphaTable
from heave.planning.campaign import Campaign
from heave.planning.columns import ForecastMapping
from heave.planning.zones import UTC_NAME, zone_of

HeadingPolicy = Literal["fixed", "best"]
"""The vessel keeps the plan's heading, or takes the best one at each sample."""

HEADINGS: Final[tuple[HeadingPolicy, ...]] = get_args(HeadingPolicy)


@dataclass(frozen=True)
class WeatherChoices:
    """The question put to a forecast: equal choices and an equal forecast give equal windows.

    `campaign` None takes the plan's operation as one step. `now` is UTC, to the second, as ISO text; None
    is not decided, and the library, which reads no clock, takes the first time of the forecast.
    `forecast_mapping` holds what the columns of the forecasts in use mean, where someone had to say so.
    """

    campaign: Campaign | None = None
    alpha: AlphaTable = BASE_CASE
    heading: HeadingPolicy = fields.choice(
        "Vessel heading over time",
        HEADINGS,
        default="fixed",
        help="Fixed keeps the plan's heading; best takes the best at each sample.",
    )
    turn_rate: float = fields.quantity(
        "Largest turn",
        "turn_rate",
        default=30.0,
        low=0.0,
        high=3600.0,
        help="Of a vessel that may choose its heading; invented default, for the rig to replace.",
    )
    sector: float = fields.quantity(
        "Bow within, of the highest-energy waves",
        "direction",
        default=45.0,
        low=0.0,
        high=180.0,
        help="Headings that may be offered, either side of the waves; common practice keeps the bow to them.",
    )
    needed: float = fields.quantity(
        "Share of members needed",
        "fraction",
        default=0.9,
        above=0.0,
        high=1.0,
        help="Share of the members of an ensemble in which a start must work.",
    )
    time_zone: str = fields.text(
        "Local time zone", default=UTC_NAME, help="Of the clock that stands beside UTC."
    )
    now: str | None = None
    forecast_mapping: ForecastMapping | None = None

    def __post_init__(self) -> None:
        fields.validate(self)
        for name, kind in (
            ("campaign", Campaign),
            ("forecast_mapping", ForecastMapping),
            ("alpha", AlphaTable),
        ):
            given = getattr(self, name)
            if not isinstance(given, kind) and (given is not None or name == "alpha"):
                raise InputError(name, given, None, f"a {kind.__name__}")
        zone_of(self.time_zone)
        if self.now is not None:
            object.__setattr__(self, "now", str(instant(self.now)))

    def but(self, **given: Any) -> WeatherChoices:
        """The same choices with those `given` in their place; None leaves a choice as it is."""
        return replace(self, **{name: value for name, value in given.items() if value is not None})


AS_NEW: Final = WeatherChoices()
"""What a new plan asks."""


def instant(when: np.datetime64 | str) -> np.datetime64:
    """A time in UTC to the second.

    Parameters
    ----------
    when : a time, or ISO text without zone, UTC

    Raises
    ------
    InputError
        If it is no time. Words such as 'now' are none: they would ask the clock of the machine.
    """
    try:
        # A text that does not begin with its year would be read as a word, and 'now' as a clock.
        found = np.datetime64(str(when), "s") if str(when)[:1].isdigit() else np.datetime64("NaT")
    except ValueError:
        found = np.datetime64("NaT")
    if np.isnat(found):
        raise InputError("present time", when, None, "a time such as 2026-01-31T12:00, UTC")
    return found
