"""Draw the planner's icon, a piston standing on a wave, and write it as a PNG with the standard library.

Run `python tests/browser/make_icon.py` to write `heave/screens/images/icon.png` anew.
"""

from __future__ import annotations

import math
import struct
import zlib
from pathlib import Path
from typing import Final

ICON: Final = Path(__file__).resolve().parents[2] / "heave" / "screens" / "images" / "icon.png"
SIZE: Final = 128
SAMPLES: Final = 4
"""Points per pixel and direction that are averaged, so that edges are smooth."""

CLEAR: Final = (0, 0, 0, 0)
BLUE: Final = (0, 114, 178, 255)
SKY: Final = (86, 180, 233, 255)
WHITE: Final = (255, 255, 255, 255)
ORANGE: Final = (230, 159, 0, 255)
Colour = tuple[int, int, int, int]


def colour_at(x: float, y: float) -> Colour:
    """The colour at a point of the unit square, x to the right and y down."""
    corner = 0.18
    inside = min(max(x, corner), 1 - corner), min(max(y, corner), 1 - corner)
    if math.dist((x, y), inside) > corner:
        return CLEAR
    crest = 0.74 + 0.055 * math.sin(2 * math.pi * (x + 0.10))
    if 0.0 <= y - crest <= 0.06:
        return WHITE
    if y > crest:
        return SKY
    return _unit_at(abs(x - 0.5), y)


def _unit_at(off_axis: float, y: float) -> Colour:
    """The compensator itself: a cylinder open at its foot, a piston in it and the rod below."""
    piston = off_axis < 0.145 and 0.30 <= y <= 0.38
    rod = off_axis <= 0.035 and y > 0.38
    if piston or rod:
        return ORANGE
    wall = 0.145 <= off_axis <= 0.205 and 0.13 <= y <= 0.52
    head = off_axis < 0.145 and 0.13 <= y <= 0.19
    return WHITE if wall or head else BLUE


def pixels(size: int = SIZE) -> list[list[Colour]]:
    """The icon as rows of colours, each the mean of its samples."""
    return [[_pixel(row, column, size) for column in range(size)] for row in range(size)]


def _pixel(row: int, column: int, size: int) -> Colour:
    steps = [(index + 0.5) / SAMPLES for index in range(SAMPLES)]
    samples = [colour_at((column + dx) / size, (row + dy) / size) for dy in steps for dx in steps]
    opaque = sum(sample[3] for sample in samples)
    if opaque == 0:
        return CLEAR
    red, green, blue = (round(sum(s[band] * s[3] for s in samples) / opaque) for band in range(3))
    return red, green, blue, round(opaque / len(samples))


def png(rows: list[list[Colour]]) -> bytes:
    """The rows as a PNG file: 8-bit red, green, blue and opacity, no filter (W3C PNG, 3rd edition)."""
    raw = b"".join(b"\0" + bytes(value for colour in row for value in colour) for row in rows)
    header = struct.pack(">IIBBBBB", len(rows[0]), len(rows), 8, 6, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", zlib.compress(raw, 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(name, body) for name, body in chunks)


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


if __name__ == "__main__":
    ICON.parent.mkdir(parents=True, exist_ok=True)
    ICON.write_bytes(png(pixels()))
