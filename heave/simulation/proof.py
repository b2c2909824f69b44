"""A plan's checks by simulation: the level of each figure at the plan's own exposure and risk, with its interval."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator import ActivePart, GasUnit
from heave.compensator.time_domain import (
    HeaveMotion,
    SimulationCase,
    StringModel,
    irregular_heave,
    simulate_cases,
)
from heave.compensator.time_domain.heave_motion import SAMPLE_STEP, grown
from heave.compensator.time_domain.pieces import GROWTH, lead_in
from heave.errors import InputError
from heave.judging import Assessment, assess
from heave.judging.demands import calibrated_spectrum, drift_per_metre
from heave.judging.moments import setting_of, static_load
from heave.judging.rules.when import latched
from heave.planning.plan import Plan
from heave.sea import OMEGA
from heave.simulation.simulate import plan_case, plan_model
from heave.simulation.tail import levels, reduced_level

Signals = dict[str, FloatArray]

STEP: Final = 0.025
"""Time step [s]: the swing of the bit force is 0.4 % low with it, the stroke right to 0.1 %."""

LANES: Final = 144
"""Lanes stepped side by side; from here on it is the length of arrays that costs."""

RECORDS: Final = 16
"""Drawings of the sea that the lanes are cut from, by seeds 1 to this: fixed, so that a plan has one answer."""

BLOCK_CYCLES: Final = 12.0
"""Cycles of heave in a block: fewer, and successive waves of a swell stand in for each other; more, and there are
fewer blocks to fit. With 12 the level of Gaussian heave comes out within 1 % of its own."""

BLOCKS: Final = 2
"""Blocks of a lane, after its lead-in."""

FREE_LEAD: Final = 300.0
"""Lead-in of a lane off bottom [s], where no rock brings the hook back and friction lets it wander."""

AGREES: Final = 0.02
"""Simulated and quick figures no further apart than this, beyond the interval, agree."""

MOST_STUCK: Final = 0.95
"""Share of the time held by its seals above which a unit's travel is not told: at 0.88 direct counts over 220 h gave
the levels within 2 %, at 0.97 they were half as large again."""


@dataclass(frozen=True)
class Simulated:
    """What simulation gives for one check; demands are levels at the plan's exposure and risk.

    key, name, kind : of the check and of its demand
    demand, low, high : level and the ends of its 90 % interval
    capacity : that of the check
    quick : utilisation by the quick method
    """

    key: str
    name: str
    kind: str
    demand: float
    low: float
    high: float
    capacity: float
    quick: float

    def used(self, demand: float) -> float:
        """Utilisation of the capacity, infinite where none is left.

        Parameters
        ----------
        demand : in the unit of the check
        """
        return demand / self.capacity if self.capacity > 0 else math.inf

    @property
    def utilisation(self) -> float:
        """Of the level."""
        return self.used(self.demand)

    @property
    def interval(self) -> tuple[float, float]:
        """Utilisation at both ends of the interval."""
        return self.used(self.low), self.used(self.high)

    @property
    def finding(self) -> str:
        """How it stands to the quick figure: "agrees" where that is within 2 % of the interval, else "less", "more"."""
        low, high = self.interval
        if self.quick > high * (1 + AGREES):
            return "less"
        return "more" if self.quick < low * (1 - AGREES) else "agrees"


@dataclass(frozen=True)
class Proof:
    """A plan by simulation.

    figures : one for each check that simulation can give, highest utilisation first
    hours : time simulated and counted, all lanes together [h]
    why_not : why there are none, or nothing; words that follow "because"
    remark : why some are missing, or nothing
    """

    plan: Plan
    figures: tuple[Simulated, ...]
    hours: float = 0.0
    why_not: str = ""
    remark: str = ""

    def of(self, key: str) -> Simulated | None:
        """The figure of a check, None where simulation gives none.

        Parameters
        ----------
        key : of the check
        """
        return next((figure for figure in self.figures if figure.key == key), None)

    @property
    def newly_over(self) -> tuple[Simulated, ...]:
        """Figures over their limit here that the quick method has below it."""
        return tuple(f for f in self.figures if f.utilisation >= 1 and not f.quick >= 1)


def simulated(plan: Plan, *, progress: Callable[[float], None] | None = None) -> Proof:
    """The checks of a plan by simulation, at its planned values, exposure and risk.

    `LANES` stretches of the plan's sea are simulated side by side, each led in from rest; the sea's seeds are
    fixed, so a plan always gives the same figures and two like plans share their waves. Each figure's largest
    values in blocks of 12 cycles give its level (`heave.simulation.tail`), with heave and its speed, whose
    levels are known, as controls.

    What is simulated is what the checks ask: unit without ends of stroke, whose demand they compare; bit held in the
    rock, so that lift-off is how far the weight would go below zero, without the blow of a bit that has lifted;
    no hole made, static travel and drift added as the checks do. Load is the gas load at the high index, as in its
    check, at the simulated travel with the friction of the same moment; the string's own stretch is dynamic and the
    gas in motion has the nominal index.

    Parameters
    ----------
    plan : the plan
    progress : called now and then with the share done, 0 to 1

    Returns
    -------
    Proof; without figures where nothing moves between block and hook, nothing heaves, or the unit runs away
    """
    result = assess(plan)
    why_not = nothing_to_simulate(result)
    if why_not:
        return Proof(plan, (), why_not=why_not)
    heave = result.responses.heave
    cycles, period = float(heave.cycles), float(heave.period)
    block = BLOCK_CYCLES * period
    case, model = replace(plan_case(plan), half_stroke=math.inf), plan_model(plan)
    if case.contact == "one-sided":
        case = replace(case, contact="held")
    motion = _lanes(plan, model, case, BLOCKS * block)
    book = _Book(plan, case, block)
    try:
        run = simulate_cases(model, case, motion, step=STEP, keep=False, watch=book.add, progress=progress)
    except InputError as error:
        return Proof(plan, (), why_not=f"it runs away: {error}")
    known = np.repeat([heave.level, result.responses.velocity.level], 2)
    found = levels(book.maxima(), BLOCK_CYCLES, reduced_level(max(cycles, 1.0), plan.risk), known)
    by_name, remark = dict(zip(book.names, found, strict=True)), ""
    if float(run.summary.stuck_share.mean()) > MOST_STUCK:
        by_name = {name: level for name, level in by_name.items() if name[:-1] not in _OF_TRAVEL}
        remark = "the seals hold the unit nearly all the time: its rare travel is not told by so few hours"
    return Proof(plan, _figures(result, by_name), motion.cases * BLOCKS * block / 3600, remark=remark)


def nothing_to_simulate(result: Assessment) -> str:
    """Why there is nothing to simulate in a plan, in words that follow "because"; otherwise nothing.

    Parameters
    ----------
    result : of the plan
    """
    if not result.plan.operation.compensated:
        return "the compensator is locked: the answer is linear, and the checks have it as it is"
    if not result.responses.heave.sigma > 0:
        return "no heave at the hoist is known"
    return ""


def _lanes(plan: Plan, model: StringModel, case: SimulationCase, counted: float) -> HeaveMotion:
    """Heave of all lanes: stretches of long records, which share only what is not counted."""
    lead = max(lead_in(model), FREE_LEAD) if case.contact == "none" else lead_in(model)
    if not math.isfinite(lead):
        lead = FREE_LEAD
    before, length = math.ceil(lead / SAMPLE_STEP), math.ceil(counted / SAMPLE_STEP)
    each = LANES // RECORDS
    spectrum = calibrated_spectrum(plan)
    whole = (before + each * length) * SAMPLE_STEP
    record = irregular_heave(OMEGA, spectrum, whole, range(1, RECORDS + 1), lead=0.0)
    starts = np.arange(each) * length

    def cut(values: FloatArray) -> FloatArray:
        windows = np.lib.stride_tricks.sliding_window_view(values, before + length + 1, axis=0)[starts]
        return windows.reshape(LANES, -1).T

    motion = grown(cut(record.position), cut(record.velocity), SAMPLE_STEP, GROWTH)
    return replace(motion, lead=before * SAMPLE_STEP)


class _Book:
    """The largest value of each figure in every block of every lane, added up as the run goes.

    Names end in + and −: towards compression or up, and the other way.
    """

    def __init__(self, plan: Plan, case: SimulationCase, block: float) -> None:
        self.plan, self.case, self.block = plan, case, block
        self.names: tuple[str, ...] = ()
        self._found: list[FloatArray] = []
        self._middle: list[float] = []
        self._unit, self._load = plan.compensator, setting_of(plan).load
        self._start = plan.set_at
        self._shift = plan.static_sides[0] - plan.offsets.start_position

    def add(self, time: float, signals: Signals, _: object) -> None:
        """Add a stretch of steps that begins at `time`; a stretch counts for the block that it begins in."""
        if time <= 0:
            return
        figures = self._of(signals)
        self.names = tuple(name + sign for name in figures for sign in "+-")
        place = min(int(time / self.block), BLOCKS - 1)
        most = np.stack([side for v in figures.values() for side in (v.max(axis=0), -v.min(axis=0))])
        if not self._found:
            self._found = [np.full_like(most, -np.inf) for _ in range(BLOCKS)]
        np.maximum(self._found[place], most, out=self._found[place])
        self._middle.append(float(signals["bit"].mean()))

    def maxima(self) -> FloatArray:
        """(figures, blocks, lanes), in the order of `names`; the load's motion about where it is on the whole."""
        found, middle = np.stack(self._found, axis=1), sum(self._middle) / len(self._middle)
        for name, sign in (("bit+", -1), ("bit-", 1)):
            found[self.names.index(name)] += sign * middle
        return found

    def _of(self, s: Signals) -> Signals:
        """What the checks compare, (steps, n); heave and its speed first, as controls."""
        figures = {
            "heave": s["heave"],
            "heave speed": np.diff(s["heave"], axis=0) / STEP,
            "travel": s["stroke"] - np.asarray(self.case.start),
            "speed": s["speed"],
            "bit force": s["bit_force"] - np.asarray(self.case.wob),
            "bit": s["bit"],
            "bit speed": np.diff(s["bit"], axis=0) / STEP,
        }
        if isinstance(self._unit, GasUnit):
            # as in the checks: gas set where the piston is, at the high index, static travel added, ends kept
            start, half = self._start, self._unit.stroke / 2
            spring = self._unit.spring(self._load, self._unit.index_high, start)
            gas = spring.load(np.clip(s["stroke"] + self._shift, -half, half)) - self._load
            figures["passive"] = gas + s["friction"]
            figures["load"] = figures["passive"] + s["active"]
            part = self.plan.active_part
            # one that follows force takes its share of slow travel too
            if part is not None and not self.plan.follows_position:
                slow = spring.load(np.clip(start + self._shift, -half, half)) - self._load
                figures["load"] = figures["load"] - part.active_gain * slow
        return figures


