"""Tasks about mixing: drug added to an ointment, alligation alternate and medial, and triturations in two steps."""

from pharmcalc.aliquots import Limits
from pharmcalc.dilutions import (
    pure_drug_in_total,
    pure_drug_to_add,
    ratio_of_two_steps,
    rest_of_mixture,
    strength_of_three,
    strength_of_two,
    stronger_in_mixture,
    trituration_for_drug,
    trituration_for_second,
)
from pharmcalc.formula import Values
from pharmcalc.kinds import AMOUNT, RATIO, STRENGTH
from pharmcalc.language import later, say
from pharmcalc.tasks.consequences import compared, first_wrong
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.dilutions import STRENGTH_WORDS
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.tasks.products import OINTMENTS, SPIRITS, Product, instead, no_good
from pharmcalc.units import Quantity, quantity, quotient, rounded_text

__all__: list[str] = []

_PURE = quantity(100, "percent")
_GRAMS = (20, 25, 30, 40, 45, 50, 60, 75, 80, 90, 100, 120, 150, 180, 200, 240, 250, 300)
_MILLILITRES = (100, 120, 150, 200, 250, 300, 400, 500, 600, 750, 1000)
_DRUGS = {
    "zinc oxide ointment": later("zinc oxide"),
    "salicylic acid ointment": later("salicylic acid"),
    "coal tar ointment": later("coal tar"),
    "sulfur ointment": "sulfur",
    "urea cream": "urea",
}
_STRENGTHENED = tuple(product for product in OINTMENTS if product.name in _DRUGS)


def _no_rest(name: str, values: Values, limits: Limits | None = None) -> str:
    """Say why there is no rest to work out from a student's own amount of the stronger one."""
    if name == "stronger_amount" and values["stronger_amount"] >= values["total"]:
        return say("there would be no room for anything else")
    return ""


def _mixed(task: Task, stronger: Quantity, weaker: Quantity) -> str:
    """Say what strength two amounts would really make, where it is not the one wanted."""
    values = task.values
    made = strength_of_two.evaluate(
        {
            "first_strength": values["stronger_strength"],
            "first_amount": stronger,
            "second_strength": values["weaker_strength"] if "weaker_strength" in values else values["strength"],
            "second_amount": weaker,
        }
    )
    return instead(made, values["wanted_strength"], task.drawn.words.get("basis", ""))


def _total_consequence(task: Task, values: Values) -> str:
    stronger, rest = values["stronger_amount"], values["rest_of_mixture"]
    said = _mixed(task, stronger, rest)
    if said:
        return say(
            "{stronger} and {rest} make {said}.", stronger=AMOUNT.show(stronger), rest=AMOUNT.show(rest), said=said
        )
    made = compared(stronger + rest, task.values["total"], later("preparation"))
    return say("The strength would be right, but you would make {made}.", made=made) if made else ""


# Pure drug added -----------------------------------------------------------------------------------------------------


_PARTS = {"first_strength": "stronger_strength", "second_strength": "strength"}


def _strengthened(dice: Dice) -> tuple[Product, Quantity, Quantity, Quantity]:
    """Return an ointment, its strength, the strength wanted and an amount in grams."""
    product = dice.pick(_STRENGTHENED)
    strength, wanted = product.drawn(dice, 2)
    if wanted > 4 * strength:
        raise no_good(say("so much drug is not rubbed into an ointment."))
    return product, strength, wanted, product.amount(dice.pick(_GRAMS))


def _draw_fortify(dice: Dice, house: HouseRules) -> Drawn:
    product, strength, wanted, amount = _strengthened(dice)
    values = {"preparation": amount, "strength": strength, "wanted_strength": wanted, "stronger_strength": _PURE}
    return Drawn(values, {"product": product.name, "drug": _DRUGS[product.name], "basis": " w/w"})


def _fortify_consequence(task: Task, values: Values) -> str:
    drug = values["pure_drug_to_add"]
    said = _mixed(task, drug, task.values["preparation"])
    return say("With {drug} added, the preparation would be {said}.", drug=AMOUNT.show(drug), said=said) if said else ""


