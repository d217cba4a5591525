"""Tasks about dilution: final strength, stock and diluent, a stock to be diluted, evaporation, and a whole order."""

from fractions import Fraction

from pharmcalc.aliquots import Limits
from pharmcalc.dilutions import (
    amount_after_evaporation,
    diluent_to_add,
    diluted_strength,
    drug_for_stock,
    solvent_driven_off,
    stock_to_take,
    strength_after_evaporation,
)
from pharmcalc.formula import Values
from pharmcalc.kinds import AMOUNT, MASS
from pharmcalc.language import later, say
from pharmcalc.recipes import amount_for_batch
from pharmcalc.strengths import percentage_wv
from pharmcalc.tasks.batches import loss
from pharmcalc.tasks.consequences import compared, first_wrong
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.tasks.products import OINTMENTS, SOLUTIONS, SPIRITS, Product, instead, no_good
from pharmcalc.units import Quantity, quantity, quotient

__all__ = ["STRENGTH_WORDS"]

STRENGTH_WORDS = (
    "strength",
    "percentage",
    "percentage strength",
    "final strength",
    "% w/w",
    "% v/v",
    "%",
)
_GRAMS = (20, 25, 30, 40, 45, 50, 60, 75, 80, 90, 100, 120, 150, 180, 200, 240, 250)
_MILLILITRES = (60, 90, 100, 120, 150, 180, 200, 240, 250, 300, 400, 500, 750, 1000)


def _words(product: Product) -> dict[str, str]:
    return {"product": product.name, "basis": product.suffix, "diluent": product.diluent}


def _is_measured(amount: Quantity, product: Product) -> bool:
    """Say whether an amount can be measured: at least 2 g or 2 mL, and to one decimal place."""
    number = quotient(amount, product.amount(1))
    return number >= 2 and (number * 10).denominator == 1


# Final strength ------------------------------------------------------------------------------------------------------


def _draw_strength(dice: Dice, house: HouseRules) -> Drawn:
    product = dice.pick(OINTMENTS + SPIRITS * 3)
    (stock,) = product.drawn(dice, 1)
    before, after = sorted(dice.shuffled(_GRAMS if product.unit == "gram" else _MILLILITRES)[:2])
    if after > 5 * before:
        raise no_good(say("so much diluent is unusual."))
    values = {
        "stock_strength": stock,
        "stock_amount": product.amount(before),
        "final_amount": product.amount(after),
    }
    return Drawn(values, _words(product))


def _strength_consequence(task: Task, values: Values) -> str:
    said = instead(values["diluted_strength"], task.values["diluted_strength"], task.drawn.words.get("basis", ""))
    return say("A label with this figure would say {said}.", said=said) if said else ""


register(
    Family(
        id="dilution-strength",
        title="How strong is it after diluting?",
        subject="dilutions",
        text=(
            "{stock_amount} of {product} of {stock_strength}{basis} are diluted with {diluent} to {final_amount}.\n\n"
            "What is the percentage strength now?"
        ),
        draw=_draw_strength,
        asked=(Asked(diluted_strength, label="strength after diluting", aliases=STRENGTH_WORDS),),
        proof=Proof(stock_to_take, {"wanted_strength": "diluted_strength"}),
        consequence=_strength_consequence,
    )
)


# Stock and diluent ---------------------------------------------------------------------------------------------------


def _draw_dilution(dice: Dice, product: Product) -> Drawn:
    wanted, stock = product.drawn(dice, 2)
    final = product.amount(dice.pick(_GRAMS if product.unit == "gram" else _MILLILITRES))
    taken = stock_to_take.evaluate({"stock_strength": stock, "wanted_strength": wanted, "final_amount": final})
    if not _is_measured(taken, product):
        raise no_good(say("the stock could not be measured well."))
    values = {"stock_strength": stock, "wanted_strength": wanted, "final_amount": final}
    return Drawn(values, _words(product))


def _made_up(task: Task, stock: Quantity, whole: Quantity) -> str:
    """Say what strength an amount of stock makes in an amount of preparation, where it is not the wanted one."""
    values = task.values
    made = values["stock_strength"] * quotient(stock, whole)
    return instead(made, values["wanted_strength"], task.drawn.words.get("basis", ""))


