"""Work at the simulated bench without a screen: an order, what was done so far, and the file that keeps it.

Every action is kept at once, so nothing is lost when the notebook is closed; it is replayed when it is opened again.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from pharmcalc.bench import FIELDS, Moment, Order, Session, read_record, record_text
from pharmcalc.errors import CourseError, RefusedError
from pharmcalc.feedback import feedback_html
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import later, say
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.tasks.house import HouseRules, read_house_rules
from pharmcalc.widgets.bench_picture import bench_svg, bench_words, display_words
from pharmcalc.widgets.markup import Shown, note, table

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Card

__all__ = ["BenchCard", "bench"]

KEPT = later("Everything you do here is kept in {name}, beside this notebook. Hand that file in with the notebook.")


class BenchCard:
    """Work on one task of the bench. ``path``: the file that keeps the record; None keeps nothing."""

    def __init__(self, task: Task, path: Path | None = None) -> None:
        self.task, self.path = task, path
        self.said = say("Nothing is done yet.")
        self.session = self._resumed()

    @property
    def order(self) -> Order:
        """What is to be weighed."""
        order = self.task.drawn.order
        assert order is not None
        return order

    def act(self, action: str, what: str = "") -> bool:
        """Do one thing and keep the record; say in ``said`` what happened, or why it could not be done."""
        try:
            moment = self.session.act(action, what)
        except RefusedError as refusal:
            self.said = say("Not done: {problem} {cure}", problem=refusal.problem, cure=refusal.cure)
            return False
        self.said = _told(moment)
        self._keep()
        return True

    def form(self) -> str:
        """Return the lines of the weighing record, with what was written so far."""
        written = dict(self.session.state.written)
        return "\n".join(f"{say(field)} = {written.get(field, '')}" for field in FIELDS)

    def question(self) -> Shown:
        """Return the order, the balances that there are, and where the record is kept."""
        least = [
            (
                balance.name,
                MASS.show(balance.least_weighable(self.order.allowed_error)),
                MASS.show(balance.carries),
                MASS.show(balance.display_step) if balance.display_step is not None else "",
            )
            for balance in self.order.balances
        ]
        head = (
            say("Balance"),
            say("Least weighable quantity at {allowed_error}", allowed_error=PERCENT.show(self.order.allowed_error)),
            say("Capacity"),
            say("Step"),
        )
        kept = note(say(KEPT, name=self.path.name)) if self.path is not None else Shown("", "")
        return note(self.task.question_text()) + table(say("The balances"), head, least) + kept

    def picture_html(self) -> str:
        """Return the bench as it stands, drawn."""
        return f"<figure>{bench_svg(self.order, self.session.state, self.session.flicker()[0])}</figure>"

    def words(self) -> str:
        """Say how the bench stands."""
        return bench_words(self.order, self.session.state, self.session.flicker()[0])

    def display_html(self) -> str:
        """Return the display: the reading now, and the flicker of its last digits."""
        first, *others = self.session.flicker()
        text = first.written or say("off")
        looks = [text, *(look.written for look in others)] if first.shown is not None else [text]
        spans = "".join(f"<span>{look}</span>" for look in looks)
        flicker = f'<span class="pc-flicker" aria-hidden="true">{spans}</span>'
        said = f'<span class="pc-unseen">{display_words(first)}</span>'
        rest = say("at rest") if first.steady else say("not at rest")
        beside = f'<span aria-hidden="true">{rest}</span>' if first.shown is not None else ""
        return f'<p class="pc-display"><b>{say("Display")}</b>{flicker}{said}{beside}</p>'

    def done_html(self) -> str:
        """Return everything that was done, as a table."""
        rows = [
            (str(m.place), f"{say(m.event.action)} {_one_line(m.event.what)}".strip(), m.shown.written or say("off"))
            for m in self.session.moments
        ]
        return table(say("The record so far"), (say("Line"), say("Done"), say("Display afterwards")), rows).html

    def mark(self) -> TaskMark:
        """Return the mark of what was done so far."""
        return mark_task(self.task, record_text(self.session))

    def verdict_html(self) -> str:
        """Return the feedback, once the work is signed or stopped."""
        if not self.session.state.ended:
            return note(say("Finish first: sign the record, or stop and ask.")).html
        return feedback_html(self.mark())

    def _keep(self) -> None:
        if self.path is None:
            return
        draft = self.path.with_suffix(".part")
        draft.write_text(record_text(self.session), encoding="utf-8")
        draft.replace(self.path)

    def _resumed(self) -> Session:
        """Return the session that the file holds, or a new one; a file of another order is put aside, never lost."""
        if self.path is None or not self.path.is_file():
            return Session(self.order)
        try:
            session = read_record(self.path.read_text(encoding="utf-8"), self.order)
        except (CourseError, OSError, UnicodeDecodeError):
            aside = next(
                path
                for n in range(1, 1000)
                if not (path := self.path.with_name(f"{self.path.stem}-before-{n}{self.path.suffix}")).exists()
            )
            self.path.replace(aside)
            self.said = say("A record of other work was there; it is kept as {name}. You begin anew.", name=aside.name)
            return Session(self.order)
        self.said = say("You go on where you left off.") if session.moments else self.said
        return session


def bench(
    family_id: str = "bench-weighing",
    *,
    key: str = "practice",
    house: HouseRules | None = None,
) -> "Card":
    """Return the simulated bench as a widget, with an order to practise on.

    family_id: ``bench-weighing``, or ``bench-doubtful`` for an order that may be one to stop at. key: another key gives
    another order. house: the house rules; those that come with the course where none are given.
    """
    from pharmcalc.widgets.bench_view import BenchView  # here: the card itself works without ipywidgets

    return BenchView.practice(family_id, key, house or read_house_rules())


def practice_task(family_id: str, key: str, number: int, house: HouseRules) -> Task:
    """Return the order with this number."""
    return family_called(family_id).task("bench", f"{key}|{number}", house)


def _told(moment: Moment) -> str:
    shown = moment.shown
    if shown.text == "" or moment.event.action in ("read", "write", "second check", "sign", "stop and ask"):
        return moment.said
    return say("{said} The display shows {shown}.", said=moment.said, shown=display_words(shown))


def _one_line(text: str) -> str:
    return "; ".join(say(line.strip()) for line in text.splitlines() if line.strip())
