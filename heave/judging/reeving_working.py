"""Lines and sheaves with their working: efficiency, pulls, and what they put on crown and derrick, up and down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from heave.formula import Formula, Step
from heave.hoisting import efficiency, line_pulls
from heave.judging.formulas import formula
from heave.judging.path_loads import block_weight
from heave.judging.rules import chain
from heave.planning.plan import Plan
from heave.quantities import MOST_LINES

STRUNG_LINES: Final = tuple(range(2, MOST_LINES + 1, 2))
"""Numbers of lines that are set side by side: all that a hoisting path can have, its own among them."""

EFFICIENCY: Final = formula(
    "E_r = (K^n_l − 1) / (K^n_l × n_l × (K − 1))",
    chain.REEVING,
    K=chain.SYMBOLS["K"],
    n_l=chain.SYMBOLS["n_l"],
    E_r=("number", "efficiency of the lines and sheaves, hoisting"),
)
_LOADS: Final = {
    **{symbol: chain.SYMBOLS[symbol] for symbol in ("K", "n_l", "F_fl", "F_cr")},
    "E_r": EFFICIENCY.symbols["E_r"],
    "W_l": (
        "force",
        "what hangs on the lines, pulled out: string, gear, unit where it hangs with them, block, lines",
    ),
    "W_w": ("force", "the same, run in: less by the friction of the well both ways, where it gives any"),
    "F_dh": ("force", "pull of the dead line, hoisting"),
    "F_dw": ("force", "pull of the dead line, lowering"),
    "F_4": ("force", "load on a derrick whose four legs all carried what that of the dead line does"),
}


SOURCES: Final = (
    f"{chain.REEVING}; four legs: Bourgoyne and others, Applied Drilling Engineering, SPE 1986, chapter 1"
)


def _line(text: str) -> Formula:
    return formula(text, SOURCES, **_LOADS)


FAST: Final = _line("F_fl = W_l / (n_l × E_r)")
DEAD_HOISTING: Final = _line("F_dh = F_fl / K^n_l")
DEAD_LOWERING: Final = _line("F_dw = W_w × K^n_l × (K − 1) / (K × (K^n_l − 1))")
CROWN: Final = _line("F_cr = W_l + F_fl + F_dh")
FOUR_LEGS: Final = _line("F_4 = W_l × (n_l + 4) / n_l")


def reeving_working(plan: Plan) -> tuple[Step, ...]:
    """Efficiency, fast line, dead line hoisting and lowering, crown load and four-leg load without what the sea adds.

    The string is pulled out and run in as in `heave.judging.path_loads`, whose pulls these are.

    Parameters
    ----------
    plan : the plan, with a hoisting path; without one there is nothing to work out
    """
    path = plan.hoisting
    if path is None:
        return ()
    weight, run_in = (load + block_weight(plan) for load in (plan.job_hookload, plan.running_hookload))
    about = {"K": path.sheave_factor, "n_l": path.count}
    efficient = EFFICIENCY(**about)
    pull = FAST(W_l=weight, n_l=path.count, E_r=efficient)
    dead = DEAD_HOISTING(F_fl=pull, **about)
    return (
        *(efficient, pull, dead, DEAD_LOWERING(W_w=run_in, **about)),
        *(CROWN(W_l=weight, F_fl=pull, F_dh=dead), FOUR_LEGS(W_l=weight, n_l=path.count)),
    )


@dataclass(frozen=True)
class Strung:
    """What the same load on the block would be with another number of lines, hoisting.

    efficiency : of lines and sheaves; `lifts` is load over the pull of the fast line [-]
    fast, crown : pull of the fast line and load of the lines on the crown [N]
    """

    lines: int
    efficiency: float
    lifts: float
    fast: float
    crown: float


def strung_instead(load: float, factor: float) -> tuple[Strung, ...]:
    """The same load on the block under each of `STRUNG_LINES`, hoisting; the weight of the lines is left as it is.

    Source: API RP 9B.

    Parameters
    ----------
    load : on the block [N]
    factor : friction factor of a sheave [-]
    """
    rows = []
    for lines in STRUNG_LINES:
        share = efficiency(lines, factor)
        pulls = line_pulls(load, lines, factor)
        rows.append(Strung(lines, share, lines * share, float(pulls[0]), float(pulls.sum())))
    return tuple(rows)
