"""Which lines of the package each test reaches: the map by which only those tests are asked that meet a change.

Every test runs once, traced, in a fork of its own, so that nothing a former test left in a cache hides what it would
have reached. The map is kept in a file and goes on from there: the tests of a file that changed are traced anew, and
all of them where the package changed.
"""

from __future__ import annotations

import ast
import hashlib
import json
import os
import select
import signal
import sys
import threading
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from types import CodeType, FrameType
from typing import Any, Final

import pytest
from mutants import Mutant

HURRY: Final = 4000
"""Lines of one call after which it is taken to reach all of its lines."""
WAIT: Final = 15.0
"""Seconds by the clock after which a traced test is left; it then counts as reaching everything."""
AT_ONCE: Final = 2

Place = tuple[str, int, int]
"""A file of the package, the first line and the last."""


class Tracer:
    """Collects the lines of the package that run."""

    def __init__(self, folder: str) -> None:
        self.folder = folder + os.sep
        self.files: dict[str, set[int]] = {}
        self.left: dict[CodeType, set[int] | None] = {}

    def call(self, frame: FrameType, event: str, _: object) -> Any:
        code = frame.f_code
        if code not in self.left:
            inside = code.co_filename.startswith(self.folder)
            self.left[code] = {line for _, _, line in code.co_lines() if line} if inside else None
        if not self.left[code]:
            return None
        self.note(code, frame.f_lineno)
        told = 0

        def line(frame: FrameType, event: str, _: object) -> Any:
            nonlocal told
            told += 1
            if told > HURRY:
                for number in tuple(self.left[code] or ()):
                    self.note(code, number)
            elif event == "line":
                self.note(code, frame.f_lineno)
            if not self.left[code]:
                frame.f_trace_lines = False
            return line

        return line

    def note(self, code: CodeType, number: int) -> None:
        left = self.left[code]
        if left is not None:
            left.discard(number)
            self.files.setdefault(code.co_filename.removeprefix(self.folder), set()).add(number)


def _traced(item: pytest.Item, into: int, folder: Path) -> None:
    """Run a test, tell what it reached, and end the process."""
    hush = os.open(os.devnull, os.O_WRONLY)
    os.dup2(hush, 1)
    os.dup2(hush, 2)
    tracer, start = Tracer(str(folder)), time.process_time()
    threading.settrace(tracer.call)
    sys.settrace(tracer.call)
    try:
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
    finally:
        sys.settrace(None)
        lines = {
            file: sorted(found) for file, found in tracer.files.items() if file.startswith("heave" + os.sep)
        }
        told = {"lines": lines, "seconds": round(time.process_time() - start, 3)}
        with os.fdopen(into, "w") as out:
            json.dump(told, out)
        os._exit(0)


def _marks(paths: Iterable[Path]) -> str:
    """One mark of what files say."""
    mark = hashlib.sha256()
    for path in paths:
        mark.update(path.read_bytes())
    return mark.hexdigest()


class Reach:
    """What each test reaches; a test that is not in the map counts as reaching everything."""

    def __init__(self, folder: Path, kept: Path | None) -> None:
        self.folder, self.kept = folder, kept
        self.package = _marks(sorted((folder / "heave").rglob("*.py")))
        self.tests: dict[str, dict[str, Any]] = {}
        if kept is not None and kept.exists():
            told = json.loads(kept.read_text("utf-8"))
            self.tests = told["tests"] if told["package"] == self.package else {}

    def trace(self, items: Sequence[pytest.Item], seconds: float) -> None:
        """Trace what is not known yet, as long as there is time, and keep it."""
        until = time.monotonic() + seconds
        marks = {path: _marks([path]) for path in {item.path for item in items}}
        due = [item for item in items if self.tests.get(item.nodeid, {}).get("mark") != marks[item.path]]
        running: dict[int, tuple[int, pytest.Item, float, bytearray]] = {}
        while due or running:
            if time.monotonic() > until:
                due.clear()
            while due and len(running) < AT_ONCE:
                item = due.pop()
                out, into = os.pipe()
                child = os.fork()
                if not child:
                    os.close(out)
                    _traced(item, into, self.folder)
                os.close(into)
                running[out] = child, item, time.monotonic(), bytearray()
            for out in select.select(list(running), [], [], 1.0)[0]:
                if part := os.read(out, 1 << 16):
                    running[out][3].extend(part)
                    continue
                child, item, _, data = running.pop(out)
                os.close(out)
                os.waitpid(child, 0)
                try:
                    told = json.loads(data)
                except ValueError:  # left, before it had told all
                    told = {"lines": None, "seconds": WAIT}
                self.tests[item.nodeid] = told | {"mark": marks[item.path]}
                if len(due) % 200 == 0:
                    print(f"{len(due)} tests still to trace", flush=True)
                    self.keep()
            for child, _, began, _ in running.values():
                if time.monotonic() - began > WAIT:
                    os.kill(child, signal.SIGKILL)
        self.keep()

    def learn(self, seconds: Mapping[str, float]) -> None:
        """Keep how long tests took in a run."""
        for test, lasting in seconds.items():
            self.tests.setdefault(test, {"lines": None})["seconds"] = lasting
        self.keep()

    def keep(self) -> None:
        """Write the map into its file."""
        if self.kept is not None:
            self.kept.write_text(json.dumps({"package": self.package, "tests": self.tests}), "utf-8")

    def met(self, places: Sequence[Place], test: str) -> bool:
        """Whether a test reaches one of the places, each a file with its first line and last."""
        lines = self.tests.get(test, {}).get("lines")
        return lines is None or any(
            first <= line <= last for file, first, last in places for line in lines.get(file, ())
        )


