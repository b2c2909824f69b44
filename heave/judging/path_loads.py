"""What every part of the hoisting path carries while hoisting, holding and lowering, and at the extreme in the sea."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from heave.formula import number_at
from heave.hoisting import MOTIONS, line_pulls
from heave.judging.demands import demands
from heave.judging.rules import chain
from heave.planning.plan import Plan
from heave.units import STANDARD_GRAVITY

RATINGS: Final[dict[str, str]] = {
    "derrick": "derrick_rating",
    "crown_block": "crown_rating",
    "drawworks_pull": "drawworks_pull",
    "dead_line": "anchor_rating",
    "travelling_block": "block_rating",
    "hook": "hook_rating",
    "top_drive": "top_drive_rating",
    "links": "links_rating",
    "elevators": "elevators_rating",
}
"""Parts from the derrick down by the key of their check, and the field of the path with their rating."""

_RULES: Final = {
    rule.key: rule
    for rule in (
        *(chain.derrick, chain.crown, chain.pull, chain.anchor, chain.block),
        *(chain.hook, chain.top_drive, chain.links, chain.elevators),
    )
}


@dataclass(frozen=True)
class PartLoad:
    """One part of the path: loads [N] with the string hanging still off bottom, moved by the drawworks, and in the sea.

    `extreme` is the largest in the plan's own sea, as its check has it. `rating` is None where the rig gives none;
    `utilisation` is extreme over rating, NaN then.
    """

    key: str
    name: str
    hoisting: float
    holding: float
    lowering: float
    extreme: float
    rating: float | None
    utilisation: float


@dataclass(frozen=True)
class PathLoads:
    """The parts from the derrick down, the pull in every part of the line, and the weakest part.

    `lines` has fast line, lines to the block and dead line for each of hoisting, holding and lowering [N].
    `weakest` is the key of the part nearest to its rating, None where no rating is given.
    """

    parts: tuple[PartLoad, ...]
    lines: dict[str, tuple[float, ...]]
    weakest: str | None


def path_loads(plan: Plan) -> PathLoads | None:
    """Loads of every part of the hoisting path; None where the plan has none.

    Hoisting, holding and lowering carry the string off bottom without what the sea adds (API RP 9B); the extreme is
    the demand of the part's own check at the planned values.

    Parameters
    ----------
    plan : the plan
    """
    path = plan.hoisting
    if path is None:
        return None
    found = demands(plan, plan.sea.batch())
    hook = plan.hookload
    string = hook - plan.string.handling_weight
    on_block = hook + block_weight(plan)
    still: dict[str, tuple[float, ...]] = {
        motion: tuple(float(one) for one in line_pulls(on_block, path.count, path.sheave_factor, motion))
        for motion in MOTIONS
    }
    below = {
        "travelling_block": on_block - (path.block_mass + path.line_mass) * STANDARD_GRAVITY,
        "hook": hook,
    }
    parts = []
    for key, field in RATINGS.items():
        moved = {
            motion: {
                "derrick": on_block,
                "crown_block": sum(pulls),
                "drawworks_pull": pulls[0],
                "dead_line": pulls[-1],
                **below,
            }.get(key, string)
            for motion, pulls in still.items()
        }
        extreme = number_at(_RULES[key].work(found).demand, 0)
        rating = getattr(path, field)
        used = math.nan if rating is None else extreme / rating
        parts.append(
            PartLoad(key, _RULES[key].name, extreme=extreme, rating=rating, utilisation=used, **moved)
        )
    known = [part for part in parts if part.rating is not None]
    weakest = max(known, key=lambda part: part.utilisation).key if known else None
    return PathLoads(tuple(parts), still, weakest)


def block_weight(plan: Plan) -> float:
    """What hangs on the lines above the hook [N]: block, lines, body and moving parts of an in-line unit."""
    own = 0.0 if plan.compensator.mounting == "crown" else plan.compensator.moving_mass
    return (plan.block_mass + own) * STANDARD_GRAVITY


@dataclass(frozen=True)
class LinePower:
    """Mean power of a compensating drawworks in the plan's sea [W]: drawn while hoisting, given back while lowering,
    each over the whole time, and what the sheaves make of the difference as heat."""

    hoisting: float
    lowering: float
    sheaves: float


def line_power(plan: Plan) -> LinePower | None:
    """Mean power of the line of a compensating drawworks that follows the heave; None for any other unit.

    Mean speed of the line n σ_v √(2/π) of a Gaussian motion, half of it hoisting and half lowering at the mean load;
    inertia gives back what it takes. Losses of drawworks and motors come on top. Source: Rice (1944) for the mean of
    the speed; API RP 9B for the pulls.

    Parameters
    ----------
    plan : the plan
    """
    path = plan.hoisting
    if path is None or not plan.compensator.is_drawworks:
        return None
    found = demands(plan, plan.sea.batch())
    load = found.setting.load + plan.block_mass * STANDARD_GRAVITY
    mean = path.count * number_at(found.velocity.sigma, 0) * math.sqrt(2 / math.pi)
    drawn, given = (
        float(line_pulls(load, path.count, path.sheave_factor, motion)[0]) * mean / 2
        for motion in ("hoisting", "lowering")
    )
    return LinePower(drawn, given, drawn - given)