def _figures(result: Assessment, found: dict[str, FloatArray]) -> tuple[Simulated, ...]:
    """A figure for each check that has a way to it, highest utilisation first."""
    made = []
    for check in result.checks:
        name, work = _WAYS.get(check.key, ("", None))
        # a part that drives the hook gives more than a share of the passive force
        driven = check.key == "active_force" and result.plan.follows_position
        if work is None or name + "+" not in found or driven or math.isnan(check.utilisation):
            continue
        came = work(result, found)
        demand, capacity = came if isinstance(came, tuple) else (came, check.capacity)
        figures = (*demand.tolist(), capacity, check.utilisation)
        made.append(Simulated(check.key, check.name, check.kind, *figures))
    return tuple(sorted(made, key=lambda figure: -figure.utilisation))


def _larger(found: dict[str, FloatArray], name: str) -> FloatArray:
    """The side of a figure whose level is larger."""
    return max((found[name + sign] for sign in "+-"), key=lambda side: float(side[0]))


def _change(a: Assessment, f: dict[str, FloatArray], side: int) -> FloatArray:
    """Change of the weight on bit towards less (0) or more (1), with the drift of slow travel."""
    return f["bit force" + "-+"[side]] + drift_per_metre(a.plan) * a.plan.drift_sides[side]


