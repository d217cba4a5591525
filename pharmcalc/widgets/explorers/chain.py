"""One slip in a whole order: which steps follow from it, and what each unit would hold in the end."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.aliquots import drug_delivered
from pharmcalc.clearance import Obstacles, clearance
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Mistake
from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.tasks.aliquots import ALIQUOT_BATCH, batch
from pharmcalc.tasks.family import Asked, Task
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.units import Quantity, quotient, rounded_text
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, anchor
from pharmcalc.widgets.explorers.frame import Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["order_chain", "order_chain_figure"]

ROW, FIRST = 34, 44
FURTHEST = Fraction(5, 2)  # the scale of what a unit holds ends at so many times the dose
NO_SLIP = later("nothing goes wrong")
NO_LESSON = later("Every step follows from the one before.")


@dataclass(frozen=True)
class _Slip:
    """A known mistake at one step of the order, or none; and the values of all steps that come of it."""

    words: str
    values: Mapping[str, Quantity]
    lesson: str


def order_chain_figure(*, dose: str = "2.5 mg", units: int = 24, fill: str = "200 mg", slip: str = NO_SLIP) -> Shown:
    """Return a batch of capsules step by step, with one slip in it, as a picture and a sentence.

    dose and fill: masses above zero. units: how many are ordered. slip: the id of a known mistake of one of its steps.
    RefusedError says what to write, also where these numbers make no aliquot problem.
    """
    task = _task(dose, units, fill)
    slips = _slips(task)
    if slip not in slips:
        raise RefusedError(
            "order_chain: slip", f'there is none called "{slip}" here.', f"There are: {', '.join(slips)}."
        )
    return still(_draw(task, slips[slip]))


def order_chain(dose: str = "2.5 mg", units: int = 24, fill: str = "200 mg") -> "Explorer":
    """Return the picture of :func:`order_chain_figure` with a list of the slips.

    It starts with one that looks harmless: the drug left at the least weighable quantity.
    """
    from pharmcalc.widgets.controls import Choice, Explorer  # here: the still picture works without ipywidgets

    task = _task(dose, units, fill)
    slips = _slips(task)
    ids = list(slips)
    start = ids.index("weight-left-at-lwq") if "weight-left-at-lwq" in ids else 0
    title = say("{units} capsules of {dose}, from order to capsule", units=units, dose=MASS.show(task.values["dose"]))
    choice = Choice("What goes wrong", tuple(slips[id].words for id in ids), start)
    return Explorer(heading(title), (choice,), lambda place: _draw(task, slips[ids[place]]))


def _task(dose: str, units: int, fill: str) -> Task:
    house = read_house_rules()
    drawn = batch(
        house,
        house.balances[0],
        dose=MASS.check("order_chain: dose", dose),
        ordered=units,
        fill=MASS.check("order_chain: fill", fill),
        said={"drug": say("the drug"), "diluent_name": "lactose"},
    )
    return Task("order", ALIQUOT_BATCH, drawn, house)


def _slips(task: Task) -> dict[str, _Slip]:
    """Return every slip that changes something and leaves amounts that could be weighed."""
    found = {NO_SLIP: _Slip(say(NO_SLIP), task.values, say(NO_LESSON))}
    for asked in task.amounts:
        for mistake in asked.formula.mistakes:
            values = _with(task, asked, mistake)
            if values is not None:
                found[mistake.id] = _Slip(
                    f"{asked.said}: {mistake.name[:1].lower()}{mistake.name[1:]}", values, mistake.lesson
                )
    return found


def _with(task: Task, where: Asked, mistake: Mistake) -> Mapping[str, Quantity] | None:
    values, later = dict(task.values), False
    try:
        for asked in task.amounts:
            if asked is where:
                values[asked.name], later = mistake.evaluate(values), True
            elif later and not asked.choice:
                values[asked.name] = asked.formula.evaluate(values)
    except (ZeroDivisionError, RefusedError, KeyError):
        return None
    if where.choice and not clearance(task, values, Obstacles()).reasons:
        return None  # another choice, and as good a one
    weighed = [values[asked.name] for asked in task.amounts]
    changed = values[where.name] != task.values[where.name]
    return values if changed and all(value.magnitude > 0 for value in weighed) else None


def _times(task: Task, values: Mapping[str, Quantity]) -> Fraction:
    """Return how many times the drug wanted the aliquot would hold."""
    held = drug_delivered(
        drug_weighed=values["drug_weighed"],
        aliquot=values["aliquot"],
        total_mixture=values["drug_weighed"] + values["diluent"],
    )
    return quotient(held, task.values["drug_wanted"])


def _words(task: Task, slip: _Slip) -> str:
    changed = [asked.said for asked in task.amounts if slip.values[asked.name] != task.values[asked.name]]
    end = say("Each capsule would hold {task} times its dose.", task=rounded_text(_times(task, slip.values)))
    if not changed:
        return say("Nothing goes wrong. {end}", end=end)
    against = clearance(task, slip.values, Obstacles()).reasons
    stopped = say("Not cleared: {against}", against=" ".join(against)) if against else say("No rule notices it.")
    return say(
        "Changed: {changed}. {end} {stopped} {lesson}",
        changed=", ".join(changed),
        end=end,
        stopped=stopped,
        lesson=slip.lesson,
    )


def _draw(task: Task, slip: _Slip) -> Picture:
    words = _words(task, slip)
    foot = FIRST + ROW * len(task.amounts)
    drawing = Drawing(WIDTH, foot + 112)
    drawing.words(say("Step by step"), LEFT, 18, "heading")
    for place, asked in enumerate(task.amounts):
        _draw_step(drawing, task, slip, asked, FIRST + ROW * place)
    _draw_dose(drawing, task, _times(task, slip.values), foot + 20)
    svg = drawing.svg(say("A batch of capsules, step by step"), words)
    return figure(svg), note(words), Shown("", "")


def _draw_step(drawing: Drawing, task: Task, slip: _Slip, asked: Asked, y: int) -> None:
    here, right = slip.values[asked.name], task.values[asked.name]
    drawing.box("sheet", LEFT, y - 16, 250, ROW - 8)
    drawing.words(f"{asked.said}  {asked.kind.show(here)}", LEFT + 10, y + 2)
    if asked is not task.amounts[-1]:
        drawing.line("axis", LEFT + 20, y + ROW - 24, LEFT + 20, y + ROW - 16)
    if here != right:
        drawing.line("limit", LEFT + 250, y - 3, LEFT + 280, y - 3)
        drawing.words(say("changed; right would be {right}", right=asked.kind.show(right)), LEFT + 288, y + 2, "soft")


def _draw_dose(drawing: Drawing, task: Task, times: Fraction, y: int) -> None:
    def x(number: Fraction) -> float:
        return LEFT + float(min(number, FURTHEST) / FURTHEST) * (RIGHT - LEFT)

    allowed = task.house.allowed_error.to_base_units().magnitude
    drawing.words(say("What each capsule would hold"), LEFT, y - 2, "heading")
    drawing.box("sheet", LEFT, y + 14, RIGHT - LEFT, 26)
    drawing.box("drug", LEFT, y + 18, max(x(times) - LEFT, 1), 18)
    for number in (1 - allowed, 1 + allowed):
        drawing.line("limit", x(number), y + 12, x(number), y + 50)
    drawing.words(say("its dose, within the allowed error"), x(Fraction(1)), y + 66, "soft", "middle")
    said = say(
        "{times} times the dose{beyond}",
        times=rounded_text(times),
        beyond=say(", far beyond this picture") if times > FURTHEST else "",
    )
    drawing.words(said, x(times), y + 86, "", anchor(x(times), said))
