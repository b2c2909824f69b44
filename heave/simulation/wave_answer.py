"""What the quick method says of a plan in a regular wave: the formulas of the checks at one amplitude and period.

A sine of amplitude a is put where the checks have a level at risk and exposure: the variance is chosen so that the
level is a, for every figure alike, since all have the one period. Friction and quadratic loss take out of each cycle
what they take out of a sine of that speed, 4 F_f/(πV) and 8 c_q V/(3π) (for example Den Hartog, Mechanical Vibrations,
equivalent viscous damping), and what friction adds where it turns round comes from the checks' own formulas.
"""

from __future__ import annotations

import math

import numpy as np

from heave.compensator import Condition, LinearModel, LinearSystem, linear_system
from heave.compensator.linearisation import COULOMB, QUADRATIC, Cycle
from heave.judging.demands import Demands
from heave.judging.moments import Moments, setting_of
from heave.planning.plan import Plan


def wave_demands(plan: Plan, amplitude: float, period: float) -> Demands:
    """The demands of a plan while the hoist heaves as a sine, every level a single amplitude.

    Parameters
    ----------
    plan : the plan; its sea is not used
    amplitude : of the heave, single, above 0 [m]
    period : of the heave [s]
    """
    ratio = math.sqrt(2 * math.log(plan.exposure / period / -math.log1p(-plan.risk)))
    variance, omega = (amplitude / ratio) ** 2, np.array([2 * math.pi / period])
    condition, setting = plan.operation.about.condition, setting_of(plan)
    working = not condition.startswith("locked")

    def system_of(condition: Condition) -> LinearSystem:
        about = plan.hung_unit, plan.string, setting, omega, condition
        return linear_system(*about, active=plan.active, loss_factor=plan.string_loss)

    # of a locked unit, whose hook is at the hoist: the force N/dip, and 1/dip at the string's far end
    locked = system_of("locked free" if condition.endswith("free") else "locked on bottom")
    force, far = (float(abs(part[0] / locked.dip[0])) ** 2 for part in (locked.load, np.ones(1)))
    square = float(omega[0]) ** 2
    still = [1, square, square**2, square**3, force, force * square, far, far * square, far * square**2]
    found = Moments(variance * np.array(still)[:, None])
    if working:
        driven = plan.follows_position
        model = LinearModel(
            system_of(condition),
            np.ones(1),
            setting.friction_force,
            plan.compensator.hydraulic_loss,
            cycles=(Cycle(4 / math.pi / ratio / COULOMB, 8 / (3 * math.pi) * ratio / QUADRATIC),),
            figures=("stroke", "bit", "force") if driven else ("stroke", "bit"),
        )
        (answer,) = model.respond(np.array([[variance]]))
        both = np.stack([answer.moments.T] * 2), np.stack([answer.damping] * 2)
        found = Moments(found.still, 1.0, *both)
    return Demands(plan, found)
