"""The one owner of session state: the plan, the unit system, what was typed wrongly, and messages.

Everything kept lives under keys that start with `heave:` and is a frozen value, so a page change, a
failed upload or a rerun loses nothing. Every edit goes through `edit` or `set_field`, which build a new
plan; where that raises InputError the old plan stays and the error is kept for the field to show.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Final, Literal

import streamlit as st

from heave.errors import InputError
from heave.files.rigs import as_edited, demo_plan
from heave.judging import Assessment, LimitingSea, Remedy, assess, limiting_sea, what_would_help
from heave.planning import Plan
from heave.units import UNIT_SYSTEMS

Path = tuple[str | int, ...]
"""Where a value sits in the plan: field names and places in tuples, from the plan down."""

_PLAN: Final = "heave:plan"
_SYSTEM: Final = "heave:units"
_REFUSED: Final = "heave:refused"
_MESSAGES: Final = "heave:messages"
_OPEN: Final = "heave:opened"
_UPLOADS: Final = "heave:uploads"


@dataclass(frozen=True)
class Refused:
    """An entry that was not taken: what was typed, and why not, in the units on the screen."""

    typed: str
    why: str


@dataclass(frozen=True)
class Message:
    """One line to show once, at the top of the page."""

    tone: Literal["good", "bad"]
    words: str


def plan() -> Plan:
    """The plan of this session; a new session opens on the complete demo plan."""
    if _PLAN not in st.session_state:
        st.session_state[_PLAN] = demo_plan()
    found: Plan = st.session_state[_PLAN]
    return found


def assessment() -> Assessment:
    """The assessment of the plan of this session."""
    return assessed(plan())


def limiting() -> LimitingSea:
    """The limiting sea of the plan of this session."""
    return _limited(plan())


def remedies() -> tuple[Remedy, ...]:
    """What would help the plan of this session."""
    return _helped(plan())


@lru_cache(maxsize=32)
def assessed(plan: Plan) -> Assessment:
    """The assessment of any plan; plans are frozen values, so equal plans share one."""
    return assess(plan)


@lru_cache(maxsize=32)
def _limited(plan: Plan) -> LimitingSea:
    return limiting_sea(plan)


@lru_cache(maxsize=32)
def _helped(plan: Plan) -> tuple[Remedy, ...]:
    return what_would_help(assessed(plan), _limited(plan))


def system() -> str:
    """The unit system on the screen."""
    found: str = st.session_state.setdefault(_SYSTEM, UNIT_SYSTEMS[0])
    return found


def use_system(name: str) -> None:
    """Show quantities in another unit system; stored values do not change."""
    if name in UNIT_SYSTEMS:
        st.session_state[_SYSTEM] = name
        st.session_state[_REFUSED] = {}


def replace_plan(new: Plan, words: str = "") -> None:
    """Take another plan whole, and forget what was refused in the old one."""
    st.session_state[_PLAN] = new
    st.session_state[_REFUSED] = {}
    if words:
        note("good", words)


def edit(change: Callable[[Plan], Plan]) -> InputError | None:
    """Change the plan; where the change is refused keep the plan and return why."""
    try:
        st.session_state[_PLAN] = as_edited(change(plan()))
    except InputError as error:
        return error
    return None


def try_edit(change: Callable[[Plan], Plan], words: str = "") -> None:
    """Change the plan and say so, or say why it was refused."""
    error = edit(change)
    if error is not None:
        note("bad", str(error))
    elif words:
        note("good", words)


def at(root: Any, path: Path) -> Any:
    """The value at `path` below `root`."""
    for step in path:
        root = root[step] if isinstance(step, int) else getattr(root, step)
    return root


def changed(root: Any, path: Path, value: Any, **companions: Any) -> Any:
    """A copy of `root` with the value at `path` replaced; `companions` change beside it."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    beside = {} if rest else companions
    if isinstance(step, int):
        new = changed(root[step], rest, value, **companions)
        return (*root[:step], new, *root[step + 1 :])
    return replace(root, **{step: changed(getattr(root, step), rest, value, **companions)}, **beside)


def refused(path: Path) -> Refused | None:
    """What was last refused for the field at `path`."""
    found: Refused | None = st.session_state.setdefault(_REFUSED, {}).get(path)
    return found


def refuse(path: Path, entry: Refused) -> None:
    """Keep a refused entry for its field to show."""
    st.session_state.setdefault(_REFUSED, {})[path] = entry


def accept(path: Path) -> None:
    """Forget what was refused for a field."""
    st.session_state.setdefault(_REFUSED, {}).pop(path, None)


def note(tone: Literal["good", "bad"], words: str) -> None:
    """Leave a message for the next drawing of the page."""
    st.session_state.setdefault(_MESSAGES, []).append(Message(tone, words))


def take_messages() -> tuple[Message, ...]:
    """The messages left, each handed out once."""
    return tuple(st.session_state.pop(_MESSAGES, ()))


def upload_key(name: str) -> str:
    """Key of the upload box `name`; it changes after a file was taken, which empties the box."""
    turn = st.session_state.setdefault(_UPLOADS, {}).get(name, 0)
    return f"heave:upload:{name}:{turn}"


def empty_upload(name: str) -> None:
    """Empty the upload box `name` at the next drawing."""
    turns = st.session_state.setdefault(_UPLOADS, {})
    turns[name] = turns.get(name, 0) + 1


def is_open(name: str, usual: bool) -> bool:
    """Whether the disclosure `name` was left open; `usual` where nobody has touched it."""
    found: bool = st.session_state.setdefault(_OPEN, {}).get(name, usual)
    return found


def keep_open(name: str, opened: bool) -> None:
    """Remember whether the disclosure `name` is open."""
    st.session_state.setdefault(_OPEN, {})[name] = opened


def keep(name: str, value: Any) -> None:
    """Keep a frozen value under `name` for the session, or forget it when it is None."""
    st.session_state[f"heave:kept:{name}"] = value


def kept(name: str) -> Any:
    """The value kept under `name`, or None."""
    return st.session_state.get(f"heave:kept:{name}")
