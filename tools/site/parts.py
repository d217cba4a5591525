"""Fetch what the browser edition is made of. Each part is held to its lock, and kept until that lock changes."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

from tools.notebooks import PROJECT

HERE = Path(__file__).resolve().parent
PARTS = PROJECT / "build" / "site-parts"
PYTHON = "3.14"  # the one inside Pyodide
NO_NPM = "npm, which fetches Python for the browser (Pyodide), was not found"
HOW_TO_NPM = "sudo apt-get install npm"
_PIP = ("--quiet", "--disable-pip-version-check", "--require-hashes")


class PartError(Exception):
    """A part of the site could not be had; the message says what to do."""


def problem() -> str:
    """Return why the site cannot be built here; nothing when it can, or when its parts are there already."""
    return "" if shutil.which("npm") or (PARTS / "npm.made-from").is_file() else NO_NPM


def jupyterlite() -> Path:
    """Return an environment with JupyterLite in it."""
    return _kept("jupyterlite", [HERE / "requirements.lock"], _make_environment)


def wheels(lock: Path = HERE / "wheels.lock") -> Path:
    """Return a folder with the wheels of a lock, pure Python, for the Python inside the browser."""
    return _kept(f"wheels-{lock.parent.parent.name}", [lock], lambda into: _download(lock, into))


def pyodide() -> Path:
    """Return the folder of Pyodide: Python, compiled for browsers."""
    locks = [HERE / "package.json", HERE / "package-lock.json"]
    return _kept("npm", locks, lambda into: _install(locks, into)) / "node_modules" / "pyodide"


def _kept(name: str, locks: list[Path], make: Callable[[Path], None]) -> Path:
    """Make a part unless it is there already, made from the same locks."""
    folder, stamp = PARTS / name, PARTS / f"{name}.made-from"
    wanted = "".join(sha256(lock.read_bytes()).hexdigest() for lock in locks)
    if not (folder.is_dir() and stamp.is_file() and stamp.read_text(encoding="utf-8") == wanted):
        stamp.unlink(missing_ok=True)
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        make(folder)
        stamp.write_text(wanted, encoding="utf-8")
    return folder


def _make_environment(into: Path) -> None:
    _run(sys.executable, "-m", "venv", str(into))
    _run(*_python(into), "-m", "pip", "install", *_PIP, "--requirement", str(HERE / "requirements.lock"))


def _python(environment: Path) -> tuple[str]:
    folder, name = ("Scripts", "python.exe") if sys.platform == "win32" else ("bin", "python")
    return (str(environment / folder / name),)


def run_in(environment: Path, *words: str, folder: Path) -> None:
    """Run a module of an environment."""
    _run(*_python(environment), "-m", *words, folder=folder)


def _download(lock: Path, into: Path) -> None:
    pure = ("--only-binary=:all:", "--platform=any", "--implementation=py", "--abi=none", f"--python-version={PYTHON}")
    words = ("pip", "download", *_PIP, "--no-deps", *pure, "--dest", str(into), "--requirement", str(lock))
    _run(sys.executable, "-m", *words)


def _install(locks: list[Path], into: Path) -> None:
    program = shutil.which("npm")
    if program is None:
        raise PartError(f"{NO_NPM}. Install Node.js with npm (Debian or Ubuntu: {HOW_TO_NPM}).")
    for lock in locks:
        shutil.copy(lock, into)
    _run(program, "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--silent", folder=into)


def _run(*words: str, folder: Path = PROJECT) -> None:
    done = subprocess.run(words, cwd=folder, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)
    if done.returncode:
        told = (done.stdout + done.stderr)[-1500:]
        raise PartError(f"This command failed:\n  {' '.join(words)}\nIt said:\n{told}")
