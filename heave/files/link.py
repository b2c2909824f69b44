"""A plan as the text of a link: the plan file packed (zlib, RFC 1950) in letters an address may hold (RFC 4648, 5).

A response table of the library is named, with the SHA-256 of its numbers, and taken from the library again;
any other table is packed with the rest. What a link holds is read as strictly as a file, and nothing in it
is run.
"""

from __future__ import annotations

import base64
import hashlib
import re
import zlib
from functools import cache
from typing import Any, Final

from heave.errors import FileError, InputError
from heave.files.codec import encode
from heave.files.json_text import json_text, read_document
from heave.files.plan import PLAN_FORMAT, PLAN_VERSION, PlanFile, plan_document, plan_file_of
from heave.files.rigs import demo_vessels
from heave.planning import Plan

MAX_LINK: Final = 7000
"""Longest text of a link [characters]: with the address before it, within the 8 kB that proxies take in a line."""

MAX_LINK_BYTES: Final = 500_000
"""Largest plan file taken out of a link [bytes]."""

_LIBRARY: Final = "library"
_WHOLE: Final = (
    "a whole link: it may have been cut short or changed on its way, ask for it anew or for the plan file"
)


def plan_to_link(plan: Plan) -> str:
    """The text of a link that carries `plan`.

    Parameters
    ----------
    plan : the plan

    Raises
    ------
    InputError
        If it would be longer than MAX_LINK, as with an own response table of many points.
    """
    document = named(plan_document(plan.without_progress))
    text = _in_letters(zlib.compress(json_text(document, compact=True).encode(), 9))
    if len(text) > MAX_LINK:
        allowed = f"at most {MAX_LINK}: save the plan as a file and send that"
        raise InputError("length of the link", len(text), "characters", allowed)
    return text


def read_link(text: str) -> PlanFile:
    """The plan that the text of a link carries; never unpacks more than is allowed.

    Parameters
    ----------
    text : from an address, so it may be anything

    Raises
    ------
    FileError
        If it is not one whole text of a link, names a response the library does not have as it was, or what is
        in it is no plan file; see `heave.files.plan.read_plan_file`.
    """
    if len(text) > MAX_LINK:
        raise FileError("link", f"{len(text)} characters", None, f"at most {MAX_LINK} characters")
    if not re.fullmatch(r"[A-Za-z0-9_-]+", text):
        raise FileError("link", text[:20], None, _WHOLE)
    unpacker = zlib.decompressobj()
    try:
        packed = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
        data = unpacker.decompress(packed, MAX_LINK_BYTES)
    except (ValueError, zlib.error) as problem:
        raise FileError("link", text[:20], None, _WHOLE) from problem
    if not unpacker.eof and len(data) == MAX_LINK_BYTES:
        allowed = f"a plan of at most {MAX_LINK_BYTES / 1e6:g}\u00a0MB"
        raise FileError("link", f"{len(data)} bytes and more", None, allowed)
    # the last letter has bits to spare: only one spelling of them is a whole link
    if not unpacker.eof or unpacker.unused_data or _in_letters(packed) != text:
        raise FileError("link", text[-20:], None, _WHOLE)
    document = read_document(data, PLAN_FORMAT, PLAN_VERSION, MAX_LINK_BYTES, oldest=1)
    return plan_file_of(whole(document))


def named(document: dict[str, Any]) -> dict[str, Any]:
    """The JSON object of a plan file, a response of the library in it only named.

    Parameters
    ----------
    document : as `heave.files.plan.plan_document` gives it; changed
    """
    vessel = document["plan"]["vessel"]
    for kept, reference in _library().values():
        if vessel["response"] == kept:
            vessel["response"] = reference
    return document


def whole(document: dict[str, Any], *, as_now: bool = False) -> dict[str, Any]:
    """The same with the response put back; what is not as it should be is left for the plan's reader.

    Parameters
    ----------
    document : as read; changed
    as_now : take the library's response as it is today, whatever it was then

    Raises
    ------
    FileError
        If the library has no response of that name, or not as it was.
    """
    vessel, response = _response_of(document)
    if _LIBRARY not in response:
        return document
    name = response[_LIBRARY]
    kept, reference = _library().get(str(name), (None, None))
    if kept is None or (response != reference and not as_now):
        allowed = f"one this planner has, unchanged: {', '.join(_library())}; else ask for the plan file"
        raise FileError("response of the library", name, None, allowed, column="plan.vessel.response")
    vessel["response"] = kept
    return document


def of_another_library(document: dict[str, Any]) -> str:
    """The name of the library's response that a document names as it was and the library has otherwise; else empty.

    Parameters
    ----------
    document : as read, before `whole` puts the response back
    """
    _, response = _response_of(document)
    name = str(response.get(_LIBRARY))
    kept, reference = _library().get(name, (None, None))
    return name if kept is not None and response != reference else ""


def _response_of(document: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The vessel and its response in a document that may hold anything; empty where there is none."""
    plan = document.get("plan")
    vessel = plan.get("vessel") if isinstance(plan, dict) else None
    response = vessel.get("response") if isinstance(vessel, dict) else None
    return (vessel, response) if isinstance(vessel, dict) and isinstance(response, dict) else ({}, {})


@cache
def _library() -> dict[str, tuple[Any, dict[str, str]]]:
    """The response tables of the library as a plan file has them, by name of the vessel, and what names each."""
    found = {}
    for name, vessel in demo_vessels().items():
        # the class is named, as a vessel's response may be of several
        kept = encode(vessel.response, ambiguous=True)
        hashed = hashlib.sha256(json_text(kept, compact=True).encode()).hexdigest()
        found[name] = kept, {_LIBRARY: name, "sha256": hashed}
    return found


def _in_letters(data: bytes) -> str:
    return base64.urlsafe_b64encode(data).decode("ascii").rstrip("=")
