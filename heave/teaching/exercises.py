"""Exercises for the driller: questions about the user's own plan, with computed answers and explanations.

They go the way the load goes, from the string through compensator and gas to the bit, and end with why
hook load is not bit load. Every answer is computed from the plan when it is asked.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from heave.errors import InputError
from heave.judging.assessment import assess
from heave.judging.working import Step
from heave.planning.plan import Plan
from heave.simulation.setups import for_the_bit
from heave.teaching import exercise_answers as answers
from heave.teaching.exercise_ground import Ground, ground_of
from heave.units import show

__all__ = ["Exercise", "Grade", "exercises_for", "grade"]

TOLERANCE: Final = 0.03
"""Share of the answer by which a reply may be off, unless an exercise says otherwise."""


@dataclass(frozen=True)
class Exercise:
    """One question.

    key : its name in a program; title : a few words
    question : with the plan's numbers in it, in the unit system asked for
    answer : SI; kind : of quantity, so that it can be asked in any unit
    tolerance : share of the answer by which a reply may be off
    steps : the working of the answer; explanation : what to take away
    """

    key: str
    title: str
    question: str
    answer: float
    kind: str
    tolerance: float
    steps: tuple[Step, ...]
    explanation: str


@dataclass(frozen=True)
class Grade:
    """How a reply did: right or not, and how far off as a share of the answer."""

    right: bool
    off: float


def grade(exercise: Exercise, reply: float) -> Grade:
    """Grade a reply: right when it is within the exercise's tolerance of the answer.

    Parameters
    ----------
    exercise : the question
    reply : [SI]

    Raises
    ------
    InputError
        If the reply is not a finite number.
    """
    if isinstance(reply, bool) or not math.isfinite(reply):
        raise InputError("answer", reply, None, "one number")
    off = (reply - exercise.answer) / abs(exercise.answer)
    return Grade(abs(off) <= exercise.tolerance * (1 + 1e-12), off)


def exercises_for(plan: Plan, system: str = "metric") -> tuple[Exercise, ...]:
    """The exercises for a plan, in the order they are best done.

    A plan off bottom is asked about as if it were drilling; a compensating drawworks, which has no gas,
    is asked about with a reference gas spring, and the questions say so.

    Parameters
    ----------
    plan : the plan
    system : unit system of the numbers in the questions, "metric" or "oilfield"

    Returns
    -------
    At least ten exercises, the last about hook load and bit load
    """
    on_bottom, _ = for_the_bit(plan)
    ground = ground_of(on_bottom, assess(on_bottom))
    told = _Teller(system)
    return tuple(make(ground, told) for make in _ALL)


RISES: Final = {"metric": 1.0, "oilfield": 3 * 0.3048}
"""Rise of the vessel in the questions, a round number in either system [m]."""


class _Teller:
    """Shows quantities in one unit system."""

    def __init__(self, system: str) -> None:
        self.system = system

    def __call__(self, value: float, kind: str) -> str:
        """The quantity to four figures, without noughts that say nothing."""
        shorter = re.sub(r"(\.\d*?)0+(?!\d)", r"\1", show(value, kind, self.system, 4))
        return re.sub(r"\.(?!\d)", "", shorter)

    @property
    def rise(self) -> float:
        """The rise asked about: a metre, or three feet [m]."""
        return RISES[self.system]


def _made(
    key: str,
    title: str,
    question: str,
    steps: tuple[Step, ...],
    explanation: str,
    tolerance: float = TOLERANCE,
) -> Exercise:
    last = steps[-1].result
    return Exercise(key, title, question, float(last.value), last.kind, tolerance, steps, explanation)


def _weight(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "weight in mud",
        "What the string weighs in mud",
        f"Your string weighs {told(g.weight_in_air, 'force')} in air. The mud has {told(g.mud_density, 'density')}, "
        f"steel {told(g.steel_density, 'density')}. What does the string weigh in the mud?",
        (answers.weight_in_mud(g),),
        "Mud carries part of the steel. Everything the compensator and the crown carry starts from this number, so "
        "heavier mud means a lighter hook.",
        0.02,
    )


def _carried(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "compensator load",
        "What the compensator carries",
        f"Hookload off bottom is {told(g.hookload, 'force')}, the compensator's own moving parts weigh "
        f"{told(g.moving_weight, 'force')}, and {told(g.wob, 'force')} is set on the bit. What load does the "
        "compensator carry?",
        (answers.carried(g),),
        "What stands on the rock no longer hangs from the compensator. Weight on bit is set by making the compensator "
        "carry that much less than everything.",
        0.02,
    )


def _pressure(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "set pressure",
        "The pressure to set",
        f"{g.unit_words} carries {told(g.load, 'force')} on an effective area of {told(g.area, 'area')}. What gauge "
        "pressure is to be set at mid-stroke?",
        (answers.set_pressure(g),),
        "Pressure times effective area is the load. A higher pressure lifts weight off the bit, a lower one puts it "
        "on.",
    )


def _hidden(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "hidden by friction",
        "What the pressure gauge cannot see",
        f"Seal friction is {told(g.friction_fraction, 'fraction')} of the load of {told(g.load, 'force')}. By how "
        "much, plus or minus, can weight on bit differ from what the gauge tells?",
        (answers.friction(g),),
        "Seals hold the piston with up to this force either way before it moves. The gauge reads the gas and knows "
        "nothing of it, so weight on bit is uncertain by as much.",
    )


def _gas(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "gas stiffness",
        "How stiff the gas is",
        f"The open gas is {told(g.volume_ratio, 'number')} times the swept volume, the stroke is "
        f"{told(g.stroke, 'length')}, the polytropic index {told(g.index, 'number')}. The gas carries "
        f"{told(g.gas_load, 'force')}, the air's push "
        "included. By how much does the load change for every unit of length the compensator strokes?",
        (answers.gas_stiffness(g),),
        "The compensator is a soft spring, not a constant force: more gas makes it softer, more load stiffer.",
    )


def _bank(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "gas bank shut",
        "After a bank of bottles is shut",
        f"With the gas open now the spring has {told(g.gas_stiffness, 'stiffness')}. Somebody shuts 60 % of that gas. "
        "How stiff is it then?",
        (answers.gas_shut(g),),
        "Only bottles open to the cylinder count. Forty per cent of the gas left is two and a half times the "
        "stiffness, and the weight on bit swings that much more for the same heave.",
    )


def _string(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "no compensator",
        "A rise with no compensator",
        f"The string as a spring has {told(g.string_stiffness, 'stiffness')}. With no compensator, by how much does "
        f"the weight on bit change when the vessel slowly rises {told(told.rise, 'length')}?",
        (answers.bare_change(g, told.rise),),
        "A steel string is a stiff spring. Without a compensator a single ordinary wave can take all the weight off "
        "the bit.",
    )


def _lift(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "lift-off",
        "The rise that lifts the bit",
        f"With no compensator, {told(g.wob, 'force')} on the bit and {told(g.string_stiffness, 'stiffness')} of "
        "string, how far may the vessel rise before the bit leaves the rock?",
        (answers.lift_off(g),),
        "Past this the bit lifts, and comes back down as a blow. It is seldom more than a hand's breadth or a stride, "
        "less than most seas move the vessel.",
    )


def _series(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "both springs",
        "The same rise on the gas",
        f"Now the compensator works: gas {told(g.gas_stiffness, 'stiffness')} above, string "
        f"{told(g.string_stiffness, 'stiffness')} below. Leave friction out. By how much does weight on bit change for "
        f"a slow rise of {told(told.rise, 'length')}?",
        (answers.series_stiffness(g), answers.soft_change(g, told.rise)),
        "Two springs end to end are softer than either; the soft gas takes nearly all of the travel. This is the work "
        "the compensator does for you.",
    )


def _extreme(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "extreme heave",
        "The heave to plan for",
        f"Heave at the hoist has a standard deviation of {told(g.sigma, 'length')} and about "
        f"{g.cycles:,.0f} cycles in the exposure".replace(",", "\u202f")
        + f". Which single amplitude is exceeded in only {told(g.risk, 'fraction')} of such exposures?",
        (answers.extreme(g),),
        "The significant amplitude is two standard deviations and is passed by every seventh wave or so. What the "
        "stroke must hold is the extreme at the risk you accept, about twice that.",
    )


def _band(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "bit band",
        "The swing at the bit",
        f"At that risk springs and hydraulics swing the bit force by {told(g.elastic, 'force')}. Friction of "
        f"{told(g.friction, 'force')} comes on top, twice in the nominal case because each step of it rings the "
        "string. What is the nominal swing, single amplitude?",
        (answers.nominal_band(g),),
        "A steady friction force that turns round at every crest hits the string like a hammer. Fully damped it counts "
        "once, undamped three times; plan with twice.",
    )


def _active(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "active delay",
        "What an active part leaves over",
        f"An active part works with gain {told(g.gain, 'number')} and a delay of {told(g.delay, 'period')} in heave of "
        f"{told(g.period, 'period')} period. What share of the motion is left?",
        (answers.active_left(g),),
        "Even a perfect gain leaves something when it comes late, and more in short waves: delay, not power, is what "
        "usually limits an active unit. Lost, it leaves the passive unit, or the whole heave.",
        0.05,
    )


def _eaten(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "hole eats stroke",
        "Hole made eats stroke",
        f"You drill {told(g.rate, 'penetration')} and do not feed off. Towards the end where the gas is compressed "
        f"{told(g.room, 'length')} of stroke is left after the extreme and the end reserve. How long may you drill?",
        (answers.time_to_feed(g),),
        "The hook follows the hole down while the block stays where it is. Feed off well before this time, and think "
        "of tide and vessel offset, which use the same end of the stroke.",
        0.05,
    )


def _stuck(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "stuck seals",
        "Off bottom: when nothing moves",
        f"The bit is off bottom. Seal friction is {told(g.friction_fraction, 'fraction')} of the load and the heave "
        f"has a period of {told(g.period, 'period')}. Up to which heave amplitude does the compensator "
        "not stroke at all?",
        (answers.stuck_amplitude(g),),
        "Off bottom nothing holds the string back but its own inertia. Until that beats the seals, the hook rides up "
        "and down with the vessel and the compensator might as well be locked.",
    )


def _cell(g: Ground, told: _Teller) -> Exercise:
    return _made(
        "hook load and bit load",
        "Why hook load is not bit load",
        f"The load cell above the string swings by ± {told(g.cell_swing, 'force')} at a period of "
        f"{told(g.wave, 'period')}. The compensator moves the hook, so {told(g.moving_mass, 'mass')} of gear and the "
        f"string move with it. At the cell the string and gear answer with {told(g.cell_stiffness, 'stiffness')} of "
        f"hook movement, at the bit with {told(g.bit_stiffness, 'stiffness')}. What does the bit swing by?",
        answers.bit_from_cell(g),
        "The cell weighs everything below it, moving. What speeds up and slows down hook and string is on the cell and "
        "not on the rock, and near the string's own period the bit swings far more than the cell. Drag along the hole "
        "and the ringing after friction turns round do not show either. So hook load is not bit load: read it as a "
        "trend, and plan with the band at the bit.",
    )


_ALL: Final[tuple[Callable[[Ground, _Teller], Exercise], ...]] = (
    _weight,
    _carried,
    _pressure,
    _hidden,
    _gas,
    _bank,
    _string,
    _lift,
    _series,
    _extreme,
    _band,
    _active,
    _eaten,
    _stuck,
    _cell,
)
