"""Write down what the tests ran with: `.venv/bin/python tests/make_tested_versions.py`, after they all passed."""

from __future__ import annotations

import re
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path
from typing import Final

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT: Final = Path(__file__).resolve().parents[1]
LISTS: Final = (ROOT / "requirements.txt", ROOT / "tests" / "requirements.txt")
VERSIONS: Final = ROOT / "tests" / "tested-versions.txt"


def asked() -> list[Requirement]:
    """What the project asks for, with its ranges."""
    lines = [
        re.sub(r"#.*", "", line).strip() for path in LISTS for line in path.read_text("utf-8").splitlines()
    ]
    return [Requirement(line) for line in lines if line]


def installed() -> dict[str, str]:
    """The version here of everything asked for and of all that this needs in turn, by name."""
    found: dict[str, str] = {}
    seen, left = set[str](), asked()
    while left:
        one = left.pop()
        if str(one) in seen:
            continue
        seen.add(str(one))
        try:
            here = distribution(one.name)
        except PackageNotFoundError as error:
            raise SystemExit(f"{one.name} is not installed here") from error
        found[canonicalize_name(one.name)] = here.version
        for needed in map(Requirement, here.requires or ()):
            marker = needed.marker
            if marker is None or any(marker.evaluate({"extra": extra}) for extra in ("", *one.extras)):
                left.append(needed)
    return found


def main() -> None:
    """Keep the head of the file and write every version under it."""
    head = [line for line in VERSIONS.read_text("utf-8").splitlines() if line.startswith("#")]
    lines = [*head, *sorted(f"{name}=={version}" for name, version in installed().items())]
    VERSIONS.write_text("\n".join(lines) + "\n", "utf-8")


if __name__ == "__main__":
    main()
