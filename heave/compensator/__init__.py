"""Compensator: gas spring, the device, what to set on it, and its response to heave."""

from heave.compensator.bit_swing import BitSwing
from heave.compensator.data_sheet import DataSheet, Remark, remarks
from heave.compensator.device import (
    FRICTION_FRACTION,
    KINDS,
    MOVING_MASS,
    ActiveAssisted,
    ActivePart,
    Compensator,
    CrownMounted,
    GasUnit,
    InLine,
)
from heave.compensator.drawworks import Drawworks
from heave.compensator.gas_spring import (
    ATMOSPHERE,
    GasSpring,
    nitrogen_index,
)
from heave.compensator.linearisation import AVERAGE, LARGEST, Answer, Cycle, LinearModel
from heave.compensator.setting import LoadCurve, Setting, load_curve, plan_setting
from heave.compensator.transfer import (
    CONDITIONS,
    Condition,
    LinearSystem,
    active_residual,
    linear_system,
)
