"""What is simulated: the unit, the load on it, the bit's contact, and what happens during the run."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from typing import Final, Literal, get_args

import numpy as np

from heave.arrays import FloatArray
from heave.compensator.device import LOOPS, ActiveAssisted, ActivePart, Compensator, GasUnit, Loop
from heave.compensator.drawworks import Drawworks
from heave.compensator.gas_spring import ATMOSPHERE
from heave.compensator.setting import Setting
from heave.compensator.transfer import CONDITION, Condition
from heave.errors import InputError
from heave.fields import Choice, Quantity

Number = float | FloatArray

ROCK_STIFFNESS: Final = 50e6
"""Stiffness of bit on rock [N/m]: common practice, no source; far stiffer than any string."""

STOP_STIFFNESS: Final = 20e6
"""Stiffness of the cushion at the end of the stroke [N/m]: an assumption, no source."""

STOP_DAMPING: Final = 300e3
"""Damping of that cushion [N·s/m]: an assumption, no source; about a fifth of critical for 30 t."""

Contact = Literal["one-sided", "held", "none"]
CONTACTS: Final[tuple[Contact, ...]] = get_args(Contact)
"""Bit on rock that can lift off, string latched at its lower end, or hanging free."""

EventKind = Literal[
    "gas bank shut",
    "active unit lost",
    "compensator locked",
    "driller feeds off",
    "block raised",
    "block lowered",
    "power lost",
    "wave group",
]
EVENT_KINDS: Final[tuple[EventKind, ...]] = get_args(EventKind)
"""What may happen during a run."""

BLOCK_MOVES: Final[dict[str, float]] = {"block raised": 1.0, "block lowered": -1.0}
"""Events that move the block by an amount, with the sign of that."""

FEED_SPEED: Final = 0.05
"""Speed at which the driller lowers the block when feeding off [m/s]: common practice, no source."""


@dataclass(frozen=True)
class Event:
    """Something that happens during the run.

    kind : one of `EVENT_KINDS`
    time : when [s], from 0
    amount : gas volume shut [m³], block moved [m], or crest of the heave in a wave group [m], which the heave itself
        must have; None for a feed lowers what was drilled since the last
    over : how long the block is on the way, raised or lowered [s]; a feed has its own speed
    """

    kind: EventKind
    time: float
    amount: float | None = None
    over: float | None = None

    def __post_init__(self) -> None:
        Choice("event", EVENT_KINDS).check(self.kind)
        Quantity("time of the event", "period", low=0.0).check(self.time)
        if self.kind == "gas bank shut" and self.amount is None:
            raise InputError("gas volume shut", None, "m³", "a volume")
        Quantity("amount of the event", "number", low=0.0, optional=True).check(self.amount)
        if self.kind in BLOCK_MOVES:
            Quantity("travel of the block", "length", above=0.0).check(self.amount)
            Quantity("time of the block's travel", "period", above=0.0).check(self.over)


@dataclass(frozen=True, eq=False)
class SimulationCase:
    """The numbers of the equations of motion; each is a float or an array (n,) over cases.

    Travel x is positive towards gas compression (the vessel rises). All lengths and forces are at the hook.

    load : static load on the unit with the weight on bit on, F0 [N]; the gas carries it at `start`
    wob : static weight on bit [N]
    friction, hydraulic_loss : F_f [N] and c_q [N·s²/m²]
    gas_length : gas volume over effective area when the unit is at mid-stroke [m]; ignored without gas
    index, atmosphere : polytropic index, p_a A_e [N]
    area : effective area, for the pressure and for gas shut off [m²]
    half_stroke : [m]; infinite without ends
    start : travel from mid-stroke at the beginning [m]
    loop : what the active part follows, one of `LOOPS`
    gain, delay, active_force_limit, active_velocity_limit : of the active part
    bandwidth, centring : of its first-order lag [Hz], and period of the slow loop that holds mid-stroke [s], which
        only counts where position is followed; infinite without them
    block_speed_limit, block_acceleration_limit : of a compensating drawworks [m/s], [m/s²]
    rock_stiffness, stop_stiffness, stop_damping : contact of bit and of the ends of the stroke
    contact : one of `CONTACTS`; the same for all cases
    gas : False for a drawworks or no compensator: the hook moves with the block
    locked : the hook moves with the vessel from the beginning
    drawworks : the block is moved against the heave; needs gas False
    """

    load: Number
    wob: Number = 0.0
    friction: Number = 0.0
    hydraulic_loss: Number = 0.0
    gas_length: Number = 76.2
    index: Number = 1.2
    atmosphere: Number = 0.0
    area: Number = 0.1
    half_stroke: Number = math.inf
    start: Number = 0.0
    loop: Loop = "force"
    gain: Number = 0.0
    delay: float = 0.0
    bandwidth: float = math.inf
    centring: float = math.inf
    active_force_limit: Number = math.inf
    active_velocity_limit: Number = math.inf
    block_speed_limit: float = math.inf
    block_acceleration_limit: float = math.inf
    rock_stiffness: Number = ROCK_STIFFNESS
    stop_stiffness: Number = STOP_STIFFNESS
    stop_damping: Number = STOP_DAMPING
    contact: Contact = "one-sided"
    gas: bool = True
    locked: bool = False
    drawworks: bool = False

    def __post_init__(self) -> None:
        Choice("contact of the bit", CONTACTS).check(self.contact)
        Choice("active part follows", LOOPS).check(self.loop)
        if self.bandwidth == 0 or self.centring == 0:
            raise InputError("active bandwidth and period of the slow loop", 0.0, None, "above zero")
        for item in fields(self):
            value = getattr(self, item.name)
            if isinstance(value, bool | str):
                continue
            if np.any(np.isnan(np.asarray(value, dtype=np.float64))):
                raise InputError(item.name.replace("_", " "), value, None, "a number")
            if item.name != "start" and np.any(np.asarray(value) < 0):
                raise InputError(item.name.replace("_", " "), value, None, "zero or above")
        if np.any(np.asarray(self.gas_length) <= np.asarray(self.start)) and self.gas:
            raise InputError("gas volume over area", self.gas_length, "m", "above the travel at the start")
        if np.any(np.abs(np.asarray(self.start)) > np.asarray(self.half_stroke)):
            allowed = f"within ± half the stroke, {self.half_stroke}\u00a0m"
            raise InputError("start position", self.start, "m", allowed)
        if self.drawworks and self.gas:
            raise InputError("gas spring", True, None, "none with a compensating drawworks")

    @property
    def drives_hook(self) -> bool:
        """Whether an active part beside a gas spring drives the hook by position."""
        working = self.gas and not self.locked and bool(np.any(np.asarray(self.gain) > 0))
        return working and self.loop == "position"


def simulation_case(
    compensator: Compensator,
    setting: Setting,
    condition: Condition,
    *,
    active: bool = True,
    start: float = 0.0,
    latched: bool = False,
    rock_stiffness: float = ROCK_STIFFNESS,
) -> SimulationCase:
    """The numbers of the equations of motion for a unit as set.

    Source: by definition of its parts; see `linear_system` for the same in frequency.

    Parameters
    ----------
    compensator, setting : the unit and what is set on it
    condition : "on bottom", "free", "locked on bottom" or "locked free", as for `linear_system`
    active : False for an active part not in use
    start : travel from mid-stroke at the beginning [m]
    latched : the string is fixed at its lower end instead of standing on rock
    rock_stiffness : of the bit's contact [N/m]
    """
    CONDITION.check(condition)
    free = condition.endswith("free")
    case = SimulationCase(
        load=setting.load,
        wob=setting.wob,
        start=start,
        locked=condition.startswith("locked"),
        contact="none" if free else "held" if latched else "one-sided",
        rock_stiffness=rock_stiffness,
        gas=False,
    )
    if isinstance(compensator, ActivePart):
        case = replace(
            case,
            gain=compensator.active_gain if active else 0.0,
            delay=compensator.active_delay,
            loop=compensator.active_loop,
            bandwidth=compensator.active_bandwidth or math.inf,
            centring=compensator.active_centring or math.inf,
        )
    if isinstance(compensator, Drawworks):
        lines, power = compensator.lines, compensator.power_limit / setting.load
        return replace(
            case,
            drawworks=True,
            block_speed_limit=min(compensator.line_speed_limit / lines, power),
            block_acceleration_limit=compensator.line_acceleration_limit / lines,
        )
    if isinstance(compensator, ActiveAssisted):
        case = replace(
            case,
            active_force_limit=compensator.active_force_limit or math.inf,
            active_velocity_limit=compensator.active_velocity_limit or math.inf,
        )
    compensator = compensator.of_type(GasUnit)
    return replace(
        case,
        gas=True,
        friction=setting.friction_force,
        hydraulic_loss=compensator.hydraulic_loss,
        gas_length=compensator.volume_ratio * compensator.stroke,
        index=compensator.index,
        atmosphere=ATMOSPHERE * compensator.effective_area,
        area=compensator.effective_area,
        half_stroke=compensator.stroke / 2,
    )
