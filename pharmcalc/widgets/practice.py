"""Practice cards: a question with fresh numbers as often as wanted, marked at once as an assignment is.

:class:`PracticeCard` is the whole card without a screen; ``practise`` puts a thin widget on it.
"""

from collections.abc import Callable
from html import escape
from typing import TYPE_CHECKING

from pharmcalc.errors import RefusedError
from pharmcalc.feedback import feedback_html
from pharmcalc.language import later, say
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Family, Task, family_called
from pharmcalc.tasks.house import HouseRules, read_house_rules
from pharmcalc.widgets.markup import note, table

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Card

__all__ = ["PracticeCard", "practise"]


WRITTEN_DOWN = later("Every amount is answered. The verdict comes with the last line.")
MOST_ALIKE = 100  # a kind of task has more numbers than this can miss


class PracticeCard:
    """One kind of task, drawn again and again: card number 1, 2, 3 ... of a key. The same key gives the same cards."""

    def __init__(
        self,
        family_id: str,
        *,
        key: str = "practice",
        house: HouseRules | None = None,
        number: int = 1,
        judged: Callable[[TaskMark], None] = lambda mark: None,
    ) -> None:
        self.family: Family = family_called(family_id)
        if self.family.recorded:
            raise RefusedError(
                "practice card", f"{family_id} is worked at the simulated bench.", f'Use bench("{family_id}").'
            )
        self.key, self.house = key, house or read_house_rules()
        self.number, self.judged = number, judged
        self.task: Task = self._drawn()

    def fresh(self) -> None:
        """Take the next numbers that are not the same as these."""
        before = self.question
        for _ in range(MOST_ALIKE):
            self.number += 1
            self.task = self._drawn()
            if self.question != before:
                return

    @property
    def question(self) -> str:
        """The question and what is asked for, in plain text."""
        return "\n".join([self.task.question_text(), "", say("Find:"), *self.task.asked_text()])

    @property
    def form(self) -> str:
        """The labels of the answers, ready to be filled in."""
        return "\n".join(f"{asked.said} = " for asked in self.task.asked)

    def check(self, text: str) -> TaskMark:
        """Mark what was typed. Never raises on any text, and runs none of it."""
        return mark_task(self.task, text)

    def verdict_html(self, text: str) -> str:
        """Return the feedback on what was typed; on an empty card, what to do."""
        mark = self.check(text)
        if (now := self.task.now_to_be_shown(mark.sheet.answered)) and not mark.sheet.complete:
            return note(f"{say(WRITTEN_DOWN)}\n{now}").html
        if mark.sheet.stray or any(line.text for line in mark.sheet.lines.values()):
            self.judged(mark)
            return feedback_html(mark, working=False)
        first = self.task.asked[0]
        return note(
            say(
                "Nothing to check yet. Write each answer after its equals sign, with its unit: "
                "`{said} = {example}` shows how it is written.",
                said=first.said,
                example=first.example,
            )
        ).html

    def question_html(self) -> str:
        """Return the question as HTML, with the house rules folded below it where a plan is asked for."""
        if self.task.limits is None:
            return self.task.question_html()
        rules = table(say("What this lab allows"), (say("Rule"), say("Here")), self.house.summary()).html
        summary = escape(say("House rules"))
        return f"{self.task.question_html()}<details><summary>{summary}</summary>{rules}</details>"

    def _drawn(self) -> Task:
        return self.family.task("practice", f"practice|{self.key}|{self.number}", self.house)


def practise(family_id: str, *, key: str = "practice", house: HouseRules | None = None) -> "Card":
    """Return a practice card as a widget: question, a box for the answer, and its verdict.

    family_id: the kind of task, for example ``least-weighable-quantity``. key: another key gives other numbers. house:
    the house rules; those that come with the course where none are given.
    """
    from pharmcalc.widgets.practice_view import PracticeView  # here: the card itself works without ipywidgets

    return PracticeView(PracticeCard(family_id, key=key, house=house))
