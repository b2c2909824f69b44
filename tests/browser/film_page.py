"""The film alone in a bare page: data of real runs, the joined module, no server; used by tests and a benchmark."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from heave.files.rigs import demo_compensators, demo_plan
from heave.planning import Plan
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.figures.sides import Side
from heave.screens.film.component import markup, module, style
from heave.screens.film.payload import film_of
from heave.sea import SeaState
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Scenario, run

KINDS: Final = {
    "under the block": ("Demo in-line unit, 400 klbf", "as planned"),
    "under the crown": ("Demo crown-mounted unit, 600 klbf", "as planned"),
    "with an active part": ("Demo active-assisted unit, 600 klbf", "as planned"),
    "drawworks": ("Demo compensating drawworks", "as planned"),
    "none": ("Demo in-line unit, 400 klbf", "no compensator"),
    "locked": ("Demo crown-mounted unit, 600 klbf", "locked"),
}
"""A set-up of each kind that is drawn: name of a demo unit, and how the run takes it."""

_PAGE: Final = """<!doctype html><meta charset="utf-8"><title>film</title>
<body style="margin: 8px; font: 15px system-ui; background: {ground}">
<div id="host"></div><script id="data" type="application/json">{data}</script>
<script type="module">
{module}
const shadow = document.getElementById("host").attachShadow({{ mode: "open" }})
shadow.innerHTML = document.getElementById("looks").innerHTML
window.told = []
window.data = JSON.parse(document.getElementById("data").textContent)
const setStateValue = (name, value) => told.push([name, value])
window.mount = data => mount({{ data, parentElement: shadow, setStateValue }})
window.leave = window.mount(window.data)
window.film = shadow.querySelector(".film")
</script><template id="looks"><style>{style}</style>{markup}</template>"""


def plan_with(unit: str, hs: float = 4.0, wob: float = 180e3) -> Plan:
    """The demo plan in a sea of its own, drilling with a unit of the demo list."""
    plan = demo_plan()
    sea = SeaState.single(hs=hs, tp=11.0, direction_from=210.0, depth=plan.sea.depth)
    still = replace(plan.offsets, start_position=0.0)
    found = demo_compensators()[unit]
    return plan.changed(
        compensator=found, sea=sea, wob=wob, offsets=still, hoisting=None, active=found.has_active
    )


def variant_of(kind: str, **how: float) -> Variant:
    """A set-up of one of `KINDS`."""
    unit, taken = KINDS[kind]
    return Variant(kind, plan_with(unit, **how), taken)


def sides_of(variants: Sequence[Variant], scenario: Scenario) -> list[Side]:
    """The runs of one or two set-ups."""
    return [
        Side(letter, variant, run(variant, scenario), None)
        for letter, variant in zip("AB", variants, strict=False)
    ]


def film_sent(
    sides: Sequence[Side], scenario: Scenario, *, scheme: str = "light", opens: float = 10.0
) -> dict[str, Any]:
    """The data of a film as the browser is sent them."""
    made = film_of(sides, scenario, DARK if scheme == "dark" else LIGHT, "metric", opens=opens)
    return dict(json.loads(json.dumps(made)))


def write_page(data: dict[str, Any], folder: Path) -> str:
    """Write the page into a folder and give its address."""
    text = module().replace("export default function", "function mount")
    page = _PAGE.format(
        ground=data["look"]["ground"],
        data=json.dumps(data).replace("<", "\\u003c"),
        module=text,
        style=style(),
        markup=markup(),
    )
    path = folder / "film.html"
    path.write_text(page, "utf-8")
    return path.as_uri()


@contextmanager
def film_opened(
    browser: Any, data: dict[str, Any], folder: Path, *, width: int = 1440, height: int = 900, **how: Any
) -> Iterator[Any]:
    """A page with the film mounted; fails on an error, a word on the console, or an address other than its own."""
    context = browser.new_context(viewport={"width": width, "height": height}, **how)
    context.set_default_timeout(180_000)
    page = context.new_page()
    troubles: list[str] = []
    address = write_page(data, folder)
    page.on("pageerror", lambda error: troubles.append(f"page error: {error}"))
    page.on("console", lambda message: troubles.append(f"console: {message.text}"))
    page.on("request", lambda request: troubles.append(request.url) if request.url != address else None)
    try:
        page.goto(address)
        page.wait_for_function("window.film?.filmDrawn?.picture?.A")
        yield page
    finally:
        context.close()
    assert not troubles, "\n".join(troubles)
