"""One word for one thing, in every text that a user reads: the glossary's, and never one of its others."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from heave.screens.method.chapters import unwrapped
from heave.screens.method.glossary import GLOSSARY, Term
from heave.units import counted

ROOT = Path(__file__).resolve().parents[1]
ADDRESSES = re.compile(r"[a-z]+(?:-[a-z]+)+(?=\")|`[^`]*`|/[\w/-]+")
"""What is read by programs: addresses of pages, names in code marks, paths."""


def told() -> Iterator[tuple[str, str]]:
    """Every text of the program that is not about its code, and the guides: where, and what."""
    for path in sorted((ROOT / "heave").rglob("*.py")):
        if path.name == "glossary.py" or (
            path.parents[1].name == "files" and path.stem in ("words", "names")
        ):
            continue  # the glossary itself, and the many names that columns of other people's files have
        tree = ast.parse(path.read_text("utf-8"))
        silent = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if not isinstance(node, ast.Constant) or id(node) in silent:
                continue
            if isinstance(node.value, str) and " " in node.value:
                yield f"{path.relative_to(ROOT)}:{node.lineno}", node.value
    for name in ("README.md", "DEVELOPERS.md", "heave/files/plan_fields.md"):
        text = (ROOT / name).read_text("utf-8")
        for number, line in enumerate(text.splitlines(), 1):
            yield f"{name}:{number}", ADDRESSES.sub("", line)
    for path in sorted((ROOT / "heave/screens/method").glob("*.md")):
        for number, line in enumerate(unwrapped(path.read_text("utf-8")).splitlines(), 1):
            yield f"{path.name}, paragraph {number}", ADDRESSES.sub("", line)


@cache
def texts() -> tuple[tuple[str, str], ...]:
    """All that is told, read when the first test asks."""
    return tuple(told())


def test_the_texts_are_found() -> None:
    assert len(texts()) > 3000
    assert any("Seal friction" in words for _, words in texts())


@pytest.mark.parametrize("term", [term for term in GLOSSARY if term.never], ids=lambda term: term.word)
def test_nothing_has_a_second_name(term: Term) -> None:
    others = [re.compile(rf"\b{re.escape(name)}s?\b", 0 if name.isupper() else re.I) for name in term.never]
    found = [
        f"{place}: {other.pattern}" for place, words in texts() for other in others if other.search(words)
    ]
    assert found == [], f"the word is {term.word}"


def test_the_glossary_is_in_order_and_says_what_each_word_means() -> None:
    words = [term.word.lower() for term in GLOSSARY]
    assert words == sorted(words)
    assert len(set(words)) == len(words)
    assert all(term.meaning.endswith(".") and len(term.meaning) < 160 for term in GLOSSARY)


@pytest.mark.parametrize("term", GLOSSARY, ids=lambda term: term.word)
def test_every_word_of_the_glossary_is_used(term: Term) -> None:
    used = [part.strip() for part in re.split(r"[,;]", term.word.split(";")[0])]
    assert any(part.lower() in words.lower() for part in used for _, words in texts())


ODD = (
    r"\ball else\b",
    r"inside without it",
    r"[Bb]ack inside",
    r"were it exact",
    r"\bTake it\b",
    r"the begin of",
    r"(?<![\w.,])1 (?:gaps|windows|systems|steps|members|days|hours|checks|limits|ranges|values|rows|jobs)\b",
    r"seas that can be",
    r"is never inside",
    r"way on is known",
    r"which know no",
    r"[Nn]obody checked",
    r"even in a calm\b",
    r"\} answered rightly",
    r"asked for is",
    r"(?:right|[Oo]therwise) than expected",
    r"the freer she",
    r"[Tt]ake the (?:path|line|record) out",
    r"which is the most",
    r"\bof now or of\b",
    r"stands in the notes",
)
"""English that no driller speaks: what a reader stumbled over, and what came in its place is not to go back to it."""


@pytest.mark.parametrize("words", ODD)
def test_no_odd_english_comes_back(words: str) -> None:
    odd = re.compile(words)
    assert [f"{place}: {text[:80]}" for place, text in texts() if odd.search(text)] == []


def test_a_count_goes_with_its_noun() -> None:
    assert [counted(number, "gap") for number in (0, 1, 2)] == ["0 gaps", "1 gap", "2 gaps"]
    assert counted(1, "frequency", "frequencies") == "1 frequency"
    assert counted(3, "frequency", "frequencies") == "3 frequencies"
