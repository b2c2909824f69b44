"""Origins of what sea and vessel give: wave systems, moments of the heave, and what a locked unit would feel."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.formula import Formula, Symbol
from heave.judging.demands import Demands
from heave.judging.formulas import ACCELERATION, HEAVE, HEAVE_SPEED
from heave.judging.origins import DEFINITION, MOMENT, Origins, add_cycles
from heave.judging.rules.procedures import PITCH, ROLL
from heave.sea import OMEGA, WEIGHTS
from heave.sea.spectra import GAMMA_RULE_RANGE
from heave.vessel import (
    AmplitudeStatistics,
    BoxHull,
    Motion,
    ResponseTable,
    Vessel,
    hoist_moments,
    hoist_transfer,
    relative_heading,
)

GRID: Final = (
    f"summed over {OMEGA.size} frequencies from {OMEGA[0]:.2f} to {OMEGA[-1]:.0f}\u00a0rad/s and all "
    "directions"
)
_SHAPES: Final = {
    "jonswap": "JONSWAP (form of DNV-RP-C205, 3.5.5)",
    "two-parameter": "two-parameter (form of DNV-RP-C205, 3.5.5)",
    "gaussian-swell": "Gaussian about its peak (common practice)",
    "torsethaugen": "two-peak of Torsethaugen and Haver (ISOPE, 2004)",
    "ochi-hubble": "two-peak of Ochi and Hubble (1976), most probable member",
}


def sea(d: Demands, found: Origins) -> None:
    """Wave systems or the measured spectrum, their height together, and the spectrum's own."""
    state = d.plan.sea
    whole: Symbol = ("length", "significant wave height of the whole sea")
    names = []
    if state.measured is not None:
        label = f", {state.measured.label}" if state.measured.label else ""
        found.know("H_s", state.hs, f"Sea: measured spectrum{label}", whole)
        found.know("H_1", state.hs, "the measured spectrum as one system")
        found.know("H_2", 0.0, "no other system")
        names.append("H_s")
    for place, system in enumerate(state.systems, 1):
        room, hs, tp, gamma = f"Sea, {system.label}", f"Hs_{place}", f"Tp_{place}", f"γ_{place}"
        called = f"wave system {place}, {system.label}"
        names += [hs, tp]
        found.field(hs, system, "hs", room, ("length", f"significant wave height of {called}"))
        peak: Symbol = ("period", f"peak period of {called}")
        if system.period is not None and system.period_kind == "Tp":
            found.field(tp, system, "period", room, peak)
        elif system.period is not None:
            given = f"{system.period_kind}_{place}"
            found.field(given, system, "period", room, ("period", f"{system.period_kind} of {called}"))
            words = f"the peak period at which the {system.shape} spectrum has that {system.period_kind}"
            found.state(tp, system.tp, words, "moments of the spectrum", peak, given)
        else:
            found.state(tp, system.tp, "the period that the height sets", _SHAPES[system.shape], peak, hs)
        if system.shape == "jonswap":
            factor: Symbol = ("number", f"peak factor of {called}")
            if system.gamma is not None:
                found.field(gamma, system, "gamma", room, factor)
            else:
                _peak_factor(found, gamma, hs, tp, system.tp / math.sqrt(system.hs), factor)
            names.append(gamma)
    heights = [name for name in names if name.startswith("Hs_")]
    if heights:
        found.add(
            f"H_s = √({' + '.join(f'{one}²' for one in heights)})", "energies of wave systems add", whole
        )
        _highest(found, d, heights)
    depth = (
        ""
        if state.depth is None
        else f" in {state.depth:g}\u00a0m of water (TMA factor: Bouws and others, 1985)"
    )
    shapes = (
        "; ".join(
            f"{one.label}: {_SHAPES[one.shape]}, spreading {one.spreading}"
            + ("" if one.spreading == "long-crested" else f" with exponent {one.spreading_exponent:g}")
            for one in state.systems
        )
        or "measured, in its own bands"
    )
    variance: Symbol = (
        "variance",
        f"variance of the sea; S(ω) is the spectrum of the waves{depth}. {shapes}",
    )
    m0 = float(state.spectrum() @ WEIGHTS)
    found.state("m_w0", m0, f"∫ S(ω) dω, {GRID}", MOMENT, variance, *names)
    found.add(
        "H_m = 4 × √(m_w0)",
        "Hs = 4 √m₀, by definition",
        ("length", "the same height from the spectrum as it is summed"),
    )
    found.beside["m_w0"] = ("H_s", "H_m")


