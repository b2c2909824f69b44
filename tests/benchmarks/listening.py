"""Serve the app and write down every address that the server speaks to: `python listening.py PORT FILE`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any


def main(port: int, file: Path) -> None:
    """Run the server of the current folder, each address of a connection or of a question for a name on a line."""
    file.touch()

    def hear(event: str, given: tuple[Any, ...]) -> None:
        if event in ("socket.connect", "socket.getaddrinfo", "socket.sendto"):
            place = given[0] if event == "socket.getaddrinfo" else given[1]
            with file.open("a", encoding="utf-8") as out:
                out.write(f"{place[0] if isinstance(place, tuple) else place}\n")

    sys.addaudithook(hear)
    from streamlit.web import bootstrap

    bootstrap.load_config_options({"server_port": port, "browser_serverPort": port})
    bootstrap.run("app.py", False, [], {})


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]))
