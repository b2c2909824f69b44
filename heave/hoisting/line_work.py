"""Work of the drilling line: load × distance of the block, in joules, shown as ton-miles or tonne-kilometres.

Friction of sheaves is left out and both ways count, as API RP 9B counts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Choice, Quantity, quantity, validate
from heave.hoisting.arguments import DURATION, LENGTH, LOAD, PERIOD, SPEED, held, whole
from heave.quantities import DEPTH, LINES

HOUR: Final = 3600.0
"""One hour [s]."""

JOBS: Final[dict[str, float]] = {
    "round trip": 1.0,
    "short trip": 1.0,
    "drilling with a kelly, reaming": 3.0,
    "drilling with a kelly": 2.0,
    "drilling with a top drive, reaming": 2.0,
    "drilling with a top drive": 1.0,
    "coring": 2.0,
    "setting casing": 0.5,
}
"""Work of a job as multiples of the round trips between its two depths.

API RP 9B: drilling counts three times the difference of the trips, twice where no stand is reamed. From memory of the
same document: short trip, coring and casing. With a top drive, from memory: nothing is pulled up to make a connection,
which takes one off.
"""

PASSED: Final = Quantity("sheaves a piece of line passes", "number", low=1, high=LINES.high)
STAND: Final = Quantity("length of a stand", "length", low=3.0, high=60.0)
AMPLITUDE: Final = Quantity("amplitude of the block's motion", "length", low=0.0, high=30.0)


@dataclass(frozen=True)
class Tripping:
    """What goes in and out of the hole, stand by stand: weights of the formulas of API RP 9B.

    For casing, `stand` is a joint, `pipe_weight` the casing's and there is no excess.
    """

    stand: float = STAND.field()
    pipe_weight: float = quantity(
        "weight of the pipe per metre in mud", "stiffness", above=0.0, high=2e4, help="Force per length."
    )
    block_weight: float = quantity(
        "weight of the travelling assembly",
        "force",
        above=0.0,
        high=1e7,
        help="Block, hook, compensator and top drive: all that moves with the block.",
    )
    excess_weight: float = quantity(
        "excess weight of the collars",
        "force",
        default=0.0,
        low=0.0,
        high=5e6,
        help="Weight of the bottom-hole assembly in mud above that of as much pipe.",
    )

    def __post_init__(self) -> None:
        validate(self)

    def round_trip(self, depth: npt.ArrayLike) -> FloatArray:
        """Work of pulling out and running in, W_m D (L_s + D) + 4 D (M + C/2). Source: API RP 9B, round trip.

        Weight in mud is taken for the whole string, and no drag.

        Parameters
        ----------
        depth : D of the bit, any shape, 0 to 15,000 [m]

        Returns
        -------
        Work, shape of the depth [J]

        Raises
        ------
        InputError
            If a depth is out of range.
        """
        reached = held(depth, DEPTH)
        moved = self.block_weight + self.excess_weight / 2
        return self.pipe_weight * reached * (self.stand + reached) + 4 * reached * moved

    def work(self, job: str, to_depth: npt.ArrayLike, from_depth: npt.ArrayLike = 0.0) -> FloatArray:
        """Work of a job between two depths: its multiple of the difference of the round trips there.

        Source: API RP 9B, multiples as `JOBS` states them.

        Parameters
        ----------
        job : a key of `JOBS`
        to_depth : the deeper end, any shape [m]
        from_depth : the shallower end: 0 for a trip from the bottom or casing from the floor [m]

        Returns
        -------
        Work, broadcast shape [J]

        Raises
        ------
        InputError
            If the job is not known, a depth is out of range, or the job ends above its beginning.
        """
        Choice("job", tuple(JOBS)).check(job)
        deep, shallow = np.broadcast_arrays(held(to_depth, DEPTH), held(from_depth, DEPTH))
        if np.any(wrong := deep < shallow):
            allowed = f"from the depth it begins at, {shallow[wrong].flat[0]:g}\u00a0m"
            raise InputError("depth the job ends at", float(deep[wrong].flat[0]), "m", allowed)
        return JOBS[job] * (self.round_trip(deep) - self.round_trip(shallow))


def gaussian_travel_rate(sigma: npt.ArrayLike, period: npt.ArrayLike) -> FloatArray:
    """Mean speed of a block that follows a Gaussian motion, √(2/π) 2π σ/T_z: the mean of |velocity|.

    Source: Rice 1944, the velocity being Gaussian with σ_v = 2π σ/T_z; no narrow band is needed.

    Parameters
    ----------
    sigma : σ, standard deviation of the motion, any shape [m]
    period : T_z, mean zero-crossing period, any shape; where nothing moves it may be NaN [s]

    Returns
    -------
    Distance per time, broadcast shape [m/s]; 0 where nothing moves

    Raises
    ------
    InputError
        If a standard deviation or a period is out of range.
    """
    spread, cycle = held(sigma, AMPLITUDE), held(period, PERIOD)
    return np.asarray(np.where(spread == 0.0, 0.0, math.sqrt(2 / math.pi) * 2 * math.pi * spread / cycle))[()]


def compensating_work(
    load: npt.ArrayLike, travel_rate: npt.ArrayLike, duration: npt.ArrayLike = HOUR
) -> FloatArray:
    """Line work of a heave-compensating drawworks, load × distance of the block, in an hour unless said.

    Source: load × distance is the definition of API RP 9B; that compensating counts like tripping is common practice.

    Parameters
    ----------
    load : on the lines, block and all that moves with it included, any shape [N]
    travel_rate : as `gaussian_travel_rate` gives it, any shape [m/s]
    duration : any shape [s]

    Returns
    -------
    Work, broadcast shape [J]

    Raises
    ------
    InputError
        If a number is negative or out of range.
    """
    return held(load, LOAD) * held(travel_rate, SPEED) * held(duration, DURATION)


def bend_cycles(
    period: npt.ArrayLike, sheaves: npt.ArrayLike = 1, duration: npt.ArrayLike = HOUR
) -> FloatArray:
    """Bend cycles of the piece of line worst off while a drawworks compensates, 2 × sheaves × time/period.

    A bend cycle is by definition one passage over a sheave: bent where it runs on, straight again where it runs off.
    The piece that lies at a sheave when the block is in the middle passes it on each zero crossing of the motion,
    twice a period (Rice 1944). A piece that moves less than the arc it lies on bends at one end only and is counted
    too high by this, never too low. What bends on the drum is not counted.

    Parameters
    ----------
    period : mean zero-crossing period of the block's motion, any shape, above 0 [s]
    sheaves : that the piece passes each way, any shape, see `sheaves_passed`
    duration : any shape [s]

    Returns
    -------
    Number of cycles, broadcast shape [-]

    Raises
    ------
    InputError
        If a number is out of range or the sheaves are no whole number.
    """
    passed = held(sheaves, PASSED)
    if np.any(part := (passed % 1 != 0) & ~np.isnan(passed)):
        raise InputError(
            PASSED.label, float(passed[part].flat[0]), None, f"a whole number {PASSED.allowed()}"
        )
    return 2 * passed * held(duration, DURATION) / held(period, PERIOD)


def sheaves_passed(lines: int, travel: npt.ArrayLike, spacing: float) -> FloatArray:
    """Most sheaves that one piece of line passes, 1 + N h/L rounded down, and no more than there are.

    By definition: the fast line runs N h while the block moves h, and sheaves are L apart along the line; pieces
    nearer to the dead end run less.

    Parameters
    ----------
    lines : N
    travel : h of the block from one end of its motion to the other, double amplitude, any shape [m]
    spacing : L between crown and travelling block, above 0 [m]

    Returns
    -------
    Whole numbers, shape of the travel [-]

    Raises
    ------
    InputError
        If a number is out of range or the lines are no whole number.
    """
    strung = whole(lines, LINES)
    moved = held(travel, LENGTH)
    Quantity("distance between the blocks", "length", above=0.0, high=200.0).check(spacing)
    return np.asarray(np.minimum(1 + np.floor(strung * moved / spacing), strung))[()]
