"""One change of the planner in a process of its own: put in place, or read anew, and the tests asked one by one."""

from __future__ import annotations

import ast
import json
import os
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import CodeType, FrameType, FunctionType
from typing import Any, Final

import pytest
from mutants import Mutant

FORMULA: Final = "formula: "
LISTED: Final = "test_known_limits.py"
"""Holds every bound and constant, of whatever module."""
PYTEST: Final = ("-q", "-s", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:terminalreporter")


class TooLong(BaseException):
    """A test past the patience there is."""


class Trial:
    """One mutant in its own process."""

    def __init__(self, server: Any, into: int, mutant: Mutant | None, hollow: bool) -> None:
        self.server, self.into, self.mutant, self.hollow = server, into, mutant, hollow
        self.told: dict[str, Any] = {"seconds": {}, "left": [], "in_place": False, "asked": 0, "met": 1}
        self.late = False

    def run(self, session: pytest.Session, only: str) -> None:
        """Try it and end the process, whatever happens."""
        hush = os.open(os.devnull, os.O_WRONLY)
        os.dup2(hush, 1)
        os.dup2(hush, 2)
        try:
            if only:
                self.ask([item for item in session.items if item.nodeid == only])
            elif self.mutant is not None:
                nearest = self.server.near.order(self.mutant)
                source = (Path.cwd() / self.mutant.file).read_bytes()
                if _in_place(self.mutant, source, self.hollow, self.server.live):
                    self.told["in_place"] = not self.mutant.what.startswith(FORMULA)
                    rank = {path: place for place, path in enumerate(nearest)}
                    items = self.reaching(session.items)
                    self.ask(
                        sorted(items, key=lambda item: (2 + rank[item.path]) * (0.02 + self.lasting(item)))
                    )
                else:
                    items = self.reaching(session.items)
                    self.told["met"] = len(items)
                    if items:
                        reaching = {item.path for item in items}
                        self.anew([path for path in nearest if path in reaching], source)
        except BaseException as error:
            self.end("killed", f"{type(error).__name__}: {error}"[:200])
        self.end("survived")

    def reaching(self, items: Sequence[pytest.Item]) -> list[pytest.Item]:
        """Those that meet the change, by the map of what each reaches."""
        assert self.mutant is not None
        in_place = self.told["in_place"]
        places = self.server.places.of(self.mutant, in_place=in_place)
        return [item for item in items if not places or self.server.reach.met(places, item.nodeid)]

    def lasting(self, item: pytest.Item) -> float:
        """How long a test takes, as far as is known [s]."""
        traced = self.server.reach.tests.get(item.nodeid, {}).get("seconds", 0.0)
        return float(self.server.seconds.get(item.nodeid, traced))

    def end(self, status: str, test: str = "") -> None:
        """Tell the server and be gone."""
        os.write(self.into, json.dumps(self.told | {"status": status, "test": test}).encode())
        os._exit(0)

    def ask(self, items: Sequence[pytest.Item]) -> None:
        """Run tests in order until one fails or the time is gone."""
        self.told["met"] = len(items)
        if not items:
            return
        start, options = time.process_time(), self.server.options
        items[0].config.pluginmanager.register(self)
        signal.signal(signal.SIGPROF, self.give_up)
        known, passes = self.server.seconds, self.server.passes
        items = [one for one in items if passes.get(one.nodeid, True)]
        kept = [one for one in items if known.get(one.nodeid, 0.0) < options.patience]
        for place, item in enumerate(kept or items):
            if time.process_time() - start > options.budget:
                return
            self.told["asked"] += 1
            self.late, began = False, time.process_time()
            signal.setitimer(signal.ITIMER_PROF, options.patience)
            following = kept[place + 1] if place + 1 < len(kept) else None
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
            signal.setitimer(signal.ITIMER_PROF, 0)
            if self.late:
                self.told["left"].append(item.nodeid)
                start += time.process_time() - began  # what was left takes nothing of the others' time
            else:
                self.told["seconds"][item.nodeid] = round(time.process_time() - began, 3)

    def give_up(self, number: int, frame: FrameType | None) -> None:
        self.late = True
        raise TooLong

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed and not self.late:
            self.end("killed", report.nodeid)

    def anew(self, nearest: Sequence[Path], source: bytes) -> None:
        """Read package and tests again, with the mutant in the copy."""
        assert self.mutant is not None
        here = Path.cwd()
        for name, module in list(sys.modules.items()):
            if (getattr(module, "__file__", None) or "").startswith(f"{here}{os.sep}"):
                del sys.modules[name]
        changed = Path(tempfile.mkdtemp(dir=here.parent)) / "heave"
        shutil.copytree(here / "heave", changed, copy_function=os.link)
        file = changed.parent / self.mutant.file
        for old in (file, *(file.parent / "__pycache__").glob(f"{file.stem}.*.pyc")):
            old.unlink()  # bytecode too: it is taken for good where size and second of the source are the same
        file.write_bytes(self.mutant.apply(source))
        sys.path.insert(0, str(changed.parent))
        sys.dont_write_bytecode = True
        try:
            import heave  # noqa: F401  before the checkout's own folder is put first

            most = self.server.options.files
            listed = [file for file in nearest[most:] if file.name == LISTED]
            files = [str(file) for file in (*nearest[:most], *listed)]
            code = pytest.main([*PYTEST, *files], plugins=[_Anew(self)])
        finally:
            shutil.rmtree(changed.parent)
        if code not in (0, 1, 5):  # a test that fails has ended the process; 1 is one past the patience
            self.end("killed", f"ended with {code}")


class _Anew:
    """Hands the tests collected anew to the trial."""

    def __init__(self, trial: Trial) -> None:
        self.trial = trial

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            self.trial.end("killed", "a test file that can't be read")
        self.trial.ask(sorted(self.trial.reaching(session.items), key=self.trial.lasting))
        return True


def _in_place(mutant: Mutant, source: bytes, hollow: bool, everything: Sequence[Any]) -> bool:
    """Put the mutant into the running package, or what fails in its place; False where that can't be done."""
    changed = mutant.apply(source)
    filename = str(Path.cwd() / mutant.file)
    if mutant.what.startswith(FORMULA):
        return _formula_in_place(source, changed, everything)
    old, new = (_codes(compile(text, filename, "exec")) for text in (source, changed))
    if [code.co_qualname for code in old] != [code.co_qualname for code in new]:
        return False
    pairs = {one: other for one, other in zip(old, new, strict=True) if _plain(one) != _plain(other)}
    if any(code.co_name == "<module>" or _is_class(code) for code in pairs) or not pairs:
        return False
    functions = [one for one in everything if isinstance(one, FunctionType)]
    live = [one for one in functions if one.__code__.co_filename == filename and one.__code__ in pairs]
    for function in live:
        if hollow and not function.__closure__:
            function.__code__ = _hollow.__code__
        else:
            function.__code__ = pairs[function.__code__]
    return bool(live)


def _hollow(*given: object, **named: object) -> None:
    raise AssertionError


def _is_class(code: CodeType) -> bool:
    return "__qualname__" in code.co_names and "__module__" in code.co_names


def _plain(code: CodeType) -> tuple[Any, ...]:
    """What a piece of code does; of a module or a class without what is written inside it."""
    inside = not (code.co_name == "<module>" or _is_class(code))
    parts = [
        (_plain(value) if inside else "") if isinstance(value, CodeType) else repr(value)
        for value in code.co_consts
    ]
    return code.co_code, parts, code.co_names


def _codes(code: CodeType) -> list[CodeType]:
    """A module's code and all that is in it, in the order of the text."""
    found = [code]
    for part in code.co_consts:
        if isinstance(part, CodeType):
            found += _codes(part)
    return found


def _texts(source: bytes) -> Iterator[str]:
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def _formula_in_place(source: bytes, changed: bytes, everything: Sequence[Any]) -> bool:
    pairs = [pair for pair in zip(_texts(source), _texts(changed), strict=True) if pair[0] != pair[1]]
    live = [one for one in everything if getattr(one, "text", None) == pairs[0][0]]
    for one in live:
        about = dict(one.__dict__)
        one.__dict__.clear()
        one.__dict__.update({key: about[key] for key in ("symbols", "source")}, text=pairs[0][1])
    return bool(live)