class Places:
    """Where in the package a change is met: its statement, or the functions that use the name it stands behind."""

    def __init__(self, folder: Path) -> None:
        files = sorted((folder / "heave").rglob("*.py"))
        self.trees = {str(file.relative_to(folder)): ast.parse(file.read_bytes()) for file in files}
        self.units = [
            (file, *unit) for file, tree in self.trees.items() for top in tree.body for unit in _units(top)
        ]

    def of(self, mutant: Mutant, *, in_place: bool) -> list[Place]:
        """The lines one of which a test has to reach to notice it; none where that can't be told."""
        if in_place and not mutant.name:
            return [self.statement(mutant)]
        name = mutant.name or mutant.function.split(".")[0]
        own = [
            (file, *span)
            for file, names, span, _ in self.units
            if span and file == mutant.file and not mutant.name and name in names
        ]
        return own + self.users(name)

    def statement(self, mutant: Mutant) -> Place:
        """The innermost statement that is changed; of a compound one its head."""
        first = last = mutant.line
        for node in ast.walk(self.trees[mutant.file]):  # from the outside in
            if isinstance(node, ast.stmt) and node.end_lineno is not None:
                body = getattr(node, "body", None)
                end = max(body[0].lineno - 1, node.lineno) if body else node.end_lineno
                if node.lineno <= mutant.line <= end:
                    first, last = node.lineno, end
        return mutant.file, first, last

    def users(self, name: str) -> list[Place]:
        """All functions that use a name, or one that is made of it outside of functions."""
        found, seen, due = set[Place](), {name}, [name]
        while due:
            word = due.pop()
            for file, names, span, words in self.units:
                if word in words and span:
                    found.add((file, *span))
                elif word in words:
                    due += names - seen
                    seen |= names
        return sorted(found)


def _units(top: ast.stmt) -> Iterator[tuple[set[str], tuple[int, int] | None, set[str]]]:
    """Functions, with their lines, and what stands outside of them: the names given and the words inside."""
    if isinstance(top, ast.FunctionDef) and top.end_lineno is not None:
        yield {top.name}, (top.body[0].lineno, top.end_lineno), _words(top)
    elif isinstance(top, ast.ClassDef):
        methods = [part for part in top.body if isinstance(part, ast.FunctionDef)]
        for part in methods:
            yield {top.name, part.name}, (part.body[0].lineno, part.end_lineno or 0), _words(part)
        rest = [part for part in top.body if not isinstance(part, ast.FunctionDef)]
        yield {top.name}, None, set().union(*map(_words, (*rest, *top.bases, *top.decorator_list)))
    elif not isinstance(top, ast.Import | ast.ImportFrom):
        yield {one.id for one in ast.walk(top) if _is_given(one)}, None, _words(top)  # type: ignore[attr-defined]


def _is_given(node: ast.AST) -> bool:
    return isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)


def _words(node: ast.AST) -> set[str]:
    return {
        part.id if isinstance(part, ast.Name) else part.attr
        for part in ast.walk(node)
        if isinstance(part, ast.Attribute) or (isinstance(part, ast.Name) and not _is_given(part))
    }
