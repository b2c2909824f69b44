"""As many of each part of a plan as are allowed, and one more; parts of another kind, and order to the last second."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from test_small_parts import plan_of

from heave.errors import InputError
from heave.planning import HsLimit, Operation
from heave.planning.alpha import MAX_ROWS, AlphaRow, AlphaTable
from heave.planning.campaign import MAX_STEPS, Campaign, OperationStep
from heave.planning.columns import ForecastMapping
from heave.planning.line_work import MAX_JOBS, LineJob, LineWork
from heave.planning.operations import MAX_HS_LIMITS
from heave.planning.plan import HOOKLOAD_AGREES
from heave.planning.progress import MOST_DONE, Answered, Progress
from heave.planning.tide import MAX_WATERS, Tide, TideWater
from heave.planning.weather import MOST_LAYOUTS, WeatherChoices
from heave.sea import SeaState, WaveSystem
from heave.sea.arguments import MAX_HS
from heave.sea.systems import MOST_SYSTEMS
from heave.vessel.origin import MOST_NOTES, ResponseOrigin

BEGIN = datetime(2026, 1, 1)
SHA = "0" * 64


def waters(count: int) -> tuple[TideWater, ...]:
    return tuple(TideWater((BEGIN + timedelta(hours=6 * n)).isoformat(), float(n % 2)) for n in range(count))


def rows(count: int) -> tuple[AlphaRow, ...]:
    return tuple(AlphaRow(3600.0 * (n + 1), 0.6, 0.7, 0.8, 0.9) for n in range(count))


MADE: list[tuple[str, int, Callable[[int], Any]]] = [
    ("scenes", MOST_DONE, lambda n: Progress(tuple(f"s{k}" for k in range(n)))),
    ("answers", MOST_DONE, lambda n: Progress((), tuple(Answered(f"a{k}", "0" * 16) for k in range(n)))),
    ("layouts", MOST_LAYOUTS, lambda n: WeatherChoices(forecast_layouts=(ForecastMapping(()),) * n)),
    ("rows of α", MAX_ROWS, lambda n: AlphaTable(rows(n), "own")),
    ("Hs limits", MAX_HS_LIMITS, lambda n: Operation(hs_limits=(HsLimit(2.0),) * n)),
    ("steps", MAX_STEPS, lambda n: Campaign((OperationStep(Operation()),) * n)),
    ("jobs", MAX_JOBS, lambda n: LineWork(jobs=(LineJob("round trip", 100.0),) * n)),
    ("tide", MAX_WATERS, lambda n: Tide(waters(n))),
    ("systems", MOST_SYSTEMS, lambda n: SeaState((WaveSystem(0.5, 9.0),) * n)),
    ("notes", MOST_NOTES * 10, lambda n: ResponseOrigin("f", SHA, notes=("n",) * n)),
    ("layout", MOST_NOTES * 10, lambda n: ResponseOrigin("f", SHA, layout=("n",) * n)),
]


@pytest.mark.parametrize(("named", "most", "make"), MADE, ids=[one[0] for one in MADE])
def test_as_many_as_are_allowed_and_one_more(named: str, most: int, make: Callable[[int], Any]) -> None:
    assert make(most)
    with pytest.raises(InputError, match=named):
        make(most + 1)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Campaign(()),
        lambda: Campaign((OperationStep(Operation()), "step")),  # type: ignore[arg-type]
        lambda: OperationStep(None),  # type: ignore[arg-type]
        lambda: OperationStep("drilling"),  # type: ignore[arg-type]
        lambda: OperationStep(Operation(), waits_in="waiting"),  # type: ignore[arg-type]
        lambda: OperationStep(Operation(), string="string"),  # type: ignore[arg-type]
        lambda: Tide(waters(1)),
        lambda: Tide((*waters(2), "water")),  # type: ignore[arg-type]
        lambda: LineWork(jobs=("job",)),  # type: ignore[arg-type]
        lambda: AlphaTable(("row",), "own"),  # type: ignore[arg-type]
        lambda: Operation(hs_limits=("row",)),  # type: ignore[arg-type]
        lambda: WeatherChoices(forecast_layouts=("mapping",)),  # type: ignore[arg-type]
        lambda: WeatherChoices(campaign="campaign"),  # type: ignore[arg-type]
        lambda: WeatherChoices(alpha=None),  # type: ignore[arg-type]
        lambda: WeatherChoices(tide="tide"),  # type: ignore[arg-type]
        lambda: WeatherChoices(alpha_off="table"),  # type: ignore[arg-type]
        lambda: Progress(("a", "b", "a")),
        lambda: Progress((), (Answered("a", "0" * 16), Answered("a", "1" * 16))),
        lambda: Progress((), ("a",)),  # type: ignore[arg-type]
        lambda: Answered("a", "0" * 15),
        lambda: ResponseOrigin("f", "0" * 63),
        lambda: ResponseOrigin("f", SHA, notes=(1,)),  # type: ignore[arg-type]
        lambda: ResponseOrigin("f", SHA, conventions="none"),  # type: ignore[arg-type]
        lambda: SeaState(()),
    ],
)
def test_what_is_too_little_double_or_of_another_kind_is_refused(make: Callable[[], Any]) -> None:
    with pytest.raises(InputError):
        make()


def test_what_is_joined_or_learned_never_grows_past_it() -> None:
    """The first hundred of both; of layouts the latest, those dropped told."""
    one = Progress(tuple(f"s{k}" for k in range(60)), tuple(Answered(f"a{k}", "0" * 16) for k in range(60)))
    other = Progress(
        tuple(f"s{k}" for k in range(50, 120)), tuple(Answered(f"a{k}", "1" * 16) for k in range(50, 120))
    )
    both = one.joined(other)
    assert both.scenes == tuple(f"s{k}" for k in range(MOST_DONE))
    assert [answer.key for answer in both.answers] == [f"a{k}" for k in range(MOST_DONE)]
    assert both.numbers_of("a55") == "0" * 16
    choices, dropped = WeatherChoices(now="2026-01-01T06:00"), list[Any]()
    assert choices.now == "2026-01-01T06:00:00"
    assert choices.mapping_for([]) is None
    known = choices.knowing(ForecastMapping(()))[0]
    assert known.mapping_for([]) == ForecastMapping(())
    assert dropped == []


def test_a_sea_is_as_high_as_is_allowed_together() -> None:
    share = MAX_HS / 2**0.5
    assert SeaState((WaveSystem(share, 12.0), WaveSystem(share * (1 - 1e-9), 14.0))).hs <= MAX_HS
    with pytest.raises(InputError, match="all systems together"):
        SeaState((WaveSystem(share, 12.0), WaveSystem(share * 1.001, 14.0)))


def test_a_hookload_agrees_within_its_share_of_the_strings() -> None:
    plan = plan_of()
    own = plan.own_hookload
    for share, asked in ((0.999, False), (1.001, True), (-0.999, False), (-1.001, True)):
        entered = own * (1 + share * HOOKLOAD_AGREES)
        other = plan.changed(hookload_entered=entered, wob=0.0)
        assert other.hookload_to_confirm == asked
        assert not other.changed(hookload_confirmed=entered).hookload_to_confirm
        assert other.changed(hookload_confirmed=entered + 1.0).hookload_to_confirm == asked
    assert not replace(plan, hookload_entered=None).hookload_to_confirm
