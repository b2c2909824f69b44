"""The reverse proxy of DEVELOPERS.md, taken out of it and run on ports of this machine."""

from __future__ import annotations

import re
import shutil
import subprocess
import tempfile
import time
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sessions import ROOT

PROGRAM: Final = shutil.which("nginx") or ("/usr/sbin/nginx" if Path("/usr/sbin/nginx").exists() else None)
"""The proxy, None where the machine has none."""

GUIDE_PORTS: Final = ("8501", "8502")
"""Ports of the app's processes in the guide."""


def guide() -> str:
    """The proxy's configuration as the guide has it."""
    found = re.search(r"```nginx\n(.*?)```", (ROOT / "DEVELOPERS.md").read_text("utf-8"), re.DOTALL)
    assert found is not None, "the guide has no configuration of a proxy"
    return found[1]


def local(text: str, outside: int, ports: Sequence[int], folder: Path) -> str:
    """The guide's configuration as a whole one, without TLS, on ports of this machine and writing into `folder`."""
    text = re.sub(r"listen [^;]+;", f"listen 127.0.0.1:{outside};", text, count=1)
    text = re.sub(r"^\s*(ssl_\w+|server_name|listen \[) ?[^;]*;.*\n", "", text, flags=re.MULTILINE)
    text = re.sub(r"; Secure", "", text)
    for old, new in zip(GUIDE_PORTS, ports, strict=True):
        text = re.sub(rf"\b{old}\b", str(new), text)
    kinds = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    places = "\n".join(f"{kind}_temp_path {folder}/{kind};" for kind in kinds)
    return (
        f"daemon off;\npid {folder}/pid;\nerror_log {folder}/error.log warn;\nworker_processes 1;\n"
        f"events {{ worker_connections 1024; }}\nhttp {{\naccess_log off;\n{places}\n{text}}}\n"
    )


@contextmanager
def proxied(outside: int, ports: Sequence[int]) -> Iterator[None]:
    """The guide's proxy at the port `outside`, before the app's processes at `ports`."""
    assert PROGRAM is not None, "nginx is not installed"
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)  # its workers are another user where it is started by root
        (folder / "proxy.conf").write_text(local(guide(), outside, ports, folder), "utf-8")
        command = [PROGRAM, "-c", str(folder / "proxy.conf"), "-e", str(folder / "error.log")]
        process = subprocess.Popen(command)
        try:
            _wait(f"http://127.0.0.1:{outside}/_stcore/health", process)
            yield
        finally:
            process.terminate()
            process.wait(timeout=20)


def _wait(address: str, process: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + 20
    while time.monotonic() < deadline and process.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except OSError:
            time.sleep(0.1)
    raise RuntimeError("the proxy did not start")
