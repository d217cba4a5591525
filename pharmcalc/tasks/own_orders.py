"""Tasks from the instructor's own orders, which stand in the house rules."""

from collections.abc import Callable
from dataclasses import replace

from pharmcalc.errors import RefusedError
from pharmcalc.formula import Values
from pharmcalc.language import later, say
from pharmcalc.strengths import drug_for_percentage_wv, drug_for_percentage_ww, percentage_wv, percentage_ww
from pharmcalc.tasks.aliquots import ALIQUOT_BATCH, batch
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.consequences import compared
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.tasks.orders import Order

__all__: list[str] = []


def _pick(dice: Dice, house: HouseRules, fits: Callable[[Order], bool], example: str) -> Order:
    orders = [order for order in house.orders if fits(order)]
    if not orders:
        raise RefusedError(
            "own order", f"there is no order with {example}.", "Add one: begin it with a line [[order]]."
        )
    return dice.pick(orders)


def _draw_units(dice: Dice, house: HouseRules) -> Drawn:
    order = _pick(dice, house, lambda order: bool(order.doses), say("a dose, units and a unit-weight"))
    return batch(
        house,
        dice.pick(house.balances),
        dose=dice.pick(order.doses),
        ordered=dice.pick(order.units),
        fill=dice.pick(order.unit_weights),
        said={"drug": order.drug, "diluent_name": order.diluent},
    )


register(
    replace(
        ALIQUOT_BATCH,
        id="own-order-units",
        title="An order of the house: units with a small dose",
        subject="orders",
        draw=_draw_units,
    )
)


def _by_strength(basis: str) -> Callable[[Dice, HouseRules], Drawn]:
    def draw(dice: Dice, house: HouseRules) -> Drawn:
        order = _pick(
            dice, house, lambda order: order.basis == basis, say("a strength in % {basis} and an amount", basis=basis)
        )
        values = {"strength": dice.pick(order.strengths), "preparation": dice.pick(order.amounts)}
        return Drawn(values, {"drug": order.drug, "name": order.name})

    return draw


def _consequence(task: Task, values: Values) -> str:
    name = task.amounts[0].name
    said = compared(values[name], task.values[name], later("drug"))
    return say("Made with this amount, the preparation would hold {said}.", said=said) if said else ""


for _basis, _formula, _check in (
    ("w/w", drug_for_percentage_ww, percentage_ww),
    ("w/v", drug_for_percentage_wv, percentage_wv),
):
    register(
        Family(
            id=f"own-order-{_basis.replace('/', '')}",
            title=f"An order of the house: drug for a strength {_basis}",
            subject="orders",
            text="{name}: {preparation} of {strength} with {drug}.\n\nHow much {drug} do you need?",
            draw=_by_strength(_basis),
            asked=(Asked(_formula, label="drug needed", aliases=("drug", "drug wanted", "mass of drug")),),
            proof=Proof(_check, {"drug": _formula.name}),
            consequence=_consequence,
        )
    )
