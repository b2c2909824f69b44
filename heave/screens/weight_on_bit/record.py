"""A measured heave record: read, looked at, set against the prediction, run, and offered as a calibration."""

from __future__ import annotations

import streamlit as st

from heave.errors import InputError
from heave.files.heave_record import read_heave_record
from heave.screens import calibration, every_page, figures, state
from heave.screens.figures.bit_share import record_figure
from heave.screens.inputs import plain
from heave.screens.rig import uploads
from heave.screens.weight_on_bit.controls import RECORD
from heave.screens.weight_on_bit.watch import steps_text
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
    uploads.box(
        "heave",
        "Heave record (CSV)",
        ["csv", "txt"],
        _take,
        "Columns time_s and heave_m, up positive; any even rate.",
    )
    record: MeasuredHeave | None = state.kept(RECORD)
    if record is None:
        return
    _told(record)
    try:
        found = reconcile(state.plan(), record.position, record.step)
    except InputError as error:
        st.warning(plain(f"The record can be run under Watch, but it cannot calibrate. {error}"))
        return
    _compared(found)
    _offered(found, record)


def _take(name: str, data: bytes) -> None:
    state.keep(RECORD, None)
    found = read_heave_record(data)
    state.keep(_NOTES, found.notes)
    state.keep(RECORD, MeasuredHeave(name, found.heave, found.step))


def _told(record: MeasuredHeave) -> None:
    length = (len(record.position) - 1) * record.step
    st.markdown(
        f"Read from {plain(record.name)}: {len(record.position)} values every {record.step:g} s, "
        f"{length / 60:.4g} min. Watch can run it: choose Measured heave there."
    )
    for note in state.kept(_NOTES) or ():
        st.caption(plain(note))
    st.button("Forget the record", key="heave:record:forget", on_click=state.keep, args=(RECORD, None))


def _compared(found: Reconciliation) -> None:
    system = state.system()

    def length(value: float) -> str:
        return show(value, "length", system)

    predicted = found.predicted_sigma
    rows = [
        ("Standard deviation", length(found.sigma), length(predicted)),
        ("Significant, single amplitude", length(found.significant), length(2 * predicted)),
        ("Significant, double amplitude", length(found.significant_double), length(4 * predicted)),
        (
            "Zero-crossing period",
            show(found.period, "period", system),
            show(found.predicted_period, "period", system),
        ),
        ("Highest · lowest", f"{length(found.highest)} · {length(found.lowest)}", ""),
    ]
    head = ["| Heave at the hoist | Measured | Predicted, uncalibrated |", "|---|--:|--:|"]
    st.markdown("\n".join(head + [f"| {' | '.join(row)} |" for row in rows]))
    st.plotly_chart(
        record_figure(found, every_page.look(), system),
        key="record",
        config=figures.HOVER,
        theme=None,
        alt="Measured heave spectrum in steps over the predicted one",
    )


def _offered(found: Reconciliation, record: MeasuredHeave) -> None:
    system = state.system()
    st.subheader("Measured over predicted")
    st.markdown(
        f"**{plain(significant(found.ratio))}**, known to ± {significant(100 * found.uncertainty, 2)} % from the "
        "length of the record alone."
    )
    st.markdown(steps_text(found.working, system))
    if found.factor is None:
        st.warning(plain(found.refused))
        return
    st.button(
        f"Calibrate the heave of this plan by {significant(found.factor)}",
        key="heave:calibration:take",
        type="primary",
        on_click=calibration.take,
        args=(found.factor, found.margin, record.name),
    )
    st.caption(
        f"With it goes {significant(100 * found.margin, 2)} % for the length of the record, so that the checks use the "
        "safe end. It multiplies the heave at the hoist in every figure, is kept in the plan file, and stands at "
        "the top of every page until it is removed. Bounds: 0.5 to 1.5."
    )