def _peak_factor(found: Origins, gamma: str, hs: str, tp: str, ratio: float, about: Symbol) -> None:
    """γ by rule: exp(5.75 − 1.15 Tp/√Hs) between its ends."""
    low, high = GAMMA_RULE_RANGE
    source = "DNV-RP-C205, 3.5.5: 5 up to Tp/√Hs of 3.6, 1 from 5 on, Tp in seconds and Hs in metres"
    found.know("t_u", 1.0, DEFINITION, ("period", "one second"))
    found.know("h_u", 1.0, DEFINITION, ("length", "one metre"))
    if low < ratio < high:
        found.add(f"{gamma} = exp(5.75 − 1.15 × {tp} / t_u / √({hs} / h_u))", source, about)
    else:
        found.state(
            gamma,
            5.0 if ratio <= low else 1.0,
            f"the end of the rule, Tp/√Hs being {ratio:.2f}",
            source,
            about,
            hs,
            tp,
        )


def _highest(found: Origins, d: Demands, heights: list[str]) -> None:
    """The highest system and all others together, as limits in wave height ask for them."""
    by_height = sorted(zip((one.hs for one in d.plan.sea.systems), heights, strict=True), reverse=True)
    first, *others = (name for _, name in by_height)
    found.add(
        f"H_1 = {first}",
        DEFINITION,
        ("length", "significant wave height of the highest system"),
        **{first: found.about[first]},
    )
    together: Symbol = ("length", "significant wave height of all others together")
    if others:
        found.add(
            f"H_2 = √({' + '.join(f'{one}²' for one in others)})", "energies of wave systems add", together
        )
    else:
        found.know("H_2", 0.0, "there is no other system", together)


def vessel_words(vessel: Vessel) -> str:
    """What the response of a vessel at the hoist is from."""
    response = vessel.response
    if isinstance(response, ResponseTable):
        size = f"{response.heading.size} headings, {response.omega.size} frequencies"
        said = f"; {vessel.provenance}" if vessel.provenance else ""
        return f"response table of {vessel.name} ({size}{said})"
    if isinstance(response, BoxHull):
        of = "Jensen, Mansour and Olsen, Ocean Engineering 31, 2004"
        return f"closed form of a box hull of {vessel.name}'s size ({of})"
    return (
        f"closed form of columns and pontoons of {vessel.name}, with the viscous damping this sea settles at"
    )


_ORDERS: Final = (
    (0, "σ_z", "T", "N_z", "length", "variance", "heave at the hoist"),
    (2, "σ_v", "T_v", "N_v", "speed", "speed_variance", "speed of heave at the hoist"),
    (4, "σ_a", "T_a", "N_a", "acceleration", "acceleration_variance", "acceleration of heave at the hoist"),
)


