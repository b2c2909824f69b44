"""Inputs drawn from what a field says of itself: label, unit, bounds and help come from its description.

Numbers are typed into text boxes and read by one strict parser, so a decimal comma can never turn into
thousands. A value that is shown and not edited is never written back: only a changed text is read.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields as dataclass_fields
from functools import partial
from typing import Any, Final

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave import fields
from heave.errors import InputError, short
from heave.planning import OPERATIONS, Plan
from heave.screens import state
from heave.screens.state import Path, Refused
from heave.units import UNITS, display_value, significant, stored_value, unit_of, with_unit

STAYS: Final[dict[str, Any]] = {"persist_state": "session"}
"""For a widget whose value is not in the plan: it outlives a visit to another page."""

_AS_TYPED: Final = 1e-9
"""Relative difference up to which a number is the one that its text says, but for rounding in the conversion."""

Companions = Callable[[Any, Any], dict[str, Any]]
"""From the object that holds the field and the new value: what else has to change with it."""

ALIKE: Final[dict[Path, tuple[str, str]]] = {
    ("hoisting", "lines"): ("compensator", "lines"),
    ("compensator", "lines"): ("hoisting", "lines"),
}
"""Fields that two parts of a plan have alike, where both have them: what is typed into one goes into the other."""

LONGEST_PICK: Final = 38
"""Most letters of what a pick shows, that a telephone does not cut its end."""

SHOWN_DIGITS: Final = 6
"""Most significant figures of a number in its box that is shown to the last."""

FEW_DIGITS: Final = 4
"""Figures of a number that would need more, such as metres in feet; the stored value keeps all of its own."""

WORDS: Final[dict[str, str]] = {
    "two-parameter": "Two-parameter (PM, ISSC)",
    "jonswap": "JONSWAP",
    "torsethaugen": "Torsethaugen, two peaks",
    "ochi-hubble": "Ochi–Hubble, most probable",
    "gaussian-swell": "Gaussian swell",
    "long-crested": "Long-crested",
    "cos-n": "cosⁿ θ, ±90°",
    "cos-2s": "cos²ˢ θ/2, all round",
    "Tp": "Tp, peak",
    "Tz": "Tz, zero-crossing",
    "T1": "T1, mean",
    "Te": "Te, energy",
    **{kind.key: kind.label for kind in OPERATIONS.values()},
}
"""How options are worded on the screen, where it differs from how they are stored."""


_MARKUP: Final = re.compile(r"([\\`*_{}\[\]()#+\-.!|<>~$:&^=\"'/@])")
_REWRITTEN: Final = re.compile(
    r"(?P<before>(?:https?|ftp|mailto|xmpp):|\bwww(?=\.)|:(?=streamlit:)|[\w.+-](?=@)"
    r"|(?:^|(?<=\s))[<>~-](?=[->=])|^(?=[ \t]))",
    re.IGNORECASE,
)
"""What the page makes addresses, arrows, dashes and pictures of after it has taken the escapes away."""

JOINER: Final = "\u2060"
"""What `plain` keeps such marks apart with; it is not seen."""


def plain(words: str) -> str:
    """Text of unknown origin made safe for Markdown: it is shown as it stands and nothing comes of it.

    Every mark that could be read as markup is escaped. Addresses, arrows, dashes and the like are found by the page
    only after that; a word joiner, which has no width, keeps each of them apart.
    """
    return _MARKUP.sub(r"\\\1", _REWRITTEN.sub(rf"\g<before>{JOINER}", words))


def sentence(words: str) -> str:
    """The words with their first letter large, as labels and headings have it."""
    return words[:1].upper() + words[1:]


def inside(words: str) -> str:
    """A name as it stands inside a sentence: first letter small, but not that of an abbreviation."""
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def shown_number(value: float | None, kind: str, system: str, few: int = FEW_DIGITS) -> str:
    """A stored number as its box shows it: plain digits in display units; empty for None.

    What was typed in these units is shown as it was; what comes from others, and would have no end, to a `few` figures.
    """
    if value is None:
        return ""
    number = display_value(value, kind, system)
    text = f"{number:.{SHOWN_DIGITS}g}"
    if not math.isclose(float(text), number, rel_tol=_AS_TYPED, abs_tol=0.0):
        text = f"{number:.{few}g}" if abs(number) < 10**few else f"{number:.0f}"
    if "e" in text and abs(number) >= 1e-6:
        decimals = max(0, SHOWN_DIGITS - 1 - math.floor(math.log10(abs(number))))
        text = f"{number:.{decimals}f}"
    return "0" if text == "-0" else text


def typed_number(text: str, label: str, kind: str, system: str) -> float:
    """A number of a kind of quantity as it was typed, in the units on the screen; SI.

    Raises
    ------
    InputError
        If the text is not one number.
    """
    return stored_value(fields.parse_number(text, label, unit_of(kind, system).symbol or None), kind, system)


def number_of(typed: str, about: fields.Quantity, system: str) -> tuple[float | None, str]:
    """A number as it was typed, in SI, and in words why it is refused where it is; None where it may be empty."""
    symbol, label, value = unit_of(about.kind, system).symbol, sentence(about.label), None
    try:
        if typed.strip() or not about.optional:
            value = typed_number(typed, f"{label} as typed", about.kind, system)
        about.check(value)
    except InputError as error:
        # Bounds are told in the units on the screen; what is no number at all, in the parser's own words.
        allowed = about.allowed(system) if error.what == about.label else error.allowed
        given = with_unit(short(typed.strip(), 80), symbol) if typed.strip() else "an empty box"
        return None, f"{label}: {given} cannot be used; allowed: {allowed}"
    return value, ""


def picks(names: Mapping[Any, str]) -> dict[Any, str]:
    """What a pick shows for long names: cut in their middle, unless two of them would be alike."""
    told = {one: short(name, LONGEST_PICK) for one, name in names.items()}
    return told if len(set(told.values())) == len(told) else dict(names)


def names_of(value: Any) -> tuple[str, ...]:
    """Names of the described fields of an object, in their order; none of None."""
    items = () if value is None else dataclass_fields(value)
    return tuple(item.name for item in items if "about" in item.metadata)


def bound(
    draw: Callable[..., Any],
    label: str,
    key: str,
    value: Any,
    take: Callable[[Any], object],
    options: Iterable[Any] | None = None,
    **how: Any,
) -> None:
    """A widget that shows `value` at every drawing, and hands what is picked to `take` at once.

    Where there are `options`, a mapping says what each of them is called.
    """
    st.session_state[key] = value
    if isinstance(options, Mapping):
        how["format_func"] = options.__getitem__
    offered = () if options is None else (tuple(options),)
    draw(label, *offered, key=key, on_change=lambda: take(st.session_state[key]), **how)


def pick(
    draw: Callable[..., Any], label: str, key: str, options: Mapping[Any, str], about: str, **how: Any
) -> Any:
    """A pick of what is not in the plan, which outlives a visit to another page; at first the first of its options."""
    shown = {"format_func": options.__getitem__, "help": about, **STAYS, **how}
    return draw(label, tuple(options), key=f"heave:{key}", **shown)


def button(
    label: str, key: str, act: Callable[..., Any], *args: Any, at: DeltaGenerator | None = None, **how: Any
) -> None:
    """A button that does `act` with `args` when it is pressed; drawn `at` a place, or where the page stands."""
    (st if at is None else at).button(label, key=f"heave:{key}", on_click=act, args=args, **how)


def listed(label: str, key: str, name: str, options: Mapping[int, str], about: str) -> int:
    """A pick that the session keeps under `name`: the place of what is picked, the first where nothing was."""
    chosen: int = min(state.kept(name) or 0, len(options) - 1)
    bound(st.selectbox, label, key, chosen, partial(state.keep, name), options, help=about)
    return chosen


def numbered(names: Iterable[str]) -> dict[int, str]:
    """Things in their order as a pick shows them: '1: Drilling ahead'."""
    return picks({place: f"{place + 1}: {name}" for place, name in enumerate(names)})


def folded(
    label: str, name: str, draw: Callable[[], object], *, opened: bool = False, always: bool = False
) -> None:
    """A disclosure whose content is drawn only while it is open, unless it is to be there always.

    What is inside is then neither computed nor sent while nobody looks, and since every value lives in
    the plan, nothing is lost by not being drawn. It stays open when its label changes with the figures.
    """
    key, shown = f"heave:open:{name}", state.opened().get(name, opened)

    def turned() -> None:
        state.opened()[name] = bool(st.session_state[key])

    box = st.expander(label, key=key, expanded=shown, on_change=turned)
    if box.open or always:
        with box:
            draw()


def field(path: Path, *, label: str | None = None, companions: Companions | None = None, **how: Any) -> None:
    """Draw the input of one field of the plan, whatever sort of field it is, with its error below it.

    `label` is a shorter one of the caller's own, for narrow places; `how` goes to the widget of a pick.
    """
    about = fields.about(state.at(state.plan(), path[:-1]), str(path[-1]))
    if isinstance(about, fields.Quantity):
        _number(path, about, label)
        return
    name, key, help_ = label or sentence(about.label), _key(path), about.help or f"{sentence(about.label)}."
    value, take = state.at(state.plan(), path), partial(_write, path, companions=companions)
    if isinstance(about, fields.Text):
        _keep_text(path, key, value)
        draw = st.text_area if about.lines else st.text_input
        draw(name, key=key, help=help_, on_change=lambda: take(st.session_state[key]))
    elif isinstance(about, fields.Flag):
        bound(st.checkbox, name, key, value, take, help=help_)
    else:
        options = {option: WORDS.get(option, sentence(option)) for option in about.options}
        bound(st.selectbox, name, key, value, take, options, **{"help": help_, **how})
    _error(path, "")


def all_fields(path: Path, names: Iterable[str], columns: int = 3) -> None:
    """The inputs of several fields of one object, side by side in rows."""
    left = list(names)
    while left:
        row = st.columns(columns, vertical_alignment="bottom")  # long labels wrap, boxes stay level
        for place, name in zip(row, left, strict=False):
            with place:
                field((*path, name))
        left = left[columns:]


def side_by_side(labels: Mapping[Path, str], columns: Sequence[int] = (1, 1)) -> None:
    """Inputs under short labels of their own, in columns of these widths in turn."""
    # boxes stay level where a label wraps
    places = st.columns(columns, gap="small", vertical_alignment="bottom")
    for place, (path, label) in enumerate(labels.items()):
        with places[place % len(columns)]:
            field(path, label=label)


def _number(path: Path, about: fields.Quantity, label: str | None) -> None:
    """A text box for a number, its unit in the label, its error and the value kept right under it."""
    system = state.system()
    key, unit = _key(path, system), unit_of(about.kind, system).symbol
    shown = shown_number(state.at(state.plan(), path), about.kind, system)
    _keep_text(path, key, shown)
    st.text_input(
        (label or sentence(about.label)) + (f" ({unit})" if unit else ""),
        key=key,
        help=plain(f"{about.help or sentence(about.label) + '.'} Allowed: {about.allowed(system)}."),
        placeholder="empty" if about.optional else None,
        on_change=_number_typed,
        args=(path, about, system),
    )
    _error(path, with_unit(shown, unit) if shown else "empty")


_FIGURE: Final = r"[-+\u2212]?\d[\d.\u202f]*(?:e[-+\u2212]?\d+)?"
"""A number in the words of an error."""


def in_units(error: InputError, system: str) -> str:
    """An error in words, its value and the figures in its bounds in the units on the screen."""
    kinds = {"N": "force", "m": "length", "Pa": "pressure", "kg": "mass", "m³": "volume", "m²": "area"}
    kind = kinds.get(error.unit or "")
    if kind is None or not isinstance(error.value, int | float):
        return str(error)
    unit = unit_of(kind, system)

    def number(found: re.Match[str]) -> str:
        value = float(found[0].replace("\u2212", "-").replace("\u202f", ""))
        return significant(value * UNITS[error.unit or ""].factor / unit.factor, 4)

    def convert(found: re.Match[str]) -> str:
        return with_unit(re.sub(_FIGURE, number, found[1]), unit.symbol)

    ends = rf"({_FIGURE}(?: (?:to|below) {_FIGURE})?)[ \u00a0]{re.escape(error.unit or '')}(?![\w/·²³])"
    allowed = re.sub(ends, convert, error.allowed)
    shown = significant(float(error.value) / unit.factor, 4)
    return f"{error.what}: {with_unit(shown, unit.symbol)} cannot be used; allowed: {allowed}"


_BOX: Final = "heave:input"


def forget_boxes() -> None:
    """Let every box be told what it shows: of one that already holds that the server tells the browser nothing, and the
    browser may by then have been told otherwise by the run before."""
    for key in [key for key in st.session_state if str(key).startswith(_BOX)]:
        del st.session_state[key]


def _key(path: Path, system: str = "") -> str:
    return ":".join([_BOX, *(str(step) for step in path), system])


def _keep_text(path: Path, key: str, shown: str) -> None:
    """Let the box show the stored value, unless it holds the very text that was refused."""
    entry = state.refused().get(path)
    if entry is not None and st.session_state.get(key) == entry.typed:
        return
    state.refused().pop(path, None)
    if st.session_state.get(key) != shown:
        st.session_state[key] = shown


def _error(path: Path, kept: str) -> None:
    entry = state.refused().get(path)
    if entry is not None:
        tail = f". Still used: {kept}." if kept else "."
        st.markdown(f":red[**Not taken.** {plain(entry.why + tail)}]")


def _number_typed(path: Path, about: fields.Quantity, system: str) -> None:
    """Read a changed text; write the value only if the text is not the one the stored value shows."""
    typed: str = st.session_state[_key(path, system)]
    if typed.strip() == shown_number(state.at(state.plan(), path), about.kind, system):
        state.refused().pop(path, None)
        return
    value, why = number_of(typed, about, system)
    if why:
        state.refused()[path] = Refused(typed, why)
        return
    _write(path, value, typed)


def _with_value(plan: Plan, path: Path, value: Any, beside: dict[str, Any]) -> Plan:
    """The plan with a value at a path, and in the field of another part that has to be alike."""
    other = ALIKE.get(path)
    if other is None or other[1] not in names_of(getattr(plan, other[0])):
        return state.changed(plan, path, value, **beside)  # type: ignore[no-any-return]
    parts = {root: state.changed(getattr(plan, str(root)), (name,), value) for root, name in (path, other)}
    return plan.changed(**{str(root): part for root, part in parts.items()})


def _write(path: Path, value: Any, typed: str | None = None, companions: Companions | None = None) -> None:
    """Put a value in the plan, or keep why it was refused for its field to show."""
    beside = companions(state.at(state.plan(), path[:-1]), value) if companions else {}
    try:
        state.edit(lambda plan: _with_value(plan, path, value, beside))
    except InputError as error:
        why = in_units(error, state.system())
        state.refused()[path] = Refused(str(value) if typed is None else typed, why)
    else:
        state.refused().pop(path, None)
