"""What a study of a plan varies: between which ends each input lies, how it is spread, how many are drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from heave import fields
from heave.errors import InputError

SHAPES: Final = ("uniform", "triangular", "normal", "lognormal")
"""How an input may be spread; see `heave.studies.distributions`."""

STUDIED: Final = (
    *("sea_height", "sea_period", "sea_turn", "heading_turn"),
    *("heave_factor", "drag_coefficient", "hookload", "wob", "overpull", "mud_density", "string_length"),
    *("handling_mass", "string_loss"),
    *("gas_volume", "gas_volume_shut", "gas_index", "seal_friction", "hydraulic_loss"),
    *("moving_mass", "active_gain", "active_delay", "start_position", "tide_rise", "tide_fall"),
    *("draught_change", "vessel_offset", "space_out_error", "penetration_rate", "gas_temperature"),
)
"""Keys of what a study can vary; `heave.studies.inputs` says what each is."""

SAMPLES: Final = fields.Quantity("Samples", "number", low=100, high=100_000)
SEED: Final = fields.Quantity("Seed", "number", low=0, high=2**32 - 1)
SEAS: Final = fields.Quantity("Seas to each draw of the equipment", "number", low=1, high=100)


@dataclass(frozen=True)
class StudiedInput:
    """The range of one input, in the SI unit of that input, as whoever plans states it."""

    name: str = fields.choice("Input", STUDIED)
    low: float = fields.quantity("Low end", "number", help="In the SI unit of the input.")
    high: float = fields.quantity("High end", "number", help="In the SI unit of the input.")
    shape: str = fields.choice(
        "Spread",
        SHAPES,
        default="uniform",
        help="Normal and lognormal: one in twenty lies beyond each end. Triangular: most likely as planned.",
    )
    varied: bool = fields.flag("Varied", default=True, help="Off: the input stays as planned.")

    def __post_init__(self) -> None:
        fields.validate(self)
        if self.low >= self.high:
            raise InputError(f"Low end of {self.name}", self.low, None, f"below the high end, {self.high:g}")


@dataclass(frozen=True)
class Study:
    """How a plan is studied; an input that is not listed has its usual range.

    `period_correlation` is the rank correlation (Spearman) of wave height and period; None draws them apart.
    """

    inputs: tuple[StudiedInput, ...] = ()
    samples: int = SAMPLES.field(default=10_000, help="Plans that are drawn and judged.")
    seed: int = SEED.field(default=1, help="The same seed draws the same plans.")
    seas_per_draw: int = SEAS.field(
        default=10,
        help="1: every plan has equipment of its own, slower. More: the interval is wider, as it must be.",
    )
    period_correlation: float | None = fields.quantity(
        "Rank correlation of wave height and period",
        "number",
        low=-0.95,
        high=0.95,
        optional=True,
        help="Empty: drawn independently of each other.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)
        fields.hold_tuple(self, "inputs", StudiedInput, "inputs of the study", "StudiedInputs")
        fields.check_once("inputs of the study", [one.name for one in self.inputs], "each input once")
        for name, about in (("samples", SAMPLES), ("seed", SEED), ("seas_per_draw", SEAS)):
            value = getattr(self, name)
            if value != int(value):
                raise InputError(about.label, value, None, "a whole number")
            object.__setattr__(self, name, int(value))

    def of(self, name: str) -> StudiedInput | None:
        """The range that is stated for an input; None where its usual range is taken.

        Parameters
        ----------
        name : of `STUDIED`
        """
        return next((one for one in self.inputs if one.name == name), None)

    def stating(self, given: StudiedInput) -> Study:
        """The same study with the range of one input put in.

        Parameters
        ----------
        given : the range
        """
        return replace(self, inputs=(*self.without(given.name).inputs, given))

    def without(self, name: str) -> Study:
        """The same study with the usual range of one input.

        Parameters
        ----------
        name : of `STUDIED`
        """
        return replace(self, inputs=tuple(one for one in self.inputs if one.name != name))


AS_STATED: Final = Study()
"""Every input over its usual range."""
