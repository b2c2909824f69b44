"""Run cases through time: block motion, events, what is kept of every step, and what it sums up to."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator.time_domain.block_motion import BlockMotion, block_motion
from heave.compensator.time_domain.case import Event, SimulationCase
from heave.compensator.time_domain.heave_motion import HeaveMotion
from heave.compensator.time_domain.pieces import cut, joined
from heave.compensator.time_domain.stepping import SIGNALS, Stepper
from heave.compensator.time_domain.string_model import StringModel
from heave.compensator.time_domain.summary import Summary, SummaryBook
from heave.errors import InputError
from heave.threads import one_thread_each

TIME_STEP: Final = 0.02
"""Time step [s]. Against steps of 2.5 ms the swing of the bit force is 0.3 % low, the stroke right to 0.1 %;
the blow of a bit that has been off the rock is right to some 5 % either way."""

MOST_KEPT: Final = 60_000_000
"""Most values kept of a run, all signals together; longer runs keep only their summary."""

_STRETCH: Final = 50_000
"""Steps times cases between two looks at progress, at most; few enough that what they leave stays in the cache."""

_LONGEST: Final = 2000
"""Most steps of that stretch."""

_HAPPENS: Final = ("gas bank shut", "active unit lost", "compensator locked", "power lost")
"""Events that change the unit; the others move the block or the rock."""

Progress = Callable[[float], None]
Watch = Callable[[float, dict[str, FloatArray], Stepper], None]


@dataclass(frozen=True, eq=False)
class Run:
    """What came of n cases.

    time : (nt,) [s], from 0, after the lead-in; traces : signal to (nt, n), the names in `TRACES`;
    both empty when only the summary was asked for.
    """

    step: float
    time: FloatArray
    traces: dict[str, FloatArray]
    summary: Summary


TRACES: Final = (*SIGNALS, "heave", "block")
"""Signals of a run: those of every step, the vessel's heave, and the block's position [m]."""


def simulate_cases(
    model: StringModel,
    case: SimulationCase,
    heave: HeaveMotion,
    *,
    step: float = TIME_STEP,
    events: Sequence[Event] = (),
    drilling_rate: float = 0.0,
    keep: bool = True,
    states: bool = False,
    in_pieces: bool = False,
    watch: Watch | None = None,
    progress: Progress | None = None,
) -> Run:
    """Step n cases on one string through their heave (method: heave.compensator.time_domain.stepping).

    Source: as `stepping` says: Moreau's time stepping (Acary and Brogliato, 2008), from memory.

    Parameters
    ----------
    model : string and hook, the same for all cases
    case : unit, load and contact
    heave : of n cases
    step : time step [s]; its multiple must be the step of `heave`
    events : what happens during the run, to all cases
    drilling_rate : rate of penetration while drilling [m/s]
    keep : keep every step; otherwise only the summary
    states : keep the string's state at every step of a stretch, for what watches it
    in_pieces : step pieces of the run side by side where that may be (heave.compensator.time_domain.pieces);
        figures then differ from the whole run's by what fading leaves of each piece's beginning
    watch : called with every stretch of steps as they come: time of its first step, below zero in the lead-in [s],
        its signals, the names in `TRACES` and the rock's level to (steps, n), and the stepper
    progress : called now and then with the share done, 0 to 1; what it raises stops the run

    Returns
    -------
    Run

    Raises
    ------
    InputError
        If steps do not fit, an event is outside the run, or there would be too much to keep.
    """
    parts = round(heave.step / step)
    if parts < 1 or abs(parts * step - heave.step) > 1e-9:
        raise InputError("time step", step, "s", f"a whole part of the heave's step, {heave.step:g}\u00a0s")
    samples = len(heave.position) - 1
    if keep and samples * parts * heave.cases * len(TRACES) > MOST_KEPT:
        allowed = "fewer: keep only the summary"
        raise InputError("values to keep", samples * parts * heave.cases, None, allowed)
    block = block_motion(heave, case, tuple(events), drilling_rate)
    pending = [event for event in events if event.kind in _HAPPENS]
    whole = keep or watch is not None or bool(pending) or not in_pieces
    cases, shift = heave.cases, None
    parted = None if whole else cut(model, case, heave, block)
    if parted is not None:
        case, heave, block, shift = parted.case, parted.heave, parted.block, parted.shift
    work = _Work(model, case, step, heave, block, keep, states, shift, watch)
    work.summary.joined[cases:] = True
    with one_thread_each():
        for share in work.steps(sorted(pending, key=lambda event: event.time)):
            if progress is not None:
                progress(share)
    run = work.finish()
    return run if parted is None else replace(run, summary=joined(run.summary, parted.pieces))


class _Work:
    """A run on its way, and what is gathered of it stretch by stretch."""

    def __init__(
        self,
        model: StringModel,
        case: SimulationCase,
        step: float,
        heave: HeaveMotion,
        block: BlockMotion,
        keep: bool,
        states: bool,
        shift: FloatArray | None,
        watch: Watch | None,
    ) -> None:
        self.heave, self.block, self.shift, self.watch = heave, block, shift, watch
        self.parts, self.samples = round(heave.step / step), len(heave.position) - 1
        self.longest = max(min(_STRETCH // heave.cases, _LONGEST) // self.parts, 1)
        self.stepper = Stepper(model, case, step, heave.cases, self.longest * self.parts, states)
        self.summary = SummaryBook(self.stepper)
        self.lead_steps = round(heave.lead / step)
        kept = self.samples * self.parts - self.lead_steps if keep else 0
        self.traces = {name: np.empty((kept, heave.cases)) for name in TRACES} if keep else {}
        self.time = np.asarray(np.arange(1, kept + 1) * step, dtype=np.float64)

    def steps(self, pending: list[Event]) -> Iterator[float]:
        """Step through the whole run and say now and then what share of it is done."""
        position = 0
        while position < self.samples:
            ahead = self.samples
            while pending:
                # an event comes with the first sample that is not before it
                ahead = math.ceil((pending[0].time + self.heave.lead) / self.heave.step - 1e-9)
                if ahead > position:
                    break
                _happen(self.stepper, pending.pop(0))
                ahead = self.samples
            count = min(self.longest, ahead - position)
            self._advance(position, count)
            position += count
            yield position / self.samples

    def _advance(self, first: int, count: int) -> None:
        """Step through `count` heave samples from `first`."""
        heave, rate = self.heave.refined(first, count, self.parts)
        moved = (
            *self.block.offset.refined(first, count, self.parts),
            self.block.rock(first, count, self.parts),
        )
        # what is common to all cases, or to those of a piece, is a column for each
        offset, offset_rate, rock = (np.repeat(v, heave.shape[1] // v.shape[1], axis=1) for v in moved)
        place = heave + offset
        drive = None if self.block.drive is None else self.block.drive.refined(first, count, self.parts)
        signals = self.stepper.run(place, rate + offset_rate, rock, drive)
        signals |= {"heave": heave, "block": place, "rock": rock}
        if self.shift is not None:
            signals |= {name: signals[name] + self.shift for name in ("hook", "bit", "block")}
        if self.stepper.case.drawworks:
            # what a drawworks pays out is the travel
            signals["stroke"] = heave - signals["hook"]
        start = first * self.parts - self.lead_steps
        self.summary.add(signals, max(-start, 0))
        if self.watch is not None:
            self.watch((start + 1) * self.stepper.step, signals, self.stepper)
        for name, trace in self.traces.items():
            trace[max(start, 0) : max(start + len(heave), 0)] = signals[name][max(-start, 0) :]

    def finish(self) -> Run:
        """Everything gathered, as one value."""
        return Run(self.stepper.step, self.time, self.traces, self.summary.summary())


def _happen(stepper: Stepper, event: Event) -> None:
    if event.kind == "compensator locked":
        stepper.lock()
    elif event.kind in ("active unit lost", "power lost"):
        stepper.lose_active()
    elif event.amount is not None:
        stepper.shut_gas(event.amount)
