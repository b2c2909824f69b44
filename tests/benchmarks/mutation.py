"""Does a test notice a small change of the planner? A random sample of changes, each tried against the nearest tests.

    python tests/benchmarks/mutation.py --size 100 --seed 1 [--rooms sea judging] [--only LOCKED] [--out found.jsonl]
    python tests/benchmarks/mutation.py --again found.jsonl --patience 20 --budget 200

The checkout is copied to a temporary folder; nothing is written beside it. The tests of the physics are collected
there once, and every change is made in a fork of that process: in a function by putting the changed code in its
place, in a formula by its text, elsewhere by reading package and tests anew from the changed copy. Tests run from the
nearest on (by the names they use and where they stand) until one fails or `--budget` seconds of processor time are
gone; a test past `--patience` is left. One that takes so long only with the change has noticed it. `--again` tries
those of a run that were not noticed once more, with the tests as they are now and more time, and tells those that no
test reaches.
"""

from __future__ import annotations

import argparse
import ast
import gc
import json
import math
import os
import random
import re
import select
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain
from pathlib import Path
from types import FunctionType
from typing import Any, Final

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from mutants import Mutant, mutants_of
from mutation_reach import Places, Reach
from mutation_trial import PYTEST, Trial

ROOT: Final = Path(__file__).resolve().parents[2]
ROOMS: Final = ("sea", "vessel", "drill_string", "compensator", "hoisting", "planning", "judging")
TESTS: Final = (
    *("sea", "vessel", "drill_string", "compensator", "hoisting", "planning", "judging", "published"),
    *("weather", "test_fields.py", "test_known_limits.py"),
    *(f"files/test_{name}.py" for name in ("plan_file", "plan_layouts", "progress", "registry")),
)
NOTICED: Final = ("killed", "timed out")
KEYS: Final = ("file", "function", "what", "before", "after")
LONGEST_WAIT: Final = 900.0
"""Time by the clock after which a change is taken to hang [s]."""
HUNG: Final = {"status": "timed out", "test": "", "seconds": {}, "left": [], "asked": 0, "met": 0}
STEPS: Final = 4
"""Steps from what is changed to what uses it, and to what uses that, by which a test may mean it."""
WORD: Final = re.compile(r"\w+")


def sample(root: Path, rooms: Sequence[str], size: int, seed: int, only: str = "") -> list[Mutant]:
    """`size` mutants drawn from the rooms, from every module by its share; all that hold the text `only`."""
    chance, drawn = random.Random(seed), list[Mutant]()
    modules = sorted(path for room in rooms for path in (root / "heave" / room).rglob("*.py"))
    each = {path: mutants_of(path, root) for path in modules}
    if only:
        return [
            m for made in each.values() for m in made if only in f"{m.file}:{m.function}{m.name}: {m.before}"
        ]
    whole = sum(map(len, each.values()))
    due = 0.0
    for path in chance.sample(modules, len(modules)):  # what is due carries over, so that the sum is the size
        due += size * len(each[path]) / whole
        take = min(round(due), len(each[path]))
        due -= take
        drawn += chance.sample(each[path], take)
    return chance.sample(drawn, len(drawn))


def missed(root: Path, found: Path) -> list[Mutant]:
    """The mutants of a run, kept in the file `found`, that were not noticed, in its order."""
    wanted = [row for row in rows_of(found) if row["status"] not in NOTICED]
    made = {file: mutants_of(root / file, root) for file in {row["file"] for row in wanted}}
    return [next(one for one in made[row["file"]] if told_of(one).items() <= row.items()) for row in wanted]


def rows_of(found: Path | None) -> list[dict[str, Any]]:
    """The results that a file keeps; none where there is no file yet."""
    if found is None or not found.exists():
        return []
    return [json.loads(line) for line in found.read_text("utf-8").splitlines()]


def told_of(mutant: Mutant) -> dict[str, Any]:
    """What a result says of its mutant, but for the line, which moves."""
    return {key: getattr(mutant, key) or mutant.name for key in KEYS}


def wilson(hits: int, of: int, z: float = 1.96) -> tuple[float, float]:
    """Limits of a share at 95 %, by Wilson (Journal of the American Statistical Association 22, 1927)."""
    if not of:
        return 0.0, 1.0
    share, spread = hits / of, z * z / of
    half = z * math.sqrt(share * (1 - share) / of + spread / (4 * of))
    return tuple((share + spread / 2 + sign * half) / (1 + spread) for sign in (-1, 1))  # type: ignore[return-value]


def _text(path: Path) -> str:
    """What a test file says, and the list that is kept beside it."""
    beside = path.with_name(path.stem.removeprefix("test_") + ".csv")
    return path.read_text("utf-8") + (beside.read_text("utf-8") if beside.exists() else "")


