"""The sea: spectra, wave systems and sea states, spreading, dispersion, moments and extremes."""

from heave.sea.batch import SeaBatch, SlotSpectra
from heave.sea.dispersion import tma_factor, wave_number
from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.measured import MeasuredSpectrum
from heave.sea.periods import PERIOD_KINDS, mean_periods, peak_period, peak_periods, period_ratio
from heave.sea.slots import PERIOD_RANGE, SHAPES, MeasuredSlot, SystemSlot
from heave.sea.spectra import gamma_by_rule, gaussian_swell, jonswap, two_parameter
from heave.sea.spreading import cosine_2s, cosine_n, spreading_weights
from heave.sea.statistics import (
    level_exceeded,
    mean_period,
    moment,
    most_probable_maximum,
    upcrossing_rate,
)
from heave.sea.systems import SeaState, WaveSystem, steepness_cap
from heave.sea.two_peak import ochi_hubble, torsethaugen
