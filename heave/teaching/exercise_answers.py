"""Answers of the exercises, each one formula with its numbers."""

from __future__ import annotations

import math

from heave.judging.working import Step, Term
from heave.simulation.setups import SHUT
from heave.teaching.exercise_ground import Ground
from heave.units import STANDARD_GRAVITY


def weight_in_mud(g: Ground) -> Step:
    """Buoyed weight, W (1 − ρ_mud/ρ_steel) (API RP 7G)."""
    return Step(
        "W_mud",
        "{W_air} × (1 − {d_mud} / {d_steel})",
        {
            "W_air": Term(g.weight_in_air, "force", "weight of the pipe in air"),
            "d_mud": Term(g.mud_density, "density", "density of the mud"),
            "d_steel": Term(g.steel_density, "density", "density of the steel"),
        },
        Term(g.weight_in_air * (1 - g.mud_density / g.steel_density), "force", "weight in mud"),
    )


def carried(g: Ground) -> Step:
    """Load on the compensator: hookload + its own moving parts − WOB."""
    return Step(
        "F_0",
        "{W_h} + {W_c} − {WOB}",
        {
            "W_h": Term(g.hookload, "force", "hookload off bottom"),
            "W_c": Term(g.moving_weight, "force", "moving parts of the compensator"),
            "WOB": Term(g.wob, "force", "weight on bit"),
        },
        Term(g.hookload + g.moving_weight - g.wob, "force", "load on the compensator"),
    )


def set_pressure(g: Ground) -> Step:
    """Gauge pressure, load over effective area."""
    return Step(
        "P",
        "{F_0} / {A_e}",
        {
            "F_0": Term(g.load, "force", "load on the compensator"),
            "A_e": Term(g.area, "area", "effective area"),
        },
        Term(g.load / g.area, "pressure", "gauge pressure to set"),
    )


def friction(g: Ground) -> Step:
    """Seal friction, a share of the load."""
    return Step(
        "F_f",
        "{mu} × {F_0}",
        {
            "mu": Term(g.friction_fraction, "fraction", "seal friction over load"),
            "F_0": Term(g.load, "force", "load on the compensator"),
        },
        Term(g.friction_fraction * g.load, "force", "friction, which weight on bit can differ by"),
    )


def gas_stiffness(g: Ground) -> Step:
    """n (F0 + p_a A_e)/(φ S)."""
    return Step(
        "k_c",
        "{n} × {F_g} / ({phi} × {S})",
        {
            "n": Term(g.index, "number", "polytropic index"),
            "F_g": Term(g.gas_load, "force", "load on the gas, the air's push included"),
            "phi": Term(g.volume_ratio, "number", "open gas over swept volume"),
            "S": Term(g.stroke, "length", "stroke"),
        },
        Term(g.index * g.gas_load / (g.volume_ratio * g.stroke), "stiffness", "stiffness of the gas"),
    )


def gas_shut(g: Ground) -> Step:
    """Stiffness goes inversely with the gas that is left."""
    return Step(
        "k_shut",
        "{k_c} / (1 − {s})",
        {
            "k_c": Term(g.gas_stiffness, "stiffness", "stiffness of the gas as it is"),
            "s": Term(SHUT, "fraction", "share shut off"),
        },
        Term(g.gas_stiffness / (1 - SHUT), "stiffness", "stiffness with a bank shut"),
    )


def bare_change(g: Ground, rise: float) -> Step:
    """String stiffness × rise, the hook moving with the vessel."""
    return Step(
        "dWOB",
        "{k_s} × {z}",
        {
            "k_s": Term(g.string_stiffness, "stiffness", "string as a spring"),
            "z": Term(rise, "length", "rise of the vessel"),
        },
        Term(g.string_stiffness * rise, "force", "change of weight on bit"),
    )


def lift_off(g: Ground) -> Step:
    """WOB over string stiffness."""
    return Step(
        "z_lift",
        "{WOB} / {k_s}",
        {
            "WOB": Term(g.wob, "force", "weight on bit"),
            "k_s": Term(g.string_stiffness, "stiffness", "string as a spring"),
        },
        Term(g.wob / g.string_stiffness, "length", "rise at which the bit leaves the rock"),
    )


