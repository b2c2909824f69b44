"""Scenes of the string as a spring: a deep one that rings, a bit that lifts off, a unit that locks."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from heave.drill_string import first_on_bottom_period
from heave.judging.moments import setting_of
from heave.planning.plan import LEAST_HANGING, Plan
from heave.simulation.comparisons import LENGTHS, LIGHT_BIT, Variant, variants
from heave.simulation.scenario import Happening
from heave.teaching.measures import (
    at,
    factor,
    first,
    highest,
    lowest,
    more_or_less,
    moved,
    pick,
    swing,
    time_of_highest,
    unseen,
)
from heave.teaching.scene import Caption, Scene, Sketch, Told, in_order
from heave.teaching.staging import Runs, Stage, Staged

DEEP_LENGTH: Final = 100.0
"""How long the two strings are watched [s]."""

LIFT_LENGTH: Final = 90.0
"""How long the bit is watched lifting [s]."""

LOCKING: Final = 60.0
"""When the unit locks [s]; it is watched for as long again."""

OVER: Final = 2.0
"""Heave over the rise that takes all weight off the bit, in the scene of lift-off."""

UNDER: Final = 0.6
"""The same in the scene of the locked unit, so that the bit stays down for most."""


def _own_period(plan: Plan) -> float:
    """Longest natural period of the string, bit on bottom, hook on the gas spring [s]."""
    mass = plan.moving_mass + plan.string.handling_mass
    return float(first_on_bottom_period(plan.string, mass, setting_of(plan).stiffness_nominal or 0.0))


def _deep(stage: Stage) -> Staged:
    stage.on_bottom()
    stage.on_gas()
    stage.smooth(0.005)
    stage.in_middle()
    if stage.plan.well is not None:
        stage.change("The hole is left out: the string hangs free.", well=None)
    short, long = variants(stage.plan, "depth")
    wob = LIGHT_BIT * long.plan.hookload
    stage.said.append(
        f"The string is {stage.told(LENGTHS[0], 'length')} long in A and {stage.told(LENGTHS[1], 'length')} "
        f"in B, with {stage.told(wob, 'force')} on the bit in both."
    )
    shown = tuple(replace(one, plan=one.plan.changed(wob=wob)) for one in (short, long))
    quick = stage.wave(1.0, (8.0, 10.0, 12.0, 14.0), duration=DEEP_LENGTH)
    slow = Stage(stage.plan, stage.system).wave(1.0, (18.0, 16.0, 20.0), duration=DEEP_LENGTH)
    a, b = (_own_period(one.plan) for one in shown)
    return stage.films(shown, quick, slow, A=a, B=b)


def _told_deep(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    b = runs[1]
    force, time = map(stage.teller, ("force", "period"))
    period, own, end = staged.play.scenario.period, staged.facts, DEEP_LENGTH
    bits, cells = ([swing(one, name) for one in runs] for name in ("bit_force", "hook_load"))
    hidden = [float(np.abs(unseen(one)).max()) for one in runs]
    slow = float(np.abs(unseen(tried[1])).max())
    slow_wave = staged.tried.scenario.period
    rubbing = [setting_of(one.plan).friction_force for one in runs]
    peak = time_of_highest(b, np.abs(unseen(b)), period, end - period)
    nearer = abs(own["B"] - period) < abs(own["A"] - period)
    return Told(
        question=f"The same unit in the same wave of {time(period)}, on {stage.told(LENGTHS[0], 'length')} of "
        f"string in A and {stage.told(LENGTHS[1], 'length')} in B. On which does the weight on bit swing more?",
        choices=("On the short string, A", "On both alike, to a tenth", "On the long string, B"),
        answer=pick(bits[1] / max(bits[0], 1.0), (0.9, 1.1)),
        opens=max(peak - period, 0.0),
        captions=in_order(
            Caption(0.0, end, "A has the short string, B the long one. Their hooks get the same wave."),
            Caption(
                peak - 1.5,
                peak + 2.0,
                f"B: {force(abs(float(unseen(b)[np.searchsorted(b.time, peak)])))} of the bit force is not on "
                "the load cell.",
            ),
            Caption(
                peak + 2.0,
                end,
                f"At every turn of the piston the string is struck, and rings: every {time(own['A'])} in A, "
                f"every {time(own['B'])} in B at the slowest.",
            ),
        ),
        why=(
            f"A string stretches and springs back with a period of its own: {time(own['A'])} in A, "
            f"{time(own['B'])} in B, which is {'nearer to' if nearer else 'further from'} the wave's "
            f"{time(period)}.",
            f"What the load cell does not tell is up to {force(hidden[0])} in A and {force(hidden[1])} in B, "
            f"{more_or_less(hidden[1], hidden[0])} in A.",
            f"The longer string is heavier, so the same seals hold {force(rubbing[1])} in B, "
            f"{more_or_less(rubbing[1], rubbing[0])} the {force(rubbing[0])} in A, before they turn round.",
            f"The bit swings by ± {force(bits[0])} in A and ± {force(bits[1])} in B, while the load cells "
            f"show ± {force(cells[0])} and ± {force(cells[1])}.",
        ),
        change=f"The same heave in a slower wave, of {time(slow_wave)}.",
        expect=f"In B what the load cell does not tell {moved(hidden[1], slow, force)}.",
        learned=f"A deep string rings slowly, every {time(own['B'])} here against {time(own['A'])}: the bit swung by "
        f"± {force(bits[1])} on the long string and ± {force(bits[0])} on the short one.",
        sketch=Sketch("bit_force", "force", "weight on bit", end - 4 * period, end),
        numbers={
            "bit A": bits[0],
            "bit B": bits[1],
            "cell A": cells[0],
            "cell B": cells[1],
            "hidden A": hidden[0],
            "hidden B": hidden[1],
            "hidden tried": slow,
            "own A": own["A"],
            "own B": own["B"],
        },
        moments={"differ most": peak},
    )


def _lift_off(stage: Stage) -> Staged:
    stage.on_bottom()
    stage.at_work()
    stage.smooth()
    rise = stage.plan.wob / stage.plan.string.stiffness
    scenario = stage.wave(OVER * rise, duration=LIFT_LENGTH)
    more = min(1.5 * stage.plan.wob, stage.plan.hookload - 2 * LEAST_HANGING)
    heavier = stage.plan.changed(wob=more)
    none = Variant("no compensator", stage.plan, "no compensator")
    tried = (none, Variant(f"no compensator, {stage.told(more, 'force')}", heavier, "no compensator"))
    return stage.films((stage.planned, none), scenario, tried, rise=rise, more=more)


def _told_lift_off(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    a, b = runs

    force, length = map(stage.teller, ("force", "length"))
    period, rise, end = staged.play.scenario.period, staged.facts["rise"], LIFT_LENGTH
    wob, heave = a.plan.wob, swing(b, "heave")
    off = [float(one.lift_off.mean()) for one in (a, b, tried[1])]
    leaves = first(b, "lift_off", period)
    lands = first(b, "lift_off", leaves, holds=False)
    blow = highest(b, "bit_force")
    low = lowest(a, "bit_force")
    share = [stage.told(one, "fraction") for one in off]
    lifts = (off[0] > 0) + 2 * (off[1] > 0)
    return Told(
        question=f"The vessel heaves by ± {length(heave)}. {force(wob)} is set on the bit, and the string gives "
        f"{stage.told(a.plan.string.stiffness, 'stiffness')}. A has its compensator, B has none. Where does "
        "the bit leave the rock?",
        choices=("In neither", "Only with the compensator, A", "Only with none, B", "In both"),
        answer=int(lifts),
        opens=max(leaves - period / 4, 0.0) if off[1] else 0.0,
        captions=in_order(
            Caption(0.0, end, "A: the compensator gives way. B: block and hook are one."),
            Caption(leaves, lands, "B: the string has nothing left to give, and the bit is off the rock."),
            Caption(
                lands,
                lands + 4.0,
                f"B: the bit lands, and the rock takes {force(highest(b, 'bit_force', lands, lands + 4.0))}.",
            ),
            Caption(lands + 4.0, end, f"A: the weight on bit has not gone below {force(low)}."),
        ),
        why=(
            f"As a spring of {stage.told(a.plan.string.stiffness, 'stiffness')} the string loses all of its "
            f"{force(wob)} in a rise of {length(rise)}. The vessel rises by {length(heave)}, "
            f"{more_or_less(heave, rise)} that.",
            f"In B the bit is off the rock for {share[1]} of the time and comes down with up to "
            f"{force(blow)}, {factor(blow, wob)} what was set."
            if off[1]
            else f"In B the bit stays down all the same, with {force(lowest(b, 'bit_force'))} at the least.",
            f"In A it is off the rock for {share[0]} of the time."
            if off[0]
            else f"In A it stays down: {force(low)} at the least.",
        ),
        change=f"Set more on the bit in B: {force(staged.facts['more'])}.",
        expect="The share of the time that the bit is off the rock "
        f"{moved(off[1], off[2], lambda value: stage.told(value, 'fraction'))}.",
        learned=f"With no compensator a rise of {length(rise)} takes all of {force(wob)} off the bit"
        + (f", and it comes back as a blow, here of up to {force(blow)}." if off[1] else "."),
        sketch=Sketch("bit_force", "force", "weight on bit", end - 3 * period, end),
        numbers={
            "heave": heave,
            "rise": rise,
            "off A": off[0],
            "off B": off[1],
            "off tried": off[2],
            "blow": blow,
            "lowest A": low,
        },
        moments={"leaves": leaves if off[1] else 0.0, "top": time_of_highest(b, b.heave, 0.0, end - period)},
    )


def _locked(stage: Stage) -> Staged:
    stage.on_bottom()
    stage.at_work()
    setting, stiff = setting_of(stage.plan), stage.plan.string.stiffness
    amplitude = max(UNDER * stage.plan.wob, 2 * setting.friction_force) / stiff
    event = (Happening("compensator locked", LOCKING),)
    scenario = stage.wave(amplitude, duration=2 * LOCKING, happenings=event)
    half = replace(scenario, height=scenario.height / 2)
    stage.said.append(f"At {LOCKING:.0f}\u00a0s the compensator is locked.")
    return stage.films((stage.planned,), scenario, half)


def _told_locked(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), (half,) = runs, tried

    force = stage.teller("force")
    period, end = staged.play.scenario.period, 2 * LOCKING
    before = swing(run, "bit_force", LOCKING - 2 * period, LOCKING)
    after, after_half = (swing(one, "bit_force", end - 2 * period, end) for one in (run, half))
    heave = swing(run, "heave", end - 2 * period, end)
    string_alone = run.plan.string.stiffness * heave
    lifts = bool(run.lift_off[run.time > LOCKING].any())
    return Told(
        question=f"The bit swings by ± {force(before)}. At {LOCKING:.0f}\u00a0s the compensator is locked. And then?",
        choices=(
            "It swings less than before",
            "As before, to a tenth",
            "More, up to three times",
            "More than three times",
        ),
        answer=pick(after / max(before, 1.0), (0.9, 1.1, 3.0)),
        opens=LOCKING - 2 * period,
        captions=in_order(
            Caption(0.0, LOCKING, f"The unit works: ± {force(before)} at the bit."),
            Caption(LOCKING, LOCKING + 5.0, "Locked: hook and block are one."),
            Caption(LOCKING + 5.0, end - 2 * period, "Only the string is left to give way to the heave."),
            Caption(end - 2 * period, end, f"± {force(after)} at the bit."),
        ),
        why=(
            f"Locked, the heave of ± {stage.told(heave, 'length')} goes into the string alone. As a slow "
            f"spring of {stage.told(run.plan.string.stiffness, 'stiffness')} that makes ± "
            f"{force(string_alone)}.",
            f"The swing at the bit {moved(before, after, force)}. It is {factor(after, string_alone)} the "
            "slow spring's."
            + (
                " The bit lifts off and lands in it."
                if lifts
                else ""
                if factor(after, string_alone) == factor(1.0, 1.0)
                else " String and gear have mass, and a slow spring leaves that out."
            ),
        ),
        change="The same with a wave half as high.",
        expect=f"Locked, the bit then swings by ± {force(after_half)}, {more_or_less(after_half, after)} the ± "
        f"{force(after)} in the whole wave.",
        learned=f"A locked unit leaves the heave to the string: the bit swung by ± {force(before)} before and by ± "
        f"{force(after)} after.",
        sketch=Sketch("bit_force", "force", "weight on bit", LOCKING - 3 * period, LOCKING + 3 * period),
        numbers={
            "before": before,
            "after": after,
            "after tried": after_half,
            "heave": heave,
            "string": string_alone,
        },
        moments={
            "locks": LOCKING,
            "largest": time_of_highest(run, run.bit_force, LOCKING, end),
            "still": at(run, "time", 0.0),
        },
    )


DEEP: Final = Scene("deep string", "A deep string rings", _deep, _told_deep)
LIFT_OFF: Final = Scene("lift-off", "The bit lifts off", _lift_off, _told_lift_off)
LOCKED: Final = Scene("locked", "A locked unit", _locked, _told_locked)
