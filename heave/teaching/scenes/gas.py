"""Scenes of seals and gas: seals that never move, bottles shut, and a swell near the off-bottom period."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from heave.compensator import GasUnit
from heave.judging.moments import setting_of
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Happening
from heave.teaching.measures import (
    alike,
    at,
    factor,
    first,
    more_or_less,
    moved,
    pick,
    swing,
    time_of_highest,
)
from heave.teaching.scene import Caption, Scene, Sketch, Told, in_order
from heave.teaching.staging import Runs, Stage, Staged, wave_for
from heave.units import significant

HELD: Final = 0.6
"""Share of the seals' hold that the string's inertia takes in the first of these scenes."""

SMOOTHER: Final = 4.0
"""How much smoother the seals are that are tried."""

WATCHED: Final = 100.0
"""How long seals are watched [s]."""

SHUTTING: Final = 70.0
"""When the bank is shut [s]."""

SHUT: Final = 0.6
"""Share of the open gas that is shut; less where less gas would be left than the stroke needs."""

LEAST_LEFT: Final = 1.5
"""Gas left over swept volume, at least."""

BOTTLES_LENGTH: Final = 140.0
"""How long the bottles are watched [s]."""

SWELL_LENGTH: Final = 240.0
"""How long the swell builds up [s]; the film opens late in it."""

BEYOND: Final = 1.6
"""Heave of the swell over what the seals would hold against the gas spring."""


def _seals(stage: Stage) -> Staged:
    stage.off_bottom()
    stage.on_gas()
    stage.smooth(most=0.05, least=0.01)
    friction = setting_of(stage.plan).friction_force
    mass = stage.plan.moving_mass + stage.plan.string.handling_mass + stage.plan.string.mass
    _, period = wave_for(stage.plan, 1.0)
    amplitude = HELD * friction / (mass * (2 * math.pi / period) ** 2)
    scenario = stage.wave(amplitude, (period,), duration=WATCHED)
    unit = stage.plan.compensator
    assert isinstance(unit, GasUnit)
    share = unit.friction_fraction / SMOOTHER
    smooth = stage.plan.changed(compensator=replace(unit, friction_fraction=share))
    tried = (stage.planned, Variant(f"seals at {stage.told(share, 'fraction')}", smooth))
    return stage.films((stage.planned,), scenario, tried, friction=friction, share=share)


def _told_seals(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), smooth = runs, tried[1]

    force, length = map(stage.teller, ("force", "length"))
    scenario, friction = staged.play.scenario, staged.facts["friction"]
    heave, stroke, hook = (swing(run, name) for name in ("heave", "stroke", "hook"))
    pull = swing(run, "compensator_force")
    stroke_tried, hook_tried = swing(smooth, "stroke"), swing(smooth, "hook")
    top = time_of_highest(run, run.heave, WATCHED / 2, WATCHED - scenario.period)
    slips = first(run, "stuck", 0.0, holds=False)
    held = stroke < 0.02 * heave
    share = stage.told(staged.facts["share"], "fraction")
    return Told(
        question=f"The bit is off bottom and the hoist heaves by ± {length(heave)}. How much of that does the "
        "compensator take up?",
        choices=(
            "Nothing: the hook rides with the vessel",
            "Some of it",
            "Nearly all: the hook stands still",
        ),
        answer=pick(stroke / max(heave, 1e-9), (0.1, 0.8)),
        opens=max(top - 1.25 * scenario.period, 0.0),
        captions=in_order(
            Caption(
                0.0, WATCHED, f"The vessel rises and falls by {length(2 * heave)} in all. Watch the piston."
            ),
            Caption(
                top - 2.0,
                top + 2.0,
                "The vessel is at its highest, and the hook has come up with it."
                if held
                else "The vessel is at its highest.",
            ),
            Caption(
                top + 2.0,
                top + scenario.period / 2 - 1,
                f"Down again, string and all: between block and hook the force swings by ± {force(pull)}, and "
                f"the seals hold {force(friction)}.",
            ),
            Caption(slips, slips + 4.0, "The seals give way for a moment."),
        ),
        why=(
            "Off bottom nothing holds the string back but its own inertia. Between block and hook the force "
            f"swung by ± {force(pull)}; the seals hold up to {force(friction)} either way before the piston "
            "moves.",
            f"The pull is {more_or_less(pull, friction)} the seals hold, so "
            + (
                "the piston never moves and the hook rides with the vessel: the compensator might as well be locked."
                if held
                else f"the piston moves, by ± {length(stroke)} of the ± {length(heave)}."
            ),
            f"The hook moves by ± {length(hook)}: {factor(hook, heave)} the vessel.",
        ),
        change=f"Smoother seals: {share} of the load, a quarter.",
        expect=f"The stroke {moved(stroke, stroke_tried, length)} either way, and the hook's own movement "
        f"{moved(hook, hook_tried, length)}.",
        learned=(
            f"Off bottom, seals that hold {force(friction)} kept the piston still in ± {length(heave)} of "
            "heave: until inertia beats the seals the hook rides with the vessel."
            if held
            else f"Off bottom, the piston moved by ± {length(stroke)} in ± {length(heave)} of heave, past seals "
            f"that hold {force(friction)}."
        ),
        sketch=Sketch("stroke", "length", "stroke", WATCHED - 4 * scenario.period, WATCHED),
        numbers={
            "heave": heave,
            "stroke": stroke,
            "hook": hook,
            "pull": pull,
            "friction": friction,
            "stroke tried": stroke_tried,
            "hook tried": hook_tried,
        },
        moments={"top": top},
    )


def _bottles(stage: Stage) -> Staged:
    stage.on_bottom()
    unit = stage.on_gas()
    if unit.gas_volume_shut:
        stage.change("All bottles are open.", compensator=replace(unit, gas_volume_shut=0.0))
    stage.smooth(0.005)
    stage.in_middle()
    unit = stage.plan.compensator  # type: ignore[assignment]
    ratio = unit.volume_ratio
    share = min(SHUT, 1 - LEAST_LEFT / ratio) if ratio > 1.2 * LEAST_LEFT else 0.15
    setting = setting_of(stage.plan)
    spring = setting.stiffness_nominal or 0.0
    room = (0.8 * stage.plan.wob - setting.friction_force) * (1 - share) / spring
    scenario = stage.wave(
        max(0.4, min(1.2, room)),
        duration=BOTTLES_LENGTH,
        happenings=(Happening("gas bank shut", SHUTTING, share),),
    )
    stage.said.append(
        f"At {SHUTTING:.0f}\u00a0s {stage.told(share, 'fraction')} of the open gas is shut off."
    )
    half = replace(scenario, happenings=(Happening("gas bank shut", SHUTTING, share / 2),))
    return stage.films((stage.planned,), scenario, half, share=share, spring=spring)


def _told_bottles(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), (half,) = runs, tried

    force, stiff = map(stage.teller, ("force", "stiffness"))
    share, spring = staged.facts["share"], staged.facts["spring"]
    period, end = staged.play.scenario.period, BOTTLES_LENGTH
    stiffer = 1 / (1 - share)
    before = swing(run, "bit_force", SHUTTING - 2 * period, SHUTTING)
    after, after_half = (swing(one, "bit_force", end - 2 * period, end) for one in (run, half))
    grown = after / before
    part = stage.told(share, "fraction")
    compared = (
        "as much as the spring."
        if alike(grown, stiffer)
        else "less than the spring: what seals, hydraulics and ringing do to the bit does not stiffen with the gas."
        if grown < stiffer
        else "more than the spring: the string rings to it as well."
    )
    return Told(
        question=f"At {SHUTTING:.0f}\u00a0s somebody shuts {part} of the open gas, and the gas is "
        f"{significant(stiffer, 2)} times as stiff. What becomes of the swing of the weight on bit?",
        choices=(
            "It stays, to a tenth",
            "It grows, by less than the stiffness",
            "It grows as the stiffness does, or more",
        ),
        answer=0 if grown < 1.1 else 1 if grown < 0.95 * stiffer else 2,
        opens=SHUTTING - 2 * period,
        captions=in_order(
            Caption(0.0, SHUTTING, f"All gas is open: the bit swings by ± {force(before)}."),
            Caption(
                SHUTTING, SHUTTING + 6.0, f"A bank is shut: {part} of the gas is gone from the cylinder."
            ),
            Caption(
                SHUTTING + 6.0,
                end - 2 * period,
                "The pressure rises and falls further for the same stroke. Watch the bit.",
            ),
            Caption(end - 2 * period, end, f"Now the bit swings by ± {force(after)}."),
        ),
        why=(
            f"Only bottles open to the cylinder count: {stiff(spring)} became {stiff(spring * stiffer)}, "
            f"{significant(stiffer, 2)} times.",
            f"The swing of the weight on bit {moved(before, after, force)}, {significant(grown, 2)} times. "
            f"That is {compared}",
        ),
        change=f"Shut half as much: {stage.told(share / 2, 'fraction')}.",
        expect=f"After it the bit swings by ± {force(after_half)}, {more_or_less(after_half, after)} the "
        f"± {force(after)} with {part} shut.",
        learned=f"Gas is a spring, and bottles that are shut make it stiffer: {significant(stiffer, 2)} times "
        f"here, and the bit swung by ± {force(after)} after ± {force(before)}.",
        sketch=Sketch("bit_force", "force", "weight on bit", SHUTTING - 3 * period, end),
        numbers={
            "before": before,
            "after": after,
            "after tried": after_half,
            "stiffer": stiffer,
            "spring": spring,
        },
        moments={"open": SHUTTING - 1.0, "shut": SHUTTING + 1.0, "stiff": end - period},
    )


def _swell(stage: Stage) -> Staged:
    stage.off_bottom()
    stage.on_gas()
    stage.in_middle()
    stage.smooth(least=0.01)
    setting = setting_of(stage.plan)
    own, spring = setting.free_period_nominal or math.nan, setting.stiffness_nominal or math.nan
    period = min(max(own, 6.0), 28.0)
    amplitude = BEYOND * setting.friction_force / spring
    scenario = stage.wave(amplitude, (period,), duration=SWELL_LENGTH)
    tried = (stage.planned, Variant("locked", stage.plan, "locked"))
    return stage.films((stage.planned,), scenario, tried, own=own)


def _told_swell(staged: Staged, runs: Runs, tried: Runs, stage: Stage) -> Told:
    (run,), locked = runs, tried[1]

    length = stage.teller("length")
    own, period, end = staged.facts["own"], staged.play.scenario.period, SWELL_LENGTH
    late = end - 4 * period
    heave, hook, stroke = (swing(run, name, late, end) for name in ("heave", "hook", "stroke"))
    hook_locked = swing(locked, "hook", late, end)
    top = time_of_highest(run, run.hook, late, end - period / 2)
    hits = first(run, "stroke_out", 0.0)
    near = abs(period - own) <= 0.1 * own
    told_own, told_period = stage.told(own, "period"), stage.told(period, "period")
    return Told(
        question="The bit is off bottom. String and gear on the gas spring have a period of their own of "
        f"{told_own}, and a swell of {stage.told(period, 'period')} comes. The vessel heaves by ± "
        f"{length(heave)}. What does the hook do?",
        choices=("It moves less than the vessel", "As much, to a tenth", "It moves more than the vessel"),
        answer=pick(hook / max(heave, 1e-9), (0.9, 1.1)),
        opens=max(top - 3 * period, 0.0),
        captions=in_order(
            Caption(
                0.0,
                late,
                "Each swell comes "
                + ("in step" if near else "out of step")
                + " with the string on its gas spring.",
            ),
            Caption(hits, hits + 4.0, "The piston meets the end of its stroke."),
            Caption(
                top - 2.0,
                top + 2.0,
                f"Hook at its highest: {length(at(run, 'hook', top))}, the vessel at "
                f"{length(at(run, 'heave', top))}.",
            ),
            Caption(
                top + 2.0, end, f"The piston strokes by ± {length(stroke)} for ± {length(heave)} of heave."
            ),
        ),
        why=(
            f"On the gas spring the string hangs as a weight on a soft spring, with a period of {told_own}. "
            f"Swell of {stage.told(period, 'period')} is "
            f"{'near it and pushes in step' if near else 'not near it'}.",
            f"The hook moves by ± {length(hook)}: {factor(hook, heave)} the vessel. The piston strokes by ± "
            f"{length(stroke)}, {factor(stroke, heave)} the heave.",
            "Only seals and hydraulics hold that down"
            + ("; the end of the stroke has to help." if run.stroke_out.any() else "."),
        ),
        change="Lock the compensator in the same swell.",
        expect=f"The hook's movement {moved(hook, hook_locked, length)} either way.",
        learned=f"Off bottom, a swell of {told_period} {'is near' if near else 'is not near'} the string's own "
        f"{told_own} on the gas: the hook moved by ± {length(hook)} in ± {length(heave)} of heave, and by ± "
        f"{length(hook_locked)} locked.",
        sketch=Sketch("hook", "length", "hook", late, end),
        numbers={
            "heave": heave,
            "hook": hook,
            "stroke": stroke,
            "hook tried": hook_locked,
            "own": own,
        },
        moments={"top": top},
    )


SEALS: Final = Scene("seals", "Seals that never move", _seals, _told_seals)
BOTTLES: Final = Scene("bottles", "Gas is a spring, and bottles set it", _bottles, _told_bottles)
SWELL: Final = Scene("swell", "Swell near the off-bottom period", _swell, _told_swell)
