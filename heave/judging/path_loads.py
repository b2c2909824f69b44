"""What every link of the chain carries while hoisting, holding and lowering, and at the extreme in the sea."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.formula import number_at
from heave.hoisting import MOTIONS, Motion, design_factor, line_pulls
from heave.judging.checks import Check, Outcome, Rule, Verdict
from heave.judging.demands import Demands, demands
from heave.judging.rules import chain, chain_speed, load, string
from heave.judging.rules.string import TENSION
from heave.planning.plan import Plan
from heave.units import STANDARD_GRAVITY

RATINGS: Final[dict[str, str]] = {
    "derrick": "derrick_rating",
    "crown_block": "crown_rating",
    "dead_line": "anchor_rating",
    "drawworks_pull": "drawworks_pull",
    "travelling_block": "block_rating",
    "hook": "hook_rating",
    "top_drive": "top_drive_rating",
    "links": "links_rating",
    "elevators": "elevators_rating",
}
"""Parts from the derrick down by the key of their check, and the field of the path that it is judged by."""

LOADED: Final = ("derrick", "crown_block", "drilling_line", *list(RATINGS)[2:])
"""Parts of the path that carry load, from the derrick down, by the key of their check."""

PATH_KEYS: Final = (
    *LOADED,
    "hoisting_pull",
    "lowering_power",
    "drilling_line_pulled",
    "crown_clearance",
    "floor_clearance",
)
"""Checks of the hoisting path, in the order of the chain."""

_RULES: Final = {
    rule.key: rule
    for rule in (
        *(chain.derrick, chain.crown, chain.line, chain.anchor, chain.pull, chain.block),
        *(chain.hook, chain.top_drive, chain.links, chain.elevators, string.tension),
    )
}


@dataclass(frozen=True)
class PartLoad:
    """One part of the path: loads [N] with the string hanging still off bottom, moved by the drawworks, and in the sea.

    `key` is that of the part, `check` that of the check which it is judged by. `extreme` is the largest in the plan's
    own sea, as its check has it. `rating` is None where the rig gives none; `utilisation` is extreme over rating, NaN
    then.
    """

    key: str
    check: str
    name: str
    hoisting: float
    holding: float
    lowering: float
    extreme: float
    rating: float | None
    utilisation: float


@dataclass(frozen=True)
class PathLoads:
    """The parts of the path from the derrick down, the whole chain with compensator and string, and every pull.

    `lines` has fast line, lines to the block and dead line for each of hoisting, holding and lowering [N], `on_block`
    the load on the lines [N]. `weakest` is the key of the part of the path nearest to its rating, None where no rating
    is given. `chain` has the parts with the compensator where it sits, whose key is `unit`, and the string.
    """

    parts: tuple[PartLoad, ...]
    lines: dict[Motion, tuple[float, ...]]
    weakest: str | None
    on_block: float
    chain: tuple[PartLoad, ...]
    unit: str
    design_factor: float | None
    """Strength of the drilling line over its largest pull in the plan's own sea (API RP 9B); None without a line."""

    @property
    def weakest_link(self) -> str | None:
        """Key of the link of the whole chain nearest to its rating; None where none can be judged."""
        return _weakest(self.chain)

    def states(self, checks: Iterable[Check]) -> dict[str, Verdict]:
        """The state of every check and of every link, by its key.

        Parameters
        ----------
        checks : of the plan's assessment
        """
        found = {check.key: check.state for check in checks}
        return found | {part.key: found[part.check] for part in self.chain if part.check in found}

    def link(self, key: str) -> PartLoad:
        """The link of the chain with this key; a KeyError if there is none."""
        return {part.key: part for part in self.chain}[key]


def _weakest(parts: Iterable[PartLoad]) -> str | None:
    rated = [part for part in parts if not math.isnan(part.utilisation)]
    return max(rated, key=lambda part: part.utilisation).key if rated else None


