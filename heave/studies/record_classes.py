"""The seas of a record by classes of height and period, as a scatter diagram has them."""

from __future__ import annotations

from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.sea.slots import SystemSlot
from heave.studies.climate import ClassShares, StepClimate, in_classes
from heave.studies.climate_seas import ClimateSeas

CLASS_HS: Final = 1.0
"""Height of a class [m]."""

CLASS_TP: Final = 1.0
"""Width of a class of period [s]."""


def classes_of_record(seas: ClimateSeas, step: StepClimate) -> tuple[FloatArray, FloatArray, ClassShares]:
    """Limits of classes of total Hs [m] and of Tp of the highest system [s], and how each can be worked.

    A sea that is missing is in no class. What a class middle alone would say, and the bounds by where in its class a
    sea is, are NaN: every sea of a record is judged where it is.

    Parameters
    ----------
    seas : the climate of a record
    step : one step of its operability
    """
    slots = [slot for slot in seas.batch.slots if isinstance(slot, SystemSlot)]
    heights = np.stack([np.nan_to_num(slot.hs, nan=-1.0) for slot in slots])
    periods = np.stack([slot.tp for slot in slots])
    tp = np.take_along_axis(periods, heights.argmax(axis=0)[None], axis=0)[0]
    hs = seas.batch.hs
    known = ~np.isnan(hs) & ~np.isnan(tp)
    limits = []
    places = []
    for values, width in ((hs, CLASS_HS), (tp, CLASS_TP)):
        place = np.floor(values[known] / width).astype(np.int64)
        last = int(place.max(initial=0))
        limits.append(width * np.arange(last + 2, dtype=np.float64))
        places.append(place)
    shape = (limits[0].size - 1, limits[1].size - 1)
    cell, weight, state = places[0] * shape[1] + places[1], seas.weight[known], step.state[known]
    shares = in_classes(cell, shape, weight, state, np.full(cell.size, np.nan), (np.nan,) * 3)
    return limits[0], limits[1], shares
