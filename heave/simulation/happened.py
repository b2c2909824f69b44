"""What came of a run, with its time: events, a bit that lifts and lands, a unit that strikes its end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from heave.arrays import BoolArray
from heave.compensator.time_domain import Event
from heave.judging.results import string_period
from heave.units import show

if TYPE_CHECKING:
    from heave.simulation.simulate import SimulationResult

BLOW: Final = (0.65, 1.55)
"""Blow of the end on the unit, over the one shown, with stiffness and damping of the cushion halved or doubled."""

BLOW_VALIDITY: Final = (
    "The cushion at the end of the stroke is an assumption: with half or twice its stiffness and damping the blow on "
    f"the unit comes out {BLOW[0]:g} to {BLOW[1]:g} times as large."
)
"""How far the force of a stroke-out can be trusted, in a sentence."""

APART: Final = 1.0
"""Touches of an end closer than this are one stroke-out [s]: the unit bounces on the cushion."""

_WORDS: Final = {
    "gas bank shut": "Bank of bottles shut",
    "active unit lost": "Active part lost",
    "compensator locked": "Compensator locked",
    "driller feeds off": "Driller feeds off",
    "block raised": "Driller raises the block",
    "block lowered": "Driller lowers the block",
    "power lost": "Power lost",
    "wave group": "Crest of the wave group",
}


@dataclass(frozen=True)
class Mark:
    """Something on the time axis of a run.

    time : [s]; kind : that of an event, or "lift-off", "landing" or "stroke-out"; word : in plain words
    force : size of the blow of a landing (largest weight on bit within the first swing) or of a stroke-out (largest
        force of the end on the unit) [N]; None for all else
    """

    time: float
    kind: str
    word: str
    force: float | None = None

    def told(self, system: str) -> str:
        """The words, with the size of the blow in the units of `system`."""
        return self.word if self.force is None else f"{self.word}, {show(self.force, 'force', system)}"


def marks_of(result: SimulationResult) -> tuple[Mark, ...]:
    """Events, lift-offs, landings and stroke-outs of a run, in order of time.

    Parameters
    ----------
    result : of `simulate`
    """
    found = [Mark(event.time, event.kind, _word(event, result)) for event in result.events]
    return tuple(sorted([*found, *_lifts(result), *_stops(result)], key=lambda mark: mark.time))


def _word(event: Event, result: SimulationResult) -> str:
    words = _WORDS[event.kind]
    if event.kind == "power lost" and result.plan.compensator.is_drawworks:
        words += ": the brake holds the block"
    elif event.kind == "power lost" and result.active_force.any():
        words += ": the active part stops"
    return words


def _lifts(result: SimulationResult) -> Iterator[Mark]:
    """Each time the bit leaves the rock, and how hard it comes back; bounces within a swing of the string are one."""
    swing = string_period(result.plan)
    for pieces in _together(result.lift_off, swing / result.step):
        first, back = pieces[0][0], max(pieces, key=lambda piece: piece[1] - piece[0])[1]
        yield Mark(float(result.time[first]), "lift-off", "Bit lifts off the rock")
        if back < len(result.time):
            blow = float(result.bit_force[back : back + round(swing / result.step)].max(initial=0.0))
            yield Mark(float(result.time[back]), "landing", "Bit lands", blow)


def _stops(result: SimulationResult) -> Iterator[Mark]:
    """Each time the unit meets an end of its stroke."""
    for pieces in _together(result.stroke_out, APART / result.step):
        first, last = pieces[0][0], pieces[-1][1]
        force = result.stop_force[first:last]
        place = int(np.argmax(np.abs(force)))
        end = "compressed" if force[place] > 0 else "extended"
        yield Mark(
            float(result.time[first]),
            "stroke-out",
            f"Unit strikes its end, fully {end}",
            float(np.abs(force[place])),
        )


def _together(flags: BoolArray, apart: float) -> Iterator[list[tuple[int, int]]]:
    """Stretches of samples where `flags` holds, first and one past the last, those less than `apart` samples apart
    in one group."""
    change = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]])))
    group: list[tuple[int, int]] = []
    for first, last in zip(change[::2].tolist(), change[1::2].tolist(), strict=True):
        if group and first - group[-1][1] >= apart:
            yield group
            group = []
        group.append((first, last))
    if group:
        yield group