def _stock_consequence(task: Task, values: Values) -> str:
    stock, final = values["stock_to_take"], values["final_amount"]
    if stock >= final:
        return say("So much stock would leave no room for any diluent: nothing would be diluted.")
    said = _made_up(task, stock, final)
    return say("Made with {stock} of stock, it would be {said}.", stock=AMOUNT.show(stock), said=said) if said else ""


def _draw_stock(dice: Dice, house: HouseRules) -> Drawn:
    return _draw_dilution(dice, dice.pick(SOLUTIONS))


register(
    Family(
        id="stock-for-dilution",
        title="How much stock do you take?",
        subject="dilutions",
        text=(
            "You are to make {final_amount} of {product} of {wanted_strength}. In stock is a solution of "
            "{stock_strength}. You measure the stock and make up to volume with {diluent}.\n\n"
            "How much of the stock do you need?"
        ),
        draw=_draw_stock,
        asked=(Asked(stock_to_take, label="stock to take", aliases=("stock", "stock solution", "volume of stock")),),
        proof=Proof(diluted_strength, {"stock_amount": "stock_to_take"}),
        consequence=_stock_consequence,
    )
)

_STOCK_WORDS = (
    "stock",
    "stock needed",
    "stock to take",
    "stock ointment",
    "stronger ointment",
)
_BASE_WORDS = (
    "base",
    "base to add",
    "diluent",
    "diluent to add",
    "diluent to weigh",
    "plain base",
)


def _draw_diluent(dice: Dice, house: HouseRules) -> Drawn:
    return _draw_dilution(dice, dice.pick(OINTMENTS))


def _no_room(name: str, values: Values, limits: Limits | None = None) -> str:
    """Say why no diluent can be worked out from a student's own amount of stock."""
    if name == "stock_amount" and values["stock_amount"] >= values["final_amount"]:
        return say("there would be no room for any diluent")
    return ""


def _mixture_consequence(task: Task, values: Values) -> str:
    stock, diluent = values["stock_amount"], values["diluent_to_add"]
    said = _made_up(task, stock, stock + diluent)
    if said:
        return say(
            "{stock} of stock and {diluent} of diluent make {said}.",
            stock=AMOUNT.show(stock),
            diluent=AMOUNT.show(diluent),
            said=said,
        )
    made = compared(stock + diluent, task.values["final_amount"], later("preparation"))
    return say("The strength would be right, but you would make {made}.", made=made) if made else ""


register(
    Family(
        id="diluent-to-add",
        title="Stock and diluent for an ointment",
        subject="dilutions",
        level=2,
        text=(
            "You are to make {final_amount} of {product} of {wanted_strength}{basis} by diluting a stock of "
            "{stock_strength}{basis} with {diluent}, the base.\n\n"
            "How much of the stock do you weigh, and how much of the base?"
        ),
        draw=_draw_diluent,
        asked=(
            Asked(stock_to_take, called="stock_amount", label="stock to weigh", aliases=_STOCK_WORDS),
            Asked(diluent_to_add, label="base to weigh", aliases=_BASE_WORDS),
        ),
        proof=Proof(diluted_strength),
        why_not=_no_room,
        consequence=_mixture_consequence,
    )
)


# A stock that the patient dilutes ------------------------------------------------------------------------------------

_TO_DILUTE = (
    (later("potassium permanganate"), ("0.01", "0.0125", "0.02")),
    (later("aluminium acetate"), ("0.26", "0.65")),
    (later("sodium bicarbonate"), ("0.5", "1", "2")),
    (later("boric acid"), ("0.5", "1", "2")),
    (later("zinc sulfate"), ("0.25", "0.4", "0.5")),
)


