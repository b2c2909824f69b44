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
    found.fields(
        offsets,
        "Slow travel",
        h_r=("tide_rise", "tide still to rise"),
        h_f=("tide_fall", "tide still to fall"),
        h_d=("draught_change", "change of draught, deeper positive"),
        e_s=("space_out_error", "space-out error"),
        x_s="start_position",
    )
    rising, falling = ["h_r", "max(−h_d, 0)", "e_s"], ["h_f", "max(h_d, 0)", "e_s"]
    if offsets.vessel_offset > 0:
        found.fields(offsets, "Slow travel", y_o=("vessel_offset", "horizontal offset of the vessel"))
        found.fields(plan.sea, "Sea", d_w=("depth", "water depth"))
        found.add("s_d = y_o² / (2 × d_w)", "small angles", ("length", "longer path to the seabed, set-down"))
        rising.append("s_d")
    if plan.on_bottom and offsets.drilled > 0:
        found.fields(
            offsets,
            "Slow travel",
            ROP=("penetration_rate", "rate of penetration"),
            t_f=("feed_interval", "time between feeds"),
        )
        found.add("h_m = ROP × t_f", "rate × time", ("length", "hole made between feeds"))
        rising.append("h_m")
    for symbol, parts, end in (("x_less", rising, "rising"), ("x_more", falling, "falling")):
        travelled: Symbol = ("length", f"slow travel from the start position towards the vessel-{end} end")
        found.add(f"{symbol} = {' + '.join(parts)}", KINEMATICS, travelled)
    found.add("x_r = x_s + x_less", KINEMATICS)
    found.add("x_f = x_more − x_s", KINEMATICS)
    if plan.compensator.is_drawworks:
        nothing = "the driller's feed follows slow travel"
        found.know("x_d", 0.0, nothing)
        found.know("x_df", 0.0, nothing)
    else:
        _held(found, d)


def _held(found: Origins, d: Demands) -> None:
    """Slow travel that a held string has to take where the hook is driven."""
    stretches: Symbol = ("length", "slow travel that stretches or slackens a held string")
    falling: Symbol = ("length", "the same, vessel falling")
    if latched(d.plan):
        found.add("x_d = max(x_less, x_more)", KINEMATICS, stretches)
        found.add("x_df = max(x_less, x_more)", KINEMATICS, falling)
    else:
        follows = "on bottom it comes off the weight on bit; a free string follows"
        if d.plan.on_bottom:
            found.know("x_d", 0.0, follows, stretches)
            found.add("x_df = x_more", KINEMATICS, falling)
        else:
            found.know("x_d", 0.0, follows)
            found.know("x_df", 0.0, "a free string follows")


def setting(d: Demands, found: Origins) -> None:
    """What is set on the unit, and its gas and friction there."""
    plan, unit = d.plan, d.plan.compensator
    for end in ("r", "f"):
        found.know(f"ν_{end}", math.inf, "slow travel alone reaches this end")
    found.know("p_a", ATMOSPHERE, "standard atmosphere, by definition")
    found.fields(plan, "Plan", O="overpull", WOB="wob", f="yield_fraction")
    load = "W_h + m_c × g" + (" + O" if latched(plan) else " − WOB" if plan.on_bottom else "")
    found.add(f"F_0 = {load}", BALANCE, ("force", "load on the compensator where it is set"))
    found.fields(plan.operation, "Operation", W_less="wob_low", W_more="wob_high")
    warm = "the gas as warm as when it was set; its range is judged beside"
    found.know("F_less", 0.0, warm)
    found.know("F_more", 0.0, warm)
    if unit.is_drawworks:
        return
    found.fields(
        unit,
        "Compensator",
        **{"S": "stroke", "R": "end_reserve", "A_e": "effective_area", "μ": "friction_fraction"},
        **{"c_q": "hydraulic_loss", "n": "index", "n_h": "index_high"},
        V_g=("gas_volume", "gas volume, all bottles"),
        V_s=("gas_volume_shut", "gas volume shut off"),
    )
    found.add("φ = (V_g − V_s) / (A_e × S)", DEFINITION)
    found.add(
        "L = φ × S − x_s", DEFINITION, ("length", "open gas volume at the start position over effective area")
    )
    found.add("F_w = F_0", warm)
    found.use(FRICTION, SET_PRESSURE)
    found.add("k_c = n × (F_0 + p_a × A_e) / L", GAS_LAW, n=("number", "polytropic index, nominal"))
    hides = "friction hides as much either way"
    found.add("P_lo = (F_0 − F_f) / A_e", hides, ("pressure", "least the true gauge pressure may be"))
    found.add("P_hi = (F_0 + F_f) / A_e", hides, ("pressure", "most the true gauge pressure may be"))
    found.beside["P"] = ("P_lo", "P_hi", "k_c")
