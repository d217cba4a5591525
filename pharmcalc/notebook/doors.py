"""The two lines that a notebook's set-up cell calls."""

from typing import TYPE_CHECKING

from pharmcalc.caution import CAUTION
from pharmcalc.errors import CourseError
from pharmcalc.notebook.sitting import Sitting
from pharmcalc.tasks.papers import MODES
from pharmcalc.widgets.markup import heading, listed, note

if TYPE_CHECKING:
    from IPython.core.interactiveshell import InteractiveShell

__all__ = ["begin", "lesson"]

STEPS = (
    "Type your student number into the cell that begins with `%%student`, after the equals sign.",
    "In the menu at the top, choose Run, then Run All Cells. Your own questions appear.",
    "Write each answer after its equals sign, with its unit. Run the cell (Shift and Enter): it shows how each line "
    "was read. Whether it is right comes with the marking.",
    "Save the notebook (File, then Save Notebook) and hand it in.",
)


STEPS_AT_ONCE = (
    *STEPS[:2],
    "Write each answer after its equals sign, with its unit. Run the cell (Shift and Enter): it shows how each line "
    "was read, and at once whether it is right.",
    "For fresh numbers, write the next attempt under your number and run all cells again.",
    STEPS[-1],
)


def lesson() -> None:
    """Open a lesson with the caution."""
    from pharmcalc.notebook.magics import show  # here: only a notebook has IPython

    show(note(CAUTION, "caution"))


def begin(assignment: str, version: int = 1, mode: str = "test") -> None:
    """Begin an assignment: from here on the notebook knows the four magic lines, and says what to do.

    assignment: its name. version: the version that was issued. mode: "test" (verdicts come with the marking),
    "practice" (at once) or "clearance" (at once, with fresh numbers until it is cleared). Running it again loses
    nothing. Raises CourseError outside a notebook.
    """
    shell = _shell()
    if shell is None:
        raise CourseError(
            "notebook.begin: there is no notebook here. Open the assignment in JupyterLab and run it there."
        )
    from pharmcalc.notebook.magics import Magics, show  # here: only a notebook has IPython

    there = Magics.of(shell)
    if there is None or not there.sitting.is_of(assignment, version, mode):
        if there is not None:
            there.remove()
        Magics(shell, Sitting(assignment, version, mode)).install()
    steps = STEPS if mode == MODES[0] else STEPS_AT_ONCE
    show(heading(f"Assignment {assignment}") + listed(steps) + note(CAUTION, "caution"))


def _shell() -> "InteractiveShell | None":
    """Return the running IPython, if there is one."""
    try:
        from IPython.core.getipython import get_ipython
    except ImportError:
        return None
    return get_ipython()