def series_stiffness(g: Ground) -> Step:
    """Gas and string end to end, k_c k_s/(k_c + k_s)."""
    gas, string = g.gas_stiffness, g.string_stiffness
    return Step(
        "k",
        "{k_c} × {k_s} / ({k_c} + {k_s})",
        {
            "k_c": Term(gas, "stiffness", "stiffness of the gas"),
            "k_s": Term(string, "stiffness", "string as a spring"),
        },
        Term(gas * string / (gas + string), "stiffness", "both end to end"),
    )


def soft_change(g: Ground, rise: float) -> Step:
    """The rise times both springs end to end."""
    stiffness = series_stiffness(g).result.value
    return Step(
        "dWOB",
        "{k} × {z}",
        {
            "k": Term(stiffness, "stiffness", "both springs end to end"),
            "z": Term(rise, "length", "rise of the vessel"),
        },
        Term(stiffness * rise, "force", "change of weight on bit"),
    )


def extreme(g: Ground) -> Step:
    """Level exceeded with probability p in N cycles of a narrow Gaussian motion, σ√(2 ln(N/−ln(1−p)))."""
    return Step(
        "a",
        "{s} × √(2 × ln({N} / −ln(1 − {p})))",
        {
            "s": Term(g.sigma, "length", "standard deviation"),
            "N": Term(g.cycles, "number", "cycles in the exposure"),
            "p": Term(g.risk, "fraction", "accepted risk"),
        },
        Term(
            g.sigma * math.sqrt(2 * math.log(g.cycles / -math.log1p(-g.risk))), "length", "extreme amplitude"
        ),
    )


def nominal_band(g: Ground) -> Step:
    """Elastic swing plus twice the friction."""
    return Step(
        "A_bit",
        "{A_e} + 2 × {F_f}",
        {
            "A_e": Term(g.elastic, "force", "swing from springs and hydraulics"),
            "F_f": Term(g.friction, "force", "seal friction"),
        },
        Term(g.elastic + 2 * g.friction, "force", "nominal swing at the bit"),
    )


def active_left(g: Ground) -> Step:
    """What gain G and delay τ leave over, √(1 + G² − 2G cos(2πτ/T))."""
    left = math.sqrt(1 + g.gain**2 - 2 * g.gain * math.cos(2 * math.pi * g.delay / g.period))
    return Step(
        "left",
        "√(1 + {G}² − 2 × {G} × cos(2π × {t} / {T}))",
        {
            "G": Term(g.gain, "number", "gain"),
            "t": Term(g.delay, "period", "delay"),
            "T": Term(g.period, "period", "period of the heave"),
        },
        Term(left, "fraction", "share of the motion left"),
    )


def time_to_feed(g: Ground) -> Step:
    """Stroke left over rate of penetration."""
    return Step(
        "t",
        "{x} / {ROP}",
        {
            "x": Term(g.room, "length", "stroke left towards gas compressed"),
            "ROP": Term(g.rate, "penetration", "rate of penetration"),
        },
        Term(g.room / g.rate, "duration", "time until it is used up"),
    )


def stuck_amplitude(g: Ground) -> Step:
    """Inertia of what hangs equals the seals at a = μ g/ω²."""
    return Step(
        "a",
        "{mu} × {g} × ({T} / 2π)²",
        {
            "mu": Term(g.friction_fraction, "fraction", "seal friction over load"),
            "g": Term(STANDARD_GRAVITY, "acceleration", "standard gravity"),
            "T": Term(g.period, "period", "period of the heave"),
        },
        Term(
            g.friction_fraction * STANDARD_GRAVITY * (g.period / (2 * math.pi)) ** 2,
            "length",
            "heave amplitude up to which nothing moves",
        ),
    )


def bit_from_cell(g: Ground) -> tuple[Step, ...]:
    """Hook amplitude from the cell, bit force from the hook amplitude."""
    hook = g.cell_swing / g.cell_stiffness
    return (
        Step(
            "y",
            "{A_cell} / {k_cell}",
            {
                "A_cell": Term(g.cell_swing, "force", "swing of the load cell"),
                "k_cell": Term(g.cell_stiffness, "stiffness", "force at the cell per hook movement"),
            },
            Term(hook, "length", "hook amplitude"),
        ),
        Step(
            "A_bit",
            "{k_bit} × {y}",
            {
                "k_bit": Term(g.bit_stiffness, "stiffness", "force at the bit per hook movement"),
                "y": Term(hook, "length", "hook amplitude"),
            },
            Term(g.bit_stiffness * hook, "force", "swing of the bit force"),
        ),
    )
