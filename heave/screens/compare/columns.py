"""What stands side by side: the plan of the session first, then its variants and plans of their own.

A variant is one change of the plan of the session and follows every other entry; a plan brought as a file or kept as it
was stays as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import Any, Final

import streamlit as st

from heave.errors import InputError
from heave.files.plan import read_plan_file
from heave.files.rigs import demo_compensators, demo_strings, demo_vessels
from heave.planning import OPERATIONS, Plan
from heave.planning.rig import closed_form_vessels
from heave.screens import opening, pieces, state
from heave.screens.inputs import STAYS, button, folded, pick, plain, sentence, typed_number
from heave.studies.compare import MOST, Part, Side, sides, variant
from heave.units import show

_ITEMS: Final = "compared"
_PARTS: Final[dict[Part, str]] = {
    "compensator": "Another compensator",
    "vessel": "Another vessel",
    "string": "Another string",
    "heading": "Another heading",
    "operation": "Another operation",
}
_WHOLE: Final = "whole"
_FROM_FILE: Final = {
    _WHOLE: "The whole plan",
    "compensator": "Its compensator, in this plan",
    "vessel": "Its vessel, in this plan",
    "string": "Its string, in this plan",
}
_LIBRARY: Final[dict[str, Callable[[], Mapping[str, Any]]]] = {
    "compensator": demo_compensators,
    "vessel": lambda: {**demo_vessels(), **closed_form_vessels()},
    "string": demo_strings,
}


@dataclass(frozen=True)
class Item:
    """One plan beside that of the session: a whole one, or one `part` of it changed to `value`."""

    name: str
    value: Any
    part: Part | None = None

    def plan(self) -> Plan:
        """The plan it stands for now.

        Raises
        ------
        InputError
            If the plan of the session cannot have the change.
        """
        if self.part is None:
            whole: Plan = self.value
            return whole
        return variant(state.plan(), self.part, self.value)


def items() -> tuple[Item, ...]:
    """What stands beside the plan of the session."""
    return state.kept(_ITEMS) or ()


def named_plans() -> tuple[tuple[str, Plan], ...]:
    """Every plan side by side with its name; one that cannot be made says why and is left out."""
    found = [("This plan", state.plan())]
    for item in items():
        try:
            found.append((item.name, item.plan()))
        except InputError as error:
            st.error(plain(f"{item.name} cannot be compared. {error}"))
    return tuple(found)


def sides_of(named: tuple[tuple[str, Plan], ...]) -> tuple[Side, ...]:
    """The columns of the plans; plans are frozen values, so equal ones share one answer, whatever they ask of other
    seas."""
    found = _sides(tuple((name, plan.without_other_seas) for name, plan in named))
    asked = [plan.other_seas for _, plan in named]
    return tuple(replace(one, plan=one.plan.changed(other_seas=asked[one.place])) for one in found)


_sides = lru_cache(maxsize=8)(sides)


def controls() -> None:
    """What stands beside the plan, and the ways to add to it."""
    for place, item in enumerate(items()):
        with st.container(horizontal=True, vertical_alignment="center", key=f"compared-{place}"):
            follows = "its own plan, as it was" if item.part is None else "everything else as in this plan"
            st.markdown(f"**{plain(item.name)}** :small[:gray[{follows}]]", width="stretch")
            button("Use as the plan", f"compare:take:{place}", _take, item)
            button("Remove", f"compare:remove:{place}", _remove, place)
    if len(items()) >= MOST - 1:
        st.caption(f"{MOST} plans stand side by side, as many as there is room for.")
        return
    folded("Add to the comparison", "compare", _add, opened=True)


def _add() -> None:
    one, two, three = st.columns([3, 4, 2], vertical_alignment="bottom")
    with one:
        about = "What is another in the plan beside this one; everything else follows this plan."
        part: Part = pick(st.selectbox, "Change", "compare:part", _PARTS, about)
    with two:
        key, told = f"heave:compare:value:{part}", "What it is in the plan that is set beside this one."
        if part == "heading":
            st.text_input("Heading (°)", key=key, help=told, **STAYS)
        elif part == "operation":
            kinds = tuple(OPERATIONS)
            st.selectbox("To", kinds, 0, lambda kind: OPERATIONS[kind].label, key=key, help=told, **STAYS)
        else:
            st.selectbox("To", tuple(_LIBRARY[part]()), 0, key=key, help=told, **STAYS)
    with three:
        button("Add", "compare:add", _added, part, key, width="stretch")
    left, right = st.columns([3, 6], vertical_alignment="top")
    with left:
        about = "The whole plan that was saved, or one part of it put into this plan."
        pick(st.selectbox, "Take from the file", "compare:of", _FROM_FILE, about)
        keep = partial(_with, Item(f"{state.plan().name}, as it was", state.plan()))
        button("Keep this plan as it is now", "compare:keep", keep, width="stretch")
    with right:
        about = "A plan saved here or elsewhere; it is set beside this one and does not take its place."
        pieces.upload("compared", "Plan file (JSON)", ["json"], _taken, help=about)
    st.caption(
        "These stay when you go to another page. A reload forgets them: what was brought as a file has to be "
        "brought again, and a plan worth keeping is saved as a file."
    )


def _added(part: Part, key: str) -> None:
    typed = st.session_state[key]
    with state.noted():
        if part == "heading":
            value = typed_number(typed, "Heading to compare", "direction", state.system())
            item = Item(f"Heading {show(value, 'direction', state.system(), 4)}", value, part)
        elif part == "operation":
            item = Item(sentence(OPERATIONS[typed].label), typed, part)
        else:
            item = Item(typed, _LIBRARY[part]()[typed], part)
        item.plan()
        _with(item)


def _taken(name: str, data: bytes) -> None:
    """A plan file that was brought: the plan in it, or one part of that."""
    found, part = read_plan_file(data), st.session_state["heave:compare:of"]
    whole = Item(name, found.plan)
    item = whole if part == _WHOLE else Item(f"{part} of {name}", getattr(found.plan, part), part)
    item.plan()
    opening.tell(found)
    _with(item)


def _with(item: Item) -> None:
    state.keep(_ITEMS, (*items(), item)[: MOST - 1])


def _remove(place: int) -> None:
    state.keep(_ITEMS, state.without(items(), place))


def _take(item: Item) -> None:
    before = Item(f"{state.plan().name}, before {item.name}", state.plan())
    with state.noted():
        plan = item.plan()
        state.keep(_ITEMS, tuple(before if one == item else one for one in items()))
        state.take(plan, f"{item.name} is the plan now; the plan before it stands in its place.")
