"""Tell Python in the browser which packages there are: a list of our wheels in the form that Pyodide reads.

Pyodide comes with a list of some 350 packages that it would fetch from another host. In its place stands a list of the
wheels that lie beside it and nothing else: so nothing is fetched from elsewhere, and what is not there (numpy) is
missing in the plain way, with a ModuleNotFoundError.
"""

import json
import shutil
import subprocess
import sys
import tempfile
from email.message import Message
from email.parser import HeaderParser
from hashlib import sha256
from pathlib import Path
from typing import Any
from zipfile import ZipFile, ZipInfo

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tools.notebooks import PROJECT
from tools.site.parts import PYTHON

IN_THE_BROWSER = {
    "python_version": PYTHON,
    "python_full_version": f"{PYTHON}.0",
    "sys_platform": "emscripten",
    "platform_system": "Emscripten",
    "os_name": "posix",
    "extra": "",
}


def own_wheel(into: Path) -> Path:
    """Build a wheel of the library alone: lessons lie in the site as files, and solutions do not belong there."""
    with tempfile.TemporaryDirectory() as name:
        source = Path(name) / "source"
        source.mkdir()
        for file in ("pyproject.toml", "README.md", "LICENSE"):
            shutil.copy(PROJECT / file, source)
        left_out = shutil.ignore_patterns("__pycache__", "classroom", "sheets", "pages")
        shutil.copytree(PROJECT / "pharmcalc", source / "pharmcalc", ignore=left_out)
        words = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(into)]
        subprocess.run(words, cwd=source, check=True, capture_output=True)
    (wheel,) = into.glob("pharmcalc-*.whl")
    return wheel


def stand_in(name: str, into: Path) -> Path:
    """Write a package without anything in it, for one that is asked for by name and not needed.

    JupyterLite's kernel insists on jedi, which completes code: five thousand files and a fifth of the waiting time at
    the start. Nobody programs here, and IPython completes names without it.
    """
    about = f"{name}-0.dist-info"
    files = {
        f"{about}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: 0\nSummary: a stand-in, empty\n",
        f"{about}/WHEEL": "Wheel-Version: 1.0\nGenerator: pharmcalc\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    files[f"{about}/RECORD"] = "".join(f"{file},,\n" for file in (*files, f"{about}/RECORD"))
    wheel = into / f"{name}-0-py3-none-any.whl"
    with ZipFile(wheel, "w") as archive:
        for file, text in files.items():
            archive.writestr(ZipInfo(file), text)
    return wheel


def lock_text(shipped: Path, wheels: list[Path]) -> str:
    """Return the list of packages.

    shipped: the list that came with Pyodide; it says for which Python it is. wheels: what there is.
    """
    entries = {str(entry["name"]): entry for entry in map(_entry, sorted(wheels))}
    for entry in entries.values():
        entry["depends"] = [name for name in entry["depends"] if name in entries]
    info = json.loads(shipped.read_text(encoding="utf-8"))["info"]
    return json.dumps({"info": info, "packages": entries}, indent=1, sort_keys=True)


def _entry(wheel: Path) -> dict[str, Any]:
    with ZipFile(wheel) as file:
        names = file.namelist()
        about = next(name for name in names if name.endswith(".dist-info/METADATA"))
        metadata = HeaderParser().parsestr(file.read(about).decode())
    tops = {name.partition("/")[0].removesuffix(".py") for name in names if name.endswith(".py")}
    return {
        "name": canonicalize_name(metadata["Name"]),
        "version": metadata["Version"],
        "file_name": wheel.name,
        "sha256": sha256(wheel.read_bytes()).hexdigest(),
        "install_dir": "site",
        "package_type": "package",
        "imports": sorted(name for name in tops if name.isidentifier()),
        "depends": _needs(metadata),
        "unvendored_tests": False,
    }


def _needs(metadata: Message) -> list[str]:
    asked = map(Requirement, metadata.get_all("Requires-Dist", []))
    return sorted(
        {canonicalize_name(one.name) for one in asked if one.marker is None or one.marker.evaluate(IN_THE_BROWSER)}
    )
