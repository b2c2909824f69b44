"""Scatter diagrams as files come: a layout gives the same diagram, or is asked about, or refused with its place."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scatter_text import CELLS, HS, PER_CENT, RANGES, SUMS, matrix

from heave.errors import FileError
from heave.files.scatter import ScatterQuestions, read_scatter
from heave.studies.scatter import Scatter

MIDDLES = {"classes": "middles"}
ALL = {"classes": "middles", "period_kind": "Tz", "height_unit": "m"}


def turned(rows: tuple[tuple[object, ...], ...]) -> tuple[tuple[object, ...], ...]:
    return tuple(reversed(rows))


GOOD: dict[str, tuple[str, dict[str, str]]] = {
    "plain": (matrix(), MIDDLES),
    "sums": (matrix(**SUMS), MIDDLES),
    "sums of rows only": (matrix(row_sums=(36, 41, 23)), MIDDLES),
    "sums of columns only": (matrix(column_sums=(3, 30, 48, 19)), MIDDLES),
    "sums with another name": (matrix(total="printed_row_sum", **SUMS), MIDDLES),
    "sums as a sigma": (matrix(total="Σ", **SUMS), MIDDLES),
    "semicolons": (matrix(mark=";"), MIDDLES),
    "tabs": (matrix(mark="\t"), MIDDLES),
    "spaces": (matrix(mark="  "), MIDDLES),
    "semicolons, decimal comma": (matrix(mark=";").replace(".", ","), MIDDLES),
    "tabs, decimal comma": (matrix(mark="\t").replace(".", ","), MIDDLES),
    "sep line of a spreadsheet": ("sep=;\n" + matrix(mark=";"), MIDDLES),
    "byte-order mark and Windows line ends": ("\ufeff" + matrix().replace("\n", "\r\n"), MIDDLES),
    "ranges": (matrix(**RANGES), {}),
    "ranges in words": (
        matrix(hs=("0 to 1", "1 to 2", "2 to 3"), tz=("4 to 5", "5 to 6", "6 to 7", "7 to 8")),
        {},
    ),
    "ranges with a dash of print": (matrix(hs=("0 – 1", "1 – 2", "2 – 3"), tz=RANGES["tz"]), {}),
    "first class below": (matrix(hs=("<1", "1-2", "2-3"), tz=RANGES["tz"]), {}),
    "units in the labels": (
        matrix(r"Hs\Tz", hs=("0-1 m", "1-2 m", "2-3 m"), tz=("4-5 s", "5-6 s", "6-7 s", "7-8 s")),
        {},
    ),
    "lower limits, answered": (matrix(hs=(0, 1, 2), tz=(4, 5, 6, 7)), {"classes": "lower limits"}),
    "upper limits, answered": (matrix(hs=(1, 2, 3), tz=(5, 6, 7, 8)), {"classes": "upper limits"}),
    "lower limits, said": ("# lower limits of the classes\n" + matrix(hs=(0, 1, 2), tz=(4, 5, 6, 7)), {}),
    "middles, said": ("# class middles\n" + matrix(), {}),
    "centres, said in a title": ("Wave scatter, class centres\n" + matrix(), {}),
    "titles above": ("Some place\nAll year\n\n" + matrix(), MIDDLES),
    "title of many words between spaces": (
        "Joint occurrence of wave height and period\n" + matrix(mark=" "),
        MIDDLES,
    ),
    "a source under it": (matrix() + "Source: made up\n", MIDDLES),
    "an empty corner": (matrix(""), ALL),
    "corner without units": (matrix(r"Hs \ Tz"), {**MIDDLES, "height_unit": "m"}),
    "corner in words": (matrix("Hs (m) / zero-crossing period (s)"), MIDDLES),
    "kind in a title": ("Mean zero-crossing period Tz\n" + matrix("Hs [m]"), MIDDLES),
    "falling heights": (matrix(hs=turned((HS,))[0][::-1], cells=turned(CELLS)), MIDDLES),
    "dashes for nothing": (matrix(cells=((3, 20, 11, 2), ("-", 9, 25, 7), ("-", 1, 12, 10))), MIDDLES),
    "empty cells for nothing": (matrix(cells=((3, 20, 11, 2), ("", 9, 25, 7), ("", 1, 12, 10))), MIDDLES),
    "empty columns at the end": ("\n".join(line + ",," for line in matrix().splitlines()), MIDDLES),
    "quoted cells": (matrix().replace("Hs_m", '"Hs_m').replace("Tz_s", 'Tz_s"'), MIDDLES),
    "per cent, said": ("per cent\n" + matrix(cells=PER_CENT), MIDDLES),
    "per cent by its signs": (
        matrix(cells=tuple(tuple(f"{cell}%" for cell in row) for row in CELLS)),
        MIDDLES,
    ),
    "per cent by its sum": (matrix(cells=PER_CENT), MIDDLES),
    "probabilities": (
        matrix(cells=tuple(tuple(f"{cell / 100:.2f}" for cell in row) for row in CELLS)),
        MIDDLES,
    ),
    "blank lines": (matrix().replace("\n", "\n\n"), MIDDLES),
}


@pytest.mark.parametrize("name", GOOD)
def test_every_layout_gives_the_same_diagram(name: str) -> None:
    text, answers = GOOD[name]
    found = read_scatter(text.encode(), **answers)
    np.testing.assert_allclose(found.cells / found.total, np.array(CELLS) / 100)
    assert found.hs_limits.tolist() == [0, 1, 2, 3]
    assert found.period_limits.tolist() == [4, 5, 6, 7, 8]
    assert found.period_kind == "Tz"
    assert found.measure == (
        "per cent" if "per cent" in name else "probabilities" if "probab" in name else "counts"
    )


def test_feet_become_metres() -> None:
    found = read_scatter(matrix(r"Hs (ft)\Tz", **RANGES).encode())
    assert found.hs_limits == pytest.approx(np.array([0, 1, 2, 3]) * 0.3048)


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("Tp_s", "Tp"),
        ("peak period (s)", "Tp"),
        ("Tm02", "Tz"),
        ("T02", "Tz"),
        ("zero up-crossing period", "Tz"),
        ("Tm01", "T1"),
        ("Te", "Te"),
        ("energy period", "Te"),
        ("Tm-1,0", "Te"),
    ],
)
def test_the_kind_of_period_by_its_names(words: str, kind: str) -> None:
    text = matrix(f"Hs (m) / {words}", mark=";", **RANGES)
    assert read_scatter(text.encode()).period_kind == kind


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        (matrix(), ["classes"]),
        (matrix(""), ["period_kind", "classes", "height_unit"]),
        (matrix("Hs (m) / mean period", **RANGES), ["period_kind"]),
        (matrix("Hs (m) / Tz or Tp", **RANGES), ["period_kind"]),
        (matrix(r"Hs\Tz", **RANGES), ["height_unit"]),
        ("Direction 90\n" + matrix(**RANGES), ["sense"]),
        (
            matrix(cells=tuple(tuple(f"{cell * 0.97:.2f}" for cell in row) for row in CELLS), **RANGES),
            ["measure"],
        ),
    ],
)
def test_what_is_not_said_is_asked(text: str, keys: list[str]) -> None:
    with pytest.raises(ScatterQuestions) as asked:
        read_scatter(text.encode())
    assert [question.key for question in asked.value.questions] == keys


@pytest.mark.parametrize("total", ["99.9", "100.1"])
def test_per_cent_within_rounding_is_taken_and_said(total: str) -> None:
    cells = [list(row) for row in PER_CENT]
    cells[1][1] = {"99.9": "8.9", "100.1": "9.1"}[total]
    text = "per cent of the time\n" + matrix(cells=tuple(map(tuple, cells)), **RANGES)
    found = read_scatter(text.encode())
    assert found.total == pytest.approx(float(total))
    assert any(f"sum to {total}" in note and "within the rounding" in note for note in found.notes)


def test_per_cent_that_sums_to_something_else_is_refused() -> None:
    cells = (("3.0", "20.0", "11.0", "2.0"), *PER_CENT[1:2], ("0.0", "1.0", "12.0", "7.0"))
    with pytest.raises(FileError, match="within the rounding"):
        read_scatter(("per cent\n" + matrix(cells=cells, **RANGES)).encode())


BAD: dict[str, tuple[str, dict[str, str], int, str | None, str]] = {
    "a short row": (matrix().replace("0,9,25,7", "0,9,25"), MIDDLES, 3, None, "5, as line 1 has"),
    "a long row": (matrix().replace("0,9,25,7", "0,9,25,7,1"), MIDDLES, 3, None, "5, as line 1 has"),
    "a negative count": (matrix().replace("0,9,25,7", "0,-9,25,7"), MIDDLES, 3, "5.5", "from 0"),
    "not a number": (matrix().replace("0,9,25,7", "0,NaN,25,7"), MIDDLES, 3, "5.5", "a finite number"),
    "words": (matrix().replace("0,9,25,7", "0,nine,25,7"), MIDDLES, 3, "5.5", "a finite number"),
    "infinite": (matrix().replace("0,9,25,7", "0,inf,25,7"), MIDDLES, 3, "5.5", "a finite number"),
    "a sum of a row that is wrong": (matrix(row_sums=(36, 40, 23)), MIDDLES, 3, "sum", "41"),
    "a sum of a column that is wrong": (matrix(column_sums=(3, 31, 48, 19)), MIDDLES, 5, "5.5", "30"),
    "a sum of all that is wrong": (
        matrix(row_sums=(36, 41, 23), column_sums=(3, 30, 48, 19, 101)),
        MIDDLES,
        5,
        "sum",
        "100",
    ),
    "a height twice": (matrix(hs=(0.5, 1.5, 1.5)), MIDDLES, 4, None, "without a repeat"),
    "heights out of order": (matrix(hs=(0.5, 2.5, 1.5)), MIDDLES, 4, None, "rise or fall"),
    "a height that is none": (matrix(hs=(0.5, "high", 2.5)), MIDDLES, 3, None, "a height"),
    "ranges that leave a gap": (
        matrix(hs=("0-1", "1.1-2", "2-3"), tz=RANGES["tz"]),
        {},
        1,
        None,
        "begins where",
    ),
    "ranges that overlap": (matrix(hs=("0-1", "0.9-2", "2-3"), tz=RANGES["tz"]), {}, 1, None, "begins where"),
    "numbers and ranges": (matrix(hs=("0-1", 1.5, "2-3"), tz=RANGES["tz"]), MIDDLES, 1, None, "1-2"),
    "middles that cannot be": (matrix(hs=(0.5, 1.0, 4.0)), MIDDLES, 1, None, "limits"),
    "a cumulative column": (matrix().replace("7.5\n", "7.5,cum %\n"), MIDDLES, 1, "6", "delete the column"),
    "a sum that is not last": (
        matrix(row_sums=(36, 41, 23)).replace("7.5,Total", "Total,7.5"),
        MIDDLES,
        1,
        "Total",
        "last column",
    ),
    "decimal comma between commas": (matrix().replace(".", ","), MIDDLES, 1, None, "periods"),
    "points and commas": (matrix(mark=";").replace("0.5;", "0,5;"), MIDDLES, 1, None, "one decimal mark"),
    "nothing but titles": ("Some place\nAll year\n", {}, 1, None, "rows of cells"),
    "an empty file": ("", {}, 1, None, "a line of periods"),
    "a header alone": (
        matrix().splitlines()[0] + "\n" + matrix().splitlines()[0],
        MIDDLES,
        2,
        None,
        "at least one row",
    ),
    "rows without a header": (matrix().split("\n", 1)[1], MIDDLES, 1, None, "in a line above"),
    "a row of words between rows": (
        matrix().replace("1.5,0", "note\n1.5,0"),
        MIDDLES,
        4,
        None,
        "in a line above",
    ),
    "a row under the sums": (
        matrix(column_sums=(3, 30, 48, 19)) + "3.5,0,0,0,0\n",
        MIDDLES,
        6,
        None,
        "another matrix",
    ),
    "no seas at all": (matrix(cells=((0, 0, 0, 0),) * 3), MIDDLES, 1, None, "above 0"),
    "rows and columns exchanged": (
        matrix(hs=(4.5, 5.5, 6.5), tz=(0.5, 1.5, 2.5, 3.5)),
        MIDDLES,
        1,
        None,
        "exchange them",
    ),
    "a sector beyond the compass": (
        "Direction 400\n" + matrix(**RANGES),
        {"sense": "from"},
        1,
        None,
        "0 to 360",
    ),
    "a month beyond the year": ("Month 13\n" + matrix(**RANGES), {}, 1, None, "1 to 12"),
    "a list and no matrix": ("Hs,Tz,count\n0.5,4.5,3\n0.5,5.5,20\n", MIDDLES, 2, None, "periods"),
    "two diagrams of other classes": (
        "Month 1\n" + matrix(**RANGES) + "Month 2\n" + matrix(hs=("0-1", "1-2", "2-4"), tz=RANGES["tz"]),
        {},
        7,
        None,
        "same classes",
    ),
    "bytes of a workbook": ("PK\x03\x04", {}, 1, None, "CSV"),
}


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_read_in_one_way_is_refused_with_its_place(name: str) -> None:
    text, answers, line, column, words = BAD[name]
    with pytest.raises(FileError) as refused:
        read_scatter(text.encode(), **answers)
    assert not isinstance(refused.value, ScatterQuestions)
    assert refused.value.line == line, refused.value
    if column is not None:
        assert refused.value.column == column, refused.value
    assert words in refused.value.allowed, refused.value


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ({"classes": "middle"}, "middles or lower limits"),
        ({"classes": "middles", "period_kind": "Tp"}, "as the file says"),
    ],
)
def test_answers_are_held_to_the_file(answers: dict[str, str], words: str) -> None:
    with pytest.raises(FileError, match=words):
        read_scatter(matrix().encode(), **answers)


def test_a_row_that_is_cut_to_be_ragged_is_never_shifted() -> None:
    """Any one cell taken out of any row is refused: nothing moves to the left."""
    lines = matrix(**SUMS).splitlines()
    for place in range(1, 5):
        cells = lines[place].split(",")
        for cell in range(1, len(cells)):
            broken = [*lines[:place], ",".join(cells[:cell] + cells[cell + 1 :]), *lines[place + 1 :]]
            with pytest.raises(FileError):
                read_scatter("\n".join(broken).encode(), classes="middles")


def test_an_open_last_class_is_kept_open_and_said() -> None:
    found = read_scatter(matrix(hs=("0-1", "1-2", ">2"), tz=RANGES["tz"]).encode())
    assert found.hs_limits.tolist() == [0, 1, 2, np.inf]
    assert any("no upper end" in note for note in found.notes)
    found = read_scatter(matrix(hs=(0.5, 1.5, "2+")).encode(), classes="middles")
    assert found.hs_limits.tolist() == [0, 1, 2, np.inf]


def test_middles_of_unequal_classes_that_begin_at_nought() -> None:
    """Classes 0-1, 1-2, 2-4 have the middles 0.5, 1.5, 3."""
    found = read_scatter(matrix(hs=(0.5, 1.5, 3.0)).encode(), classes="middles")
    assert found.hs_limits.tolist() == [0, 1, 2, 4]


def test_what_was_empty_is_said() -> None:
    text, answers = GOOD["empty cells for nothing"]
    found: Scatter = read_scatter(text.encode(), **answers)
    assert any(note.startswith("2 cells are empty") for note in found.notes)


@pytest.mark.parametrize("spoil", [str.upper, str.lower, lambda text: text.replace(",", ", ")])
def test_letters_and_spaces_do_not_matter(spoil: Callable[[str], str]) -> None:
    found = read_scatter(spoil(matrix(**RANGES)).encode())
    assert found.total == 100


def test_a_cell_too_large_to_be_a_count_is_refused_before_anything_is_summed() -> None:
    with pytest.raises(FileError, match=r"line 2, column 6.*at most 1e\+12"):
        read_scatter(b"Hs m,5,6\n1,3,1e308\n2,1,1e308\n", period_kind="Tz", classes="middles")


def test_any_damage_to_a_file_is_read_or_refused_by_name() -> None:
    """A thousand files with one character put in, taken out or changed: a diagram, a question or a FileError."""
    chance = np.random.default_rng(11)
    whole = matrix(**RANGES, **SUMS)
    marks = "0123456789.,;-<>%#\n \tabT\"'"
    for _ in range(1000):
        place = int(chance.integers(len(whole)))
        mark = marks[int(chance.integers(len(marks)))]
        cut = (
            whole[:place] + (mark if chance.random() < 0.7 else "") + whole[place + int(chance.integers(2)) :]
        )
        try:
            found = read_scatter(cut.encode())
        except FileError:
            continue
        assert found.cells.shape == (3, 4)
        assert found.total == pytest.approx(100.0, abs=20)
