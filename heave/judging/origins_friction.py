"""Origins of what the gas and the seal friction of a unit at work do to swing, travel and speed."""

from __future__ import annotations

import math

from heave.drill_string import rod_dynamics
from heave.formula import Symbol
from heave.judging import reversal
from heave.judging.demands import Demands
from heave.judging.formulas import GAS_LAW, GAUSSIAN, ROD, SYMBOLS
from heave.judging.origins import Origins, level_text
from heave.judging.rules.stroke import LARGEST, LARGEST_FREE, SPEED


def elastic(found: Origins, d: Demands) -> None:
    """Swing of the bit force: the linear level, with the gas as stiff as at the extreme travel."""
    plan = d.plan
    if d.setting.stiffness_nominal is None or plan.follows_position:
        found.add(level_text("a", "σ_e", "N_e"), GAUSSIAN)
        return
    linear = "swing of the bit force with the gas as stiff as where it is set"
    found.add(level_text("A_l", "σ_e", "N_e"), GAUSSIAN, ("force", linear))
    worked: Symbol = ("length", "least travel at which it is worked")
    found.know("x_m", 1e-3, "at rest the stiffening is 1 to a thousandth", worked)
    found.add(
        "x_n = min(max(X_l, x_m), max(S / 2 − x_s, x_m))",
        "to the end of the stroke at most",
        ("length", "travel at which the stiffness of the gas is taken"),
    )
    found.add(
        "F_n = (F_0 + p_a × A_e) × (1 − x_n / L)^(−n) − p_a × A_e",
        GAS_LAW,
        ("force", "gas load there, at the nominal index"),
    )
    adds = "what the compressed gas adds over its stiffness where it is set"
    found.add("s_g = (F_n − F_0) / (k_c × x_n)", GAS_LAW, ("number", adds))
    found.add("a = A_l × s_g", ROD)


def friction(found: Origins, d: Demands) -> None:
    """What seal friction does where it turns round; the formulas of the rules."""
    plan, felt = d.plan, reversal.felt(d)
    active = plan.active_in_use
    held = reversal.SPEED_HELD_ACTIVE if active and felt > 0 else reversal.SPEED_HELD
    late = 0 if plan.active_part is None or plan.active_part.active_bandwidth is None else 1
    rungs = (reversal.DAMPS_ACTIVE[late], reversal.RUNG_ACTIVE) if active and felt > 0 else (reversal.RUNG,)
    found.use(*rungs, SPEED, reversal.SPEED_FREE if plan.operation.hangs_free else held)
    if active and felt > 0:
        found.use(reversal.LEFT, reversal.SLIPS_ACTIVE[late])
    else:
        found.add("F_r = F_f", "no active part takes any of it")
        found.use(reversal.SLIP)
    if felt > 0:
        _own_period(found, d)
        found.use(reversal.TURN, reversal.RING_ACTIVE if active else reversal.RING)
        found.use(reversal.LET_GO if plan.operation.hangs_free else reversal.LOOSE)
    else:
        nothing = "the hook feels no seal friction"
        for symbol, value in (("v_r", 0.0), ("b", 0.0), ("ψ", 1.0)):
            found.know(symbol, value, nothing)
    if plan.compensator.is_drawworks:
        found.know("c_q", 0.0, "a drawworks has no hydraulic loss")
    else:
        found.use(reversal.WANDER)
    free = plan.operation.hangs_free and not plan.follows_position and d.setting.stiffness_nominal is not None
    if _turning_gone(d):
        found.know("ψ", 1.0, "the active part takes all of the friction")
    found.use(LARGEST_FREE if free else LARGEST)


def _turning_gone(d: Demands) -> bool:
    """Whether an active part leaves nothing of the friction to turn round."""
    part = d.plan.active_part
    return part is not None and part.active_gain == 1.0


def _own_period(found: Origins, d: Demands) -> None:
    """Longest period of string and hook: the root, and both sides of its equation."""
    plan = d.plan
    mass, stiffness = plan.string.handling_mass + plan.moving_mass, d.setting.stiffness_nominal or 0.0
    period = reversal.own_period(plan.string, mass, stiffness)
    found.state(
        "T_1",
        period,
        "root: the longest period at which k_D and k_m below are as large",
        "rod with a mass and a spring at its end (Rao, Mechanical Vibrations)",
        SYMBOLS["T_1"],
        "m_h",
        "k_c",
        "k_s",
    )
    rod = rod_dynamics(plan.string, 2 * math.pi / period)
    left = float(rod.top_stiffness_fixed[0].real)
    found.state(
        "k_D",
        left,
        "d/b at T_1, of the undamped string, by the wave equation through its sections",
        ROD,
        ("stiffness", "pull at the top of the string per displacement there, bit held, at T_1"),
        "T_1",
    )
    found.add(
        "k_m = m_h × (2π / T_1)² − k_c",
        "balance of spring and inertia",
        ("stiffness", "what mass and gas pull at T_1"),
    )
    found.beside["T_1"] = ("k_D", "k_m")
