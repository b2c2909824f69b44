"""The mutation script: what it changes, that it tells a change a test notices from one it does not, and its list."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from functools import lru_cache
from pathlib import Path

import pytest
from mutants import Mutant, formula_changes, mutants_of
from mutation import missed, wilson
from mutation_reach import Places

TINY = '''"""A load against its limit."""

LIMIT = 3.0


def over(load: float) -> bool:
    """Whether a load is over the limit of 4.0."""
    if load < 0.0:
        raise ValueError(f"{load + 1}")
    return load > LIMIT


def largest(loads: list[float]) -> float:
    return max(max(loads), loads[0])
'''

TINY_TEST = """import pytest

from heave.tiny.load import largest, over


def test_over():
    assert [over(load) for load in (0.0, 3.0, 3.05)] == [False, False, True]
    with pytest.raises(ValueError):
        over(-0.001)


def test_largest():
    assert largest([1.0, 2.0]) == 2.0
"""


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    """A checkout of one module and its test."""
    for name, text in {
        "heave/__init__.py": "",
        "heave/tiny/__init__.py": "",
        "heave/tiny/load.py": TINY,
        "tests/tiny/test_load.py": TINY_TEST,
        "pyproject.toml": '[tool.pytest.ini_options]\npythonpath = ["."]\naddopts = "--import-mode=importlib"\n',
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


@pytest.mark.parametrize("mapped", [False, True])
def test_only_the_one_change_that_makes_no_difference_is_missed(tiny: Path, root: Path, mapped: bool) -> None:
    """The first of two loads or the last, where the largest of them is meant; the limit itself is read anew.

    With a map of what each test reaches, only the one test of two that runs the changed line is asked.
    """
    out = tiny / "found.jsonl"
    script = root / "tests" / "benchmarks" / "mutation.py"
    options = ["--root", str(tiny), "--rooms", "tiny", "--tests", "tiny", "--size", "100", "--out", str(out)]
    if mapped:
        options += ["--map", str(tiny / "map.json")]
    ended = subprocess.run(
        [sys.executable, str(script), *options],
        capture_output=True,
        text=True,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        cwd=tiny,
        check=False,
    )
    assert ended.returncode == 0, ended.stderr
    found = [json.loads(line) for line in out.read_text("utf-8").splitlines()]
    assert len(found) == len(mutants_of(tiny / "heave/tiny/load.py", tiny))
    missed = [(one["function"], one["after"]) for one in found if one["status"] == "survived"]
    assert missed == [("largest", "return max(max(loads), loads[-1])")]
    assert any(one["function"] == "LIMIT" and one["status"] == "killed" for one in found)
    assert (tiny / "heave/tiny/load.py").read_text("utf-8") == TINY
    assert {one["met"] for one in found if one["function"] in {"over", "largest"}} == {1 if mapped else 2}
    if mapped:
        tests = json.loads((tiny / "map.json").read_text("utf-8"))["tests"]
        lines = {name.split("::")[1]: one["lines"] for name, one in tests.items()}
        assert lines == {
            "test_over": {"heave/tiny/load.py": [6, 8, 9, 10]},
            "test_largest": {"heave/tiny/load.py": [13, 14]},
        }
    assert f"{len(found) - 1} of {len(found)} noticed" in ended.stdout


def test_what_was_missed_is_found_again_in_what_a_run_kept(tiny: Path) -> None:
    """By file, function and text, whatever became of the line's number; what was noticed is not asked again."""
    made = mutants_of(tiny / "heave/tiny/load.py", tiny)
    rows = [
        {"status": status, "test": "", "line": one.line + 7}
        | {key: getattr(one, key) or one.name for key in ("file", "function", "what", "before", "after")}
        for one, status in zip(made, ("survived", "killed", "not reached", "timed out"), strict=False)
    ]
    kept = tiny / "kept.jsonl"
    kept.write_text("\n".join(map(json.dumps, rows)) + "\n", "utf-8")
    assert missed(tiny, kept) == [made[0], made[2]]


def test_what_is_changed_and_what_is_left_alone(tiny: Path) -> None:
    made = mutants_of(tiny / "heave/tiny/load.py", tiny)
    after = {one.after for one in made}
    assert {"return (load >= LIMIT)", "return (load <= LIMIT)", "LIMIT = 3.09", "if (load <= 0.0):"} <= after
    assert not any("ValueError" in one.before or "4.0" in one.before for one in made)
    for one in made:
        compile(one.apply(TINY.encode()), one.file, "exec")


def test_where_a_change_is_met(tiny: Path) -> None:
    """A changed line by its statement; a constant, and what is made of it, by the functions that use its name."""
    (tiny / "heave/tiny/made.py").write_text(
        "from heave.tiny.load import LIMIT\n\nTWICE = (\n    2.0\n    * LIMIT\n)\n\n\ndef twice(load):\n"
        "    if (\n        load > 1.0\n    ):\n        return load > TWICE\n    return False\n"
    )
    places = Places(tiny)
    limit = next(one for one in mutants_of(tiny / "heave/tiny/load.py", tiny) if one.name == "LIMIT")
    made, load = "heave/tiny/made.py", "heave/tiny/load.py"
    assert set(places.of(limit, in_place=False)) == {(load, 7, 10), (made, 10, 14)}
    inside = next(one for one in mutants_of(tiny / made, tiny) if one.function == "twice")
    assert places.of(inside, in_place=True) == [(made, 10, 12)]


def test_changes_of_a_formula() -> None:
    text = "W_h + m_c × g² − max(F_k, 2) / √(n)"
    after = {text[:at] + by + text[at + length :] for at, length, by, _ in formula_changes(text)}
    assert after >= {
        "W_h − m_c × g² − max(F_k, 2) / √(n)",
        "W_h + 0 × m_c × g² − max(F_k, 2) / √(n)",
        "W_h + m_c × g − max(F_k, 2) / √(n)",
        "W_h + m_c × g² − min(F_k, 2) / √(n)",
        "W_h + m_c × g² − max(F_k, 2.06) / √(n)",
        "W_h + m_c × g² − max(F_k, 2) / (n)",
    }


def test_limits_of_a_share_are_those_of_wilson() -> None:
    """81 of 263: 0.2553 to 0.3662 (Newcombe, Statistics in Medicine 17, 1998, table I, method 3)."""
    assert wilson(81, 263) == pytest.approx((0.2553, 0.3662), abs=5e-5)


SURVIVORS = Path(__file__).parent / "benchmarks" / "mutation_survivors.csv"


@lru_cache(maxsize=64)
def changes(path: Path, root: Path) -> frozenset[tuple[str, str, str]]:
    return frozenset(map(place, mutants_of(path, root)))


def place(one: Mutant) -> tuple[str, str, str]:
    return one.function or one.name, one.before, one.after


def test_every_listed_survivor_is_still_a_change_that_can_be_made(root: Path) -> None:
    with SURVIVORS.open(encoding="utf-8", newline="") as file:
        listed = list(csv.DictReader(file))
    assert listed
    for one in listed:
        assert one["held"] in {"equal in effect", "not yet held"}, one
        assert one["why"] != "", one
        known = changes(root / one["file"], root)
        assert (one["function"], one["before"], one["after"]) in known, one