def _draw_stock_strength(dice: Dice, house: HouseRules) -> Drawn:
    drug, strengths = dice.pick(_TO_DILUTE)
    stock_volume = quantity(dice.pick((100, 120, 150, 200, 240, 250, 300, 500)), "mL")
    values = {
        "wanted_strength": quantity(dice.pick(strengths), "percent_in_volume"),
        "final_volume": quantity(dice.pick((100, 200, 250, 500, 1000)), "mL"),
        "portion": quantity(dice.pick((5, 10, 15, 20, 25)), "mL"),
        "stock_volume": stock_volume,
        "preparation": stock_volume,
    }
    grams = drug_for_stock.evaluate(values).to("gram").magnitude
    if not 4 * values["portion"] <= values["final_volume"] or not Fraction(1, 4) <= grams <= 25:
        raise no_good(say("such a stock is unusual."))
    return Drawn(values, {"drug_name": drug})


def _stock_strength_consequence(task: Task, values: Values) -> str:
    if first_wrong(task, values) == "drug":
        times = quotient(values["drug"], task.values["drug"])
        said = instead(task.values["wanted_strength"] * times, task.values["wanted_strength"])
        return say("Diluted as the label says, it would be {said}.", said=said) if said else ""
    said = instead(values["percentage_wv"], (values["drug"] / task.values["preparation"]).to("percent_in_volume"))
    return say("The label of the stock would say {said}.", said=said) if said else ""


register(
    Family(
        id="stock-strength",
        title="A stock that is diluted at home",
        subject="dilutions",
        level=2,
        text=(
            "You make {stock_volume} of a stock solution of {drug_name}. At home {portion} of it are made up to "
            "{final_volume} with water; that must give {wanted_strength}.\n\n"
            "How much {drug_name} do you weigh for the whole stock? And what percentage strength w/v goes on its label?"
        ),
        draw=_draw_stock_strength,
        asked=(
            Asked(drug_for_stock, called="drug", label="drug for the stock", aliases=("drug", "mass of drug", "weigh")),
            Asked(percentage_wv, label="strength of the stock", aliases=("strength", "stock strength", "% w/v")),
        ),
        proof=Proof(
            diluted_strength,
            {"stock_strength": "percentage_wv", "stock_amount": "portion", "final_amount": "final_volume"},
        ),
        consequence=_stock_strength_consequence,
    )
)


# Evaporation ---------------------------------------------------------------------------------------------------------


_EXTRACT = Product("extract", "w/v", later("water"), ("1", "1.5", "2", "2.5", "3", "4", "5", "6", "8", "10", "12"))
_PLANTS = (later("senna"), later("ipecacuanha"), later("liquorice"), later("gentian"), later("valerian"))


def _draw_evaporation(dice: Dice, house: HouseRules) -> Drawn:
    strength, wanted = _EXTRACT.drawn(dice, 2)
    if wanted > 4 * strength:
        raise no_good(say("so much solvent is not driven off in one go."))
    before = quantity(dice.between(200, 1000, 50), "mL")
    values = {"preparation": before, "strength": strength, "wanted_strength": wanted}
    return Drawn(values, {"product": dice.pick(_PLANTS)})


def _nothing_leaves(name: str, values: Values, limits: Limits | None = None) -> str:
    """Say why no solvent is driven off with a student's own amount."""
    if name == "amount_left" and values["amount_left"] >= values["preparation"]:
        return say("no solvent would have left")
    return ""


def _evaporation_consequence(task: Task, values: Values) -> str:
    before, gone = values["preparation"], values["solvent_driven_off"]
    if first_wrong(task, values) == "amount_left":
        left = values["amount_left"]
    elif gone >= before:
        return say("Nothing would be left in the dish.")
    else:
        left = before - gone
    said = instead(task.values["strength"] * quotient(before, left), task.values["wanted_strength"])
    return say("With {left} left, the extract would be {said}.", left=AMOUNT.show(left), said=said) if said else ""


