"""Python inside the browser without JupyterLite around it: code is sent to a worker, what it returns comes back."""

import base64
import io
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zipfile import ZipFile

if TYPE_CHECKING:
    from playwright.sync_api import Page

_WORKER = """
import { loadPyodide } from "SITEstatic/pyodide/pyodide.mjs";
let python;
onmessage = async ({ data }) => {
    try {
        python ??= await loadPyodide({ packages: data.packages });
        for (const [folder, archive] of data.archives)
            python.unpackArchive(Uint8Array.from(atob(archive), (c) => c.charCodeAt(0)), "zip", { extractDir: folder });
        postMessage({ value: await python.runPythonAsync(data.code) });
    } catch (error) {
        postMessage({ error: String(error) });
    }
};
"""
_START = """worker => {
    const source = new Blob([worker], { type: "text/javascript" });
    window.worker = new Worker(URL.createObjectURL(source), { type: "module" });
}"""
_ASK = """message => new Promise((answer, fail) => {
    window.worker.onmessage = ({ data }) => (data.error ? fail(new Error(data.error)) : answer(data.value));
    window.worker.onerror = (event) => fail(new Error(event.message));
    setTimeout(() => fail(new Error("no answer came in four minutes")), 240_000);
    window.worker.postMessage(message);
})"""
LIBRARIES = "/lib/for-tests"


class Python:
    """A Python in a page of the site, with the site's own packages and none of JupyterLite."""

    def __init__(self, page: "Page", site: str) -> None:
        self._page = page
        page.goto("static/pyodide/pyodide-lock.json")  # any page of the site that runs nothing
        page.evaluate(_START, _WORKER.replace("SITE", site))

    def run(self, code: str, archives: dict[str, bytes] | None = None) -> Any:
        """Unpack archives, each into its folder, run the code, and return the value of its last line."""
        # pharmcalc brings pint and lark with it; pytest asks for pygments.
        packed = [[folder, base64.b64encode(archive).decode()] for folder, archive in (archives or {}).items()]
        return self._page.evaluate(_ASK, {"code": code, "archives": packed, "packages": ["pharmcalc", "pygments"]})


def zipped(root: Path, names: list[str]) -> bytes:
    """Return an archive of some files or folders below `root`."""
    buffer = io.BytesIO()
    with ZipFile(buffer, "w") as archive:
        for name in names:
            place = root / name
            for path in sorted(place.rglob("*")) if place.is_dir() else [place]:
                if path.is_file() and "__pycache__" not in path.parts:
                    archive.write(path, path.relative_to(root).as_posix())
    return buffer.getvalue()


def joined(wheels: Path) -> bytes:
    """Return one archive with the files of all wheels of a folder."""
    buffer = io.BytesIO()
    with ZipFile(buffer, "w") as archive:
        for wheel in sorted(wheels.glob("*.whl")):
            with ZipFile(wheel) as inside:
                for name in inside.namelist():
                    archive.writestr(name, inside.read(name))
    return buffer.getvalue()
