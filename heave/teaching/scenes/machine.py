"""Scenes of the machine and who works it: delay, stroke-out, a drum that heaves, and what the driller can do."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any, Final

import numpy as np

from heave.compensator import ActiveAssisted, GasUnit
from heave.judging.moments import setting_of
from heave.planning.plan import LEAST_HANGING
from heave.planning.rig import with_path, with_unit
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Happening
from heave.teaching.measures import (
    alike,
    factor,
    first,
    highest,
    last,
    lowest,
    moved,
    more_or_less,
    pick,
    stretch,
    swing,
    time_of_highest,
    times_entered,
)
from heave.teaching.scene import Caption, Scene, Sketch, Told, in_order
from heave.teaching.staging import Film, Runs, Stage, Staged, drum
from heave.units import significant

LATER: Final = 0.5
"""Delay added [s]."""

DELAY_LENGTH: Final = 90.0
"""How long active parts are watched [s]."""

NEAR_END: Final = 0.2
"""Stroke left over the heave when the run up to the end of the stroke begins [m]."""

QUICK_HOLE: Final = 40 / 3600
"""Rate of penetration in that scene [m/s]: quick, so that stroke is eaten in a minute."""

RESCUE: Final = 80.0
"""When the driller feeds off there; how often instead in what is tried [s]."""

OFTEN: Final = (30.0, 60.0, 90.0)

OUT_LENGTH: Final = 120.0
"""How long that is watched [s]."""

DRUM_LENGTH: Final = 80.0
"""How long the drum is watched [s]."""

DRILLER_LENGTH: Final = 90.0
"""How long the driller's choices are watched [s]."""


def _unlimited(unit: Any) -> Any:
    """An active part beside a gas spring without limits of force, speed and power."""
    limits = ("active_force_limit", "active_velocity_limit", "active_power_limit")
    return replace(unit, **dict.fromkeys(limits)) if isinstance(unit, ActiveAssisted) else unit


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
    first_, second, lost = (
        Variant("as planned", stage.plan),
        Variant(f"delay {stage.told(late, 'period')}", behind),
        Variant("active part lost", stage.plan.changed(active=False)),
    )
    facts = {"gain": unit.active_gain, "own": own, "late": late}
    return Staged(Film((first_, second), scenario), Film((first_, lost), scenario), tuple(stage.said), facts)


