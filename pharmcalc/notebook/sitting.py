"""One assignment being filled in: what each cell of it shows. Texts in, something to read out; no IPython in here.

Nothing that a student types is run. Only in self-study, without a student number, is an answer called right or wrong.
"""

from collections.abc import Iterator

from pharmcalc.answers import AnswerSheet, read_answers, read_student_cell
from pharmcalc.errors import PharmcalcError
from pharmcalc.feedback import feedback_html, feedback_text
from pharmcalc.language import later, say, use
from pharmcalc.marking import mark_task
from pharmcalc.notebook.first_lines import PUT_BACK, owner_of
from pharmcalc.tasks.family import Family, Task, family_called
from pharmcalc.tasks.house import HouseRules, read_house_rules
from pharmcalc.tasks.papers import MODES, Issue, Paper
from pharmcalc.widgets.markup import Shown, heading, note, table

__all__ = ["Sitting"]

RUN_ALL = later("In the menu at the top, choose Run, then Run All Cells.")
SELF_STUDY = "self-study"
TYPE_NUMBER = later("Type your student number above, then run this cell again.")
NUMBER_MISSING = later(
    "Your student number is not there yet. To hand this in, type it after the equals sign, for example "
    "`student number = A-07`, and run this cell again (Shift and Enter)."
)
ON_YOUR_OWN = later(
    "Without a number this is self-study: the questions below have numbers for practice, marks and feedback come at "
    "once, and nothing counts. For fresh numbers, write another attempt."
)
NOT_YOURS = later(
    "Self-study: these are not the numbers of a student. To hand this in, type your student number above."
)
NO_RULES = later("The house rules have not been read yet.")
READ_ALOUD = later("This is how your lines were read.")
READ_ONLY = later("This is how your lines were read. Whether they are right comes with the marking.")
AT_THE_BENCH = later(
    "Work at the simulated bench below. Nothing is typed as an answer: "
    "the record of what you do is marked, step by step:"
)
NOT_YET = later("Not cleared yet. When you know why, take fresh numbers: under your number, write")
LONGEST_SHOWN = 60


