"""Put the browser edition together: JupyterLite, Python for the browser, the wheels, the course, the landing page."""

import json
import shutil
import sqlite3
from contextlib import closing
from hashlib import sha256
from pathlib import Path

from tools.notebooks import PROJECT
from tools.site import contents, landing, packages, parts

SITE = PROJECT / "site"
BUILT_FROM = "built-from.txt"
PATIENCE = 600  # seconds
INPUTS = ("pharmcalc", "notebooks", "exercises", "tools/site", "pyproject.toml", "README.md", "LICENSE")
KERNEL = "@jupyterlite/pyodide-kernel-extension:kernel"
LEFT_IN_NPM = ("*.map", "*.d.ts", "*.html", "package.json", "README.md", "pyodide.js", "pyodide-lock.json")


def fingerprint() -> str:
    """Return a text that changes whenever anything that the site is made of does."""
    seen = sha256()
    for name in INPUTS:
        place = PROJECT / name
        for path in sorted(place.rglob("*")) if place.is_dir() else [place]:
            if path.is_file() and "__pycache__" not in path.parts and ".ipynb_checkpoints" not in path.parts:
                seen.update(f"{path.relative_to(PROJECT).as_posix()}\0".encode() + path.read_bytes())
    return seen.hexdigest()


def is_fresh(site: Path = SITE) -> bool:
    """Say whether the site that is there was built from what the project holds now."""
    stamp = site / BUILT_FROM
    return stamp.is_file() and stamp.read_text(encoding="utf-8") == fingerprint()


def fresh() -> Path:
    """Return the site, built unless it is fresh; of several processes that ask at once, one builds and all wait."""
    parts.PARTS.mkdir(parents=True, exist_ok=True)
    with closing(sqlite3.connect(parts.PARTS / "lock.db", timeout=PATIENCE, isolation_level=None)) as lock:
        lock.execute("BEGIN EXCLUSIVE")
        return SITE if is_fresh() else build()


def build(site: Path = SITE) -> Path:
    """Build the site in an empty folder, then put it in the place of the one before."""
    made_from = fingerprint()
    environment, pyodide, wheels = parts.jupyterlite(), parts.pyodide(), parts.wheels()
    lite, new = parts.PARTS / "lite", parts.PARTS / "new"
    for folder in (lite, new):
        shutil.rmtree(folder, ignore_errors=True)
    static = lite / "static" / "pyodide"
    shutil.copytree(pyodide, static, ignore=shutil.ignore_patterns(*LEFT_IN_NPM))
    for wheel in [*wheels.glob("*.whl"), *_kernel_wheels(environment)]:
        shutil.copy(wheel, static)
    packages.own_wheel(static)
    packages.stand_in("jedi", static)
    lock = packages.lock_text(pyodide / "pyodide-lock.json", list(static.glob("*.whl")))
    (static / "pyodide-lock.json").write_text(lock, encoding="utf-8")
    contents.lay_out(lite / "files")
    (lite / "jupyter-lite.json").write_text(_settings(json.loads(lock)["packages"]), encoding="utf-8")
    (lite / "overrides.json").write_text(contents.overrides(), encoding="utf-8")
    words = ("jupyterlite_core", "build", "--lite-dir=.", "--contents=files", f"--output-dir={new}", "--no-sourcemaps")
    parts.run_in(environment, *words, "--apps=lab", folder=lite)
    _assert_local(new)
    landing.write_pages(new)
    (new / BUILT_FROM).write_text(made_from, encoding="utf-8")
    shutil.rmtree(site, ignore_errors=True)
    new.replace(site)
    return site


def size(site: Path = SITE) -> float:
    """Return the size of the whole site in megabytes."""
    return sum(path.stat().st_size for path in site.rglob("*") if path.is_file()) / 1e6


def _kernel_wheels(environment: Path) -> list[Path]:
    """Return the wheels that JupyterLite's kernel brings with it (some stand in for what a browser cannot have)."""
    (folder,) = environment.glob("share/jupyter/labextensions/@jupyterlite/pyodide-kernel-extension/static/pypi")
    newest = {wheel.name.partition("-")[0]: wheel for wheel in sorted(folder.glob("*.whl"))}
    return list(newest.values())


def _settings(named: dict[str, object]) -> str:
    """Return JupyterLite's settings: every package is loaded at the start, at once, and from here only."""
    kernel = {"disablePyPIFallback": True, "loadPyodideOptions": {"packages": sorted(named)}}
    data = {
        "appName": "The mathematics of weighing",
        "exposeAppInBrowser": True,
        "litePluginSettings": {KERNEL: kernel},
    }
    return json.dumps({"jupyter-lite-schema-version": 0, "jupyter-config-data": data}, indent=1)


def _assert_local(site: Path) -> None:
    """Refuse a site whose Python would be fetched from another host: JupyterLite drops settings without a word."""
    settings = json.loads((site / "jupyter-lite.json").read_text(encoding="utf-8"))["jupyter-config-data"]
    kernel = settings["litePluginSettings"][KERNEL]
    if not kernel["pyodideUrl"].startswith("./static/") or kernel["disablePyPIFallback"] is not True:
        raise parts.PartError(f"JupyterLite has dropped settings of its kernel; it kept {kernel}.")
