"""The words on each page of a PDF as Chromium prints it (enough of the format, ISO 32000, for that), and its sheets."""

from __future__ import annotations

import re
import zlib
from pathlib import Path
from typing import Any

import harness

_OBJECT = re.compile(rb"(\d+) 0 obj\b(.*?)\bendobj\b", re.DOTALL)
_SHOWN = re.compile(
    rb"/(\w+) Do\b|/(\w+) [\d.]+ Tf|<([0-9A-Fa-f]+)> Tj|\[((?:<[0-9A-Fa-f]*>|[-\d.\s])*)\] ?TJ"
)


def _objects(pdf: bytes) -> dict[int, bytes]:
    return {int(found[1]): found[2] for found in _OBJECT.finditer(pdf)}


def _stream(body: bytes) -> bytes:
    inner = body.split(b"stream", 1)[1].lstrip(b"\r\n").rsplit(b"endstream", 1)[0]
    return zlib.decompress(inner) if b"FlateDecode" in body else inner


def _letters(table: bytes) -> dict[str, str]:
    """From the codes of a font to letters, as its ToUnicode table has it."""
    found: dict[str, str] = {}
    for part in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.DOTALL):
        for code, letters in re.findall(rb"<(\w+)>\s*<(\w+)>", part):
            found[code.decode().upper()] = bytes.fromhex(letters.decode()).decode("utf-16-be")
    for part in re.findall(rb"beginbfrange(.*?)endbfrange", table, re.DOTALL):
        for first, last, letters in re.findall(rb"<(\w+)>\s*<(\w+)>\s*<(\w+)>", part):
            start = int(letters, 16)
            for step in range(int(last, 16) - int(first, 16) + 1):
                found[f"{int(first, 16) + step:04X}"] = chr(start + step)
    return found


def _referred(body: bytes, key: bytes) -> list[int]:
    found = re.search(rb"/%b\s*(\[[^\]]*\]|\d+ 0 R)" % key, body)
    return [int(number) for number in re.findall(rb"(\d+) 0 R", found[1])] if found else []


def pages_of(pdf: bytes) -> list[str]:
    """The words of every page in order, without the spaces between them."""
    objects = _objects(pdf)
    (root,) = (body for body in objects.values() if re.search(rb"/Type\s*/Catalog", body))

    def leaves(number: int) -> list[bytes]:
        body = objects[number]
        kids = _referred(body, b"Kids")
        return [leaf for kid in kids for leaf in leaves(kid)] if kids else [body]

    fonts = {
        number: _letters(_stream(objects[_referred(body, b"ToUnicode")[0]]))
        for number, body in objects.items()
        if _referred(body, b"ToUnicode")
    }

    def words_of(body: bytes, content: bytes) -> str:
        """Words in the order they are drawn, those of what is drawn as one piece where it is called for."""
        named = {name.decode(): int(number) for name, number in re.findall(rb"/(\w+) (\d+) 0 R", body)}
        words, letters = [], dict[str, str]()
        for piece, font, single, several in _SHOWN.findall(content):
            inner = objects.get(named.get(piece.decode(), 0), b"") if piece else b""
            if re.search(rb"/Subtype\s*/Form", inner):
                words.append(words_of(inner, _stream(inner)))
            if font:
                letters = fonts.get(named.get(font.decode(), 0), {})
            for codes in [single, *re.findall(rb"<(\w*)>", several)]:
                text = codes.decode().upper()
                words += [letters.get(text[at : at + 4], "") for at in range(0, len(text), 4)]
        return "".join(words)

    told = []
    for page in (leaf for number in _referred(root, b"Pages") for leaf in leaves(number)):
        content = b"\n".join(_stream(objects[number]) for number in _referred(page, b"Contents"))
        told.append(words_of(page, content).replace(" ", "").replace("\xa0", ""))
    return told


def sheets(context: Any, path: Path, text: str) -> list[int]:
    """On how many sheets of either paper a page for printing stands, written to `path`; it must fit every screen."""
    path.write_text(text, "utf-8")
    page = context.new_page()
    page.goto(path.as_uri())
    try:
        printed = [page.pdf(format=paper, print_background=True) for paper in ("A4", "Letter")]
        for width in harness.WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            harness.no_sideways_overflow(page)
    finally:
        page.close()
    return [len(re.findall(rb"/Type\s*/Page\b", pdf)) for pdf in printed]
