"""Lay out the course inside the site: lessons and assignments as files, and the settings of the program around them."""

import json
from dataclasses import dataclass
from pathlib import Path

from pharmcalc.classroom.course_files import LESSONS, course_files
from tools.notebooks import KERNEL

ALIQUOTS = f"{LESSONS}/practise_aliquots.ipynb"
_WORDS = """# Practise aliquots

One aliquot plan at a time, judged at once. Type each amount with its unit after the equals sign, as you would write it
on paper, then press *Check my working*. *Fresh numbers* deals the next one. Nothing is kept: for a record of what you
have mastered, open [practice.ipynb](practice.ipynb)."""
_SET_UP = """# Set-up: the caution, and the card
from pharmcalc import notebook
from pharmcalc.widgets import practise

notebook.lesson()"""


@dataclass(frozen=True)
class Notebook:
    """A notebook of the site: where it lies, and its title."""

    path: str
    title: str


def files() -> dict[str, bytes]:
    """Return every lesson, the glossary, practice and the assignments; nothing of the instructor's, no solution."""
    lessons = {name: content for name, content in course_files().items() if name.startswith(f"{LESSONS}/")}
    return lessons | {ALIQUOTS: _aliquots()}


def lay_out(into: Path) -> None:
    """Write the files."""
    for name, content in files().items():
        path = into / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def notebooks(under: str) -> list[Notebook]:
    """Return the notebooks whose path begins so, in order."""
    return [
        Notebook(name, _title(content))
        for name, content in sorted(files().items())
        if name.startswith(under) and name.endswith(".ipynb")
    ]


def overrides() -> str:
    """Return JupyterLab's settings: no news, no updates, and Python is started without a question."""
    quiet = {"checkForUpdates": False, "fetchNews": "false"}
    start = {"autoStartDefaultKernel": True}
    return json.dumps(
        {"@jupyterlab/apputils-extension:notification": quiet, "@jupyterlab/notebook-extension:tracker": start}
    )


def _title(content: bytes) -> str:
    source = json.loads(content)["cells"][0]["source"]
    return "".join(source).partition("\n")[0].removeprefix("# ")


def _aliquots() -> bytes:
    """Return the notebook behind "Practise aliquots now": one card, its code folded away."""
    folded = {"jupyter": {"source_hidden": True}}
    code: dict[str, object] = {"cell_type": "code", "execution_count": None, "outputs": [], "metadata": folded}
    cells = [
        {"cell_type": "markdown", "id": "words", "metadata": {}, "source": _WORDS},
        code | {"id": "set-up", "source": _SET_UP},
        code | {"id": "card", "source": 'practise("aliquot-plan")'},
    ]
    return json.dumps({"cells": cells, "metadata": {"kernelspec": KERNEL}, "nbformat": 4, "nbformat_minor": 5}).encode()
