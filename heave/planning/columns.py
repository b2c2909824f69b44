"""What the columns of a forecast file mean, where someone had to say so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from heave.fields import check_once, choice, quantity, text, validate
from heave.quantities import DIRECTION
from heave.sea import PERIOD_KINDS
from heave.sea.spreading import SPREADING_EXPONENT

UNITS_OF: Final = {
    "height": ("m", "ft", "cm"),
    "period": ("s",),
    "direction": ("deg",),
    "wind speed": ("m/s", "kn", "km/h", "ft/s"),
    "gust": ("m/s", "kn", "km/h", "ft/s"),
    "current": ("m/s", "kn", "km/h", "ft/s"),
    "tide": ("m", "ft", "cm"),
    "wind direction": ("deg",),
    "current direction": ("deg",),
}
"""Units each quantity may have, as `heave.units` writes them; the first of several is not assumed."""

QUANTITIES: Final = (
    *("time", "date", "clock", "year", "month", "day", "hour", "minute"),
    *("member", *UNITS_OF, "issued", "lead", "other height", "not used"),
)
"""What a column of a forecast may hold; `clock` is the time of day beside a `date`, `lead` hours after the issue,
`other height` the highest or the average wave, which is no significant height."""

SYSTEMS: Final = ("total", "wind sea", "swell", "swell 1", "swell 2", "swell 3")
"""Which waves a column is about; `swell` is all swell together."""

COLUMN_UNITS: Final = ("", *dict.fromkeys(unit for units in UNITS_OF.values() for unit in units))
"""Units a column may have; empty where it needs none or none is known yet."""

WAVES: Final = ("height", "period", "direction")
"""Quantities that belong to one wave system."""

BESIDE: Final = {
    "wind speed": "wind_speed",
    "gust": "gust_speed",
    "current": "current_speed",
    "tide": "tide",
    "wind direction": "wind_direction_from",
    "current direction": "current_direction_to",
}
"""What stands beside the waves of a forecast, and where `heave.weather.Forecast` holds it."""

SENSES: Final = ("from", "to")
"""Whether a direction says where waves come from or where they go."""

USUAL_SENSES: Final = {"wind direction": "from", "current direction": "to"}
"""What a direction beside the waves means where its name does not say: a wind comes from its direction, a current sets
towards its own (common practice). Nothing is judged by them, so they are never asked about."""

TOTAL_SHAPES: Final = ("jonswap", "two-parameter", "torsethaugen")
"""Spectral shapes for a total sea or a wind sea."""

EMPTY_SWELL: Final = ("missing", "not there")
REPEATED_TIMES: Final = ("refuse", "keep last")

UNSURE: Final = "not sure"
"""A period whose kind nobody knows: the kind that is worst for the plan is to be used."""

DATE_ORDERS: Final = ("day first", "month first", "year first")
COMPOSITIONS: Final = ("total", "parts")
"""One sea of the total alone, or the parts the file has as the whole sea."""

REST_PERIODS: Final = ("total", "fully developed")
"""Peak period of what the total holds beyond the parts that are given: the total's, or 6.6 Hs^⅓."""

LONGEST_BRIDGE: Final = 12 * 3600.0
"""Longest gap that may be bridged [s]."""


@dataclass(frozen=True)
class ColumnMeaning:
    """What one column of a forecast file holds."""

    column: str = text("Column", help="Its name in the header of the file.")
    quantity: str = choice("Holds", QUANTITIES, default="not used", help="What its cells are.")
    system: str = choice("Of which waves", SYSTEMS, default="total", help="The wave system it describes.")
    unit: str = choice("Unit", COLUMN_UNITS, default="", help="Unit of its numbers.")
    period_kind: str | None = choice(
        "Kind of period",
        (*PERIOD_KINDS, UNSURE),
        optional=True,
        help="Tp peak, Tz zero-crossing (Tm02), T1 mean (Tm01), Te energy (T−1,0).",
    )
    sense: str | None = choice(
        "Direction is", SENSES, optional=True, help="Where waves or wind come from, or go to."
    )

    member: str = text("Member", default="", help="Of an ensemble that has a column for each member.")

    def __post_init__(self) -> None:
        validate(self)

    @property
    def role(self) -> tuple[str, str]:
        """Quantity and wave system it stands for; times, members and wind are of the total."""
        return self.quantity, self.system if self.quantity in WAVES else "total"


@dataclass(frozen=True)
class ForecastMapping:
    """How a forecast file is to be read: the meaning of its columns, and the rules it does not state.

    `columns` holds one ColumnMeaning for each column that is used; columns not named are not used. `unknown` names
    those of them that may hold waves and that nobody has said anything about: they are asked about.
    """

    columns: tuple[ColumnMeaning, ...]
    unknown: tuple[str, ...] = ()
    time_zone: str = text(
        "Time zone",
        default="",
        help="Of times that carry none: empty is not said; UTC, +02:00, or a named zone such as Europe/Oslo.",
    )
    date_order: str | None = choice(
        "Dates are written", DATE_ORDERS, optional=True, help="Where 03/04 could be two days."
    )
    composition: str | None = choice(
        "The sea is made of", COMPOSITIONS, optional=True, help="Where the columns do not say."
    )
    rest_period: str | None = choice(
        "Period of the rest of the total",
        REST_PERIODS,
        optional=True,
        help="Where the total's peak is that of a part which the file gives by itself.",
    )
    bridge: float = quantity(
        "Gaps bridged up to",
        "duration",
        default=0.0,
        low=0.0,
        high=LONGEST_BRIDGE,
        help="Missing stretches up to this long are taken to run straight from one sample to the next.",
    )
    direction_from: float | None = DIRECTION.field(
        label="Direction from, where the file has none",
        optional=True,
        help="For wave systems without a direction column.",
    )
    empty_swell: str = choice(
        "An empty swell is",
        EMPTY_SWELL,
        default="missing",
        help="Whether a swell without any number is unknown, or a swell that is not there.",
    )
    repeated_times: str = choice(
        "A time given twice",
        REPEATED_TIMES,
        default="refuse",
        help="When its rows differ: refuse the file, or keep the row that stands last.",
    )
    sea_shape: str = choice(
        "Spectral shape of sea", TOTAL_SHAPES, default="jonswap", help="For a total sea and a wind sea."
    )
    sea_exponent: float = SPREADING_EXPONENT.field(
        label="Spreading of sea", default=4.0, help="Exponent n of cosⁿ; 2 to 4."
    )
    swell_width: float = quantity(
        "Width of a forecast swell",
        "number",
        default=0.01,
        low=0.005,
        high=0.011,  # wider ones are not defined at the longest period a forecast may hold, GAUSSIAN_WIDEST
        help="Standard deviation of a Gaussian swell over frequency, Hz.",
    )
    swell_exponent: float = SPREADING_EXPONENT.field(
        label="Spreading of swell", default=10.0, help="Exponent n of cosⁿ; 6 and more."
    )

    @property
    def layout(self) -> frozenset[str]:
        """Names of all columns, by which a file of the same layout is known again."""
        return frozenset(meaning.column for meaning in self.columns)

    def __post_init__(self) -> None:
        validate(self)
        object.__setattr__(self, "columns", tuple(self.columns))
        object.__setattr__(self, "unknown", tuple(self.unknown))
        names = [meaning.column for meaning in self.columns]
        check_once("Column", names, "each column once in a mapping")
