"""Tasks about strengths: percentage w/w and w/v, ratio strength, drug for a strength, mg/mL, mg% and ppm."""

from pharmcalc.formula import Values
from pharmcalc.language import later, say
from pharmcalc.strengths import (
    drug_for_percentage_wv,
    drug_for_percentage_ww,
    drug_in_ratio,
    milligram_percent,
    milligrams_per_millilitre,
    parts_per_million,
    percentage_from_milligrams_per_millilitre,
    percentage_from_ratio,
    percentage_wv,
    percentage_ww,
    preparation_for_drug,
    ratio_of_drug_and_diluent,
    ratio_strength,
)
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity, quotient, rounded_text

__all__: list[str] = []

_CREAMS = (
    later("salicylic acid ointment"),
    later("zinc oxide paste"),
    later("menthol cream"),
    later("urea cream"),
    later("calamine cream"),
)
_SOLUTIONS = (
    later("sodium benzoate solution"),
    later("potassium iodide solution"),
    later("sodium fluoride solution"),
    later("boric acid solution"),
)


def _times(task: Task, values: Values) -> str:
    """Return how many times too much the first wrong answer is."""
    name = next(asked.name for asked in task.asked if values[asked.name] != task.values[asked.name])
    return rounded_text(quotient(values[name], task.values[name]))


def _strength_consequence(task: Task, values: Values) -> str:
    return say("A label with this figure would state {task} times the real strength.", task=_times(task, values))


def _amount_consequence(task: Task, values: Values) -> str:
    return say(
        "Made with this amount, the preparation would hold {task} times the drug that is wanted.",
        task=_times(task, values),
    )


def _held_consequence(task: Task, values: Values) -> str:
    return say(
        "The part you weigh out would be taken to hold {task} times the drug that it really holds.",
        task=_times(task, values),
    )


def _draw_ww(dice: Dice, house: HouseRules) -> Drawn:
    drug = quantity(dice.between(15, 950, 5), "mg")
    return Drawn(
        {"drug": drug, "preparation": quantity(dice.pick((10, 15, 20, 25, 30, 40, 50, 60)), "g")},
        {"product": dice.pick(_CREAMS)},
    )


register(
    Family(
        id="percentage-ww",
        title="Percentage strength w/w",
        subject="strengths",
        text="{preparation} of a {product} contain {drug} of drug.\n\nWhat is the percentage strength w/w?",
        draw=_draw_ww,
        asked=(Asked(percentage_ww, label="percentage strength", aliases=("strength", "percentage", "% w/w")),),
        proof=Proof(drug_for_percentage_ww, {"strength": "percentage_ww"}),
        consequence=_strength_consequence,
    )
)


def _draw_wv(dice: Dice, house: HouseRules) -> Drawn:
    drug = quantity(dice.between(50, 980, 10), "mg")
    return Drawn(
        {"drug": drug, "preparation": quantity(dice.pick((30, 45, 60, 80, 90, 120, 150, 180, 240)), "mL")},
        {"product": dice.pick(_SOLUTIONS)},
    )


register(
    Family(
        id="percentage-wv",
        title="Percentage strength w/v",
        subject="strengths",
        text="{preparation} of a {product} contain {drug} of drug.\n\nWhat is the percentage strength w/v?",
        draw=_draw_wv,
        asked=(Asked(percentage_wv, label="percentage strength", aliases=("strength", "percentage", "% w/v")),),
        proof=Proof(drug_for_percentage_wv, {"strength": "percentage_wv"}),
        consequence=_strength_consequence,
    )
)


def _draw_drug_wv(dice: Dice, house: HouseRules) -> Drawn:
    strength = quantity(
        dice.pick(("0.1", "0.2", "0.25", "0.5", "0.9", "1", "1.5", "2", "2.5", "3", "4", "5")),
        "percent_in_volume",
    )
    return Drawn(
        {
            "strength": strength,
            "preparation": quantity(dice.pick((25, 30, 40, 60, 75, 90, 120, 150, 180, 200, 240, 250)), "mL"),
        },
        {"product": dice.pick(_SOLUTIONS)},
    )


