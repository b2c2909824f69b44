"""What the user decides about weather: the steps, how far a forecast is trusted, the bow, and the clock."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final, Literal, get_args

from heave import fields
from heave.errors import InputError
from heave.planning.alpha import BASE_CASE, AlphaTable
from heave.planning.campaign import Campaign
from heave.planning.columns import ForecastMapping
from heave.planning.instants import instant
from heave.planning.tide import Tide
from heave.planning.zones import UTC_NAME, zone_of

HeadingPolicy = Literal["fixed", "best"]
"""The vessel keeps the plan's heading, or takes the best one at each sample."""

HEADINGS: Final[tuple[HeadingPolicy, ...]] = get_args(HeadingPolicy)


@dataclass(frozen=True)
class WeatherChoices:
    """The question put to a forecast: equal choices and an equal forecast give equal windows.

    `campaign` None takes the plan's operation as one step. `now` is UTC, to the second, as ISO text; None
    is not decided, and the library, which reads no clock, takes the first time of the forecast.
    `tide` None takes the tide column of the forecast, else the rise and fall of the plan's offsets.
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
        "Bow within, either side of the middle",
        "direction",
        default=45.0,
        low=0.0,
        high=180.0,
        help="Headings that may be offered, either side of the sector's middle; common practice keeps bow to waves.",
    )
    sector_middle: float | None = fields.quantity(
        "Middle of the sector",
        "direction",
        low=0.0,
        below=360.0,
        optional=True,
        help="Heading the master allows, whatever the sea. Empty: where the highest-energy waves come from.",
    )
    needed: float = fields.quantity(
        "Share of members needed",
        "fraction",
        default=0.9,
        above=0.0,
        high=1.0,
        help="Share of the members of an ensemble in which a start must work.",
    )
    forecast_interval: float = fields.quantity(
        "Time between two forecasts",
        "duration",
        default=12 * 3600.0,
        above=0.0,
        high=7 * 86400.0,
        help="What can be stopped is planned from one forecast to the next, plus its time to make safe.",
    )
    oldest: float = fields.quantity(
        "Forecast is old from",
        "duration",
        default=12 * 3600.0,
        above=0.0,
        high=7 * 86400.0,
        help="Age, from its issue, above which the answer warns.",
    )
    under_way: bool = fields.flag(
        "The first step is under way",
        default=False,
        help="Then the answer begins with the last moment to begin making safe.",
    )
    time_zone: str = fields.text(
        "Local time zone", default=UTC_NAME, help="Of the clock that stands beside UTC."
    )
    now: str | None = None
    forecast_mapping: ForecastMapping | None = None
    tide: Tide | None = None

    def __post_init__(self) -> None:
        fields.validate(self)
        for name, kind in (
            ("campaign", Campaign),
            ("forecast_mapping", ForecastMapping),
            ("alpha", AlphaTable),
            ("tide", Tide),
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
