"""Practice without end: choose a subject or let the record choose, answer a fresh card, be judged at once."""

from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from pharmcalc.language import later, say
from pharmcalc.marking import TaskMark
from pharmcalc.mastery import Mastery
from pharmcalc.tasks.family import Family, typed_families
from pharmcalc.tasks.house import HouseRules
from pharmcalc.widgets.markup import note, table
from pharmcalc.widgets.practice import PracticeCard

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Card

__all__ = ["RECORD", "Training", "train"]

RECORD = "practice-record.sqlite3"
WHATEVER = later("What I need most")


class Training:
    """A run of practice cards that a record chooses, without a screen."""

    def __init__(self, record: str | Path = RECORD, *, house: HouseRules | None = None) -> None:
        self.mastery, self.house = Mastery(record), house
        self.subject, self.why = "", ""
        self.card = self._next()

    @staticmethod
    def subjects() -> list[str]:
        """Return what can be chosen: whatever is needed most, or one subject."""
        return [WHATEVER, *sorted({family.subject for family in typed_families()})]

    def choose(self, subject: str) -> None:
        """Practise one subject from now on, or whatever is needed most."""
        self.subject = "" if subject == WHATEVER else subject
        self.card = self._next()

    def fresh(self) -> None:
        """Take the next card."""
        self.card = self._next()

    def standing_html(self) -> str:
        """Return how everything tried so far stands, and the mistakes made most often."""
        tried = [one for one in self.mastery.standings() if one.answered]
        if not tried:
            return note(
                say("Nothing answered yet. The first verdict on each card is kept in your record."), "soft"
            ).html
        stands = table(
            say("Your record"),
            (say("Subject"), say("How it stands")),
            [(say(one.family.subject), one.says()) for one in tried],
        )
        often = [
            (name, say("{count} times", count=count) if count > 1 else say("once"))
            for name, count in self.mastery.frequent_mistakes()
        ]
        return stands.html + (
            table(say("Mistakes to look at again"), (say("Mistake"), say("How often")), often).html if often else ""
        )

    def export(self) -> Path:
        """Write the record as a table (CSV) beside itself, and return where."""
        path = self.mastery.path.with_suffix(".csv")
        path.write_text(self.mastery.export(), encoding="utf-8")
        return path

    def erase(self) -> None:
        """Erase the record for good, and begin anew."""
        self.mastery.erase()
        self.card = self._next()

    def _next(self) -> PracticeCard:
        suggestion = self.mastery.next(self.subject)
        self.why = suggestion.why
        seen = self.mastery.cards(suggestion.family)
        number = next(number for number in count(1) if _card(suggestion.family, number) not in seen)
        return PracticeCard(suggestion.family.id, key="training", house=self.house, number=number, judged=self._record)

    def _record(self, mark: TaskMark) -> None:
        """Keep the verdict, unless a line could not be read: that is put right first, and costs nothing."""
        if not any(line.problem for line in mark.sheet.lines.values()):
            self.mastery.record(_card(mark.task.family, self.card.number), mark)


def _card(family: Family, number: int) -> str:
    return f"{family.id} {number}"


def train(record: str | Path = RECORD, *, house: HouseRules | None = None) -> "Card":
    """Return practice without end as a widget: a subject, a card, its verdict, and your record.

    record: the file that your record is kept in, beside the notebook. house: the house rules; those that come with the
    course where none are given.
    """
    from pharmcalc.widgets.training_view import TrainingView  # here: training itself works without ipywidgets

    return TrainingView(Training(record, house=house))
