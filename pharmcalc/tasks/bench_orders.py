"""Orders at the simulated bench: weigh what is ordered by the whole routine, or stop and ask."""

from pharmcalc.balances import Balance
from pharmcalc.bench import AMOUNTS, DONE, OUTCOME, STEPS, Jar, Order, Step
from pharmcalc.bench.things import mass, micrograms
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import as_written, later, say
from pharmcalc.tasks.asked import Finding, Option
from pharmcalc.tasks.deciding import HAZARDOUS
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Drawn, Family, Task, family_called, register
from pharmcalc.tasks.house import EXCESS_SAID, HouseRules
from pharmcalc.units import Quantity, quantity

__all__ = ["NOT_NEEDED", "bench_order"]

_PAIRS = (
    (later("zinc sulfate heptahydrate"), later("zinc sulfate monohydrate")),
    (later("magnesium sulfate heptahydrate"), later("dried magnesium sulfate")),
    (later("citric acid monohydrate"), later("anhydrous citric acid")),
    (later("calcium chloride dihydrate"), later("calcium chloride hexahydrate")),
    (later("ferrous sulfate heptahydrate"), later("dried ferrous sulfate")),
    (later("sodium carbonate decahydrate"), later("anhydrous sodium carbonate")),
    (later("lidocaine hydrochloride"), later("lidocaine base")),
    (later("quinine sulfate dihydrate"), later("quinine hydrochloride dihydrate")),
)
_GRADE, _OTHER_GRADE = later("pharmacopoeial grade"), later("technical grade")
_HAZARD = later("HAZARDOUS DRUG: handle in containment")
_TODAY = (2026, 11)
_LARGEST = quantity(12, "gram")


def _month(months: int) -> str:
    """Return a month as it stands on a label, so many months after today."""
    year, month = divmod(_TODAY[0] * 12 + _TODAY[1] - 1 + months, 12)
    return f"{year}-{month + 1:02d}"


def _lot(dice: Dice) -> str:
    return f"{dice.pick('BDFHKMRTW')}{dice.between(1000, 9999)}"


def _shelf(dice: Dice, product: str, other: str, *, hazard: str, in_date: bool) -> tuple[Jar, ...]:
    """Return four jars that look alike: the right one, or the same past its date; another form; grade; and date."""
    good, past = _month(dice.between(3, 30)), _month(-dice.between(1, 20))
    kinds = [
        (product, _GRADE, good if in_date else past),
        (other, _GRADE, good),
        (product, _OTHER_GRADE, good),
        (product, _GRADE, past),
    ]
    jars = [(*kind, _lot(dice)) for kind in kinds]
    return tuple(
        Jar(letter, name, grade, lot, expiry, hazard)
        for letter, (name, grade, expiry, lot) in zip("ABCD", dice.shuffled(jars), strict=True)
    )


def _steps(amount: Quantity, balances: tuple[Balance, ...]) -> Quantity:
    """Return an amount in whole steps of the coarsest display."""
    coarsest = max((b.display_step for b in balances if b.display_step is not None), default=quantity(1, "mg"))
    number = (amount / coarsest).to_base_units().magnitude
    return coarsest * round(number)


def _target(dice: Dice, house: HouseRules) -> Quantity:
    """Return an amount that some balance may weigh: every other time one that not all of them may."""
    least = sorted(balance.least_weighable(house.allowed_error) for balance in house.balances)
    if least[0] < least[-1] and dice.below(2):
        return _steps(least[0] + (least[-1] - least[0]) * quantity(dice.between(5, 90)) / 100, house.balances)
    return _steps(least[-1] * quantity(dice.between(110, 600)) / 100, house.balances)


def _too_little(dice: Dice, house: HouseRules) -> Quantity:
    least = min(balance.least_weighable(house.allowed_error) for balance in house.balances)
    return _steps(least * quantity(dice.between(20, 75)) / 100, house.balances)


def _drawn(dice: Dice, house: HouseRules, kind: str, target: Quantity | None = None, wanted: str = "") -> Drawn:
    """Draw an order. kind: why nothing may be weighed (empty: it may). wanted: how the amount stands in the order."""
    product, other = dice.pick(_PAIRS)
    if kind == "hazardous":
        product = dice.pick(HAZARDOUS)
        other = say("another form of {product}", product=say(product))
    if target is None:
        target = _too_little(dice, house) if kind == "no-balance" else _target(dice, house)
    if not quantity(0, "mg") < target <= _LARGEST:
        raise RefusedError("draw", f"{MASS.show(target)} is nothing for this bench.", "Draw again.")
    hazard = _HAZARD if kind == "hazardous" else ""
    shelf = _shelf(dice, product, other, hazard=hazard, in_date=kind != "no-product")
    order = Order(
        seed=f"{dice.key}|{dice.below(10**9)}",
        product=product,
        grade=_GRADE,
        target=target,
        allowed_error=house.allowed_error,
        today=_month(0),
        balances=house.balances,
        shelf=shelf,
        excess=house.excess_powder,
    )
    if order.halts != kind:
        raise RefusedError("draw", "this order would turn out otherwise.", "Draw again.")
    if not kind and not _can_be_met(order):
        raise RefusedError(
            "draw", "the allowed error is finer than two display steps or the bench's lightest tap.", "Draw again."
        )
    words = {
        "product": product,
        "grade": _GRADE,
        "today": order.today,
        "excess": EXCESS_SAID[house.excess_powder],
        "wanted": wanted or say("{target} of", target=MASS.show(target)),
        "allowed": PERCENT.show(house.allowed_error),
        "extra": str(house.extra_units),
    }
    return Drawn({}, words, order=order)