register(
    Family(
        id="fortify-ointment",
        title="Drug added to an ointment",
        subject="dilutions",
        text=(
            "You have {preparation} of {product} of {strength}. It is to become {wanted_strength}. You use all of it "
            "and rub in pure {drug}.\n\n"
            "How much {drug} do you add?"
        ),
        draw=_draw_fortify,
        asked=(
            Asked(
                pure_drug_to_add, label="drug to add", aliases=("drug", "pure drug", "drug to weigh", "mass of drug")
            ),
        ),
        proof=Proof(strength_of_two, _PARTS | {"first_amount": "pure_drug_to_add", "second_amount": "preparation"}),
        consequence=_fortify_consequence,
    )
)


def _draw_fortify_total(dice: Dice, house: HouseRules) -> Drawn:
    product, strength, wanted, amount = _strengthened(dice)
    values = {"total": amount, "strength": strength, "wanted_strength": wanted, "stronger_strength": _PURE}
    return Drawn(values, {"product": product.name, "drug": _DRUGS[product.name], "basis": " w/w"})


register(
    Family(
        id="fortify-total",
        title="A stronger ointment, with the total given",
        subject="dilutions",
        level=2,
        text=(
            "You are to make {total} of {product} of {wanted_strength}, no more and no less. In stock is {product} of "
            "{strength}, and you have pure {drug}.\n\n"
            "How much {drug} do you weigh, and how much of the ointment in stock?"
        ),
        draw=_draw_fortify_total,
        asked=(
            Asked(
                pure_drug_in_total,
                called="stronger_amount",
                label="drug to weigh",
                aliases=("drug", "pure drug", "mass of drug"),
            ),
            Asked(
                rest_of_mixture,
                label="stock to weigh",
                aliases=("stock", "ointment", "ointment in stock", "stock ointment", "weaker ointment", "rest"),
            ),
        ),
        proof=Proof(strength_of_two, _PARTS | {"first_amount": "stronger_amount", "second_amount": "rest_of_mixture"}),
        why_not=_no_rest,
        consequence=_total_consequence,
    )
)


# Alligation ----------------------------------------------------------------------------------------------------------


def _draw_alternate(dice: Dice, house: HouseRules) -> Drawn:
    product = dice.pick(OINTMENTS + SPIRITS * 3)
    weaker, wanted, stronger = product.drawn(dice, 3)
    values = {
        "total": product.amount(dice.pick(_GRAMS if product.unit == "gram" else _MILLILITRES)),
        "weaker_strength": weaker,
        "wanted_strength": wanted,
        "stronger_strength": stronger,
    }
    return Drawn(values, {"product": product.name, "basis": product.suffix})


register(
    Family(
        id="alligation-alternate",
        title="A strength between two others",
        subject="dilutions",
        level=2,
        text=(
            "You are to make {total} of {product} of {wanted_strength}{basis}. You have it in two other strengths, "
            "{stronger_strength}{basis} and {weaker_strength}{basis}. Take amounts as additive.\n\n"
            "How much of the stronger one do you take, and how much of the weaker one?"
        ),
        draw=_draw_alternate,
        asked=(
            Asked(
                stronger_in_mixture,
                called="stronger_amount",
                label="amount of the stronger",
                aliases=("stronger", "stronger one", "strong"),
            ),
            Asked(rest_of_mixture, label="amount of the weaker", aliases=("weaker", "weaker one", "weak", "rest")),
        ),
        proof=Proof(
            strength_of_two,
            {
                "first_strength": "stronger_strength",
                "first_amount": "stronger_amount",
                "second_strength": "weaker_strength",
                "second_amount": "rest_of_mixture",
            },
        ),
        why_not=_no_rest,
        consequence=_total_consequence,
    )
)


