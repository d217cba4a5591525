"""The practice card on the screen: a thin view that asks the card and shows what it says."""

from pharmcalc.language import later, say
from pharmcalc.widgets.controls import Card, button, buttons, live, page, text_area, write
from pharmcalc.widgets.markup import heading, note
from pharmcalc.widgets.practice import PracticeCard

__all__ = ["PracticeView"]

SHOW, HIDE = later("Show the working"), later("Hide the working")


class PracticeView(Card):
    """A practice card: question, box for the answer, three buttons, verdict, working.

    What was typed stays when it is checked. Fresh numbers ask nothing; they clear the answer and the verdict.
    """

    def __init__(self, card: PracticeCard) -> None:
        self.card = card
        self.question = page()
        self.answer = text_area(say("Your answer"), card.form, rows=max(3, len(card.task.asked) + 1))
        self.check = button(say("Check my working"), self._check, first=True)
        self.show = button(say(SHOW), self._show)
        self.fresh = button(say("Fresh numbers"), self._fresh)
        self.verdict, self.working = live(), live()
        row = buttons(self.check, self.show, self.fresh)
        parts = [page(heading(card.family.title).html), self.question, self.answer, row, self.verdict, self.working]
        super().__init__(parts, lambda: f"{card.family.title}\n\n{card.question}")
        self._ask()

    def _ask(self) -> None:
        write(self.question, self.card.question_html())
        self.answer.value = self.card.form
        self.show.description = say(SHOW)
        write(self.working, "")

    def _check(self) -> None:
        write(self.verdict, self.card.verdict_html(self.answer.value))

    def _show(self) -> None:
        shown = self.show.description == say(HIDE)
        self.show.description = say(SHOW) if shown else say(HIDE)
        write(self.working, "" if shown else self.card.task.working().html())

    def _fresh(self) -> None:
        self.card.fresh()
        self._ask()
        write(
            self.verdict,
            note(say("Fresh numbers: card {number}. The question has changed.", number=self.card.number), "soft").html,
        )
