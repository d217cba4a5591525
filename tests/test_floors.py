"""The house stands: a room uses only rooms below it, and the ground floors need no heavy library."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests.rooms import PACKAGE, floor

HEAVY = (
    "numpy",
    "ipywidgets",
    "IPython",
    "nbgrader",
    "nbformat",
    "nbconvert",
    "jinja2",
    "matplotlib",
    "weasyprint",
    "pypdf",
    "click",
    "rich",
)


def modules() -> list[Path]:
    """Return every module of the library."""
    return sorted(path for path in PACKAGE.rglob("*.py") if path != PACKAGE / "__init__.py")


def imported(path: Path) -> set[str]:
    """Return every module that a file imports, at its head or inside a function."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = {f"{node.module}.{alias.name}" for alias in node.names} if node.module == "pharmcalc" else set()
            found |= names or {node.module}
    return found


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_room_uses_only_rooms_on_its_own_floor_or_below(path: Path) -> None:
    """A room of the mathematics knows no question, and a question knows no widget."""
    room = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
    used = {name.split(".")[1] for name in imported(path) if name.startswith("pharmcalc.")}
    too_high = sorted(other for other in used if (PACKAGE / other).exists() or (PACKAGE / f"{other}.py").exists())
    assert [other for other in too_high if floor(other) > floor(room)] == []


def test_the_three_lower_floors_work_where_nothing_but_pint_and_lark_is_installed() -> None:
    """A task is drawn, answered and marked with numpy, ipywidgets, IPython, nbgrader and the like out of reach."""
    program = f"""
import sys
class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {HEAVY!r}:
            raise ModuleNotFoundError(name)
sys.meta_path.insert(0, Refuse())
from pharmcalc.feedback import feedback_text
from pharmcalc.marking import mark_task
from pharmcalc.tasks.family import FAMILIES, family_called
from pharmcalc.tasks.house import read_house_rules
import pharmcalc.tasks.papers
[*FAMILIES.values()]  # loads every subject
task = family_called("aliquot-plan").task("q1", "floors", read_house_rules())
print(feedback_text(mark_task(task, task.answer_lines())))
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert "Marks: 12 of 12" in done.stdout
