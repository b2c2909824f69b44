"""Text of the method page about the simulation: its equations of state, one a line, and how the quick checks fare."""

from __future__ import annotations

from typing import Final

from heave.simulation.bands import WAVE_VALIDITY
from heave.simulation.happened import BLOW_VALIDITY
from heave.simulation.statistics import BIT, BLOCK, CELL, FORCE, GAS, TRAVEL

CHAPTERS: Final = (
    (
        "Simulation",
        "Heave is a sum of waves with random phases and amplitudes from the spectrum at the hoist, a regular wave or "
        "a record. Steps of 0.02 s; the string as 60 elements reduced to 20 modes "
        "(Craig and Bampton, AIAA Journal 6, 1968), moved exactly between steps; friction, loss, ends and rock in "
        "closed form (Moreau's time stepping; Acary and Brogliato, 2008).\n"
        f"- Block: ${BLOCK.latex()}$\n"
        f"- Travel, + gas compressed: ${TRAVEL.latex()}$\n"
        f"- Gas: ${GAS.latex()}$, which pushes with $F_g = P A_e$\n"
        "- Seals: $|F_s| \\le F_f$, whatever holds the travel still; $F_f$ against the speed once it slips\n"
        "- Hydraulics: $F_h = c_q\\,\\dot x\\,|\\dot x|$\n"
        "- Ends: a stiff spring and damper while $|x| > S/2$\n"
        "- Active part: $F_a(t) = -G\\,(F_g + F_s + F_h - F_0)(t-\\tau)$, within its limits of force and speed\n"
        f"- Between block and hook: ${FORCE.latex()}$, upward on the string and all that moves with it, the loss in "
        "$F_s$\n"
        f"- Load cell: ${CELL.latex()}$\n"
        "- String: $M\\ddot s + C\\dot s + K s = b_{hook}\\,(F - F_0) + b_{bit}\\,(F_{bit} - W_0)$\n"
        "- Bit: $F_{bit} = \\max(0,\\; k_{rock} \\times \\text{depth in the rock})$; at zero it is off bottom. As a "
        f"balance of what hangs, ${BIT.latex()}$",
    ),
    (
        "How the quick checks compare with the simulation",
        "Over 504 invented cases of sea, string, friction, gas and load, 4 drawings of 20 minutes each, the stroke "
        "and the motion left below a hanging string came out at most 8 % larger in the simulation than the "
        "planner checks them, and the bit never swung past the high band, which both checks of weight on bit use. The "
        "nominal band was passed by more than a tenth in 5 of 100 cases on bottom, by 23 % at worst, and a string that "
        "rings passes the low band in 9 of 10: they show what is likely, not what is safe.",
    ),
    ("How far a run is to be trusted", f"- {WAVE_VALIDITY}\n- {BLOW_VALIDITY}"),
)
"""Headings and text, in the order in which things are computed."""
