"""What to be careful of in a vessel's response to a sea."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Final

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.systems import SeaState
from heave.units import per_cent
from heave.vessel.box import HEAVE_ERROR, ROUGH_PERIOD, SHORTEST_PERIOD, TRUSTED_PERIOD, BoxHull
from heave.vessel.kernels import held_at, relative_heading
from heave.vessel.plausibility import long_wave_findings, resonance, side_findings
from heave.vessel.response_table import ResponseTable
from heave.vessel.vessel import Vessel

LARGEST_SHARE_OUTSIDE: Final = 0.01
"""Share of the response energy that may lie where the response is not known [-]."""

NEAR_RESONANCE: Final = 0.15
"""Share of the resonance's frequency within which energy counts as its own."""

DAMPING_MATTERS: Final = 0.1
"""Share of the heave that damping for another sea must move before it is said."""


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
        return tuple(_table_warnings(vessel, response, heading, state))
    if isinstance(response, BoxHull):
        return tuple(_box_warnings(vessel, heading, state))
    return tuple(_semisubmersible_warnings(vessel))


def _table_warnings(vessel: Vessel, table: ResponseTable, heading: float, state: SeaState) -> Iterator[str]:
    low, high = table.covers()
    energy = _energy(vessel, heading, state)
    for outside, side, edge in ((low > OMEGA, "above", low), (high < OMEGA, "below", high)):
        share = _share(energy, outside)
        if share > LARGEST_SHARE_OUTSIDE:
            yield (
                f"About {per_cent(share, 1)} of the motion energy lies at wave periods {side} "
                f"{2 * np.pi / edge:.1f}\u00a0s, outside the response table: the motion there is an assumption."
            )
    if not table.phases:
        yield (
            "The response table has no phases: the motion at the hoist is an upper bound, heave, pitch and roll at "
            "their largest together, and may be well above the true one."
        )
    for arm, motion, where in zip(
        vessel.arms, ("pitch", "roll"), ("ahead of or behind", "beside"), strict=True
    ):
        if arm and not vessel.knows(motion):  # type: ignore[arg-type]
            yield (
                f"The response table has no {motion}, and the hoist stands {where} its reference point: what {motion} "
                "adds there is not counted."
            )


@lru_cache(maxsize=64)
def table_cautions(table: ResponseTable, depth: float | None = None) -> tuple[str, ...]:
    """Cautions about a table that does not go where every hull goes in long waves, or whose two sides differ.

    Source: as `long_wave_findings` of `heave.vessel.plausibility`.

    Parameters
    ----------
    table : motion per wave amplitude
    depth : water depth the table is for; None is deep water [m]

    Returns
    -------
    Sentences, none if there is nothing to say
    """
    return tuple(finding.words for finding in (*long_wave_findings(table, depth), *side_findings(table)))


def damping_caution(table: ResponseTable, heave_spectrum: FloatArray, speed: float) -> tuple[str, ...]:
    """Caution where a table was damped for another sea than this one, and the hull resonates in it.

    Drag is linear damping in proportion to the heave speed, so with a share s of the heave's energy near the
    resonance, where energy goes as 1/damping, heave is √(1 + s (v_table/v − 1)) times that of the table. Radiation
    damping, which does not change, and the speed that follows make the truth lie between: this is its far end.

    Source: a lightly damped oscillator in broad-band motion, σ² ∝ 1/c (Newland, Random Vibrations, ch. 7, from
    memory); equal-energy linearisation of drag.

    Parameters
    ----------
    table : motion per wave amplitude, with the heave speed its damping is for; without it nothing is said
    heave_spectrum : of the motion on OMEGA, shape (nω,) [m²·s]
    speed : its standard deviation of speed [m/s]

    Returns
    -------
    One sentence or none
    """
    period = resonance(table)
    if table.damping_speed is None or period is None or speed <= 0:
        return ()
    energy = heave_spectrum * WEIGHTS
    share = _share(energy, np.abs(OMEGA * period / (2 * np.pi) - 1) < NEAR_RESONANCE)
    factor = float(np.sqrt(1 + share * (table.damping_speed / speed - 1)))
    if abs(factor - 1) <= DAMPING_MATTERS:
        return ()
    return (
        f"The response table is damped as in a sea with {table.damping_speed / speed:.2g} times this heave speed, and "
        f"{per_cent(share)} of the heave energy here is near the vessel's own period of "
        f"{period:.3g}\u00a0s: heave may be "
        f"{factor:.2g} times what is shown.",
    )


def _box_warnings(vessel: Vessel, heading: float, state: SeaState) -> Iterator[str]:
    yield (
        "The response is a closed form for a box of equal displacement: concept stage only, heave and pitch within "
        f"about 10\u00a0% from {TRUSTED_PERIOD:g}\u00a0s wave period up, and nearer "
        f"{ROUGH_PERIOD:g}\u00a0s up to {per_cent(HEAVE_ERROR)} "
        "too low in head seas, which the range of heave counts. Use a response table for a real operation."
    )
    energy = _energy(vessel, heading, state)
    for period, words in (
        (SHORTEST_PERIOD, "where the closed form is not to be used."),
        (ROUGH_PERIOD, "where heave and pitch may be twice what the closed form has: no range counts that."),
    ):
        share = _share(energy, 2 * np.pi / period < OMEGA)
        if share > LARGEST_SHARE_OUTSIDE:
            yield f"About {per_cent(share)} of the motion energy lies at wave periods below {period:g}\u00a0s, {words}"
            return


def _semisubmersible_warnings(vessel: Vessel) -> Iterator[str]:
    yield (
        "The response is a simple heave model of columns on pontoons, with viscous damping by sea state: "
        "concept stage only. Use a response table for a real operation."
    )
    if vessel.hoist_x or vessel.hoist_y:
        yield (
            "The hoist stands off the centre, but this hull is modelled in heave alone: roll and pitch "
            "add motion there that is not counted."
        )


def _energy(vessel: Vessel, heading: float, state: SeaState) -> FloatArray:
    """Variance of the hoist's motion by grid cell, with a table's last value held, shape (nω,) [m²]."""
    total = np.zeros(len(OMEGA))
    for slot in state.spectra:
        relative = float(relative_heading(heading, slot.direction_from)[0])
        squared = held_at(vessel.response, *vessel.arms, slot.spreading, slot.exponent, relative)
        points = squared.size
        total[:points] += squared * slot.ordinates[0, :points] * WEIGHTS[:points]
    return total


def _share(energy: FloatArray, where: BoolArray) -> float:
    total = float(energy.sum())
    return float(energy[where].sum()) / total if total > 0.0 else 0.0
