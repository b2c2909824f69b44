"""The most that a sea may be: in height of all its systems together, and in their number."""

from __future__ import annotations

import json
import math

import pytest

from heave.errors import FileError, InputError
from heave.files.plan import plan_document, plan_file_of, plan_to_json, read_plan_file
from heave.files.rigs import demo_plan
from heave.sea import SeaState, WaveSystem

HIGHEST = 25.0 / math.sqrt(2.0)
"""Height of each of two systems that are 25 m together: energies add, Hs² = Hs₁² + Hs₂² [m]."""


@pytest.mark.parametrize(
    ("height", "count", "good"), [(HIGHEST, 2, True), (HIGHEST + 0.01, 2, False), (0.5, 8, True)]
)
def test_heights_count_together(height: float, count: int, good: bool) -> None:
    systems = tuple(WaveSystem(height, 14.0 + place, "Tp", 200.0) for place in range(count))
    if good:
        assert SeaState(systems, 300.0).hs == pytest.approx(math.sqrt(count) * height)
        return
    with pytest.raises(
        InputError, match=r"wave height of the sea: 25\.014\u00a0m.*25\u00a0m, all systems together"
    ):
        SeaState(systems, 300.0)


def test_a_ninth_system_is_refused() -> None:
    with pytest.raises(InputError, match="at most 8"):
        SeaState(tuple(WaveSystem(0.5, 9.0, "Tp", 200.0) for _ in range(9)), 300.0)


def test_a_plan_file_says_where_its_sea_is_too_high() -> None:
    document = plan_document(demo_plan())
    for system in document["plan"]["sea"]["systems"]:
        system["hs_m"] = 24.9
    assert len(document["plan"]["sea"]["systems"]) > 1
    with pytest.raises(FileError, match=r"column plan\.sea.*all systems together"):
        plan_file_of(document)
    document = json.loads(plan_to_json(demo_plan()))
    document["plan"]["sea"]["measured"] = {"time": 5}
    with pytest.raises(FileError, match=r"plan\.sea\.measured"):
        read_plan_file(json.dumps(document).encode())
