"""Where every number of a calculation is from: a formula over others, a figure that is stated, or what was given.

A figure that no pocket calculator gives, an integral over a spectrum or a root, is stated with the words that define
it. Symbols are those of the rules (`formulas.SYMBOLS`) and of this room (`MORE`).
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, Final, NamedTuple

from heave import fields
from heave.formula import Formula, Symbol
from heave.sea import OMEGA

DEFINITION: Final = "by definition"
MOMENT: Final = "definition of spectral moments, mₙ = ∫ ωⁿ S dω (DNV-RP-C205, 3.5, clause from memory)"
PERIOD: Final = "mean zero-crossing period, 2π √(m₀/m₂) (DNV-RP-C205, 3.5, clause from memory)"
CYCLES: Final = "exposure over mean period, at least one cycle"
TABLE: Final = "table of the planner"
GRID: Final = (
    f"summed over {OMEGA.size} frequencies from {OMEGA[0]:.2f} to {OMEGA[-1]:.0f}\u00a0rad/s and all "
    "directions"
)


class Known(NamedTuple):
    """A number that is given; `origin` says by what."""

    value: float
    origin: str


class Stated(NamedTuple):
    """A number with the words that define it, and the symbols it rests on."""

    value: float
    words: str
    source: str
    rests: tuple[str, ...] = ()


class Text(NamedTuple):
    """A formula that is made when it is needed."""

    text: str
    source: str


Entry = Formula | Text | Known | Stated | tuple[Known, ...]
"""Of a symbol that rules use with several given numbers, all of them."""


class Origins(NamedTuple):
    """Where the symbols of one chapter are from, by symbol.

    about : kind and meaning of all symbols, shared by the chapters
    beside : symbols that are shown after one, by it: what a reader can hold it against
    before : symbols that are shown before one, by it: what it was chosen from
    """

    entries: dict[str, Entry]
    about: dict[str, Symbol]
    beside: dict[str, tuple[str, ...]]
    before: dict[str, tuple[str, ...]]

    def add(self, text: str, source: str, about: Symbol | None = None, **others: Symbol) -> None:
        """A formula, with what its result is, and what other symbols in it are.

        Parameters
        ----------
        text : `result = expression`
        source : where it is from
        about : kind and meaning of the result, where no table has them
        others : kind and meaning of further symbols that are in no table
        """
        result = text.partition(" = ")[0]
        self.about.update(others if about is None else others | {result: about})
        self.entries[result] = Text(text, source)

    def use(self, *formulas: Formula) -> None:
        """Formulas of the rules."""
        for one in formulas:
            self.entries[one.symbol] = one
            self.about.update(one.symbols)

    def know(self, symbol: str, value: float | None, origin: str, about: Symbol | None = None) -> None:
        """A number that is given.

        Parameters
        ----------
        symbol, value : of the number [SI]; None is not known
        origin : by what
        about : its kind and meaning, where no table has them
        """
        self.entries[symbol] = Known(math.nan if value is None else float(value), origin)
        if about is not None:
            self.about[symbol] = about

    def fields(self, owner: Any, room: str, **names: str | tuple[str, str]) -> None:
        """Numbers of the plan, each named by the label of its field.

        Parameters
        ----------
        owner : the object that has them
        room : which part of the plan that is
        names : by symbol the field, or field and meaning where no table has that
        """
        for symbol, given in names.items():
            name, *meaning = (given,) if isinstance(given, str) else given
            kind = getattr(fields.about(owner, name), "kind", "number")
            about = (kind, meaning[0]) if meaning else None
            self.know(symbol, getattr(owner, name), origin_of(owner, name, room), about)

    def state(self, symbol: str, value: float, words: str, source: str, about: Symbol, *rests: str) -> None:
        """A number that no arithmetic on the terms gives.

        Parameters
        ----------
        symbol, value : of the number [SI]
        words : the definition
        source : where that is from
        about : kind and meaning
        rests : symbols of what it depends on
        """
        self.entries[symbol] = Stated(float(value), words, source, rests)
        self.about[symbol] = about

    def moment(self, symbol: str, order: int, value: float, inside: str, about: Symbol, *rests: str) -> None:
        """A moment of a spectrum, stated.

        Parameters
        ----------
        symbol, value : of the number [SI]
        order : of the moment
        inside : what the spectrum of the sea is multiplied by
        about, rests : as for `state`
        """
        power = {0: "", 2: "ω² × "}.get(order, f"ω^{order} × ")
        self.state(symbol, value, f"∫ {power}{inside}S(ω) dω, {GRID}", MOMENT, about, *rests)


def origin_of(owner: Any, name: str, room: str) -> str:
    """The label of a field and the part of the plan that holds it.

    Parameters
    ----------
    owner, name : object and field
    room : part of the plan
    """
    return f"{room}: {fields.about(owner, name).label}"


def level_text(symbol: str, sigma: str, cycles: str) -> str:
    """The level that a Gaussian motion exceeds once in the exposure with the accepted risk, as text."""
    return f"{symbol} = {sigma} × √(2 ln({cycles} / −ln(1 − p)))"


def add_cycles(found: Origins, cycles: str, period: str, m0: str, m2: str, what: str, moves: bool) -> None:
    """Mean period and number of cycles from two moments; one cycle where nothing moves.

    Parameters
    ----------
    found : to be added to
    cycles, period : symbols
    m0, m2 : symbols of the moments
    what : quantity, in words
    moves : whether the second moment is above zero
    """
    number: Symbol = ("number", f"cycles of {what} in the exposure, at least one")
    if not moves:
        found.know(cycles, 1.0, "nothing moves: one cycle is taken", number)
        found.know(period, math.inf, "nothing moves", ("period", f"mean period of {what}"))
        return
    found.add(f"{period} = 2π × √({m0} / {m2})", PERIOD, ("period", f"mean period of {what}"))
    found.add(f"{cycles} = max(t_e / {period}, 1)", CYCLES, number)


MORE: Final[dict[str, Symbol]] = {
    "t_e": ("period", "exposure"),
    "f_h": ("number", "factor on heave: calibration, at the safe end of what its record can tell"),
    "C_h": ("number", "measured over predicted heave"),
    "e_h": ("fraction", "margin of that"),
    "m_g": ("mass", "top drive and handling gear"),
    "m_h": ("mass", "mass that moves with the hook"),
    "m_s": ("mass", "mass of the pipe in air"),
    "ρ_mud": ("density", "density of the mud"),
    "ρ_steel": ("density", "density of the steel"),
    "D": ("force", "drag in the hookload, which acts the other way as the string goes down"),
    "D_w": ("force", "friction of the well on the string drawn up"),
    "n_l": ("number", "lines strung"),
}
"""Symbols of what comes before the rules, beside those that are made for sections, systems and intervals."""


@lru_cache(maxsize=4096)
def made(text: Text, symbols: tuple[tuple[str, Symbol], ...]) -> Formula:
    """The formula of a text, with what its symbols are."""
    return Formula(text.text, dict(symbols), text.source)
