"""The compensator against its maker's data sheet: what its numbers say of each other, its load curve, and the sheet."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any, Final

import streamlit as st

from heave import fields
from heave.errors import InputError
from heave.judging.moments import carried_load
from heave.planning import Plan, rig
from heave.screens import every_page, pieces, state
from heave.screens.figures.load_picture import load_picture
from heave.screens.figures.tables import of_load
from heave.screens.inputs import STAYS, button, folded, names_of, plain, typed_number
from heave.units import per_cent, show, unit_of

_FIRST: Final = {"cylinders": "2", "reeving": "1", "bottles": "10", "other_volume": "0", "rod": "0"}
"""What stands in a box before anybody typed; the rest is empty."""


def draw() -> None:
    """What the numbers of the unit say of each other, its load curve, and the maker's sheet to type in."""
    st.markdown("## Do the numbers fit each other?")
    _judged(state.plan())
    if not state.plan().compensator.is_drawworks:
        folded("Area and gas volume from the maker's data sheet", "data-sheet", _sheet)


def _judged(plan: Plan) -> None:
    """Remarks on the unit of a plan, doubts first, and its load curve."""
    unit, system = plan.compensator, state.system()
    load = carried_load(plan)
    found = rig.unit_remarks(unit, load, system, plan.crown_ratio)
    for remark in found:
        if remark.doubtful:
            st.warning(plain(remark.words))
    st.markdown("\n".join(f"- {plain(remark.words)}" for remark in found if not remark.doubtful))
    if isinstance(unit, rig.GasUnit):
        curve = rig.curve_at(unit, load)
        drawing = load_picture(unit, curve, load, every_page.look(), system)
        pieces.picture(drawing, "Load over the stroke", partial(of_load, curve, system))


def _sheet() -> None:
    """The boxes of the sheet, what follows from them while they are typed, and the button that takes it."""
    system = state.system()
    st.caption(
        "As the maker gives them; what the model needs follows, and nothing is changed before you take it."
    )
    names = names_of(rig.DataSheet)
    for start in range(0, len(names), 3):
        row = st.columns(3)
        for column, name in zip(row, names[start : start + 3], strict=False):
            _box(column, name, system)
    try:
        sheet = _typed(system)
        if sheet is None:
            st.caption("Fill in bore, bottles and their volume to see what follows.")
            return
        st.markdown("\n".join(f"- {plain(words)}" for words in sheet.working(system)))
        trial = _with_sheet(state.plan(), sheet)
    except InputError as error:
        st.error(plain(str(error)))
        return
    st.markdown("**With these the unit would be:**")
    _judged(trial)
    if sheet.pre_charge is not None:
        carried, load = sheet.pre_charge * sheet.effective_area, carried_load(trial)
        words = f"The pre-charge carries {show(carried, 'force', system)} at mid-stroke, "
        st.caption(plain(f"{words}{per_cent(carried / load)} of the load of the plan."))
    button("Put area and gas volume in the plan", "sheet:take", state.acting("data sheet", _take), sheet)
    pieces.told("data sheet")


def _key(name: str, system: str) -> str:
    """Of a box: one for each unit, so that what was typed in millimetres is never read as inches."""
    about = fields.about(rig.DataSheet, name)
    unit = unit_of(about.kind, system).symbol if isinstance(about, fields.Quantity) else ""
    return f"heave:sheet:{name}:{unit}"


def _box(column: Any, name: str, system: str) -> None:
    about, key = fields.about(rig.DataSheet, name), _key(name, system)
    if isinstance(about, fields.Choice):
        column.selectbox(about.label, about.options, key=key, help=about.help, **STAYS)
    elif isinstance(about, fields.Quantity):
        symbol = unit_of(about.kind, system).symbol
        label = f"{about.label} ({symbol})" if symbol else about.label
        column.text_input(label, _FIRST.get(name, ""), key=key, help=about.help or None, **STAYS)


def _typed(system: str) -> rig.DataSheet | None:
    """The sheet as it stands in the boxes; None while one that is needed is empty."""
    values: dict[str, Any] = {}
    for name in names_of(rig.DataSheet):
        about, given = fields.about(rig.DataSheet, name), st.session_state[_key(name, system)]
        if isinstance(about, fields.Quantity):
            if not str(given).strip():
                if not about.optional:
                    return None
                continue
            given = typed_number(given, about.label, about.kind, system)
        values[name] = given
    return rig.DataSheet(**values)


def _with_sheet(plan: Plan, sheet: rig.DataSheet) -> Plan:
    """The plan with area and gas volume of the sheet; all bottles of it are open."""
    gas = {"gas_volume": sheet.gas_volume, "gas_volume_shut": 0.0}
    changes: dict[str, Any] = {"effective_area": sheet.effective_area, **gas}
    return rig.with_unit(plan, replace(plan.compensator, **changes))


def _take(sheet: rig.DataSheet) -> None:
    words = "Area and gas volume of the data sheet are in the plan."
    state.try_edit(lambda plan: _with_sheet(plan, sheet), words)
