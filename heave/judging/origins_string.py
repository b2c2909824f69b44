"""Origins of what the string, its well, the hoisting path and slow travel give: no sea is in it."""

from __future__ import annotations

from typing import Final

from heave.formula import Symbol
from heave.hoisting import LINES_OF_CROWN
from heave.judging.demands import Demands
from heave.judging.formulas import BALANCE, ROD
from heave.judging.origins import DEFINITION, Known, Origins, origin_of
from heave.judging.rules.hook import sea_adds
from heave.judging.rules.string import most_used
from heave.planning.plan import Plan
from heave.units import STANDARD_GRAVITY

_7G: Final = "API RP 7G: buoyancy factor of a filled string, and area × minimum yield"
_HOOKE: Final = "Hooke's law"
_SOFT_STRING: Final = (
    "soft string on straight intervals, without the term of curvature (Johancsik, Friesen and Dawson, Journal of "
    "Petroleum Technology, June 1984)"
)


def string(d: Demands, found: Origins) -> None:
    """Sections, their weight in mud and stiffness, the hookload, and tension in the sections that are judged."""
    pipe = d.plan.string
    found.know("g", STANDARD_GRAVITY, "standard gravity, exact (3rd CGPM, 1901)")
    found.field("ρ_mud", pipe, "mud_density", "String")
    found.field("ρ_steel", pipe, "steel_density", "String")
    found.field("m_g", pipe, "handling_mass", "String")
    found.add("W_g = m_g × g", "weight", ("force", "top drive and handling gear"))
    count = len(pipe.sections)
    for place, section in enumerate(pipe.sections, 1):
        room, called = f"String, section {place}", f"section {place}, {section.name}"
        for name, symbol, kind, what in (
            ("length", "l", "length", "length"),
            ("outer_diameter", "OD", "diameter", "outside diameter"),
            ("inner_diameter", "ID", "diameter", "inside diameter"),
            ("linear_mass", "q", "linear_mass", "mass per metre in air"),
            ("youngs_modulus", "E", "modulus", "Young's modulus"),
            ("yield_strength", "Y", "stress", "yield strength"),
        ):
            found.field(f"{symbol}_{place}", section, name, room, (kind, f"{what} of {called}"))
        found.add(
            f"A_{place} = π / 4 × (OD_{place}² − ID_{place}²)",
            DEFINITION,
            ("area", f"cross-section of {called}"),
        )
        found.add(
            f"k_{place} = E_{place} × A_{place} / l_{place}", _HOOKE, ("stiffness", f"stiffness of {called}")
        )
        weight: dict[str, Symbol] = {f"W_{place}": ("force", f"weight in mud of {called}")}
        if pipe.inside == "filled":
            found.add(
                f"W_{place} = l_{place} × q_{place} × g × (1 − ρ_mud / ρ_steel)",
                _7G,
                **weight,
                g=("acceleration", "standard gravity"),
            )
        else:
            found.add(
                f"W_{place} = l_{place} × (q_{place} − ρ_mud × π / 4 × OD_{place}²) × g",
                "Archimedes; the string is empty over a closed float",
                **weight,
            )
        if section.tensile_area is None:
            found.add(f"A_t{place} = A_{place}", "new tube", ("area", f"area in tension of {called}"))
        else:
            found.field(
                f"A_t{place}", section, "tensile_area", room, ("area", f"area in tension of {called}")
            )
    found.add(
        f"k_s = 1 / ({' + '.join(f'1 / k_{i}' for i in range(1, count + 1))})",
        "springs in series",
        ("stiffness", "string as a spring"),
    )
    found.add(f"m_s = {' + '.join(f'l_{i} × q_{i}' for i in range(1, count + 1))}", DEFINITION)
    found.add(f"E_b = E_{count}", "the lowest section", ("modulus", "Young's modulus of the lowest section"))
    found.add("Z_w = √(E_1 × A_1 × q_1)", ROD)
    found.add(f"A_b = A_{count}", "the lowest section", ("area", "cross-section of the lowest section"))
    found.add(
        f"m_b = q_{count}", "the lowest section", ("linear_mass", "mass per metre of the lowest section")
    )
    _hookload(found, d)
    _tensions(found, d)


