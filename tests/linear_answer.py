"""Moments of the linear response of one unit by name, as tests of the linear model ask for them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from transfer_functions import transfer_functions

from heave.compensator import AVERAGE, Cycle, LinearModel, LinearSystem, linear_system
from heave.compensator.linearisation import FIGURES

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class LinearResponse:
    """What the linear model gives for n seas: `stroke_m0`, `hook_m2` and so on (n,); None where it has no such one."""

    system: LinearSystem
    damping: Array
    stuck: npt.NDArray[np.bool_]
    moments: dict[str, Array]

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__") or "_m" not in name:
            raise AttributeError(name)
        return self.moments.get(name)

    def transfer(self, row: int = 0) -> Any:
        """Transfer functions at the damping found for a sea."""
        return transfer_functions(self.system, float(self.damping[row]))


def linear_response(
    unit: Any, string: Any, setting: Any, omega: Array, weights: Array, spectra: Array, condition: str,
    *, cycle: Cycle = AVERAGE, **options: Any,
) -> LinearResponse:  # fmt: skip
    """The model of a unit as set, asked for one cycle; `options` are those of `linear_system`."""
    system = linear_system(unit, string, setting, omega, condition, **options)
    model = LinearModel(system, weights, setting.friction_force, unit.hydraulic_loss, cycles=(cycle,))
    (found,) = model.respond(np.atleast_2d(spectra))
    names = {"force": "compensator_force", "active": "active_force"}
    names["bit"] = "bit_force" if system.on_bottom else "bit_motion"
    columns = [f"{names.get(figure, figure)}_m{order}" for figure in FIGURES for order in FIGURES[figure]]
    moments = dict(zip(columns, found.moments.T, strict=True))
    moments.pop("bit_force_m4", None)  # it depends on where the frequencies end
    return LinearResponse(system, found.damping, found.stuck, moments)
