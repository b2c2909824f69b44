"""The versions written down as tested are exact, whole, and inside the ranges that are asked for."""

from __future__ import annotations

import re

from make_tested_versions import VERSIONS, asked
from packaging.utils import canonicalize_name

LINES = [line for line in VERSIONS.read_text("utf-8").splitlines() if not line.startswith("#")]
TESTED = dict(line.split("==") for line in LINES)


def test_every_line_is_one_name_and_one_version() -> None:
    assert sorted(set(LINES)) == LINES
    assert all(re.fullmatch(r"[a-z0-9-]+==[0-9][0-9a-z.+]*", line) for line in LINES)
    assert len(TESTED) == len(LINES)


def test_what_was_tested_is_inside_the_ranges() -> None:
    for one in asked():
        assert one.specifier.contains(TESTED[canonicalize_name(one.name)]), str(one)
