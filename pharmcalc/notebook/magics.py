"""The thin layer over IPython: four magic lines, and cures where they cannot be reached."""

from collections.abc import Callable
from html import escape
from typing import TYPE_CHECKING, Any

from IPython.core.error import UsageError
from IPython.display import display

from pharmcalc.language import later, say
from pharmcalc.notebook.first_lines import cure, mended
from pharmcalc.notebook.sitting import Sitting
from pharmcalc.widgets.markup import Shown

if TYPE_CHECKING:
    from IPython.core.interactiveshell import ExecutionInfo

    from pharmcalc.notebook.bench_place import BenchPlace

__all__ = ["Magics", "show"]

MARKS_COME_LATER = later("Your marks for this task will stand here after the marking.")

Shell = Any  # an InteractiveShell, which tells its types only in part


def show(shown: Shown) -> None:
    """Show something below the running cell."""
    display(shown.bundle(), raw=True)  # type: ignore[no-untyped-call]  # IPython does not tell its types


class Magics:
    """The magic lines of one notebook. They hand texts to the sitting and show what it says."""

    def __init__(self, shell: Shell, sitting: Sitting) -> None:
        self.shell, self.sitting = shell, sitting
        self._questions: dict[str, Any] = {}  # the question of each task, as it stands on the screen
        self._benches: dict[str, BenchPlace] = {}
        self._student: tuple[Any, str] | None = None  # what the student cell shows on the screen, and its text
        self._opening: tuple[Any, Callable[[], Shown]] | None = None
        self._source = ""

    @staticmethod
    def of(shell: Shell) -> "Magics | None":
        """Return the magic lines that a notebook has already, if any."""
        owner = getattr(shell.find_cell_magic("answer"), "__self__", None)
        return owner if isinstance(owner, Magics) else None

    def install(self) -> None:
        """Give the notebook the magic lines and the cures."""
        for name in ("house_rules", "student", "answer"):
            self.shell.register_magic_function(getattr(self, name), "cell", name)
        self.shell.register_magic_function(self.task, "line", "task")
        self.shell.input_transformers_cleanup.append(self.mend)
        self.shell.events.register("pre_run_cell", self.remember)
        self.shell.set_custom_exc((SyntaxError, UsageError), self.trouble)
        self._written_numbers().for_type(int, self.place_for_marks)

    def remove(self) -> None:
        """Make room for another assignment in the same notebook; its magic lines take the place of these."""
        self.shell.input_transformers_cleanup.remove(self.mend)
        self.shell.events.unregister("pre_run_cell", self.remember)
        self._written_numbers().pop(int, None)

    def open(self, opening: Callable[[], Shown]) -> None:
        """Show what stands at the top; it is said anew once the house rules tell the language."""
        handle: Any = display(opening().bundle(), raw=True, display_id=True)  # type: ignore[no-untyped-call]
        self._opening = handle, opening

    def house_rules(self, line: str, cell: str) -> None:
        """``%%house_rules``: read the house rules below it."""
        show(self.sitting.house_rules(cell))
        if self._opening is not None:
            handle, opening = self._opening
            handle.update(opening().bundle(), raw=True)
        self._greet_again()
        self._ask_again()

    def student(self, line: str, cell: str) -> None:
        """``%%student``: read the number and the attempt below it."""
        bundle = self.sitting.student(cell).bundle()
        handle: Any = display(bundle, raw=True, display_id=True)  # type: ignore[no-untyped-call]
        self._student = handle, cell
        self._ask_again()

    def answer(self, line: str, cell: str) -> None:
        """``%%answer q1``: show how the lines below it are read."""
        show(self.sitting.answer(line, cell, self._cell_id()))

    def task(self, line: str) -> None:
        """``%task q1 family``: show the student's own question."""
        is_first = not self.sitting.families
        bundle = self.sitting.task(line).bundle()
        handle: Any = display(bundle, raw=True, display_id=True)  # type: ignore[no-untyped-call]
        task_id = line.split()[0] if line.split() else ""
        self._questions[task_id] = handle
        if task_id in self.sitting.families and self.sitting.families[task_id].recorded:
            from pharmcalc.notebook.bench_place import BenchPlace  # here: most assignments need no widget

            self._benches[task_id] = BenchPlace(task_id)
            self._benches[task_id].show(self.sitting)
            display(self._benches[task_id].box)  # type: ignore[no-untyped-call]
        if is_first and self.sitting.families:
            self._greet_again()

    def _greet_again(self) -> None:
        """Say anew in the student cell what comes next, after the rules are read or the first question is there.

        In a run of all cells the student cell comes before the questions, and would go on saying that they are missing.
        """
        if self._student is not None:
            handle, text = self._student
            handle.update(self.sitting.student(text).bundle(), raw=True)

    def _ask_again(self) -> None:
        """Show the questions that stand below anew, after the student or the rules have changed."""
        for task_id, handle in self._questions.items():
            if task_id in self.sitting.families:
                handle.update(self.sitting.question(task_id).bundle(), raw=True)
        for place in self._benches.values():
            place.show(self.sitting)

    def mend(self, lines: list[str]) -> list[str]:
        """Put our first line on top of a cell before IPython looks at it."""
        return mended(lines, self._cell_id())

    def remember(self, info: "ExecutionInfo") -> None:
        """Keep the text of the cell that is about to run, for :meth:`trouble`."""
        self._source = str(info.raw_cell)

    def trouble(self, shell: object, kind: type, problem: Exception, trace: Any, tb_offset: int | None = None) -> None:
        """Show the cure in place of a traceback."""
        said = problem.msg if isinstance(problem, SyntaxError) else str(problem)
        show(cure(self._source, self._cell_id(), self.sitting.families, said or say("it is no text of ours")))

    def place_for_marks(self, number: int) -> str | None:
        """Return what a mark cell shows in place of its bare 0; nbgrader goes on reading the 0 itself."""
        return f"<p>{escape(say(MARKS_COME_LATER))}</p>" if number == 0 and self._source.strip() == "0" else None

    def _written_numbers(self) -> Any:
        """Return IPython's way of writing a value as HTML."""
        return self.shell.display_formatter.formatters["text/html"]

    def _cell_id(self) -> str:
        """Return the id of the running cell where the notebook tells it (JupyterLab does), else an empty text."""
        parent: dict[str, Any] = getattr(self.shell, "get_parent", dict)() or {}
        return str(parent.get("metadata", {}).get("cellId") or "")
