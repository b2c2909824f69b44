"""One way of writing numbers on every page, in both systems of units.

The thousands stand apart by a narrow no-break space and a no-break space is put before the unit, before % as well
(The International System of Units, BIPM, 9th edition, 2019, 5.4.3, 5.4.4 and 5.4.7); a minus is a minus sign; a result
has three figures, at most four where more are asked for. Whole numbers of a sentence, as in
"every 3 h", are words of it.
"""

from __future__ import annotations

import ast
import re
import unicodedata
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from heave.units import UNITS, fixed, per_cent, round_number, with_unit

FOLDERS = (
    "check",
    "weather",
    "weight_on_bit",
    "hoisting",
    "limits",
    "sensitivity",
    "climate",
    "compare",
    "rig",
    "calculation",
)
"""Of the pages that show results; the page of methods prints formulas and sources."""

ROOT = Path(__file__).resolve().parents[2]
ROOM = "\u00a0\u202f"
APART = [symbol for symbol in UNITS if symbol[:1] not in ("", "°", "/") and symbol != "in"]
SYMBOLS = sorted(APART, key=len, reverse=True)
UNIT = "|".join(re.escape(symbol) for symbol in SYMBOLS)

CHAIN = "**Down to it, from what is given.**"
EXEMPT = re.compile(
    r"""\d{4}-\d{2}-\d{2}(?:[T ][\d:]+Z?)?      # days and times
    |\d{1,2}:\d{2}(?::\d{2})?                  # times of day
    |\b(?:DNV|API|ISO|RP|OS|ST|IACS|EN|RFC|IEEE)\b[-\w/.\s]*?\d[\w.-]*  # names of documents
    |\b(?:19|20)\d{2}\b                        # years
    |\b\d+-\d+/\d+\b                           # sizes of pipe, as the trade writes them
    |\S*(?:_|\.csv|\.json|\.txt)\S*            # names of files and columns
    |UTC[+-]\d+                                # zones
    |\b[\d.]+[ ]lb/ft                           # weights of pipe, part of its name
    |At\s[\d.]+\ss,\swhere\sthe\sfilm\sstands   # an instant of the film
    |400\sklbf                                 # in names of the demonstration's equipment
    |\d+(?:,\s?\d+)*(?:\sand\s\d+)?\s?MB""",
    re.VERBOSE,
)
"""What is no number of a result: it is written as its own custom has it."""


class Everything(dict[str, bool]):
    """Says of every disclosure that it is open."""

    def get(self, _key: str, _default: Any = None) -> bool:  # type: ignore[override]
        """Open."""
        return True


def told(app: AppTest) -> Iterator[str]:
    """Words of the page, escapes taken out; numbers in boxes and CSV files are as they were typed."""
    kinds = (
        app.markdown,
        app.caption,
        app.title,
        app.subheader,
        app.error,
        app.success,
        app.info,
        app.warning,
    )
    for kind in kinds:
        for item in kind:
            yield re.sub(r"\\(.)", r"\1", item.value)
    for expander in app.expander:
        yield expander.label


def faults(words: str) -> Iterator[str]:
    """What in the words is written in another way."""
    exact = words.startswith((CHAIN, "| hs_from_m "))
    words = EXEMPT.sub(" … ", words)
    for found in re.finditer(r"(?<![\w.\u202f/^-])\d{5,}(?![\w/])", words):
        yield f"no thin spaces: {found[0]}"
    for found in re.finditer(rf"(?<![\w.])\d+(?:\.\d+ ?(?:{UNIT})(?![\w-])|%)", words):
        yield f"no no-break space: {found[0]}"
    for found in re.finditer(r"(?<![\w\u202f.-])-\d", words):
        yield f"hyphen for minus: {words[max(found.start() - 10, 0) : found.end() + 10]}"
    if exact:
        return  # as many figures as it takes to work every step again by hand; a file as it is saved
    for found in re.finditer(r"(?<![\w.\u202f])(\d[\d\u202f]*)\.(\d+)(?![\w.])", words):
        digits = (found[1] + found[2]).replace("\u202f", "").lstrip("0")
        if len(digits) > 4:
            yield f"more than four figures: {found[0]}"


def page(folder: str, system: str) -> AppTest:
    app = AppTest.from_file(str(ROOT / "app.py"), default_timeout=300)
    app.session_state["heave:units"] = system
    if system == "oilfield":  # the one that has numbers without end
        app.session_state["heave:opened"] = Everything()
    app.run()
    if folder != "check":
        app.switch_page(f"heave/screens/{folder}/page.py").run()
    assert not app.exception
    return app


@pytest.mark.parametrize("system", ["metric", "oilfield"])
@pytest.mark.parametrize("folder", FOLDERS)
def test_every_number_on_a_page_is_written_in_one_way(folder: str, system: str) -> None:
    shown = page(folder, system)
    found = [f"{fault}   in: {words[:60]!r}" for words in told(shown) for fault in faults(words)]
    assert not found, "\n".join(dict.fromkeys(found))


KEPT = "# a name"
"""Beside what is no sentence: names of pipes, wave systems and equipment, which plans keep as they are."""

LOWER_ROOMS = (
    *("compensator", "drill_string", "files", "hoisting", "judging", "planning", "sea"),
    *("simulation", "studies", "teaching", "vessel", "weather"),
)


