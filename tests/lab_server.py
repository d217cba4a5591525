"""Start JupyterLab as `make lab` does, for the tests that look at it in a browser."""

import os
import re
import secrets
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.programs import program

PROJECT = Path(__file__).resolve().parent.parent
ADDRESS = re.compile(r"http://localhost:\d+/")
START_LIMIT = 120  # seconds; a machine under load starts it in ten
STOP_LIMIT = 5


@dataclass(frozen=True)
class LabServer:
    """A running JupyterLab."""

    address: str
    token: str

    def page(self, path: str) -> str:
        """Return the address that opens the file or folder `path`, with the key to it."""
        return f"{self.address}lab/tree/{path}?token={self.token}"


@contextmanager
def lab_server(folder: Path, private: Path) -> Iterator[LabServer]:
    """Serve `folder` in JupyterLab until the block ends.

    `private` is an empty folder for Jupyter's own files: nothing of the person who runs the tests is read
    or changed.
    """
    token = secrets.token_hex(16)
    command = [*program("jupyterlab.labapp"), "--no-browser", "--expose-app-in-browser", "--port=0"]
    command += [f"--ServerApp.root_dir={folder}", f"--IdentityProvider.token={token}"]
    with subprocess.Popen(
        command,
        env=_environment(private),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as server:
        log = _Log(server)
        try:
            yield LabServer(log.address(), token)
        finally:
            stop(server)
            log.join()


def stop(server: "subprocess.Popen[str]", limit: float = STOP_LIMIT) -> None:
    """Ask the server to end, and end it after `limit` seconds.

    Now and then (seen with jupyter-server 2.21) it has closed everything and still waits for a thread of its own.
    """
    server.terminate()
    try:
        server.wait(limit)
    except subprocess.TimeoutExpired:
        server.kill()


def _environment(private: Path) -> dict[str, str]:
    """Return this process's environment with our settings for Jupyter in and the person's own out of it."""
    programs = Path(sys.executable).parent
    return os.environ | {
        "JUPYTER_CONFIG_PATH": str(PROJECT / "tools" / "lab"),
        "JUPYTER_CONFIG_DIR": str(private / "config"),
        "JUPYTER_DATA_DIR": str(private / "data"),
        "JUPYTER_RUNTIME_DIR": str(private / "runtime"),
        "IPYTHONDIR": str(private / "ipython"),
        "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}",
    }


class _Log(threading.Thread):
    """Reads the server's log, which must go on being read, and finds the address in it."""

    def __init__(self, server: "subprocess.Popen[str]") -> None:
        super().__init__(daemon=True)
        self._server = server
        self._lines: list[str] = []
        self._told = threading.Event()
        self.start()

    def run(self) -> None:
        """Collect lines until the server ends."""
        assert self._server.stdout is not None
        for line in self._server.stdout:
            self._lines.append(line)
            if ADDRESS.search(line):
                self._told.set()
        self._told.set()  # there is nothing more to wait for

    def address(self) -> str:
        """Wait until the server tells its address."""
        self._told.wait(START_LIMIT)
        text = "".join(self._lines)
        found = ADDRESS.search(text)
        if found is None:
            raise RuntimeError("JupyterLab did not start. Its log:\n" + text)
        return found.group()
