"""What a name under a calculation was entered for: SHA-256 over the plan's own values, so that a change shows.

A seal tells whether the plan is the one that was checked; it keeps nobody from entering a name. What binds is the
signature on paper, or whatever a company signs files with.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import Any, Final, Literal, get_args

from heave.errors import InputError
from heave.files.codec import encode
from heave.files.json_text import json_text
from heave.planning import MODEL_VERSION, Hour, Plan, Signed
from heave.planning.record import NOBODY

Role = Literal["checked", "approved"]
"""Who stands by a calculation, in the order in which they do."""

ROLES: Final[tuple[Role, ...]] = get_args(Role)


def text_hash(text: str) -> str:
    """SHA-256 of a text in UTF-8, as hexadecimal digits (FIPS 180-4)."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def value_hash(value: Any) -> str:
    """SHA-256 of a value as the plan file would hold it.

    Parameters
    ----------
    value : frozen dataclass objects, numbers and text, or lists of them
    """
    return text_hash(json_text(encode(value), compact=True))


def seal(plan: Plan, role: Role) -> str:
    """What a name in this role is entered for: the whole plan but the names that come after it and its own.

    A check covers the plan, its title block and its note; an approval covers the name of the checker as well.
    What of the lesson was done and what is asked of other seas is no part of a calculation.

    Parameters
    ----------
    plan : the plan
    role : in which the name is entered
    """
    later = ROLES[ROLES.index(role) :]
    bare = replace(plan.record, **dict.fromkeys(later, NOBODY))  # type: ignore[arg-type]
    covered = encode(plan.without_progress.changed(record=bare))
    del covered["other_seas"]
    return value_hash(covered)


def signed(plan: Plan, role: Role, name: str) -> Plan:
    """The plan with a name entered for it as it is now; an empty name takes the one that was there away.

    Parameters
    ----------
    plan : the plan
    role : 'checked' or 'approved'
    name : whose

    Raises
    ------
    InputError
        If the role or the name is not allowed.
    """
    if role not in ROLES:
        raise InputError("role", role, None, f"one of {', '.join(ROLES)}")
    name = name.strip()
    entry = Signed(name, seal(plan, role), MODEL_VERSION) if name else NOBODY
    return plan.changed(record=replace(plan.record, **{role: entry}))  # type: ignore[arg-type]


def outdated(plan: Plan, role: Role) -> str:
    """Why the name in this role is not for the plan as it is, in words; empty where it is, or where there is none.

    Parameters
    ----------
    plan : the plan
    role : 'checked' or 'approved'
    """
    entry: Signed = getattr(plan.record, role)
    if not entry.by:
        return ""
    if entry.model != MODEL_VERSION:
        return f"{role} under model {entry.model}; this is model {MODEL_VERSION}"
    return "" if entry.seal == seal(plan, role) else f"changed since it was {role}"


def stale(plan: Plan) -> tuple[str, ...]:
    """What of the names and of the hour in the title block is not for the plan as it is, in words.

    Parameters
    ----------
    plan : the plan
    """
    found = [outdated(plan, role) for role in ROLES]
    hour = plan.record.hour
    if hour.words and hour.seal != _sea_seal(plan):
        found.append("sea or heading changed since the hour of the forecast was taken")
    return tuple(filter(None, found))


def in_hour(plan: Plan, words: str) -> Plan:
    """The plan with its sea and heading named as those of an hour of a forecast; without words as of none.

    Parameters
    ----------
    plan : the plan, in that sea and on that heading
    words : which hour of which forecast
    """
    hour = Hour(words, _sea_seal(plan)) if words else Hour()
    return plan.changed(record=replace(plan.record, hour=hour))


def _sea_seal(plan: Plan) -> str:
    return value_hash([plan.sea, plan.heading])