class Nearest:
    """The test files from the nearest to a mutant on: by the names that lead to it, and by their room."""

    def __init__(self, files: Sequence[Path], root: Path) -> None:
        self.words = {path: set(WORD.findall(_text(path))) for path in files}
        self.spread = Counter(word for words in self.words.values() for word in words)
        self.modules = {
            path.relative_to(root)
            .with_suffix("")
            .as_posix()
            .replace("/", ".")
            .removesuffix(".__init__"): path
            for path in sorted((root / "heave").rglob("*.py"))
        }
        trees = {name: ast.parse(path.read_text("utf-8")) for name, path in self.modules.items()}
        self.imports = {name: set(_imported(tree)) for name, tree in trees.items()}
        self.defined = {
            name: [*chain.from_iterable(map(_defined, tree.body))] for name, tree in trees.items()
        }

    def users(self, module: str, name: str) -> set[tuple[str, str]]:
        """What uses a name of a module: in it, and where it or a package it is in is imported."""
        packages = {module[:place] for place, letter in enumerate(module + ".") if letter == "."}
        return {
            (other, user)
            for other, defined in self.defined.items()
            if other == module or packages & self.imports[other]
            for user, inside in defined
            if name in inside and (other, user) != (module, name)
        }

    def names(self, mutant: Mutant) -> dict[str, float]:
        """Names by which a test may mean the mutant, with how near each is: its own, and of what uses that."""
        module = mutant.file.removesuffix(".py").replace("/", ".").removesuffix(".__init__")
        names = dict.fromkeys(filter(None, (mutant.name, *mutant.function.split("."))), 8.0)
        reached, seen = {(module, mutant.name or mutant.function.split(".")[0])}, set[tuple[str, str]]()
        for step in range(1, STEPS):
            seen |= reached
            reached = {user for one in reached for user in self.users(*one)} - seen
            for _, name in reached:
                names.setdefault(name, 8.0 / 3**step)
        return names

    def order(self, mutant: Mutant) -> list[Path]:
        """All files, the nearest first."""
        names, room, stem = self.names(mutant), mutant.file.split("/")[1], Path(mutant.file).stem

        def near(path: Path) -> float:
            words = self.words[path]
            score = sum(weight / self.spread[name] for name, weight in names.items() if name in words)
            return score + 0.3 * (room in path.parts) + 4.0 * (stem in path.stem)

        return sorted(self.words, key=near, reverse=True)