def _told_delay(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    def force(value: float) -> str:
        return stage.told(value, "force")

    def time(value: float) -> str:
        return stage.told(value, "period")

    def share(value: float) -> str:
        return stage.told(value, "fraction")

    period, end = staged.play.scenario.period, DELAY_LENGTH
    gain, own, late = (staged.facts[name] for name in ("gain", "own", "late"))
    a, b, lost = (swing(one, "bit_force", 2 * period, end) for one in (*runs, tried[1]))
    by_gain = abs(1 - gain)
    by_delay = [2 * abs(math.sin(math.pi * delay / period)) for delay in (own, late)]
    both = [
        math.sqrt(1 + gain**2 - 2 * gain * math.cos(2 * math.pi * delay / period)) for delay in (own, late)
    ]
    peak = time_of_highest(runs[1], np.abs(runs[1].bit_force - runs[1].bit_force.mean()), 2 * period, end - 4)
    limit = ["the gain" if by_gain > one else "the delay" for one in by_delay]
    against = "as little good as none at all" if alike(b, lost) else "worse than none" if b > lost else "still better than none"
    return Told(
        question=f"An active part with gain {significant(gain, 2)} comes {time(own)} late in A and {time(late)} in B, in a wave of "
        f"{time(period)}. How does the weight on bit swing in B?",
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
            f"Of what it follows, a gain of {significant(gain, 2)} alone would leave {share(by_gain)}. Coming late alone would leave "
            f"{share(by_delay[0])} in A and {share(by_delay[1])} in B, for a wave of {time(period)}. Together they leave {share(both[0])} "
            f"and {share(both[1])}.",
            f"So in A it is {limit[0]} that leaves more, in B {limit[1]}.",
            f"The bit swings by ± {force(a)} in A and ± {force(b)} in B. With the active part lost it would be ± {force(lost)}: "
            f"B is {against}.",
        ),
        change="Lose the active part of A altogether.",
        expect=f"The swing at the bit {moved(a, lost, force)}.",
        learned=f"An active part that comes late works on what has been: {time(late - own)} more took the bit's swing from "
        f"± {force(a)} to ± {force(b)}; without it ± {force(lost)}. In A {limit[0]} left more, in B {limit[1]}.",
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


def _stroke_out(stage: Stage) -> Staged:
    stage.on_bottom()
    unit = stage.on_gas()
    stage.smooth()
    half = unit.stroke / 2
    heave = min(0.8, half - NEAR_END - 0.1)
    start = half - heave - NEAR_END
    offsets = replace(
        stage.plan.offsets, start_position=start, penetration_rate=QUICK_HOLE, feed_interval=0.0
    )
    stage.change(
        f"The piston starts {stage.told(half - start, 'length')} from the end where the gas is compressed, hole is made at "
        f"{stage.told(QUICK_HOLE, 'penetration')}, and the driller feeds off after {RESCUE:.0f} s.",
        offsets=offsets,
    )
    scenario = replace(
        stage.wave(heave, duration=OUT_LENGTH, happenings=(Happening("driller feeds off", RESCUE),)),
        hole=True,
    )
    early = replace(scenario, happenings=tuple(Happening("driller feeds off", moment) for moment in OFTEN))
    shown = (Variant("as planned", stage.plan),)
    return Staged(
        Film(shown, scenario), Film(shown, early), tuple(stage.said), {"left": half - start, "half": half}
    )


def _told_stroke_out(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), (early,) = runs, tried

    def force(value: float) -> str:
        return stage.told(value, "force")

    def length(value: float) -> str:
        return stage.told(value, "length")

    period, left, end = staged.play.scenario.period, staged.facts["left"], OUT_LENGTH
    met, over = first(run, "stroke_out"), last(run, "stroke_out")
    strikes, strikes_early = (times_entered(one, "stroke_out") for one in (run, early))
    never = math.isnan(met)
    before, after = (max(met - 2 * period, 0.0), met - 0.1), (RESCUE + 20.0, end)
    struck = (met, min(over, RESCUE + 15.0) + 1.0)
    wob = run.plan.wob
    low, low_before = (0.0, 0.0) if never else (lowest(run, "bit_force", *span) for span in (struck, before))
    load, load_before = (
        (0.0, 0.0) if never else (highest(run, "hook_load", *span) for span in (struck, before))
    )
    worst = run.time[0] if never else time_of_highest(run, run.stroke, *struck)
    low_after = lowest(run, "bit_force", *after)
    eaten = QUICK_HOLE * (RESCUE if never else met)
    counted = f"{strikes} time{'s' if strikes != 1 else ''}"
    return Told(
        question=f"{length(left)} of stroke is left, hole eats it, and the vessel heaves by ± {length(swing(run, 'heave'))}. "
        "When the piston meets its end while the vessel still rises, what happens to the weight on bit?",
        choices=("It drops below all it did before", "Nothing new", "It never comes to that"),
        answer=2 if never else 0 if low < low_before - 0.02 * wob else 1,
        opens=0.0 if never else max(met - period, 0.0),
        captions=in_order(
            Caption(0.0, end, "Hole is made and the hook goes down after it: the piston nears its end."),
            Caption(met, met + 3.0, "The piston meets its end: from here the vessel lifts the string."),
            Caption(
                RESCUE,
                RESCUE + 15.0,
                "The driller feeds off: the block goes down and the piston comes off its end.",
            ),
            Caption(RESCUE + 20.0, end, f"The weight on bit keeps above {force(low_after)} again."),
        ),
        why=(
            "The string's stretch and the seals take enough of the heave: the piston does not get to its end here."
            if never
            else f"After {met:.0f} s hole had eaten {length(eaten)} of the {length(left)}, and the crest of the heave took the rest.",
            f"Against its end {counted}, the unit is a locked one: the lowest weight on bit {moved(low_before, low, force)}, "
            f"the highest hook load {moved(load_before, load, force)}."
            if not never
            else f"The weight on bit keeps above {force(low_after)}.",
            f"Feeding off lowers the block by what was drilled; after it the weight on bit keeps above {force(low_after)}.",
        ),
        change=f"Feed off in time, every {OFTEN[0]:.0f} s.",
        expect=f"The piston meets its end {_count(strikes_early)} instead of {_count(strikes)}.",
        learned=f"Hole made eats stroke. With {length(left)} left the piston met its end {_count(strikes)}, until the driller fed off"
        + (
            "."
            if never
            else f"; the lowest weight on bit {moved(low_before, low, force)}."
        ),
        sketch=Sketch("stroke", "length", "stroke", max(RESCUE - 50.0, 0.0), end),
        numbers={
            "left": left,
            "met": met,
            "strikes": float(strikes),
            "strikes tried": float(strikes_early),
            "low": low,
            "low before": low_before,
            "load": load,
            "load before": load_before,
            "low after": low_after,
        },
        moments={"met": 0.0 if never else met, "worst": float(worst), "fed": RESCUE},
    )


def _count(times: int) -> str:
    return {0: "not once", 1: "once", 2: "twice"}.get(times, f"{times} times")


def _drum(stage: Stage) -> Staged:
    stage.on_bottom()
    if isinstance(stage.plan.compensator, GasUnit):
        stage.plan = drum(stage.plan)
        lines = stage.plan.compensator.lines or 0.0
        stage.said.append(
            f"A compensating drawworks stands in for the gas unit: {lines:.0f} lines, gain 0.9, a tenth of a second late."
        )
    stage.driven()
    plan = stage.plan.changed(line_work=None)
    lines = plan.compensator.lines or 0.0
    fewer = max(lines - 2, 2.0)
    path = plan.hoisting
    if path is None:
        less = with_unit(plan, replace(plan.compensator, lines=fewer))  # type: ignore[call-arg]
    else:
        less = with_path(plan, replace(path, lines=fewer))
    scenario = stage.wave(1.0, duration=DRUM_LENGTH)
    shown = Variant("as planned", plan)
    tried = (shown, Variant(f"{fewer:.0f} lines", less))
    facts = {"lines": lines, "fewer": fewer}
    return Staged(Film((shown,), scenario), Film(tried, scenario), tuple(stage.said), facts)


def _told_drum(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), less = runs, tried[1]

    def length(value: float) -> str:
        return stage.told(value, "length")

    def speed(value: float) -> str:
        return stage.told(value, "speed")

    def force(value: float) -> str:
        return stage.told(value, "force")

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
        question=f"From trough to crest the vessel heaves {length(heave)}. The drum is to keep the block still on {lines:.0f} lines. "
        "About how much line does it take in and pay out?",
        choices=tuple(length(amount) for amount in amounts),
        answer=nearest,
        opens=max(top - period / 2, 0.0),
        captions=in_order(
            Caption(0.0, end, "Crown and drum heave with the vessel. The block is to stay where it is."),
            Caption(top - 2.0, top + 1.0, "At the crest: the drum has paid out, the block hangs further below the crown."),
            Caption(
                top + 1.0,
                top + period / 2,
                f"Down again the drum hauls in, the line at up to {speed(pace)}.",
            ),
        ),
        why=(
            f"All {lines:.0f} lines between crown and block get longer and shorter by as much as the block moves against the vessel, "
            f"{length(paid / lines)}. The drum has to turn out all of them: {length(paid)}.",
            f"The line runs at up to {speed(pace)}, {lines:.0f} times the block against the vessel.",
            f"What gain and delay leave, {length(block)} from end to end, the block still moves, and the bit swings by "
            f"± {force(swing(run, 'bit_force', *late))}.",
        ),
        change=f"String {fewer:.0f} lines instead of {lines:.0f}.",
        expect=f"The line on the drum {moved(paid, paid_less, length)}, its speed {moved(pace, pace_less, speed)}, and what each line "
        f"carries of the hookload {moved(load / lines, load / fewer, force)}.",
        learned=f"Lines share the load and multiply the travel: for {length(heave)} of heave the drum turned {length(paid)} of line on "
        f"{lines:.0f} lines, at up to {speed(pace)}.",
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


def _driller(stage: Stage) -> Staged:
    stage.on_bottom()
    unit = stage.on_gas()
    stage.smooth(0.005)
    stage.in_middle()
    setting = setting_of(stage.plan)
    scenario = stage.wave(1.0, duration=DRILLER_LENGTH)
    reach = 4 * setting.friction_force + 2 * (setting.stiffness_nominal or 0.0)
    most = stage.plan.hookload - 2 * LEAST_HANGING
    light, heavy = min(reach, most / 2), min(2 * reach, most)
    stage.said.append(f"{stage.told(light, 'force')} is set on the bit in A, twice that in B.")
    unit = stage.plan.compensator  # type: ignore[assignment]
    more = (
        replace(unit, gas_volume_shut=0.0)
        if unit.gas_volume_shut
        else replace(unit, gas_volume=min(2 * unit.gas_volume, 500.0))
    )
    a, b, c = (
        Variant(f"{stage.told(light, 'force')} on the bit", stage.plan.changed(wob=light)),
        Variant(f"{stage.told(heavy, 'force')} on the bit", stage.plan.changed(wob=heavy)),
        Variant(
            "all bottles open" if unit.gas_volume_shut else "twice the gas",
            stage.plan.changed(wob=light, compensator=more),
        ),
    )
    return Staged(Film((a, b), scenario), Film((a, c), scenario), tuple(stage.said), {"light": light, "heavy": heavy})


def _told_driller(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    def force(value: float) -> str:
        return stage.told(value, "force")

    period, end = staged.play.scenario.period, DRILLER_LENGTH
    light, heavy = staged.facts["light"], staged.facts["heavy"]
    late = (2 * period, end)
    a, b, c = (swing(one, "bit_force", *late) for one in (*runs, tried[1]))
    low_a, low_b = (lowest(one, "bit_force", *late) for one in runs)
    opened = staged.tried.variants[1].label
    dip = time_of_highest(runs[0], -runs[0].bit_force, 2 * period, end - 4.0)
    return Told(
        question=f"A has {force(light)} on the bit, B {force(heavy)}, twice as much. What about the swing around it?",
        choices=(
            "In B it is smaller",
            "In both about the same, to a sixth",
            "In B it is larger, but not twice",
            "In B it is twice as large",
        ),
        answer=pick(b / a, (0.85, 1.15, 1.8)),
        opens=max(dip - period, 0.0),
        captions=in_order(
            Caption(0.0, end, "The same wave, the same unit; only the weight set on the bit differs."),
            Caption(
                dip - 1.5,
                dip + 2.0,
                f"The least weight: A has {force(low_a)} left, B never less than {force(low_b)}.",
            ),
            Caption(dip + 2.0, end, f"± {force(a)} in A, ± {force(b)} in B."),
        ),
        why=(
            f"The swing comes from seals, gas and string: ± {force(a)} in A, ± {force(b)} in B. The weight set is what it swings about.",
            f"So twice the weight {'keeps' if low_b > low_a else 'does not keep'} the bit further from lifting: the least on it "
            f"{moved(low_a, low_b, force)}.",
            "The driller can set more weight, feed off before the stroke is eaten, see that every bottle is open, and pick up off bottom and "
            "wait when that is not enough.",
        ),
        change=f"Leave the weight of A and give it more gas: {opened}.",
        expect=f"The swing at the bit {moved(a, c, force)}.",
        learned=f"The weight set is the driller's, the swing is the sea's: twice the weight took the least on the bit from {force(low_a)} "
        f"to {force(low_b)}, with ± {force(a)} and ± {force(b)} about it.",
        sketch=Sketch("bit_force", "force", "weight on bit", end - 3 * period, end),
        numbers={
            "A": a,
            "B": b,
            "C": c,
            "lowest A": low_a,
            "lowest B": low_b,
            "light": light,
            "heavy": heavy,
        },
        moments={"dip": dip},
    )


DELAY: Final = Scene("delay", "An active part that comes late", _delay, _told_delay)
STROKE_OUT: Final = Scene("stroke-out", "At the end of the stroke", _stroke_out, _told_stroke_out)
DRUM: Final = Scene("drum", "Many lines and a drum that heaves", _drum, _told_drum)
DRILLER: Final = Scene("driller", "What the driller can do", _driller, _told_driller)
