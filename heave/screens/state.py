"""The one owner of session state: the plan, the unit system, what was typed wrongly, and messages.

Everything kept lives under keys that start with `heave:` and is a frozen value, so a page change, a
failed upload or a rerun loses nothing. Every edit goes through `edit`, `try_edit` or `put`, which build a new
plan; where that raises InputError the old plan stays and the error is kept for the field to show.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Final, Literal, TypeVar

import streamlit as st

from heave.errors import InputError
from heave.files.rigs import as_edited, demo_plan
from heave.judging import Assessment, Doubt, Remedy, Room, assess, largest_doubt, room_left, what_would_help
from heave.planning import Plan
from heave.units import UNIT_SYSTEMS

Path = tuple[str | int, ...]
"""Where a value sits in the plan: field names and places in tuples, from the plan down."""

_PLAN: Final = "heave:plan"
_SYSTEM: Final = "heave:units"
_REFUSED: Final = "heave:refused"
_MESSAGES: Final = "heave:messages"
_PLACE: Final = "heave:acting"
_OPEN: Final = "heave:opened"

_T = TypeVar("_T")


@dataclass(frozen=True)
class Refused:
    """An entry that was not taken: what was typed, and why not, in the units on the screen."""

    typed: str
    why: str


def _held(key: str, make: Callable[[], _T]) -> _T:
    """What the session holds under `key`, made now where it holds nothing yet."""
    if key not in st.session_state:
        st.session_state[key] = make()
    value: _T = st.session_state[key]
    return value


def plan() -> Plan:
    """The plan of this session; a new session opens on the complete demo plan."""
    return _held(_PLAN, demo_plan)


def assessment() -> Assessment:
    """The assessment of the plan of this session."""
    return assessed(plan())


def room() -> Room:
    """How far the sea of this session's plan may grow."""
    return _room(plan().as_judged)


def doubt() -> Doubt | None:
    """Where what is not known weighs most in the plan of this session."""
    return _doubted(plan().as_judged)


def remedies() -> tuple[Remedy, ...]:
    """What would help the plan of this session."""
    own = plan()
    kept = {"other_seas": own.other_seas, "study": own.study, "record": own.record}
    return tuple(
        one if one.plan is None else replace(one, plan=one.plan.changed(**kept))
        for one in _helped(own.as_judged)
    )


@lru_cache(maxsize=32)
def assessed(plan: Plan) -> Assessment:
    """The assessment of any plan; plans are frozen values, so equal plans share one.

    Title block, study and what is asked of other seas move nothing in it, so plans that differ in those alone share
    what was worked.
    """
    return replace(_judged(plan.as_judged), plan=plan)


_judged = lru_cache(maxsize=32)(assess)

_room = lru_cache(maxsize=32)(room_left)


@lru_cache(maxsize=32)
def _doubted(plan: Plan) -> Doubt | None:
    return largest_doubt(assessed(plan))


@lru_cache(maxsize=32)
def _helped(plan: Plan) -> tuple[Remedy, ...]:
    return what_would_help(assessed(plan), _room(plan))


def session() -> str:
    """A text of this session's own."""
    return _held("heave:session", lambda: secrets.token_hex(8))


def system() -> str:
    """The unit system on the screen."""
    return _held(_SYSTEM, lambda: UNIT_SYSTEMS[0])


def use_system(name: str) -> None:
    """Show quantities in another unit system; stored values do not change."""
    st.session_state[_SYSTEM] = name
    st.session_state[_REFUSED] = {}


def replace_plan(new: Plan, words: str = "") -> None:
    """Take another plan whole, and forget what was refused in the old one."""
    st.session_state[_PLAN] = new
    st.session_state[_REFUSED] = {}
    if words:
        note("good", words)


def take(new: Plan, words: str) -> None:
    """Take another plan whole, and keep the one before it, so that the check page offers to undo the change.

    What of the lesson was done stays done.
    """
    new = new.changed(progress=new.progress.joined(plan().progress))
    keep_before(new)
    replace_plan(new, words)


def keep_before(new: Plan) -> str:
    """Keep the plan that `new` will take the place of, for the check page to bring back; returns words of it."""
    if plan() == new:
        return ""
    keep("taken", (plan(), new))
    return " Undo the change taken, on the Compensator check, brings the plan before it back."


def edit(change: Callable[[Plan], Plan]) -> None:
    """Change the plan.

    Raises
    ------
    InputError
        If the change is refused; the plan is then as it was.
    """
    st.session_state[_PLAN] = as_edited(change(plan()))


def try_edit(change: Callable[[Plan], Plan], words: str = "") -> None:
    """Change the plan and say so, or say why it was refused."""
    with noted():
        edit(change)
        if words:
            note("good", words)


def put(path: Path, value: Any, words: str = "") -> None:
    """Put a value in the plan, where `try_edit` would."""
    try_edit(lambda plan: changed(plan, path, value), words)


def without(items: tuple[_T, ...], place: int) -> tuple[_T, ...]:
    """All of equal parts but the one at `place`."""
    return (*items[:place], *items[place + 1 :])


def cut(path: Path, place: int) -> None:
    """Take one of the equal parts at `path` out of the plan."""
    put(path, without(at(plan(), path), place))


@contextmanager
def noted(before: str = "") -> Iterator[None]:
    """Around what may be refused: the first refusal ends it and is left as a message, after the words `before`."""
    try:
        yield
    except InputError as error:
        note("bad", f"{before}{error}")


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


def refused() -> dict[Path, Refused]:
    """What was last refused, by the path of its field."""
    return _held(_REFUSED, dict)


@dataclass(frozen=True)
class Message:
    """What the last action left to be said.

    Parameters
    ----------
    tone : what came of it
    words : plain text
    place : where on the screen the user acted; empty for over the page
    """

    tone: Literal["good", "bad"]
    words: str
    place: str = ""


def note(tone: Literal["good", "bad"], words: str) -> None:
    """Leave a message for the next drawing of the page, at the place of the action that is being carried out."""
    messages: list[Message] = _held(_MESSAGES, list)
    messages.append(Message(tone, words, st.session_state.get(_PLACE, "")))


def acting(place: str, act: Callable[..., object]) -> Callable[..., None]:
    """The action, with what it leaves to be said kept for `place`, where the user's eye is."""

    def carried_out(*args: Any) -> None:  # of a widget, so with whatever it hands over
        st.session_state[_PLACE] = place
        try:
            act(*args)
        finally:
            del st.session_state[_PLACE]

    return carried_out


def messages() -> list[Message]:
    """The messages left and not yet drawn."""
    return _held(_MESSAGES, list)


def said(message: Message) -> None:
    """The message is drawn: it is not left any more."""
    messages().remove(message)


def opened() -> dict[str, bool]:
    """Whether each disclosure that somebody touched was left open, by its name."""
    return _held(_OPEN, dict)


def keep(name: str, value: Any) -> None:
    """Keep a frozen value under `name` for the session, or forget it when it is None."""
    st.session_state[f"heave:kept:{name}"] = value


def kept(name: str) -> Any:
    """The value kept under `name`, or None."""
    return st.session_state.get(f"heave:kept:{name}")
