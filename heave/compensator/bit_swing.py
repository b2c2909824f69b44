"""How far the weight on bit swings, at three beliefs about the ringing of the string."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Quantity


@dataclass(frozen=True)
class BitSwing:
    """How far the weight on bit swings about its mean, single amplitudes [N], at three beliefs about ringing.

    `elastic` is |H|a, the swing without friction at the chosen risk, scalar or (n,); `friction` F_f, `ringing` the
    force b with which the string rings after a reversal, `locked` the swing with the unit locked, which a unit that
    sticks comes to, and `model_range` what the highest of simulation is over the nominal swing.

    Source: closed form held against simulation of random plans; no other source.

    Raises
    ------
    InputError
        If the swing without friction or the friction is negative or infinite. A swing of NaN gives NaN.
    """

    elastic: FloatArray
    friction: float
    ringing: FloatArray | float = 0.0
    locked: FloatArray | float = math.inf
    model_range: float = 1.0

    def __post_init__(self) -> None:
        elastic = np.asarray(self.elastic, dtype=np.float64)
        object.__setattr__(self, "elastic", elastic)
        if np.any((elastic < 0) | np.isposinf(elastic)):
            raise InputError("bit force", elastic, "N", "zero or above")
        Quantity("friction", "force", low=0.0).check(self.friction)

    @property
    def low(self) -> FloatArray:
        """|H|a + F_f, a string that does not ring, (n,) [N]."""
        return np.minimum(self.elastic + self.friction, self.locked)

    @property
    def nominal(self) -> FloatArray:
        """F_f + √((|H|a)² + b²), (n,) [N]."""
        return np.minimum(self.friction + np.hypot(self.elastic, self.ringing), self.locked)

    @property
    def high(self) -> FloatArray:
        """The nominal swing times the model range, (n,) [N]."""
        return self.model_range * self.nominal
