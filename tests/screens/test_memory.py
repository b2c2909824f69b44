"""What the browser is given to keep is small, and comes back as it was or is refused."""

from __future__ import annotations

import base64
import dataclasses
import json
import zlib

import pytest

from heave.errors import FileError
from heave.files.plan import KeptForecast, PlanFile, plan_to_json
from heave.files.rigs import demo_plan, demo_vessels
from heave.planning import Plan
from heave.screens.memory import changed_since, packed, unpacked

PLAN = demo_plan()
FORECAST = KeptForecast("of my own.csv", b"time_utc,hs_m\n" + b"2027-01-01T00:00Z,1.0\n" * 200, None)
OWN = PLAN.changed(
    vessel=dataclasses.replace(PLAN.vessel, response=dataclasses.replace(PLAN.vessel.response, source="own"))
)  # type: ignore[type-var]


@pytest.mark.parametrize("forecast", [None, FORECAST], ids=["plan", "forecast"])
@pytest.mark.parametrize(
    "plan",
    [PLAN, OWN, PLAN.changed(vessel=demo_vessels()["Demo semisubmersible"])],
    ids=["demo", "own", "semi"],
)
def test_the_work_comes_back_as_it_was(plan: Plan, forecast: KeptForecast | None) -> None:
    assert unpacked(packed(plan, forecast)) == PlanFile(plan, forecast)


def test_a_table_of_the_library_is_not_sent_with_every_entry() -> None:
    assert len(packed(PLAN, None)) < 5000 < len(packed(OWN, None))


def test_what_was_kept_before_tables_were_named_is_still_read() -> None:
    text = base64.b64encode(zlib.compress(plan_to_json(PLAN, FORECAST).encode(), 1)).decode()
    assert unpacked(text) == PlanFile(PLAN, FORECAST)


def changed(text: str, response: dict[str, str]) -> str:
    document = json.loads(zlib.decompress(base64.b64decode(text)))
    document["model"] = "2025.1"
    document["plan"]["vessel"]["response"] |= response
    return base64.b64encode(zlib.compress(json.dumps(document).encode())).decode()


def test_a_table_that_the_library_has_changed_since_is_taken_as_it_is_today() -> None:
    found = unpacked(changed(packed(PLAN, None), {"sha256": "0" * 64}))
    assert found.plan == PLAN
    assert "results can differ" in found.another_model


def test_another_table_of_the_library_is_said() -> None:
    text = packed(PLAN, None)
    assert changed_since(text) == ""
    said = changed_since(changed(text, {"sha256": "0" * 64}))
    assert PLAN.vessel.name in said
    assert "has changed since" in said


def test_what_is_no_work_of_this_planner_is_refused() -> None:
    for text in ("nonsense!", packed(PLAN, None)[:-40], base64.b64encode(zlib.compress(b"[]")).decode()):
        with pytest.raises(FileError):
            unpacked(text)
    with pytest.raises(FileError, match="response of the library"):
        unpacked(changed(packed(PLAN, None), {"library": "Another ship"}))
