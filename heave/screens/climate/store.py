"""What the climate page keeps for the session: which climate is looked at, and what came of it.

By which headings it is judged, and where the waves of a diagram without sectors come from, stands in the plan. Which
climate is looked at does not: two of the three are files that are no part of a plan, so one that is opened elsewhere
comes up on the example, judged as its plan says, until a file is brought.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Final, Literal

from heave.errors import InputError
from heave.files.scatter import read_scatter
from heave.planning import Plan
from heave.planning.other_seas import Bearing, HeadingRule
from heave.screens import state
from heave.screens.weather import store as weather
from heave.studies.climate import Operability, operability
from heave.studies.climate_seas import ClimateSeas, seas_of_record, seas_of_scatter
from heave.studies.scatter import Scatter
from heave.weather import Forecast, question
from heave.weather.evaluation import Progress, part_of

EXAMPLE: Final = Path(__file__).resolve().parents[3] / "sea_states" / "iacs_rec34_rev1.csv"

EXAMPLE_NAME: Final = "IACS Recommendation 34, Revision 1"

EXAMPLE_CAUTION: Final = (
    "The example is IACS Recommendation No. 34 in its Revision 1, which Revision 2 of 2022 replaces: the North "
    "Atlantic as ships on passage meet it, which is no drilling site. It shows how the page works; bring the climate "
    "of your own site for figures that mean something."
)

Kind = Literal["example", "scatter", "record"]
KINDS: Final[Mapping[Kind, str]] = {
    "example": "Example scatter diagram",
    "scatter": "Your scatter diagram",
    "record": "Hindcast",
}


@dataclass(frozen=True, eq=False)
class OwnScatter:
    """A scatter diagram that was brought: the file's name and what was read."""

    name: str
    scatter: Scatter


@lru_cache(maxsize=1)
def example() -> Scatter:
    """The example, read once a process; its numbers are the middles of classes of 1 m and 1 s."""
    return read_scatter(EXAMPLE, classes="middles", name=EXAMPLE_NAME)


def kind() -> Kind:
    """Which climate is looked at."""
    found: Kind | None = state.kept("climate:kind")
    return found or "example"


def own() -> OwnScatter | None:
    """The diagram that was brought."""
    found: OwnScatter | None = state.kept("climate:scatter")
    return found


def rule() -> HeadingRule:
    """By which headings."""
    return state.plan().other_seas.headings


def bearing() -> Bearing:
    """Where the waves of a diagram without sectors come from."""
    return state.plan().other_seas.bearing


def record() -> weather.Source | None:
    """The hindcast of the weather-window page, else the forecast in use; None of an ensemble."""
    brought: weather.Source | None = state.kept("hindcast")
    found = brought or weather.source()
    return found if isinstance(found.forecast, Forecast) else None


def diagram() -> Scatter | None:
    """The diagram that is looked at; None where it is a record, or none was brought."""
    if kind() == "example":
        return example()
    brought = own()
    return brought.scatter if kind() == "scatter" and brought is not None else None


def of_scatter(plan: Plan, scatter: Scatter, rule_: HeadingRule) -> Operability | InputError:
    """Operability over a diagram, or why there is none; a diagram is small enough to be worked while one looks."""
    return _of_scatter(plan.as_judged, scatter, rule_, bearing())


@lru_cache(maxsize=24)
def _of_scatter(
    plan: Plan, scatter: Scatter, rule_: HeadingRule, bearing_: Bearing
) -> Operability | InputError:
    try:
        return operability(plan, seas_of_scatter(plan, scatter, bearing_), rule_)
    except InputError as error:
        return error


def over_record(
    plan: Plan, source: weather.Source, rules: tuple[HeadingRule, ...], progress: Progress
) -> dict[HeadingRule, Operability]:
    """Operability over a record by some rules of headings; each reading of periods nobody knows by the worst of it.

    Parameters
    ----------
    plan : the plan
    source : the record
    rules : rules of headings
    progress : told how far it is
    """
    parts = len(rules) + bool(source.readings)
    seas = weather.seas_of(source, plan, part_of(progress, 0, parts))
    made: ClimateSeas = seas_of_record(plan, seas)
    first = parts - len(rules)
    return {
        one: operability(plan, made, one, progress=part_of(progress, first + place, parts))
        for place, one in enumerate(rules)
    }


def worked(source: weather.Source) -> dict[HeadingRule, Operability]:
    """What was worked out over that record, by rule of headings; nothing of another."""
    found: dict[HeadingRule, Operability] = state.kept("climate:results") or {}
    return found if state.kept("climate:results of") is source else {}


def keep(source: weather.Source, plan: Plan, found: dict[HeadingRule, Operability]) -> None:
    """Keep what was worked out over a record, beside what was before of the same plan and record."""
    before = worked(source)
    same = {one: old for one, old in before.items() if same_question(old.plan, plan)}
    state.keep("climate:results", {**same, **found})
    state.keep("climate:results of", source)


def same_question(one: Plan, other: Plan) -> bool:
    """Whether two plans ask the same of a record: their own sea and the present time are not used.

    Parameters
    ----------
    one, other : plans
    """
    first, second = (question(plan.changed(weather=replace(plan.weather, now=None))) for plan in (one, other))
    return first == second
