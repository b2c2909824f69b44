"""What all tests share: where the repository is, and quiet, repeatable property tests."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "repeatable", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("repeatable")


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
