"""Origins of slow travel, part by part, and of what is set on the unit."""

from __future__ import annotations

import math

from heave.compensator.gas_spring import ATMOSPHERE
from heave.formula import Symbol
from heave.judging.demands import Demands
from heave.judging.formulas import BALANCE, FRICTION, GAS_LAW, KINEMATICS, SET_PRESSURE
from heave.judging.origins import DEFINITION, Origins
from heave.judging.rules.when import latched


def travel(d: Demands, found: Origins) -> None:
    """Slow travel of the unit, part by part: tide, draught, set-down, space-out and hole made."""
    plan, offsets = d.plan, d.plan.offsets
    for symbol, name, what in (
        ("h_r", "tide_rise", "tide still to rise"),
        ("h_f", "tide_fall", "tide still to fall"),
        ("h_d", "draught_change", "change of draught, deeper positive"),
        ("e_s", "space_out_error", "space-out error"),
    ):
        found.field(symbol, offsets, name, "Slow travel", ("length", what))
    found.field("x_s", offsets, "start_position", "Slow travel")
    rising, falling = ["h_r", "max(−h_d, 0)", "e_s"], ["h_f", "max(h_d, 0)", "e_s"]
    if offsets.vessel_offset > 0:
        found.field(
            "y_o", offsets, "vessel_offset", "Slow travel", ("length", "horizontal offset of the vessel")
        )
        found.field("d_w", plan.sea, "depth", "Sea", ("length", "water depth"))
        found.add("s_d = y_o² / (2 × d_w)", "small angles", ("length", "longer path to the seabed, set-down"))
        rising.append("s_d")
    if plan.on_bottom and offsets.drilled > 0:
        found.field("ROP", offsets, "penetration_rate", "Slow travel", ("penetration", "rate of penetration"))
        found.field("t_f", offsets, "feed_interval", "Slow travel", ("duration", "time between feeds"))
        found.add("h_m = ROP × t_f", "rate × time", ("length", "hole made between feeds"))
        rising.append("h_m")
    less: Symbol = ("length", "slow travel from the start position towards the vessel-rising end")
    more: Symbol = ("length", "slow travel from the start position towards the vessel-falling end")
    found.add(f"x_less = {' + '.join(rising)}", KINEMATICS, less)
    found.add(f"x_more = {' + '.join(falling)}", KINEMATICS, more)
    found.add(
        "x_r = x_s + x_less",
        KINEMATICS,
        x_s=("length", "start position from mid-stroke, where pressure and weight are set"),
    )
    found.add("x_f = x_more − x_s", KINEMATICS)
    if plan.compensator.is_drawworks:
        nothing = "the driller's feed follows slow travel"
        found.know("x_d", 0.0, nothing)
        found.know("x_df", 0.0, nothing)
    else:
        _held(found, d)


def _held(found: Origins, d: Demands) -> None:
    """Slow travel that a held string has to take where the hook is driven."""
    symbols: dict[str, Symbol] = {
        "x_d": ("length", "slow travel that stretches or slackens a held string"),
        "x_df": ("length", "the same, vessel falling"),
    }
    if latched(d.plan):
        found.add("x_d = max(x_less, x_more)", KINEMATICS, **symbols)
        found.add("x_df = max(x_less, x_more)", KINEMATICS, **symbols)
    else:
        found.know("x_d", 0.0, "on bottom it comes off the weight on bit; a free string follows")
        if d.plan.on_bottom:
            found.add("x_df = x_more", KINEMATICS, **symbols)
        else:
            found.know("x_df", 0.0, "a free string follows")


def setting(d: Demands, found: Origins) -> None:
    """What is set on the unit, and its gas and friction there."""
    plan, unit = d.plan, d.plan.compensator
    for end in ("r", "f"):
        found.know(f"ν_{end}", math.inf, "slow travel alone reaches this end")
    found.know("p_a", ATMOSPHERE, "standard atmosphere, by definition")
    found.field("O", plan, "overpull", "Plan")
    found.field("WOB", plan, "wob", "Plan")
    load = "W_h + m_c × g" + (" + O" if latched(plan) else " − WOB" if plan.on_bottom else "")
    found.add(f"F_0 = {load}", BALANCE, ("force", "load on the compensator where it is set"))
    found.field("f", plan, "yield_fraction", "Plan")
    for side, name in (("less", "wob_low"), ("more", "wob_high")):
        found.field(f"W_{side}", plan.operation, name, "Operation")
        found.know(f"F_{side}", 0.0, "the gas as warm as when it was set; its range is judged beside")
    if unit.is_drawworks:
        return
    for symbol, name in (
        ("S", "stroke"),
        ("R", "end_reserve"),
        ("A_e", "effective_area"),
        ("μ", "friction_fraction"),
        ("c_q", "hydraulic_loss"),
        ("n_h", "index_high"),
    ):
        found.field(symbol, unit, name, "Compensator")
    found.field("n", unit, "index", "Compensator", ("number", "polytropic index"))
    found.field("V_g", unit, "gas_volume", "Compensator", ("volume", "gas volume, all bottles"))
    found.field("V_s", unit, "gas_volume_shut", "Compensator", ("volume", "gas volume shut off"))
    found.add("φ = (V_g − V_s) / (A_e × S)", DEFINITION)
    found.add(
        "L = φ × S − x_s", DEFINITION, ("length", "open gas volume at the start position over effective area")
    )
    found.add(
        "F_w = F_0",
        "the gas as warm as when it was set; its range is judged beside",
        ("force", "load of the gas where it is set, with what its temperature has added since"),
    )
    found.use(FRICTION, SET_PRESSURE)
    found.add("k_c = n × (F_0 + p_a × A_e) / L", GAS_LAW, n=("number", "polytropic index, nominal"))
    found.add(
        "P_lo = (F_0 − F_f) / A_e",
        "friction hides as much either way",
        ("pressure", "least the true gauge pressure may be"),
    )
    found.add(
        "P_hi = (F_0 + F_f) / A_e",
        "friction hides as much either way",
        ("pressure", "most the true gauge pressure may be"),
    )
    found.beside["P"] = ("P_lo", "P_hi", "k_c")
