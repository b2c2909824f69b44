"""The calculation of a plan in reading order: what is given, then every step once, each resting on those above it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from heave.formula import Formula, Step, Symbol, Term
from heave.judging import origins_locked, origins_sea, origins_setting, origins_string, origins_unit
from heave.judging.capacities import capacity_origin
from heave.judging.checks import Check
from heave.judging.demands import Demands, demands
from heave.judging.digits import LEAST, Evaluate, digits_for, evaluator
from heave.judging.formulas import SYMBOLS
from heave.judging.origins import MORE, Entry, Known, Origins, Stated, Text, made
from heave.judging.path_loads import PATH_KEYS
from heave.judging.results import Assessment


@dataclass(frozen=True)
class Given:
    """A number that a step uses and no step above it gives: an input of the plan, or a figure read from a table.

    `origin` says where it is from, in words that a reader can look up.
    """

    symbol: str
    term: Term
    origin: str


@dataclass(frozen=True)
class Chapter:
    """One part of a calculation: what is given first, then its steps; `words` say what they do.

    `check` is the key of the check that the chapter ends in; empty where its results are for later chapters.
    """

    title: str
    given: tuple[Given, ...]
    steps: tuple[Step, ...]
    words: str = ""
    check: str = ""
    demand: str = ""
    """Symbol of the demand of the check; it may stand in a chapter above."""

    capacity: str = ""
    """Symbol of its capacity."""


SEA, HEAVE, STRING, TRAVEL, SETTING, UNIT, PATH = (
    "Sea", "Heave at the hoist", "String", "Static travel", "Setting", "Unit in this sea", "Hoisting path",
)  # fmt: skip

ABOVE: Final[dict[str, str]] = {
    SEA: "Wave systems, and their spectrum summed on the grid of the planner.",
    HEAVE: "Vertical motion at the hoist: moments of its spectrum, then standard deviation, mean period and cycles "
    "in the exposure. An integral is stated with what it is of; what follows from it can be worked again.",
    STRING: "Weight, stiffness and mass of the string and of what moves with the hook.",
    TRAVEL: "Slow travel between block and hook, part by part.",
    SETTING: "What is set on the unit, and what its gas and seals are there.",
    UNIT: "Response of unit and string in this sea, and the loads that several checks rest on. A damping or a root is "
    "stated, and both sides of the equation that it satisfies are shown.",
    PATH: "What several links of the hoisting path rest on.",
}
"""Chapters before those of the checks, and what they do."""


def calculation(assessment: Assessment) -> tuple[Chapter, ...]:
    """The chapters of the calculation that made the verdict, in the order in which they rest on each other.

    Parameters
    ----------
    assessment : of the plan; the steps of its checks are used as they are, and what comes before them is taken from
        the same figures

    Returns
    -------
    Chapters, no step in two of them; a symbol is one number, printed one way, in all of them
    """
    found = demands(assessment.plan, assessment.plan.sea.batch())
    book = _Book(found, assessment.checks)
    return book.chapters()


def resting_on(chapters: Iterable[Chapter], key: str) -> tuple[Chapter, ...]:
    """The part of a calculation that one check rests on, and its own chapter at the end.

    Parameters
    ----------
    chapters : from `calculation`
    key : of the check

    Returns
    -------
    Chapters with only the given numbers and steps that lead to it; none that are empty
    """
    found, wanted = list[Chapter](), set[str]()
    for chapter in reversed(tuple(chapters)):
        if chapter.check and chapter.check != key and not wanted:
            continue
        own = chapter.check == key
        if own:
            wanted |= {chapter.demand, chapter.capacity}
        steps = list[Step]()
        for step in reversed(chapter.steps):
            if own or step.symbol in wanted:
                steps.insert(0, step)
                wanted |= step.terms.keys()
        given = tuple(one for one in chapter.given if one.symbol in wanted)
        if own or steps or given:
            # a chapter of another check is a part of the way
            whole = chapter if own else replace(chapter, check="", demand="", capacity="")
            found.insert(0, replace(whole, given=given, steps=tuple(steps)))
    return tuple(found)


class _Book:
    """The steps of a calculation as they are found, each once, with what they rest on before them."""

    def __init__(self, found: Demands, checks: Iterable[Check]) -> None:
        self.checks, self.found = tuple(checks), found
        self.entries, self.about, self.beside, self.before = _origins(found)
        self.known: dict[str, Term] = {}
        self.given: dict[str, Given] = {}
        self.steps: dict[str, tuple[str, Step, Evaluate]] = {}
        self.ends: dict[str, tuple[str, str]] = {}
        shared: dict[tuple[str, str, float], set[str]] = {}  # keys of the checks that have a step
        for check in self.checks:
            for step in check.working:
                shared.setdefault(_key(step), set()).add(check.key)
        for symbol in ("m_w0", "m_z0", *(("P",) if "P" in self.entries else ())):
            self._origin(symbol)
        for check in self.checks:
            for step in check.working:
                keys = shared[_key(step)]
                title = check.key
                if len(keys) > 1:
                    title = PATH if keys <= set(PATH_KEYS) else UNIT
                self._step(title, step)
            self._close(check)

    def _step(self, title: str, step: Step) -> None:
        """Put a step of a rule where it belongs, unless it is there."""
        if self._known_as(step.symbol, step.result.value) is not None:
            return
        own, entry = self.entries.get(step.symbol, (title, None))
        title = own if isinstance(entry, Formula | Text) else title
        names = {name: self._term(name, term) for name, term in step.terms.items()}
        formula = _formula_of(step)
        symbol = self._free(step.symbol)
        text = step.formula
        for name, other in names.items():
            text = text.replace(f"{{{name}}}", f"{{{other}}}")
        terms = {other: self.known[other] for other in names.values()}
        self._put(title, step._replace(symbol=symbol, formula=text, terms=terms), evaluator(formula, names))

    def _put(self, title: str, step: Step, evaluate: Evaluate) -> None:
        self.known[step.symbol] = step.result
        self.steps[step.symbol] = title, step, evaluate
        for other in self.beside.get(step.symbol, ()):
            self._origin(other)

    def _term(self, name: str, term: Term) -> str:
        """The symbol that a term of a step is known by, found where it is from if nothing above has it."""
        for symbol in filter(None, (term.of, name)):
            if symbol in self.entries:
                self._origin(symbol, term)
            called = self._known_as(symbol, term.value)
            if called is not None:
                return called
        entry = self.entries.get(name, ("", None))[1]
        several = entry if isinstance(entry, tuple) and not isinstance(entry, Known | Stated | Text) else ()
        origin = next((one.origin for one in several if _same(one.value, term.value)), None)
        return self._give(self._free(name), term, origin or UNKNOWN)

    def _give(self, symbol: str, term: Term, origin: str) -> str:
        self.known[symbol] = term
        self.given[symbol] = Given(symbol, term, origin)
        return symbol

    def _origin(self, symbol: str, asked: Term | None = None) -> None:
        """Bring in a symbol from where it is from, and all that it rests on."""
        if symbol in self.known:
            return
        for other in self.before.get(symbol, ()):
            self._origin(other)
        title, entry = self.entries[symbol]
        about = self.about.get(symbol) or (asked.kind, asked.meaning) if asked else self.about[symbol]
        if isinstance(entry, Known):
            self._give(symbol, Term(entry.value, *about[:2]), entry.origin)
        elif isinstance(entry, Stated):
            for name in entry.rests:
                self._origin(name)
            terms = {name: self.known[name] for name in entry.rests}
            result = Term(entry.value, *about[:2])
            step = Step(symbol, entry.words, terms, result, entry.source, stated=True)
            self._put(title, step, lambda values: entry.value)
        elif isinstance(entry, Formula | Text):
            formula = self._formula(entry)
            for name in formula.terms:
                self._origin(name)
            self._work(title, formula)

    def _work(self, title: str, formula: Formula) -> None:
        """Put the step of a formula whose terms are all known."""
        terms = {name: self.known[name] for name in formula.terms}
        step = formula(**{name: term.value for name, term in terms.items()}).at(0)
        self._put(title, step._replace(terms=terms), evaluator(formula, {name: name for name in terms}))

    def _formula(self, entry: Formula | Text) -> Formula:
        if isinstance(entry, Formula):
            return entry
        names = dict.fromkeys(re.findall(r"[^\W\d²][^\W²]*", entry.text))
        symbols = tuple((name, self.about[name]) for name in names if name in self.about)
        return made(entry, symbols)

    def _known_as(self, symbol: str, value: float) -> str | None:
        """The symbol by which a number is known, its own or one with a count behind it."""
        for called in (symbol, *(f"{symbol}{count}" for count in range(2, 9))):
            of_it = (
                called == symbol or called not in self.entries
            )  # one with a count may have an origin of its own
            if called in self.known and _same(self.known[called].value, value) and of_it:
                return called
        return None

    def _free(self, symbol: str) -> str:
        """The symbol, or if it has a number already, with a count behind it."""
        names = (symbol, *(f"{symbol}{count}" for count in range(2, 99)))
        return next(
            name for name in names if name not in self.known and (name == symbol or name not in self.entries)
        )

    def _close(self, check: Check) -> None:
        """Demand, capacity and utilisation of a check."""
        number = self.checks.index(check) + 1
        values = [step.result.value for step in check.working]
        results = [self._known_as(step.symbol, step.result.value) or "" for step in check.working]
        # a capacity that is worked out stands right behind its demand
        pairs = [
            names
            for names, (one, other) in zip(pairwise(results), pairwise(values), strict=True)
            if _same(one, check.demand) and _same(other, check.capacity)
        ]
        demand, capacity = pairs[-1] if pairs else (results[-1], "")
        if not capacity:
            term = Term(check.capacity, check.kind, f"capacity: {check.name}")
            capacity = self._give(f"C_{number}", term, capacity_origin(check.key, self.found.plan))
        self.ends[check.key] = demand, capacity
        if check.capacity > 0 and math.isfinite(check.utilisation):
            about: dict[str, Symbol] = {name: self.known[name][1:3] for name in (demand, capacity)}
            about[f"U_{number}"] = ("number", f"utilisation: {check.name}")
            used = Formula(f"U_{number} = {demand} / {capacity}", about, "demand over capacity")
            self._work(check.key, used)

    def chapters(self) -> tuple[Chapter, ...]:
        """In order, given numbers where they are first used, every symbol with the figures that it needs."""
        names = {check.key: check for check in self.checks}
        titles = (*ABOVE, *names)
        ordered = sorted(self.steps.values(), key=lambda found: titles.index(found[0]))
        digits = digits_for([(step, work) for _, step, work in ordered])
        placed: set[str] = set()
        found = []
        for title in titles:
            own = [_printed(step, digits) for place, step, _ in ordered if place == title]
            demand, capacity = self.ends.get(title, ("", ""))
            used = dict.fromkeys([*(name for step in own for name in step.terms), capacity])
            given = [self.given[name] for name in used if name in self.given and name not in placed]
            placed |= {one.symbol for one in given}
            shown = tuple(
                replace(one, term=one.term._replace(digits=digits.get(one.symbol, LEAST))) for one in given
            )
            if title in names:
                check = names[title]
                found.append(Chapter(check.name, shown, tuple(own), check.basis, check.key, demand, capacity))
            elif own or shown:
                found.append(Chapter(title, shown, tuple(own), ABOVE[title]))
        return tuple(found)


UNKNOWN: Final = "worked by the rule"
"""Origin of a number that no part of the calculation is known to give."""


def _printed(step: Step, digits: dict[str, int]) -> Step:
    terms = {name: term._replace(digits=digits[name]) for name, term in step.terms.items()}
    return step._replace(terms=terms, result=step.result._replace(digits=digits[step.symbol]))


def _key(step: Step) -> tuple[str, str, float]:
    return step.symbol, step.formula, float(step.result.value)


def _same(one: float, other: float) -> bool:
    return (math.isnan(one) and math.isnan(other)) or math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-9)


def _formula_of(step: Step) -> Formula:
    """The formula of a step of a rule, made again from its text."""
    text = Text(step.symbols(), step.source)
    symbols = {name: (term.kind, term.meaning) for name, term in step.terms.items()}
    symbols[step.symbol] = step.result.kind, step.result.meaning
    return made(text, tuple(symbols.items()))


_Near = dict[str, tuple[str, ...]]


def _origins(found: Demands) -> tuple[dict[str, tuple[str, Entry]], dict[str, Symbol], _Near, _Near]:
    """Chapter and entry of every symbol of the plan, its kind and meaning, and what is shown after and before it."""
    about: dict[str, Symbol] = dict(SYMBOLS | MORE)
    parts = (
        (SEA, origins_sea.sea),
        (HEAVE, origins_sea.heave),
        (STRING, origins_string.string),
        (STRING, origins_string.masses),
        (TRAVEL, origins_setting.travel),
        (SETTING, origins_setting.setting),
        (UNIT, origins_locked.locked),
        (UNIT, origins_unit.unit),
    )
    entries: dict[str, tuple[str, Entry]] = {}
    beside, before = _Near(), _Near()
    for title, fill in parts:
        part = Origins({}, about, beside, before)
        fill(found, part)
        entries.update({symbol: (title, entry) for symbol, entry in part.entries.items()})
    return entries, about, beside, before
