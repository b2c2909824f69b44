"""Fields that describe themselves refuse what is out of bounds, and typed numbers are never misread."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave import fields
from heave.errors import FileError, InputError
from heave.fields import parse_number


@dataclass(frozen=True)
class Sample:
    """A class with one field of each sort."""

    height: float = fields.quantity("Height", "length", above=0.0, high=25.0)
    share: float | None = fields.quantity(
        "Share", "fraction", low=0.0, below=1.0, optional=True, default=None
    )
    kind: str = fields.choice("Kind", ("calm", "rough"), default="calm")
    name: str = fields.text("Name", default="", longest=5)
    active: bool = fields.flag("Active", default=True)
    plain: int = field(default=0)

    def __post_init__(self) -> None:
        fields.validate(self)


@pytest.mark.parametrize("height", [25.0, 5e-324, 1, np.float64(3.0), np.float32(3.0), np.int64(4)])
def test_good_number(height: Any) -> None:
    assert Sample(height).height == height


@pytest.mark.parametrize(
    "height",
    [
        0.0,
        -0.0,
        -1.0,
        math.nextafter(25.0, 26.0),
        math.nan,
        math.inf,
        -math.inf,
        np.float64("nan"),
        True,
        False,
        np.True_,
        None,
        "3",
        3 + 0j,
        Decimal(3),
        np.array(3.0),
        np.array([3.0]),
        [3.0],
        10**400,
        -(10**400),
        10**5000,
    ],
    ids=lambda value: type(value).__name__,
)
def test_bad_number(height: Any) -> None:
    with pytest.raises(InputError) as caught:
        Sample(height)
    assert caught.value.what == "Height"
    assert caught.value.value is height
    assert caught.value.unit == "m"
    assert caught.value.allowed == "above 0 to 25.0\u00a0m"
    assert "Height" in str(caught.value)
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize("share", [None, 0.0, math.nextafter(1.0, 0.0)])
def test_good_optional_number(share: float | None) -> None:
    assert Sample(1.0, share).share == share


@pytest.mark.parametrize("share", [1.0, math.nextafter(0.0, -1.0), "", math.nan])
def test_bad_optional_number(share: Any) -> None:
    with pytest.raises(InputError, match=r"below 1\.00 or empty"):
        Sample(1.0, share)


@pytest.mark.parametrize("kind", ["Calm", "", None, 0, ["calm"]])
def test_bad_choice(kind: Any) -> None:
    with pytest.raises(InputError, match="one of calm, rough"):
        Sample(1.0, kind=kind)


@pytest.mark.parametrize("name", ["", "a b", "Å°²é", "12345"])
def test_good_text(name: str) -> None:
    assert Sample(1.0, name=name).name == name


@pytest.mark.parametrize("name", ["123456", "a\nb", "a\x00", "\u202eab", "\ud800", "a\tb", None, 3, b"ab"])
def test_bad_text(name: Any) -> None:
    with pytest.raises(InputError, match="printable text of at most 5 characters"):
        Sample(1.0, name=name)


@pytest.mark.parametrize("active", [0, 1, None, "yes", np.True_])
def test_bad_flag(active: Any) -> None:
    with pytest.raises(InputError, match="yes or no"):
        Sample(1.0, active=active)


def test_the_allowed_range_is_told_in_the_units_shown() -> None:
    about = fields.about(Sample, "height")
    assert isinstance(about, fields.Quantity)
    assert about.allowed("oilfield") == "above 0 to 82.0\u00a0ft"
    free = fields.Quantity("Free", "number")
    assert free.allowed() == "a finite number"


def test_about_tells_what_a_field_is() -> None:
    assert fields.about(Sample(1.0), "kind") == fields.Choice("Kind", ("calm", "rough"))


@pytest.mark.parametrize("name", ["depth", "plain", ""])
def test_about_refuses_a_field_that_is_not_described(name: str) -> None:
    with pytest.raises(InputError, match="one of height, share, kind, name, active"):
        fields.about(Sample, name)


def test_an_unknown_kind_of_quantity_is_refused_where_it_is_declared() -> None:
    with pytest.raises(InputError, match="kind of quantity"):
        fields.quantity("Hue", "colour")


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("2.5", 2.5),
        ("2,5", 2.5),
        (",5", 0.5),
        (".5", 0.5),
        ("5.", 5.0),
        ("5,", 5.0),
        ("0,290", 0.290),
        ("0,125", 0.125),
        ("1,2345", 1.2345),
        ("1290,125", 1290.125),
        ("1,29", 1.29),
        ("1 290", 1290.0),
        ("1\u00a0290", 1290.0),
        ("1\u2009290", 1290.0),
        ("1\u202f290", 1290.0),
        ("12 345 678", 12345678.0),
        ("1 290,5", 1290.5),
        ("1 290.5", 1290.5),
        ("-3", -3.0),
        ("\u22123", -3.0),
        ("+3", 3.0),
        ("  3.0\t", 3.0),
        ("1e3", 1000.0),
        ("1.5E-3", 0.0015),
        ("1e\u22123", 0.001),
        ("0", 0.0),
        ("-0", 0.0),
        ("0e-400", 0.0),
        ("007", 7.0),
    ],
)
def test_parse_number(typed: str, value: float) -> None:
    assert parse_number(typed, "Height", "m") == value


@pytest.mark.parametrize(
    "typed", ["1,290", "12,290", "123,290", "-1,290", "\u22121,290", "1,290,500", "1,290e3"]
)
def test_a_comma_that_could_be_read_in_two_ways_is_refused(typed: str) -> None:
    with pytest.raises(InputError, match="two ways") as caught:
        parse_number(typed, "Hookload", "kN")
    assert (caught.value.what, caught.value.value, caught.value.unit) == ("Hookload", typed, "kN")


@pytest.mark.parametrize(
    "typed",
    [
        "",
        " ",
        "nan",
        "NaN",
        "inf",
        "-inf",
        "infinity",
        "1e400",
        "-1e400",
        "1e-400",
        "1e99999",
        "1" + "0" * 400,
        "\u0663",
        "\u06f3",
        "\uff13",
        "\u0967",
        "1\u0662",
        "\u00b2",
        "\u00bd",
        "2\u066b5",
        "2.5 m",
        "2.5m",
        "2.5.1",
        "1.290,5",
        "1,290.5",
        "1,2,3",
        "1 29",
        "1  290",
        "1 2900",
        "1234 567",
        "0 290",
        "1,5 290",
        "1.5 290",
        "1e1 000",
        "3 - 1",
        "--3",
        "- 3",
        "\u20133",
        "0x10",
        "1_000",
        "1'290",
        ".",
        ",",
        "-",
        "e5",
        "1e",
        "True",
        "1;2",
        "2\n5",
        "1\u00a02",
        "=1+1",
        "(3)",
    ],
)
def test_what_is_not_wholly_a_number_is_refused(typed: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_number(typed, "Height", "m")
    assert caught.value.what == "Height"


@given(st.floats(-1e9, 1e9, allow_nan=False, allow_subnormal=False))
def test_what_python_writes_is_read_back(value: float) -> None:
    assert parse_number(repr(value), "Value") == value


@given(st.integers(0, 10**12), st.integers(1, 4), st.sampled_from([" ", "\u00a0", "\u2009", "\u202f"]))
def test_grouped_with_spaces_is_read_whole(whole: int, decimals: int, space: str) -> None:
    text = f"{whole:,}".replace(",", space)
    assert parse_number(text, "Value") == whole
    assert parse_number(f"{text}.{'5' * decimals}", "Value") == float(f"{whole}.{'5' * decimals}")


@given(st.text(max_size=12))
def test_any_text_gives_a_finite_number_or_an_input_error(typed: str) -> None:
    try:
        value = parse_number(typed, "Value")
    except InputError:
        return
    assert math.isfinite(value)
    assert set(typed.strip()) <= set("0123456789.,+-\u2212eE \u00a0\u2009\u202f")


@given(st.from_regex(r"-?[0-9]{1,4},[0-9]{1,6}", fullmatch=True))
def test_a_comma_is_never_a_thousands_mark(typed: str) -> None:
    try:
        value = parse_number(typed, "Value")
    except InputError:
        return
    assert value == float(typed.replace(",", "."))


def test_errors_name_everything() -> None:
    error = InputError("Stroke", 3.0, "m", "from 4 to 8\u00a0m")
    assert str(error) == "Stroke: 3.0\u00a0m cannot be used; allowed: from 4 to 8\u00a0m"
    assert isinstance(error, ValueError)
    assert str(InputError("Kind", "x", None, "calm")) == "Kind: 'x' cannot be used; allowed: calm"


def test_a_long_value_is_cut_short_in_the_message() -> None:
    assert len(str(InputError("Name", "x" * 10_000, None, "less"))) < 150


def test_a_value_that_cannot_be_written_out_still_gives_a_message() -> None:
    class Silent:
        def __repr__(self) -> str:
            raise RuntimeError("no words")

    assert "a Silent" in str(InputError("Name", Silent(), None, "text"))


def test_file_errors_name_the_place() -> None:
    error = FileError("hs_m", "abc", "m", "a number", line=7, column="hs_m")
    assert str(error).startswith("line 7, column hs_m: hs_m: 'abc'\u00a0m cannot be used")
    assert (error.line, error.column) == (7, "hs_m")
    assert isinstance(error, InputError)
    assert str(FileError("file", "x", None, "text")).startswith("file: 'x'")