def _band(a: Assessment, f: dict[str, FloatArray]) -> tuple[FloatArray, float]:
    """The edge of the band that is used more of."""
    wob, operation = a.plan.wob, a.plan.operation
    rooms = (
        None if operation.wob_low is None else wob - operation.wob_low,
        None if operation.wob_high is None else operation.wob_high - wob,
    )
    sides = [(_change(a, f, side), room) for side, room in enumerate(rooms) if room is not None]
    return max(sides, key=lambda side: side[0][0] / side[1] if side[1] > 0 else math.inf)


def _load(a: Assessment, f: dict[str, FloatArray]) -> FloatArray:
    """With slow travel that stretches a latched string where the hook is driven by position, as in the check."""
    plan = a.plan
    slow = max(plan.drift_sides) if plan.follows_position and latched(plan) else 0.0
    return a.setting.load + plan.string.stiffness * slow + f["load+"]


def _on_unit(a: Assessment, f: dict[str, FloatArray]) -> FloatArray:
    """On cylinder or hook, whichever is more, with the pull of lines that run straight from a moving crown."""
    plan, sides = a.plan, [_load(a, f)]
    if plan.active_in_use:  # the cylinder carries what the active part takes off the hook
        sides.append(a.setting.load + f["passive+"])
    most = max(sides, key=lambda side: float(side[0]))
    return plan.crown_ratio * np.maximum(most, static_load(plan))


