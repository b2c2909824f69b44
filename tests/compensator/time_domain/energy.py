"""Where the energy goes: what heave puts in, what is stored, what is lost, and whether it adds up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from heave.arrays import FloatArray
from heave.compensator.time_domain import HeaveMotion, Run, SimulationCase, StringModel, simulate_cases
from heave.compensator.time_domain.stepping import Stepper


@dataclass(frozen=True, eq=False)
class EnergyAccount:
    """Energy over the whole run, each (n,) [J]; what is stored is end less beginning.

    put_in : work of the block on the unit; gas : work done on the gas, from its own law
    friction, loss, stop : lost in seals, in the hydraulics and in the end cushions
    active : taken up by the active part (negative where it drives)
    string_stored, string_lost : kinetic and strain energy, and structural loss
    lifted : weight raised; rock_stored, bit_lost, drilled : at the bit
    """

    put_in: FloatArray
    gas: FloatArray
    friction: FloatArray
    loss: FloatArray
    stop: FloatArray
    active: FloatArray
    string_stored: FloatArray
    string_lost: FloatArray
    lifted: FloatArray
    rock_stored: FloatArray
    bit_lost: FloatArray
    drilled: FloatArray

    @property
    def accounted(self) -> FloatArray:
        """Everything on the other side of `put_in`, (n,) [J]."""
        return np.asarray(sum(value for name, value in vars(self).items() if name != "put_in"))

    @property
    def dissipated(self) -> FloatArray:
        """Lost in seals, hydraulics, cushions, string and at the bit, (n,) [J]."""
        return np.asarray(self.friction + self.loss + self.stop + self.string_lost + self.bit_lost)

    @property
    def imbalance(self) -> FloatArray:
        """What does not add up over what was dissipated, (n,)."""
        return np.asarray((self.put_in - self.accounted) / self.dissipated)


def accounted(
    model: StringModel, case: SimulationCase, heave: HeaveMotion, **asked: Any
) -> tuple[Run, EnergyAccount]:
    """A run of `simulate_cases` with its account of energy, lead-in counted."""
    books: list[EnergyBook] = []

    def watch(time: float, signals: dict[str, FloatArray], stepper: Stepper) -> None:
        if not books:
            books.append(EnergyBook(stepper))
        if stepper.case.drawworks:  # the stroke that is told is then what it pays out
            signals = signals | {"stroke": stepper.case.start + signals["block"] - signals["hook"]}
        books[0].add(signals, stepper.string.states)

    run = simulate_cases(model, case, heave, states=True, watch=watch, **asked)
    return run, books[0].account()


def stored(model: StringModel, state: FloatArray) -> FloatArray:
    """Kinetic and strain energy of each `state` (..., 2m), positions then speeds [J]."""
    place, speed = state[..., : model.size], state[..., model.size :]
    kinetic = np.einsum("...i,ij,...j", speed, model.mass, speed)
    strain = np.einsum("...i,ij,...j", place, model.stiffness, place)
    return np.asarray((kinetic + strain) / 2)


class EnergyBook:
    """Adds up a run block by block."""

    def __init__(self, stepper: Stepper) -> None:
        self.stepper = stepper
        none = np.zeros(stepper.cases)
        self.sums: dict[str, FloatArray] = {}
        self.last = dict.fromkeys(("block", "hook", "bit", "rock"), none) | {
            "stroke": none + np.asarray(stepper.case.start)
        }
        self.state = np.zeros((2 * stepper.model.size, stepper.cases))
        self.wob = self.pressed = none + stepper.wob
        self.power = none

    def add(self, signals: dict[str, FloatArray], states: FloatArray) -> None:
        """Add a block of steps: signals with the rock's level (steps, n), states (steps, 2m, n)."""
        stepper, case = self.stepper, self.stepper.case
        moved = {name: np.diff(signals[name], axis=0, prepend=last[None]) for name, last in self.last.items()}
        above = signals["gas"] + signals["friction"] + signals["stop"] + signals["active"]
        loss = np.asarray(case.hydraulic_loss) * signals["speed"] * np.abs(signals["speed"])
        work = {
            "put_in": (np.asarray(case.load) + above) * moved["block"],
            "friction": (signals["friction"] - loss) * moved["stroke"],
            "loss": loss * moved["stroke"],
            "stop": signals["stop"] * moved["stroke"],
            "active": signals["active"] * moved["stroke"],
            "bit_lost": signals["bit_force"] * (moved["rock"] - moved["bit"]),
            "drilled": -signals["bit_force"] * moved["rock"],
        }
        rates = states[:, stepper.model.size :]
        power = np.einsum("tmn,tmn,m->tn", rates, rates, np.diag(stepper.model.damping))
        added = {name: values.sum(axis=0) for name, values in work.items()}
        added["gas"] = self._gas_work(self.last["stroke"], signals["stroke"][-1])
        added["string_lost"] = stepper.step * (power.sum(axis=0) + (self.power - power[-1]) / 2)
        self.sums = {name: self.sums.get(name, 0.0) + value for name, value in added.items()}
        self.last = {name: signals[name][-1].copy() for name in self.last}
        self.state, self.pressed, self.power = states[-1].copy(), signals["bit_force"][-1].copy(), power[-1]

    def _gas_work(self, before: FloatArray, after: FloatArray) -> FloatArray:
        """∫ F dx of the gas law from one travel to another, absolute pressure less the atmosphere."""
        stepper = self.stepper
        if not stepper.case.gas:
            return np.asarray((after - before) * np.asarray(stepper.case.load))
        index = stepper.index
        rooms = [(stepper.gas_end - travel) / stepper.gas_room for travel in (before, after)]
        power = 1.0 - index
        polytropic = np.abs(power) > 1e-9
        safe = np.where(polytropic, power, 1.0)
        work = np.where(
            polytropic, (rooms[0] ** power - rooms[1] ** power) / safe, np.log(rooms[0] / rooms[1])
        )
        outside = stepper.gas_force - np.asarray(stepper.case.load)
        return np.asarray(stepper.gas_base * stepper.gas_room * work - outside * (after - before))

    def account(self) -> EnergyAccount:
        """The account so far."""
        case, sums = self.stepper.case, dict(self.sums)
        in_rock = np.zeros(self.stepper.cases)
        if case.contact != "none":
            in_rock = np.asarray((self.pressed**2 - self.wob**2) / (2 * np.asarray(case.rock_stiffness)))
        return EnergyAccount(
            bit_lost=sums.pop("bit_lost") - in_rock,
            rock_stored=in_rock,
            string_stored=stored(self.stepper.model, self.state.T),
            lifted=np.asarray(case.load) * self.last["hook"] + self.wob * self.last["bit"],
            **sums,
        )
