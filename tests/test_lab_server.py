"""A test never waits for a server that does not end."""

import signal
import subprocess
import sys

import pytest

from tests.lab_server import stop

DEAF = "import signal; signal.signal(signal.SIGTERM, signal.SIG_IGN); print('ready', flush=True); signal.pause()"


@pytest.mark.skipif(sys.platform == "win32", reason="on Windows a program cannot refuse to be ended")
def test_a_server_that_will_not_end_is_ended() -> None:
    """A server that does not answer the request to end is killed, so that the tests go on."""
    with subprocess.Popen([sys.executable, "-c", DEAF], stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        assert server.stdout.readline() == "ready\n"
        stop(server, limit=0.1)
    assert server.returncode == -signal.SIGKILL
