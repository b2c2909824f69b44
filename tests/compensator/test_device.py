"""What each kind of compensator must have, may have and must not have."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from typing import Any

import pytest

from heave.compensator import KINDS, ActivePart, Compensator, Drawworks, GasUnit, InLine
from heave.errors import InputError

CYLINDER = (
    "stroke",
    "compensated_rating",
    "locked_rating",
    "velocity_rating",
    "effective_area",
    "gas_volume",
    "pressure_rating",
)
LINE = (
    "compensated_rating",
    "locked_rating",
    "line_speed_limit",
    "line_acceleration_limit",
    "power_limit",
    "lines",
    "active_gain",
    "active_delay",
)


@pytest.mark.parametrize("missing", CYLINDER)
@pytest.mark.parametrize("kind", ["in-line", "crown-mounted"])
def test_a_passive_unit_needs_its_cylinder(device: Any, kind: str, missing: str) -> None:
    assert not device(kind=kind).has_active
    with pytest.raises(InputError, match="needs it"):
        device(kind=kind, **{missing: None})


@pytest.mark.parametrize("missing", ["active_gain", "active_delay", "gas_volume"])
def test_an_active_assisted_unit_needs_gain_delay_and_gas(device: Any, missing: str) -> None:
    given = {"kind": "active-assisted", "active_gain": 0.95, "active_delay": 0.1}
    assert device(**given).has_active
    with pytest.raises(InputError, match="needs it"):
        device(**(given | {missing: None}))


@pytest.mark.parametrize("missing", LINE)
def test_a_drawworks_needs_its_line(drawworks: Any, missing: str) -> None:
    with pytest.raises(InputError, match="needs it"):
        drawworks(**{missing: None})


@pytest.mark.parametrize(
    "extra",
    [
        {"effective_area": 0.1},
        {"gas_volume": 5.0},
        {"gas_volume_shut": 1.0},
        {"pressure_rating": 2e7},
        {"active_force_limit": 1e5},
        {"lines": 11.5},
        {"lines": 1},
    ],
)
def test_a_drawworks_has_no_gas_and_whole_lines(drawworks: Any, extra: dict[str, float]) -> None:
    with pytest.raises(InputError):
        drawworks(**extra)


@pytest.mark.parametrize(
    "extra",
    [
        {"active_gain": 0.9},
        {"active_delay": 0.1},
        {"active_force_limit": 1e5},
        {"line_speed_limit": 10.0},
        {"lines": 12},
        {"kind": "riser tensioner"},
        {"stroke": math.nan},
        {"stroke": 0.49},
        {"locked_rating": 1.9e6},
        {"end_reserve": 3.81},
        {"index": 1.05},
        {"index": 1.65},
        {"friction_fraction": 0.21},
        {"gas_volume_shut": 7.0},
        {"moving_mass": -1.0},
    ],
)
def test_a_wrong_passive_unit_cannot_be_built(device: Any, extra: dict[str, object]) -> None:
    with pytest.raises(InputError):
        device(**extra)


def test_the_error_names_the_field_the_value_and_what_is_allowed(device: Any) -> None:
    with pytest.raises(InputError) as caught:
        device(end_reserve=4.0)
    assert caught.value.what == "end reserve, each end"
    assert caught.value.value == 4.0
    assert caught.value.unit == "m"
    assert "7.62" in caught.value.allowed


def test_limits_from_both_sides(device: Any) -> None:
    assert device(end_reserve=3.80).end_reserve == 3.80
    assert device(locked_rating=2.0e6).locked_rating == 2.0e6
    swept = 7.62 * 0.1
    assert device(gas_volume_shut=7.62 - swept * 1.001).volume_ratio == pytest.approx(1.001)
    with pytest.raises(InputError, match="open to the cylinder"):
        device(gas_volume_shut=7.62 - swept * 0.999)


def test_volume_ratio_and_spring(device: Any) -> None:
    unit = device()
    assert unit.volume_ratio == pytest.approx(10.0)
    spring = unit.spring(1.5e6)
    assert (spring.force, spring.stroke, spring.index, spring.effective_area) == (1.5e6, 7.62, 1.2, 0.1)
    assert unit.spring(1.5e6, 1.6).index == 1.6


def test_a_drawworks_has_no_spring(drawworks: Any) -> None:
    unit = drawworks()
    for name, value in (
        ("stroke", 8.0),
        ("end_reserve", 0.5),
        ("gas_volume", 9.0),
        ("friction_fraction", 0.03),
    ):
        with pytest.raises(InputError, match="drawworks"):
            drawworks(**{name: value})
    assert unit.is_drawworks
    assert unit.has_active
    with pytest.raises(InputError, match=r"drawworks.*one of in-line, crown-mounted, active-assisted"):
        unit.of_type(GasUnit)


def test_units_compare_and_copy_by_value(device: Any) -> None:
    unit: Compensator = device()
    assert unit == device()
    assert hash(unit) == hash(device())
    assert replace(unit, friction_fraction=0.03) != unit


def test_a_kind_has_just_its_own_fields(device: Any, drawworks: Any) -> None:
    gas = {"effective_area", "gas_volume", "gas_volume_shut", "pressure_rating", "friction_fraction", "index"}
    line = {"lines", "line_speed_limit", "line_acceleration_limit", "power_limit"}
    active = {"active_gain", "active_delay"}
    wanted = {
        "in-line": gas,
        "crown-mounted": gas,
        "active-assisted": gas | active,
        "drawworks": line | active,
    }
    assert set(wanted) == set(KINDS) == set(Compensator.kinds)
    for kind, names in wanted.items():
        own = {item.name for item in fields(Compensator.kinds[kind])}
        assert own & (gas | line | active) == names
        assert Compensator.kinds[kind].kind == kind
    assert type(device()) is InLine
    assert type(drawworks()) is Drawworks


def test_a_kind_answers_for_what_it_has_and_for_nothing_else(device: Any, drawworks: Any) -> None:
    passive, works = device(), drawworks()
    assert passive.of_type(GasUnit) is passive
    assert works.of_type(ActivePart) is works
    for unit, of_another in ((passive, "lines"), (passive, "active_gain"), (works, "effective_area")):
        assert not hasattr(unit, of_another)
    with pytest.raises(InputError, match=r"in-line.*one of active-assisted, drawworks"):
        passive.of_type(ActivePart)
    assert works.hydraulic_loss == 0.0
    assert works.mounting is None


def test_a_unit_without_a_kind_cannot_be_built() -> None:
    with pytest.raises(InputError, match="kind of compensator"):
        Compensator(name="bare", compensated_rating=1e6, locked_rating=2e6)


@pytest.mark.parametrize("extra", [{"friction_fraction": 0.03}, {"hydraulic_loss": 1e4}, {"index": 1.2}])
def test_a_field_of_another_kind_is_refused_by_name(drawworks: Any, extra: dict[str, float]) -> None:
    assert drawworks(friction_fraction=0.02) == drawworks()
    with pytest.raises(InputError, match="empty for a compensator of kind 'drawworks'"):
        drawworks(**extra)


def test_another_kind_keeps_what_both_have(device: Any) -> None:
    unit = device(note="ours", moving_mass=12e3)
    crown = unit.as_kind("crown-mounted")
    assert crown.kind == "crown-mounted"
    assert crown.as_kind("in-line") == unit
    assert unit.as_kind("active-assisted", active_gain=0.9, active_delay=0.1).stroke == unit.stroke
    with pytest.raises(InputError, match="needs it"):
        unit.as_kind("active-assisted")
    with pytest.raises(InputError, match="kind of compensator"):
        unit.as_kind("riser tensioner")


def test_gas_may_be_up_to_a_thousand_times_what_the_cylinder_sweeps(device: Any) -> None:
    most = 1000 * 0.05 * 1.5
    assert device(effective_area=0.05, stroke=1.5, gas_volume=most * 0.999).spring(1e6).stiffness > 0
    with pytest.raises(InputError, match="open to the cylinder"):
        device(effective_area=0.05, stroke=1.5, gas_volume=most * 1.001)