register(
    Family(
        id="drug-for-strength",
        title="How much drug for this strength?",
        subject="strengths",
        text="You are to make {preparation} of a {product} of {strength}.\n\nHow much drug do you need?",
        draw=_draw_drug_wv,
        asked=(Asked(drug_for_percentage_wv, label="drug needed", aliases=("drug", "drug wanted", "mass of drug")),),
        proof=Proof(percentage_wv, {"drug": "drug_for_percentage_wv"}),
        consequence=_amount_consequence,
    )
)


def _draw_ratio(dice: Dice, house: HouseRules) -> Drawn:
    return Drawn(
        {
            "strength": quantity(
                dice.pick(
                    (
                        "0.1",
                        "0.125",
                        "0.2",
                        "0.25",
                        "0.4",
                        "0.5",
                        "0.8",
                        "1.25",
                        "2",
                        "2.5",
                        "4",
                        "5",
                        "8",
                        "12.5",
                    )
                ),
                "percent",
            )
        },
        {"product": dice.pick(_CREAMS)},
    )


register(
    Family(
        id="ratio-strength",
        title="From a percentage to a ratio strength",
        subject="strengths",
        text="A {product} is {strength} w/w.\n\nWrite its strength as a ratio strength, 1 in how many parts?",
        draw=_draw_ratio,
        asked=(Asked(ratio_strength, aliases=("ratio", "strength")),),
        proof=Proof(percentage_from_ratio, {"ratio": "ratio_strength"}),
        consequence=_strength_consequence,
    )
)


def _draw_trituration(dice: Dice, house: HouseRules) -> Drawn:
    drug, parts = dice.pick((50, 60, 75, 100, 120, 150, 200, 240, 250)), dice.between(8, 40)
    return Drawn(
        {
            "drug": quantity(drug, "mg"),
            "diluent": quantity(drug * (parts - 1), "mg"),
            "preparation": quantity(drug * parts, "mg"),
        }
    )


register(
    Family(
        id="ratio-of-trituration",
        title="The ratio strength of a trituration",
        subject="strengths",
        text="A trituration is made of {drug} of drug and {diluent} of lactose.\n\nWhat is its ratio strength w/w?",
        draw=_draw_trituration,
        asked=(Asked(ratio_of_drug_and_diluent, label="ratio strength", aliases=("ratio", "strength")),),
        proof=Proof(drug_in_ratio, {"ratio": "ratio_of_drug_and_diluent"}),
        consequence=_strength_consequence,
    )
)


def _draw_in_ratio(dice: Dice, house: HouseRules) -> Drawn:
    parts = dice.pick((8, 10, 16, 20, 25, 40, 50, 80))
    return Drawn({"ratio": quantity(1) / parts, "preparation": quantity(parts * dice.between(5, 40), "mg")})


register(
    Family(
        id="drug-in-trituration",
        title="The drug in part of a trituration",
        subject="strengths",
        text=(
            "A trituration has a ratio strength of {ratio} w/w. You weigh out {preparation} of it.\n\n"
            "How much drug does that hold?"
        ),
        draw=_draw_in_ratio,
        asked=(Asked(drug_in_ratio, label="drug", aliases=("drug held", "mass of drug")),),
        proof=Proof(preparation_for_drug, {"drug": "drug_in_ratio", "strength": "ratio"}),
        consequence=_held_consequence,
    )
)


def _draw_conversions(dice: Dice, house: HouseRules) -> Drawn:
    return Drawn(
        {"strength": quantity(dice.between(5, 480, 5), "percent_in_volume") / 1000},
        {"product": dice.pick(_SOLUTIONS)},
    )


register(
    Family(
        id="strength-in-other-words",
        title="One strength, four ways to say it",
        subject="strengths",
        text="A {product} is {strength}.\n\nSay the same strength in mg/mL, in mg% and in ppm (w/v).",
        draw=_draw_conversions,
        asked=(
            Asked(milligrams_per_millilitre, label="strength in mg/mL", aliases=("mg/mL", "mg per mL")),
            Asked(milligram_percent, label="strength in mg%", aliases=("mg%",)),
            Asked(parts_per_million, label="strength in ppm", aliases=("ppm",)),
        ),
        proof=Proof(percentage_from_milligrams_per_millilitre, {"concentration": "milligrams_per_millilitre"}),
        consequence=_strength_consequence,
    )
)