def _imported(tree: ast.Module) -> Iterator[str]:
    """Modules of the package that a module takes something from, and what is taken, which may be one too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("heave."):
            yield node.module or ""
            yield from (f"{node.module}.{one.name}" for one in node.names)


def _defined(node: ast.stmt) -> Iterator[tuple[str, set[str]]]:
    """The name that a statement of a module gives, and the words inside it; of a class that of each method too."""
    inside = {part.id for part in ast.walk(node) if isinstance(part, ast.Name)}
    inside |= {part.attr for part in ast.walk(node) if isinstance(part, ast.Attribute)}
    targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
    for name in (getattr(node, "name", ""), *(getattr(target, "id", "") for target in targets)):
        if name:
            yield name, inside
    if isinstance(node, ast.ClassDef):
        for part in node.body:
            if not getattr(part, "name", "_").startswith("_"):
                yield from _defined(part)


class Server:
    """Collects the tests once, and tries every mutant in a fork of its own."""

    def __init__(self, options: argparse.Namespace, mutants: Sequence[Mutant], tell: Any) -> None:
        self.options, self.mutants, self.tell = options, mutants, tell
        self.seconds: dict[str, float] = {}
        self.passes: dict[str, bool] = {}
        self.results: list[dict[str, Any]] = []

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.near = Nearest(sorted({item.path for item in session.items}), Path.cwd())
        self.live = [
            one
            for one in gc.get_objects()
            if isinstance(one, FunctionType) or type(one).__name__ == "Formula"
        ]
        self.places, self.reach = Places(Path.cwd()), Reach(Path.cwd(), self.options.map)
        gc.freeze()  # what a fork does not collect it does not copy
        if self.options.map:
            self.reach.trace(session.items, self.options.tracing)
        for mutant in self.mutants:
            result = self.tried(session, mutant)
            self.results.append(result)
            self.tell(result)
        self.reach.learn(self.seconds)
        return True

    def tried(self, session: pytest.Session, mutant: Mutant) -> dict[str, Any]:
        """What became of a mutant: a test that fails without it as well is asked no more."""
        told = self.asked(session, mutant)
        while (
            (test := told["test"])
            and told["status"] == "killed"
            and "::" in test
            and not self.sound(session, test)
        ):
            told = self.asked(session, mutant)
        if told["status"] == "survived":
            for name in told["left"]:
                if self.seconds.get(name) is None:
                    self.seconds[name] = self.options.patience
                    self.asked(session, None, name)
                if self.seconds[name] < self.options.patience / 4:
                    told |= {"status": "timed out", "test": name}
        if told["status"] == "survived" and not told["met"]:
            told["status"] = "not reached"
        elif told["status"] == "survived" and told["in_place"] and self.options.again:
            hollow = self.asked(session, mutant, hollow=True)
            told["status"] = "not reached" if hollow["status"] == "survived" else "survived"
        about = {"status": told["status"], "test": told["test"], "line": mutant.line}
        about |= {key: told[key] for key in ("asked", "met")}
        return about | told_of(mutant)

    def sound(self, session: pytest.Session, test: str) -> bool:
        """Whether a test passes where nothing is changed."""
        if test not in self.passes:
            self.passes[test] = self.asked(session, None, test)["status"] == "survived"
        return self.passes[test]

    def asked(
        self, session: pytest.Session, mutant: Mutant | None, only: str = "", *, hollow: bool = False
    ) -> dict[str, Any]:
        """One fork: a mutant, or with `hollow` its function left out; without one, the test `only` as it is."""
        out, into = os.pipe()
        child = os.fork()
        if not child:
            os.close(out)
            Trial(self, into, mutant, hollow).run(session, only)
        os.close(into)
        start, data = time.monotonic(), b""
        while select.select([out], [], [], max(0.0, start + LONGEST_WAIT - time.monotonic()))[0]:
            part = os.read(out, 65536)
            if not part:
                break
            data += part
        else:
            os.kill(child, signal.SIGKILL)
        os.close(out)
        os.waitpid(child, 0)
        told = json.loads(data) if data else HUNG
        self.seconds |= told["seconds"]
        return dict(told)


def copied(root: Path, folder: Path) -> Path:
    """A copy of what the tests of the physics need, with the open data beside it."""
    copy = folder / "checkout"
    left = shutil.ignore_patterns("shots", "__pycache__", ".*")
    shutil.copytree(root, copy, ignore=left)
    if (root.parent / "shared").exists():
        (folder / "shared").symlink_to((root.parent / "shared").resolve())
    return copy


def main(arguments: Sequence[str] | None = None) -> list[dict[str, Any]]:
    """Draw, try, and say what was noticed; returns the result of every mutant."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--size", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rooms", nargs="+", default=ROOMS)
    parser.add_argument(
        "--tests", nargs="+", default=TESTS, help="folders and files of tests/ that are asked"
    )
    parser.add_argument("--only", default="", help="all mutants whose place or line holds this text")
    parser.add_argument("--again", type=Path, help="file of an earlier run, whose missed ones are tried")
    parser.add_argument("--patience", type=float, default=1.0, help="seconds for a test")
    parser.add_argument("--budget", type=float, default=10.0, help="seconds for a mutant")
    parser.add_argument("--files", type=int, default=6, help="test files read anew for what is no function")
    parser.add_argument("--map", type=Path, help="file of what each test reaches; made if there is none")
    parser.add_argument("--tracing", type=float, default=math.inf, help="seconds that the map may take")
    parser.add_argument("--out", type=Path, help="file that results are added to; those in it stand")
    parser.add_argument("--root", type=Path, default=ROOT)
    options = parser.parse_args(arguments)
    mutants = (
        missed(options.root, options.again)
        if options.again
        else sample(options.root, options.rooms, options.size, options.seed, options.only)
    )
    options.map = options.map and options.map.resolve()
    before = rows_of(options.out)
    for row in before:  # a run that goes on
        done = next((one for one in mutants if told_of(one).items() <= row.items()), None)
        mutants = [one for one in mutants if one is not done]

    def tell(result: dict[str, Any]) -> None:
        if options.out:
            with options.out.open("a", encoding="utf-8") as out:
                out.write(json.dumps(result, ensure_ascii=False) + "\n")
        print(f"{result['status']:9} {result['file']}:{result['line']} {result['what']}", flush=True)
        if result["status"] not in NOTICED:
            print(f"    - {result['before']}\n    + {result['after']}", flush=True)

    back = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(copied(options.root, Path(folder)))
        try:
            server = Server(options, mutants, tell)
            pytest.main([*PYTEST, *(f"tests/{name}" for name in options.tests)], plugins=[server])
        finally:
            os.chdir(back)
    results = before + server.results
    hits = sum(one["status"] in NOTICED for one in results)
    low, high = wilson(hits, len(results))
    print(f"{hits} of {len(results)} noticed ({hits / max(1, len(results)):.1%}, {low:.1%} to {high:.1%})")
    return results


if __name__ == "__main__":
    main()
