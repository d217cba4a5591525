"""An environment that every user of a machine can read and only root can change, for `make exchange`.

What is installed in the environment at hand is taken over without fetching anything again; the library itself is
built and installed as a wheel, as an administrator would do it.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path

from tools.exchange.system_users import PROGRAMS, CannotRunError, Person

PROJECT = Path(__file__).resolve().parents[2]
STARTERS = ("alembic", "nbgrader")  # programs that nbgrader's users, or nbgrader itself, start by name


def shared_environment(scratch: Path, user: Person) -> Path:
    """Make an environment in ``scratch`` that ``user`` can use; return its folder of programs."""
    base, home = _python_for(user), scratch / "environment"
    _quietly(str(base), "-m", "venv", "--without-pip", str(home))
    programs, packages = home / "bin", home / "lib" / _version() / "site-packages"
    shutil.copytree(
        sysconfig.get_path("purelib"),
        packages,
        copy_function=_link,
        dirs_exist_ok=True,
        ignore=shutil.ignore_patterns("_editable_impl_pharmcalc*", "pharmcalc", "pharmcalc-*.dist-info"),
    )
    for name in STARTERS:
        program = Path(sysconfig.get_path("scripts")) / name
        lines = program.read_text(encoding="utf-8").splitlines(keepends=True)
        (programs / name).write_text(f"#!{programs / 'python'}\n" + "".join(lines[1:]), encoding="utf-8")
        (programs / name).chmod(0o755)
    wheel = scratch / "wheel"
    build = ("wheel", "--quiet", "--no-deps", "--no-build-isolation", "--wheel-dir", str(wheel), str(PROJECT))
    _quietly(sys.executable, "-m", "pip", "--disable-pip-version-check", *build)
    install = ("install", "--quiet", "--no-deps", "--no-index", *map(str, wheel.glob("*.whl")))
    _quietly(sys.executable, "-m", "pip", "--disable-pip-version-check", "--python", str(programs / "python"), *install)
    tried = user.run(programs / "python", "-c", "import pharmcalc, nbgrader, jupyterlab; print(pharmcalc.__file__)")
    if str(packages) not in tried.stdout:
        raise CannotRunError(f"{user.name} cannot use the environment in {home}: {tried.stdout}{tried.stderr}")
    return programs


def _python_for(user: Person) -> Path:
    """Return a Python of the version at hand that ``user`` may start."""
    own = Path(getattr(sys, "_base_executable", sys.executable)).resolve()
    for found in (own, shutil.which(_version(), path=PROGRAMS)):
        try:
            if found and user.run(found, "-c", "import ssl, venv").returncode == 0:
                return Path(found)
        except OSError:  # it lies in a closed folder, such as root's home
            continue
    raise CannotRunError(
        f"Other users cannot start {own}, and no {_version()} that they can start was found in {PROGRAMS}. Make the "
        "environment with a Python of the system:  make clean && make PYTHON=/usr/bin/python3 exchange"
    )


def _link(source: str, target: str) -> str:
    """Lay a file there without copying its bytes, where the file system can; everybody may read it."""
    try:
        os.link(os.path.realpath(source), target)
    except OSError:
        shutil.copy2(source, target)
    if not Path(target).stat().st_mode & 0o004:
        raise CannotRunError(f"Other users cannot read {source}. Type:  chmod -R a+rX {sys.prefix}")
    return target


def _version() -> str:
    return f"python{sys.version_info.major}.{sys.version_info.minor}"


def _quietly(*words: str) -> None:
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    if done.returncode:
        raise CannotRunError(f"{' '.join(words)} failed:\n{done.stdout}{done.stderr}")
