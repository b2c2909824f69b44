"""The committed icon is the drawn one (regression), and a well-formed PNG."""

from __future__ import annotations

import struct
import zlib

import pytest

import make_icon


@pytest.fixture(autouse=True, scope="session")
def _browser_available() -> None:
    """This file draws without a browser, so it never skips for want of one."""


def test_committed_icon_is_the_drawn_one() -> None:
    data = make_icon.ICON.read_bytes()
    width, height, body = unpack(data)
    assert (width, height) == (make_icon.SIZE, make_icon.SIZE)
    drawn = b"".join(b"\0" + bytes(v for colour in row for v in colour) for row in make_icon.pixels())
    assert body == drawn


def unpack(data: bytes) -> tuple[int, int, bytes]:
    """Width, height and raw rows of a PNG, every chunk's check sum verified."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    place, width, height, body = 8, 0, 0, b""
    while place < len(data):
        (length,) = struct.unpack(">I", data[place : place + 4])
        name, chunk = data[place + 4 : place + 8], data[place + 8 : place + 8 + length]
        assert struct.unpack(">I", data[place + 8 + length : place + 12 + length])[0] == zlib.crc32(
            name + chunk
        )
        if name == b"IHDR":
            width, height = struct.unpack(">II", chunk[:8])
        elif name == b"IDAT":
            body += chunk
        place += 12 + length
    return width, height, zlib.decompress(body)
