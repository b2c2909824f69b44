"""Gaussian heave as a sum of waves of random phase and amplitude, a crest put into it, and what else those waves make.

Z_k are complex normal with E|Z_k|² = 2 S(ω_k) Δω, at steps Δω = 2π/(duration + lead), and z = Re Σ Z_k exp(iω_k t).

A crest of height h at time t_0 is put in by what is known of a Gaussian process of which value and slope are given
(Lindgren, Annals of Mathematical Statistics 41, 1970; Tromans, Anaturk and Hagemeijer, ISOPE 1991, for waves; Taylor,
Jonathan and Harland, J. Vibration and Acoustics 119, 1997, constrained): with autocorrelation R, R(0) = m_0,

    z_c(t) = z(t) + R(t − t_0)/m_0 (h − z(t_0)) + R'(t − t_0)/m_2 ż(t_0).

Value and slope at t_0 are h and 0 exactly, the mean over many drawings is h R(t − t_0)/m_0, and where R has died out
the sea is as it was. One drawing stands for one that happened to have that crest.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import ComplexArray, FloatArray
from heave.compensator.time_domain.heave_motion import LEAD_IN, SAMPLE_STEP, SIMULATED, HeaveMotion, grown
from heave.errors import InputError
from heave.fields import Quantity

STEEPEST: Final = 6.0
"""Highest crest put into a sea, over σ: of 10⁷ waves the highest is not more (Rayleigh)."""


@dataclass(frozen=True, eq=False)
class Components:
    """The waves that a Gaussian motion of n cases is the sum of.

    omega : angular frequencies in even steps from 0 (nω,) [rad/s]
    power : variance of each (nω,) [m²]
    amplitude : Z_k of each case (n, nω) [m]; phases are of the beginning of the lead-in
    duration, lead : after and before time zero [s]
    """

    omega: FloatArray
    power: FloatArray
    amplitude: ComplexArray
    duration: float
    lead: float

    @property
    def sigma(self) -> float:
        """Standard deviation of the motion over all its drawings [m]."""
        return math.sqrt(float(self.power.sum()))

    def conditioned(self, crest: float, moment: float) -> Components:
        """The same waves, changed so that a crest of this height comes at this time, in every case.

        Parameters
        ----------
        crest : of the motion above its mean [m]
        moment : [s], from 0

        Raises
        ------
        InputError
            If the time lies outside the run, nothing moves, or the crest is beyond `STEEPEST` σ.
        """
        Quantity("time of the wave group", "period", low=0.0, high=self.duration).check(moment)
        Quantity("crest of the wave group", "length", above=0.0, high=STEEPEST * self.sigma).check(crest)
        turn = np.exp(1j * self.omega * (moment + self.lead))
        value, slope = (np.real(self.amplitude @ (part * turn)) for part in (1.0, 1j * self.omega))
        m0, m2 = self.power.sum(), (self.omega**2 * self.power).sum()
        short = ((crest - value) / m0)[:, None] + 1j * self.omega * (slope / m2)[:, None]
        return replace(self, amplitude=self.amplitude + np.conj(turn) * self.power * short)

    def motion(self) -> HeaveMotion:
        """The sum, by the fast Fourier transform, growing from nothing in the lead-in."""
        count, half = 2 * (len(self.omega) - 1), len(self.omega) - 1
        wanted = math.ceil((self.duration + self.lead) / SAMPLE_STEP - 1e-9) + 1
        position, velocity = (
            np.fft.irfft(part * self.amplitude, count, axis=1).T[:wanted] * half
            for part in (1.0, 1j * self.omega)
        )
        return grown(position, velocity, SAMPLE_STEP, self.lead)


def components(
    omega: npt.ArrayLike,
    spectrum: npt.ArrayLike,
    duration: float,
    seeds: Sequence[int],
    lead: float = LEAD_IN,
) -> Components:
    """Waves of random phase and amplitude with the given heave spectrum, one case for each seed.

    The variance is brought to that of the spectrum's own grid.

    Source: random-amplitude synthesis (Tucker, Challenor and Carter, Applied Ocean Research 6, 1984; from memory).

    Parameters
    ----------
    omega, spectrum : angular frequency [rad/s] and heave spectrum [m²·s], (nω,)
    duration : after the lead-in [s]
    seeds : one whole number for each case; equal seeds give equal heave
    lead : time before zero in which the heave grows from nothing [s]

    Raises
    ------
    InputError
        If the spectrum is negative or not finite, the duration is outside 1 s–48 h, or there is no seed.
    """
    grid, ordinates = np.asarray(omega, dtype=np.float64), np.asarray(spectrum, dtype=np.float64)
    SIMULATED.check(duration)
    if ordinates.shape != grid.shape or not np.all(np.isfinite(ordinates) & (ordinates >= 0)):
        allowed = "finite numbers from zero, one a frequency"
        raise InputError("heave spectrum", f"shape {ordinates.shape}", "m²·s", allowed)
    if len(seeds) < 1:
        raise InputError("seeds", seeds, None, "at least one")
    count = 2 * math.ceil((duration + lead) / SAMPLE_STEP / 2) + 2
    width = 2 * math.pi / (count * SAMPLE_STEP)
    lines = np.asarray(width * np.arange(count // 2 + 1), dtype=np.float64)
    power = np.interp(lines, grid, ordinates, left=0.0, right=0.0) * width
    if power.sum() > 0:
        power *= np.trapezoid(ordinates, grid) / power.sum()
    amplitude = np.empty((len(seeds), len(lines)), dtype=np.complex128)
    for row, seed in enumerate(seeds):
        noise = np.random.default_rng(seed).standard_normal((2, len(lines)))
        amplitude[row] = np.sqrt(power) * (noise[0] + 1j * noise[1])
    amplitude[:, -1] = 0.0
    return Components(lines, power, amplitude, duration, lead)


def irregular_heave(
    omega: npt.ArrayLike,
    spectrum: npt.ArrayLike,
    duration: float,
    seeds: Sequence[int],
    lead: float = LEAD_IN,
) -> HeaveMotion:
    """Gaussian heave with the given spectrum, one case for each seed: the sum of `components`.

    Source: see `components`.

    Parameters
    ----------
    omega, spectrum, duration, seeds, lead : as for `components`

    Raises
    ------
    InputError
        As there.
    """
    return components(omega, spectrum, duration, seeds, lead).motion()
