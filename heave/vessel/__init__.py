"""Vessels: response tables, closed-form hulls, and the motion they give the hoist.

A vessel answers one question: how much the hoist goes up and down in a given sea. Waves and motions follow
Re{… e^(+iωt)}; x points forward, y to port, z up; roll is positive starboard down, pitch bow down.
"""

from heave.vessel.box import BoxHull, box_hull_response
from heave.vessel.cautions import damping_caution, response_warnings, table_cautions
from heave.vessel.kernels import relative_heading
from heave.vessel.motion import (
    MOMENT_COLUMNS,
    HoistBlock,
    HoistSpectrum,
    hoist_blocks,
    hoist_moments,
    hoist_spectrum,
    hoist_transfer,
)
from heave.vessel.origin import ResponseColumn, ResponseConventions, ResponseOrigin
from heave.vessel.oscillator import TableOscillator
from heave.vessel.plausibility import Finding, Plausibility, Repair, plausibility
from heave.vessel.response_table import Motion, MotionTransfer, ResponseTable
from heave.vessel.semisubmersible import Semisubmersible, heave_natural_period
from heave.vessel.statistics import AmplitudeStatistics, amplitude_statistics
from heave.vessel.vessel import Vessel
