"""What can be asked of the still pictures of a page."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page


def overlaps(page: Page, pictures: int) -> list[list[str | float]]:
    """Pieces of text in one still picture that cover each other by more than a hair, or go past its edge.

    Small pictures are left out, and that there are not as many as `pictures` large ones is told as well.
    """
    found: list[list[str | float]] = page.evaluate(
        """async (wanted) => {
            const found = [];
            const pictures = [...document.querySelectorAll('[data-testid="stImage"] img')];
            await Promise.all(pictures.map(image => image.decode()));
            const tall = pictures.filter(image => image.getBoundingClientRect().height > 200);
            if (tall.length !== wanted) found.push(['pictures', tall.length]);
            for (const image of tall) {
                // the picture as it is drawn, where its letters can be asked for their places
                const room = document.createElement('div');
                room.style.cssText = `position:absolute;left:0;top:0;width:${image.clientWidth}px`;
                room.innerHTML = await (await fetch(image.src)).text();
                document.body.append(room);
                const edge = room.getBoundingClientRect();
                const texts = [...room.querySelectorAll('text')].filter(t => t.textContent.trim());
                const boxes = texts.map(t => [t.textContent, t.getBoundingClientRect()]);
                boxes.forEach(([one, a], i) => {
                    if (a.left < edge.left - 1 || a.right > edge.right + 1) found.push([one, 'past the edge']);
                    boxes.slice(i + 1).forEach(([two, b]) => {
                        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
                        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
                        if (wide > 1 && high > 3) found.push([one, two, wide, high]);
                    });
                });
                room.remove();
            }
            return found;
        }""",
        pictures,
    )
    return found
