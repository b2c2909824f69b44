"""What stands under the tiles of what to set: what temperature does to a set pressure."""

from __future__ import annotations

from streamlit.testing.v1 import AppTest

from heave.files.rigs import demo_compensators


def _page(unit: str) -> list[str]:
    def page(unit: str) -> None:
        import heave
        from heave.files.rigs import demo_compensators
        from heave.planning.rig import with_unit
        from heave.screens.check import tiles

        plan = with_unit(heave.demo_plan(), demo_compensators()[unit])
        tiles.draw(heave.assess(plan), "metric")

    shown = AppTest.from_function(page, kwargs={"unit": unit}, default_timeout=300).run()
    assert not shown.exception
    return [one.value for one in shown.caption]


def test_a_set_pressure_is_told_to_move_with_temperature_and_a_drawworks_has_none() -> None:
    for name, unit in demo_compensators().items():
        said = [text for text in _page(name) if "of gas temperature moves the set load" in text]
        assert len(said) == (0 if unit.is_drawworks else 1), name
