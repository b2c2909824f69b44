"""A measured heave record: read, looked at, set against the prediction, run, and offered as a calibration."""

from __future__ import annotations

import streamlit as st

from heave.errors import InputError
from heave.files.heave_record import read_heave_record
from heave.screens import calibration, every_page, pieces, state
from heave.screens.check.working import steps_text
from heave.screens.figures.bit_share import record_figure
from heave.screens.inputs import plain
from heave.screens.weight_on_bit.controls import RECORD
from heave.simulation.reconcile import Reconciliation, reconcile
from heave.simulation.scenario import MeasuredHeave
from heave.units import show, significant

_NOTES = "heave record:notes"


def measured() -> None:
    """The upload box, and what the record says beside what the plan predicts."""
    st.markdown(
        "Heave measured at the hoist over ten minutes or more, in the sea and at the heading of this plan, tells "
        "whether the response of the vessel is right. Put the sea of that hour in the sidebar first."
    )
    how = "Columns time_s and heave_m, up positive; any even rate."
    pieces.upload("heave", "Heave record (CSV)", ["csv", "txt"], _take, help=how)
    record: MeasuredHeave | None = state.kept(RECORD)
    if record is None:
        return
    _told(record)
    try:
        against = reconcile(state.plan(), record.position, record.step)
    except InputError as error:
        st.warning(plain(f"The record can be run under Watch, but it cannot calibrate. {error}"))
        return
    _compared(against)
    _offered(against, record)


def _take(name: str, data: bytes) -> None:
    state.keep(RECORD, None)
    read = read_heave_record(data)
    state.keep(_NOTES, read.notes)
    state.keep(RECORD, MeasuredHeave(name, read.heave, read.step))


def _told(record: MeasuredHeave) -> None:
    length = (len(record.position) - 1) * record.step
    st.markdown(
        f"Read from {plain(record.name)}: {len(record.position)} values every {record.step:g} s, "
        f"{length / 60:.4g} min. Watch can run it: choose Measured heave there."
    )
    for note in state.kept(_NOTES) or ():
        st.caption(plain(note))
    st.button("Forget the record", key="heave:record:forget", on_click=state.keep, args=(RECORD, None))


def _compared(against: Reconciliation) -> None:
    system = state.system()

    def length(value: float) -> str:
        return show(value, "length", system)

    predicted = against.predicted_sigma
    periods = [show(value, "period", system) for value in (against.period, against.predicted_period)]
    rows = [
        ("Standard deviation", length(against.sigma), length(predicted)),
        ("Significant, single amplitude", length(against.significant), length(2 * predicted)),
        ("Significant, double amplitude", length(against.significant_double), length(4 * predicted)),
        ("Zero-crossing period", *periods),
        ("Highest · lowest", f"{length(against.highest)} · {length(against.lowest)}", ""),
    ]
    st.markdown(pieces.markdown_table(("Heave at the hoist", "Measured", "Predicted, uncalibrated"), rows))
    figure = record_figure(against, every_page.look(), system)
    pieces.chart(figure, "record", "Measured heave spectrum in steps over the predicted one")


def _offered(against: Reconciliation, record: MeasuredHeave) -> None:
    st.subheader("Measured over predicted")
    st.markdown(
        f"**{plain(significant(against.ratio))}**, known to ± {significant(100 * against.uncertainty, 2)} % from the "
        "length of the record alone."
    )
    st.markdown(steps_text(against.working, state.system()))
    if against.factor is None:
        st.warning(plain(against.refused))
        return
    st.button(
        f"Calibrate the heave of this plan by {significant(against.factor)}",
        key="heave:calibration:take",
        type="primary",
        on_click=calibration.take,
        args=(against.factor, against.margin, record.name),
    )
    st.caption(
        f"With it goes {significant(100 * against.margin, 2)} % for the length of the record, so that the checks use "
        "the safe end. It multiplies the heave at the hoist in every figure, is kept in the plan file, and stands at "
        "the top of every page until it is removed. Bounds: 0.5 to 1.5."
    )
