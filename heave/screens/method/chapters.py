"""Text of the method page: the chain of computation, its formulas and sources; the checks speak for themselves."""

from __future__ import annotations

from functools import partial
from typing import Any, Final

import streamlit as st

from heave.files.plan import PAGE_FILE, SCHEMA_FILE
from heave.formula import Formula
from heave.judging import RULES, Assessment, Check, Rule
from heave.judging import formulas as use
from heave.judging.rules.stroke import END_RATE
from heave.planning import OPERATIONS
from heave.screens import pieces
from heave.screens.check.working import working_text
from heave.screens.inputs import folded, plain


def _tex(formula: Formula) -> str:
    return f"${formula.latex()}$"


CHAPTERS: Final = (
    (
        "The chain",
        "Sea spectrum → response of the vessel → vertical motion at the hoist → compensator and drill string, "
        "linearised for this sea → extremes at the accepted risk → each demand against its capacity → verdict. "
        "One function does it for one sea and for many, so the limiting sea is the same computation repeated.",
    ),
    (
        "Sea",
        "- Each wave system has its height, period, direction, spectral shape and spreading; energies add, "
        "$H_s^2 = \\sum H_{s,i}^2$. Two-parameter and JONSWAP after DNV-RP-C205, 3.5.5, normalised numerically to "
        "$H_s^2/16$; the peak factor by rule from $T_p/\\sqrt{H_s}$ when left empty.\n"
        "- Torsethaugen two-peak after Torsethaugen and Haver (ISOPE 2004); Ochi–Hubble most probable member (1976); "
        "Gaussian swell about its peak.\n"
        "- Periods: $T_p$ peak, $T_z$ zero-crossing ($T_{m02}$), $T_1$ mean ($T_{m01}$), $T_e$ energy "
        "($T_{m-1,0}$); converted once, through the shape.\n"
        "- Given a water depth, each system takes the TMA factor (Bouws and others, 1985) and keeps its height.\n"
        "- Measured spectra keep their bands and their own widths, $H_s = 4\\sqrt{\\sum S\\,\\Delta f}$.",
    ),
    (
        "Vessel",
        "- Relative heading is $(\\text{heading} - \\text{from} + 180°) \\bmod 360°$: 180° is a head sea.\n"
        "- Heave, roll and pitch of the response table are added as complex numbers at the hoist, "
        "$\\eta_p = \\eta_3 + y\\,\\eta_4 - x\\,\\eta_5$, then squared; real and imaginary parts are interpolated.\n"
        "- A ship without a table: closed form of Jensen, Mansour and Olsen (Ocean Engineering 31, 2004), concept "
        "stage only, heave and pitch within about 10 % from 16 s and up to half too low below 12 s. A "
        "semisubmersible without a table: columns and pontoons with viscous damping found for each sea. A table that "
        "states the damping it was made with, its natural period and its stiffness is brought from that damping to the "
        "sea's own, in proportion to the heave speed, until both agree.",
    ),
    (
        "Extremes",
        f"Gaussian motion, narrow band: the level exceeded with probability $p$ in the exposure is {_tex(use.HEAVE)} "
        "with $N_z$ the number of cycles in it. The most probable maximum is "
        "exceeded in 63 % of exposures, so it is never used as a limit. All amplitudes are single unless it is said "
        "that they are double; Hs is crest to trough.",
    ),
    (
        "Compensator and string",
        f"- Gas: $P V^n$ constant on absolute pressure, {_tex(use.GAS_STIFFNESS)} with $\\phi$ the open gas volume "
        f"over the swept volume. Set pressure {_tex(use.SET_PRESSURE)} with {_tex(use.LOAD)}, read with the "
        f"piston at the start position and uncertain by the seal friction {_tex(use.FRICTION)}.\n"
        f"- Friction and hydraulic loss are linearised for each sea, {_tex(use.DAMPING)} with $\\sigma_t$ the speed of "
        "travel, until damping and speed agree.\n"
        "- String: elastic rod with distributed mass by transfer matrices through its sections, so a deep string's own "
        "period is in the answer. At the bit: "
        "friction alone (low), with the ringing where it turns round (nominal), at the high end of simulation (high).\n"
        f"- Active part: what is left is {_tex(use.ACTIVE_LEFT)} for gain $G$, delay $\\tau$ and period $T$.",
    ),
    (
        "Stroke",
        "Slow travel (start position, tide, draught, offset of the vessel, space-out error, hole made between feeds) "
        "plus the extreme plus the end reserve, against half the stroke, each side on its own. The accepted risk "
        "is for each end of the stroke; that of passing one or the other is up to twice that. Stroke-outs per "
        f"time and end: {_tex(END_RATE['r'])}.",
    ),
    (
        "Limiting sea",
        "The height of the first wave system at which the first check reaches 1, everything else as planned: found on "
        "a ladder of heights with every damping computed anew at each.",
    ),
    (
        "Where it stops holding",
        "Linear response and Gaussian seas: not breaking waves, green water, slamming or a vessel under way. Gas "
        "indices are a range, because real nitrogen is stiffer than an ideal gas at pressure. In the checks a stuck "
        "unit, ringing after a stroke-out and contact of the bit are not followed in time; the simulation does that. "
        "Operation limits by heave stand in no open standard: the field is left for the rig's own number.",
    ),
)
"""Headings and text, in the order in which things are computed."""