def _hookload(found: Origins, d: Demands) -> None:
    """Hookload judged: from the sections, hanging free or as the well carries them, or as entered; with drag."""
    plan, pipe, well = d.plan, d.plan.string, d.plan.well
    count, about = len(pipe.sections), {"W_h": ("force", "hookload off bottom")}
    rubs = well is not None and well.has_friction
    drawn = rubs and plan.operation.about.runs_string
    if well is not None:
        _in_the_well(found, d)
    if drawn:
        found.add(
            "D = D_w",
            "friction acts the other way on the way down",
            ("force", "drag in the hookload, which acts the other way as the string goes down"),
        )
    else:
        found.field("D", pipe, "drag", "String")
    if plan.hookload_entered is not None:
        if drawn:
            found.field(
                "W_e", plan, "hookload_entered", "Plan", ("force", "hookload off bottom, still, as entered")
            )
            found.add("W_h = W_e + D_w", BALANCE, **about)
        else:
            found.field("W_h", plan, "hookload_entered", "Plan")
        return
    letter = "W" if well is None else "V"
    parts = [f"{letter}_{i}" for i in range(1, count + 1)] + ["W_g"]
    if drawn:
        parts.append("D_w")
    elif not rubs and pipe.drag > 0:
        parts.append("D")
    drag: Symbol = ("force", "drag in the hookload, which acts the other way as the string goes down")
    found.add(f"W_h = {' + '.join(parts)}", BALANCE, **about, **({"D": drag} if "D" in parts else {}))


def _in_the_well(found: Origins, d: Demands) -> None:
    """What of each section pulls along the hole, and what its friction adds, interval by interval."""
    well, pipe = d.plan.well, d.plan.string
    assert well is not None
    bounds, tops = [float(one) for one in well.bounds], [0.0]
    for section in pipe.sections:
        tops.append(tops[-1] + section.length)
    found.know("l_0", 0.0, "the rotary", ("length", "depth of the rotary, along the hole"))
    pulls, drags = [], []
    for j, interval in enumerate(well.intervals, 1):
        room = f"Well, interval {j}"
        found.field(f"z_{j}", interval, "length", room, ("length", f"length of interval {j}"))
        found.field(f"θ_w{j}", interval, "inclination", room, ("angle", f"inclination of interval {j}"))
        found.field(
            f"μ_w{j}", interval, "friction", room, ("number", f"friction coefficient of interval {j}")
        )
        before = f"e_{j - 1} + " if j > 1 else ""
        found.add(f"e_{j} = {before}z_{j}", DEFINITION, ("length", f"end of interval {j}, along the hole"))
    for i, section in enumerate(pipe.sections, 1):
        before = f"b_{i - 1} + " if i > 1 else ""
        found.add(
            f"b_{i} = {before}l_{i}", DEFINITION, ("length", f"lower end of section {i}, along the hole")
        )
        pulled, rubbed = [], []
        for j, interval in enumerate(well.intervals, 1):
            top, end = max(tops[i - 1], bounds[j - 1]), min(tops[i], bounds[j])
            if end - top <= 1e-9 * end:
                continue
            name = f"l_{i}i{j}"
            low = f"b_{i}" if tops[i] <= bounds[j] else f"e_{j}"
            high = f"b_{i - 1}" if tops[i - 1] >= bounds[j - 1] else f"e_{j - 1}"
            high = "l_0" if high in ("b_0", "e_0") else high
            found.add(
                f"{name} = {low} − {high}", DEFINITION, ("length", f"length of section {i} in interval {j}")
            )
            pulled.append(f"{name} × cos(θ_w{j})")
            if interval.friction > 0:
                rubbed.append(f"{name} × μ_w{j} × sin(θ_w{j})")
        found.add(
            f"V_{i} = W_{i} / l_{i} × ({' + '.join(pulled)})",
            _SOFT_STRING,
            ("force", f"pull along the hole of section {i}, {section.name}, turning"),
        )
        pulls.append(f"V_{i}")
        if rubbed:
            found.add(
                f"D_{i} = W_{i} / l_{i} × ({' + '.join(rubbed)})",
                _SOFT_STRING,
                ("force", f"friction of the well on section {i}, drawn up"),
            )
            drags.append(f"D_{i}")
    if drags:
        found.add(f"D_w = {' + '.join(drags)}", _SOFT_STRING)
    else:
        found.know("D_w", 0.0, "nothing leans on the wall")


