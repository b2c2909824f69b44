"""Run cases through time: block motion, events, what is kept of every step, and what it sums up to."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.compensator.time_domain.block_motion import BlockMotion, block_motion
from heave.compensator.time_domain.case import Event, SimulationCase
from heave.compensator.time_domain.energy import EnergyAccount, EnergyBook
from heave.compensator.time_domain.heave_motion import HeaveMotion
from heave.compensator.time_domain.stepping import SIGNALS, Stepper
from heave.compensator.time_domain.string_model import StringModel
from heave.compensator.time_domain.summary import Summary, SummaryBook
from heave.errors import InputError
from heave.threads import one_thread_each

FloatArray = npt.NDArray[np.float64]

TIME_STEP: Final = 0.02
"""Time step [s]. Against steps of 2.5 ms the swing of the bit force is 0.3 % low, the stroke right to 0.1 %;
the blow of a bit that has been off the rock is right to some 5 % either way."""

MOST_KEPT: Final = 60_000_000
"""Most values kept of a run, all signals together; longer runs keep only their summary."""

_STRETCH: Final = 25_000
"""Steps times cases between two looks at progress, at most; few enough that what they leave stays in the cache."""

_LONGEST: Final = 2000
"""Most steps of that stretch."""

Progress = Callable[[float], None]
Cancel = Callable[[], bool]


class SimulationCancelled(Exception):
    """The user stopped a simulation; nothing of it is kept."""


@dataclass(frozen=True, eq=False)
class Run:
    """What came of n cases.

    time : (nt,) [s], from 0, after the lead-in; traces : signal to (nt, n), the names in `TRACES`;
    both empty when only the summary was asked for. energy : None unless asked for; it covers the lead-in too.
    """

    step: float
    time: FloatArray
    traces: dict[str, FloatArray]
    summary: Summary
    energy: EnergyAccount | None


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
    account: bool = False,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Run:
    """Step n cases on one string through their heave (method: heave.compensator.time_domain.stepping).

    Parameters
    ----------
    model : string and hook, the same for all cases
    case : unit, load and contact
    heave : of n cases
    step : time step [s]; its multiple must be the step of `heave`
    events : what happens during the run, to all cases
    drilling_rate : rate of penetration while drilling [m/s]
    keep : keep every step; otherwise only the summary
    account : keep the energy account
    progress : called now and then with the share done, 0 to 1
    cancel : asked now and then; True stops the run

    Returns
    -------
    Run

    Raises
    ------
    InputError
        If steps do not fit, an event is outside the run, or there would be too much to keep.
    SimulationCancelled
        If `cancel` said so.
    """
    parts = round(heave.step / step)
    if parts < 1 or abs(parts * step - heave.step) > 1e-9:
        raise InputError("time step", step, "s", f"a whole part of the heave's step, {heave.step:g} s")
    samples = len(heave.position) - 1
    if keep and samples * parts * heave.cases * len(TRACES) > MOST_KEPT:
        raise InputError(
            "values to keep", samples * parts * heave.cases, None, "fewer: keep only the summary"
        )
    block = block_motion(heave, case, tuple(events), drilling_rate)
    with one_thread_each():
        longest = max(min(_STRETCH // heave.cases, _LONGEST) // parts, 1)
        stepper = Stepper(model, case, step, heave.cases, longest * parts, keep=account)
        work = _Work(stepper, heave, block, parts, keep, account)
        pending = sorted(events, key=lambda event: event.time)
        position = 0
        while position < samples:
            while pending and pending[0].time + heave.lead <= position * heave.step + 1e-9:
                _happen(stepper, pending.pop(0))
            count = min(longest, max(_until(pending, heave, samples) - position, 1))
            work.advance(position, count)
            position += count
            if progress is not None:
                progress(position / samples)
            if cancel is not None and cancel():
                raise SimulationCancelled("simulation stopped")
    return work.finish()


def _until(pending: list[Event], heave: HeaveMotion, samples: int) -> int:
    """Sample at which the next event comes, or the last."""
    return math.ceil((pending[0].time + heave.lead) / heave.step - 1e-9) if pending else samples


def _happen(stepper: Stepper, event: Event) -> None:
    if event.kind == "compensator locked":
        stepper.lock()
    elif event.kind == "active unit lost":
        stepper.lose_active()
    elif event.kind == "gas bank shut" and event.amount is not None:
        stepper.shut_gas(event.amount)


class _Work:
    """What is gathered stretch by stretch."""

    def __init__(
        self, stepper: Stepper, heave: HeaveMotion, block: BlockMotion, parts: int, keep: bool, account: bool
    ) -> None:
        self.stepper, self.heave, self.block, self.parts = stepper, heave, block, parts
        self.book = EnergyBook(stepper) if account else None
        self.summary = SummaryBook(stepper)
        self.lead_steps = round(heave.lead / stepper.step)
        steps = (len(heave.position) - 1) * parts - self.lead_steps if keep else 0
        self.traces = {name: np.empty((steps, heave.cases)) for name in TRACES} if keep else {}
        self.time = np.asarray(np.arange(1, steps + 1) * stepper.step, dtype=np.float64)

    def advance(self, first: int, count: int) -> None:
        """Step through `count` heave samples from `first`."""
        place, speed = self.block.motion.refined(first, count, self.parts)
        still = self.block.motion is self.heave
        heave = place if still else self.heave.refined(first, count, self.parts)[0]
        rock = self.block.rock(first, count, self.parts)
        signals = self.stepper.run(place, speed, rock) | {"heave": heave, "block": place}
        if self.book is not None:
            self.book.add(signals, rock, self.stepper.string.states)
        if self.stepper.case.drawworks:
            # what a drawworks pays out is the travel
            signals["stroke"] = heave - signals["hook"]
        start = first * self.parts - self.lead_steps
        counted = {name: values[max(-start, 0) :] for name, values in signals.items()}
        if len(counted["heave"]):
            self.summary.add(counted)
        for name, trace in self.traces.items():
            trace[max(start, 0) : max(start + len(heave), 0)] = counted[name]

    def finish(self) -> Run:
        """Everything gathered, as one value."""
        energy = None if self.book is None else self.book.account()
        return Run(self.stepper.step, self.time, self.traces, self.summary.summary(), energy)
