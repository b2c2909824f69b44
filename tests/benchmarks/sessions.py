"""Servers of the app, and sessions that speak to them as a browser does, without a browser that takes the processor."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).resolve().parents[2]


class Client:
    """One session: sends what a browser sends, and reads what the server answers.

    Parameters
    ----------
    address : of the server, such as http://127.0.0.1:8501
    cookie : what a browser would send along
    """

    def __init__(self, address: str, cookie: str = "") -> None:
        from websockets.sync.client import connect

        self.address = address
        self.socket = connect(
            address.replace("http", "ws", 1) + "/_stcore/stream",
            origin=address,  # type: ignore[arg-type]
            additional_headers={"Cookie": cookie} if cookie else None,
            max_size=None,
            open_timeout=60,
        ).__enter__()
        self.widgets: dict[str, str] = {}

    def rerun(self, page: str = "", **texts: str) -> None:
        """Run the script on `page`, with texts typed into boxes by the end of their keys, and read to its end."""
        self.ask(page, **texts)
        while self.hear() != "script_finished":
            pass

    def ask(self, page: str = "", **texts: str) -> None:
        """Ask for a run of the script, as `rerun`, and read nothing."""
        boxes = {self.widget(name.replace("__", ":")): text for name, text in texts.items()}
        self._send(page, [(box, "string_value", text) for box, text in boxes.items()])

    def trigger(self, component: str, event: str, value: Any) -> None:
        """Send what a component of the page tells the server, beside the component's own state."""
        events = json.dumps([{"event": event, "value": value}])
        base = f"$$STREAMLIT_INTERNAL_KEY_{component}__events"
        self._send("", [(component, "json_value", "{}"), (base, "json_trigger_value", events)])

    def _send(self, page: str, values: list[tuple[str, str, str]]) -> None:
        from streamlit.proto.BackMsg_pb2 import BackMsg

        message = BackMsg()
        message.rerun_script.page_name = page
        for id_, kind, value in values:
            state = message.rerun_script.widget_states.widgets.add()
            state.id = id_
            setattr(state, kind, value)
        self.socket.send(message.SerializeToString())

    def knows(self, ending: str) -> bool:
        """Whether the box whose key ends so has come."""
        return any(id_.endswith(ending) for id_ in self.widgets)

    def widget(self, ending: str) -> str:
        """The id of the box whose key ends so."""
        return next(id_ for id_ in self.widgets if id_.endswith(ending))

    def hear(self, timeout: float | None = None) -> str | None:
        """Read one message and say what kind it is; TimeoutError where none comes within `timeout` seconds."""
        from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

        answer = ForwardMsg.FromString(self.socket.recv(timeout))
        box = answer.delta.new_element.text_input
        if box.id:
            self.widgets[box.id] = box.label
        self.heard(answer)
        kind: str | None = answer.WhichOneof("type")
        return kind

    def heard(self, answer: Any) -> None:
        """Every message that comes, for whoever wants to look at it."""


def free_port() -> int:
    """A port of this machine that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


@contextmanager
def running(
    command: Sequence[str], address: str, tree: Path = ROOT, **environment: str
) -> Iterator[subprocess.Popen[bytes]]:
    """A server started by `command` in the checkout `tree`, once it is healthy; stopped by its own process."""
    process = subprocess.Popen(
        command,
        cwd=tree,
        env={**os.environ, "PYTHONPATH": str(tree), **environment},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
    )
    try:
        wait_healthy(address, process)
        yield process
    finally:
        process.terminate()
        try:
            process.wait(timeout=20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def app_command(port: int, outside: int | None = None) -> list[str]:
    """What serves the app of the current folder at a port; browsers see the port `outside` of a proxy."""
    command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(port)]
    return [*command, "--browser.serverPort", str(outside or port)]


def wait_healthy(address: str, process: subprocess.Popen[bytes]) -> None:
    """Wait until the server says that it takes sessions; RuntimeError where it ends or is not in three minutes."""
    deadline = time.monotonic() + 180
    while time.monotonic() < deadline and process.poll() is None:
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health", timeout=2):
                return
        except OSError:
            time.sleep(0.1)
    raise RuntimeError("the server did not start")


def memory_of(process: int) -> float:
    """Resident memory of a process [MB]."""
    pages = int(Path(f"/proc/{process}/statm").read_text("ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def processor_of(process: int) -> float:
    """Processor time a process has taken so far, without those it started [s]."""
    fields = Path(f"/proc/{process}/stat").read_text("ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def children_of(process: int) -> list[int]:
    """The processes that a process has started and that still run."""
    tasks = Path(f"/proc/{process}/task").glob("*/children")
    return [int(child) for task in tasks for child in task.read_text("ascii").split()]
