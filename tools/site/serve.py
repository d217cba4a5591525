"""Serve the site on this machine only, for the tests and the speed figures: plain files, as any web server does."""

import mimetypes
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

HOST = "127.0.0.1"
#: Added to the browser's command line: no name but this machine's leads anywhere.
CLOSED = f"--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE {HOST}"


class _Files(SimpleHTTPRequestHandler):
    """Serves files and says nothing."""

    protocol_version = "HTTP/1.1"  # one connection for many files

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002  (the name that Python's own class gives it)
        """Keep the test's output free of a line for each file."""


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve a folder until the block ends; yield its address, with a slash at the end."""
    mimetypes.add_type("text/javascript", ".mjs")
    mimetypes.add_type("application/wasm", ".wasm")
    server = ThreadingHTTPServer((HOST, 0), partial(_Files, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://{HOST}:{server.server_address[1]}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
