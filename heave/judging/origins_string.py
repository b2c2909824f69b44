"""Origins of what the string, its well, the hoisting path and slow travel give: no sea is in it."""

from __future__ import annotations

from typing import Final

from heave.compensator import Drawworks
from heave.formula import Symbol
from heave.hoisting import LINES_OF_CROWN, HoistingPath
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
    found.fields(pipe, "String", ρ_mud="mud_density", ρ_steel="steel_density", m_g="handling_mass")
    found.add("W_g = m_g × g", "weight", ("force", "top drive and handling gear"))
    count = len(pipe.sections)
    for place, section in enumerate(pipe.sections, 1):
        room, called = f"String, section {place}", f"section {place}, {section.name}"
        measured = (
            ("l", "length", "length"),
            ("OD", "outer_diameter", "outside diameter"),
            ("ID", "inner_diameter", "inside diameter"),
            ("q", "linear_mass", "mass per metre in air"),
            ("E", "youngs_modulus", "Young's modulus"),
            ("Y", "yield_strength", "yield strength"),
        )
        about = {f"{symbol}_{place}": (name, f"{what} of {called}") for symbol, name, what in measured}
        found.fields(section, room, **about)
        found.add(
            f"A_{place} = π / 4 × (OD_{place}² − ID_{place}²)",
            DEFINITION,
            ("area", f"cross-section of {called}"),
        )
        found.add(
            f"k_{place} = E_{place} × A_{place} / l_{place}", _HOOKE, ("stiffness", f"stiffness of {called}")
        )
        weight, source = f"q_{place} × g × (1 − ρ_mud / ρ_steel)", _7G
        if pipe.inside != "filled":
            weight = f"(q_{place} − ρ_mud × π / 4 × OD_{place}²) × g"
            source = "Archimedes; the string is empty over a closed float"
        found.add(f"W_{place} = l_{place} × {weight}", source, ("force", f"weight in mud of {called}"))
        pulled = f"area in tension of {called}"
        if section.tensile_area is None:
            found.add(f"A_t{place} = A_{place}", "new tube", ("area", pulled))
        else:
            found.fields(section, room, **{f"A_t{place}": ("tensile_area", pulled)})
    found.add(f"k_s = 1 / ({_sum('1 / k_{0}', count)})", "springs in series")
    found.add(f"m_s = {_sum('l_{0} × q_{0}', count)}", DEFINITION)
    found.add("Z_w = √(E_1 × A_1 × q_1)", ROD)
    for symbol, of, kind, what in (
        ("E_b", "E", "modulus", "Young's modulus"),
        ("A_b", "A", "area", "cross-section"),
        ("m_b", "q", "linear_mass", "mass per metre"),
    ):
        found.add(f"{symbol} = {of}_{count}", "the lowest section", (kind, f"{what} of the lowest section"))
    _hookload(found, d)
    _tensions(found, d)


def _sum(part: str, count: int) -> str:
    """The parts of all sections added up."""
    return " + ".join(part.format(place) for place in range(1, count + 1))


def _hookload(found: Origins, d: Demands) -> None:
    """Hookload judged: from the sections, hanging free or as the well carries them, or as entered; with drag."""
    plan, pipe, well = d.plan, d.plan.string, d.plan.well
    drawn = _drawn(d)
    if well is not None:
        _in_the_well(found, d)
    if drawn:
        found.add("D = D_w", "friction acts the other way on the way down")
    else:
        found.fields(pipe, "String", D="drag")
    if plan.hookload_entered is not None and drawn:
        found.fields(plan, "Plan", W_e=("hookload_entered", "hookload off bottom, still, as entered"))
        found.add("W_h = W_e + D_w", BALANCE)
    elif plan.hookload_entered is not None:
        found.fields(plan, "Plan", W_h="hookload_entered")
    else:
        rubs = well is not None and well.has_friction
        drag = " + D_w" if drawn else " + D" if not rubs and pipe.drag > 0 else ""
        hung = _sum("W_{0}" if well is None else "V_{0}", len(pipe.sections))
        found.add(f"W_h = {hung} + W_g{drag}", BALANCE)


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
        measured = {
            f"z_{j}": ("length", f"length of interval {j}"),
            f"θ_w{j}": ("inclination", f"inclination of interval {j}"),
            f"μ_w{j}": ("friction", f"friction coefficient of interval {j}"),
        }
        found.fields(interval, f"Well, interval {j}", **measured)
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
        drag = "" if pipe.drag == 0 else " + D_a" if _drawn(d) else " + D"
        if drag == " + D_a":
            found.fields(pipe, "String", D_a=("drag", "drag allowance of the string"))
        found.add(
            f"W_v = {_sum('W_{0}', len(pipe.sections))} + W_g{drag}",
            BALANCE,
            ("force", "hookload if the string hung free, which is the safe side for its lower sections"),
        )
        found.add("W_t = max(W_h, W_v)", BALANCE, ("force", "hookload that tension is worked from"))
    top = "W_t" if hung else "W_h"
    for letter, locked, added in (("", "", sea_adds(d)[-1].result.value), ("k", ", unit locked", d.locked)):
        place = int(most_used(d, added)[0])
        whose = f"the most used section, number {place + 1}, {pipe.sections[place].name}{locked}"
        above = "".join(f" − W_{i}" for i in range(1, place + 1))
        tension: Symbol = ("force", f"static tension at the top of {whose}")
        found.add(f"T_s{letter} = {top} − W_g{above}", BALANCE, tension)
        area = f"A_t{place + 1} × Y_{place + 1}"
        found.add(f"T_y{letter} = {area}", _7G, ("force", f"area × yield of {whose}"))


