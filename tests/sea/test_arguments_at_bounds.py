"""What a function may be given: the last number it takes and the first it refuses, at each end."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from heave.errors import InputError
from heave.sea import statistics as counted
from heave.sea.dispersion import tma_factor, wave_number
from heave.sea.periods import mean_periods, peak_period, peak_periods, period_ratio
from heave.sea.spectra import gaussian_swell, jonswap, two_parameter
from heave.sea.spreading import spreading_weights
from heave.sea.two_peak import torsethaugen_parts
from heave.vessel import Semisubmersible, heave_natural_period
from heave.vessel.box import box_hull_response
from heave.vessel.statistics import amplitude_statistics

RIG = Semisubmersible(4, 16.4, 60.0, 110.0, 15.0, 9.0, 60.0, 19.0, added_mass=5e7)
ONE = np.array([1.0])
LEAST = 1e-12
"""The least there is of what must be above nought."""

Bounds = tuple[Callable[[float], object], float | None, float | None]
"""A function of one number, the lowest it takes and the highest."""

CASES: dict[str, Bounds] = {
    "variance of a maximum": (lambda one: counted.most_probable_maximum(one, 10.0), 0.0, None),
    "variance of a level": (lambda one: counted.level_exceeded(one, 10.0, 0.1), 0.0, None),
    "variance of a rate": (lambda one: counted.upcrossing_rate(1.0, 1.0, one), 0.0, None),
    "level": (lambda one: counted.upcrossing_rate(one, 1.0, 1.0), 0.0, None),
    "cycles": (lambda one: counted.most_probable_maximum(1.0, one), 1.0, None),
    "cycles of a level": (lambda one: counted.level_exceeded(1.0, one, 0.1), 1.0, None),
    "risk": (lambda one: counted.level_exceeded(1.0, 10.0, one), LEAST, 1 - math.exp(-1)),
    "gamma of a spectrum": (lambda one: jonswap(ONE, 2.0, 9.0, one), 1.0, 50.0),
    "gamma of a ratio": (lambda one: period_ratio("Tz", one), 1.0, 50.0),
    "height of a spectrum": (lambda one: two_parameter(ONE, one, 9.0), 0.0, 25.0),
    "peak of a spectrum": (lambda one: two_parameter(ONE, 2.0, one), LEAST, None),
    "frequency of a spectrum": (lambda one: two_parameter(np.array([one]), 2.0, 9.0), LEAST, None),
    "width of a swell": (lambda one: gaussian_swell(ONE, 2.0, 10.0, one), 0.005, 0.03),
    "peak of two": (lambda one: torsethaugen_parts(2.0, one), LEAST, 25.0),
    "gravity": (lambda one: wave_number(1.0, None, one), LEAST, None),
    "depth": (lambda one: wave_number(1.0, one), LEAST, None),
    "depth of a factor": (lambda one: tma_factor(ONE, one), LEAST, None),
    "period that is given": (lambda one: peak_period(one, "Tz", gamma=2.0), LEAST, None),
    "periods that are given": (lambda one: peak_periods(one, "Tz", "jonswap", 2.0, gamma=2.0), 0.0, None),
    "heights of periods": (lambda one: peak_periods(9.0, "Tz", "jonswap", one, gamma=2.0), 0.0, 25.0),
    "peak of mean periods": (lambda one: mean_periods("Tz", "torsethaugen", 2.0, one), LEAST, None),
    "height of mean periods": (lambda one: mean_periods("Tz", "torsethaugen", one, 9.0), LEAST, 25.0),
    "step": (lambda one: spreading_weights("cos-n", 4.0, one), None, 15.0),
    "step of a narrow sea": (lambda one: spreading_weights("cos-n", 30.0, one), None, 5.0),
    "mass": (lambda one: heave_natural_period(one, 1.0, 1.0), LEAST, None),
    "added mass": (lambda one: heave_natural_period(1.0, one, 1.0), 0.0, None),
    "stiffness": (lambda one: heave_natural_period(1.0, 1.0, one), LEAST, None),
    "viscous damping": (lambda one: RIG.transfer(0.5, 180.0, one), LEAST, None),
    "length": (lambda one: box_hull_response(0.5, 180.0, one, 30.0, 10.0), LEAST, None),
    "beam": (lambda one: box_hull_response(0.5, 180.0, 200.0, one, 10.0), LEAST, None),
    "draught": (lambda one: box_hull_response(0.5, 180.0, 200.0, 30.0, one), LEAST, None),
    "block": (lambda one: box_hull_response(0.5, 180.0, 200.0, 30.0, 10.0, one), LEAST, 1.0),
    "box's gravity": (lambda one: box_hull_response(0.1, 0.0, 9.0, 9.0, 9.0, gravity=one), LEAST, None),
    "box's frequency": (lambda one: box_hull_response(one, 180.0, 200.0, 30.0, 10.0), 0.0, None),
    "exposure": (lambda one: amplitude_statistics(ONE, ONE, one, 0.1), 60.0, None),
    "risk of a motion": (lambda one: amplitude_statistics(ONE, ONE, 3600.0, one), LEAST, 1 - math.exp(-1)),
    "variance of a motion": (lambda one: amplitude_statistics(np.array([one]), ONE, 3600.0, 0.1), 0.0, None),
    "variance of its rate": (lambda one: amplitude_statistics(ONE, np.array([one]), 3600.0, 0.1), 0.0, None),
}


@pytest.mark.parametrize("name", CASES)
def test_the_last_that_is_taken_and_the_first_that_is_not(name: str) -> None:
    function, low, high = CASES[name]
    with np.errstate(all="ignore"):
        if low is not None:
            function(low)
            beyond = 0.0 if low == LEAST else math.nextafter(low, -math.inf)
            with pytest.raises(InputError):
                function(beyond)
        if high is not None:
            function(high)
            with pytest.raises(InputError):
                function(math.nextafter(high, math.inf))
