"""Origins of what sea and vessel give: wave systems, moments of the heave, and what a locked unit would feel."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.formula import Formula, Symbol
from heave.judging.demands import Demands
from heave.judging.formulas import ACCELERATION, HEAVE, HEAVE_SPEED
from heave.judging.origins import DEFINITION, Origins, add_cycles
from heave.judging.rules.procedures import PITCH, ROLL
from heave.sea import WEIGHTS
from heave.sea.spectra import GAMMA_RULE_RANGE
from heave.vessel import (
    AmplitudeStatistics,
    BoxHull,
    Motion,
    ResponseTable,
    Vessel,
    hoist_moments,
    relative_heading,
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
        found.fields(system, room, **{hs: ("hs", f"significant wave height of {called}")})
        peak: Symbol = ("period", f"peak period of {called}")
        if system.period is not None and system.period_kind == "Tp":
            found.fields(system, room, **{tp: ("period", peak[1])})
        elif system.period is not None:
            given = f"{system.period_kind}_{place}"
            found.fields(system, room, **{given: ("period", f"{system.period_kind} of {called}")})
            words = f"the peak period at which the {system.shape} spectrum has that {system.period_kind}"
            found.state(tp, system.tp, words, "moments of the spectrum", peak, given)
        else:
            found.state(tp, system.tp, "the period that the height sets", _SHAPES[system.shape], peak, hs)
        if system.shape == "jonswap":
            factor: Symbol = ("number", f"peak factor of {called}")
            if system.gamma is not None:
                found.fields(system, room, **{gamma: ("gamma", factor[1])})
            else:
                _peak_factor(found, gamma, hs, tp, system.tp / math.sqrt(system.hs), factor)
            names.append(gamma)
    heights = [name for name in names if name.startswith("Hs_")]
    if heights:
        found.add(f"H_s = {_energies(heights)}", _ENERGIES, whole)
        _highest(found, d, heights)
    depth = ""
    if state.depth is not None:
        depth = f" in {state.depth:g}\u00a0m of water (TMA factor: Bouws and others, 1985)"
    shapes = [
        f"{one.label}: {_SHAPES[one.shape]}, spreading {one.spreading}"
        + ("" if one.spreading == "long-crested" else f" with exponent {one.spreading_exponent:g}")
        for one in state.systems
    ]
    of = "; ".join(shapes) or "measured, in its own bands"
    about = ("variance", f"variance of the sea; S(ω) is the spectrum of the waves{depth}. {of}")
    found.moment("m_w0", 0, float(state.spectrum() @ WEIGHTS), "", about, *names)
    summed: Symbol = ("length", "the same height from the spectrum as it is summed")
    found.add("H_m = 4 × √(m_w0)", "Hs = 4 √m₀, by definition", summed)
    found.beside["m_w0"] = ("H_s", "H_m")


_ENERGIES: Final = "energies of wave systems add"


def _energies(heights: list[str]) -> str:
    """The height of several systems together, as text."""
    return f"√({' + '.join(f'{one}²' for one in heights)})"


def _peak_factor(found: Origins, gamma: str, hs: str, tp: str, ratio: float, about: Symbol) -> None:
    """γ by rule: exp(5.75 − 1.15 Tp/√Hs) between its ends."""
    low, high = GAMMA_RULE_RANGE
    source = "DNV-RP-C205, 3.5.5: 5 up to Tp/√Hs of 3.6, 1 from 5 on, Tp in seconds and Hs in metres"
    found.know("t_u", 1.0, DEFINITION, ("period", "one second"))
    found.know("h_u", 1.0, DEFINITION, ("length", "one metre"))
    if low < ratio < high:
        found.add(f"{gamma} = exp(5.75 − 1.15 × {tp} / t_u / √({hs} / h_u))", source, about)
    else:
        end = 5.0 if ratio <= low else 1.0
        found.state(gamma, end, f"the end of the rule, Tp/√Hs being {ratio:.2f}", source, about, hs, tp)


def _highest(found: Origins, d: Demands, heights: list[str]) -> None:
    """The highest system and all others together, as limits in wave height ask for them."""
    by_height = sorted(zip((one.hs for one in d.plan.sea.systems), heights, strict=True), reverse=True)
    first, *others = (name for _, name in by_height)
    found.add(f"H_1 = {first}", DEFINITION, ("length", "significant wave height of the highest system"))
    together: Symbol = ("length", "significant wave height of all others together")
    if others:
        found.add(f"H_2 = {_energies(others)}", _ENERGIES, together)
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
    (0, "σ_z", "T", "N_z", "length", "heave at the hoist"),
    (2, "σ_v", "T_v", "N_v", "speed", "speed of heave at the hoist"),
    (4, "σ_a", "T_a", "N_a", "acceleration", "acceleration of heave at the hoist"),
)


def heave(d: Demands, found: Origins) -> None:
    """Moments of the heave with a factor of 1, the factor, and standard deviations, periods and cycles of its rates."""
    plan, table = d.plan, d.moments.still
    found.fields(plan, "Plan", C_h="heave_calibration", e_h="calibration_margin", t_e="exposure", p="risk")
    found.add("f_h = C_h × (1 + e_h)", "calibration by a record, and its margin")
    words = vessel_words(plan.vessel)
    kinds = ("variance", "speed_variance", "acceleration_variance", "jerk_variance")
    names = ("heave", "its speed", "its acceleration", "the rate of that")
    for row, (kind, name) in enumerate(zip(kinds, names, strict=True)):
        given = "at the hoist by the response as given; H_z(ω, β) is heave per wave"
        about = (kind, f"variance of {name} {given}, {words}")
        found.moment(f"m_z{2 * row}", 2 * row, table[row, 0], "|H_z|² ", about, "m_w0")
    for order, sigma, period, cycles, kind, what in _ORDERS:
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
    m0, m2 = hoist_moments(d.plan.vessel, d.plan.heading, d.plan.sea.batch(), motion)[0, :2].tolist()
    for order, value, kind in ((0, m0, "angle_variance"), (2, m2, "angle_rate_variance")):
        about = (kind, f"variance of {motion}{' rate' if order else ''}; H_{letter} is {motion} per wave")
        found.moment(f"m_{letter}{order}", order, value, f"|H_{letter}|² ", about, "m_w0")
    what, moments = f"{motion} of the vessel", (f"m_{letter}0", f"m_{letter}2")
    found.add(f"{sigma} = √({moments[0]})", DEFINITION, ("angle", f"standard deviation of {what}"))
    add_cycles(found, cycles, f"T_{letter}", *moments, what, m2 > 0)


def _transfer(found: Origins, d: Demands) -> tuple[str, ...]:
    """Heave at the hoist per wave at the peak of the first system, from its own direction: one point of H_z."""
    plan = d.plan
    if not plan.sea.systems:
        return ()
    first, vessel = plan.sea.systems[0], plan.vessel
    beta = float(relative_heading(plan.heading, first.direction_from))
    comes = "direction that the first system comes from"
    found.fields(plan, "Plan", θ_v=("heading", "heading of the vessel"))
    found.fields(first, f"Sea, {first.label}", θ_1=("direction_from", comes))
    turn = beta - (plan.heading - first.direction_from)
    half: Symbol = ("direction", "half a turn")
    found.know("θ_u", turn, "half a turn, forward or back, to be from 0 to below 360°", half)
    travels: Symbol = ("direction", "direction of wave travel from the bow")
    found.add("β_1 = θ_v − θ_1 + θ_u", "180° is a head sea, a convention", travels)
    if vessel.oscillator is not None:
        return ()
    parts = vessel.response.transfer(np.array([2 * math.pi / first.tp]), beta)
    known = f"H_z at Tp_1 and β_1, {vessel_words(vessel)}"
    for symbol, motion, kind in (
        ("η3", "heave", "heave_per_wave"),
        ("η4", "roll", "turn_per_wave"),
        ("η5", "pitch", "turn_per_wave"),
    ):
        value = complex(getattr(parts, motion)[0, 0])
        found.know(f"{symbol}_c", value.real, known, (kind, f"{motion} per wave, in step with the wave"))
        late = f"{motion} per wave, a quarter of a cycle from it"
        found.know(f"{symbol}_s", value.imag, known, (kind, late))
    x, y = vessel.arms
    point = "of the point that its response holds for"
    forward: Symbol = ("length", "hoist forward of the point of the response")
    found.know("l_x", x, f"Vessel: hoist forward {point}", forward)
    found.know("l_y", y, f"Vessel: hoist to port {point}", ("length", "hoist to port of it"))
    for side in ("c", "s"):
        part = f"η3_{side} + l_y × η4_{side} − l_x × η5_{side}"
        about = ("heave_per_wave", "heave at the hoist per wave, that part")
        found.add(f"Z_{side} = {part}", "a rigid body with small rotations", about)
    one = "one point of H_z, for reading the integral by: heave at the hoist per wave at Tp_1 and β_1"
    found.add("H_z1 = √(Z_c² + Z_s²)", DEFINITION, ("heave_per_wave", one))
    return ("β_1", "H_z1")
