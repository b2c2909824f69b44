"""How many worker processes there are: what the environment says, or one for each core up to two."""

from __future__ import annotations

import os

import pytest

from heave.errors import InputError
from heave.screens import workers


@pytest.mark.parametrize(("text", "number"), [("0", 0), ("3", 3), ("16", 16)])
def test_the_number_is_that_of_the_environment(
    monkeypatch: pytest.MonkeyPatch, text: str, number: int
) -> None:
    monkeypatch.setenv(workers.NUMBER, text)
    assert workers.number_asked() == number


def test_usually_one_for_each_core_up_to_two(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(workers.NUMBER)
    for cores, number in ((1, 1), (2, 2), (64, 2), (None, 1)):
        monkeypatch.setattr(os, "cpu_count", lambda cores=cores: cores)
        monkeypatch.setattr(os, "process_cpu_count", lambda cores=cores: cores, raising=False)
        assert workers.number_asked() == number


@pytest.mark.parametrize("text", ["-1", "17", "two", "1.5", "٣", "9" * 400])
def test_a_number_that_is_none_is_refused(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    monkeypatch.setenv(workers.NUMBER, text)
    with pytest.raises(InputError, match=r"HEAVE_WORKERS: .* whole number from 0 to 16"):
        workers.number_asked()
