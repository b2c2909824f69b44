"""Plans whose study varies just what a test names."""

from __future__ import annotations

from typing import Any

from heave.planning import STUDIED, Plan, StudiedInput, Study


def only(plan: Plan, *given: StudiedInput, **more: Any) -> Plan:
    """The plan with a study of these inputs alone; `more` goes to the study."""
    named = {one.name for one in given}
    off = (StudiedInput(name, 0.0, 1.0, varied=False) for name in STUDIED if name not in named)
    return plan.changed(study=Study((*given, *off), **more))
