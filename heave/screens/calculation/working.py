"""The parts of the sheet that a reviewer works through: inputs, then every step with its numbers."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from itertools import groupby
from typing import Final

from heave.files.listing import Group, Input
from heave.formula import Step, Term
from heave.judging import Assessment, Check
from heave.judging.calculation import Chapter, Given
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import SHOWN_DIGITS, WORDS, sentence, shown_number
from heave.screens.printing import mark, table, tag, words
from heave.units import show, unit_of, with_unit

DIGITS: Final = 4
"""Significant figures of what is given, as many as the steps print."""

BESIDE: Final = 4
"""Most things alike that stand side by side in one table."""

SHORT: Final = 14
"""Most rows of a table of given numbers that is kept on one page; a longer one goes on under its head."""


_INDEXED: Final = re.compile(r"([^\W\d_²][^\W_²]*)_([^\W_²]+(?:_[^\W_²]+)*)")
_IN_WORDS: Final = re.compile(r"\b([^\W\d_²][^\W_²]{0,2})_([^\W_²]{1,3})\b")
"""A symbol among other words is short; longer words with an underscore are names of files and columns."""


def symbols_html(text: str, among: re.Pattern[str] = _INDEXED) -> str:
    """A formula or a symbol with what stands after an underscore as its index.

    Parameters
    ----------
    text : as it is printed
    among : what counts as a symbol in it
    """
    return among.sub(lambda found: f"{found[1]}<sub>{found[2].replace('_', ',')}</sub>", escape(text))


def input_text(one: Input, system: str) -> str:
    """A value of the plan with its unit, as its box shows it; empty where it is not given.

    Parameters
    ----------
    one : the value
    system : units on the paper
    """
    if one.value is None or one.value == "":
        return ""
    if one.kind:
        unit = unit_of(one.kind, system).symbol
        return with_unit(shown_number(float(one.value), one.kind, system, SHOWN_DIGITS), unit)
    if isinstance(one.value, bool):
        return "yes" if one.value else "no"
    return WORDS.get(one.value, one.value) if isinstance(one.value, str) else str(one.value)


def inputs_html(groups: Sequence[Group], system: str) -> str:
    """Values of the plan: those of an object under its title, then objects alike beside each other in tables.

    Parameters
    ----------
    groups : in reading order
    system : units on the paper
    """
    alone = [words("h3", one.title) + _pairs(one, system) for one in groups if not one.table]
    parts = [tag("div", "".join(alone), "two")]
    for name, together in groupby((one for one in groups if one.table), key=lambda group: group.table):
        parts.append(words("h3", name))
        parts += _side_by_side(list(together), system)
    return "".join(parts)


def _pairs(group: Group, system: str) -> str:
    """Labels and values of one object, and what of it is not given in a line."""
    told = [(one, sentence(one.label), input_text(one, system)) for one in group.inputs]
    absent = [label for _, label, value in told if not value]
    rows = "".join(
        tag("tr", words("td", label) + words("td", value, "number" if one.kind else ""))
        for one, label, value in told
        if value
    )
    left = words("p", f"Not given: {', '.join(absent)}.", "quiet") if absent else ""
    return (tag("table", tag("tbody", rows), "pairs") if rows else "") + left


def _side_by_side(alike: Sequence[Group], system: str) -> Iterator[str]:
    """Objects alike, a column each; a value that none has is left away."""
    for start in range(0, len(alike), BESIDE):
        some = alike[start : start + BESIDE]
        labels = list(dict.fromkeys(one.label for group in some for one in group.inputs))
        columns = [{one.label: input_text(one, system) for one in group.inputs} for group in some]
        rows = [(sentence(label), *(column.get(label, "") for column in columns)) for label in labels]
        head = ("", *(str(place) for place in range(start + 1, start + len(some) + 1)))
        yield tag("div", table(head, [row for row in rows if any(row[1:])]), "wide whole")


def chapters_html(chapters: Sequence[Chapter], assessment: Assessment, system: str) -> str:
    """Every chapter of the calculation: what is given, its steps, and the check it ends in.

    Parameters
    ----------
    chapters : of the assessment
    assessment : for the checks
    system : units on the paper
    """
    checks = {check.key: check for check in assessment.checks}
    terms = {one.symbol: one.term for chapter in chapters for one in chapter.given}
    terms |= {step.symbol: step.result for chapter in chapters for step in chapter.steps}
    return "".join(
        _chapter(number, chapter, checks.get(chapter.check), terms, system)
        for number, chapter in enumerate(chapters, 1)
    )


def _chapter(
    number: int, chapter: Chapter, check: Check | None, terms: Mapping[str, Term], system: str
) -> str:
    parts = [words("h3", f"{number}. {chapter.title}"), words("p", chapter.words, "lead")]
    if chapter.given:
        head = "".join(words("th", name) for name in ("", "Given", "Value", "From"))
        rows = "".join(_given(one, system) for one in chapter.given)
        kind = "given whole" if len(chapter.given) <= SHORT else "given"
        parts.append(tag("table", tag("thead", tag("tr", head)) + tag("tbody", rows), kind))
    common = "" if check is None else check.source
    parts += [_step(step, common, system) for step in chapter.steps]
    if not chapter.steps and not chapter.given:
        parts.append(words("p", "Every step of it stands in a chapter above.", "quiet"))
    if check is not None:
        parts.append(_result(check, [terms.get(name) for name in (chapter.demand, chapter.capacity)], system))
    return "".join(parts)


def _given(one: Given, system: str) -> str:
    origin = "" if one.origin == one.term.meaning else one.origin
    meaning, from_ = (tag("td", symbols_html(text, _IN_WORDS)) for text in (one.term.meaning, origin))
    symbol, number = tag("td", symbols_html(one.symbol), "sym"), words("td", one.term.shown(system), "number")
    return tag("tr", symbol + meaning + number + from_)


def _step(step: Step, common: str, system: str) -> str:
    """A step in symbols and in numbers, what its result is, and its source where that is not the `common` one."""
    told = f"{symbols_html(step.symbol)}: {symbols_html(step.result.meaning, _IN_WORDS)}"
    if step.source and step.source != common:
        told += f" · source: {escape(step.source)}"
    symbols = tag("p", symbols_html(step.symbols()), "sym")
    numbers = tag("p", symbols_html(step.numbers(system)), "num")
    return tag("div", symbols + numbers + tag("p", told, "quiet"), "step")


def _result(check: Check, terms: Sequence[Term | None], system: str) -> str:
    """What a check comes to, and what it rests on; demand and capacity printed as their steps print them."""
    demand, capacity = (
        show(value, check.kind, system, DIGITS) if term is None else term.shown(system)
        for value, term in zip((check.demand, check.capacity), terms, strict=True)
    )
    used = f"demand {demand} / capacity {capacity} = {utilisation_text(check.utilisation)}"
    high = "" if check.high <= check.utilisation else f", to {utilisation_text(check.high)} over the ranges"
    told = f"{mark(check.state)} <b>{escape(check.name)}: {escape(check.state)}</b>, {escape(used + high)}."
    return tag("p", f"{told} Source: {escape(check.source)}.", "result")
