"""Makes the two invented demo response tables with an open boundary-element library (capytaine).

Run it from the root of the checkout, `python tests/vessel/make_demo_tables.py`; it takes some minutes and
writes heave/rigs/demo_drillship_response.csv and heave/rigs/demo_semisubmersible_response.csv. Both
hulls are invented: their dimensions are round numbers of the size of their kind, and no drawing was used.

Conventions. The library works with Re{X e^(-iωt)} and the incident wave e^{ik(x cosβ + y sinβ)}, β the
direction of travel; the planner works with Re{X e^(+iωt)}. The same physical motion is therefore the
complex conjugate. Axes agree (x forward, y to port, z up; right-handed rotations, so roll is positive
starboard down and pitch positive bow down), and rotations are taken about the centre of gravity, whose
vertical line the table's reference point lies on.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import NamedTuple

import numpy as np
from demo_hulls import DRILLSHIP, SEMISUBMERSIBLE, SIZES, Hull

from heave.arrays import ComplexArray, FloatArray

DENSITY = 1025.0
GRAVITY = 9.80665
HEADINGS = np.arange(0.0, 181.0, 15.0)
DOFS = ("Surge", "Sway", "Heave", "Roll", "Pitch", "Yaw")
LONGEST, SHORTEST = 30.0, 3.5
SOLVED = np.round(
    np.append(np.linspace(2 * np.pi / LONGEST, 0.6, 22)[:-1], np.linspace(0.6, 2 * np.pi / SHORTEST, 22)), 5
)
"""Frequencies at which the boundary-element problem is solved [rad/s]: periods of 30 to 3.5 s."""


class Rigid(NamedTuple):
    """Mass and stiffness matrices about the centre of gravity (6, 6), and its x from amidships [m]."""

    inertia: FloatArray
    stiffness: FloatArray
    centre_x: float


class Hydro(NamedTuple):
    """Added mass and damping (nω, 6, 6), wave force (nβ, nω, 6) for Re{F e^(+iωt)}."""

    added: FloatArray
    damping: FloatArray
    force: ComplexArray


def hydrostatics(hull: Hull, size: float) -> Rigid:
    """Mass and hydrostatic stiffness from the panels.

    Waterplane integrals by the divergence theorem over the wetted surface: ∫f dA = -∫f n_z dS with the
    normal out of the hull, volume ∫z n_z dS. The hull floats level, so the centre of gravity lies above
    the centre of buoyancy. Mid-side points integrate squares exactly.
    """
    corners, _ = hull.panels(size)
    triangles = np.concatenate([corners[:, [0, 1, 2]], corners[:, [0, 2, 3]]])
    area = 0.5 * np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])[:, 2]
    x, y, z = (0.5 * (triangles + np.roll(triangles, 1, axis=1))).reshape(-1, 3).T
    down = np.repeat(2 * area / 3, 3)  # both sides
    volume = float(np.sum(z * down))
    centre_x = float(np.sum(x * z * down)) / volume
    x = x - centre_x
    mass = DENSITY * volume
    buoyancy_arm = float(np.sum(z * z / 2 * down)) - volume * hull.centre_height
    stiffness = np.zeros((6, 6))
    weight = DENSITY * GRAVITY
    stiffness[2, 2] = -weight * np.sum(down)
    stiffness[2, 4] = stiffness[4, 2] = weight * np.sum(x * down)
    stiffness[3, 3] = weight * (-np.sum(y * y * down) + buoyancy_arm)
    stiffness[4, 4] = weight * (-np.sum(x * x * down) + buoyancy_arm)
    inertia = np.diag([mass] * 3 + [mass * r * r for r in hull.gyradii])
    return Rigid(inertia, stiffness, centre_x)


def coefficients(hull: Hull, omega: FloatArray, headings: FloatArray, size: float) -> Hydro:
    """Solve radiation and diffraction in deep water; about a second for each frequency."""
    import capytaine as cpt

    centre_x = hydrostatics(hull, size).centre_x
    meshes = []
    for corners in hull.panels(size):
        moved = corners - [centre_x, 0.0, 0.0]
        half = cpt.Mesh(vertices=moved.reshape(-1, 3), faces=np.arange(4 * len(moved)).reshape(-1, 4))
        meshes.append(cpt.ReflectionSymmetricMesh(half=half, plane="xOz"))
    centre = (0.0, 0.0, hull.centre_height)
    body = cpt.FloatingBody(
        mesh=meshes[0],
        lid_mesh=meshes[1],
        dofs=cpt.rigid_body_dofs(rotation_center=centre),
        center_of_mass=centre,
    )
    solver = cpt.BEMSolver()
    common = {"body": body, "rho": DENSITY, "g": GRAVITY, "water_depth": np.inf}
    added = np.zeros((len(omega), 6, 6))
    damping = np.zeros((len(omega), 6, 6))
    force = np.zeros((len(headings), len(omega), 6), dtype=np.complex128)
    for i, frequency in enumerate(omega):
        for j, dof in enumerate(DOFS):
            found = solver.solve(
                cpt.RadiationProblem(omega=frequency, radiating_dof=dof, **common), keep_details=False
            )
            added[i, :, j] = [found.added_masses[d] for d in DOFS]
            damping[i, :, j] = [found.radiation_dampings[d] for d in DOFS]
        for h, heading in enumerate(headings):
            wave = cpt.DiffractionProblem(omega=frequency, wave_direction=np.radians(heading), **common)
            found = solver.solve(wave, keep_details=False)
            incident = cpt.bem.airy_waves.froude_krylov_force(wave)
            force[h, i] = np.conj([found.forces[d] + incident[d] for d in DOFS])
    return Hydro(added, damping, force)


def motions(omega: FloatArray, rigid: Rigid, hydro: Hydro, extra: FloatArray) -> ComplexArray:
    """Solve (-ω²(M+A) + iω(B+extra) + C) η = F for six coupled motions: (nβ, nω, 6)."""
    w = omega[:, None, None]
    impedance = -(w**2) * (rigid.inertia + hydro.added) + 1j * w * (hydro.damping + extra) + rigid.stiffness
    return np.linalg.solve(impedance[None], hydro.force[..., None])[..., 0]


def extra_damping(hull: Hull, omega: FloatArray, rigid: Rigid, hydro: Hydro) -> tuple[FloatArray, str]:
    """Linear damping (6, 6) that potential flow leaves out, and a line that says what it is."""
    inertia, added, stiffness = rigid.inertia, hydro.added, rigid.stiffness
    extra = np.zeros((6, 6))
    if hull.roll_damping:
        rate = _natural(omega, inertia[3, 3] + added[:, 3, 3], stiffness[3, 3])
        moment = np.interp(rate, omega, added[:, 3, 3]) + inertia[3, 3]
        extra[3, 3] = 2 * hull.roll_damping * np.sqrt(moment * stiffness[3, 3])
        return extra, (
            f"roll damping of {100 * hull.roll_damping:.0f} % of critical added to the radiation damping "
            f"(natural roll period {2 * np.pi / rate:.1f} s)"
        )
    height, period = hull.stated_sea
    peak = 2 * np.pi / period
    sea = 5 / 16 * height**2 * peak**4 / omega**5 * np.exp(-1.25 * (peak / omega) ** 4)
    drag = 0.5 * DENSITY * hull.drag_coefficient * hull.drag_area * np.sqrt(8 / np.pi)
    viscous = 1e6
    for _ in range(60):
        heave = motions(omega, rigid, hydro, _spread_damping(hull, viscous))[-1, :, 2]
        power = np.abs(heave * omega) ** 2 * sea
        speed = np.sqrt(np.sum(0.5 * (power[1:] + power[:-1]) * np.diff(omega)))
        viscous = 0.5 * (viscous + drag * speed)
    rate = _natural(omega, inertia[2, 2] + added[:, 2, 2], stiffness[2, 2])
    critical = 2 * stiffness[2, 2] / rate
    return _spread_damping(hull, viscous), (
        f"viscous heave damping 0.5 rho Cd A sqrt(8/pi) sigma_v = {viscous:.3g} N s/m added, "
        f"{100 * viscous / critical:.1f} % of critical (Cd {hull.drag_coefficient:g}, "
        f"A {hull.drag_area:.0f} m2, linearised in a two-parameter head sea of Hs {height:g} m and "
        f"Tp {period:g} s, sigma_v {speed:.3f} m/s); roll and pitch damped by the same drag on its arm; "
        f"natural heave period {2 * np.pi / rate:.1f} s"
    )


def response(
    hull: Hull, size: float, omega: FloatArray, headings: FloatArray
) -> tuple[ComplexArray, str, FloatArray]:
    """Heave, roll, pitch (nβ, nω, 3) at `omega`, the line about damping, and the damping (6, 6).

    The coefficients, which are smooth, are splined between the frequencies solved; the motions, which have
    resonances, are then solved at each frequency asked for.
    """
    from scipy.interpolate import CubicSpline

    rigid, solved = hydrostatics(hull, size), coefficients(hull, SOLVED, headings, size)
    hydro = Hydro(
        CubicSpline(SOLVED, solved.added)(omega),
        CubicSpline(SOLVED, solved.damping)(omega),
        CubicSpline(SOLVED, solved.force, axis=1)(omega),
    )
    extra, note = extra_damping(hull, omega, rigid, hydro)
    return motions(omega, rigid, hydro, extra)[..., 2:5], note, extra


def at_points(
    hull: Hull, size: float, omega: FloatArray, headings: FloatArray, extra: FloatArray
) -> ComplexArray:
    """Heave, roll, pitch (nβ, nω, 3) at a few points, nothing splined, with a damping (6, 6) that is known."""
    hydro = coefficients(hull, omega, headings, size)
    return motions(omega, hydrostatics(hull, size), hydro, extra)[..., 2:5]


def table_omega(hull: Hull) -> FloatArray:
    """Frequencies written to the file [rad/s]: those solved, and more around the natural periods."""
    return np.unique(np.round(np.append(SOLVED, np.linspace(*hull.resonance, hull.fine_points)), 5))


def write(hull: Hull, folder: Path, size: float) -> Path:
    """Compute one table and write it."""
    omega = table_omega(hull)
    found, note, extra = response(hull, size, omega, HEADINGS)
    corners, _ = hull.panels(size)
    centre_x = hydrostatics(hull, size).centre_x
    head = [
        "format: heave-response-table 1",
        "phase: lead",
        "rotation_per: wave_amplitude",
        "symmetric: yes",
        "reference_x_m: 0",
        "reference_y_m: 0",
        "heading_convention: travel_from_bow (180 head)",
        "source: invented hull, computed with the open boundary-element library capytaine 3.0 "
        "(tests/vessel/make_demo_tables.py)",
        f"hull: {hull.about}",
        f"panels: {2 * len(corners)} on the wetted hull, lid at the waterline, deep water, zero speed",
        f"mass: centre of gravity {hull.centre_height:g} m above the waterline and {centre_x:.2f} m forward "
        f"of amidships; gyradii {hull.gyradii[0]:g}, {hull.gyradii[1]:g}, {hull.gyradii[2]:g} m",
        "origin: on the vertical through the centre of gravity; a hoist position is measured from there",
        f"damping: {note}",
        *_drag(hull, size, extra),
        f"damping_values: roll {extra[3, 3]:.5g} heave {extra[2, 2]:.5g} pitch {extra[4, 4]:.5g} (SI)",
    ]
    lines = [f"# {item}" for item in head]
    lines.append(
        "period_s,heading_deg,heave_m_per_m,heave_phase_deg,roll_deg_per_m,roll_phase_deg,"
        "pitch_deg_per_m,pitch_phase_deg"
    )
    for i in range(len(omega) - 1, -1, -1):
        for h, heading in enumerate(HEADINGS):
            size_, phase = np.abs(found[h, i]), np.degrees(np.angle(found[h, i]))
            size_[1:] = np.degrees(size_[1:])
            cells = [f"{v:.5f},{p:.2f}" for v, p in zip(size_, phase, strict=True)]
            lines.append(f"{2 * np.pi / omega[i]:.6f},{heading:.0f}," + ",".join(cells))
    path = folder / hull.output
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def _spread_damping(hull: Hull, viscous: float) -> FloatArray:
    across, along = hull.drag_radii
    return np.diag([0.0, 0.0, viscous, viscous * across**2, viscous * along**2, 0.0])


def _drag(hull: Hull, size: float, extra: FloatArray) -> list[str]:
    """The heave speed that the viscous damping was made linear at, and heave near its resonance; none for a hull
    without."""
    if not extra[2, 2]:
        return []
    drag = 0.5 * DENSITY * hull.drag_coefficient * hull.drag_area * np.sqrt(8 / np.pi)
    rigid, omega = hydrostatics(hull, size), np.linspace(0.25, 0.35, 6)
    near = coefficients(hull, omega, HEADINGS[:1], size)
    rate = _natural(omega, rigid.inertia[2, 2] + near.added[:, 2, 2], rigid.stiffness[2, 2])
    return [
        f"damping_speed_m_per_s: {extra[2, 2] / drag:.4g}",
        f"viscous_heave_damping_n_s_per_m: {extra[2, 2]:.5g}",
        f"natural_heave_period_s: {2 * np.pi / rate:.5g}",
        f"heave_stiffness_n_per_m: {rigid.stiffness[2, 2]:.6g}",
        f"radiation_heave_damping_n_s_per_m: {np.interp(rate, omega, near.damping[:, 2, 2]):.3g}",
    ]


def _natural(omega: FloatArray, inertia: FloatArray, stiffness: float) -> float:
    excess = omega**2 * inertia - stiffness
    above = int(np.argmax(excess > 0))
    if above == 0:
        return float(np.sqrt(stiffness / inertia[0]))
    part = -excess[above - 1] / (excess[above] - excess[above - 1])
    return float(omega[above - 1] + part * (omega[above] - omega[above - 1]))


if __name__ == "__main__":
    import capytaine

    capytaine.set_logging("ERROR")  # not where tests solve a few points: it is the whole process's
    target = Path(__file__).resolve().parents[2] / "heave" / "rigs"
    wanted = sys.argv[1:]
    for each in (DRILLSHIP, SEMISUBMERSIBLE):
        if not wanted or each.output.startswith(wanted[0]):
            print(write(each, target, SIZES[each.name]))
