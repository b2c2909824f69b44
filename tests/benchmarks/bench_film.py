"""Frames of the film while it plays two set-ups at 1440 px in Chromium: time between frames, and of drawing one.

Run from the root with `PYTHONPATH=.:tests/browser python tests/benchmarks/bench_film.py`. Budget on an idle two-core
machine: a median of 17 ms between frames, and 34 ms for 95 of 100. Chromium draws in software here.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import film_page
import numpy as np

import harness
from heave.simulation.scenario import Scenario

_MEASURE = """seconds => new Promise(done => {
  const player = film.filmPlayer, between = [], spent = []
  let last = null, begun = null
  const playing = now => {
    if (last !== null) between.push(now - last)
    last = now
    begun ??= now
    if (now - begun < 1000 * seconds) return requestAnimationFrame(playing)
    player.pause()
    requestAnimationFrame(drawing)
  }
  const drawing = () => {  // one instant more a frame, timed by itself
    const from = performance.now()
    player.seek(player.time + 0.05)
    spent.push(performance.now() - from)
    spent.length < 100 ? requestAnimationFrame(drawing) : done([between, spent])
  }
  player.seek(data.start + 1)
  player.play()
  requestAnimationFrame(playing)
})"""


def measure(page: Any, seconds: float = 8.0) -> tuple[np.ndarray, np.ndarray]:
    """Times between frames while it plays, and times of drawing a frame [ms]."""
    frames, spent = page.evaluate(_MEASURE, seconds)
    return np.array(frames), np.array(spent)


def main() -> None:
    scenario = Scenario(duration=60.0)
    pairs = [("with an active part", "under the block"), ("under the crown", "none"), ("drawworks", "locked")]
    with tempfile.TemporaryDirectory() as folder, harness.chromium() as browser:
        for pair in pairs:
            sides = film_page.sides_of([film_page.variant_of(name) for name in pair], scenario)
            data = film_page.film_sent(sides, scenario)
            with film_page.film_opened(browser, data, Path(folder)) as page:
                frames, spent = measure(page)
            middle, most = np.percentile(frames, [50, 95])
            print(
                f"{' | '.join(pair):40s} between frames: median {middle:5.1f} ms, p95 {most:5.1f} ms; "
                f"drawing one: median {np.median(spent):4.1f} ms, p95 {np.percentile(spent, 95):4.1f} ms"
            )


if __name__ == "__main__":
    main()
