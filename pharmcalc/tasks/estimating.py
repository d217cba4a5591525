"""Estimate first: the power of ten, in one's head, before the calculation."""

from pharmcalc.aliquots import drug_wanted, total_mixture
from pharmcalc.formula import Formula
from pharmcalc.strengths import drug_for_percentage_wv
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Drawn, Family, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity

__all__: list[str] = []

_FIRST = (
    "Estimate first, in your head: write one figure and the unit, such as 20 mg; the power of ten is enough. "
    "Then calculate."
)


def _estimate(formula: Formula) -> Asked:
    return Asked(formula, called="estimate", marks=1, estimate=True, aliases=("about", "roughly", "expect"))


def _draw_solution(dice: Dice, house: HouseRules) -> Drawn:
    strength = quantity(dice.pick(("0.02", "0.05", "0.12", "0.25", "0.9", "1.8", "4.5")), "percent_in_volume")
    volume = quantity(dice.pick((15, 35, 75, 120, 350, 480, 750, 950)), "mL")
    return Drawn({"strength": strength, "preparation": volume})


register(
    Family(
        id="estimate-drug",
        title="Estimate first: drug for a solution",
        subject="estimates",
        text="You are to make {preparation} of a solution of {strength}.\n\nHow much drug do you need? " + _FIRST,
        draw=_draw_solution,
        asked=(
            _estimate(drug_for_percentage_wv),
            Asked(drug_for_percentage_wv, label="drug needed", aliases=("drug", "drug wanted", "mass of drug")),
        ),
    )
)


def _draw_batch(dice: Dice, house: HouseRules) -> Drawn:
    dose = quantity(dice.pick((15, 35, 75, 120, 180, 450, 750)), "microgram")
    return Drawn({"dose": dose, "number_of_units": quantity(dice.pick((18, 24, 32, 48, 60, 90)))})


register(
    Family(
        id="estimate-batch",
        title="Estimate first: drug for a batch",
        subject="estimates",
        text="{number_of_units} powders are to hold {dose} of drug each.\n\nHow much drug is that in all? " + _FIRST,
        draw=_draw_batch,
        asked=(_estimate(drug_wanted), Asked(drug_wanted, aliases=("drug needed", "drug", "need"))),
    )
)


def _draw_mixture(dice: Dice, house: HouseRules) -> Drawn:
    multiple, aliquot = dice.pick((12, 15, 24, 35, 60, 80)), quantity(dice.between(120, 480, 20), "mg")
    return Drawn({"multiple_factor": quantity(multiple), "aliquot": aliquot})


register(
    Family(
        id="estimate-mixture",
        title="Estimate first: how large is the mixture?",
        subject="estimates",
        text=(
            "An aliquot of {aliquot} is taken from a mixture made with a multiple factor of {multiple_factor}.\n\n"
            "What is the total mixture? " + _FIRST
        ),
        draw=_draw_mixture,
        asked=(_estimate(total_mixture), Asked(total_mixture, aliases=("total", "mixture", "t"))),
    )
)
