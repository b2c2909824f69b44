"""What all tests share: where the repository is, quiet, repeatable property tests, and arrays compared whole."""

from __future__ import annotations

import gc
import os
from collections.abc import Generator
from pathlib import Path
from typing import Any

# before NumPy is imported: two workers, each with a thread for every core, mostly wait for one another
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("HEAVE_WORKERS", "0")  # simulate in this process; a test of the workers makes its own

import numpy as np
import pytest
from hypothesis import HealthCheck, settings


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Collect without looking for garbage, which took a third of the time, and never look in what was collected."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


settings.register_profile(
    "repeatable", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("repeatable")


def all_within(about: Any, actual: object) -> bool:
    """True if `actual` is a whole array of finite numbers within the tolerance of `about`, a pytest.approx."""
    if not isinstance(actual, np.ndarray) or actual.dtype != np.float64:
        return False
    expected = np.asarray(about.expected)
    if expected.dtype != np.float64 or expected.shape not in ((), actual.shape):
        return False
    room = 1e-12 if about.abs is None else about.abs
    if about.rel is not None or about.abs is None:
        room = np.maximum(room, (1e-6 if about.rel is None else about.rel) * np.abs(expected))
    with np.errstate(all="ignore"):
        away = np.abs(expected - actual)
    return bool(np.all(np.isfinite(away) & (away <= room)))


def _compare_whole(kind: Any) -> None:
    """Ask `all_within` first: approx makes an object of every value, a hundred times the work of a simulation step.

    Whatever is not plainly within is left to approx itself, which then says what differs.
    """
    one_by_one = kind.__eq__
    kind.__eq__ = lambda about, actual: all_within(about, actual) or one_by_one(about, actual)


for _example in (np.zeros(1), 0.0):
    _compare_whole(type(pytest.approx(_example)))


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the checkout."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def shared_data(root: Path) -> Path:
    """The folder of open data kept beside the checkout; tests that need it skip where it is absent."""
    folder = root.parent / "shared" / "data"
    if not folder.is_dir():
        pytest.skip("the open data beside the checkout are not on this machine")
    return folder