class Sitting:
    """What one notebook knows so far: the house rules, the student, and the tasks."""

    def __init__(self, assignment: str, version: int, mode: str = MODES[0]) -> None:
        self.assignment, self.version, self.mode = assignment, version, mode
        self.house: HouseRules | None = None
        self.number: str | None = None
        self.attempt = 1
        self.misread = False
        self.families: dict[str, Family] = {}

    def is_of(self, assignment: str, version: int, mode: str = MODES[0]) -> bool:
        """Say whether this is a sitting of that assignment, version and mode."""
        return (self.assignment, self.version, self.mode) == (assignment, version, mode)

    def house_rules(self, text: str) -> Shown:
        """Read the house rules and show them; what cannot be read is told, and no other rules take their place."""
        self.house = None
        try:
            self.house = read_house_rules(text)
            use(self.house.habits)  # one notebook is one process: its widgets speak alike
        except PharmcalcError as problem:
            return _change(say("{problem} Your instructor can put this right.", problem=problem)).announced()
        return table(
            say("The house rules: answers are marked by these"), (say("Rule"), say("Here")), self.house.summary()
        )

    def student(self, text: str) -> Shown:
        """Read who the student is and which attempt this is, and show both with the code of the paper."""
        number, attempt, remarks = read_student_cell(text)
        self.number, self.attempt = number, attempt or 1
        self.misread = bool(remarks)
        rows = [(say("Student number"), number or say("not there yet")), (say("Attempt"), str(self.attempt))]
        paper = self._paper() if number else None
        if paper is not None:
            rows = [(say("Student number"), paper.student), rows[1], (say("Code of this paper"), paper.code)]
        shown = table(say("Read from this cell"), (say("What"), say("Read as")), rows)
        for remark in remarks:
            shown += _change(remark)
        return (shown + self._what_next(paper, misread=bool(remarks))).announced()

    def _what_next(self, paper: Paper | None, *, misread: bool) -> Shown:
        if self.number is None:
            return Shown("", "") if misread else _change(say(NUMBER_MISSING)) + note(say(ON_YOUR_OWN))
        if paper is None:
            return _change(f"{say(NO_RULES)} {say(RUN_ALL)}")
        if not self.families:
            return note(say("Your own questions come when the cells below are run. {run_all}", run_all=say(RUN_ALL)))
        return note(say("The questions below now have the numbers of {student}.", student=paper.student))

    def task(self, line: str) -> Shown:
        """Take in a task, from ``q1 least-weighable-quantity``, and show its question."""
        task_id, _, family_id = line.strip().partition(" ")
        try:
            self.families[task_id] = family_called(family_id.strip())
        except PharmcalcError as problem:
            return _change(say("{problem} Your instructor can put this right.", problem=problem))
        return self.question(task_id)

    def question(self, task_id: str) -> Shown:
        """Show a task's question with this student's own numbers, or what is still missing for it."""
        family = self.families[task_id]
        title = heading(
            say("{task_id}. {title} ({out_of} marks)", task_id=task_id, title=family.title, out_of=family.out_of)
        )
        if self.house is None:
            return title + _change(f"{say(NO_RULES)} {say(RUN_ALL)}")
        if self.number is None and self.misread:
            return title + _change(say(TYPE_NUMBER))
        if self.number is None:
            title += _change(say(NOT_YOURS))
        try:
            paper = self._paper(task_id)
        except PharmcalcError as problem:
            return title + _change(say("{problem} Your instructor can put this right.", problem=problem))
        assert paper is not None
        return title + _asked(paper.task(task_id))

    def at_the_bench(self, task_id: str) -> Task | None:
        """Return a task whose answer is a record of the simulated bench, once this student's own order is known."""
        family = self.families.get(task_id)
        if family is None or not family.recorded:
            return None
        try:
            paper = self._paper(task_id)
        except PharmcalcError:
            return None
        return None if paper is None else paper.task(task_id)

    @property
    def at_once(self) -> bool:
        """Whether the verdict comes with the answer: in practice, and without a student number."""
        return not self.misread and (self.number is None or self.mode != MODES[0])

    def answer(self, line: str, text: str, cell_id: str = "") -> Shown:
        """Read an answer cell and show how each line of it was read.

        line: what stands behind ``%%answer``. cell_id: the notebook's own name for the cell, where it is known; the
        cell is marked by that, whatever its first line says.
        """
        said, own = line.replace(PUT_BACK, "").strip(), owner_of(cell_id)
        task_id = own or said
        if task_id not in self.families:
            return self._unknown(task_id).announced()
        sheet = read_answers(text, self.families[task_id].asked)
        caption = say("{task_id}: how your lines were read", task_id=task_id)
        shown = table(caption, (say("Answer"), say("You typed"), say("Read as")), _read_back(sheet)) + note(
            self._read(), "soft"
        )
        shown += self._said_at_once(task_id, text, sheet)
        for remark in self._remarks(said, task_id, put_back=PUT_BACK in line):
            shown += _change(remark)
        return shown.announced()

    def _read(self) -> str:
        return say(READ_ALOUD) if self.at_once else say(READ_ONLY)

    def _said_at_once(self, task_id: str, text: str, sheet: AnswerSheet) -> Shown:
        """Return what the task held back until its amounts were answered, and in self-study the feedback."""
        at_once, nothing = self.at_once, Shown("", "")
        if self.families[task_id].shown_later is None and not at_once:
            return nothing
        try:
            paper = self._paper(task_id)
        except PharmcalcError:
            return nothing
        if paper is None:
            return nothing
        task = paper.task(task_id)
        later = task.now_to_be_shown(sheet.answered)
        shown = note(later) if later else nothing
        if not at_once or not sheet.answered or (later and not sheet.complete):
            return shown
        mark = mark_task(task, text)
        shown += Shown(feedback_text(mark), feedback_html(mark))
        if self.mode == "clearance" and sheet.complete and not mark.cleared:
            shown += note(f"{say(NOT_YET)} {say('attempt')} = {self.attempt + 1}")
        return shown

    def _remarks(self, said: str, task_id: str, *, put_back: bool) -> Iterator[str]:
        if put_back:
            yield say(
                "The first line of this cell is gone; it was read all the same. Type it again: `%%answer {task_id}`",
                task_id=task_id,
            )
        elif said != task_id:
            yield say(
                'This cell belongs to {task_id}, but its first line says "{said}". It is marked as {task_id}. '
                "Make the first line: `%%answer {task_id}`",
                task_id=task_id,
                said=_short(said),
            )
        if self.number is None and (self.house is None or self.misread):  # else the question says that it is self-study
            yield say("Your student number is still missing. Type it above, in the cell that begins with `%%student`.")

    def _unknown(self, task_id: str) -> Shown:
        if not self.families:
            return _change(say("The questions have not been shown yet. {run_all}", run_all=say(RUN_ALL)))
        known = ", ".join(self.families)
        wrong = (
            say('There is no task "{task_id}" here.', task_id=_short(task_id))
            if task_id
            else say("The first line does not name its task.")
        )
        return _change(
            say(
                "{wrong} The tasks are: {known}. Write, for example, `%%answer {families}`",
                wrong=wrong,
                known=known,
                families=next(iter(self.families)),
            )
        )

    def _paper(self, *task_ids: str) -> Paper | None:
        """Return this student's paper with these tasks, or one for self-study; None without the house rules."""
        if self.house is None or self.misread:
            return None
        tasks = tuple((task_id, self.families[task_id].id) for task_id in task_ids)
        return Issue(self.assignment, self.version, "", tasks, self.house).paper(
            self.number or SELF_STUDY, self.attempt
        )


def _asked(task: Task) -> Shown:
    if task.family.recorded:
        return note(f"{say(AT_THE_BENCH)} {', '.join(task.asked_text())}.")
    lines = [task.question_text(), say("Find:"), *(f"- {line}" for line in task.asked_text())]
    return Shown("\n".join(lines), task.question_html())


def _read_back(sheet: AnswerSheet) -> Iterator[tuple[str, str, str]]:
    for line in sheet.lines.values():
        yield line.asked.said, _short(line.text), line.read_back()
    for text, reason in sheet.stray:
        yield say("left out"), _short(text), reason


def _change(words: str) -> Shown:
    """Return a note about something that the reader has to change."""
    return note(words, "change")


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 3] + "..."
