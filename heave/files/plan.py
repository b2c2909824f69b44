"""The plan file: one plan as versioned JSON, with the forecast it is asked of where there is one of the user's own."""

from __future__ import annotations

import base64
import warnings
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from heave.errors import FileError, InputError
from heave.fields import Text
from heave.files.codec import Defaulted, decode, encode
from heave.files.json_text import json_text, read_document
from heave.files.sheet_plan import plan_source
from heave.files.tables import Source, on_line, write_text
from heave.planning import MODEL_VERSION, Plan, WeatherChoices

SCHEMA_FILE: Final = Path(__file__).with_name("plan.schema.json")
"""What a plan file holds, for another program: a JSON Schema."""

PAGE_FILE: Final = Path(__file__).with_name("plan_fields.md")
"""The same for people: every field of a plan file."""

PLAN_FORMAT: Final = "heave-plan"
PLAN_VERSION: Final = 8
"""8: what is asked of a climate and of limiting seas (headings as planned, waves from where the plan's sea comes from,
the first wave system grows beside the others, where absent).
7: what of the lesson was done (nothing where absent).
6: a row of a table is a line; ranges of a study (the usual ones where absent); title block, note and names under the
calculation (empty where absent); planned hoisting and lowering speed of an operation (none where absent, and then not
judged); the file a response table was read from, with its hash and what was answered (none where absent); a table
without phases (with phases where absent).
5: hoisting path (none where absent, and then not judged), record of the drilling line and well (none where
absent), what is inside the string (filled where absent); where a unit with an active part sits (under the crown where
absent); a compensating drawworks has no stroke; every layout of forecasts that was answered. 4: may hold the forecast;
limits of the rig in vertical speed and acceleration, roll and pitch; a step has its own load, time at risk,
heading and limits, a time to make safe (none where absent) and what it waits in; the tide as a curve; 12 h between two
forecasts, and until one is old, where absent. 3: limits in wave height and for every kind of operation. 2: what is
asked of a forecast stands together, under `weather`. All older ones are still read."""
MAX_PLAN_BYTES: Final = 5_000_000
"""Largest plan file read; a full response table takes a few hundred kilobytes, the rest is a forecast."""

MAX_FORECAST_BYTES: Final = 3_000_000
"""Largest forecast kept in a plan file, packed [bytes]."""

MAX_UNPACKED_BYTES: Final = 20_000_000
"""Largest forecast taken out of a plan file [bytes]."""

_KEYS: Final = ("format", "version", "model", "plan")
_MAY: Final = "forecast"


@dataclass(frozen=True)
class KeptForecast:
    """The file of a forecast as it was brought: its name, its bytes, and when it was issued where that was asked."""

    name: str
    data: bytes
    issued: str | None = None


@dataclass(frozen=True)
class PlanFile:
    """What a plan file holds; as one written now has it where nothing else is said."""

    plan: Plan
    forecast: KeptForecast | None = None
    version: int = PLAN_VERSION
    """Version of the file's format."""

    model: str | None = MODEL_VERSION
    """Version of the computation that wrote it; None where the file does not say."""

    defaulted: tuple[Defaulted, ...] = ()
    """Every field the file does not have, and what it was taken as."""

    @property
    def another_model(self) -> str:
        """That another version of the computation wrote the file, in a sentence; empty where it was this one."""
        if self.model == MODEL_VERSION:
            return ""
        wrote = f"was written by model {self.model}"
        if self.model is None:
            wrote = "does not say which model wrote it"
        return f"It {wrote}, and this is model {MODEL_VERSION}: results can differ."


def plan_to_json(plan: Plan, forecast: KeptForecast | None = None) -> str:
    """The plan as text of the plan file: format, version, model version and every field in SI.

    Parameters
    ----------
    plan : the plan
    forecast : the user's own forecast, kept in the file byte for byte, packed (zlib, RFC 1950; base64, RFC 4648)

    Raises
    ------
    InputError
        If the forecast is too large to be kept in the file.
    """
    return json_text(plan_document(plan, forecast))


def plan_document(plan: Plan, forecast: KeptForecast | None = None) -> dict[str, Any]:
    """The JSON object of the plan file.

    Parameters
    ----------
    plan, forecast : as for `plan_to_json`

    Raises
    ------
    InputError
        As `plan_to_json`.
    """
    document = dict(zip(_KEYS, (PLAN_FORMAT, PLAN_VERSION, MODEL_VERSION, encode(plan)), strict=True))
    if forecast is not None:
        document[_MAY] = {"name": forecast.name, "issued": forecast.issued, "data": pack_forecast(forecast)}
    return document


