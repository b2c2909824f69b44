"""The repository itself: nothing at the top that does not belong, no loose ends, no machine's own paths."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "requirements.txt",
    "app.py",
    "heave",
    "tests",
    "sea_states",
    "pyproject.toml",
}
"""What may stand at the top besides names that begin with a dot."""

RUN_TIME_PACKAGES = {"streamlit", "numpy", "scipy", "pandas", "plotly", "pytest", "openpyxl"}
LONGEST_MODULE = 400
LONGEST_FUNCTION = 80
TEXT_SUFFIXES = {".py", ".md", ".txt", ".toml", ".csv", ".json", ".yml", ""}
CHECKING_CALL = re.compile(r"_?(assert|raises|warns|check|no_|fail|same|close|refused|expect)")
IGNORED = {".git", ".venv", "__pycache__", "shots"}

# Written in pieces, so that this file does not find itself.
LOOSE_ENDS = ("TO" + "DO", "FIX" + "ME", "XX" + "X", "HA" + "CK", "NotImplemented" + "Error")
_PLACES = ("ho" + "me", "ro" + "ot", "wo" + "rk", "Us" + "ers", "op" + "t", "tm" + "p", "sr" + "v")
MACHINE_PATHS = re.compile(rf"(?<![\w.}}\])])/({'|'.join(_PLACES)})/\w[\w./-]*")


def tracked() -> list[Path]:
    """The files of the repository: those git knows, or without git all that are not left-overs."""
    if (ROOT / ".git").exists() and shutil.which("git"):
        command = ["git", "-c", f"safe.directory={ROOT}", "-C", str(ROOT), "ls-files", "-z"]
        listed = subprocess.run(command, capture_output=True, check=True).stdout.decode().split("\0")
        return sorted(path for name in listed if name and (path := ROOT / name).exists())
    return sorted(
        path
        for path in ROOT.rglob("*")
        if path.is_file()
        and not any(p in IGNORED or p.endswith("_cache") for p in path.relative_to(ROOT).parts)
    )


FILES = tracked()
TEXTS = [path for path in FILES if path.suffix in TEXT_SUFFIXES]
MODULES = [path for path in FILES if path.suffix == ".py"]


def named(paths: list[Path]) -> list[str]:
    return [str(path.relative_to(ROOT)) for path in paths]


def test_the_files_are_found() -> None:
    assert "heave/units.py" in named(FILES)
    assert len(MODULES) > 20


def test_the_top_holds_only_what_belongs_there() -> None:
    tops = {path.relative_to(ROOT).parts[0] for path in FILES}
    extra = {name for name in tops if not name.startswith(".")} - TOP_LEVEL
    assert extra == set()
    assert tops >= TOP_LEVEL


def test_text_is_plain_utf8_with_unix_lines() -> None:
    for path in TEXTS:
        data = path.read_bytes()
        text = data.decode("utf-8")
        if "tests" not in path.parts and "sea_states" not in path.parts:
            assert not data.startswith(b"\xef\xbb\xbf"), path
            assert "\r" not in text, path


@pytest.mark.parametrize("word", LOOSE_ENDS)
def test_no_loose_ends(word: str) -> None:
    found = [path for path in TEXTS if re.search(rf"\b{word}\b", path.read_text("utf-8"))]
    assert named(found) == []


def test_no_path_of_one_machine() -> None:
    found = {
        str(path.relative_to(ROOT)): match[0]
        for path in TEXTS
        if (match := MACHINE_PATHS.search(path.read_text("utf-8")))
    }
    assert found == {}


def test_modules_stay_small() -> None:
    long = {
        str(path.relative_to(ROOT)): lines
        for path in MODULES
        if (lines := len(path.read_text("utf-8").splitlines())) > LONGEST_MODULE
    }
    assert long == {}


def test_functions_fit_a_screen() -> None:
    """Counted from the first statement after the docstring; tables of data in tests are not functions."""
    long = {}
    for path in MODULES:
        if path.is_relative_to(ROOT / "tests"):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef):
                first = node.body[1] if ast.get_docstring(node) and len(node.body) > 1 else node.body[0]
                lines = (node.end_lineno or 0) - first.lineno + 1
                if lines > LONGEST_FUNCTION:
                    long[f"{path.relative_to(ROOT)}: {node.name}"] = lines
    assert long == {}


def judges(node: ast.AST) -> bool:
    """True for code that can turn an answer down: it asserts, raises, or lets all but one error through."""
    return any(isinstance(inner, ast.Assert | ast.Raise | ast.Try) for inner in ast.walk(node))


def test_every_test_can_fail() -> None:
    """A test without an assertion, an expected error or a helper that judges would prove nothing."""
    empty = []
    for path in (path for path in MODULES if path.name.startswith("test_")):
        tree = ast.parse(path.read_text("utf-8"))
        functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
        helpers = {node.name for node in functions if judges(node) and not node.name.startswith("test_")}
        for node in (node for node in functions if node.name.startswith("test_")):
            if judges(node):
                continue
            called = [ast.unparse(inner.func) for inner in ast.walk(node) if isinstance(inner, ast.Call)]
            names = {name.split(".")[-1] for name in called}
            if not (names & helpers or any(CHECKING_CALL.match(name) for name in names)):
                empty.append(f"{path.relative_to(ROOT)}: {node.name}")
    assert empty == []


def test_skips_give_a_reason() -> None:
    bare = []
    for path in (path for path in MODULES if path.is_relative_to(ROOT / "tests")):
        text = path.read_text("utf-8")
        for node in ast.walk(ast.parse(text)) if "skip" in text or "xfail" in text else ():
            if isinstance(node, ast.Call) and ast.unparse(node.func) in {
                "pytest.skip",
                "pytest.mark.skip",
                "pytest.mark.skipif",
                "pytest.mark.xfail",
                "pytest.importorskip",
            }:
                worded = bool(node.args) if "mark" not in ast.unparse(node.func) else False
                if not worded and not any(key.arg == "reason" for key in node.keywords):
                    bare.append(f"{path.relative_to(ROOT)}, line {node.lineno}")
    assert bare == []


def test_the_planner_needs_only_its_own_packages() -> None:
    lines = (ROOT / "requirements.txt").read_text("utf-8").splitlines()
    lines = [line for line in lines if line.strip() and not line.startswith("#")]
    names = {re.split(r"[<>=!~\[; ]", line)[0].lower() for line in lines}
    assert names == RUN_TIME_PACKAGES
    for line in lines:
        assert ">=" in line, line
        assert "<" in line, line


def test_tests_need_nothing_the_planner_has() -> None:
    extra = (ROOT / "tests" / "requirements.txt").read_text("utf-8").splitlines()
    names = {re.split(r"[<>=!~\[; ]", line)[0].lower() for line in extra if line and not line.startswith("#")}
    assert names.isdisjoint(RUN_TIME_PACKAGES)


def test_the_guide_names_the_two_commands() -> None:
    """Each one line in a block of its own, and every file it names exists."""
    guide = (ROOT / "README.md").read_text("utf-8")
    blocks = re.findall(r"```sh\n(.*?)\n```", guide, re.DOTALL)
    assert len(blocks) >= 2
    start, test = blocks[:2]
    assert "\n" not in start + test
    assert "streamlit run app.py" in start
    assert "pytest" in test
    for name in re.findall(r"-r (\S+)", start + " " + test):
        assert (ROOT / name).exists()


def test_local_links_of_the_guides_lead_somewhere() -> None:
    for guide in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / guide).read_text("utf-8")
        for link in re.findall(r"\]\(([^)#\s]+)", text):
            if "://" not in link:
                assert (ROOT / link).exists(), f"{guide}: {link}"


def test_python_version_is_stated_once_for_all_tools() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]
    assert settings["ruff"]["target-version"] == "py" + settings["mypy"]["python_version"].replace(".", "")
    assert sys.version_info >= (3, 11)


@pytest.mark.parametrize(
    "command",
    [("ruff", "check", "."), ("ruff", "format", "--check", "."), ("mypy",)],
    ids=" ".join,
)
def test_style(command: tuple[str, ...]) -> None:
    pytest.importorskip(command[0], reason=f"{command[0]} comes with tests/requirements.txt")
    answer = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, timeout=600, check=False
    )
    assert answer.returncode == 0, answer.stdout + answer.stderr


HELD_FROM = "02d97f0"
"""Commits after this one are held to the length of their subject."""


def test_subjects_of_commits_are_short() -> None:
    command = ["git", "-c", f"safe.directory={ROOT}", "-C", str(ROOT), "log", "--format=%s", f"{HELD_FROM}.."]
    if not ((ROOT / ".git").exists() and shutil.which("git")):
        pytest.skip("no history beside these files")
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        pytest.skip("the history here does not go back so far")
    assert [subject for subject in done.stdout.splitlines() if len(subject) > 72] == []
