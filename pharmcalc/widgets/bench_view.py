"""The simulated bench on the screen: a thin view that hands each button pressed to the card and shows what it says."""

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets

from pharmcalc.bench import AMOUNTS, REASONS, SIMULATED, TURNS, VESSELS
from pharmcalc.language import capital, later, say
from pharmcalc.tasks.house import HouseRules
from pharmcalc.widgets.bench import BenchCard, practice_task
from pharmcalc.widgets.controls import Card, button, buttons, live, page, text_area, write
from pharmcalc.widgets.markup import heading, note

__all__ = ["BenchView"]

SHOW, HIDE = later("Show what was done"), later("Hide what was done")
AGAIN, SURE = later("Start again"), later("Yes, start again")


class BenchView(Card):
    """The bench: order, picture, display, what was said, and the buttons in the order of the routine.

    ``judged``: whether the verdict may be asked for once the work is finished. ``fresh``: returns the card of another
    order, where there is one.
    """

    def __init__(self, card: BenchCard, *, judged: bool = True, fresh: Callable[[], BenchCard] | None = None) -> None:
        self.card, self._fresh = card, fresh
        self.question, self.picture, self.display = page(), page(), page()
        self.said, self.more = live(), live()
        self.said.add_class("pc-said")
        self.record = text_area(say("Weighing record"), card.form(), rows=6)
        self.initials = ipywidgets.Text(description=say("Your initials"))
        self.initials.add_class("pc-short")
        self.again = button(say(AGAIN), self._again)
        self.show = button(say(SHOW), self._show)
        rows = [
            _row(
                say("Balance"),
                self._chooser(say("Balance"), self._balances(), "use balance", say("Go to {}")),
                self._button(say("Switch on"), "switch on"),
                self._button(say("Wait half an hour"), "wait half an hour"),
            ),
            _row(say("Feet"), *(self._button(capital(say(turn)), "turn", turn) for turn in TURNS)),
            _row(
                say("Display"),
                self._button(say("Open shield"), "open shield"),
                self._button(say("Close shield"), "close shield"),
                self._button(say("Wait a few seconds"), "wait"),
                self._button(say("Zero"), "zero"),
                self._button(say("Tare"), "tare"),
                self._button(say("Read and note"), "read"),
            ),
            _row(
                say("Vessel"),
                self._chooser(
                    say("Vessel"), [(vessel.said(), vessel.name) for vessel in VESSELS], "put on", say("Put on the {}")
                ),
                self._button(say("Take it off"), "take off"),
            ),
            _row(
                say("Jar"),
                self._chooser(say("Jar on the shelf"), self._jars(), "take jar", say("Take jar {}")),
                self._button(say("Read the label"), "read label"),
                self._button(say("Open jar"), "open jar"),
                self._button(say("Close jar"), "close jar"),
                self._button(say("Put it back"), "put jar back"),
            ),
            _row(
                say("Powder"),
                *(self._button(say("Add a {amount}", amount=say(amount)), "add", amount) for amount in AMOUNTS),
            ),
            _row(
                say("Too much"),
                *(
                    self._button(say("Take out a {amount}", amount=say(amount)), "take out", amount)
                    for amount in AMOUNTS
                ),
                self._button(say("Discard it"), "excess", "discard"),
                self._button(say("Return it to the jar"), "excess", "return"),
            ),
            self.record,
            _row(
                say("Finish"),
                button(say("Write the record"), lambda: self._act("write", self.record.value)),
                self._button(say("Wipe down"), "wipe"),
                self._button(say("Ask for the second check"), "second check"),
            ),
            _row(say("Sign"), self.initials, button(say("Sign"), lambda: self._act("sign", self.initials.value))),
            _row(
                say("Or stop"),
                self._chooser(
                    say("Reason"),
                    [(say(reason), reason) for reason in REASONS],
                    "stop and ask",
                    say("Stop and ask: {}"),
                ),
            ),
        ]
        last = [self.show, self.again]
        self.how = button(say("How did I do?"), self._verdict, first=True)
        last.append(self.how)
        last += [button(say("Another order"), self._another)] if fresh else []
        title = page(heading(say("The simulated bench")).html + note(say(SIMULATED), "soft").html)
        top = [title, self.question, self.picture, self.display, self.said]
        super().__init__([*top, *rows, buttons(*last), self.more], self._in_words)
        self.take(card, judged=judged)

    @classmethod
    def practice(cls, family_id: str, key: str, house: HouseRules) -> "BenchView":
        """Return a bench with orders to practise on, one after another."""
        numbers = iter(range(1, 10**6))

        def fresh() -> BenchCard:
            return BenchCard(practice_task(family_id, key, next(numbers), house))

        return cls(fresh(), fresh=fresh)

    def take(self, card: BenchCard, *, judged: bool = True) -> None:
        """Work on another card from now on."""
        self.card = card
        self.judged = judged
        self.how.layout.display = None if judged else "none"
        write(self.question, card.question().html)
        write(self.more, "")
        self.record.value = card.form()
        self.initials.value = ""
        self.show.description, self.again.description = say(SHOW), say(AGAIN)
        self._redraw()

    def _balances(self) -> list[tuple[str, str]]:
        return [(balance.name, balance.name) for balance in self.card.order.balances]

    def _jars(self) -> list[tuple[str, str]]:
        return [(say("Jar {letter}", letter=jar.letter), jar.letter) for jar in self.card.order.shelf]

    def _button(self, words: str, action: str, what: str = "") -> Any:
        return button(words, lambda: self._act(action, what))

    def _chooser(self, label: str, entries: Sequence[tuple[str, str]], action: str, words: str) -> Any:
        """Return a list and its button, which says what it will do with the entry that is chosen now."""
        chosen = ipywidgets.Dropdown(options=list(entries), description=label)
        chosen.add_class("pc-choice")
        does = button(words.format(say(chosen.value)), lambda: self._act(action, chosen.value))
        chosen.observe(lambda change: setattr(does, "description", words.format(say(change["new"]))), "value")
        made = ipywidgets.HBox([chosen, does])
        made.add_class("pc-chooser")
        return made

    def _act(self, action: str, what: str = "") -> None:
        self.again.description = say(AGAIN)
        self.card.act(action, what)
        self._redraw()

    def _redraw(self) -> None:
        write(self.picture, self.card.picture_html())
        write(self.display, self.card.display_html())
        write(self.said, note(self.card.said).html)
        if self.show.description == say(HIDE):
            write(self.more, self.card.done_html())

    def _show(self) -> None:
        shown = self.show.description == say(HIDE)
        self.show.description = say(SHOW) if shown else say(HIDE)
        write(self.more, "" if shown else self.card.done_html())

    def _verdict(self) -> None:
        self.show.description = say(SHOW)
        write(self.more, self.card.verdict_html())

    def _again(self) -> None:
        if self.again.description == say(AGAIN) and self.card.session.moments:
            self.again.description = say(SURE)
            write(
                self.said,
                note(
                    say("The record keeps what you did, and shows that you began again. Press {sure}.", sure=say(SURE))
                ).html,
            )
            return
        self._act("start again")
        self.record.value = self.card.form()

    def _another(self) -> None:
        if self._fresh is not None:
            self.take(self._fresh())

    def _in_words(self) -> str:
        return say("The simulated bench\n\n{text}\n\n{card}", text=self.card.question().text, card=self.card.words())


def _row(legend: str, *controls: Any) -> Any:
    """Return one line of the bench: what it is about, and its controls, which wrap beside it."""
    beside = ipywidgets.HBox(list(controls))
    beside.add_class("pc-controls")
    row = ipywidgets.HBox([page(note(legend, "legend").html), beside])
    row.add_class("pc-row")
    return row