FILES: Final = (
    "- **Response table** (CSV): comment lines `# phase: lead`, `# symmetric: yes`, `# reference_x_m: 0`, "
    "`# reference_y_m: 0`, `# heading_convention: travel_from_bow`; columns `period_s`, `heading_deg`, "
    "`heave_m_per_m`, `heave_phase_deg`, `roll_deg_per_m`, `roll_phase_deg`, `pitch_deg_per_m`, `pitch_phase_deg`. "
    "What a file does not state is asked for, never assumed; `# damping_speed_m_per_s: 0.25` may say which heave "
    "speed its viscous damping is for. With `# viscous_heave_damping_n_s_per_m`, `# natural_heave_period_s` and "
    "`# heave_stiffness_n_per_m` beside it (and `# radiation_heave_damping_n_s_per_m`) every sea is damped by its own "
    "heave speed, where the hoist stands over the table's reference point.\n"
    "- **Response tables of others** (text or workbook): one long table, one for each heading, or one for each motion "
    "with headings over its columns; names of its own, period, rad/s or Hz, 0 to 180, 0 to 360 or −180 to 180, "
    "amplitude and phase or real and imaginary parts. What the file does not say is asked, one question at a time, and "
    "kept with the plan; long waves and the two sides of the hull then tell a wrong sign, unit or sense of phase.\n"
    "- **String** (CSV): `name`, `length_m`, `od_in`, `id_in`, `weight_lb_per_ft`, `grade`, or the metric columns.\n"
    "- **Buoy spectra** (text): density by frequency band, one record a line, times in UTC.\n"
    "- **Plan** (JSON): everything in SI, with its version; a field it does not have is named when it is opened, with "
    "what it was taken as.\n\n"
    "A decimal comma is read in files whose columns are separated by semicolons or tabs."
)
"""What files look like."""


def plan_fields() -> None:
    """Every field of the plan file, and the same for a program to take away."""
    how: dict[str, Any] = {"mime": "application/schema+json", "of_the_plan": False}
    pieces.save("Save the JSON Schema", SCHEMA_FILE.read_bytes, SCHEMA_FILE.name, "heave:schema", **how)
    st.markdown(PAGE_FILE.read_text("utf-8").partition("\n")[2].replace("\n## ", "\n### "))


def rules(result: Assessment, system: str) -> None:
    """Every check the planner knows: what it rests on and its source, and its working where the plan has it."""
    worked = {check.key: check for check in result.checks}
    for rule in RULES:
        check = worked.get(rule.key)
        folded(plain(rule.name), f"rule:{rule.key}", partial(_rule, rule, check, system))


def _rule(rule: Rule, check: Check | None, system: str) -> None:
    """Basis and working of a rule, then its formulas: in notation, what each symbol is, and where each is from."""
    if check is not None:
        st.markdown(working_text(check, system))
    else:
        st.markdown(f"{plain(rule.basis)}\n\nSource: {plain(rule.source)}")
        st.caption("Not called for by the operation in the plan.")
    lines = []
    for formula in rule.formulas:
        legend = "; ".join(f"{plain(symbol)}: {plain(meaning)}" for symbol, meaning in formula.legend())
        lines.append(f"- {_tex(formula)}  \n  :small[:gray[{legend}. From: {plain(formula.source)}]]")
    st.markdown("\n".join(lines))


def operations() -> None:
    """Each operation: what string and compensator do in it, which limits it needs, and what is not judged here."""
    lines = []
    for kind in OPERATIONS.values():
        needs = ", ".join(" or ".join(group).replace("_", " ") for group in kind.needs)
        elsewhere = "; ".join(kind.elsewhere)
        lines.append(
            f"- **{plain(kind.label)}**: {plain(kind.about)} String {plain(kind.string)}, compensator "
            f"{plain(kind.compensator)}."
            + (f" Needs from the procedures: {plain(needs)}." if needs else "")
            + (f" Not judged here: {plain(elsewhere)}." if elsewhere else "")
        )
    st.markdown("\n".join(lines))