def _draw_medial(dice: Dice, house: HouseRules) -> Drawn:
    product = dice.pick(OINTMENTS + SPIRITS * 3)
    with_vehicle = dice.below(2) == 0
    strengths = dice.shuffled(product.drawn(dice, 2 if with_vehicle else 3))
    if with_vehicle:
        strengths.append(quantity(0, "percent"))
    values: dict[str, Quantity] = {}
    pool = _GRAMS[:12] if product.unit == "gram" else _MILLILITRES[:8]
    for place, strength in zip(("first", "second", "third"), strengths, strict=True):
        values |= {f"{place}_strength": strength, f"{place}_amount": product.amount(dice.pick(pool))}
    last = (
        product.diluent
        if with_vehicle
        else say("a third one of {strengths}{suffix}", strengths=STRENGTH.show(strengths[2]), suffix=product.suffix)
    )
    return Drawn(values, {"product": product.name, "basis": product.suffix, "third": last})


def _medial_consequence(task: Task, values: Values) -> str:
    said = instead(values["strength_of_three"], task.values["strength_of_three"], task.drawn.words.get("basis", ""))
    return say("A label with this figure would say {said}.", said=said) if said else ""


register(
    Family(
        id="alligation-medial",
        title="The strength of three lots together",
        subject="dilutions",
        text=(
            "Three lots are mixed: {first_amount} of {product} of {first_strength}{basis}, {second_amount} of another "
            "of {second_strength}{basis}, and {third_amount} of {third}. Take amounts as additive.\n\n"
            "What is the percentage strength of the mixture?"
        ),
        draw=_draw_medial,
        asked=(
            Asked(
                strength_of_three,
                label="strength of the mixture",
                aliases=STRENGTH_WORDS,
            ),
        ),
        consequence=_medial_consequence,
    )
)


# Triturations in two steps -------------------------------------------------------------------------------------------


_POTENT = (
    later("hyoscine hydrobromide"),
    later("atropine sulfate"),
    later("colchicine"),
    later("clonidine hydrochloride"),
)


def _draw_two_steps(dice: Dice, house: HouseRules) -> Drawn:
    first, second = dice.pick((5, 8, 10, 16, 20, 25)), dice.pick((4, 5, 8, 10, 12, 15, 20))
    drug = quantity(dice.pick(("2", "3", "4", "5", "6", "7.5", "8", "9", "10", "12", "15", "18", "20", "24")), "mg")
    mixture, taken = drug * (first * second), drug * first
    if taken < quantity(120, "mg") or mixture > quantity(6, "g"):
        raise no_good(say("such a trituration would not be made in two steps."))
    values = {"drug": drug, "first_ratio": quantity(1) / first, "second_ratio": quantity(1) / second}
    return Drawn(values, {"name": dice.pick(_POTENT), "parts": str(second)})


def _two_steps_consequence(task: Task, values: Values) -> str:
    truth = task.values
    wrong = first_wrong(task, values)
    if wrong == "ratio":
        times = rounded_text(quotient(values["ratio"], truth["ratio"]))
        return say(
            "A label with {ratio} would state {times} times the real strength.",
            ratio=RATIO.show(values["ratio"]),
            times=times,
        )
    if wrong == "second_mixture":
        return say(
            "What you weigh out would hold {second_mixture}.",
            second_mixture=_drug(values["second_mixture"], truth["second_mixture"]),
        )
    held = _drug(values["trituration_for_second"], truth["trituration_for_second"])
    return say("The second trituration would hold {held}.", held=held) if wrong else ""


def _drug(made: Quantity, wanted: Quantity) -> str:
    return compared(made, wanted, later("drug")) or say("about the drug that is wanted")


register(
    Family(
        id="two-step-trituration",
        title="A trituration of a trituration",
        subject="dilutions",
        level=2,
        text=(
            "Trituration A of {name} is {first_ratio} w/w. Trituration B is made from it: 1 part of A in {parts} parts "
            "of B. You need {drug} of {name}, taken as trituration B.\n\n"
            "What is the ratio strength of B? How much B holds the drug? And how much A do you weigh to make just that "
            "much B?"
        ),
        draw=_draw_two_steps,
        asked=(
            Asked(
                ratio_of_two_steps,
                called="ratio",
                label="ratio strength of B",
                aliases=("ratio", "ratio of B", "strength of B"),
            ),
            Asked(trituration_for_drug, called="second_mixture", label="B for the drug", aliases=("B", "B needed")),
            Asked(trituration_for_second, label="A to weigh", aliases=("A", "A needed")),
        ),
        consequence=_two_steps_consequence,
    )
)
