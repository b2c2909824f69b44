"""The questions of the exercises: words with symbols in them, over the formulas that the checks use.

They go the way the load goes, from the string through compensator and gas to the bit, then up to the drilling line,
and end with why hook load is not bit load.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from heave.formula import Formula, Symbol
from heave.judging import formulas
from heave.judging.formulas import BALANCE, GAS_LAW, formula
from heave.judging.reeving_working import EFFICIENCY
from heave.judging.rules.chain import SYMBOLS as CHAIN_SYMBOLS


@dataclass(frozen=True)
class Question:
    """One question: `asked` is words, with symbols in braces where numbers go; `explanations` has what to take away.

    The answer is the result of the last of `formulas`. `film` is a scene of the lesson and an instant of it, or the
    plan's own sea and what is at its largest there. `tolerance` is the share by which a reply may be off. `of_gas`
    says that it is of a gas spring, its seals or its stroke, which a drawworks has not.
    """

    key: str
    title: str
    formulas: tuple[Formula, ...]
    asked: str
    film: tuple[str, str]
    tolerance: float = 0.03
    of_gas: bool = False


SYMBOLS: Final[dict[str, Symbol]] = {
    **{name: CHAIN_SYMBOLS[name] for name in ("n_l", "K", "F_fl")},
    "W_mud": ("force", "weight in mud"),
    "W_air": ("force", "weight of the pipe in air"),
    "ρ_mud": ("density", "density of the mud"),
    "ρ_steel": ("density", "density of the steel"),
    "k_shut": ("stiffness", "stiffness with a bank shut"),
    "s": ("fraction", "share shut off"),
    "ΔW": ("force", "change of weight on bit"),
    "h": ("length", "rise of the vessel"),
    "h_lift": ("length", "rise at which the bit leaves the rock"),
    "t": ("duration", "time until it is used up"),
    "x_left": ("length", "stroke left towards gas compressed"),
    "ROP": ("penetration", "rate of penetration"),
    "y": ("length", "hook amplitude"),
    "A_cell": ("force", "swing of the load cell"),
    "k_cell": ("stiffness", "force at the cell per hook movement"),
    "A_bit": ("force", "swing of the bit force"),
    "k_bit": ("stiffness", "force at the bit per hook movement"),
    "E_r": EFFICIENCY.symbols["E_r"],
    "F_each": ("force", "pull of each line, nothing moving"),
    "W_b": ("force", "travelling block and what hangs under it above the hook"),
    "M": ("number", "mechanical advantage: times its own pull that the fast line lifts"),
    "w_p": ("stiffness", "weight of the pipe in mud, over its length"),
    "D_b": ("length", "depth of the bit"),
    "L_s": ("length", "length of a stand"),
    "W_t": ("force", "all that travels with the block"),
    "C": ("force", "weight of the collars in mud above that of as much pipe"),
    "A_t": ("line_work", "work of a round trip"),
    "A_goal": ("line_work", "work between cuts, the rig's goal"),
    "A_done": ("line_work", "work since the last cut"),
    "n_t": ("number", "round trips until the next cut"),
}
"""What symbols are that questions use beside those of the checks."""


def _formula(text: str, source: str) -> Formula:
    return formula(text, source, **SYMBOLS)


WEIGHT_IN_MUD: Final = _formula("W_mud = W_air × (1 − ρ_mud / ρ_steel)", "buoyancy factor (API RP 7G)")
GAS_SHUT: Final = _formula("k_shut = k_c / (1 − s)", GAS_LAW)
BARE_CHANGE: Final = _formula("ΔW = k_s × h", "a spring")
SOFT_CHANGE: Final = _formula("ΔW = k × h", "a spring")
LIFT_OFF: Final = _formula("h_lift = WOB / k_s", "a spring")
TIME_TO_FEED: Final = _formula("t = x_left / ROP", "rate × time")
HOOK: Final = _formula("y = A_cell / k_cell", BALANCE)
BIT: Final = _formula("A_bit = k_bit × y", "axial rod dynamics of the string")
EACH_LINE: Final = _formula("F_each = (W_h + W_b) / n_l", BALANCE)
FAST_LINE: Final = _formula("F_fl = (W_h + W_b) / (n_l × E_r)", "API RP 9B, fast line while hoisting")
TIMES_LIFTED: Final = _formula("M = n_l × E_r", "API RP 9B")
ROUND_TRIP: Final = _formula(
    "A_t = w_p × D_b × (L_s + D_b) + 4 × D_b × (W_t + C / 2)", "API RP 9B, round trip"
)
TRIPS_LEFT: Final = _formula("n_t = (A_goal − A_done) / A_t", "work over work")

EXTRA_KINDS: Final = {"T_w": "period", "m": "mass"}
"""Kinds of the numbers that a question tells and its formulas do not use."""

NOTHING_LEFT: Final = (
    "You drill {ROP} and do not feed off. Towards the end where the gas is compressed your plan leaves no stroke after "
    "the extreme and the end reserve. Say {x_left} were left: how long might you drill?"
)
"""What is asked of a plan whose stroke is over already, in place of how long its own would last."""

STANDS_IN: Final = "Your plan has a drawworks; say a gas unit stands in its place."
"""Said before a question of gas, seals or stroke to a plan that has none of them."""

QUESTIONS: Final = (
    Question(
        "weight in mud",
        "What the string weighs in mud",
        (WEIGHT_IN_MUD,),
        "Your string weighs {W_air} in air. The mud has {ρ_mud}, steel {ρ_steel}. What does the string, filled with "
        "it, weigh in the mud?",
        ("calm", "rest"),
        0.02,
    ),
    Question(
        "compensator load",
        "What the compensator carries",
        (formulas.LOAD,),
        "Hookload off bottom is {W_h}, the compensator's own moving parts weigh {W_c}, and {WOB} is set on the bit. "
        "What load does the compensator carry?",
        ("calm", "rest"),
        0.02,
    ),
    Question(
        "set pressure",
        "The pressure to set",
        (formulas.SET_PRESSURE,),
        "Your compensator carries {F_0} on an effective area of {A_e}. What gauge pressure is to be set at mid-stroke?",
        ("calm", "rest"),
        of_gas=True,
    ),
    Question(
        "hidden by friction",
        "What the pressure gauge cannot see",
        (formulas.FRICTION,),
        "Seal friction is {μ} of the load of {F_0}. By how much, plus or minus, can weight on bit differ from what "
        "the gauge tells?",
        ("hook load", "seals turn"),
        of_gas=True,
    ),
    Question(
        "gas stiffness",
        "How stiff the gas is",
        (formulas.GAS_STIFFNESS,),
        "The open gas is {φ} times the swept volume, the stroke is {S}, the polytropic index {n}. The gas carries "
        "{F_abs}, the air's push included. By how much does the load change for every unit of length the compensator "
        "strokes?",
        ("bottles", "open"),
        of_gas=True,
    ),
    Question(
        "gas bank shut",
        "After a bank of bottles is shut",
        (GAS_SHUT,),
        "With the gas open now the spring has {k_c}. Somebody shuts {s} of that gas. How stiff is it then?",
        ("bottles", "shut"),
        of_gas=True,
    ),
    Question(
        "no compensator",
        "A rise with no compensator",
        (BARE_CHANGE,),
        "The string as a spring has {k_s}. With no compensator, by how much does the weight on bit change when the "
        "vessel slowly rises {h}?",
        ("lift-off", "top"),
    ),
    Question(
        "lift-off",
        "The rise that lifts the bit",
        (LIFT_OFF,),
        "With no compensator, {WOB} on the bit and {k_s} of string, how far may the vessel rise before the bit leaves "
        "the rock?",
        ("lift-off", "leaves"),
    ),
    Question(
        "both springs",
        "The same rise on the gas",
        (formulas.SERIES, SOFT_CHANGE),
        "Now the compensator works: gas {k_c} above, string {k_s} below. Leave friction out. By how much does weight "
        "on bit change for a slow rise of {h}?",
        ("bottles", "open"),
        of_gas=True,
    ),
    Question(
        "extreme heave",
        "The heave to plan for",
        (formulas.HEAVE,),
        "Heave at the hoist has a standard deviation of {σ_z} and about {N_z} cycles in the exposure. Which single "
        "amplitude is exceeded in only {p} of such exposures?",
        ("sea", "heave"),
    ),
    Question(
        "bit band",
        "The swing at the bit",
        (formulas.BIT_SWING,),
        "At that risk springs and hydraulics swing the bit force by {a}. Seal friction of {F_r} comes on top, and "
        "where it turns round it rings the string by {b}; locked, the unit would swing it by {A_k}. What is the "
        "nominal swing, single amplitude?",
        ("sea", "bit"),
    ),
    Question(
        "active delay",
        "What an active part leaves over",
        (formulas.ACTIVE_LEFT,),
        "An active part works with gain {G} and a delay of {τ} in heave of {T} period. What share of what it follows "
        "is left?",
        ("delay", "late"),
        0.05,
    ),
    Question(
        "hole eats stroke",
        "Hole made eats stroke",
        (TIME_TO_FEED,),
        "You drill {ROP} and do not feed off. Towards the end where the gas is compressed {x_left} of stroke is left "
        "after the extreme and the end reserve. How long may you drill?",
        ("stroke-out", "met"),
        0.05,
        of_gas=True,
    ),
    Question(
        "stuck seals",
        "Off bottom: when nothing moves",
        (formulas.STICK,),
        "The bit is off bottom. Seal friction is {μ} of the load and the heave has a period of {T}. Up to which heave "
        "amplitude does the compensator not stroke at all?",
        ("seals", "top"),
        of_gas=True,
    ),
    Question(
        "lines strung",
        "What each line carries",
        (EACH_LINE,),
        "The hook carries {W_h}; the block and what else hangs in the lines weigh {W_b}, and {n_l} lines are strung. "
        "Nothing moves. What does each line carry?",
        ("drum", "crest"),
        0.02,
    ),
    Question(
        "fast line",
        "The pull of the fast line",
        (EFFICIENCY, FAST_LINE),
        "Now the drawworks hoists the same {W_h} and {W_b} on {n_l} lines. Each turning sheave wants {K} times as much "
        "pull on the side towards the drum as on the other. What does the fast line pull?",
        ("drum", "fastest"),
        0.02,
    ),
    Question(
        "ten lines",
        "Why ten lines do not lift ten times",
        (EFFICIENCY, TIMES_LIFTED),
        "With {n_l} lines, and sheaves that want {K} times the pull on the side towards the drum, how many times its "
        "own pull does the fast line lift?",
        ("drum", "fastest"),
        0.02,
    ),
    Question(
        "ton-miles",
        "Work of a round trip",
        (ROUND_TRIP,),
        "You pull out from {D_b} and run back in, stands of {L_s}. In the mud the pipe weighs {w_p}, collars and what "
        "else is heavier {C} more than as much pipe; {W_t} travels with the block. What work does the line do?",
        ("drum", "fastest"),
    ),
    Question(
        "slip and cut",
        "Round trips until the next cut",
        (ROUND_TRIP, TRIPS_LEFT),
        "Say your rig cuts after {A_goal}, and {A_done} are done since the last cut. How many round trips from {D_b} "
        "are left, with stands of {L_s}, pipe of {w_p} in the mud, {C} more for what is heavier and {W_t} travelling "
        "with the block?",
        ("drum", "crest"),
    ),
    Question(
        "hook load and bit load",
        "Why hook load is not bit load",
        (HOOK, BIT),
        "The load cell above the string swings by ± {A_cell} at a period of {T_w}. The compensator moves the hook, so "
        "{m} of gear and the string move with it. At the cell the string and gear answer with {k_cell} of hook "
        "movement, at the bit with {k_bit}. What does the bit swing by?",
        ("hook load", "differ most"),
    ),
)
"""In the order they are best done."""
