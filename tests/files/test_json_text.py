"""Strict JSON: values come back, and what could be read in two ways is refused with its key path."""

from __future__ import annotations

import copy
import json
from contextlib import nullcontext
from pathlib import Path
from time import thread_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.errors import FileError
from heave.files.json_text import MAX_DEPTH, Lasting, json_text, read_document, read_json
from heave.files.tables import write_text

_VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**15), 10**15)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(
        st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\ufeff\u2028\u2029"), max_size=20
    ),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text("abc_", max_size=5), inner, max_size=4)
    ),
    max_leaves=20,
)


@given(_VALUES)
def test_what_is_written_is_read(value: object) -> None:
    assert read_json(json_text(value).encode()) == value


@pytest.mark.parametrize(
    ("text", "path", "words"),
    [
        ('{"a": {"b": 1, "b": 2}}', "a.b", "each key once"),
        ('{"s": [{"x": 1}, {"x": NaN}]}', "s[1].x", "finite"),
        ('{"x": Infinity}', "x", "finite"),
        ('{"x": -Infinity}', "x", "finite"),
        ('{"x": 1e999}', "x", "finite"),
        ('{"x": -1e999}', "x", "finite"),
        ('{"x": ' + "9" * 5000 + "}", "x", "at most 40"),
        ('{"x": 0.' + "1" * 5000 + "}", "x", "at most 40"),
        ('{"x": "\\ud800"}', "x", "UTF-8"),
        ('{"a": {"\\udfff": 1}}', "a", "UTF-8"),
        ("[1, [2, NaN]]", "[1][1]", "finite"),
    ],
)
def test_refused_with_the_key_path(text: str, path: str, words: str) -> None:
    with pytest.raises(FileError, match=words) as caught:
        read_json(text.encode())
    assert caught.value.column == path


@pytest.mark.parametrize(
    "text",
    [
        "",
        "  \n",
        "{",
        "[1,]",
        "{'a': 1}",
        '{"a" 1}',
        "nul",
        "1 2",
        '{"a": 01}',
        '"\t"',
        '{"a": "b}',
        "\ufeff\ufeff{}",
    ],
)
def test_not_json(text: str) -> None:
    with pytest.raises(FileError):
        read_json(text.encode())


def test_depth_is_allowed_to_the_limit_and_not_beyond() -> None:
    assert read_json(b"[" * MAX_DEPTH + b"]" * MAX_DEPTH) is not None
    with pytest.raises(FileError, match="at most 32 levels"):
        read_json(b"[" * (MAX_DEPTH + 1) + b"]" * (MAX_DEPTH + 1))


@pytest.mark.parametrize(
    "bomb",
    [b"[" * 1_900_000, b'{"a":' * 380_000, b'"' + b'\\"' * 950_000, b'"' * 1_900_000, b"9" * 1_900_000],
)
def test_bombs_are_refused_quickly(bomb: bytes) -> None:
    start = thread_time()
    with pytest.raises(FileError):
        read_json(bomb)
    assert thread_time() - start < 5.0


def test_brackets_inside_strings_are_not_depth() -> None:
    text = "[" * 100 + '\\"' + "{" * 100
    assert read_json(f'{{"a": "{text}"}}'.encode())["a"] == text.replace('\\"', '"')


def test_too_large_is_refused() -> None:
    with pytest.raises(FileError, match="at most 2\u00a0MB"):
        read_json(b" " * 2_000_001)


def test_documents_name_format_and_version(tmp_path: Path) -> None:
    path = tmp_path / "d.json"
    write_text(path, json_text({"format": "f", "version": 1, "x": 2}))
    assert read_document(path, "f", 1)["x"] == 2
    for change in ({"version": 2}, {"version": "1"}, {"version": True}, {"version": 1.0}, {"format": "g"}):
        with pytest.raises(FileError, match=r"version|format"):
            read_document(json.dumps({"format": "f", "version": 1} | change).encode(), "f", 1)
    with pytest.raises(FileError, match="an object"):
        read_document(b"[]", "f", 1)


def test_writing_refuses_what_json_cannot_say() -> None:
    for value in (float("nan"), float("inf"), {1j}):
        with pytest.raises(FileError):
            json_text(value)


@pytest.mark.parametrize(
    ("number", "good"), [("1e-400", False), ("-0.01E-400", False), ("0e-400", True), ("5e-324", True)]
)
def test_a_number_that_would_be_lost_in_zero_is_refused(number: str, good: bool) -> None:
    """As one that is typed: a plan that says 1e-400 came out as saying 0."""
    with nullcontext() if good else pytest.raises(FileError, match="told from zero"):
        assert (read_json(f'{{"a": {number}}}'.encode())["a"] == 0.0) == (number[0] == "0")


def test_lines_of_an_object_that_lasts_are_those_of_any_object() -> None:
    plain = {"real": [[1.5, -0.0], [2.0, 1e-7]], "axis": [1, 2], "name": "a"}
    lasting = Lasting(plain)
    for document in ({"in": plain, "deep": {"er": plain}}, {"in": lasting, "deep": {"er": lasting}}):
        again = document | {"in": lasting, "deep": {"er": lasting}}
        assert json_text(again) == json_text({"in": plain, "deep": {"er": plain}})
        assert json_text(again, compact=True) == json_text(document, compact=True)


def test_an_object_that_lasts_is_not_changed_and_its_copy_is() -> None:
    lasting = Lasting({"a": [1, 2]})
    before = json_text(lasting)
    with pytest.raises(TypeError, match="'a' is put into an object that lasts"):
        lasting["a"] = [3]
    other = copy.deepcopy(lasting)
    other["a"].append(3)
    assert json_text(other) == '{\n  "a": [1, 2, 3]\n}\n'
    assert json_text(lasting) == before
