"""Origins of how the unit works in this sea: damping, moments of the linear response, and what friction does to it."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.compensator import ActivePart
from heave.compensator.linearisation import LARGEST_CYCLE
from heave.formula import Symbol
from heave.judging import reversal
from heave.judging.demands import Demands
from heave.judging.formulas import ACTIVE_LEFT, BALANCE, DAMPING, FORCE_LEFT, GAUSSIAN, TRAVEL
from heave.judging.origins import DEFINITION, TABLE, Origins, add_cycles, level_text
from heave.judging.origins_friction import elastic, friction
from heave.judging.reversal import MODEL_RANGE
from heave.vessel import AmplitudeStatistics

_LINEAR: Final = "by the equation of motion of hook, unit and string"
_CYCLES: Final = (
    ("a", "average", "√(2 / π) × F_f / {0} + √(8 / π) × c_q × {0}", DAMPING.source),
    (
        *("b", "largest", "4 × F_f / (π × κ × {0}) + 8 × c_q × κ × {0} / (3 × π)"),
        "equivalent viscous damping of a cycle (Den Hartog, Mechanical Vibrations)",
    ),
)
"""Letter and name of each, the equation of its damping in the spread of the speed, and where that is from."""


def unit(d: Demands, found: Origins) -> None:
    """The unit at work in this sea; little where it is locked."""
    plan = d.plan
    device = plan.compensator
    if isinstance(device, ActivePart):
        for symbol, name in (("G", "active_gain"), ("τ", "active_delay")):
            found.fields(device, "Compensator", **{symbol: (name, reversal.SLIP_ACTIVE.symbols[symbol][1])})
        if device.active_bandwidth is not None:
            band = reversal.SLIP_LAGGING.symbols["f_b"][1]
            found.fields(device, "Compensator", f_b=("active_bandwidth", band))
    for symbol, figure in _FIGURES.items():
        found.know(
            symbol,
            reversal.model_range(d, figure) if (figure, *_case(d)) in MODEL_RANGE else 1.0,
            f"{TABLE}, MODEL_RANGE: {figure}, {' '.join(_case(d))}; 1,008 random plans simulated",
        )
    found.add(
        "u_b = ΔW_less / WOB",
        DEFINITION,
        ("number", "change of weight on bit towards less, over weight on bit: above 1 the bit lifts"),
        ΔW_less=("force", "change of weight on bit towards less"),
    )
    if d.moments.working is None:
        return
    _damping(found, d)
    shown = ["travel", "speed", *(("motion", "end speed") if plan.operation.hangs_free else ("force",))]
    for name in (*shown, *(("left",) if plan.follows_position else ())):
        _figure(found, d, *_ROWS[name])
    if plan.active_in_use and not plan.follows_position and not device.is_drawworks:
        _left(found, d)
    _point(found, d)
    found.use(TRAVEL, FORCE_LEFT)
    found.add(level_text("v_d", "σ_t", "N_t"), GAUSSIAN)
    if not plan.operation.hangs_free:
        elastic(found, d)
    friction(found, d)


_METRES: Final = ("length", "variance", "speed_variance")
_SPEEDS: Final = ("speed", "speed_variance", "acceleration_variance")
_FORCES: Final = ("force", "force_variance", "force_rate_variance")
_ROWS: Final = {
    "travel": (0, ("σ_x", "T_x", "N_x"), "x", "travel between block and hook", _METRES),
    "speed": (1, ("σ_t", "T_t", "N_t"), "x", "speed between block and hook", _SPEEDS),
    "motion": (3, ("σ_r", "T_r", "N_r"), "e", "motion left at the end of the string", _METRES),
    "end speed": (4, ("σ_u", "T_u", "N_u"), "e", "speed left at the end of the string", _SPEEDS),
    "force": (3, ("σ_e", "T_e", "N_e"), "e", "bit force without friction", _FORCES),
    "left": (
        6,
        ("σ_F", "T_q", "N_F"),
        "q",
        "force on the hook of the motion that the active part leaves",
        _FORCES,
    ),
}
"""First row in `Moments.working`, symbols of spread, period and cycles, part of the response, words, kinds."""

_FIGURES: Final = {
    "f_swing": "swing", "f_load": "load", "f_travel": "travel", "f_speed": "speed",
    "f_end": "end motion", "f_slow": "end speed", "f_hook": "hook",
}  # fmt: skip


def _case(d: Demands) -> tuple[str, str]:
    return "free" if d.plan.operation.hangs_free else "held", "active" if d.plan.active_in_use else "passive"


def _point(found: Origins, d: Demands) -> None:
    """Travel per heave at the mean period T of the heave: one point of the integral of the travel.

    H = N/(K + N) with N = D − ω² m_h and K = ρ (k_c + iωc), ρ = 1 − G e^(−iωτ)/(1 + iω/ω_b) what an active part leaves.
    """
    plan, device, values = d.plan, d.plan.compensator, d.moments.damping
    assert values is not None
    if plan.follows_position or device.is_drawworks:
        part = plan.active_part
        if part is not None and part.active_bandwidth is None and part.active_centring is None:
            found.use(ACTIVE_LEFT)
            found.beside["σ_F"] = ("q",)
        return
    assert d.stroke is not None
    used = 0 if d.moments.working is None or d.stroke.variance[0] == d.moments.working[0, 0, 0] else 1
    if not (math.isfinite(values[used, 0]) and values[used, 0] > 0 and math.isfinite(d.heave.period[0])):
        return
    spring: dict[str, Symbol] = {
        "K_c": ("stiffness", "force of the unit per travel, in step, at T"),
        "K_s": ("stiffness", "the same a quarter of a cycle from it"),
    }
    damping = f"c_{_CYCLES[used][0]}"
    if plan.active_in_use:
        found.add(f"K_c = ρ_c × k_c − ρ_s × 2π / T × {damping}", BALANCE, **spring)
        found.add(f"K_s = ρ_s × k_c + ρ_c × 2π / T × {damping}", BALANCE)
    else:
        found.add("K_c = k_c", BALANCE, **spring)
        found.add(f"K_s = 2π / T × {damping}", BALANCE)
    point: Symbol = ("number", "one point of the integral, at T: travel between block and hook per heave")
    found.add("H_x1 = √((B_c² + D_s²) / ((K_c + B_c)² + (K_s + D_s)²))", BALANCE, point)
    found.beside["σ_x"] = ("H_x1",)


def _left(found: Origins, d: Demands) -> None:
    """What an active part that follows force leaves of it at T."""
    unit = d.plan.compensator.of_type(ActivePart)
    left: dict[str, Symbol] = {
        "ρ_c": ("number", "share of the force that the active part leaves, in step, at T"),
        "ρ_s": ("number", "the same a quarter of a cycle from it"),
    }
    found.add("q = √(ρ_c² + ρ_s²)", DEFINITION, ACTIVE_LEFT.symbols["q"])
    turn, source = "2π × τ / T", "a sine less its delayed share"
    if unit.active_bandwidth is None:
        found.add(f"ρ_c = 1 − G × cos({turn})", source, **left)
        found.add(f"ρ_s = G × sin({turn})", source)
        return
    lag: Symbol = ("number", "period of the bandwidth over T")
    found.add("r_b = 1 / (f_b × T)", DEFINITION, lag)
    source += " behind a lag of first order"
    found.add(f"ρ_c = 1 − G × (cos({turn}) − r_b × sin({turn})) / (1 + r_b²)", source, **left)
    found.add(f"ρ_s = G × (sin({turn}) + r_b × cos({turn})) / (1 + r_b²)", source)


def _damping(found: Origins, d: Demands) -> None:
    """Damping of both linearisations, with the equation that it was found to satisfy."""
    plan, values = d.plan, d.moments.damping
    assert values is not None
    cycle: Symbol = ("number", "speed amplitude of the largest cycle over its standard deviation")
    found.know("κ", LARGEST_CYCLE, "between the most probable and the 1 in 10 of a thousand cycles", cycle)
    damped = not (plan.compensator.is_drawworks or plan.follows_position) and bool(values[0, 0] > 0)
    for row, (letter, name, equation, source) in enumerate(_CYCLES):
        power = f"linear damping that takes out the power of friction and loss in the {name} cycle"
        about: Symbol = ("damping", power)
        value, satisfied, sigma = f"c_{letter}", f"c_eq{letter}", f"σ_t{letter}"
        if not damped:
            found.know(value, 0.0, "no friction and no loss is felt", about)
            continue
        if math.isinf(values[row, 0]):
            never = "friction never breaks in that cycle: the unit does not stroke"
            found.know(value, math.inf, never, about)
            continue
        words = f"found by iteration: the damping at which {satisfied} below is as large"
        rests = ("F_f", "c_q", "k_c", "m_h", "k_s", "η_s")
        found.state(value, values[row, 0], words, "fixed point of the equation below", about, *rests)
        spread: Symbol = ("speed", f"standard deviation of the speed of travel at {value}")
        found.add(f"{sigma} = √(m_x2{letter})", DEFINITION, spread)
        same: Symbol = ("damping", f"the equation that {value} satisfies, worked at {sigma}")
        found.add(f"{satisfied} = {equation.format(sigma)}", source, same)
        found.beside[f"m_x0{letter}"] = (satisfied,)


def _figure(
    found: Origins,
    d: Demands,
    row: int,
    symbols: tuple[str, str, str],
    part: str,
    what: str,
    kinds: tuple[str, str, str],
) -> None:
    """Standard deviation, period and cycles of a figure, from the linearisation whose level is the higher."""
    table, plan = d.moments.working, d.plan
    assert table is not None
    sigma, period, cycles = symbols
    order = 2 * (row - {"x": 0, "e": 3, "q": 6}[part])
    both = not np.array_equal(table[0, row : row + 2, 0], table[1, row : row + 2, 0])
    levels = [
        float(AmplitudeStatistics(one[row, 0], one[row + 1, 0], plan.exposure, plan.risk).level)
        for one in table
    ]
    chosen = int(levels[1] > levels[0])
    shown = (0, 1) if both else (chosen,)
    for place in shown:
        letter, name, *_ = _CYCLES[place]
        m0, m2 = f"m_{part}{order}{letter}", f"m_{part}{order + 2}{letter}"
        for n, moment, kind, value in zip(
            (order, order + 2), (m0, m2), kinds[1:], table[place, row : row + 2, 0], strict=True
        ):
            per = f"H_{part} is that per heave at the damping c_{letter} of the {name} cycle, {_LINEAR}"
            about = (kind, f"variance of order {n} of {_PARTS[part]}; {per}")
            found.moment(moment, n, value, f"|H_{part}|² × f_h² |H_z|² ", about, "m_z0", "f_h", f"c_{letter}")
        if both and table[place, row + 1, 0] > 0:
            level, cycle = f"{_LEVELS[part, order]}_{letter}", f"max(t_e / (2π × √({m0} / {m2})), 1)"
            text = f"{level} = √(2 × {m0} × ln({cycle} / −ln(1 − p)))"
            found.add(text, GAUSSIAN, (kinds[0], f"level of {what} at the damping of the {name} cycle"))
            found.before[sigma] = (*found.before.get(sigma, ()), level)
    letter, name, *_ = _CYCLES[chosen]
    m0, m2 = f"m_{part}{order}{letter}", f"m_{part}{order + 2}{letter}"
    decided = f"; the linearisation for the {name} cycle decides, its level being the higher" if both else ""
    found.add(f"{sigma} = √({m0})", DEFINITION, (kinds[0], f"standard deviation of {what}{decided}"))
    add_cycles(found, cycles, period, m0, m2, what, bool(table[chosen, row + 1, 0] > 0))


_LEVELS: Final = {("x", 0): "X", ("x", 2): "V", ("e", 0): "R", ("e", 2): "U", ("q", 0): "Q"}
_PARTS: Final = {
    "x": "travel between block and hook",
    "e": "the far end of the string",
    "q": "the force on the hook",
}