def _can_be_met(order: Order) -> bool:
    """Say whether the allowed error leaves room for what the display can show and the spatula can bring."""
    steps = [one.display_step for one in order.balances if one.display_step is not None]
    off = order.target * order.allowed_error.to_base_units()
    return micrograms(off) >= max(AMOUNTS["light tap"] // 2, *(2 * micrograms(step) for step in steps))


def _plain(dice: Dice, house: HouseRules) -> Drawn:
    return _drawn(dice, house, "")


def _batch(dice: Dice, house: HouseRules) -> Drawn:
    """Draw an order whose amount has to be worked out: dose, units, and the house's extra units for loss."""
    least = min(balance.least_weighable(house.allowed_error) for balance in house.balances)
    units = dice.between(8, 40, 2)
    made, step = units + house.extra_units, quantity(dice.pick((1, 2, 5)), "mg")
    need = least * quantity(dice.between(105, 500)) / 100
    dose = step * max(round((need / made / step).to_base_units().magnitude), 1)
    wanted = say("{units} capsules, each with {dose} of", units=units, dose=MASS.show(dose))
    return _drawn(dice, house, "", _steps(dose * made, house.balances), wanted)


def _doubtful(dice: Dice, house: HouseRules) -> Drawn:
    return _drawn(dice, house, dice.pick(("hazardous", "hazardous", "no-balance", "no-product", "")))


_STOPPED = {
    "hazardous": "stopped-hazardous-drug",
    "no-balance": "stopped-no-balance-can-weigh-it",
    "no-product": "stopped-no-jar-is-right",
}
_WHY_STOP = {
    "": later("Nothing speaks against this order: a right jar is there, and a balance that may weigh the amount"),
    "hazardous": later(
        "The label says hazardous: it is handled in containment, by trained staff, never on the open bench"
    ),
    "no-balance": later("The amount is below the least weighable quantity of every balance; it takes an aliquot"),
    "no-product": later("No jar has the name, the form, the grade and a date that is not past"),
}
NOT_NEEDED = Option("not-needed", "not done", "This order could be weighed here.")


def _right(step: Step, task: Task) -> tuple[str, ...]:
    order = task.drawn.order
    assert order is not None
    if step.name == OUTCOME:
        return (_STOPPED.get(order.halts, "weighed"),)
    return (NOT_NEEDED.id,) if order.halts else (DONE,)


def _why(step: Step, task: Task) -> str:
    order = task.drawn.order
    assert order is not None
    if step.name == OUTCOME or order.halts:
        return say(_WHY_STOP[order.halts])
    if step.name == "amount":
        least, most = (MASS.show(mass(bound)) for bound in order.allowed)
        return say(
            "{well_done}. Wanted {target}: from {least} to {most}",
            well_done=step.well_done,
            target=MASS.show(order.target),
            least=least,
            most=most,
        )
    return step.well_done


def _asked(step: Step) -> Finding:
    options = tuple(
        Option(fault.id, as_written(fault, "said"), as_written(fault, "lesson"), fault.critical)
        for fault in step.faults
    )
    if step.name != OUTCOME:
        options = (Option(DONE, "done", "Nothing was to be weighed here."), NOT_NEEDED, *options)
    return Finding(
        step.name,
        as_written(step, "label"),
        options,
        lambda task, values: _right(step, task),
        lambda task: _why(step, task),
        marks=step.marks,
    )


ASKED = tuple(_asked(step) for step in STEPS)
_TEXT = (
    "The order reads: {wanted} {product}, {grade}. This month is {today}. "
    "No weighing may be wrong by more than {allowed}. By the house rules excess powder {excess}.\n\n"
    "Is this an order to go ahead with? Work at the simulated bench, from the level to the signature, or stop and ask. "
    "The record of what you do is your answer. A simulated weighing never counts as an observed one."
)

_BATCH_TEXT = _TEXT.replace(
    "\n\n",
    " The house makes {extra} extra units for loss. Work out first how much is weighed for the whole batch.\n\n",
)
_IDS = {
    "bench-weighing": ("An order at the simulated bench", _TEXT, _plain),
    "bench-batch": ("A batch to be weighed at the simulated bench", _BATCH_TEXT, _batch),
    "bench-doubtful": ("Another order at the simulated bench", _TEXT, _doubtful),
}
for _id, (_title, _text, _draw) in _IDS.items():
    register(Family(id=_id, title=_title, subject="bench", text=_text, draw=_draw, asked=ASKED, level=3, recorded=True))


def bench_order(key: str, house: HouseRules, family_id: str = "bench-weighing") -> Order:
    """Return an order to practise on. key: another key gives another order."""
    order = family_called(family_id).task("bench", key, house).drawn.order
    assert order is not None
    return order
