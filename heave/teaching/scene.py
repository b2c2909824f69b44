"""A scene of the lesson: what it is made of, and what is told of the runs it comes from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import NamedTuple

from heave.planning.plan import Plan
from heave.simulation.scenario import run
from heave.teaching.staging import Film, Runs, Stage, Staged


class Caption(NamedTuple):
    """Words under the picture from one moment to another [s]."""

    start: float
    end: float
    text: str


@dataclass(frozen=True)
class Sketch:
    """What the small still picture of a scene shows: a trace, its kind and name, and over which time [s]."""

    trace: str
    kind: str
    name: str
    start: float
    end: float


@dataclass(frozen=True)
class Told:
    """What a scene says of its runs; every number and every comparison in it comes from them.

    question, choices, answer : to be predicted, and the place of the right choice
    opens : where the film stands when it comes up [s]; captions : in order
    why : sentences; change, expect : what to try, and what comes of it; learned : the one sentence to take away
    numbers : those the sentences rest on, SI, by name; moments : instants that exercises open the film at [s]
    """

    question: str
    choices: tuple[str, ...]
    answer: int
    opens: float
    captions: tuple[Caption, ...]
    why: tuple[str, ...]
    change: str
    expect: str
    learned: str
    sketch: Sketch
    numbers: dict[str, float]
    moments: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Scene:
    """One scene: its key and title, how it is staged for a plan, and what is told of it."""

    key: str
    title: str
    stage: Callable[[Stage], Staged]
    tell: Callable[[Staged, Runs, Runs, Stage], Told]

    def staged(self, plan: Plan, system: str = "metric") -> tuple[Staged, Stage]:
        """The scene made of a plan, and the plan as it was changed for it.

        Parameters
        ----------
        plan : of the user, any
        system : unit system of what is said
        """
        stage = Stage(plan.without_progress, system)
        return self.stage(stage), stage


def runs_of(*films: Film) -> tuple[Runs, ...]:
    """The runs of each film, simulated now; a set-up that several of them show is simulated once."""
    once = cache(run)
    return tuple(tuple(once(variant, film.scenario) for variant in film.variants) for film in films)


def told(scene: Scene, plan: Plan, system: str = "metric") -> tuple[Told, Staged, Runs]:
    """What a scene says of a plan, how it was staged, and the runs of what is played, simulated now.

    Parameters
    ----------
    scene : one of `heave.teaching.scenes.SCENES`
    plan : of the user, any
    system : unit system, "metric" or "oilfield"
    """
    staged, stage = scene.staged(plan, system)
    played, tried = runs_of(staged.play, staged.tried)
    return scene.tell(staged, played, tried, stage), staged, played


def in_order(*captions: Caption) -> tuple[Caption, ...]:
    """Captions in the order of their beginnings, each ended by the next; those that are nowhere are left out."""
    found = sorted((one for one in captions if one.end > one.start), key=lambda one: one.start)
    ends = [one.start for one in found[1:]] + [float("inf")]
    return tuple(
        Caption(one.start, min(one.end, end), one.text)
        for one, end in zip(found, ends, strict=True)
        if min(one.end, end) > one.start
    )
