"""The plan file: one plan as versioned JSON, read strictly and written readably."""

from __future__ import annotations

from typing import Any, Final

from heave.errors import FileError
from heave.files.codec import decode, encode
from heave.files.json_text import json_text, read_document
from heave.files.tables import Source, write_text
from heave.planning import MODEL_VERSION, Plan, WeatherChoices

PLAN_FORMAT: Final = "heave-plan"
PLAN_VERSION: Final = 4
"""4: a step has its own load, time at risk, heading and limits, a time to make safe (none where absent) and what it
waits in; the tide as a curve; 12 h between two forecasts, and until one is old, where absent. 3: limits of the rig in
wave height and for every kind of operation. 2: what is asked of a forecast stands together, under `weather`. All older
ones are still read."""
MAX_PLAN_BYTES: Final = 4_000_000
"""Largest plan file read; a full response table takes a few hundred kilobytes."""

_KEYS: Final = ("format", "version", "model", "plan")


def plan_to_json(plan: Plan) -> str:
    """The plan as text of the plan file: format, version, model version and every field in SI."""
    return json_text(dict(zip(_KEYS, (PLAN_FORMAT, PLAN_VERSION, MODEL_VERSION, encode(plan)), strict=True)))


def read_plan(source: Source) -> Plan:
    """Read a plan from a file.

    Parameters
    ----------
    source : the path of a plan file, or its bytes

    Raises
    ------
    FileError
        If it is not strict JSON of the known format and version, or any value is not allowed; the
        message names the key path.
    """
    document = read_document(source, PLAN_FORMAT, PLAN_VERSION, MAX_PLAN_BYTES, oldest=1)
    for key in (*document, "plan"):
        if key not in _KEYS or key not in document:
            raise FileError("plan file", key, None, "just the keys " + ", ".join(_KEYS), column=key)
    if document["version"] == 1:
        return _read_version_1(document["plan"])
    plan: Plan = decode(Plan, document["plan"], "plan")
    return plan


_BESIDE: Final = ("campaign", "alpha", "forecast_mapping")
"""What is asked of a forecast, which version 1 kept beside the sea and the vessel; it knew no more of it."""


def _read_version_1(value: Any) -> Plan:
    asked, rest = {}, value
    if isinstance(value, dict):
        if "weather" in value:
            raise FileError("plan file", "weather", None, "a file of version 2", column="plan.weather")
        asked = {key: value[key] for key in _BESIDE if key in value}
        rest = {key: value[key] for key in value if key not in _BESIDE}
    plan: Plan = decode(Plan, rest, "plan")
    return plan.changed(weather=decode(WeatherChoices, asked, "plan"))


def write_plan(plan: Plan, path: str) -> None:
    """Write the plan to a file at `path`, as `plan_to_json` gives it."""
    write_text(path, plan_to_json(plan))
