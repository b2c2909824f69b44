"""A forecast in a plan file: kept byte for byte, and refused where it is broken or too large."""

from __future__ import annotations

import base64
import json
import random
import zlib
from typing import Any

import pytest

import heave
from heave.errors import FileError, InputError
from heave.files.json_text import json_text
from heave.files.plan import (
    MAX_FORECAST_BYTES,
    MAX_UNPACKED_BYTES,
    KeptForecast,
    PlanFile,
    plan_document,
    plan_to_json,
    read_plan_file,
)

pytestmark = pytest.mark.portable

FORECAST = KeptForecast("tuesday.csv", b"time;Hs (m)\r\n\xff\x00 any bytes\n" * 300, "2026-11-24T06:00")


def _with_forecast(**changes: Any) -> bytes:
    document = json.loads(plan_to_json(heave.demo_plan(), FORECAST))
    document["forecast"] |= changes
    return json.dumps(document).encode()


def test_a_forecast_is_kept_beside_the_plan_byte_for_byte() -> None:
    found = read_plan_file(plan_to_json(heave.demo_plan(), FORECAST).encode())
    assert found == PlanFile(heave.demo_plan(), FORECAST)
    assert heave.read_plan(_with_forecast()) == heave.demo_plan()
    assert read_plan_file(plan_to_json(heave.demo_plan()).encode()).forecast is None


@pytest.mark.parametrize(
    ("data", "message"),
    [
        ("not base64!", "forecast.data.*zlib data in base64"),
        (base64.b64encode(b"not packed").decode(), "forecast.data.*zlib data in base64"),
        (base64.b64encode(zlib.compress(b"x" * 99)[:-4]).decode(), "one whole file"),
        (base64.b64encode(zlib.compress(b"x") + b"more").decode(), "one whole file"),
        (base64.b64encode(zlib.compress(bytes(MAX_UNPACKED_BYTES + 1))).decode(), "at most 20\u00a0MB"),
        (7, "name, issued and data as text"),
    ],
)
def test_a_broken_forecast_in_a_plan_file_is_refused(data: Any, message: str) -> None:
    with pytest.raises(FileError, match=f"(?s){message}"):
        heave.read_plan(_with_forecast(data=data))


def test_a_forecast_too_large_for_a_plan_file_is_refused() -> None:
    noise = KeptForecast("large.csv", random.Random(4).randbytes(MAX_FORECAST_BYTES + 1))
    with pytest.raises(
        InputError,
        match=r"size of the forecast: 3\.0\u00a0MB cannot be used; allowed: at most 3\u00a0MB packed",
    ):
        plan_to_json(heave.demo_plan(), noise)


def test_a_compact_text_is_the_same_file() -> None:
    plan = heave.demo_plan()
    compact = json_text(plan_document(plan, FORECAST), compact=True)
    assert len(compact) < 0.95 * len(plan_to_json(plan, FORECAST))
    assert compact.count("\n") == 1
    assert json.loads(compact) == json.loads(plan_to_json(plan, FORECAST))
    assert read_plan_file(compact.encode()) == PlanFile(plan, FORECAST)
