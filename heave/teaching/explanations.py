"""What to take away from each exercise, in words that follow the plan's numbers: no comparison stands that they do not
bear out."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from heave.teaching.measures import factor, more_or_less
from heave.teaching.staging import shorter
from heave.units import show, significant

WELL_PAST: Final = 1.3
"""Heave over what the seals hold from which it is told to go past it; below one over this it stays below."""


@dataclass(frozen=True)
class Known:
    """The numbers of an exercise by symbol [SI], its answer among them as `answer`, told in the units of `system`."""

    numbers: Mapping[str, float]
    system: str

    def __getitem__(self, symbol: str) -> float:
        return self.numbers[symbol]

    def told(self, value: float, kind: str) -> str:
        """A number with its unit."""
        words = show(value, kind, self.system)
        return shorter(words) if kind in ("fraction", "period") else words

    def force(self, value: float) -> str:
        """A force in words."""
        return self.told(value, "force")

    def length(self, value: float) -> str:
        """A length in words."""
        return self.told(value, "length")


def _bank_shut(k: Known) -> str:
    before, after = (spring * k["k_s"] / (spring + k["k_s"]) for spring in (k["k_c"], k["answer"]))
    return (
        f"Only bottles open to the cylinder count: {_percent(1 - k['s'])} of the gas left is "
        f"{significant(1 / (1 - k['s']), 2)} times the stiffness. With the string below it the springs' part "
        f"of the swing at the bit is {significant(after / before, 2)} times what it was for the same heave. "
        f"What the seals add, up to {k.force(k['F_f'])}, does not grow with it."
    )


def _no_compensator(k: Known) -> str:
    rise = k["WOB"] / k["k_s"]
    return (
        f"A steel string is a stiff spring: a rise of {k.length(rise)} takes all of {k.force(k['WOB'])} off "
        f"the bit. The heave to plan for at your hoist is ± {k.length(k['z'])}, {more_or_less(k['z'], rise)} "
        "that."
    )


def _lift_off(k: Known) -> str:
    heave = 2 * k["σ_z"]
    return (
        "Past this the bit lifts, and comes back down as a blow. The significant amplitude of your heave, "
        f"two standard deviations, is {k.length(heave)}, {more_or_less(heave, k['answer'])} this rise."
    )


def _both_springs(k: Known) -> str:
    taken = k["k_s"] / (k["k_c"] + k["k_s"])
    return (
        f"Two springs end to end are softer than either. Of a slow rise the gas takes {_percent(taken)}, the "
        "string the rest. But this is the springs' part alone, not the swing of the weight on bit: on the "
        f"way seals hold up to {k.force(k['F_f'])}, {more_or_less(k['F_f'], k['answer'])} what the springs "
        "make of this rise, and the string rings."
    )


def _bit_band(k: Known) -> str:
    checked = k["A_high"]
    tail = (
        f" Weight on bit is checked with the high band, ± {k.force(checked)}, "
        f"{more_or_less(checked, k['answer'])} the nominal."
        if math.isfinite(checked)
        else ""
    )
    return (
        "Friction is largest just before it turns round, where the spring is too, so these two add. The "
        "ringing is left over "
        "from earlier turns and meets them by chance. Nominal is what is likely." + tail
    )


def _active_delay(k: Known) -> str:
    by_gain, by_delay = abs(1 - k["G"]), 2 * abs(math.sin(math.pi * k["τ"] / k["T"]))
    quick = 2 * abs(math.sin(2 * math.pi * k["τ"] / k["T"]))
    limit = (
        "neither leaves anything"
        if by_gain == by_delay == 0
        else f"it is {'the gain' if by_gain > by_delay else 'the delay'} that leaves more"
    )
    return (
        "Following position it leaves this share of the motion, following force this share of the passive "
        f"force. The gain alone would leave {_percent(by_gain)}, the delay alone {_percent(by_delay)}: here "
        f"{limit}. In heave of half the period the delay alone would leave "
        f"{_percent(quick)}. Lost, the part leaves the passive unit, or the whole heave."
    )


def _hole(k: Known) -> str:
    over = k["x_over"]
    own = (
        f"In your own plan nothing is left: the extreme and the reserve need {k.length(over)} more than there "
        "is, so feed off and think again before drilling. "
        if over > 0
        else "Feed off well before this time. "
    )
    return (
        f"The hook follows the hole down while the block stays where it is. {own}Think of tide and vessel "
        "offset, which use the same end of the stroke."
    )


def _stuck(k: Known) -> str:
    heave, held = 2 * k["σ_z"], k["answer"]
    where = (
        "goes well past that: the seals let go in most waves"
        if heave > WELL_PAST * held
        else "stays well below that: the seals hold in most waves"
        if heave < held / WELL_PAST
        else "is about there"
    )
    return (
        "Off bottom nothing holds the string back but its own inertia. Until that beats the seals, the hook "
        "rides up and down with the vessel and the compensator might as well be locked. The significant "
        f"amplitude of your heave, {k.length(heave)}, {where}."
    )


def _fast_line(k: Known) -> str:
    still = (k["W_h"] + k["W_b"]) / k["n_l"]
    return (
        "Every sheave towards the drum adds its friction, so the fast line is the hardest pulled of all, by "
        f"{_percent(k['answer'] / still - 1)} more than when nothing moves. Its pull sizes the drawworks and "
        "is what the design factor of the drilling line is reckoned with."
    )


def _ten_lines(k: Known) -> str:
    more = (1 - k["K"] ** -(k["n_l"] + 2)) / (k["K"] - 1)
    return (
        "Only the line next to the drum comes near the full pull; each further one has lost a little more to "
        f"a sheave. Two lines more would lift {significant(more, 3)} times the pull, "
        f"{significant(more - k['answer'], 2)} more for two lines. More lines always lift more, but every "
        "added one helps less."
    )


def _percent(share: float) -> str:
    return f"{significant(100 * share, 2)}\u00a0%"


EXPLANATIONS: Final[dict[str, Callable[[Known], str]]] = {
    "weight in mud": lambda k: (
        f"Mud carries part of the steel, {k.force(k['W_air'] - k['answer'])} of it here. Everything the compensator "
        "and the crown carry starts from this number, so heavier mud means a lighter hook."
    ),
    "compensator load": lambda k: (
        f"The {k.force(k['WOB'])} that stand on the rock no longer hang from the compensator. Weight on bit "
        "is set by making the compensator carry that much less than everything."
    ),
    "set pressure": lambda _: (
        "Pressure times effective area is the load. A higher pressure lifts weight off the bit, a lower one "
        "puts it on."
    ),
    "hidden by friction": lambda k: (
        "Seals hold the piston with up to this force either way before it moves. The gauge reads the gas and "
        f"knows nothing of it, so weight on bit is uncertain by as much, {k.force(2 * k['answer'])} from one "
        "way to the other."
    ),
    "gas stiffness": lambda k: (
        "The compensator is a soft spring, not a constant force: more gas makes it softer, more load "
        f"stiffer. The string is {factor(k['k_s'], k['answer'])} its stiffness."
    ),
    "gas bank shut": _bank_shut,
    "no compensator": _no_compensator,
    "lift-off": _lift_off,
    "both springs": _both_springs,
    "extreme heave": lambda k: (
        "The significant amplitude is two standard deviations and is passed by every seventh wave or so. "
        "What the stroke must hold is the extreme at the risk you accept, "
        f"{significant(k['answer'] / (2 * k['σ_z']), 3)} times that here."
    ),
    "bit band": _bit_band,
    "active delay": _active_delay,
    "hole eats stroke": _hole,
    "stuck seals": _stuck,
    "lines strung": lambda k: (
        "The lines share the load alike while nothing moves. They pay for it in length: for every metre of "
        f"the hook the drum takes in {significant(k['n_l'])} metres of line."
    ),
    "fast line": _fast_line,
    "ten lines": _ten_lines,
    "ton-miles": lambda _: (
        "The string is hoisted and lowered once, getting lighter and heavier; the block goes up and down "
        "twice for every stand. Load times distance counts, whichever way: it is the measure by which line "
        "is slipped and cut."
    ),
    "slip and cut": lambda _: (
        "Line wears where it lies on sheaves and crosses over on the drum. Slipping moves those places on, "
        "cutting takes the worst away; a cut of whole laps of the drum would bring the same places back. The "
        "goal is the rig's own."
    ),
    "hook load and bit load": lambda k: (
        "The cell weighs everything below it, moving. What speeds up and slows down hook and string is on "
        f"the cell and not on the rock: in this wave the bit swings {factor(k['answer'], k['A_cell'])} the "
        "cell. Drag along the hole and the ringing after friction turns round do not show either. So hook "
        "load is not bit load: read it as a trend, and plan with the band at the bit."
    ),
}
"""By key of the exercise."""