register(
    Family(
        id="evaporation",
        title="Stronger by driving off solvent",
        subject="dilutions",
        level=2,
        text=(
            "{preparation} of a liquid extract of {product} hold {strength} of active substance. Solvent is driven off "
            "gently until the extract is {wanted_strength}. Nothing but solvent leaves; take volumes as additive.\n\n"
            "How much extract is left then, and how much solvent has been driven off?"
        ),
        draw=_draw_evaporation,
        asked=(
            Asked(
                amount_after_evaporation,
                called="amount_left",
                label="extract left",
                aliases=("left", "amount left", "volume left", "final volume"),
            ),
            Asked(solvent_driven_off, aliases=("solvent", "solvent removed", "removed", "driven off")),
        ),
        proof=Proof(strength_after_evaporation, {"solvent_removed": "solvent_driven_off"}),
        why_not=_nothing_leaves,
        consequence=_evaporation_consequence,
    )
)


# A whole order -------------------------------------------------------------------------------------------------------


def _draw_order(dice: Dice, house: HouseRules) -> Drawn:
    product = dice.pick(OINTMENTS)
    wanted, stock = product.drawn(dice, 2)
    jar, ordered = product.amount(dice.pick((10, 15, 20, 25, 30))), dice.between(2, 8)
    made = ordered + house.extra_units
    able = [balance for balance in house.balances if balance.carries >= jar * made]
    if not able:
        raise no_good(say("no balance carries so much."))
    balance = dice.pick(able)
    limits = house.limits(balance, jar * made)
    taken = stock_to_take.evaluate({"stock_strength": stock, "wanted_strength": wanted, "final_amount": jar * made})
    if min(taken, jar * made - taken) < limits.least_weighable_quantity:
        raise no_good(say("the balance may not weigh so little."))
    if quotient(taken, limits.display_step).denominator > 1:
        raise no_good(say("the balance does not show this amount of stock."))
    values = {
        "per_unit": jar,
        "units_ordered": quantity(ordered),
        "extra_units": quantity(house.extra_units),
        "units_made": quantity(made),
        "stock_strength": stock,
        "wanted_strength": wanted,
    }
    said = {"balance": balance.name, "capacity": MASS.show(balance.carries), "loss": loss(house)}
    return Drawn(values, _words(product) | said, limits)


def _order_consequence(task: Task, values: Values) -> str:
    stock, base = values["stock_amount"], values["diluent_to_add"]
    said = _made_up(task, stock, stock + base)
    if said:
        return say(
            "{stock} of stock and {base} of base make {said}.", stock=MASS.show(stock), base=MASS.show(base), said=said
        )
    ordered = task.values["per_unit"] * task.values["units_ordered"].magnitude
    if stock + base < ordered:
        return say(
            "Not every jar could be filled: {stock} for {ordered}.",
            stock=MASS.show(stock + base),
            ordered=MASS.show(ordered),
        )
    if stock + base < task.values["final_amount"]:
        return say("Some ointment always stays on the tile and in the vessel, so the last jar would not be full.")
    if stock + base > task.values["final_amount"] and first_wrong(task, values):
        return say("The strength would be right, but more would be made than is needed.")
    return ""


register(
    Family(
        id="order-ointment",
        title="An order for jars of ointment",
        subject="dilutions",
        level=3,
        text=(
            "A clinic orders {units_ordered} jars of {product} of {wanted_strength}{basis}, {per_unit} in each jar. "
            "{loss} In stock are {product} of {stock_strength}{basis} and {diluent}, the base. You weigh on "
            "{balance}, which carries up to {capacity}.\n\n"
            "How much do you make in all? How much of the stock do you weigh, and how much of the base?"
        ),
        draw=_draw_order,
        asked=(
            Asked(
                amount_for_batch,
                called="final_amount",
                label="preparation in all",
                weighed=True,
                aliases=("total", "all", "amount in all", "preparation", "ointment in all", "in all"),
                sometimes_right=("batch-loss-left-out", "batch-loss-counted-twice"),
            ),
            Asked(
                stock_to_take,
                called="stock_amount",
                label="stock to weigh",
                weighed=True,
                aliases=_STOCK_WORDS,
            ),
            Asked(
                diluent_to_add,
                label="base to weigh",
                weighed=True,
                aliases=_BASE_WORDS,
            ),
        ),
        proof=Proof(diluted_strength),
        why_not=_no_room,
        consequence=_order_consequence,
    )
)
