"""The drum and what is wound on it, and the ledger by which the line is slipped and cut."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Quantity, quantity, validate
from heave.hoisting.arguments import LENGTH, held, whole
from heave.hoisting.line import DIAMETER
from heave.quantities import LINES

STACKING: Final = 0.9
"""Rise from layer to layer over line diameter: common practice, no source.

It lies between √3/2, lines in the grooves of the layer below, and 1, lines across its tops; on a grooved drum most of
a turn is the first and the crossovers are the second.
"""

MINIMUM_WRAPS: Final = 6
"""Wraps that stay on the drum when the block is at its lowest: common practice, at least six."""

LAYERS: Final = Quantity("layers on the drum", "number", low=1, high=30)
ON_DRUM: Final = replace(LENGTH, label="line on the drum")
WORK_RATE: Final = Quantity("line work over time", "power", low=0.0)


class Spooled(NamedTuple):
    """Where the end of the line on the drum is: its layer, that layer's radius to the line's middle [m], all wraps."""

    layer: int
    radius: float
    wraps: float


@dataclass(frozen=True)
class Drum:
    """A drum between two flanges, wound in layers of as many wraps each, as grooved drums are made.

    How much it holds is told by the number of `layers` or by the `flange_depth`, which is then filled to the rim.
    The length of a wrap is that of its circle: the climb across a pitch adds less than 0.1 %.
    """

    core_diameter: float = quantity(
        "core diameter of the drum", "diameter", above=0.0, high=5.0, help="Under the first layer."
    )
    width: float = quantity(
        "width between the flanges", "length", above=0.0, high=10.0, help="Where the line is wound."
    )
    line_diameter: float = DIAMETER.field(help="Nominal.")
    layers: float | None = LAYERS.field(optional=True, help="Most that the drum may carry.")
    flange_depth: float | None = quantity(
        "flange depth", "length", above=0.0, high=2.0, optional=True, help="From core to rim."
    )
    pitch: float | None = quantity(
        "pitch of the wraps", "diameter", low=0.01, high=0.2, optional=True, help="Empty: line diameter."
    )
    stacking: float = quantity(
        "rise of a layer over line diameter",
        "number",
        default=STACKING,
        low=math.sqrt(3) / 2,
        high=1.0,
        help="0.87 in grooves, 1 on top of each other; about 0.9 is common practice, no source.",
    )

    def __post_init__(self) -> None:
        validate(self)
        line, pitch = self.line_diameter, self.line_diameter if self.pitch is None else self.pitch
        for label, value, least, words in (
            ("core diameter of the drum", self.core_diameter, line, "the line's diameter"),
            ("pitch of the wraps", pitch, line, "the line's diameter"),
            ("width between the flanges", self.width, pitch, "one pitch"),
        ):
            if value < least:
                raise InputError(label, value, "m", f"from {words}, {least:g}\u00a0m")
        if (self.layers is None) == (self.flange_depth is None):
            given = f"layers {self.layers}, flange depth {self.flange_depth}"
            raise InputError(
                "what the drum holds", given, None, "number of layers or flange depth, one of the two"
            )
        if self.layers is not None:
            whole(self.layers, LAYERS)
        elif self.layers_held < 1:
            raise InputError(
                "flange depth", self.flange_depth, "m", f"from the line's diameter, {line:g}\u00a0m"
            )

    @property
    def layers_held(self) -> int:
        """Layers it holds: those given, or 1 + (depth − d)/(s d) rounded down, by definition."""
        if self.layers is not None:
            return int(self.layers)
        over_the_first = (self.flange_depth or 0.0) - self.line_diameter
        return 1 + _down(over_the_first / (self.stacking * self.line_diameter))

    @property
    def wraps_a_layer(self) -> int:
        """Wraps side by side, width/pitch rounded down, by definition."""
        return _down(self.width / (self.line_diameter if self.pitch is None else self.pitch))

    @property
    def capacity(self) -> float:
        """Most line it holds, Σ over its layers of wraps × 2π r, by definition [m]."""
        return self.wraps_a_layer * sum(map(self.lap, range(1, self.layers_held + 1)))

    def lap(self, layer: int = 1) -> float:
        """Line of one wrap in a layer, 2π r with r = (core + d)/2 + (layer − 1) s d, by definition [m].

        Parameters
        ----------
        layer : counted from the core, 1 being the first

        Raises
        ------
        InputError
            If the drum has no such layer.
        """
        whole(layer, Quantity("layer", "number", low=1, high=self.layers_held))
        rise = (layer - 1) * self.stacking * self.line_diameter
        return math.pi * (self.core_diameter + self.line_diameter + 2 * rise)

    def spooled(self, length: float) -> Spooled:
        """Layer, radius and wraps with a length of line on the drum, layers filled one after another, by definition.

        Parameters
        ----------
        length : of line on the drum [m]

        Raises
        ------
        InputError
            If the length is negative or more than the drum holds.
        """
        Quantity(ON_DRUM.label, "length", low=0.0, high=self.capacity).check(length)
        ends = accumulate(self.wraps_a_layer * self.lap(layer) for layer in range(1, self.layers_held + 1))
        layer, end = next((n, end) for n, end in enumerate(ends, 1) if length <= end or n == self.layers_held)
        lap = self.lap(layer)
        return Spooled(layer, lap / (2 * math.pi), layer * self.wraps_a_layer - (end - length) / lap)

    def wraps_left(self, length: float, travel: float, lines: int) -> float:
        """Wraps left with the block at its lowest, the drum having paid out travel × lines, by definition.

        Hold it against `MINIMUM_WRAPS`.

        Parameters
        ----------
        length : of line on the drum with the block at its highest [m]
        travel : of the block, what compensates included [m]
        lines : strung

        Raises
        ------
        InputError
            If the drum cannot hold the length or has not line enough for the travel.
        """
        whole(lines, LINES)
        LENGTH.check(travel)
        self.spooled(length)
        if travel * lines > length:
            allowed = f"up to {length / lines:.4g}\u00a0m, for which there is line on the drum"
            raise InputError("travel of the block", travel, "m", allowed)
        return self.spooled(length - travel * lines).wraps

    def half_lap(self, length: float) -> float:
        """Shortest cut of at least a length that ends half a lap past a whole lap of the first layer [m].

        A cut of whole laps would bring the same places of the line to the crossovers and sheaves again (API RP 9B, from
        memory); half a lap over brings them furthest away.

        Parameters
        ----------
        length : that is to be cut at least [m]

        Raises
        ------
        InputError
            If the length is out of range.
        """
        LENGTH.check(length)
        return (math.ceil(length / self.lap() - 0.5 - 1e-9) + 0.5) * self.lap()


@dataclass(frozen=True)
class Ledger:
    """Work of the line since the last cut, and the line there is: API RP 9B's ton-mile record.

    The goal is the rig's own: procedures differ, so there is none here. Cutting takes line off at the drum, slipping
    brings as much, or `slip_length`, from the supply reel through the dead-line anchor.
    """

    since_cut: float = quantity("work since the last cut", "line_work", low=0.0, high=1e13)
    goal: float = quantity("work between cuts", "line_work", above=0.0, high=1e13, help="The rig's own goal.")
    cut_length: float = quantity("length of a cut", "length", low=0.01, high=500.0)
    on_reel: float = LENGTH.field(label="line on the supply reel")
    on_drum: float = ON_DRUM.field(help="With the block at its highest.")
    slip_length: float | None = quantity(
        "length slipped with a cut",
        "length",
        low=0.01,
        high=500.0,
        optional=True,
        help="Empty: as much as is cut.",
    )

    def __post_init__(self) -> None:
        validate(self)

    @property
    def slipped(self) -> float:
        """Line slipped with each cut, as much as is cut unless said, by definition [m]."""
        return self.cut_length if self.slip_length is None else self.slip_length

    @property
    def left(self) -> float:
        """Work left before the next cut, goal − work since the last, by definition; below zero overdue [J]."""
        return self.goal - self.since_cut

    @property
    def cuts_left(self) -> int:
        """Times the supply reel still has line to slip, by definition."""
        return _down(self.on_reel / self.slipped)

    def time_left(self, work_rate: npt.ArrayLike) -> FloatArray:
        """Time until the next cut at a rate of work, work left/rate, by definition.

        Parameters
        ----------
        work_rate : planned, any shape; an hour's work over 3600 s [J/s]

        Returns
        -------
        Time, shape of the rate [s]; below zero the cut is overdue, without end where no work is done

        Raises
        ------
        InputError
            If a rate is negative.
        """
        rate = held(work_rate, WORK_RATE)
        ever = math.copysign(math.inf, self.left) if self.left else 0.0
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            return np.asarray(np.where(rate == 0.0, ever, self.left / rate))[()]

    def worked(self, work: float) -> Ledger:
        """The ledger after more work of the line.

        Parameters
        ----------
        work : [J]

        Raises
        ------
        InputError
            If the work is negative.
        """
        Quantity("work of the line", "line_work", low=0.0).check(work)
        return replace(self, since_cut=self.since_cut + work)

    def after_cut(self) -> Ledger:
        """The ledger after the next slip and cut: no work yet, less on the reel, the drum as it comes out.

        Raises
        ------
        InputError
            If the reel has not line enough to slip, or the drum none to cut.
        """
        if self.cuts_left < 1:
            allowed = f"from {self.slipped:g}\u00a0m, the length to slip"
            raise InputError("line on the supply reel", self.on_reel, "m", allowed)
        on_drum = self.on_drum + self.slipped - self.cut_length
        if on_drum < 0:
            raise InputError(
                "length of a cut", self.cut_length, "m", f"up to {self.on_drum + self.slipped:g}\u00a0m"
            )
        on_reel = max(
            self.on_reel - self.slipped, 0.0
        )  # a last piece may be short by rounding, as in `cuts_left`
        return replace(self, since_cut=0.0, on_reel=on_reel, on_drum=on_drum)


def _down(number: float) -> int:
    """`number` rounded down, a whole one that came out a hair too small being whole."""
    return math.floor(number + 1e-9)