def path_loads(plan: Plan) -> PathLoads | None:
    """Loads of every part from derrick to string; None where the plan has no hoisting path.

    Hoisting, holding and lowering carry the string off bottom without what the sea adds (API RP 9B), in a well with
    friction pulled out, still and run in; the extreme is the demand of the part's own check at the planned values.

    Parameters
    ----------
    plan : the plan
    """
    path = plan.hoisting
    if path is None:
        return None
    found = demands(plan, plan.sea.batch())
    # friction of a well adds to a string pulled out and takes off one run in
    at_hook = dict(zip(MOTIONS, (plan.job_hookload, plan.still_hookload, plan.running_hookload), strict=True))
    on_block = {motion: load + block_weight(plan) for motion, load in at_hook.items()}
    pulls: dict[Motion, tuple[float, ...]] = {
        motion: tuple(float(one) for one in line_pulls(load, path.count, path.sheave_factor, motion))
        for motion, load in on_block.items()
    }
    unit, worked = _most_used(found, load.compensated, string.locked, load.overpull)
    results = {key: rule.work(found) for key, rule in _RULES.items()}
    judged = {key: key for key in results}
    # the drawworks has the pull of its rating, and at a planned speed what power and gears leave of it
    at_drum, results["drawworks_pull"] = _most_used(found, chain.pull, chain_speed.hoisting_pull)
    judged["drawworks_pull"] = at_drum.key
    order = [*LOADED, "tension"]
    below = {"crown": "drilling_line", "block": "hook", None: "travelling_block"}[plan.compensator.mounting]
    order.insert(order.index(below), unit.key)
    results[unit.key] = worked
    # the pipe's own share is that of its most used section
    tension = _static_tension(results["tension"]) - plan.hookload
    still = {
        motion: {
            "derrick": on_block[motion],
            "travelling_block": on_block[motion] - (path.block_mass + path.line_mass) * STANDARD_GRAVITY,
            unit.key: (load + plan.moving_mass * STANDARD_GRAVITY) * plan.crown_ratio,
            "hook": load,
            "tension": load + tension,
        }
        for motion, load in at_hook.items()
    }
    names = {key: rule.name for key, rule in _RULES.items()} | {
        "tension": "String",
        unit.key: "Drawworks in heave" if plan.compensator.is_drawworks else "Compensator",
    }
    links = []
    for key in order:
        moved = {
            motion: {"crown_block": sum(line), "dead_line": line[-1], **still[motion]}.get(
                key,
                line[0]
                if key in ("drilling_line", "drawworks_pull")
                else at_hook[motion] - plan.string.handling_weight,
            )
            for motion, line in pulls.items()
        }
        demand, rating = (number_at(v, 0) for v in (results[key].demand, results[key].capacity))
        known = None if math.isnan(rating) else rating
        used = number_at(results[key].utilisation, 0)
        static = (moved["hoisting"], moved["holding"], moved["lowering"])
        about = (key, judged.get(key, key), names[key])
        links.append(PartLoad(*about, *static, extreme=demand, rating=known, utilisation=used))
    parts = tuple(link for link in links if link.key in LOADED)
    pulled = number_at(results["drilling_line"].demand, 0)
    factor = None if path.line is None else float(design_factor(path.line.strength, pulled))
    return PathLoads(parts, pulls, _weakest(parts), on_block["holding"], tuple(links), unit.key, factor)


def block_weight(plan: Plan) -> float:
    """What hangs on the lines above the hook [N]: block, lines, body and moving parts of an in-line unit."""
    own = 0.0 if plan.compensator.under_crown else plan.compensator.moving_mass
    return (plan.block_mass + own) * STANDARD_GRAVITY


def _most_used(found: Demands, *rules: Rule) -> tuple[Rule, Outcome]:
    """Of the rules that apply the one that is most used, and its outcome; the first where none can be judged."""
    worked = [(rule, rule.work(found)) for rule in rules if rule.applies(found.plan)]
    return max(
        worked or [(rules[0], rules[0].work(found))],
        key=lambda one: np.nan_to_num(number_at(one[1].utilisation, 0), nan=-1.0),
    )


def _static_tension(worked: Outcome) -> float:
    step = next(step for step in worked.steps if step.symbol == TENSION.symbol)
    return number_at(step.terms["T_s"].value, 0)


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
