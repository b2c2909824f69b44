"""A plan that is opened: what it does not say is said, and a link is read once, kept to and never in the way."""

from __future__ import annotations

import base64
import dataclasses
import json
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from heave.files.link import plan_to_link, read_link
from heave.files.plan import plan_to_json
from heave.files.rigs import demo_plan
from heave.planning import MODEL_VERSION, Plan
from heave.screens import opening

APP = Path(__file__).resolve().parents[2] / "app.py"

OTHER = demo_plan().changed(name="Of a link *bold*", heading=33.0)


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def by_link(text: str) -> AppTest:
    running = AppTest.from_file(str(APP), default_timeout=300)
    running.query_params["plan"] = text
    running.run()
    assert not running.exception
    return running


def all_words(app: AppTest) -> str:
    found = "\n".join(item.value for kind in (app.error, app.warning, app.markdown) for item in kind)
    return found.replace("\\", "")


def document_of(plan: Plan) -> Any:
    return json.loads(plan_to_json(plan))


def load(app: AppTest, document: Any) -> None:
    uploader = next(item for item in app.sidebar.get("file_uploader") if item.label == "Load a plan")
    uploader.set_value(("other.json", json.dumps(document).encode(), "application/json")).run()
    assert not app.exception


def test_a_link_opens_its_plan_and_says_nothing_where_there_is_nothing_to_say() -> None:
    app = by_link(plan_to_link(OTHER))
    assert plan_of(app) == OTHER
    assert not app.error
    assert "opened" not in " ".join(item.value for item in app.warning)
    assert app.query_params["plan"] == plan_to_link(OTHER)


def test_the_first_change_takes_the_link_out_of_the_address_and_stays() -> None:
    app = by_link(plan_to_link(OTHER))
    next(item for item in app.text_input if item.label == "Hs 1 (m)").set_value("3.3").run()
    app.run()
    assert "plan" not in app.query_params
    assert plan_of(app).sea.systems[0].hs == 3.3
    assert plan_of(app).heading == 33.0


@pytest.mark.parametrize(
    "text", ["nonsense!", plan_to_link(OTHER)[:-30], "A" * 9000, ""], ids=["letters", "cut", "long", "empty"]
)
def test_a_spoilt_link_is_refused_until_it_is_read_and_changes_nothing(text: str) -> None:
    app = by_link(text)
    assert plan_of(app) == demo_plan()
    assert "could not be opened and nothing was changed" in all_words(app)
    assert "plan" not in app.query_params
    app.run()
    assert "could not be opened" in all_words(app)
    app.button(key="heave:link:refused").click().run()
    assert "could not be opened" not in all_words(app)


def test_a_link_of_another_model_says_so() -> None:
    packed = json.loads(zlib.decompress(base64.urlsafe_b64decode(plan_to_link(OTHER) + "===")))
    packed["model"] = "2025.1"
    app = by_link(
        base64.urlsafe_b64encode(zlib.compress(json.dumps(packed).encode(), 9)).decode().rstrip("=")
    )
    assert plan_of(app) == OTHER
    assert (
        f"Of a link *bold*** was opened. It was written by model 2025.1, and this is model {MODEL_VERSION}"
        in (all_words(app))
    )
    assert not [item for item in app.warning if "*bold*" in item.value]  # a name is no markup


def test_a_file_that_leaves_things_out_is_opened_with_each_of_them_named(app: AppTest) -> None:
    document = document_of(OTHER)
    del document["plan"]["overpull_n"], document["plan"]["risk"]
    load(app, document)
    assert plan_of(app) == OTHER.changed(overpull=0.0)
    said = all_words(app)
    assert "It does not say 2 things that a plan has." in said
    assert "| Overpull margin | 0\u00a0kN | overpull_n |" in said
    assert "| Accepted risk | 1.00\u00a0% | risk |" in said
    app.segmented_control(key="heave:pick:units").set_value("oilfield").run()
    assert "| Overpull margin | 0\u00a0klbf | overpull_n |" in all_words(app)
    app.button(key="heave:opened:close").click().run()
    assert "does not say" not in all_words(app)


def test_a_file_of_now_says_nothing_and_takes_back_what_was_said(app: AppTest) -> None:
    document = document_of(OTHER)
    del document["plan"]["risk"]
    load(app, document)
    assert "It does not say 1 thing that a plan has." in all_words(app)
    load(app, document_of(OTHER))
    assert "does not say" not in all_words(app)


def test_own_work_is_kept_until_it_is_said_that_the_links_plan_may_take_its_place() -> None:
    mine = demo_plan().changed(name="Mine", heading=77.0)

    def session() -> AppTest:
        """As after the browser gave back its own work: that is the plan, and the link's waits."""
        app = by_link(plan_to_link(OTHER))
        app.session_state["heave:plan"] = mine
        app.session_state["heave:kept:link waiting"] = read_link(plan_to_link(OTHER))
        app.run()
        assert "The link carries another plan: Of a link *bold*." in all_words(app)
        assert plan_of(app) == mine
        assert "plan" in app.query_params
        return app

    app = session()
    app.button(key="heave:link:keep").click().run()
    assert plan_of(app) == mine
    assert "plan" not in app.query_params
    assert "The link carries" not in all_words(app)
    app = session()
    app.button(key="heave:link:open").click().run()
    assert plan_of(app) == OTHER
    assert "The link carries" not in all_words(app)
    app.button(key="heave:undo").click().run()
    assert plan_of(app) == mine


def test_the_link_of_the_plan_is_offered_and_can_stand_in_the_address(
    app: AppTest, unfold: Callable[..., None]
) -> None:
    unfold("link")
    (code,) = app.sidebar.code
    assert code.value == f"?plan={plan_to_link(demo_plan())}"
    app.button(key="heave:link:address").click().run()
    text = app.query_params["plan"]
    assert read_link(str(text)).plan == demo_plan()
    assert plan_of(app) == demo_plan()


def test_a_plan_too_large_for_a_link_says_what_to_do(app: AppTest, unfold: Callable[..., None]) -> None:
    plan = demo_plan()
    own = dataclasses.replace(plan.vessel.response, source="own")  # type: ignore[type-var]
    app.session_state["heave:plan"] = plan.changed(vessel=dataclasses.replace(plan.vessel, response=own))
    unfold("link")
    assert not app.sidebar.code
    assert any("too large for a link" in item.value for item in app.sidebar.caption)


def test_the_fields_and_the_schema_are_on_the_method_page(app: AppTest, unfold: Callable[..., None]) -> None:
    app.switch_page("heave/screens/method/page.py").run()
    unfold("plan:fields")
    assert "| `heading_deg` | Vessel heading." in "\n".join(item.value for item in app.markdown)
    assert opening.PARAMETER == "plan"
