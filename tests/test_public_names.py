"""The public names work from a plain Python prompt, and importing them stays cheap."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

import heave

pytestmark = pytest.mark.portable


def test_the_main_job_from_a_prompt(tmp_path) -> None:
    plan = heave.demo_plan()
    heave.write_plan(plan, tmp_path / "plan.json")
    assert heave.read_plan(tmp_path / "plan.json") == plan
    result = heave.assess(plan)
    assert result.verdict in ("within limits", "near a limit", "over a limit", "not assessed")
    assert result.governing in result.checks
    assert result.setting.pressure > 0


def test_the_sea_from_a_prompt() -> None:
    omega = np.linspace(0.2, 2.0, 50)
    assert heave.SeaState.single(hs=4.0, tp=11.0, direction_from=210.0).hs == pytest.approx(4.0)
    for spectrum in (
        heave.sea.two_parameter(omega, 4.0, 11.0),
        heave.sea.jonswap(omega, 4.0, 11.0, 3.3),
        heave.sea.jonswap(omega, hs=4.0, tp=11.0, gamma=3.3),
        heave.sea.torsethaugen(omega, 4.0, 11.0),
        heave.sea.ochi_hubble(omega, 4.0),
        heave.sea.wave_number(omega, 100.0),
    ):
        assert spectrum.shape == (50,)
        assert np.all(spectrum > 0)


def test_vessel_string_and_compensator_from_a_prompt() -> None:
    omega = np.linspace(0.2, 1.0, 20)
    response = heave.vessel.box_hull_response(omega, 180.0, length=200.0, beam=36.0, draught=11.0)
    assert abs(np.ravel(response.heave)[0]) == pytest.approx(1.0, abs=0.15)
    pipe = heave.drill_string.drill_pipe("5 in", "19.50", "S-135", 3000.0)
    string = heave.drill_string.DrillString((pipe,), mud_density=1200.0)
    assert string.stiffness == pytest.approx(234.6e3, rel=1e-3)
    assert string.buoyed_weight > 0
    spring = heave.compensator.GasSpring(1.5e6, 7.62, 10.0, 1.2)
    assert spring.stiffness == pytest.approx(23622, abs=1)
    assert spring.load(0.0) == pytest.approx(1.5e6)
    assert heave.limiting_sea(heave.demo_plan(), tp=12.0, heading=200.0).hs > 0


def test_import_needs_neither_streamlit_nor_pandas_nor_scipy() -> None:
    code = (
        "import sys, heave; "
        "print([m for m in ('streamlit', 'plotly', 'pandas', 'scipy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_every_public_name_is_found_and_no_other() -> None:
    assert set(heave.__all__) <= set(dir(heave))
    assert all(getattr(heave, name) is not None for name in heave.__all__)
    with pytest.raises(AttributeError, match="no attribute 'assessment_of'"):
        _ = heave.assessment_of  # type: ignore[attr-defined]
