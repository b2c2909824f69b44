"""The formulas that checks, exercises and the method page share, and the symbols they are written in."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Concatenate, Final, ParamSpec, TypeVar

import numpy as np

from heave.compensator.gas_spring import ATMOSPHERE
from heave.formula import Formula, Step, Symbol
from heave.planning.plan import Plan
from heave.units import STANDARD_GRAVITY
from heave.vessel import AmplitudeStatistics

if TYPE_CHECKING:
    from heave.judging.demands import Demands

Given = ParamSpec("Given")
Found = TypeVar("Found")

GAUSSIAN: Final = (
    "Rayleigh peaks of a Gaussian process (Ochi, Ocean Waves, Cambridge 1998; DNV-RP-C205, 3.5, clause from memory), "
    "crossings counted as Poisson events"
)
GAS_LAW: Final = (
    "polytropic gas law on absolute pressure, P Vⁿ constant; seal friction 1–3\u00a0% of load is common "
    "practice"
)
BALANCE: Final = "vertical balance of forces"
KINEMATICS: Final = "kinematics of block, hook and line"
SIMULATED: Final = "closed form held against simulation of random plans; no other source"


def ranged(figure: str) -> Symbol:
    """The symbol of a model range of a `figure`."""
    return "number", f"model range of {figure}: simulation over this formula at its high end"


SYMBOLS: Final[dict[str, Symbol]] = {
    "A_e": ("area", "effective area"),
    "A_k": ("force", "swing of the bit force if the unit were locked"),
    "F_0": ("force", "load on the compensator where it is set: hookload and moving parts less WOB"),
    "F_d": (
        "force",
        "load on the hook at the extreme: gas and friction, with the loss a quarter of a cycle away",
    ),
    "F_dl": (
        "force",
        "least load the unit holds, vessel falling: gas and friction, with the loss a quarter of a cycle away",
    ),
    "F_f": ("force", "seal friction"),
    "F_g": ("force", "gas load at that travel"),
    "F_gl": ("force", "gas load with the vessel at its lowest"),
    "F_k": ("force", "force the sea puts on the hook if the unit were locked"),
    "F_m": (
        "force",
        "force on the hook of the motion left, with what slow travel adds to a string held below",
    ),
    "F_r": ("force", "seal friction less the share that an active part takes of it"),
    "F_w": ("force", "load of the gas where it is set, with what its temperature has added since"),
    "G": ("number", "active gain"),
    "N_s": ("force", "force the string has built up where the friction has turned round and the unit slips"),
    "O": ("force", "overpull margin"),
    "S": ("length", "stroke, end to end"),
    "T": ("period", "period of the heave"),
    "T_1": ("period", "longest period of string and hook with the bit held"),
    "W": ("force", "largest static load: hookload, moving parts and any latched overpull"),
    "WOB": ("force", "weight on bit"),
    "W_c": ("force", "moving parts of the compensator"),
    "W_h": ("force", "hookload off bottom"),
    "X": ("length", "extreme travel, never less than the heave itself"),
    "X_l": ("length", "travel between block and hook, single amplitude at the accepted risk"),
    "a": (
        "force",
        "elastic swing at the bit: gas, as stiff as at the extreme travel, and loss; or of a driven hook, motion left",
    ),
    "a_z": ("acceleration", "acceleration of heave at the hoist, single amplitude at the accepted risk"),
    "b": ("force", "swing of the string that rings where the friction turns round"),
    "c_q": ("quadratic_damping", "hydraulic loss coefficient"),
    "f_swing": ranged("the swing at the bit"),
    "g": ("acceleration", "standard gravity", STANDARD_GRAVITY),
    "δ": ("fraction", "share of the ringing that the loss leaves a quarter of a cycle on"),
    "ψ": ("fraction", "share of the motion that the friction lets go"),
    "k": ("stiffness", "both springs end to end, less what an active part takes"),
    "k_c": ("stiffness", "stiffness of the gas"),
    "k_s": ("stiffness", "string as a spring"),
    "m_c": ("mass", "moving parts of the compensator"),
    "m_r": ("mass", "mass that rings: what moves with the hook and a third of the string"),
    "p": ("fraction", "accepted risk"),
    "p_a": ("pressure", "pressure of the air", ATMOSPHERE),
    "v": ("speed", "speed of the travel, never less than of the heave itself"),
    "v_d": (
        "speed",
        "speed between block and hook with friction as damping, single amplitude at the accepted risk",
    ),
    "v_r": ("speed", "speed of the hook where friction turns round"),
    "v_z": ("speed", "speed of heave at the hoist, single amplitude at the accepted risk"),
    "w": ("length", "travel that seal friction adds off bottom, where nothing holds the hook's place"),
    "x_f": ("length", "static travel towards the vessel-falling end"),
    "x_g": (
        "length",
        "travel from the start position towards gas compression, at most to the end of the stroke",
    ),
    "x_l": (
        "length",
        "travel from the start position towards gas expansion, at most to the end of the stroke",
    ),
    "x_r": ("length", "static travel towards the vessel-rising end"),
    "z": ("length", "heave at the hoist, single amplitude at the accepted risk"),
    "x_s": ("length", "start position from mid-stroke, where pressure and weight are set"),
    "ΔT": ("force", "force the sea adds at the top of the string"),
    "μ": ("fraction", "seal friction over load"),
    "σ_x": ("length", "standard deviation of travel between block and hook"),
    "σ_z": ("length", "standard deviation of heave at the hoist"),
    "φ": ("number", "open gas over swept volume"),
}
"""What the symbols are that more than one formula uses; a symbol means one thing throughout."""


def formula(text: str, source: str, **more: Symbol) -> Formula:
    """A formula in the shared symbols.

    Parameters
    ----------
    text : `result = expression`
    source : where it is from
    more : symbols of its own, each a kind and a meaning
    """
    return Formula(text, SYMBOLS | more, source)


def level(symbol: str, kind: str, what: str) -> Formula:
    """The level that a Gaussian motion exceeds once in the exposure with the accepted risk.

    Parameters
    ----------
    symbol : of the level; those of its standard deviation and cycles follow from it
    kind, what : of quantity and of motion
    """
    own = symbol[0].lower() if kind == "length" else symbol[0]
    more: dict[str, Symbol] = {
        symbol: (kind, f"{what}, single amplitude at the accepted risk"),
        f"σ_{own}": (kind, f"standard deviation of {what}"),
        f"N_{own}": ("number", "cycles in the exposure, T / Tz, at least one"),
    }
    return formula(f"{symbol} = σ_{own} × √(2 ln(N_{own} / −ln(1 − p)))", GAUSSIAN, **more)


def extreme(formula: Formula, motion: AmplitudeStatistics | None, plan: Plan) -> Step:
    """A `level` worked out for a motion; unknown where there is none.

    Parameters
    ----------
    formula : made by `level`
    motion : its statistics over n seas
    plan : for the accepted risk
    """
    sigma, cycles, risk = formula.terms
    spread, number = (None, None) if motion is None else (motion.sigma, np.maximum(motion.cycles, 1.0))
    return formula(**{sigma: spread, cycles: number, risk: plan.risk})


def once(
    work: Callable[Concatenate[Demands, Given], Found],
) -> Callable[Concatenate[Demands, Given], Found]:
    """`work` of demands that several rules rest on, done for the first of them and kept for the others.

    Parameters
    ----------
    work : from demands, and arguments that can be a key, to steps or numbers
    """

    @wraps(work)
    def shared(d: Demands, /, *given: Given.args, **named: Given.kwargs) -> Found:
        key = work, given, *named.items()
        if key not in d.worked:
            d.worked[key] = work(d, *given, **named)
        found: Found = d.worked[key]
        return found

    return shared


HEAVE: Final = level("z", "length", "heave at the hoist")
TRAVEL: Final = level("X_l", "length", "travel between block and hook")
HEAVE_SPEED: Final = level("v_z", "speed", "speed of heave at the hoist")
ACCELERATION: Final = level("a_z", "acceleration", "acceleration of heave at the hoist")

LOAD: Final = formula("F_0 = W_h + W_c − WOB", BALANCE)
SET_PRESSURE: Final = formula(
    "P = F_0 / A_e", "gauge pressure on the effective area", P=("pressure", "gauge pressure to set")
)
FRICTION: Final = formula("F_f = μ × F_0", "common practice: a share of the load")
GAS_LOAD: Final = formula(
    "F_g = (F_w + p_a × A_e) × (1 − x_g / L)^(−n_h) − p_a × A_e",
    GAS_LAW,
    L=("length", "open gas volume at the start position over effective area"),
    n_h=("number", "high polytropic index"),
)
GAS_LOW: Final = formula(
    "F_gl = (F_w + p_a × A_e) × (1 + x_l / L)^(−n_h) − p_a × A_e",
    GAS_LAW,
    L=GAS_LOAD.symbols["L"],
    n_h=GAS_LOAD.symbols["n_h"],
)
GAS_STIFFNESS: Final = formula(
    "k_c = n × F_abs / (φ × S)",
    GAS_LAW,
    n=("number", "polytropic index"),
    F_abs=("force", "load on the gas, the air's push included"),
)
SERIES: Final = formula("k = k_c × k_s / (k_c + k_s)", "springs in series")
SERIES_ACTIVE: Final = formula(
    "k = k_c × k_s / (k_c + k_s) × max(1 − G, G − 1)", "springs in series; an active part leaves 1 − gain"
)
FORCE_LEFT: Final = level("F_q", "force", "force on the hook of the motion that the active part leaves")
ACTIVE_LEFT: Final = formula(
    "q = √(1 + G² − 2 × G × cos(2π × τ / T))",
    "a sine less its delayed share",
    q=("fraction", "share left of the motion, or of the force, that the active part follows"),
    τ=("period", "delay of the active part"),
)
STICK: Final = formula(
    "z_0 = μ × g × (T / 2π)²",
    "inertia of what hangs against the seals",
    z_0=("length", "heave amplitude up to which nothing moves"),
)
DAMPING: Final = formula(
    "c_lin = √(2 / π) × F_f / σ_t + √(8 / π) × c_q × σ_t",
    "Roberts and Spanos, Random Vibration and Statistical Linearization, Wiley 1990, chapter 5",
    c_lin=("damping", "linear damping that takes out the same power in this sea"),
    σ_t=("speed", "standard deviation of the speed of travel"),
)

ROD: Final = (
    "Axial rod dynamics of the string, E A u″ = m′ ü (Clough and Penzien, Dynamics of Structures, "
    "distributed-parameter systems)"
)
_SWING: Final = "F_r + √(a² + b²)"
BIT_SWING: Final = formula(
    f"A_bit = min({_SWING}, A_k)", f"{ROD}; {SIMULATED}", A_bit=("force", "swing of the bit force")
)
SWING_CHECKED: Final = formula(
    f"A_bit = f_swing × min({_SWING}, A_k)", f"{ROD}; {SIMULATED}", A_bit=BIT_SWING.symbols["A_bit"]
)
"""The same with what simulation goes over it."""


def bit_change(side: str, way: str) -> Formula:
    """Swing of the weight on bit and its drift, towards `side` ('less' or 'more'), as the vessel goes `way`."""
    more: dict[str, Symbol] = {
        f"ΔW_{side}": ("force", f"change of weight on bit towards {side}"),
        f"x_{side}": ("length", f"slow travel from the start position towards the vessel-{way} end"),
        f"F_{side}": (
            "force",
            f"force of the gas that temperature has {'added' if side == 'less' else 'taken'}",
        ),
    }
    text = f"ΔW_{side} = f_swing × min({_SWING}, A_k) + k × x_{side} + F_{side}"
    return formula(text, f"{ROD}; {SIMULATED}", **more)


def driven_change(side: str, way: str) -> Formula:
    """The same of a hook that is driven: the motion left swings the string, and slow travel is the string's to take."""
    symbols = bit_change(side, way).symbols
    own = {name: symbols[name] for name in (f"ΔW_{side}", f"x_{side}")}
    return formula(f"ΔW_{side} = a + k_s × x_{side}", ROD, **own)


def fed_change(side: str, way: str) -> Formula:
    """The same on a drawworks, whose feed follows slow travel."""
    name = f"ΔW_{side}"
    return formula(f"{name} = a", ROD, **{name: bit_change(side, way).symbols[name]})
