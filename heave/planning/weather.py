"""What the user decides about weather: the steps, how far a forecast is trusted, the bow, and the clock."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Final, Literal, get_args

from heave import fields
from heave.planning.alpha import BASE_CASE, AlphaTable
from heave.planning.campaign import Campaign
from heave.planning.columns import ForecastMapping
from heave.planning.instants import instant
from heave.planning.tide import Tide
from heave.planning.zones import UTC_NAME, zone_of
from heave.quantities import DIRECTION

HeadingPolicy = Literal["fixed", "best"]
"""The vessel keeps the plan's heading, or takes the best one at each sample."""

MOST_LAYOUTS: Final = 12
"""Most layouts of forecasts that a plan keeps what was said of, beside that of the forecast in use."""

HEADINGS: Final[tuple[HeadingPolicy, ...]] = get_args(HeadingPolicy)


_MAY: Final[dict[str, type]] = {
    "campaign": Campaign,
    "forecast_mapping": ForecastMapping,
    "alpha_off": AlphaTable,
    "tide": Tide,
}
"""What those parts of the choices have to be that may be absent."""


@dataclass(frozen=True)
class WeatherChoices:
    """The question put to a forecast: equal choices and an equal forecast give equal windows.

    `campaign` None takes the plan's operation as one step. `now` is UTC, to the second, as ISO text; None
    is not decided, and the library, which reads no clock, takes the first time of the forecast.
    `alpha_off` is the table that was in use before the factor was switched off, so that it comes back.
    `tide` None takes the tide column of the forecast, else the rise and fall of the plan's offsets.
    `forecast_mapping` holds what the columns of the forecast in use mean, where someone had to say so, and
    `forecast_layouts` what was said of files with other columns, the latest last, so that none is asked about twice.
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
    sector_middle: float | None = DIRECTION.field(
        label="Middle of the sector",
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
    forecast_layouts: tuple[ForecastMapping, ...] = ()
    tide: Tide | None = None
    alpha_off: AlphaTable | None = None

    def __post_init__(self) -> None:
        fields.validate(self)
        fields.check_parts(self, {"alpha": AlphaTable, **_MAY}, _MAY)
        allowed = f"at most {MOST_LAYOUTS} mappings"
        fields.hold_tuple(
            self, "forecast_layouts", ForecastMapping, "forecast layouts", allowed, most=MOST_LAYOUTS
        )
        zone_of(self.time_zone)
        if self.now is not None:
            object.__setattr__(self, "now", str(instant(self.now)))

    def mapping_for(self, header: Iterable[str]) -> ForecastMapping | None:
        """What was said of a file with just these columns, in any order; None where nothing was.

        Parameters
        ----------
        header : names of its columns
        """
        wanted = frozenset(header)
        known = (self.forecast_mapping, *reversed(self.forecast_layouts))
        return next((one for one in known if one is not None and one.layout == wanted), None)

    def knowing(self, mapping: ForecastMapping) -> tuple[WeatherChoices, tuple[ForecastMapping, ...]]:
        """These choices with `mapping` of the forecast in use, all others kept, and those dropped as the oldest.

        Parameters
        ----------
        mapping : what was said of a file
        """
        known = [*self.forecast_layouts, *([self.forecast_mapping] if self.forecast_mapping else [])]
        others = [one for one in known if one.layout != mapping.layout]
        kept = tuple(others[-MOST_LAYOUTS:])
        dropped = tuple(others[: len(others) - len(kept)])
        return replace(self, forecast_mapping=mapping, forecast_layouts=kept), dropped

    def but(self, **given: Any) -> WeatherChoices:
        """The same choices with those `given` in their place; None leaves a choice as it is."""
        return replace(self, **{name: value for name, value in given.items() if value is not None})


AS_NEW: Final = WeatherChoices()
"""What a new plan asks."""