def _tensions(found: Origins, d: Demands) -> None:
    """Static tension and yield of the sections that the tension checks are of, named."""
    plan, pipe = d.plan, d.plan.string
    hung = plan.well is not None and plan.hookload_entered is None
    if hung:
        parts = (
            [f"W_{i}" for i in range(1, len(pipe.sections) + 1)]
            + ["W_g"]
            + (["D"] if pipe.drag > 0 and not _drawn(d) else [])
        )
        if pipe.drag > 0 and _drawn(d):
            found.field("D_a", pipe, "drag", "String", ("force", "drag allowance of the string"))
            parts.append("D_a")
        found.add(
            f"W_v = {' + '.join(parts)}",
            BALANCE,
            ("force", "hookload if the string hung free, which is the safe side for its lower sections"),
        )
        found.add("W_t = max(W_h, W_v)", BALANCE, ("force", "hookload that tension is worked from"))
    top = "W_t" if hung else "W_h"
    shown: Symbol = ("force", "hookload off bottom") if top == "W_h" else found.about["W_t"]
    for static, capacity, added in (
        ("T_s", "T_y", sea_adds(d)[-1].result.value),
        ("T_sk", "T_yk", d.locked),
    ):
        place = int(most_used(d, added)[0])
        name = pipe.sections[place].name
        whose = f"the most used section, number {place + 1}, {name}" + (
            ", unit locked" if static == "T_sk" else ""
        )
        above = "".join(f" − W_{i}" for i in range(1, place + 1))
        found.add(
            f"{static} = {top} − W_g{above}",
            BALANCE,
            ("force", f"static tension at the top of {whose}"),
            **{top: shown},
        )
        found.add(f"{capacity} = A_t{place + 1} × Y_{place + 1}", _7G, ("force", f"area × yield of {whose}"))


def _drawn(d: Demands) -> bool:
    well = d.plan.well
    return well is not None and well.has_friction and d.plan.operation.about.runs_string


def masses(d: Demands, found: Origins) -> None:
    """What hangs and moves with block, unit and hook, and the reeving."""
    path, unit = d.plan.hoisting, d.plan.compensator
    own: Symbol = ("mass", "moving parts of the unit itself")
    if path is None or unit.mounting != "crown":
        found.field("m_c", unit, "moving_mass", "Compensator")
    if path is not None:
        _path(found, d, own)
    else:
        found.know("r_c", 1.0, DEFINITION)
        if unit.lines is not None:
            found.field("n_l", unit, "lines", "Compensator")
    found.know("a_b", 0.0, "the block stands still: the crown moves, or the drawworks works")
    found.add("m_h = m_g + m_c", DEFINITION)
    found.add("m_v = m_c", DEFINITION, ("mass", "moving parts between the block and the hook"))
    found.add(
        "m_r = m_g + m_c + m_s / 3",
        "a third of a spring moves with its end (Rayleigh)",
        ("mass", "mass that rings: what moves with the hook and a third of the string"),
    )


