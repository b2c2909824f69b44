"""Origins of what a locked unit would feel, and of what that does to the far end of the string."""

from __future__ import annotations

import math
from typing import Final

from heave.drill_string import rod_dynamics
from heave.formula import Symbol
from heave.judging.demands import Demands
from heave.judging.formulas import BALANCE, GAUSSIAN, ROD
from heave.judging.origins import DEFINITION, Origins, add_cycles, level_text


def _top(found: Origins, d: Demands, free: bool) -> None:
    """What string and mass at the hook answer with at the mean period of the heave: a point of the integrals."""
    plan, period = d.plan, float(d.heave.period[0])
    if not math.isfinite(period):
        return
    rod = rod_dynamics(plan.string, 2 * math.pi / period, plan.string_loss)
    top = complex((rod.top_stiffness_free if free else rod.top_stiffness_fixed)[0])
    for side, value, how in (
        ("c", top.real, "in step with it"),
        ("s", top.imag, "a quarter of a cycle from it"),
    ):
        about = ("stiffness", f"pull at the top of the string per displacement there, {how}, at the period T")
        words = f"{'c/a' if free else 'd/b'} at T, by the wave equation through the sections, with the loss"
        found.state(f"D_{side}", value, words, ROD, about, "T", "η_s", "k_s")
    found.add(
        "B_c = D_c − (2π / T)² × m_h", BALANCE, ("stiffness", "the same with the mass at the hook, in step")
    )
    force: Symbol = ("stiffness", "one point of the integral, at T: force on a locked unit per heave")
    found.add("H_k1 = √(B_c² + D_s²)", DEFINITION, force)
    found.beside["m_k0"] = ("H_k1",)


def locked(d: Demands, found: Origins) -> None:
    """Force on a locked unit, and what that does to the far end of the string."""
    table, free = d.moments.still, d.plan.operation.about.condition.endswith("free")
    mass = (
        "D(ω) is the string's stiffness at its top by the wave equation through its sections, with its loss"
    )
    rests = ("m_z0", "m_h", "k_s", "η_s")
    found.fields(d.plan, "Plan", η_s=("string_loss", "loss factor of the string"))
    force = "force on a locked unit above the static load"
    for row, order, kind in ((4, 0, "force_variance"), (5, 2, "force_rate_variance")):
        about = (kind, f"variance of the {'rate of the ' if order else ''}{force}; {mass}")
        found.moment(f"m_k{order}", order, table[row, 0], "|D − ω² m_h|² |H_z|² ", about, *rests)
    _top(found, d, free)
    found.add("σ_k = f_h × √(m_k0)", DEFINITION, ("force", f"standard deviation of the {force}"))
    add_cycles(found, "N_k", "T_k0", "m_k0", "m_k2", force, bool(table[5, 0] > 0))
    found.add(level_text("F_k", "σ_k", "N_k"), GAUSSIAN)
    _far_end(found, d, _ENDS_FREE if free else _ENDS_HELD)


_ENDS_FREE: Final = (
    "1/a, the motion of a free end per motion of the top",
    ("variance", "speed_variance", "acceleration_variance"),
    (
        ("r_k", "length", "motion of the end if the unit were locked"),
        ("u_k", "speed", "speed of the end if the unit were locked"),
    ),
)
_ENDS_HELD: Final = (
    "1/b, the force at a held end per motion of the top",
    ("force_variance", "force_rate_variance"),
    (("A_k", "force", "swing of the bit force if the unit were locked"),),
)
_Ends = tuple[str, tuple[str, ...], tuple[tuple[str, str, str], ...]]


def _far_end(found: Origins, d: Demands, ends: _Ends) -> None:
    """Levels at the far end of the string, from the moments there."""
    response, kinds, levels = ends
    table = d.moments.still
    for row, kind in enumerate(kinds):
        order, value = 2 * row, table[6 + row, 0]
        about = f"variance at the far end of the string, unit locked, of order {order}; H_e is {response}"
        found.moment(f"m_l{order}", order, value, "|H_e|² |H_z|² ", (kind, about), "m_z0", "k_s", "η_s")
    for place, (symbol, kind, what) in enumerate(levels):
        name, m0, m2 = symbol.replace("_", ""), f"m_l{2 * place}", f"m_l{2 * place + 2}"
        spread: Symbol = (kind, f"standard deviation of the {what}")
        found.add(f"σ_{name} = f_h × √({m0})", DEFINITION, spread)
        add_cycles(found, f"N_{name}", f"T_{name}", m0, m2, what, bool(table[7 + place, 0] > 0))
        found.add(level_text(symbol, f"σ_{name}", f"N_{name}"), GAUSSIAN, **{symbol: (kind, what)})
