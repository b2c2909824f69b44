"""Kinds of array by name, for annotations: what the numbers in one are."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
ComplexArray = npt.NDArray[np.complex128]
BoolArray = npt.NDArray[np.bool_]
IntArray = npt.NDArray[np.int64]

Floats = npt.NDArray[np.floating[Any]]
"""Of either precision: seas by the thousand are worked out in single."""

Indices = npt.NDArray[np.intp]
"""Places along an axis."""

Times = npt.NDArray[np.datetime64]
"""Moments in UTC."""