def _at_speed(found: Origins, plan: Plan) -> None:
    """Planned speeds of the hook, and what the drawworks gives at them."""
    path = plan.hoisting
    found.field("v_o", plan.operation, "hoisting_speed", "Operation")
    found.field("v_w", plan.operation, "lowering_speed", "Operation")
    found.field("P_w", path, "drawworks_power", "Hoisting path")
    gears = [gear for gear in ("low", "middle", "high") if getattr(path, f"{gear}_gear_speed") is not None]
    for name, symbols in (("speed", ("v_1", "v_2")), ("pull", ("F_1", "F_2"))):
        fields = [f"{gear}_gear_{name}" for gear in gears]
        either = tuple(Known(getattr(path, one), origin_of(path, one, "Hoisting path")) for one in fields)
        found.entries.update(dict.fromkeys(symbols, either))


def _path(found: Origins, d: Demands, own: Symbol) -> None:
    path, unit = d.plan.hoisting, d.plan.compensator
    assert path is not None
    found.field("n_l", path, "lines", "Hoisting path")
    _at_speed(found, d.plan)
    found.know("K", path.sheave_factor, f"API RP 9B: {path.bearing} bearings")
    found.field("m_bl", path, "block_mass", "Hoisting path", ("mass", "travelling block"))
    if path.line is not None and path.drop is not None:
        found.field(
            "l_d", path, "drop", "Hoisting path", ("length", "length of each line, block at its lowest")
        )
        found.know(
            "q_l",
            path.line.linear_mass,
            "mass per metre of the drilling line, given or from API RP 9B's table",
            ("linear_mass", "mass per metre of the line"),
        )
        found.add(
            "m_li = n_l × l_d × q_l",
            DEFINITION,
            ("mass", "lines between crown and block"),
            n_l=("number", "lines strung"),
        )
    else:
        found.know(
            "m_li", 0.0, "line or length of the lines not given", ("mass", "lines between crown and block")
        )
    body = unit.mounting == "block"
    if body:
        found.field("m_bo", path, "body_mass", "Hoisting path", ("mass", "body of the unit under the block"))
    found.add(
        f"m_lb = m_bl + m_li{' + m_bo' if body else ''}",
        DEFINITION,
        ("mass", "block, body of an in-line unit, and lines"),
    )
    found.add("m_t = m_bl + m_li", DEFINITION, ("mass", "travelling block"))
    ratio: Symbol = ("number", "load under the crown over load at the hook, lines and two over lines")
    if unit.mounting == "crown" and path.lines_of_crown != LINES_OF_CROWN[0]:
        found.add(
            "r_c = (n_l + 2) / n_l",
            "length of the line and balance of work without friction",
            ratio,
            n_l=("number", "lines strung"),
        )
    else:
        found.know("r_c", 1.0, f"Hoisting path: lines {path.lines_of_crown}", ratio)
    if unit.mounting == "crown":
        found.field("m_u", unit, "moving_mass", "Compensator", own)
        found.field("m_cr", path, "crown_mass", "Hoisting path", ("mass", "crown block"))
        found.add("m_c = (m_u + m_cr) / r_c + m_lb", BALANCE, ("mass", "moving parts of the compensator"))
        found.add(
            "m_k = m_c − m_lb",
            DEFINITION,
            ("mass", "crown block and moving parts of the unit, as they weigh at the hook"),
        )
    strength = None if path.line is None else path.line.strength
    found.know("F_br", strength, "strength of the drilling line, given or from API RP 9B's table")
    found.entries["D_f"] = tuple(
        Known(float(getattr(path, name)), origin_of(path, name, "Hoisting path"))
        for name in ("line_factor", "line_factor_heavy")
    )
    for symbol, name in (
        ("m_w", "rotating_mass"),
        ("h_s", "crown_stop"),
        ("h_b", "highest_block"),
        ("h_l", "lowest_block"),
        ("c_h", "clearance"),
    ):
        found.field(symbol, path, name, "Hoisting path")
