"""Scenes of what hangs and what stands: a calm, and hook load against bit load."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Final

import numpy as np

from heave.compensator.time_domain.case import FEED_SPEED
from heave.judging.moments import setting_of
from heave.planning.plan import Plan
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Happening, Scenario
from heave.simulation.simulate import SimulationResult
from heave.teaching.measures import (
    Tell,
    at,
    factor,
    hanging,
    mean,
    more_or_less,
    moved,
    pick,
    swing,
    time_of_highest,
    unseen,
)
from heave.teaching.numbers import DRILLING_RATE
from heave.teaching.scene import Caption, Scene, Sketch, Told, in_order
from heave.teaching.staging import Runs, Stage, Staged

FEED: Final = 90.0
"""When the driller feeds off in the calm [s]."""

CALM_LENGTH: Final = 150.0
"""How long the calm is watched [s]."""

FASTEST: Final = 30 / 3600
"""Fastest drilling in the calm [m/s], so that a feed takes seconds; what is tried is twice as fast."""

MOST_LOST: Final = 0.8
"""Share of the weight on bit that the hole in the calm may take off: a bit off the rock makes no hole."""

CYCLES: Final = 90.0
"""How long hook load and bit load are watched [s]."""


def hole_borne(plan: Plan) -> float:
    """Hole that takes `MOST_LOST` of the weight off the bit of a plan while nobody feeds off [m].

    The string gives it up as a spring, until a hook on gas follows once the seals let it go.
    """
    setting, stiff, lost = setting_of(plan), plan.string.stiffness, MOST_LOST * plan.wob
    soft = setting.stiffness_nominal
    if soft is None or plan.follows_position:
        return lost / stiff
    return max(lost / stiff, (lost - setting.friction_force) * (1 / soft + 1 / stiff))


def _calm(stage: Stage) -> Staged:
    stage.on_bottom()
    most = hole_borne(stage.plan) / (2 * FEED)  # twice the rate is tried
    rate = min(stage.plan.offsets.penetration_rate or DRILLING_RATE, FASTEST, most)
    offsets = replace(stage.plan.offsets, penetration_rate=rate, feed_interval=0.0)
    stage.change(
        f"Hole is made at {stage.told(rate, 'penetration')} and fed off once, after {FEED:.0f}\u00a0s.",
        offsets=offsets,
    )
    stage.said.append("A calm in place of the sea: a wave of one centimetre.")
    scenario = Scenario(
        "wave",
        height=0.01,
        period=10.0,
        duration=CALM_LENGTH,
        happenings=(Happening("driller feeds off", FEED),),
    )
    twice = 2 * rate
    faster = stage.plan.changed(offsets=replace(offsets, penetration_rate=twice))
    tried = (stage.planned, Variant(f"at {stage.told(twice, 'penetration')}", faster))
    return stage.films((stage.planned,), scenario, tried, rate=rate, rate_tried=twice)


def _told_calm(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), faster = runs, tried[1]

    force = stage.teller("force")
    exact = partial(stage.told, kind="force", digits=4)
    length = stage.teller("length")
    rate, twice, last = staged.facts["rate"], staged.facts["rate_tried"], CALM_LENGTH
    fed_by = FEED + rate * FEED / FEED_SPEED
    set_, late, back = (
        mean(run, "bit_force", *span) for span in ((0.0, 2.0), (FEED - 2, FEED), (fed_by, fed_by + 2))
    )
    late_fast = mean(faster, "bit_force", FEED - 2, FEED)
    cell, hangs = mean(run, "hook_load", 0.0, 2.0), hanging(run.plan)
    drilled = rate * FEED
    sunk = mean(run, "hook", 0.0, 2.0) - mean(run, "hook", FEED - 2, FEED)
    stretched = max(drilled - sunk, 0.0)
    fed = at(run, "block", FEED - 1) - at(run, "block", fed_by + 1)
    early = FEED / 6
    held = at(run, "hook", 0.0) - at(run, "hook", early) < 0.2 * rate * early
    gives = run.time[(run.time > early) & (at(run, "hook", 0.0) - run.hook > 0.02)]
    slips = float(gives[0]) if held and len(gives) else float("nan")
    lost = late < 0.95 * set_
    return Told(
        question=f"The vessel lies still, {force(run.plan.wob)} is set on the bit, and it drills "
        f"{stage.told(rate, 'penetration')}. The driller does nothing for {FEED:.0f}\u00a0s. What does the weight "
        "on bit do meanwhile?",
        choices=("It falls", "It stays as set, to a twentieth", "It rises"),
        answer=pick(late / set_, (0.95, 1.05)),
        opens=0.0,
        captions=in_order(
            Caption(
                0.0,
                FEED,
                f"At rest. The load cell shows {exact(cell)}; {exact(set_)} of the {exact(hangs)} that hang "
                "stand on the rock.",
            ),
            Caption(
                4.0,
                FEED,
                "Hole is made and the bit goes down after it. "
                + ("The hook does not follow: the string stretches." if held else "The hook follows it."),
            ),
            Caption(slips, FEED, "Now the hook follows the hole."),
            Caption(FEED, last, f"The driller feeds off: the block is lowered by {length(fed)}."),
        ),
        why=(
            f"Hook load is what hangs less what stands: {exact(hangs)} less {exact(set_)} is {exact(cell)}.",
            f"By {FEED:.0f}\u00a0s the bit is {length(drilled)} deeper and the hook {length(sunk)} lower. The "
            f"string is longer by {length(stretched)}, {more_or_less(stretched, sunk)} the hook went down.",
            f"Weight on bit {moved(set_, late, force)}, and nothing but the bit has moved by itself.",
            f"As the driller feeds off it {moved(late, back, force)}.",
        ),
        change=f"Drill faster, at {stage.told(twice, 'penetration')}, and let the driller do nothing for as long.",
        expect=f"At {FEED:.0f}\u00a0s {force(late_fast)} is left on the bit; at {stage.told(rate, 'penetration')} "
        f"it was {force(late)}, {more_or_less(late, late_fast)} that.",
        learned="Hook load is what hangs less what stands on the rock. "
        + (
            f"Hole made takes weight off the bit until the driller feeds off: in {FEED:.0f}\u00a0s of drilling "
            f"{force(set_)} became {force(late)}."
            if lost
            else f"Hole made used up travel, not weight: after {FEED:.0f}\u00a0s {force(late)} of {force(set_)} stood "
            "on the bit."
        ),
        sketch=Sketch("bit_force", "force", "weight on bit", 0.0, last),
        numbers={
            "cell": cell,
            "hangs": hangs,
            "set": set_,
            "late": late,
            "back": back,
            "drilled": drilled,
            "sunk": sunk,
            "fed": fed,
            "late tried": late_fast,
        },
        moments={"rest": 0.0, "before feeding off": FEED - 1},
    )


def _hook_load(stage: Stage) -> Staged:
    stage.on_bottom()
    stage.on_gas()
    quick = stage.wave(0.6, (8.0, 10.0, 12.0, 14.0), duration=CYCLES)
    slow = Stage(stage.plan, stage.system).wave(0.6, (18.0, 16.0, 20.0), duration=CYCLES)
    return stage.films((stage.planned,), quick, slow)


def _hook_load_captions(
    run: SimulationResult, instants: tuple[float, float, float], ratio: float, force: Tell
) -> tuple[Caption, ...]:
    """Words for the load cell at its highest, the bit at its lightest, and both at their furthest apart."""
    (at_cell, at_bit, at_hidden), end = instants, CYCLES
    return in_order(
        Caption(0.0, end, "Watch both gauges: the load cell above the string, and what the rock feels."),
        Caption(
            at_cell - 1.0,
            at_cell + 2.0,
            f"The load cell is at its highest: {force(at(run, 'hook_load', at_cell))}. On the bit: "
            f"{force(at(run, 'bit_force', at_cell))}.",
        ),
        Caption(at_cell + 2.0, end, "Hook and string are sped up and slowed down, and ring."),
        Caption(
            at_bit - 1.0,
            at_bit + 2.0,
            f"The bit is at its lightest: {force(at(run, 'bit_force', at_bit))}. The load cell: "
            f"{force(at(run, 'hook_load', at_bit))}.",
        ),
        Caption(
            at_hidden - 1.0,
            at_hidden + 2.0,
            f"Here {force(abs(float(unseen(run)[np.searchsorted(run.time, at_hidden)])))} of the bit force is "
            "not on the load cell.",
        ),
        Caption(
            at_hidden + 2.0,
            end,
            "Reading the load cell, one would take the weight on bit for "
            + ("steadier" if ratio > 1.1 else "less steady" if ratio < 0.9 else "as steady")
            + (" as" if 0.9 <= ratio <= 1.1 else " than")
            + " it is.",
        ),
    )


def _told_hook_load(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), (slow,) = runs, tried

    force = stage.teller("force")
    period, end = staged.play.scenario.period, CYCLES
    cell, bit = swing(run, "hook_load"), swing(run, "bit_force")
    hidden, hidden_slow = (float(np.abs(unseen(one)).max()) for one in (run, slow))
    cell_slow, bit_slow = swing(slow, "hook_load"), swing(slow, "bit_force")
    at_cell = time_of_highest(run, run.hook_load, end - 4 * period, end - 3 * period)
    at_bit = time_of_highest(run, -run.bit_force, at_cell, at_cell + period)
    at_hidden = time_of_highest(run, np.abs(unseen(run)), at_bit + 2.5, at_bit + 2.5 + period)
    slow_wave = stage.told(staged.tried.scenario.period, "period")
    ratio = bit / max(cell, 1.0)
    return Told(
        question=f"In this wave the load cell above the string swings by ± {force(cell)}. What does the weight on "
        "bit swing by?",
        choices=(
            "Less than the load cell",
            "As much, to a tenth",
            "More, up to twice as much",
            "More than twice as much",
        ),
        answer=pick(ratio, (0.9, 1.1, 2.0)),
        opens=at_cell - period,
        captions=_hook_load_captions(run, (at_cell, at_bit, at_hidden), ratio, force),
        why=(
            f"With nothing speeding up, what hangs, {force(hanging(run.plan))}, less the load cell's reading "
            "would stand on the bit, and both would swing alike.",
            f"Hook, gear and string do speed up, slow down and ring. That takes up to {force(hidden)}, and "
            "the load cell does not tell it from weight on bit.",
            f"So the bit swings by ± {force(bit)}: {factor(bit, cell)} the load cell.",
        ),
        change=f"The same heave, slower: a wave of {slow_wave}.",
        expect=f"What the load cell does not tell {moved(hidden, hidden_slow, force)}. The load cell swings by "
        f"± {force(cell_slow)}, the bit by ± {force(bit_slow)}.",
        learned=f"Hook load is not bit load: the load cell swung by ± {force(cell)}, the bit by ± {force(bit)}. "
        f"Up to {force(hidden)} went into speeding up, slowing down and ringing.",
        sketch=Sketch("bit_force", "force", "weight on bit", max(end - 4 * period, 0.0), end),
        numbers={
            "cell": cell,
            "bit": bit,
            "hidden": hidden,
            "hidden tried": hidden_slow,
            "cell tried": cell_slow,
            "bit tried": bit_slow,
            "friction": setting_of(run.plan).friction_force,
        },
        moments={
            "differ most": at_hidden,
            "lightest": at_bit,
            "seals turn": time_of_highest(
                run, np.abs(run.friction_force), end - 4 * period, end - 2 * period
            ),
        },
    )


CALM: Final = Scene("calm", "A calm", _calm, _told_calm)
HOOK_LOAD: Final = Scene("hook load", "Hook load is not bit load", _hook_load, _told_hook_load)
