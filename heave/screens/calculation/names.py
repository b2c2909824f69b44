"""The title block on the page: its boxes, and the names under the calculation with what they were entered for."""

from __future__ import annotations

from functools import partial
from typing import Any, Final

import streamlit as st

from heave.files.seals import ROLES, Role, outdated, seal, signed
from heave.planning import MODEL_VERSION
from heave.screens import state
from heave.screens.inputs import all_fields, button, field, plain, sentence

_BLOCK: Final = ("rig", "well", "revision", "date", "prepared_by")


def title_block() -> None:
    """Boxes of the title block and the note."""
    all_fields(("record",), _BLOCK)
    field(("record", "note"))


def signatures() -> None:
    """Who checked and who approved; where that is no longer for the plan as it is, this is said, and can be renewed."""
    plan = state.plan()
    for role, place in zip(ROLES, st.columns(len(ROLES)), strict=True):
        with place:
            field(("record", role, "by"), label=f"{sentence(role)} by", companions=partial(_entered, role))
            why, name = outdated(plan, role), getattr(plan.record, role).by
            if why:
                st.warning(f"{sentence(plain(why))}.")
                renew, words = partial(_renew, role, name), f"{sentence(role)} as it is now, by {plain(name)}"
                button(words, f"sheet:{role}", renew)
    st.caption(
        "A name is kept with the hash of the plan it was entered for, title block and note included; an approval also "
        "covers the name of the checker. It shows a change; what binds is the signature on the paper."
    )


def _entered(role: Role, _: Any, name: str) -> dict[str, str]:
    """What goes with a name that was entered: the plan as it is now, and the model."""
    if not name:
        return {"seal": "", "model": ""}
    return {"seal": seal(state.plan(), role), "model": MODEL_VERSION}


def _renew(role: Role, name: str) -> None:
    state.try_edit(lambda plan: signed(plan, role, name))