def pack_forecast(forecast: KeptForecast) -> str:
    """The bytes of a forecast as they stand in a plan file.

    Parameters
    ----------
    forecast : the file

    Raises
    ------
    InputError
        If it is too large to be kept in a plan file.
    """
    packed = zlib.compress(forecast.data)
    if len(packed) > MAX_FORECAST_BYTES or len(forecast.data) > MAX_UNPACKED_BYTES:
        allowed = f"at most {MAX_FORECAST_BYTES / 1e6:g}\u00a0MB packed to be kept with the plan"
        raise InputError("size of the forecast", round(len(packed) / 1e6, 2), "MB", allowed)
    return base64.b64encode(packed).decode("ascii")


def read_plan(source: Source) -> Plan:
    """Read a plan from a file; a forecast in it is left. What the file does not say is told as a UserWarning.

    Parameters
    ----------
    source : the path of a plan file, or its bytes

    Raises
    ------
    FileError
        As `read_plan_file`.
    """
    found = read_plan_file(source)
    if found.another_model or found.defaulted:
        taken = (f"{one.path} ({one.label}) as {one.words()}" for one in found.defaulted)
        absent = f"Taken because the file does not say: {'; '.join(taken)}." if found.defaulted else ""
        warnings.warn(" ".join(filter(None, ("plan file:", found.another_model, absent))), stacklevel=2)
    return found.plan


def read_plan_file(source: Source) -> PlanFile:
    """Read a plan from a file, and the forecast in it where there is one; of a calculation sheet the plan in it.

    Parameters
    ----------
    source : the path of a plan file or a calculation sheet, or its bytes

    Raises
    ------
    FileError
        If it is not strict JSON of the known format and version, or any value is not allowed; the
        message names the key path.
    """
    document = read_document(plan_source(source), PLAN_FORMAT, PLAN_VERSION, MAX_PLAN_BYTES, oldest=1)
    return plan_file_of(document)


def plan_file_of(document: dict[str, Any]) -> PlanFile:
    """What the JSON object of a plan file holds.

    Parameters
    ----------
    document : of the known format and a version that is read

    Raises
    ------
    FileError
        As `read_plan_file`.
    """
    for key in (*document, "plan"):
        if key not in (*_KEYS, _MAY) or key not in document:
            allowed = f"just the keys {', '.join(_KEYS)}, and {_MAY} or not"
            raise FileError("plan file", key, None, allowed, column=key)
    kept = _forecast_in(document[_MAY]) if _MAY in document else None
    version, model = document["version"], document.get("model")
    if model is not None:
        with on_line(None, "model"):
            Text("model", longest=40).check(model)
    defaulted: list[Defaulted] = []
    if version == 1:
        plan = _read_version_1(document["plan"], defaulted)
    else:
        plan = decode(Plan, document["plan"], "plan", defaulted)
    return PlanFile(plan, kept, version, model, tuple(defaulted))


def _forecast_in(value: Any) -> KeptForecast:
    """The forecast of a plan file; never unpacks more than is allowed."""
    if not isinstance(value, dict) or set(value) != {"name", "issued", "data"}:
        raise FileError("forecast", value, None, "an object of name, issued and data", column=_MAY)
    name, issued, text = value["name"], value["issued"], value["data"]
    if not isinstance(name, str) or not isinstance(text, str) or not isinstance(issued, str | None):
        raise FileError("forecast", value, None, "name, issued and data as text", column=_MAY)
    unpacker = zlib.decompressobj()
    try:
        data = unpacker.decompress(base64.b64decode(text, validate=True), MAX_UNPACKED_BYTES)
    except (ValueError, zlib.error) as problem:
        raise FileError("data", text[:20], None, "zlib data in base64", column=f"{_MAY}.data") from problem
    if not unpacker.eof or unpacker.unused_data:
        allowed = f"one whole file of at most {MAX_UNPACKED_BYTES / 1e6:g}\u00a0MB"
        raise FileError("data", f"{len(data)} bytes and more", None, allowed, column=f"{_MAY}.data")
    return KeptForecast(name, data, issued)


_BESIDE: Final = ("campaign", "alpha", "forecast_mapping")
"""What is asked of a forecast, which version 1 kept beside the sea and the vessel; it knew no more of it."""


def _read_version_1(value: Any, defaulted: list[Defaulted]) -> Plan:
    asked, rest = {}, value
    if isinstance(value, dict):
        if "weather" in value:
            raise FileError("plan file", "weather", None, "a file of version 2", column="plan.weather")
        asked = {key: value[key] for key in _BESIDE if key in value}
        rest = {key: value[key] for key in value if key not in _BESIDE}
    plan: Plan = decode(Plan, rest, "plan", defaulted)
    defaulted[:] = [one for one in defaulted if not one.path.startswith("plan.weather.")]
    return plan.changed(weather=decode(WeatherChoices, asked, "plan", defaulted))


def write_plan(plan: Plan, path: str) -> None:
    """Write the plan to a file at `path`, as `plan_to_json` gives it."""
    write_text(path, plan_to_json(plan))
