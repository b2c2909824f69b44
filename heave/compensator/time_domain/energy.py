"""Where the energy goes: what heave puts in, what is stored, what is lost, and whether it adds up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from heave.compensator.time_domain.stepping import Stepper

FloatArray = npt.NDArray[np.float64]


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
        parts = (self.gas, self.friction, self.loss, self.stop, self.active, self.string_stored)
        others = (self.string_lost, self.lifted, self.rock_stored, self.bit_lost, self.drilled)
        return np.asarray(sum(parts) + sum(others))

    @property
    def dissipated(self) -> FloatArray:
        """Lost in seals, hydraulics, cushions, string and at the bit, (n,) [J]."""
        return np.asarray(self.friction + self.loss + self.stop + self.string_lost + self.bit_lost)

    @property
    def imbalance(self) -> FloatArray:
        """What does not add up over what was dissipated, (n,)."""
        return np.asarray((self.put_in - self.accounted) / self.dissipated)


class EnergyBook:
    """Adds up a run block by block."""

    def __init__(self, stepper: Stepper) -> None:
        self.stepper = stepper
        none = np.zeros(stepper.cases)
        self.sums = {
            name: none.copy()
            for name in (
                "put_in",
                "friction",
                "loss",
                "stop",
                "active",
                "string_lost",
                "bit",
                "drilled",
                "gas",
            )
        }
        self.last = {name: none.copy() for name in ("block", "stroke", "hook", "bit", "rock")}
        self.last["stroke"] = none + stepper.stroke
        self.state = np.zeros((2 * stepper.model.size, stepper.cases))
        self.wob = self.pressed = none + stepper.wob
        self.power = none

    def add(self, signals: dict[str, FloatArray], rock: FloatArray, states: FloatArray) -> None:
        """Add a block of steps: signals (steps, n), rock level (steps, n), states (steps, 2m, n)."""
        stepper, case = self.stepper, self.stepper.case
        moved = {
            name: np.diff(values, axis=0, prepend=self.last[name][None])
            for name, values in {
                **{n: signals[n] for n in ("block", "stroke", "hook", "bit")},
                "rock": rock,
            }.items()
        }
        above = signals["gas"] + signals["friction"] + signals["stop"] + signals["active"]
        loss = np.asarray(case.hydraulic_loss) * signals["speed"] * np.abs(signals["speed"])
        self._sum("put_in", (np.asarray(case.load) + above) * moved["block"])
        self._sum("friction", (signals["friction"] - loss) * moved["stroke"])
        self._sum("loss", loss * moved["stroke"])
        self._sum("stop", signals["stop"] * moved["stroke"])
        self._sum("active", signals["active"] * moved["stroke"])
        self._sum("bit", signals["bit_force"] * (moved["rock"] - moved["bit"]))
        self._sum("drilled", -signals["bit_force"] * moved["rock"])
        self.sums["gas"] += self._gas_work(self.last["stroke"], signals["stroke"][-1])
        rates = states[:, stepper.model.size :]
        power = np.einsum("tmn,tmn,m->tn", rates, rates, np.diag(stepper.model.damping))
        self.sums["string_lost"] += stepper.step * (power.sum(axis=0) + (self.power - power[-1]) / 2)
        for name in ("block", "stroke", "hook", "bit"):
            self.last[name] = signals[name][-1].copy()
        self.last["rock"] = rock[-1].copy()
        self.state, self.pressed, self.power = states[-1].copy(), signals["bit_force"][-1].copy(), power[-1]

    def _sum(self, name: str, work: FloatArray) -> None:
        self.sums[name] += work.sum(axis=0)

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
        stepper, sums = self.stepper, self.sums
        rock = np.asarray(stepper.case.rock_stiffness) * np.ones(stepper.cases)
        stored = (self.pressed**2 - self.wob**2) / (2 * rock)
        if stepper.case.contact == "none":
            stored = np.zeros(stepper.cases)
        lifted = np.asarray(stepper.case.load) * self.last["hook"] + self.wob * self.last["bit"]
        return EnergyAccount(
            put_in=sums["put_in"],
            gas=sums["gas"],
            friction=sums["friction"],
            loss=sums["loss"],
            stop=sums["stop"],
            active=sums["active"],
            string_stored=stepper.model.stored(self.state.T),
            string_lost=sums["string_lost"],
            lifted=lifted,
            rock_stored=stored,
            bit_lost=sums["bit"] - stored,
            drilled=sums["drilled"],
        )
