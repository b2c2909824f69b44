"""The server's settings are the safe ones, and the colours can be read."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from streamlit import config

from heave.screens import pieces
from heave.screens.weather import hindcast

CONFIG = tomllib.loads(
    (Path(__file__).resolve().parents[1] / ".streamlit" / "config.toml").read_text("utf-8")
)
TEXT_CONTRAST = 4.5
"""Least contrast of text (W3C, Web Content Accessibility Guidelines 2.2, criterion 1.4.3)."""

CONTROL_CONTRAST = 3.0
"""Least contrast of a control's edge (the same, criterion 1.4.11)."""

OKABE_ITO = {"#000000", "#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7"}
"""The palette of M. Okabe and K. Ito, "Color Universal Design" (2002, revised 2008)."""


@pytest.mark.parametrize(
    ("section", "option", "value"),
    [
        ("server", "address", "127.0.0.1"),
        ("server", "headless", True),
        ("server", "allowedHosts", ["localhost", "127.0.0.1"]),
        ("server", "enableXsrfProtection", True),
        ("server", "enableCORS", True),
        ("server", "enableStaticServing", False),
        ("browser", "gatherUsageStats", False),
        ("client", "toolbarMode", "viewer"),
        ("client", "showErrorDetails", "none"),
        ("client", "showErrorLinks", False),
        ("runner", "magicEnabled", False),
    ],
)
def test_safe_setting(section: str, option: str, value: Any) -> None:
    assert CONFIG[section][option] == value


def test_the_server_takes_what_the_largest_box_promises() -> None:
    assert CONFIG["server"]["maxUploadSize"] == hindcast.MOST_MEGABYTES
    assert pieces.MOST_MEGABYTES <= 5


def test_streamlit_knows_every_setting() -> None:
    known = set(config.get_config_options())
    given = {name for section, values in CONFIG.items() for name in _names(section, values)}
    assert given <= known, f"not settings of this Streamlit: {sorted(given - known)}"


def _names(prefix: str, values: dict[str, Any]) -> list[str]:
    found = []
    for name, value in values.items():
        path = f"{prefix}.{name}"
        found += _names(path, value) if isinstance(value, dict) else [path]
    return found


def test_no_font_or_address_is_fetched() -> None:
    text = str(CONFIG["theme"])
    assert "http" not in text
    assert "url" not in text
    assert "fontFaces" not in text


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_is_readable(scheme: str) -> None:
    theme = CONFIG["theme"][scheme]
    grounds = [theme["backgroundColor"], theme["secondaryBackgroundColor"]]
    grounds += [theme["sidebar"]["backgroundColor"], theme["sidebar"]["secondaryBackgroundColor"]]
    texts = {name: value for name, value in theme.items() if name.lower().endswith("textcolor")}
    texts["linkColor"] = theme["linkColor"]
    assert len(texts) >= 6
    for name, colour in texts.items():
        for ground in grounds:
            assert contrast(colour, ground) >= TEXT_CONTRAST, (name, colour, ground)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_primary_colour_is_a_readable_blue(scheme: str) -> None:
    theme = CONFIG["theme"][scheme]
    red, _, blue = (int(theme["primaryColor"][i : i + 2], 16) for i in (1, 3, 5))
    assert blue > 2 * red
    assert contrast("#FFFFFF", theme["primaryColor"]) >= TEXT_CONTRAST
    assert contrast(theme["primaryColor"], theme["backgroundColor"]) >= CONTROL_CONTRAST


def test_light_palette_is_the_published_one() -> None:
    theme = CONFIG["theme"]["light"]
    assert theme["primaryColor"] == "#0072B2"
    assert set(theme["chartCategoricalColors"][:-1]) == OKABE_ITO - {"#000000"}


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two colours (the guidelines' definition of relative luminance)."""
    lighter, darker = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    bands = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [band / 12.92 if band <= 0.04045 else ((band + 0.055) / 1.055) ** 2.4 for band in bands]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_contrast_has_its_known_ends() -> None:
    assert contrast("#FFFFFF", "#000000") == pytest.approx(21.0)
    assert contrast("#777777", "#777777") == 1.0
