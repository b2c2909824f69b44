"""The server as an operator runs it: several users, behind the guide's proxy, asking nobody outside.

No browser is needed: sessions speak over the app's own websocket.
"""

from __future__ import annotations

import gzip
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
from load import Crowd, served
from proxy import PROGRAM, guide, local, proxied
from sessions import Client, app_command, free_port, running
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect

LISTENING = Path(__file__).resolve().parents[1] / "benchmarks" / "listening.py"
WITH_PROXY = pytest.mark.skipif(
    PROGRAM is None, reason="nginx is not installed (Debian: apt-get install nginx)"
)


def test_every_user_gets_the_verdict_of_their_own_numbers() -> None:
    with served(1) as (address, _):
        crowd = Crowd(address, users=6, every=2.0, heights=(0.6, 1.2))
        crowd.stop.wait(10.0)
        log = crowd.finish()
    assert len(log.waits) >= 6
    assert (log.missed, log.mixed, log.lost, log.troubles) == (0, [], [], [])


def test_the_server_speaks_to_nobody_but_this_machine(tmp_path: Path) -> None:
    """Opened, and asked by a page of another origin, which makes it look for addresses of its own."""
    port, told = free_port(), tmp_path / "told"
    address = f"http://127.0.0.1:{port}"
    with running([sys.executable, str(LISTENING), str(port), str(told)], address):
        client = Client(address)
        client.rerun()
        with pytest.raises(InvalidStatus):
            connect(f"ws://127.0.0.1:{port}/_stcore/stream", origin="http://another.example")  # type: ignore[arg-type]
    assert set(told.read_text("utf-8").split()) <= {"127.0.0.1", "localhost", "::1"}


@WITH_PROXY
def test_the_proxy_takes_the_guide_s_configuration(tmp_path: Path) -> None:
    assert PROGRAM is not None
    whole = tmp_path / "proxy.conf"
    whole.write_text(local(guide(), free_port(), (8501, 8502), tmp_path), "utf-8")
    command = [PROGRAM, "-t", "-c", str(whole), "-e", str(tmp_path / "error.log")]
    said = subprocess.run(command, capture_output=True, text=True, check=False)
    assert said.returncode == 0, said.stderr
    assert "warn" not in said.stderr


@WITH_PROXY
def test_a_browser_stays_with_its_process_and_code_is_sent_zipped() -> None:
    """Where that process has ended, the other one takes it, says so, and keeps it when the first is back."""
    ports, outside = (free_port(), free_port()), free_port()
    address = f"http://127.0.0.1:{outside}"
    first, second = (running(app_command(port, outside), f"http://127.0.0.1:{port}") for port in ports)
    with first as one, second, proxied(outside, ports):
        for process in ("1", "2"):
            assert {_asked(address, process)[0] for _ in range(4)} == {process}
        page, plain, zipped = _asked(address, "2")
        assert page == "2"
        assert len(zipped) < len(plain)
        one.kill()
        one.wait()
        assert {_asked(address, "1")[0] for _ in range(2)} == {"2"}
        assert _asked(address, "2")[0] == "2"


def _asked(address: str, process: str) -> tuple[str, bytes, bytes]:
    """To which process the next requests are told to go, and the page as it is and as it was sent."""
    headers = {"Cookie": f"heave_process={process}", "Accept-Encoding": "gzip"}
    with urllib.request.urlopen(urllib.request.Request(f"{address}/", headers=headers), timeout=60) as answer:
        body, given = answer.read(), answer.headers["Set-Cookie"]
        assert answer.headers["Content-Encoding"] == "gzip"
    return given.partition(";")[0].partition("=")[2], gzip.decompress(body), body
