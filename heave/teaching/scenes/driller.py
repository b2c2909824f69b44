"""Scenes of what the driller sees to: the end of the stroke, and the weight set on the bit."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from heave.compensator.device import GAS_VOLUME
from heave.judging.moments import setting_of
from heave.planning.offsets import StaticOffsets
from heave.planning.plan import LEAST_HANGING
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Happening
from heave.teaching.measures import (
    first,
    highest,
    last,
    lowest,
    moved,
    pick,
    swing,
    time_of_highest,
    times_entered,
)
from heave.teaching.scene import Caption, Scene, Sketch, Told, in_order
from heave.teaching.staging import Runs, Stage, Staged, bounded

NEAR_END: Final = 0.2
"""Stroke left over the heave when the run up to the end of the stroke begins [m]."""

LEAST_NEAR_END: Final = 0.05
"""Heave of that run at the least, on the shortest of strokes [m]."""

QUICK_HOLE: Final = 30 / 3600
"""Rate of penetration in that scene [m/s]: quick, so that stroke is eaten in a minute."""

RESCUE: Final = 80.0
"""When the driller feeds off there [s]."""

OFTEN: Final = (30.0, 60.0, 90.0)
"""When the driller does so in what is tried [s]."""

OUT_LENGTH: Final = 110.0
"""How long that is watched [s]."""

DRILLER_LENGTH: Final = 90.0
"""How long the driller's choices are watched [s]."""


def _stroke_out(stage: Stage) -> Staged:
    stage.on_bottom()
    unit = stage.on_gas()
    stage.smooth()
    half = unit.stroke / 2
    heave = max(min(0.8, half - NEAR_END - 0.1), LEAST_NEAR_END)
    start = bounded(StaticOffsets, "start_position", half - heave - NEAR_END)
    offsets = replace(
        stage.plan.offsets, start_position=start, penetration_rate=QUICK_HOLE, feed_interval=0.0
    )
    stage.change(
        f"The piston starts {stage.told(half - start, 'length')} from the end where the gas is compressed, "
        f"hole is made at {stage.told(QUICK_HOLE, 'penetration')}, and the driller feeds off after "
        f"{RESCUE:.0f}\u00a0s.",
        offsets=offsets,
    )
    scenario = replace(
        stage.wave(heave, duration=OUT_LENGTH, happenings=(Happening("driller feeds off", RESCUE),)),
        hole=True,
    )
    early = replace(scenario, happenings=tuple(Happening("driller feeds off", moment) for moment in OFTEN))
    return stage.films((stage.planned,), scenario, early, left=half - start)


def _told_stroke_out(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), (early,) = runs, tried

    force, length = map(stage.teller, ("force", "length"))
    period, left, end = staged.play.scenario.period, staged.facts["left"], OUT_LENGTH
    met, over = first(run, "stroke_out"), last(run, "stroke_out")
    strikes, strikes_early = (times_entered(one, "stroke_out") for one in (run, early))
    never = math.isnan(met)
    before, after = (max(met - 2 * period, 0.0), met - 0.1), (RESCUE + 15.0, end)
    struck = (met, min(over, RESCUE + 15.0) + 1.0)
    wob = run.plan.wob
    low, low_before = (0.0, 0.0) if never else (lowest(run, "bit_force", *span) for span in (struck, before))
    load, load_before = (
        (0.0, 0.0) if never else (highest(run, "hook_load", *span) for span in (struck, before))
    )
    worst = run.time[0] if never else time_of_highest(run, run.stroke, *struck)
    low_after = lowest(run, "bit_force", *after)
    eaten = QUICK_HOLE * (RESCUE if never else met)
    return Told(
        question=f"{length(left)} of stroke is left, hole eats it, and the vessel heaves by ± "
        f"{length(swing(run, 'heave'))}. When the piston meets its end while the vessel still rises, what "
        "happens to the weight on bit?",
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
            Caption(RESCUE + 15.0, end, f"The weight on bit keeps above {force(low_after)} again."),
        ),
        why=(
            "The string's stretch and the seals take enough of the heave: the piston does not get to its end here."
            if never
            else f"After {met:.0f}\u00a0s hole had eaten {length(eaten)} of the {length(left)}, and the crest of the "
            "heave took the rest.",
            f"Against its end {_count(strikes)}, the unit is a locked one: the lowest weight on bit "
            f"{moved(low_before, low, force)}, the highest hook load {moved(load_before, load, force)}."
            if not never
            else f"The weight on bit keeps above {force(low_after)}.",
            "Feeding off lowers the block by what was drilled; after it the weight on bit keeps above "
            f"{force(low_after)}.",
        ),
        change=f"Feed off in time, every {OFTEN[0]:.0f}\u00a0s.",
        expect=f"The piston meets its end {_count(strikes_early)} instead of {_count(strikes)}.",
        learned=f"Hole made eats stroke. With {length(left)} left the piston met its end {_count(strikes)}, until "
        "the driller fed off"
        + ("." if never else f"; the lowest weight on bit {moved(low_before, low, force)}."),
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
        else replace(unit, gas_volume=GAS_VOLUME.nearest(2 * unit.gas_volume))
    )
    a, b, c = (
        Variant(f"{stage.told(light, 'force')} on the bit", stage.plan.changed(wob=light)),
        Variant(f"{stage.told(heavy, 'force')} on the bit", stage.plan.changed(wob=heavy)),
        Variant(
            "all bottles open" if unit.gas_volume_shut else "twice the gas",
            stage.plan.changed(wob=light, compensator=more),
        ),
    )
    return stage.films((a, b), scenario, (a, c), light=light, heavy=heavy)


def _told_driller(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    force = stage.teller("force")
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
            f"The swing comes from seals, gas and string: ± {force(a)} in A, ± {force(b)} in B. The weight "
            "set is what it swings about.",
            f"So twice the weight {'keeps' if low_b > low_a else 'does not keep'} the bit further from "
            f"lifting: the least on it {moved(low_a, low_b, force)}.",
            "The driller can set more weight, feed off before the stroke is eaten, see that every bottle is "
            "open, and pick up off bottom and wait when that is not enough.",
        ),
        change=f"Leave the weight of A and give it more gas: {opened}.",
        expect=f"The swing at the bit {moved(a, c, force)}.",
        learned="The weight set is the driller's, the swing is the sea's: twice the weight took the least on the "
        f"bit from {force(low_a)} to {force(low_b)}, with ± {force(a)} and ± {force(b)} about it.",
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


STROKE_OUT: Final = Scene("stroke-out", "At the end of the stroke", _stroke_out, _told_stroke_out)
DRILLER: Final = Scene("driller", "What the driller can do", _driller, _told_driller)
