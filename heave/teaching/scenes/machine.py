"""Scenes of the machine: an active part that comes late, and a drum that heaves."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any, Final

import numpy as np

from heave.compensator import ActiveAssisted, Drawworks, GasUnit
from heave.planning.rig import with_path, with_unit
from heave.simulation.comparisons import Variant
from heave.teaching.measures import (
    alike,
    moved,
    pick,
    stretch,
    swing,
    time_of_highest,
)
from heave.teaching.scene import Caption, Scene, Sketch, Told, in_order
from heave.teaching.staging import Runs, Stage, Staged, drum, shorter
from heave.units import significant

LATER: Final = 0.5
"""Delay added [s]."""

DELAY_LENGTH: Final = 90.0
"""How long active parts are watched [s]."""


DRUM_LENGTH: Final = 80.0
"""How long the drum is watched [s]."""


def _unlimited(unit: Any) -> Any:
    """An active part beside a gas spring without limits of force, speed and power."""
    if not isinstance(unit, ActiveAssisted):
        return unit
    return replace(unit, active_force_limit=None, active_velocity_limit=None, active_power_limit=None)


def _delay(stage: Stage) -> Staged:
    stage.on_bottom()
    stage.smooth(0.01)
    stage.driven()
    unit = _unlimited(stage.plan.compensator)
    if unit != stage.plan.compensator:
        stage.change("The active part has no limits of force, speed and power.", compensator=unit)
    own = unit.active_delay
    late = min(own + LATER, 2.0)
    stage.said.append(f"In B the active part comes {stage.told(late - own, 'period')} later.")
    behind = stage.plan.changed(compensator=replace(unit, active_delay=late))
    scenario = stage.wave(0.8, (10.0, 8.0, 12.0, 14.0), duration=DELAY_LENGTH)
    shown = (stage.planned, Variant(f"delay {stage.told(late, 'period')}", behind))
    tried = (stage.planned, Variant("active part lost", stage.plan.changed(active=False)))
    return stage.films(shown, scenario, tried, gain=unit.active_gain, own=own, late=late)


def _told_delay(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    force, time, share = map(stage.teller, ("force", "period", "fraction"))
    period, end = staged.play.scenario.period, DELAY_LENGTH
    gain, own, late = (staged.facts[name] for name in ("gain", "own", "late"))
    a, b, lost = (swing(one, "bit_force", 2 * period, end) for one in (*runs, tried[1]))
    by_gain = abs(1 - gain)
    by_delay = [2 * abs(math.sin(math.pi * delay / period)) for delay in (own, late)]
    both = [
        math.sqrt(1 + gain**2 - 2 * gain * math.cos(2 * math.pi * delay / period)) for delay in (own, late)
    ]
    peak = time_of_highest(runs[1], np.abs(runs[1].bit_force - runs[1].bit_force.mean()), 2 * period, end - 4)
    told_gain = shorter(significant(gain, 3))
    limit = ["the gain" if by_gain > one else "the delay" for one in by_delay]
    against = (
        "as little good as none at all"
        if alike(b, lost)
        else "worse than none"
        if b > lost
        else "still better than none"
    )
    return Told(
        question=f"An active part with gain {told_gain} comes {time(own)} late in A and {time(late)} in "
        f"B, in a wave of {time(period)}. How does the weight on bit swing in B?",
        choices=(
            "Less than in A",
            "As in A, to a tenth",
            "More, up to twice as much",
            "More than twice as much",
        ),
        answer=pick(b / max(a, 1.0), (0.9, 1.1, 2.0)),
        opens=max(peak - 0.75 * period, 0.0),
        captions=in_order(
            Caption(0.0, end, "Both do the same work. B does it later."),
            Caption(
                peak - 1.5,
                peak + 2.0,
                "B comes when the vessel has moved on: what it does is not what is wanted now.",
            ),
            Caption(peak + 2.0, end, f"± {force(a)} in A, ± {force(b)} in B."),
        ),
        why=(
            f"Of what it follows, a gain of {told_gain} alone would leave {share(by_gain)}. Coming "
            f"late alone would leave {share(by_delay[0])} in A and {share(by_delay[1])} in B, for a wave of "
            f"{time(period)}. Together they leave {share(both[0])} and {share(both[1])}.",
            f"So in both it is {limit[0]} that leaves more."
            if limit[0] == limit[1]
            else f"So in A it is {limit[0]} that leaves more, in B {limit[1]}.",
            f"The bit swings by ± {force(a)} in A and ± {force(b)} in B. With the active part lost it would "
            f"be ± {force(lost)}: B is {against}.",
        ),
        change="Lose the active part of A altogether.",
        expect=f"The swing at the bit {moved(a, lost, force)}.",
        learned=f"An active part that comes late works on what has been: {time(late - own)} more took the bit's "
        f"swing from ± {force(a)} to ± {force(b)}; without it ± {force(lost)}. "
        + (
            f"In both {limit[0]} left more."
            if limit[0] == limit[1]
            else f"In A {limit[0]} left more, in B {limit[1]}."
        ),
        sketch=Sketch("bit_force", "force", "weight on bit", end - 3 * period, end),
        numbers={
            "A": a,
            "B": b,
            "lost": lost,
            "gain leaves": by_gain,
            "delay leaves A": by_delay[0],
            "delay leaves B": by_delay[1],
            "both leave A": both[0],
            "both leave B": both[1],
        },
        moments={"late": peak},
    )


def _drum(stage: Stage) -> Staged:
    stage.on_bottom()
    if isinstance(stage.plan.compensator, GasUnit):
        stage.plan = drum(stage.plan)
        lines = stage.plan.compensator.of_type(Drawworks).lines
        stage.said.append(
            f"A compensating drawworks stands in for the gas unit: {lines:.0f} lines, gain 0.9, a tenth of a "
            "second late."
        )
    stage.driven()
    plan = stage.plan = stage.plan.changed(line_work=None)
    unit = plan.compensator.of_type(Drawworks)
    lines = unit.lines
    fewer = max(lines - 2, 2.0)
    path = plan.hoisting
    strung = replace(unit, lines=fewer)
    less = with_unit(plan, strung) if path is None else with_path(plan, replace(path, lines=fewer))
    scenario = stage.wave(1.0, duration=DRUM_LENGTH)
    tried = (stage.planned, Variant(f"{fewer:.0f} lines", less))
    return stage.films((stage.planned,), scenario, tried, lines=lines, fewer=fewer)


def _told_drum(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), less = runs, tried[1]

    length, speed, force = map(stage.teller, ("length", "speed", "force"))
    period, end = staged.play.scenario.period, DRUM_LENGTH
    lines, fewer = staged.facts["lines"], staged.facts["fewer"]
    late = (2 * period, end)
    heave, block = 2 * swing(run, "heave", *late), 2 * swing(run, "block", *late)
    paid, paid_less = (_line(one, count, *late) for one, count in ((run, lines), (less, fewer)))
    pace, pace_less = (_pace(one, count, *late) for one, count in ((run, lines), (less, fewer)))
    load = run.plan.hookload
    amounts = (heave / lines, heave, heave * lines)
    nearest = int(np.argmin([abs(math.log(max(paid, 1e-6) / one)) for one in amounts]))
    top = time_of_highest(run, run.heave, period, end - period)
    return Told(
        question=f"From trough to crest the vessel heaves {length(heave)}. The drum is to keep the block still on "
        f"{lines:.0f} lines. About how much line does it take in and pay out?",
        choices=tuple(length(amount) for amount in amounts),
        answer=nearest,
        opens=max(top - period / 2, 0.0),
        captions=in_order(
            Caption(0.0, end, "Crown and drum heave with the vessel. The block is to stay where it is."),
            Caption(
                top - 2.0,
                top + 1.0,
                "At the crest: the drum has paid out, the block hangs further below the crown.",
            ),
            Caption(
                top + 1.0,
                top + period / 2,
                f"Down again the drum hauls in, the line at up to {speed(pace)}.",
            ),
        ),
        why=(
            f"All {lines:.0f} lines between crown and block get longer and shorter by as much as the block "
            f"moves against the vessel, {length(paid / lines)}. The drum has to turn out all of them: "
            f"{length(paid)}.",
            f"The line runs at up to {speed(pace)}, {lines:.0f} times the block against the vessel.",
            f"What gain and delay leave, {length(block)} from end to end, the block still moves, and the bit "
            f"swings by ± {force(swing(run, 'bit_force', *late))}.",
        ),
        change=f"String {fewer:.0f} lines instead of {lines:.0f}.",
        expect=f"The line on the drum {moved(paid, paid_less, length)}, its speed {moved(pace, pace_less, speed)}, "
        f"and what each line carries of the hookload {moved(load / lines, load / fewer, force)}.",
        learned=f"Lines share the load and multiply the travel: for {length(heave)} of heave the drum turned "
        f"{length(paid)} of line on {lines:.0f} lines, at up to {speed(pace)}.",
        sketch=Sketch("block", "length", "block", end - 3 * period, end),
        numbers={
            "heave": heave,
            "block": block,
            "paid": paid,
            "paid tried": paid_less,
            "pace": pace,
            "pace tried": pace_less,
            "each": load / lines,
            "each tried": load / fewer,
        },
        moments={"crest": top, "fastest": top + period / 4},
    )


def _line(run: Any, lines: float, start: float, end: float) -> float:
    """Line on and off the drum from `start` to `end` [m]: lines × block against the vessel, end to end."""
    part = stretch(run, start, end)
    moved_ = (run.block - run.heave)[part]
    return float(lines * (moved_.max() - moved_.min()))


def _pace(run: Any, lines: float, start: float, end: float) -> float:
    """Greatest speed of the line at the drum [m/s]."""
    part = stretch(run, start, end)
    return float(lines * np.abs(np.gradient((run.block - run.heave)[part], run.step)).max())


DELAY: Final = Scene("delay", "An active part that comes late", _delay, _told_delay)
DRUM: Final = Scene("drum", "Many lines and a drum that heaves", _drum, _told_drum)