def _drawn(d: Demands) -> bool:
    well = d.plan.well
    return well is not None and well.has_friction and d.plan.operation.about.runs_string


def masses(d: Demands, found: Origins) -> None:
    """What hangs and moves with block, unit and hook, and the reeving."""
    path, unit = d.plan.hoisting, d.plan.compensator
    if path is None or not unit.under_crown:
        found.fields(unit, "Compensator", m_c="moving_mass")
    if path is not None:
        _path(found, d.plan, path)
    else:
        found.know("r_c", 1.0, DEFINITION)
        if isinstance(unit, Drawworks):
            found.fields(unit, "Compensator", n_l="lines")
    found.know("a_b", 0.0, "the block stands still: the crown moves, or the drawworks works")
    found.add("m_h = m_g + m_c", DEFINITION)
    found.add("m_v = m_c", DEFINITION, ("mass", "moving parts between the block and the hook"))
    found.add("m_r = m_g + m_c + m_s / 3", "a third of a spring moves with its end (Rayleigh)")


_PATH: Final = "Hoisting path"


def _path(found: Origins, plan: Plan, path: HoistingPath) -> None:
    unit = plan.compensator
    found.fields(plan.operation, "Operation", v_o="hoisting_speed", v_w="lowering_speed")
    found.fields(
        path,
        _PATH,
        **{"n_l": "lines", "P_w": "drawworks_power", "m_w": "rotating_mass", "h_s": "crown_stop"},
        **{"h_b": "highest_block", "h_l": "lowest_block", "c_h": "clearance"},
        m_bl=("block_mass", "travelling block"),
    )
    gears = [gear for gear in ("low", "middle", "high") if getattr(path, f"{gear}_gear_speed") is not None]
    for symbols, names in (
        (("v_1", "v_2"), [f"{gear}_gear_speed" for gear in gears]),
        (("F_1", "F_2"), [f"{gear}_gear_pull" for gear in gears]),
        (("D_f",), ["line_factor", "line_factor_heavy"]),
    ):
        either = tuple(Known(float(getattr(path, name)), origin_of(path, name, _PATH)) for name in names)
        found.entries.update(dict.fromkeys(symbols, either))
    found.know("K", path.sheave_factor, f"API RP 9B: {path.bearing} bearings")
    lines: Symbol = ("mass", "lines between crown and block")
    if path.line is not None and path.drop is not None:
        found.fields(path, _PATH, l_d=("drop", "length of each line, block at its lowest"))
        table = "mass per metre of the drilling line, given or from API RP 9B's table"
        found.know("q_l", path.line.linear_mass, table, ("linear_mass", "mass per metre of the line"))
        found.add("m_li = n_l × l_d × q_l", DEFINITION, lines)
    else:
        found.know("m_li", 0.0, "line or length of the lines not given", lines)
    body = ""
    if unit.under_block:
        found.fields(path, _PATH, m_bo=("body_mass", "body of the unit under the block"))
        body = " + m_bo"
    hung: Symbol = ("mass", "block, body of an in-line unit, and lines")
    found.add(f"m_lb = m_bl + m_li{body}", DEFINITION, hung)
    found.add("m_t = m_bl + m_li", DEFINITION, ("mass", "travelling block"))
    ratio: Symbol = ("number", "load under the crown over load at the hook, lines and two over lines")
    if unit.under_crown and path.lines_of_crown != LINES_OF_CROWN[0]:
        balance = "length of the line and balance of work without friction"
        found.add("r_c = (n_l + 2) / n_l", balance, ratio)
    else:
        found.know("r_c", 1.0, f"{_PATH}: lines {path.lines_of_crown}", ratio)
    if unit.under_crown:
        found.fields(unit, "Compensator", m_u=("moving_mass", "moving parts of the unit itself"))
        found.fields(path, _PATH, m_cr=("crown_mass", "crown block"))
        found.add("m_c = (m_u + m_cr) / r_c + m_lb", BALANCE)
        weigh = "crown block and moving parts of the unit, as they weigh at the hook"
        found.add("m_k = m_c − m_lb", DEFINITION, ("mass", weigh))
    strength = None if path.line is None else path.line.strength
    found.know("F_br", strength, "strength of the drilling line, given or from API RP 9B's table")
