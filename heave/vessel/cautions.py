"""What to be careful of in a vessel's response to a sea."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.systems import SeaState
from heave.vessel.box import HEAVE_ERROR, ROUGH_PERIOD, SHORTEST_PERIOD, TRUSTED_PERIOD, BoxHull
from heave.vessel.kernels import kernel, relative_heading
from heave.vessel.response_table import FloatArray, ResponseTable
from heave.vessel.semisubmersible import Semisubmersible
from heave.vessel.vessel import Vessel

LARGEST_SHARE_OUTSIDE: Final = 0.01
"""Share of the response energy that may lie where the response is not known [-]."""


def response_warnings(vessel: Vessel, heading: float, state: SeaState) -> tuple[str, ...]:
    """Cautions about the vessel's response in this sea, in words for the user.

    A response table is judged with its last value held above its range, so that a table cut off
    too early cannot hide what it lacks.

    Source: the share that may lie outside a table is common practice.

    Parameters
    ----------
    vessel : the vessel
    heading : compass heading of the bow [deg]
    state : the sea

    Returns
    -------
    Sentences, none if there is nothing to say
    """
    response = vessel.response
    if isinstance(response, ResponseTable):
        return _table_warnings(vessel, response, heading, state)
    if isinstance(response, BoxHull):
        return _box_warnings(vessel, heading, state)
    return _semisubmersible_warnings(vessel, response)


def _table_warnings(vessel: Vessel, table: ResponseTable, heading: float, state: SeaState) -> tuple[str, ...]:
    low, high = table.covers()
    energy = _energy(vessel, heading, state)
    found = []
    for inside, side, edge in ((low <= OMEGA, "above", low), (high >= OMEGA, "below", high)):
        share = _share(energy, ~inside)
        if share > LARGEST_SHARE_OUTSIDE:
            found.append(
                f"About {share:.1%} of the motion energy lies at wave periods {side} "
                f"{2 * np.pi / edge:.1f} s, outside the response table: the motion there is an assumption."
            )
    return tuple(found)


def _box_warnings(vessel: Vessel, heading: float, state: SeaState) -> tuple[str, ...]:
    found = [
        "The response is a closed form for a box of equal displacement: concept stage only, heave and pitch within "
        f"about 10 % from {TRUSTED_PERIOD:g} s wave period up, and nearer {ROUGH_PERIOD:g} s up to {HEAVE_ERROR:.0%} "
        "too low in head seas, which the range of heave counts. Use a response table for a real operation."
    ]
    energy = _energy(vessel, heading, state)
    for period, words in (
        (SHORTEST_PERIOD, "where the closed form is not to be used."),
        (ROUGH_PERIOD, "where heave and pitch may be twice what the closed form has: no range counts that."),
    ):
        share = _share(energy, 2 * np.pi / period < OMEGA)
        if share > LARGEST_SHARE_OUTSIDE:
            found.append(
                f"About {share:.0%} of the motion energy lies at wave periods below {period:g} s, {words}"
            )
            break
    return tuple(found)


def _semisubmersible_warnings(vessel: Vessel, hull: Semisubmersible) -> tuple[str, ...]:
    found = [
        "The response is a simple heave model of columns on pontoons, with viscous damping by sea state: "
        "concept stage only. Use a response table for a real operation."
    ]
    if vessel.hoist_x != 0.0 or vessel.hoist_y != 0.0:
        found.append(
            "The hoist stands off the centre, but this hull is modelled in heave alone: roll and pitch "
            "add motion there that is not counted."
        )
    return tuple(found)


def _energy(vessel: Vessel, heading: float, state: SeaState) -> FloatArray:
    """Variance of the hoist's motion by grid cell, with a table's last value held, shape (nω,) [m²]."""
    x, y = vessel.reference
    total = np.zeros(len(OMEGA))
    for slot in state.spectra:
        held = kernel(
            vessel.response, vessel.hoist_x - x, vessel.hoist_y - y, slot.spreading, slot.exponent, held=True
        )
        space = held.axis.memory(1)
        squared = held.at(relative_heading(heading, slot.direction_from), *space)[0]
        points = squared.size
        total[:points] += squared * slot.ordinates[0, :points] * WEIGHTS[:points]
    return total


def _share(energy: FloatArray, where: npt.NDArray[np.bool_]) -> float:
    total = float(energy.sum())
    return float(energy[where].sum()) / total if total > 0.0 else 0.0
