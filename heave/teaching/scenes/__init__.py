"""The scenes of the lesson, in the order in which they build on each other."""

from __future__ import annotations

from typing import Final

from heave.teaching.scene import Scene
from heave.teaching.scenes.driller import DRILLER, STROKE_OUT
from heave.teaching.scenes.gas import BOTTLES, SEALS, SWELL
from heave.teaching.scenes.machine import DELAY, DRUM
from heave.teaching.scenes.still import CALM, HOOK_LOAD
from heave.teaching.scenes.string import DEEP, LIFT_OFF, LOCKED

__all__ = ["SCENES"]

SCENES: Final[dict[str, Scene]] = {
    scene.key: scene
    for scene in (
        *(CALM, HOOK_LOAD, SEALS, BOTTLES, DELAY, DEEP),
        *(LIFT_OFF, SWELL, LOCKED, STROKE_OUT, DRUM, DRILLER),
    )
}
"""Every scene by key."""
