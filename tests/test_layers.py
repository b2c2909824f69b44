"""Who may import whom: every import in the package is read with ast and must point downward.

errors <- units <- fields <- sea <- vessel
                   fields <- drill_string <- compensator
                   fields <- hoisting
planning (what the user decides) on all physics; judging on planning; weather and simulation on judging;
studies on weather; teaching on simulation; files on all of these but teaching;
rigs on files; screens on all above physics
"""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

BASE = {"units", "errors", "fields", "formula", "threads", "arrays", "quantities"}
PHYSICS = {"sea", "vessel", "drill_string", "compensator", "hoisting"}
DECIDING = {"planning", "judging", "weather", "studies", "simulation", "teaching"}
MAY_IMPORT: dict[str, set[str]] = {
    "errors": set(),
    "threads": set(),
    "arrays": set(),
    "units": {"errors"},
    "fields": {"errors", "units"},
    "quantities": {"errors", "units", "fields"},
    "formula": {"errors", "units", "arrays"},
    "sea": BASE,
    "vessel": BASE | {"sea"},
    "drill_string": BASE,
    "hoisting": BASE,
    "compensator": BASE | {"drill_string"},
    "planning": BASE | PHYSICS,
    "judging": BASE | PHYSICS | {"planning"},
    "weather": BASE | PHYSICS | {"planning", "judging"},
    "studies": BASE | PHYSICS | {"planning", "judging", "weather"},
    "simulation": BASE | PHYSICS | {"planning", "judging"},
    "teaching": BASE | PHYSICS | {"planning", "judging", "simulation"},
    "files": BASE | PHYSICS | {"planning", "judging", "weather", "studies"},
    "rigs": BASE | PHYSICS | {"planning", "files"},
    "screens": BASE | DECIDING | {"files", "rigs"},
    "heave": BASE | PHYSICS | DECIDING | {"files", "rigs"},
    "app": {"screens"},
}
"""What a room of the house may import besides itself."""

PAGE_MAY_IMPORT = DECIDING | {"screens"}
THIRD_PARTY = {"numpy", "scipy", "pandas", "plotly", "streamlit", "openpyxl"}
PANDAS_ROOMS = ("heave.files", "heave.screens")
SLOW_SCIPY = ("scipy.stats", "scipy.signal")


@dataclass(frozen=True)
class Import:
    """One imported name: where it stands, its dotted path, and whether it runs on import."""

    module: str
    line: int
    target: str
    at_start: bool

    def __str__(self) -> str:
        return f"{self.module}, line {self.line}: {self.target}"


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def modules() -> list[Path]:
    """Every Python file of the planner itself."""
    found = sorted((ROOT / "heave").rglob("*.py"))
    return found + [path for path in (ROOT / "app.py",) if path.exists()]


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def imports_of(path: Path) -> Iterator[Import]:
    """Every import statement in a file, wherever it stands."""
    tree = tree_of(path)
    name = module_name(path)
    late = {
        id(inner)
        for outer in ast.walk(tree)
        if isinstance(outer, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda) or _for_types_only(outer)
        for inner in ast.walk(outer)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            targets = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name}, line {node.lineno}: imports are written in full"
            targets = [f"{node.module}.{alias.name}" for alias in node.names]
        else:
            continue
        for target in targets:
            yield Import(name, node.lineno, target, id(node) not in late)