def heave(d: Demands, found: Origins) -> None:
    """Moments of the heave with a factor of 1, the factor, and standard deviations, periods and cycles of its rates."""
    plan, table = d.plan, d.moments.still
    found.field("C_h", plan, "heave_calibration", "Plan")
    found.field("e_h", plan, "calibration_margin", "Plan")
    found.add("f_h = C_h × (1 + e_h)", "calibration by a record, and its margin")
    found.field("t_e", plan, "exposure", "Plan")
    found.field("p", plan, "risk", "Plan")
    words = vessel_words(plan.vessel)
    kinds = ("variance", "speed_variance", "acceleration_variance", "jerk_variance")
    names = ("heave", "its speed", "its acceleration", "the rate of that")
    for row, (kind, name) in enumerate(zip(kinds, names, strict=True)):
        order = 2 * row
        power = "" if order == 0 else f"ω^{order} × " if order > 2 else "ω² × "
        meaning = (
            f"variance of {name} at the hoist by the response as given; H_z(ω, β) is heave per wave, {words}"
        )
        found.state(
            f"m_z{order}",
            float(table[row, 0]),
            f"∫ {power}|H_z|² S(ω) dω, {GRID}",
            MOMENT,
            (kind, meaning),
            "m_w0",
        )
    for order, sigma, period, cycles, kind, _, what in _ORDERS:
        found.add(f"{sigma} = f_h × √(m_z{order})", DEFINITION, (kind, f"standard deviation of {what}"))
        moves = bool(table[order // 2 + 1, 0] > 0)
        add_cycles(found, cycles, period, f"m_z{order}", f"m_z{order + 2}", what, moves)
    found.use(HEAVE, HEAVE_SPEED, ACCELERATION)
    turns: tuple[tuple[Motion, Formula, str], ...] = (("roll", ROLL, "Φ"), ("pitch", PITCH, "Θ"))
    for motion, formula, letter in turns:
        _turn(found, d, motion, getattr(d.turns, motion), letter)
        found.use(formula)
    found.beside["m_z0"] = _transfer(found, d)


def _turn(found: Origins, d: Demands, motion: Motion, level: AmplitudeStatistics | None, letter: str) -> None:
    """Moments of roll or pitch, where the rig limits it and the vessel knows it."""
    sigma, cycles = f"σ_{letter}", f"N_{letter}"
    if level is None or not np.isfinite(level.variance[0]):
        for symbol in (sigma, cycles):
            found.know(symbol, None, f"the vessel's response has no {motion}")
        return
    m0, m2 = (
        float(one) for one in hoist_moments(d.plan.vessel, d.plan.heading, d.plan.sea.batch(), motion)[0, :2]
    )
    for order, value, kind in ((0, m0, "angle_variance"), (2, m2, "angle_rate_variance")):
        power = "ω² × " if order else ""
        about = (kind, f"variance of {motion}{' rate' if order else ''}; H_{letter} is {motion} per wave")
        found.state(
            f"m_{letter}{order}", value, f"∫ {power}|H_{letter}|² S(ω) dω, {GRID}", MOMENT, about, "m_w0"
        )
    found.add(
        f"{sigma} = √(m_{letter}0)", DEFINITION, ("angle", f"standard deviation of {motion} of the vessel")
    )
    add_cycles(
        found, cycles, f"T_{letter}", f"m_{letter}0", f"m_{letter}2", f"{motion} of the vessel", m2 > 0
    )


def _transfer(found: Origins, d: Demands) -> tuple[str, ...]:
    """Heave at the hoist per wave at the peak of the first system, from its own direction: one point of H_z."""
    plan = d.plan
    if not plan.sea.systems:
        return ()
    first, vessel = plan.sea.systems[0], plan.vessel
    beta = float(relative_heading(plan.heading, first.direction_from))
    found.field("θ_v", plan, "heading", "Plan", ("direction", "heading of the vessel"))
    found.field(
        "θ_1",
        first,
        "direction_from",
        f"Sea, {first.label}",
        ("direction", "direction that the first system comes from"),
    )
    turn = beta - (plan.heading - first.direction_from)
    found.know(
        "θ_u", turn, "half a turn, forward or back, to be from 0 to below 360°", ("direction", "half a turn")
    )
    found.add(
        "β_1 = θ_v − θ_1 + θ_u",
        "180° is a head sea, a convention",
        ("direction", "direction of wave travel from the bow"),
    )
    omega = np.array([2 * math.pi / first.tp])
    damping = None
    if vessel.oscillator is not None:
        return ()
    response = vessel.response
    parts = response.transfer(omega, beta)
    complete = complex(hoist_transfer(vessel, omega, beta, damping)[0, 0])
    x, y = vessel.arms
    known = f"H_z at Tp_1 and β_1, {vessel_words(vessel)}"
    for symbol, place in (("η3", "heave"), ("η4", "roll"), ("η5", "pitch")):
        value = (
            complex(np.asarray(getattr(parts, place)).ravel()[0])
            if not vessel.heave_only or place == "heave"
            else 0j
        )
        kind = "heave_per_wave" if place == "heave" else "turn_per_wave"
        for side, number in (("c", value.real), ("s", value.imag)):
            how = "in step with the wave" if side == "c" else "a quarter of a cycle from it"
            found.know(f"{symbol}_{side}", number, known, (kind, f"{place} per wave, {how}"))
    found.know(
        "l_x",
        x,
        "Vessel: hoist forward of the point that its response holds for",
        ("length", "hoist forward of the point of the response"),
    )
    found.know(
        "l_y",
        y,
        "Vessel: hoist to port of the point that its response holds for",
        ("length", "hoist to port of it"),
    )
    for side in ("c", "s"):
        found.add(
            f"Z_{side} = η3_{side} + l_y × η4_{side} − l_x × η5_{side}",
            "a rigid body with small rotations",
            ("heave_per_wave", "heave at the hoist per wave, that part"),
        )
    found.add(
        "H_z1 = √(Z_c² + Z_s²)",
        DEFINITION,
        (
            "heave_per_wave",
            "one point of H_z, for reading the integral by: heave at the hoist per wave at Tp_1 and β_1",
        ),
    )
    if not math.isclose(
        abs(complete),
        abs(parts.heave.ravel()[0] + y * parts.roll.ravel()[0] - x * parts.pitch.ravel()[0]),
        rel_tol=1e-9,
    ):
        return ()
    return ("β_1", "H_z1")