def broken(source: str) -> Iterator[str]:
    """Of Python, texts that are no docstrings in which a plain space stands between a number and its unit, or that
    leave it to Python to write a share in per cent."""
    tree = ast.parse(source)
    kept = {node.value for node in ast.walk(tree) if isinstance(node, ast.Expr)}  # docstrings
    names = {number for number, line in enumerate(source.split("\n"), 1) if KEPT in line}
    kept |= {
        node
        for node in ast.walk(tree)
        if names & {getattr(node, "lineno", 0), getattr(node, "end_lineno", 0)}
    }
    after = {
        words
        for node in ast.walk(tree)
        if isinstance(node, ast.JoinedStr)
        for one, words in pairwise(node.values)
        if isinstance(one, ast.FormattedValue)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield from (f"line {node.lineno}: {ast.unparse(node)[:60]}" for _ in _apart(node))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in kept:
            words = f"0{node.value}" if node in after else node.value
            if re.search(PLAIN, words):
                yield f"line {node.lineno}: {node.value[:40]}"


PLAIN = rf"(?:(?<![A-Za-z_^])(?<![A-Za-z]-)\d[\d.,\u202f]*|\}}) (?:{UNIT}|MB)(?![\w/·-])"
"""A number, or a place for one, a plain space and a unit; no powers of units, as in m/s2."""


def _apart(node: ast.JoinedStr) -> Iterator[ast.AST]:
    """Values with a plain space before a unit that has a name, or written with Python's own sign of per cent."""
    values = node.values
    for place, value in enumerate(values):
        if not isinstance(value, ast.FormattedValue):
            continue
        if value.format_spec is not None and ast.unparse(value.format_spec).strip("f'\"").endswith("%"):
            yield value
        between = values[place - 1] if place > 1 else None
        if isinstance(between, ast.Constant) and between.value == " ":
            name = ast.unparse(value.value)
            if re.search(r"(?:^|[._])(?:unit|symbol)$", name) and isinstance(
                values[place - 2], ast.FormattedValue
            ):
                yield value


@pytest.mark.parametrize("room", LOWER_ROOMS)
def test_sentences_of_the_library_keep_number_and_unit_on_one_line(room: str) -> None:
    found = [
        f"{path.relative_to(ROOT)} {fault}"
        for path in sorted((ROOT / "heave" / room).rglob("*.py"))
        for fault in broken(path.read_text("utf-8"))
    ]
    assert not found, "\n".join(found)


def test_no_per_cent_is_written_without_its_space() -> None:
    """Python's own format for a share puts none before the sign."""
    found = [
        f"{path.relative_to(ROOT)}: {line.strip()}"
        for path in sorted((ROOT / "heave").rglob("*.py"))
        for line in path.read_text("utf-8").splitlines()
        if re.search(r"(?<!width):[-+.0-9]*%\}", line)
    ]
    assert not found, "\n".join(found)


def test_plain_spaces_in_sentences_are_noticed() -> None:
    assert list(broken("told = f'a value every {step:g} h'"))
    assert list(broken("told = 'some 2 % of it'"))
    assert list(broken("told = '{:g} kN'.format(load)"))
    assert list(broken("told = f'{load:g} {unit}'"))
    assert list(broken("told = f'{load:g} {box.unit.symbol} of it'"))
    assert list(broken("told = f'{share:.0%} of it'"))
    assert not list(broken("name = f'{size:g} in'\nnote = '4 m draught'  # a name, kept in plans"))
    assert not list(broken("words = 'm/s2 m/s^2 ms-2 m.s-2'"))
    assert not list(broken("told = f'{count} {noun} of {name}'"))
    assert not list(broken('def f():\n    """Within 3 m."""\n    return f\'{a} in {b}\u00a0m of {c}\''))


def test_faults_are_noticed() -> None:
    for words in ("12345 of them", "3.60 m", "12%", "85.0 %", "from -3 up", "9.18635\u00a0ft"):
        assert list(faults(words)), words
    for words in (
        "12\u202f345\u00a0m",
        "85\u00a0%",
        "\u22123.6\u00a0m",
        "2026-03-04 05:00",
        "9.19\u00a0ft",
        "5-1/2 in pipe",
    ):
        assert not list(faults(words)), words


@pytest.mark.parametrize(
    ("made", "text"),
    [
        (fixed(12345.678, 1), "12\u202f345.7"),
        (fixed(-0.001, 2), "0.00"),
        (fixed(-3.0, 0), "\u22123"),
        (fixed(float("nan"), 1), "not known"),
        (round_number(12000.0), "12\u202f000"),
        (round_number(-0.25), "\u22120.25"),
        (round_number(0.0), "0"),
        (round_number(2e7), "20\u202f000\u202f000"),
        (per_cent(0.125, 1), "12.5\u00a0%"),
        (per_cent(float("nan")), "not known"),
        (with_unit("3", "°"), "3°"),
        (with_unit("3", ""), "3"),
        (with_unit("3", "/h"), "3/h"),
        (with_unit("3", "kN"), "3\u00a0kN"),
    ],
)
def test_numbers_are_written_as_said(made: str, text: str) -> None:
    assert made == text


def test_the_spaces_are_those_that_do_not_break() -> None:
    assert {unicodedata.name(one) for one in ROOM} == {"NO-BREAK SPACE", "NARROW NO-BREAK SPACE"}