def _for_types_only(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def room(dotted: str) -> str:
    """The room of the house a dotted path is in: `heave.sea.grid` is in `sea`."""
    parts = dotted.split(".")
    if parts[0] != "heave" or len(parts) == 1:
        return parts[0]
    return parts[1] if parts[1] in MAY_IMPORT else "heave"


def is_page(module: str) -> bool:
    return module.startswith("heave.screens.") and module.endswith(".page")


@cache
def all_imports() -> tuple[Import, ...]:
    """Of every module, read when the first test asks: a worker that runs no test of this file reads none."""
    return tuple(found for path in modules() for found in imports_of(path))


@cache
def ours() -> tuple[Import, ...]:
    return tuple(found for found in all_imports() if found.target.split(".")[0] == "heave")


@cache
def theirs() -> tuple[Import, ...]:
    known = {"heave", "__future__", *sys.stdlib_module_names}
    return tuple(found for found in all_imports() if found.target.split(".")[0] not in known)


def rests_on() -> dict[str, set[str]]:
    """What every room imports, as the imports themselves have it."""
    rooms: dict[str, set[str]] = {}
    for found in ours():
        own, other = room(found.module), room(found.target)
        rooms.setdefault(own, set())
        if other != own:
            rooms[own].add(other)
            rooms.setdefault(other, set())
    return rooms


def picture() -> str:
    """The rooms by layer, the highest first, each with what it rests on directly.

    A room stands one layer above the highest it imports; what another of its rooms already rests on is left out.
    """
    rooms = rests_on()

    def below(name: str) -> set[str]:
        return rooms[name].union(*(below(other) for other in rooms[name]))

    def height(name: str) -> int:
        return 1 + max((height(other) for other in rooms[name]), default=-1)

    lines = []
    for level in range(max(map(height, rooms)), -1, -1):
        for name in sorted(name for name in rooms if height(name) == level):
            direct = {o for o in rooms[name] if not any(o in below(p) for p in rooms[name])}
            arrow = f"  ->  {', '.join(sorted(direct))}" if direct else ""
            lines.append(f"{level:>4}  {name:<13}{arrow}".rstrip())
    return "\n".join(lines)


PICTURE = re.compile(r"(?<=<!-- layers -->\n```text\n).*?(?=\n```\n<!-- end of layers -->)", re.DOTALL)


def offenders(imports: list[Import]) -> str:
    return "\n".join(str(found) for found in imports)


def test_every_module_has_a_room() -> None:
    assert len(ours()) > 20
    homeless = {module_name(path) for path in modules()} - {"heave", "app"}
    homeless = {name for name in homeless if name.split(".")[1] not in MAY_IMPORT}
    assert homeless == set(), "say in MAY_IMPORT what this room may import"


def test_the_house_has_no_circles() -> None:
    done: list[str] = []
    while len(done) < len(MAY_IMPORT):
        ready = [name for name, below in MAY_IMPORT.items() if name not in done and below <= set(done)]
        assert ready, "MAY_IMPORT itself goes in a circle"
        done += ready


def test_imports_point_downward() -> None:
    upward = []
    for found in ours():
        own, other = room(found.module), room(found.target)
        if own != other and other not in MAY_IMPORT[own]:
            upward.append(found)
    assert not upward, offenders(upward)


def test_only_screens_know_streamlit_and_plotly() -> None:
    leaks = []
    for found in theirs():
        screen = found.target.split(".")[0] in {"streamlit", "plotly"}
        if screen and room(found.module) not in {"screens", "app"}:
            leaks.append(found)
    assert not leaks, offenders(leaks)


def test_figures_know_plotly_and_not_streamlit() -> None:
    figures = [found for found in theirs() if found.module.startswith("heave.screens.figures")]
    assert any(found.target.startswith("plotly") for found in figures)
    leaks = [found for found in figures if found.target.split(".")[0] == "streamlit"]
    assert not leaks, offenders(leaks)


def test_pages_only_arrange() -> None:
    pages = [found for found in all_imports() if is_page(found.module)]
    leaks = [found for found in pages if found in theirs() and found.target.split(".")[0] != "streamlit"]
    leaks += [found for found in pages if found in ours() and room(found.target) not in PAGE_MAY_IMPORT]
    assert not leaks, offenders(leaks)


def test_third_party_packages_are_the_six() -> None:
    others = [found for found in theirs() if found.target.split(".")[0] not in THIRD_PARTY]
    assert not others, offenders(others)
    books = [found for found in theirs() if found.target.split(".")[0] == "openpyxl"]
    assert [found.module for found in books] == ["heave.files.forecast.workbook"]
    assert not books[0].at_start, "only a workbook brings its reader"


def test_slow_parts_of_scipy_are_never_used() -> None:
    slow = [found for found in theirs() if found.target.startswith(SLOW_SCIPY)]
    assert not slow, offenders(slow)
    attributes = [
        f"{module_name(path)}, line {node.lineno}"
        for path in modules()
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.Attribute) and ast.unparse(node).startswith(SLOW_SCIPY)
    ]
    assert not attributes, "\n".join(attributes)


def test_pandas_stays_where_tables_are() -> None:
    stray = [
        found
        for found in theirs()
        if found.target.split(".")[0] == "pandas" and not found.module.startswith(PANDAS_ROOMS)
    ]
    assert not stray, offenders(stray)


def test_scipy_is_imported_only_when_needed() -> None:
    eager = [
        found
        for found in theirs()
        if found.at_start and found.target.split(".")[0] == "scipy" and room(found.module) != "screens"
    ]
    assert not eager, offenders(eager)


@pytest.mark.parametrize(
    "package", ["heave", "heave.planning", "heave.judging", "heave.weather", "heave.files"]
)
def test_the_library_is_cheap_to_import(package: str) -> None:
    """Only NumPy and the standard library come with `import heave`."""
    heavy = sorted(THIRD_PARTY - {"numpy"})
    script = f"import sys, {package}; print([n for n in {heavy!r} if n in sys.modules])"
    answer = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, timeout=300, check=True
    )
    assert answer.stdout.strip() == "[]"


def test_the_guide_shows_the_layers_as_they_are() -> None:
    shown = PICTURE.search((ROOT / "DEVELOPERS.md").read_text("utf-8"))
    assert shown is not None
    assert shown[0] == picture(), "PYTHONPATH=. python tests/test_layers.py draws it anew"


if __name__ == "__main__":
    guide = ROOT / "DEVELOPERS.md"
    guide.write_text(PICTURE.sub(lambda _: picture(), guide.read_text("utf-8")), "utf-8")
