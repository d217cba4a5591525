"""Practice without end on the screen: a thin view that asks the training and shows what it says."""

import ipywidgets

from pharmcalc.widgets.controls import Card, button, buttons, live, page, write
from pharmcalc.widgets.markup import heading, note
from pharmcalc.widgets.practice_view import PracticeView
from pharmcalc.widgets.training import Training

__all__ = ["TrainingView"]


ERASE, SURE = "Erase my record", "Yes, erase it"


class TrainingView(Card):
    """A chooser of subjects, the card in hand, and the learner's record."""

    def __init__(self, training: Training) -> None:
        self.training = training
        self.subject = ipywidgets.Dropdown(options=training.subjects(), description="Practise")
        self.subject.add_class("pc-choice")
        self.subject.observe(self._choose, "value")
        self.why, self.stands = live(), live()
        self.next = button("Next card", self._next)
        self.record = button("Show my record", self._record)
        self.place = ipywidgets.VBox([])
        self.export = button("Save my record as a table", self._export)
        self.erase = button(ERASE, self._erase)
        row = buttons(self.next, self.record, self.export, self.erase)
        title = page(heading("Practice without end").html)
        super().__init__([title, self.subject, self.why, self.place, row, self.stands], self._in_words)
        self._deal()

    def _in_words(self) -> str:
        return f"Practice without end\n\n{self.training.card.question}"

    def _deal(self) -> None:
        write(self.why, note(f"Chosen for you: {self.training.why}", "soft").html)
        self.place.children = (PracticeView(self.training.card),)
        write(self.stands, "")

    def _choose(self, change: object = None) -> None:
        self.training.choose(self.subject.value)
        self._deal()

    def _next(self) -> None:
        self.training.fresh()
        self._deal()

    def _record(self) -> None:
        self.erase.description = ERASE
        write(self.stands, self.training.standing_html())

    def _export(self) -> None:
        path = self.training.export()
        write(
            self.stands, note(f"Your record stands in {path.name}, beside this notebook. A spreadsheet opens it.").html
        )

    def _erase(self) -> None:
        if self.erase.description == ERASE:
            self.erase.description = SURE
            write(self.stands, note(f"Your whole record will be gone. To do it, press {SURE}.", "change").html)
            return
        self.training.erase()
        self.erase.description = ERASE
        self._deal()
        write(self.stands, note("Your record is empty. A new one begins with the next verdict.").html)
