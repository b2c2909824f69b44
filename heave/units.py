"""Exact unit factors, the only conversions in the project, and the unit systems for display.

Everything inside the library is SI (directions and headings excepted: degrees, compass). A *kind*
names what sort of quantity a number is, and a *unit system* says in which unit each kind is shown.
Factors are exact by definition: international foot, inch and pound (1959), US gallon of 231 in³,
standard gravity 9.80665 m/s² (ISO 80000-3 and NIST SP 811, appendix B). The trade's ton-mile is a short ton
lifted a statute mile, 2000 lbf × 5280 ft, and its tonne-kilometre a tonne lifted a kilometre.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from heave.errors import InputError
from heave.errors import with_unit as with_unit  # noqa: PLC0414  errors write units as well

STANDARD_GRAVITY: Final = 9.80665
"""Standard acceleration of free fall [m/s²], exact (3rd CGPM, 1901)."""

SEA_WATER_DENSITY: Final = 1025.0
"""Density of sea water used throughout [kg/m³]."""

_FOOT: Final = 0.3048
_INCH: Final = 0.0254
_POUND: Final = 0.45359237
_POUND_FORCE: Final = _POUND * STANDARD_GRAVITY
_GALLON: Final = 231.0 * _INCH**3
_PSI: Final = _POUND_FORCE / _INCH**2
_KLBF_FT: Final = 1e3 * _POUND_FORCE / _FOOT
_TON_MILE: Final = 2000 * _POUND_FORCE * 5280 * _FOOT


@dataclass(frozen=True)
class Unit:
    """A unit: SI value = number × factor + offset."""

    symbol: str
    factor: float
    offset: float = 0.0
    token: str = ""
    """How the unit is written at the end of a column or key name, for example `kn_per_m`."""


@dataclass(frozen=True)
class Kind:
    """A sort of quantity, with the unit it is stored in and the unit each system shows."""

    name: str
    si: Unit
    metric: Unit
    oilfield: Unit


_IN_TOKENS: Final = str.maketrans(
    {"/": "_per_", "·": "", "²": "2", "³": "3", "⁴": "4", "⁶": "6", " ": "_", "°": "deg", "%": "percent"}
)


def _unit(symbol: str, factor: float, token: str = "") -> Unit:
    plain = symbol.lower().translate(_IN_TOKENS).removeprefix("_")
    return Unit(symbol, factor, token=token or plain)


def _squared(
    metric: str, oilfield: str, factor: float, base: float = 1.0, si: str = ""
) -> tuple[Unit, Unit, Unit]:
    """Units of a variance: those of what varies, squared."""
    return _unit(si or metric, 1.0), _unit(metric, base**2), _unit(oilfield, factor**2)


_NONE = _unit("", 1.0, "1")
_M, _FT, _IN, _MM = _unit("m", 1.0), _unit("ft", _FOOT), _unit("in", _INCH), _unit("mm", 1e-3)
_S, _H, _MIN = _unit("s", 1.0), _unit("h", 3600.0), _unit("min", 60.0)
_DEG, _RAD = _unit("°", 1.0), _unit("rad", 1.0)
_N, _KN, _KLBF = _unit("N", 1.0), _unit("kN", 1e3), _unit("klbf", 1e3 * _POUND_FORCE)
_PA, _BAR, _PSI_UNIT = _unit("Pa", 1.0), _unit("bar", 1e5), _unit("psi", _PSI)
_KG, _TONNE, _KLB = _unit("kg", 1.0), _unit("t", 1e3), _unit("klb", 1e3 * _POUND)
_DEG_H, _J = _unit("°/h", 1.0), _unit("J", 1.0)
_PER_S, _PER_H = _unit("/s", 1.0), _unit("/h", 1 / 3600.0)
_M2S, _HZ = _unit("m²·s", 1.0), _unit("Hz", 1.0)
_KLBF_S2_FT2 = _unit("klbf·s²/ft²", 1e3 * _POUND_FORCE / _FOOT**2)
_PERCENT, _DEGREE = _unit("%", 0.01), _unit("°", math.pi / 180)

KINDS: Final[dict[str, Kind]] = {
    kind.name: kind
    for kind in (
        Kind("number", _NONE, _NONE, _NONE),
        Kind("fraction", _NONE, _PERCENT, _PERCENT),
        Kind("length", _M, _M, _FT),
        Kind("diameter", _M, _MM, _IN),
        Kind("area", _unit("m²", 1.0), _unit("cm²", 1e-4), _unit("in²", _INCH**2)),
        Kind("volume", _unit("m³", 1.0), _unit("m³", 1.0), _unit("ft³", _FOOT**3)),
        Kind("period", _S, _S, _S),
        Kind("duration", _S, _H, _H),
        Kind("kelvin", _unit("K", 1.0), _unit("K", 1.0), _unit("°F", 5 / 9, "degf")),
        Kind("speed", _unit("m/s", 1.0), _unit("m/s", 1.0), _unit("ft/s", _FOOT)),
        Kind("penetration", _unit("m/s", 1.0), _unit("m/h", 1 / 3600), _unit("ft/h", _FOOT / 3600)),
        Kind("acceleration", _unit("m/s²", 1.0), _unit("m/s²", 1.0), _unit("ft/s²", _FOOT)),
        Kind("force", _N, _KN, _KLBF),
        Kind("stiffness", _unit("N/m", 1.0), _unit("kN/m", 1e3), _unit("klbf/ft", _KLBF_FT)),
        Kind("damping", _unit("N·s/m", 1.0), _unit("kN·s/m", 1e3), _unit("klbf·s/ft", _KLBF_FT)),
        Kind("quadratic_damping", _unit("N·s²/m²", 1.0), _unit("kN·s²/m²", 1e3), _KLBF_S2_FT2),
        Kind("pressure", _PA, _BAR, _PSI_UNIT),
        Kind("stress", _PA, _unit("MPa", 1e6), _unit("ksi", 1e3 * _PSI)),
        Kind("modulus", _PA, _unit("GPa", 1e9), _unit("Mpsi", 1e6 * _PSI)),
        Kind("density", _unit("kg/m³", 1.0), _unit("kg/m³", 1.0), _unit("ppg", _POUND / _GALLON)),
        Kind("linear_mass", _unit("kg/m", 1.0), _unit("kg/m", 1.0), _unit("lb/ft", _POUND / _FOOT)),
        Kind("mass", _KG, _TONNE, _KLB),
        Kind("power", _unit("W", 1.0), _unit("kW", 1e3), _unit("hp", 550 * _FOOT * _POUND_FORCE)),
        Kind("energy", _J, _unit("kW·h", 3.6e6), _unit("kW·h", 3.6e6)),
        Kind(
            "line_work", _J, _unit("t·km", 1e6 * STANDARD_GRAVITY), _unit("ton-mile", _TON_MILE, "ton_mile")
        ),
        Kind("direction", _DEG, _DEG, _DEG),
        Kind("turn_rate", _DEG_H, _DEG_H, _DEG_H),
        Kind("angle", _RAD, _DEGREE, _DEGREE),
        Kind("angular_frequency", _unit("rad/s", 1.0), _unit("rad/s", 1.0), _unit("rad/s", 1.0)),
        Kind("spectral_density", _M2S, _M2S, _unit("ft²·s", _FOOT**2)),
        Kind("variance", *_squared("m²", "ft²", _FOOT)),
        Kind("speed_variance", *_squared("m²/s²", "ft²/s²", _FOOT)),
        Kind("acceleration_variance", *_squared("m²/s⁴", "ft²/s⁴", _FOOT)),
        Kind("jerk_variance", *_squared("m²/s⁶", "ft²/s⁶", _FOOT)),
        Kind("force_variance", *_squared("kN²", "klbf²", 1e3 * _POUND_FORCE, 1e3, "N²")),
        Kind("force_rate_variance", *_squared("kN²/s²", "klbf²/s²", 1e3 * _POUND_FORCE, 1e3, "N²/s²")),
        Kind("angle_variance", *_squared("°²", "°²", math.pi / 180, math.pi / 180, "rad²")),
        Kind("angle_rate_variance", *_squared("°²/s²", "°²/s²", math.pi / 180, math.pi / 180, "rad²/s²")),
        Kind(
            "turn_per_wave",
            _unit("rad/m", 1.0),
            _unit("°/m", math.pi / 180),
            _unit("°/ft", math.pi / 180 / _FOOT),
        ),
        Kind("rate", _PER_S, _PER_H, _PER_H),
        Kind("frequency", _HZ, _HZ, _HZ),
        Kind("heave_per_wave", _NONE, _unit("m/m", 1.0), _unit("ft/ft", 1.0)),
    )
}
"""Every kind of quantity by name."""

UNIT_SYSTEMS: Final = ("metric", "oilfield")
"""Names of the display systems."""

UNITS: Final[dict[str, Unit]] = {
    unit.symbol: unit
    for unit in (
        *(u for kind in KINDS.values() for u in (kind.si, kind.metric, kind.oilfield)),
        *(_MIN, _unit("cm", 0.01), _unit("kPa", 1e3), _unit("MPa", 1e6), _unit("klbm", 1e3 * _POUND)),
        *(_unit("lbf", _POUND_FORCE), _unit("lb", _POUND), _unit("tf", 1e3 * STANDARD_GRAVITY)),
        *(_unit("short ton", 2000 * _POUND), _HZ, _unit("kn", 1852 / 3600, "knot")),
        *(_unit("km/h", 1 / 3.6),),
    )
}
"""Units by symbol, for conversions in tests, files and tables."""

_SPELT: Final = {
    "m": "metre metres meter meters mtr",
    "ft": "foot feet",
    "s": "sec secs second seconds",
    "°": "degt degree degrees degrees_true degree_true",
    "m/s": "m_s-1 m_s**-1 mps ms-1 ms",
    "kn": "kt kts knots",
    "km/h": "kmh kph",
    "ft/s": "fps",
}
"""Other ways files write units, beside symbol and token; a space is written _."""

_WRITTEN: Final = {
    **{unit.token: unit for unit in UNITS.values()},
    **{word: UNITS[symbol] for symbol, words in _SPELT.items() for word in words.split()},
    **UNITS,
}


def unit_written(word: str) -> Unit | None:
    """The unit a file means by `word`: a symbol, a token or another spelling; None where there is none such."""
    return _WRITTEN.get(word.replace(" ", "_"))


def unit_of(kind: str, system: str = "si") -> Unit:
    """The unit in which `system` ('si', 'metric' or 'oilfield') shows quantities of `kind`.

    Raises
    ------
    InputError
        If the kind or the system is unknown.
    """
    if kind not in KINDS:
        raise InputError("kind of quantity", kind, None, f"one of {', '.join(KINDS)}")
    if system != "si" and system not in UNIT_SYSTEMS:
        raise InputError("unit system", system, None, f"one of si, {', '.join(UNIT_SYSTEMS)}")
    unit: Unit = getattr(KINDS[kind], system)
    return unit


def to_si(value: float, unit: str) -> float:
    """Convert `value` in `unit` (a symbol such as 'klbf') to SI: value × factor + offset."""
    found = _known(unit)
    return value * found.factor + found.offset


def from_si(value: float, unit: str) -> float:
    """Convert an SI `value` to `unit` (a symbol such as 'klbf'): (value − offset) / factor."""
    found = _known(unit)
    return (value - found.offset) / found.factor


def display_value(value: float, kind: str, system: str) -> float:
    """The number shown for the SI `value` of `kind` in `system`."""
    unit = unit_of(kind, system)
    return (value - unit.offset) / unit.factor


def stored_value(shown: float, kind: str, system: str) -> float:
    """The SI value of a number `shown` for `kind` in `system`; the inverse of `display_value`."""
    unit = unit_of(kind, system)
    return shown * unit.factor + unit.offset


def significant(value: float, digits: int = 3) -> str:
    """`value` to `digits` significant figures, narrow no-break spaces between thousands, a true minus sign.

    Below 1e-6 and from 1e15 the number is written with a power of ten, otherwise plainly.
    A number that is not finite is written 'not known' or 'no limit', never as a figure.
    """
    if math.isnan(value):
        return "not known"
    if math.isinf(value):
        return "no limit"
    if value == 0:
        return "0"
    decimals = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, decimals)
    if rounded != 0:  # 9.996 rounds up to 10.00, which needs one decimal fewer
        decimals = digits - 1 - math.floor(math.log10(abs(rounded)))
    if 1e-6 <= abs(rounded) < 1e15:
        return _apart(f"{rounded:,.{max(decimals, 0)}f}")
    return _apart(f"{value:.{digits - 1}e}")


def show(value: float, kind: str, system: str, digits: int = 3) -> str:
    """The SI `value` of `kind` to `digits` figures with its unit in `system`, for example '3.60 m'.

    A rate without end is 'always': what happens so often is there all the time.
    """
    unit = unit_of(kind, system)
    text = significant(display_value(value, kind, system), digits)
    if not math.isfinite(value):
        return "always" if kind == "rate" and math.isinf(value) else text
    return with_unit(text, unit.symbol)


def show_apart(value: float, other: float, kind: str, system: str, digits: int = 3) -> tuple[str, str]:
    """Two SI values of `kind` as `show` has them, with more figures where numbers that differ would read alike.

    Parameters
    ----------
    value, other : numbers to be compared [SI]
    kind : of quantity
    system : of units
    digits : figures where those tell them apart; up to four more where not
    """
    first, second = show(value, kind, system, digits), show(other, kind, system, digits)
    for more in range(digits + 1, digits + 5):
        if first != second or value == other or not math.isfinite(value - other):
            break
        first, second = show(value, kind, system, more), show(other, kind, system, more)
    return first, second


def fixed(value: float, decimals: int) -> str:
    """`value` to so many decimals, written as `significant` writes it: thin spaces between thousands, a true minus.

    Parameters
    ----------
    value : number; one that is not finite is written in words
    decimals : places after the point
    """
    if not math.isfinite(value):
        return significant(value)
    return _apart(f"{value:,.{decimals}f}")


def round_number(value: float) -> str:
    """A round `value`, such as a mark of an axis, with the digits it has, up to six; written as `significant` does."""
    if value != 0 and not 1e-4 <= abs(value) < 1e6:
        return significant(value)
    return _apart(f"{value:,.6g}")


def per_cent(share: float, decimals: int = 0) -> str:
    """A `share` of 1 in per cent to so many `decimals`, with its sign, for example '12.5 %'."""
    return with_unit(fixed(100 * share, decimals), "%") if math.isfinite(share) else significant(share)


def _apart(text: str) -> str:
    """Digits as Python writes them, with thin spaces for its commas and a true minus sign; nought has none."""
    if not text.strip("-0.,"):
        text = text.removeprefix("-")
    return text.replace(",", "\u202f").replace("-", "\u2212")


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun, singular or plural: '1 gap', '2 gaps'.

    Parameters
    ----------
    count : how many
    one : the noun for one of them
    many : for several, where that is not `one` with an s
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def _known(unit: str) -> Unit:
    if unit not in UNITS:
        raise InputError("unit", unit, None, f"one of {', '.join(sorted(u for u in UNITS if u))}")
    return UNITS[unit]
