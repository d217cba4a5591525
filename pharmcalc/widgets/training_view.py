"""Practice without end on the screen: a thin view that asks the training and shows what it says."""

import ipywidgets

from pharmcalc.language import later, say
from pharmcalc.widgets.controls import Card, button, buttons, live, page, write
from pharmcalc.widgets.markup import heading, note
from pharmcalc.widgets.practice_view import PracticeView
from pharmcalc.widgets.training import Training

__all__ = ["TrainingView"]


ERASE, SURE = later("Erase my record"), later("Yes, erase it")


class TrainingView(Card):
    """A chooser of subjects, the card in hand, and the learner's record."""

    def __init__(self, training: Training) -> None:
        self.training = training
        self.subject = ipywidgets.Dropdown(
            options=[(say(one), one) for one in training.subjects()], description=say("Practise")
        )
        self.subject.add_class("pc-choice")
        self.subject.observe(self._choose, "value")
        self.why, self.stands = live(), live()
        self.next = button(say("Next card"), self._next)
        self.record = button(say("Show my record"), self._record)
        self.place = ipywidgets.VBox([])
        self.export = button(say("Save my record as a table"), self._export)
        self.erase = button(say(ERASE), self._erase)
        row = buttons(self.next, self.record, self.export, self.erase)
        title = page(heading(say("Practice without end")).html)
        super().__init__([title, self.subject, self.why, self.place, row, self.stands], self._in_words)
        self._deal()

    def _in_words(self) -> str:
        return say("Practice without end\n\n{question}", question=self.training.card.question)

    def _deal(self) -> None:
        write(self.why, note(say("Chosen for you: {why}", why=self.training.why), "soft").html)
        self.place.children = (PracticeView(self.training.card),)
        write(self.stands, "")

    def _choose(self, change: object = None) -> None:
        self.training.choose(self.subject.value)
        self._deal()

    def _next(self) -> None:
        self.training.fresh()
        self._deal()

    def _record(self) -> None:
        self.erase.description = say(ERASE)
        write(self.stands, self.training.standing_html())

    def _export(self) -> None:
        path = self.training.export()
        write(
            self.stands,
            note(
                say("Your record stands in {name}, beside this notebook. A spreadsheet opens it.", name=path.name)
            ).html,
        )

    def _erase(self) -> None:
        if self.erase.description == say(ERASE):
            self.erase.description = say(SURE)
            write(
                self.stands,
                note(say("Your whole record will be gone. To do it, press {sure}.", sure=say(SURE)), "change").html,
            )
            return
        self.training.erase()
        self.erase.description = say(ERASE)
        self._deal()
        write(self.stands, note(say("Your record is empty. A new one begins with the next verdict.")).html)
