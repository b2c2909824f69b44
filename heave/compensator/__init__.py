"""Compensator: gas spring, the device, what to set on it, and its response to heave."""

from heave.compensator.device import Compensator
from heave.compensator.gas_spring import GasSpring, stick_amplitude, volume_ratio_for_variation
from heave.compensator.setting import LoadCurve, Setting, load_curve, plan_setting

__all__ = [
    "Compensator",
    "GasSpring",
    "LoadCurve",
    "Setting",
    "load_curve",
    "plan_setting",
    "stick_amplitude",
    "volume_ratio_for_variation",
]
