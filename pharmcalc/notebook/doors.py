"""The two lines that a notebook's set-up cell calls."""

from typing import TYPE_CHECKING

from pharmcalc.caution import CAUTION
from pharmcalc.errors import CourseError
from pharmcalc.language import NEUTRAL, Habits, later, say, use
from pharmcalc.notebook.sitting import Sitting
from pharmcalc.tasks.papers import MODES
from pharmcalc.widgets.markup import Shown, heading, listed, note

if TYPE_CHECKING:
    from IPython.core.interactiveshell import InteractiveShell

__all__ = ["begin", "habits", "lesson"]

STEPS = (
    later("Type your student number into the cell that begins with `%%student`, after the equals sign."),
    later("In the menu at the top, choose Run, then Run All Cells. Your own questions appear."),
    later(
        "Write each answer after its equals sign, with its unit. Run the cell (Shift and Enter): it shows how each "
        "line was read. Whether it is right comes with the marking."
    ),
    later("Save the notebook (File, then Save Notebook) and hand it in."),
)


STEPS_AT_ONCE = (
    *STEPS[:2],
    later(
        "Write each answer after its equals sign, with its unit. Run the cell (Shift and Enter): it shows how each "
        "line was read, and at once whether it is right."
    ),
    later("For fresh numbers, write the next attempt under your number and run all cells again."),
    STEPS[-1],
)


def habits(language: str = NEUTRAL.language, decimal_mark: str = NEUTRAL.decimal_mark) -> None:
    """Choose how the cards and pictures of this notebook speak: ``notebook.habits("de", "comma")``.

    An assignment needs no such line: its house rules say it. Raises RefusedError with the languages there are.
    """
    use(Habits(language, decimal_mark))


def lesson() -> None:
    """Open a lesson with the caution."""
    from pharmcalc.notebook.magics import show  # here: only a notebook has IPython

    show(note(say(CAUTION), "caution"))


def begin(assignment: str, version: int = 1, mode: str = "test") -> None:
    """Begin an assignment: from here on the notebook knows the four magic lines, and says what to do.

    assignment: its name. version: the version that was issued. mode: "test" (verdicts come with the marking),
    "practice" (at once) or "clearance" (at once, with fresh numbers until it is cleared). Running it again loses
    nothing. Raises CourseError outside a notebook.
    """
    shell = _shell()
    if shell is None:
        raise CourseError(
            say("notebook.begin: there is no notebook here. Open the assignment in JupyterLab and run it there.")
        )
    from pharmcalc.notebook.magics import Magics  # here: only a notebook has IPython

    magics = Magics.of(shell)
    if magics is None or not magics.sitting.is_of(assignment, version, mode):
        if magics is not None:
            magics.remove()
        magics = Magics(shell, Sitting(assignment, version, mode))
        magics.install()
    magics.open(lambda: _opening(assignment, mode))


def _opening(assignment: str, mode: str) -> Shown:
    """Return what stands at the top of an assignment: the steps and the cautions."""
    steps = STEPS if mode == MODES[0] else STEPS_AT_ONCE
    title = heading(say("Assignment {assignment}", assignment=assignment))
    return title + listed(say(step) for step in steps) + note(say(CAUTION), "caution")


def _shell() -> "InteractiveShell | None":
    """Return the running IPython, if there is one."""
    try:
        from IPython.core.getipython import get_ipython
    except ImportError:
        return None
    return get_ipython()