def _tension(a: Assessment, f: dict[str, FloatArray]) -> tuple[FloatArray, float]:
    """At the section most used with what the sea adds, as simulated."""
    plan = a.plan
    pull = np.maximum(_load(a, f) - static_load(plan), 0.0) + plan.overpull
    rows = plan.tension_margins()
    worst = max(rows, key=lambda row: (row.tension + pull[0]) / row.capacity)
    return worst.tension + pull, plan.yield_fraction * worst.capacity


_Work = Callable[[Assessment, dict[str, FloatArray]], FloatArray | tuple[FloatArray, float]]

_WAYS: Final[dict[str, tuple[str, _Work]]] = {
    "stroke_rising": ("travel", lambda a, f: a.plan.static_sides[0] + f["travel+"]),
    "stroke_falling": ("travel", lambda a, f: a.plan.static_sides[1] + f["travel-"]),
    "stroke_rate": ("speed", lambda a, f: _larger(f, "speed")),
    "active_velocity": ("speed", lambda a, f: _larger(f, "speed")),
    "lift_off": ("bit force", lambda a, f: _change(a, f, 0)),
    "wob_band": ("bit force", _band),
    "compensated_load": ("load", _on_unit),
    "tension": ("load", _tension),
    "residual_motion": ("bit", lambda a, f: _larger(f, "bit")),
    "residual_velocity": ("bit speed", lambda a, f: _larger(f, "bit speed")),
    "active_force": (
        "passive",
        lambda a, f: a.plan.compensator.of_type(ActivePart).active_gain * _larger(f, "passive"),
    ),
}
"""How each check that can be simulated comes of the levels, by its key: the figure it rests on, and how the demand (3,)
comes of what is found, with the capacity where it is not that of the check."""

_OF_TRAVEL: Final = ("travel", "speed", "passive", "load")
"""Figures that are not told of a unit that hardly moves."""
