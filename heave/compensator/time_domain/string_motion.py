"""The string carried from step to step, exactly: one case in plain numbers, or many cases side by side.

With forces held constant over a step a state s moves as s' = A s + B f (matrix exponential of the
augmented system). What a step needs is read off the state: hook, its speed and the bit, and what they
come to a step later without forces. The reads and the next state come of one product.

Many cases take several steps between products: the reads after j steps are R Aʲ s + Σ R Aʲ⁻¹⁻ⁱ B fᵢ, so
the state itself need not be known at each.
"""

from __future__ import annotations

from collections.abc import Callable
from struct import Struct
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator.time_domain.string_model import StringModel
from heave.fields import Quantity

Move = Callable[[Any, Any], Any]

STEP: Final = Quantity("time step", "period", low=0.001, high=0.05)
"""The longest still gives friction a dozen steps in the quickest wave."""

LATE_SHARE: Final = 0.6
"""Share of the end of the step in the depth of the bit in the rock: at 1 blows are blunted, below one half the
contact would give back more than it took."""

_TOGETHER: Final = 8
"""Steps of many cases between products: with more, reads and forces outgrow what is saved on the state."""

_READS: Final = 6
_FORCES: Final = 2
_PLACES: Final = slice(0, 4, 2)
_RATE: Final = 4


class StringStep:
    """One step of a string with forces held over it.

    transition : (2m, 2m), new state from old; forced : (2m, 2), from hook force and bit force
    reads : (6, 2m), hook, its speed, bit, then hook and its speed a step later without forces, and the bit
        a little past the middle of that step
    hook_place, hook_speed, hook_cross, bit_place, bit_cross : what a unit force does within a step: hook force
        to hook and its speed, bit force to the hook's speed and to the bit, hook force to the bit
    """

    def __init__(self, model: StringModel, step: float) -> None:
        from scipy.linalg import expm

        STEP.check(step)
        half = model.size
        self.step, self.size = step, 2 * half
        none, bit_shape = np.zeros(half), np.zeros(half)
        bit_shape[-1] = 1.0
        shapes = np.stack([model.hook_shape, bit_shape], axis=1)
        rates = np.zeros((self.size + 2, self.size + 2))
        rates[:half, half : self.size] = np.eye(half)
        rates[half : self.size] = np.linalg.solve(
            model.mass, np.hstack([-model.stiffness, -model.damping, shapes])
        )
        moved = np.asarray(expm(rates * step)[: self.size])
        self.transition, self.forced = moved[:, : self.size], moved[:, self.size :]
        now = np.stack(
            [
                np.concatenate([model.hook_shape, none]),
                np.concatenate([none, model.hook_shape]),
                np.concatenate([bit_shape, none]),
            ]
        )
        later = now @ self.transition
        later[2] = LATE_SHARE * later[2] + (1 - LATE_SHARE) * now[2]
        self.reads = np.concatenate([now, later])
        (self.hook_place, _), (self.hook_speed, self.hook_cross), (self.bit_cross, self.bit_place) = (
            now @ self.forced
        ).tolist()

    def grouped(self, together: int) -> tuple[FloatArray, FloatArray]:
        """What takes `together` steps at once, and what the forces since its beginning do to the reads meanwhile.

        Returns
        -------
        (6 × together + 2m, 2m + 2 × together), from state and forces, the earliest first, to the reads after 0, 1 …
        steps without more forces and to the state; (6, 2 × together − 2), from forces to reads
        """
        reads, driven, power = [self.reads], self.forced, self.transition
        for _ in range(together - 1):
            reads.append(reads[-1] @ self.transition)
            driven = np.hstack([power @ self.forced, driven])
            power = self.transition @ power
        ahead = np.vstack([*reads, np.eye(self.size)]) @ np.hstack([power, driven])
        kicks = self.reads @ driven[:, _FORCES:]
        ahead[_RATE, -1] += self.hook_cross
        kicks[_RATE, -1:] += self.hook_cross
        return np.ascontiguousarray(ahead), np.asarray(kicks)


class OneString:
    """The string of a single case.

    places : hook and bit after every step of the last stretch, (steps, 2, 1); states : (steps, 2m, 1); both are
        overwritten by the next
    """

    def __init__(self, step: StringStep, longest: int) -> None:
        product, _ = step.grouped(1)
        rows = np.zeros((longest + 1, _READS + step.size + _FORCES))
        plain: list[Any] = [row.data for row in rows]  # reads and writes plain numbers
        self._ways = list(zip(rows[:-1, _READS:], rows[1:, :-_FORCES], plain[:-1], plain[1:], strict=True))
        self._rows, self._dot, self._last = rows, product.dot, 0

    def mover(self, steps: int) -> Move:
        """What takes hook force and bit force above static, held over a step, to the six reads after it."""
        rows, dot, read = self._rows, self._dot, Struct(f"{_READS}d").unpack_from
        rows[0], self._last = rows[self._last], steps
        self.places, self.states = (
            rows[1 : steps + 1, _PLACES, None],
            rows[1 : steps + 1, _READS:-_FORCES, None],
        )
        following = iter(self._ways).__next__

        def move(force: float, excess: float) -> tuple[float, ...]:
            start, end, before, after = following()
            before[-2], before[-1] = force, excess
            dot(start, end)
            return read(after)

        return move


class ManyStrings:
    """The string of many cases, moved several steps at a time unless the state at each is to be kept."""

    def __init__(self, step: StringStep, cases: int, keep: bool) -> None:
        self._together = 1 if keep else _TOGETHER
        self._product, kicks = step.grouped(self._together)
        self._kicks = [np.ascontiguousarray(kicks[:, -_FORCES * n :]) for n in range(self._together)]
        self._first, self._size = _READS * self._together, step.size
        self._now = np.zeros((sum(self._product.shape) - step.size, cases))
        self._next, self._since, self._keep = np.zeros_like(self._now), 0, keep

    @property
    def places(self) -> FloatArray:
        """Hook and bit after every step of the last stretch, (steps, 2, n)."""
        return np.array(self._seen)

    @property
    def states(self) -> FloatArray:
        """The state after every step of the last stretch, where kept, (steps, 2m, n)."""
        return np.array(self._kept)

    def mover(self, steps: int) -> Move:
        """What takes hook force and bit force above static, held over a step, to the six reads after it (6, n)."""
        self._seen: list[FloatArray] = []
        self._kept: list[FloatArray] = []
        return self._move

    def _move(self, force: FloatArray, excess: FloatArray) -> FloatArray:
        end = self._first + self._size
        forces = self._now[end:]
        forces[_FORCES * self._since], forces[_FORCES * self._since + 1] = force, excess
        self._since += 1
        if self._since < self._together:
            reads = self._now[_READS * self._since : _READS * (self._since + 1)]
            reads = reads + self._kicks[self._since] @ forces[: _FORCES * self._since]
        else:
            np.matmul(self._product, self._now[self._first :], out=self._next[:end])
            self._now, self._next, self._since = self._next, self._now, 0
            reads = self._now[:_READS].copy()
        self._seen.append(reads[_PLACES])
        if self._keep:
            self._kept.append(self._now[self._first : end].copy())
        return reads
