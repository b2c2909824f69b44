"""What names and words of a response file say: what a column holds, in which unit, and which conventions are stated.

Only what can mean one thing is taken; names such as phi, theta or RX are asked about.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from heave.files.response.blocks import heading_in
from heave.units import UNITS
from heave.vessel import ResponseConventions

_MOTIONS: Final = {
    "heave": r"heave|heaving",
    "roll": r"roll|rolling",
    "pitch": r"pitch|pitching",
    "other": r"surge|sway|yaw|surging|swaying|yawing",
}
_PARTS: Final = {
    "phase": r"phase|phases|phas|pha|ph|phs|arg|argument|lag|lead",
    "real part": r"real|re",
    "imaginary part": r"imag|imaginary|im",
    "amplitude": r"amp|ampl|amplitude|amplitudes|mag|magnitude|abs|modulus|rao|raos|response",
}
_UNITS: Final = {
    **{f"{a}/{b}": f"{a}/{b}" for a in ("m", "ft", "deg", "rad") for b in ("m", "ft", "deg", "rad")},
    **{"hz": "Hz", "1/s": "Hz", "rad/s": "rad/s", "r/s": "rad/s", "rad/sec": "rad/s", "s": "s", "sec": "s"},
    **{"deg": "deg", "degrees": "deg", "degree": "deg", "rad": "rad", "radians": "rad"},
}
_SLOPES: Final = ("deg/deg", "rad/rad")
_TIMES: Final = ("s", "rad/s", "Hz")
_FREQUENCY: Final = r"period|periods|freq|freqs|frequency|frequencies|omega|ω|w|t"
_HEADINGS: Final = r"heading|headings|head|hdg|direction|dir|beta|β|mu|μ|incidence"
_NOTHING: Final = r"index|no|nr|row|wave number|wavenumber|wavelength|wave length|lambda|λ|k|l"


@dataclass(frozen=True)
class Meaning:
    """What is known of a column: what it holds, its unit, and its heading where it is for one alone."""

    holds: str | None = None
    """'period or frequency', 'heading', a motion and its part, 'not used'; None where the name does not tell."""

    unit: str | None = None
    heading: float | None = None


@dataclass(frozen=True)
class Context:
    """What the words above a block say of all its columns."""

    motion: str | None = None
    part: str | None = None
    unit: str | None = None
    heading: float | None = None


def column_meaning(name: str, context: Context) -> Meaning:
    """What the name of a column says, with what the words above it say of all.

    Parameters
    ----------
    name : lower case, its unit perhaps in brackets or behind an underscore
    context : of the block
    """
    plain, unit = _unit_off(name)
    motion, part = _one(plain, _MOTIONS), _one(plain, _PARTS)
    alone = heading_in(plain)
    heading = alone if alone is not None else _heading_named(plain)
    if motion is None and alone is None and part is None:
        axis = _axis(plain, unit)
        if axis is not None:
            return axis
    if motion is None and part is None and heading is None:
        return Meaning(None, unit)
    motion = motion or context.motion
    if motion == "other":
        return Meaning("not used")
    own = part
    part = part or (None if motion is None else context.part or _part_of(unit, motion))
    if part is None and motion is not None and alone is not None:
        part = "amplitude"  # headings over columns under the name of a motion
    if own is None and part == context.part and unit is None:
        unit = context.unit
    if part is not None and unit is not None and not _fits(part, unit, motion):
        return Meaning(None, unit)
    holds = f"{motion} {part}" if motion and part else None
    if unit is None and part is not None and context.unit is not None and _fits(part, context.unit, motion):
        unit = context.unit
    return Meaning(holds, unit, heading if heading is not None else context.heading)


def _axis(plain: str, unit: str | None) -> Meaning | None:
    """A column of periods, frequencies or headings, or one that is known to be nothing of a motion."""
    of_time, of_heading = unit in _TIMES or _has(plain, _FREQUENCY), _has(plain, _HEADINGS)
    if of_time and of_heading:
        return None
    if of_time:
        named = "s" if _has(plain, "period|periods|t") else "rad/s" if _has(plain, "omega|ω|w") else None
        return Meaning("period or frequency", unit if unit in _TIMES else named)
    if of_heading:
        return Meaning("heading", unit)
    return Meaning("not used") if _has(plain, _NOTHING) else None


def _fits(part: str, unit: str, motion: str | None) -> bool:
    """Whether a part of a motion may have a unit; an amplitude of rotation is at times said to be in degrees alone."""
    if part == "phase":
        return unit in ("deg", "rad")
    if motion in ("roll", "pitch"):
        return unit not in ("s", "Hz", "rad/s")
    return "/" in unit and unit != "rad/s"


def _part_of(unit: str | None, motion: str) -> str | None:
    """The part that a unit alone tells: per metre is an amplitude; an angle of heave is a phase."""
    if unit is not None and "/" in unit and unit != "rad/s":
        return "amplitude"
    return "phase" if unit in ("deg", "rad") and motion == "heave" else None


def with_neighbours(names: tuple[str, ...], meanings: list[Meaning]) -> list[Meaning]:
    """The meanings where a name such as 'phase' goes for the motion before it, and a motion alone is its amplitude.

    Parameters
    ----------
    names : of the columns of a block
    meanings : what each tells by itself
    """
    found = list(meanings)
    motion: str | None = None
    split = [_unit_off(name) for name in names]
    bare = [
        (_one(plain, _MOTIONS), meaning.heading)
        for (plain, _), meaning in zip(split, meanings, strict=True)
        if _one(plain, _PARTS) is None and not meaning.holds
    ]
    for place, ((plain, unit), meaning) in enumerate(zip(split, meanings, strict=True)):
        own, part = _one(plain, _MOTIONS), _one(plain, _PARTS)
        motion = own or motion
        if meaning.holds is not None or motion is None or (own is None and part is None):
            continue
        if part is None:
            known = {m.holds for m in found if m.heading == meaning.heading}
            if bare.count((own, meaning.heading)) == 1:
                angle = unit in ("deg", "rad") and f"{own} amplitude" in known
                part = "phase" if angle else "amplitude"
        if motion == "other":
            found[place] = Meaning("not used")
        elif part is not None and (unit is None or _fits(part, unit, motion)):
            found[place] = Meaning(f"{motion} {part}", unit, meaning.heading)
    return found


def context_of(words: Iterable[str], before: Context) -> Context:
    """What the words above a block say, with what those above the block before said where they are silent."""
    found = before
    for line in words:
        plain = line.lower()
        said = stated([plain])
        name, unit = _unit_off(plain)
        motion = None if {"heave", "roll", "pitch"} & said.keys() else _one(name, _MOTIONS)
        part = _one(name, _PARTS)
        sentence = motion is None and (len(plain.split()) > 3 or "phases are" in plain)
        if sentence or re.match(r"phases?\s*[:=]", plain):
            part = None  # a statement about all phases, and no title
        heading = heading_in(name)
        if heading is None and not {"head_sea", "side"} & said.keys():
            heading = _heading_named(name)
        if motion is not None and motion != found.motion:
            found = replace(found, motion=motion, part=None, unit=None)
        if part is not None:
            found = replace(found, part=part, unit=None)
        if unit is not None and (motion or part):  # that of a heading goes for nothing else
            found = replace(found, unit=unit)
        if heading is not None:
            found = replace(found, heading=heading)
    return found


def _one(words: str, kinds: Mapping[str, str]) -> str | None:
    """The one kind that words name; None where they name none or several."""
    found = [kind for kind, pattern in kinds.items() if _has(words, pattern)]
    if len(found) == 2 and "phase" in found and "amplitude" in found and _has(words, "phase|phases"):
        return "phase" if _has(words, "rao|raos|response") and not _has(words, "amplitude|amp|mag") else None
    return found[0] if len(found) == 1 else None


def _has(words: str, pattern: str) -> bool:
    return re.search(rf"(?<![a-zω])(?:{pattern})(?![a-z])", words) is not None


def _unit_off(name: str) -> tuple[str, str | None]:
    """A name without its unit, and the unit as `_UNITS` writes it, where it has one."""
    plain = re.sub(r"[_\s]+", " ", name.lower()).replace("°", "deg").replace("degs", "deg").strip()
    bracket = re.search(r"[\[(]([^\])]*)[\])]", plain)
    if bracket:
        inner = re.sub(r"\s*(?:/|per)\s*", "/", bracket[1].strip())
        inner = inner.replace("metre", "m").replace("meter", "m")
        if inner in _UNITS:
            return (plain[: bracket.start()] + " " + plain[bracket.end() :]).strip(" ,:"), _UNITS[inner]
    joined = re.search(r"(?<![a-z])(m|ft|deg|rad)\s*(?:/| per )\s*(m|ft|deg|rad|s|sec)$", plain)
    if joined and f"{joined[1]}/{joined[2]}" in _UNITS:
        return plain[: joined.start()].strip(" ,:"), _UNITS[f"{joined[1]}/{joined[2]}"]
    last = re.search(r"(?<= )(hz|deg|rad|s|sec|degrees|radians)$", plain)
    if last:
        return plain[: last.start()].strip(" ,:"), _UNITS[last[1]]
    return plain, _UNITS.get(plain)


_UNREAD: Final = re.compile(
    r"[\[(]\s*(?P<inner>min|minutes|ms|h|hr|cycles?|turns?|revs?|gon|grad|mrad|rpm|khz|[a-z]{1,6}\s*/\s*[a-z]{1,6})"
    r"\s*[\])]| (?P<last>(?:[mc]?m|in|ft|m?rad|deg)/(?:[mc]?m|in|ft|m?rad|deg))$"
)
"""A unit in brackets, or behind a name, that may be none of `_UNITS`."""


def unread_unit(name: str, meaning: Meaning) -> str | None:
    """The unit of a column that is not read, or that what it holds cannot have; None where there is no such unit.

    Parameters
    ----------
    name : of the column, lower case
    meaning : of the column
    """
    holds = meaning.holds or ""
    ratio = holds.startswith("heave") and not holds.endswith("phase")
    if ratio and meaning.unit not in (None, "m/m", "ft/ft"):
        return meaning.unit
    found = _UNREAD.search(name) if _unit_off(name)[1] is None else None
    return found and (found["inner"] or found["last"])


def _heading_named(words: str) -> float | None:
    """The heading that words name, such as 'heading 30 deg', 'heave 150' or 'dir=90'."""
    number = r"([+-]?[0-9]+(?:[.,][0-9]+)?)"
    beside = r"heave|roll|pitch|amplitude|amp|phase|mag|real|imag"
    named = (
        re.search(rf"(?:{_HEADINGS})(?: (?:angle|deg))?\s*[:=]?\s*{number}(?![0-9.,]*\s*(?:s|hz)\b)", words)
        or re.search(rf"(?:{beside})\s+{number} *(?:deg)?$", words)
        or re.match(rf"{number} *(?:deg)? +(?:{beside})", words)
    )
    return heading_in(named[1]) if named else None


_SEA: Final = r" ?(?:deg|°)? ?(?:=|:|is|are|\()? ?(?:a )?"
_AT: Final = r" (?:sea|wave)s? ?(?:=|:|is|are|at|\()? ?(?:at )?"
_STATED: Final[Mapping[tuple[str, str], str]] = {
    ("phase", "lag"): r"phases?\b.{0,40}\blags?\b|\blags?\b.{0,20}\bphase|lag (?:is )?positive|positive lag"
    r"|(?:exp\(|e\^?[{(]?)\s*[-−]\s*i\s*(?:ω|w|omega) ?\*? ?t",
    (
        "phase",
        "lead",
    ): r"phases?\b.{0,40}\bleads?\b|\bleads?\b.{0,20}\bphase|lead (?:is )?positive|positive lead"
    r"|(?:exp\(|e\^?[{(]?)\s*\+?\s*i\s*(?:ω|w|omega) ?\*? ?t",
    ("phase_zero", "crest"): r"\bwave crest\b|\bcrest at (?:the )?(?:origin|reference|cog)",
    ("phase_zero", "trough"): r"\bwave trough\b|\btrough at (?:the )?(?:origin|reference|cog)",
    ("phase_zero", "rise"): r"\bzero[- ]?up[- ]?cross|\bup[- ]?crossing",
    ("phase_zero", "fall"): r"\bzero[- ]?down[- ]?cross|\bdown[- ]?crossing",
    ("per", "wave amplitude"): r"per (?:unit |metre |meter )?(?:of )?(?:wave )?amplitude|/ ?wave amplitude",
    ("per", "wave height"): r"per (?:unit |metre |meter )?(?:of )?(?:wave )?height|/ ?wave height",
    ("rotation", "wave slope"): r"per (?:unit )?(?:of )?wave slope|per k ?(?:ζ|a\b|zeta)",
    ("head_sea", "180"): rf"(?<![0-9])180{_SEA}head|head{_AT}180|(?<![0-9])0{_SEA}following"
    rf"|following{_AT}0(?![0-9])",
    (
        "head_sea",
        "0",
    ): rf"(?<![0-9])0{_SEA}head|head{_AT}0(?![0-9])|(?<![0-9])180{_SEA}following|following{_AT}180",
    ("side", "starboard"): r"(?<![0-9])90 ?(?:deg|°)?.{0,30}\bfrom (?:the )?starboard",
    ("side", "port"): r"(?<![0-9])90 ?(?:deg|°)?.{0,30}\bfrom (?:the )?port",
    ("pitch", "bow up"): r"bow[- ]up.{0,12}positive|positive.{0,12}bow[- ]up|pitch[^,;]{0,12}bow[- ]up",
    (
        "pitch",
        "bow down",
    ): r"bow[- ]down.{0,12}positive|positive.{0,12}bow[- ]down|pitch[^,;]{0,12}bow[- ]down",
    ("roll", "starboard down"): r"starboard (?:side )?down|port (?:side )?up",
    ("roll", "port down"): r"port (?:side )?down|starboard (?:side )?up",
    ("heave", "up"): r"heave (?:is )?(?:positive )?up|z(?:[- ]axis)? (?:is )?(?:positive )?up|positive up",
    (
        "heave",
        "down",
    ): r"heave (?:is )?(?:positive )?down|z(?:[- ]axis)? (?:is )?(?:positive )?down|positive down",
    ("waves", "deep water"): r"\bdeep water\b",
}
"""A convention and what is said of it, with the words that say so."""

_SIGNED: Final = ("phase", "heave", "pitch", "roll")
"""Conventions that are a sign."""

_DEPTH: Final = re.compile(r"water depth\s*[:=]?\s*([0-9]+(?:[.,][0-9]+)?)\s*(m|ft)\b")
_SETTING: Final = re.compile(r"(reference_[xy])_m\s*:\s*([+-]?[0-9.]+)")


def stated(lines: Iterable[str]) -> dict[str, Any]:
    """The conventions that some lines state, by field of `ResponseConventions`; contradictions are left out.

    Parameters
    ----------
    lines : lower case
    """
    found: dict[str, set[Any]] = {}
    for words in lines:
        # 'lag negative' is a lead: rather asked than taken the wrong way round
        denied = _SIGNED if re.search(r"\b(?:negative|not)\b", words) else ()
        said: list[tuple[str, Any]] = [key for key, pattern in _STATED.items() if re.search(pattern, words)]
        said = [(name, value) for name, value in said if name not in denied]
        for depth in _DEPTH.finditer(words):
            metres = float(depth[1].replace(",", ".")) * UNITS[depth[2]].factor
            said += [("depth", metres), ("waves", "finite depth")]
        for name, value in (*said, *((one, float(number)) for one, number in _SETTING.findall(words))):
            found.setdefault(name, set()).add(value)
    return {name: values.pop() for name, values in found.items() if len(values) == 1}


def with_stated(given: ResponseConventions, words: Iterable[str]) -> ResponseConventions:
    """What was answered, and in its place what the file itself states.

    Parameters
    ----------
    given : answers
    words : lines of the file
    """
    said = stated(map(str.lower, words))
    change = {name: value for name, value in said.items() if name not in given.against}
    if "waves" not in change or (change["waves"] == "finite depth") != ("depth" in change):
        change.pop("waves", None)
        change.pop("depth", None)
    elif change["waves"] == "deep water":
        change["depth"] = None
    return replace(given, **change)


def slope_unit(unit: str | None) -> bool:
    """Whether a unit of rotations is that of a ratio of angles, which is per wave slope."""
    return unit in _SLOPES
