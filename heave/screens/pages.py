"""The pages: folder, title and address, their place in the navigation, and what each asks of the sidebar."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

Group = Literal["sea", "shape", "heading", "operation", "load", "exposure", "rest"]
"""A group of inputs in the sidebar."""

ALL: Final[tuple[Group, ...]] = ("sea", "heading", "operation", "load", "exposure", "rest")
"""What the verdict of one hour rests on, in the order in which it is put in."""

SCREENS: Final = Path(__file__).parent


@dataclass(frozen=True)
class Screen:
    """A page.

    Parameters
    ----------
    folder : of its `page.py`
    title : in the navigation and over the page
    address : under which it is opened
    section : of the navigation it stands in; empty for those in sight without a click
    asks : groups of the sidebar that the page uses; what it does not use is not shown on it
    instead : where the sea comes from on a page that does not take the plan's
    own : fields of the operation that the page itself asks for, and the sidebar then does not
    """

    folder: str
    title: str
    address: str
    section: str
    asks: tuple[Group, ...]
    instead: str = ""
    own: tuple[str, ...] = ()

    @property
    def script(self) -> Path:
        """Its file."""
        return SCREENS / self.folder / "page.py"


RIG: Final = "Rig"
STUDIES: Final = "Studies"
DOCUMENTS: Final = "Documents"

_FORECAST: Final = "The sea is that of the forecast here."
_CLIMATE: Final = "Heights and periods are those of the climate here; shape and direction are the plan's."

PAGES: Final = (
    Screen("check", "Compensator check", "check", "", ALL),
    Screen("weather", "Weather window", "weather-window", "", ALL[1:], _FORECAST, ("duration",)),
    Screen("limits", "Operating limits", "operating-limits", "", ALL),
    Screen("weight_on_bit", "Weight on bit", "weight-on-bit", "", ALL),
    Screen("rig", "Rig and well", "rig", RIG, ("load",)),
    Screen("hoisting", "Hoisting", "hoisting", RIG, ALL),
    Screen("sensitivity", "Sensitivity", "sensitivity", STUDIES, ALL),
    Screen("climate", "Climate", "climate", STUDIES, ("shape", *ALL[1:]), _CLIMATE),
    Screen("compare", "Compare", "compare", STUDIES, ALL),
    Screen("calculation", "Calculation sheet", "calculation-sheet", DOCUMENTS, ALL),
    Screen("method", "Method and sources", "method", DOCUMENTS, ()),
)
"""In the order of the navigation; the first opens first."""


def by_section() -> dict[str, list[Screen]]:
    """The pages under the sections of the navigation, in their order."""
    return {
        section: [page for page in PAGES if page.section == section]
        for section in dict.fromkeys(page.section for page in PAGES)
    }
