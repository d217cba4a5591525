"""Whole orders with a powder that is not just the drug named: from what is ordered to what goes on the pan."""

from collections.abc import Collection
from fractions import Fraction

from pharmcalc.aliquots import Limits
from pharmcalc.balances import least_weighable_quantity
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES, Values
from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.potency import drug_in_form, drug_on_dried_basis, form_to_weigh, powder_on_dried_basis
from pharmcalc.potency.molar_mass import WATER
from pharmcalc.recipes import amount_for_batch, filler_beside_powder, units_to_make
from pharmcalc.rounding import round_to_places
from pharmcalc.tasks.asked import Asked, Decision, Option
from pharmcalc.tasks.batches import LOSS_COUNTED, UNITS_WORDS, loss
from pharmcalc.tasks.consequences import compared
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Drawn, Family, Made, Proof, Task, register
from pharmcalc.tasks.forms import HYDRATES, SALTS
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity, quantity, quotient

__all__: list[str] = []

_DIRECTLY, _NOT_DIRECTLY = "directly", "not-directly"


def _right_way(task: Task, values: Values) -> Collection[str]:
    return (_DIRECTLY if values["powder"] >= values["least_weighable_quantity"] else _NOT_DIRECTLY,)


def _why_way(task: Task) -> str:
    powder, least = task.shown("powder"), task.shown("least_weighable_quantity")
    if _DIRECTLY in _right_way(task, task.values):
        return say("The powder, {powder}, reaches the least weighable quantity of {least}", powder=powder, least=least)
    return say(
        "The powder, {powder}, is below the least weighable quantity of {least}; use an aliquot or a finer balance",
        powder=powder,
        least=least,
    )


_UNITS = Asked(
    units_to_make,
    called="units_made",
    label="number of units",
    marks=1,
    aliases=UNITS_WORDS,
    sometimes_right=LOSS_COUNTED,
)
_LEAST = Asked(least_weighable_quantity, aliases=("lwq", "mwq", "minimum weighable quantity", "least weighable amount"))
_WAY = Decision(
    "way",
    "way",
    (
        Option(
            _DIRECTLY,
            "weigh directly",
            "Below the least weighable quantity, a weighing may be wrong by more than the house allows.",
            critical=True,
            aliases=("directly", "direct", "yes"),
        ),
        Option(
            _NOT_DIRECTLY,
            "not directly",
            "The powder reaches the least weighable quantity, so this balance may weigh it.",
            aliases=("no", "not", "aliquot"),
        ),
    ),
    _right_way,
    _why_way,
    aliases=("decision", "weighing"),
)
_FILLER = Asked(
    filler_beside_powder,
    label="lactose to weigh",
    weighed=True,
    aliases=("lactose", "filler", "diluent"),
    sometimes_right=("filler-beside-loss-left-out",),
)


def _batch(label: str) -> Asked:
    return Asked(
        amount_for_batch,
        called="drug_wanted",
        label=label,
        aliases=("drug", "need", "drug needed", "drug wanted", "base"),
        sometimes_right=("batch-loss-left-out", "batch-loss-counted-twice"),
    )


def _made(task: Task, said: Values) -> Made | None:
    """Recompute what the student's own powder and filler would make, filled to the weight that was ordered."""
    if not {"powder", "filler_beside_powder"} <= said.keys():
        return None
    right, batch = task.values, said["powder"] + said["filler_beside_powder"]
    whole = right["unit_mass"] * right["units_made"]
    held = right["per_unit"] * (quotient(said["powder"], right["powder"]) * quotient(whole, batch))
    return Made(
        {},
        (
            (say("Each {unit} would hold", unit=say(task.drawn.words["unit"])), held, right["per_unit"]),
            (say("The whole batch would weigh"), batch, whole),
        ),
    )


def _why_not(name: str, values: Values, limits: Limits | None) -> str:
    if name == "powder" and values["powder"] >= values["unit_mass"] * values["units_made"]:
        return say("there would be no room for lactose")
    return ""


def _consequence(task: Task, values: Values) -> str:
    """Say what each unit would really hold; where the strength is right, for how many units it would be enough."""
    made = _made(task, values)
    if made is None:
        return ""
    unit, right = say(task.drawn.words["unit"]), task.values
    (_, held, dose), (_, batch, whole) = made.amounts
    said = compared(held, dose, later("drug"))
    if said:
        return say(
            "Filled to {unit_mass}, each {unit} would hold {said}.",
            unit_mass=MASS.show(right["unit_mass"]),
            unit=unit,
            said=said,
        )
    if compared(batch, whole, later("powder")) and batch < whole:
        enough = int(quotient(batch, right["unit_mass"]))
        return say("There would be powder for {enough} units and nothing for what is always lost.", enough=enough)
    return ""


def _draw_batch(dice: Dice, house: HouseRules, doses: tuple[str, ...]) -> tuple[Drawn, Limits]:
    """Return the part that both orders share: units, doses, the balance and its words."""
    balance = dice.pick(house.balances)
    ordered = dice.between(8, 24)
    unit_mass = quantity(dice.pick((180, 200, 220, 250, 280, 300)), "mg")
    limits = house.limits(balance, unit_mass * (ordered + house.extra_units))
    values = {
        "per_unit": quantity(dice.pick(doses), "mg"),
        "units_ordered": quantity(ordered),
        "extra_units": quantity(house.extra_units),
        "unit_mass": unit_mass,
        "sensitivity": balance.error_at_most(house.allowed_error),
        "allowed_error": house.allowed_error,
    }
    said = {"balance": balance.name, "capacity": MASS.show(limits.capacity), "loss": loss(house)}
    return Drawn(values, said, limits), limits


def _clearly(drawn: Drawn, powder: Quantity) -> Drawn:
    """Refuse a powder so near the least weighable quantity that rounding would decide about it."""
    assert drawn.limits is not None
    if abs(quotient(powder, drawn.limits.least_weighable_quantity) - 1) < _TOO_NEAR:
        raise RefusedError("draw", "the powder is too near the least weighable quantity.", "Draw again.")
    return drawn


_TOO_NEAR = Fraction(5, 100)
_BALANCE = (
    "You have {balance}: sensitivity requirement {sensitivity}, capacity {capacity}. No weighing may be wrong by more "
    "than {allowed_error}."
)


# Divided powders of a hydrate ----------------------------------------------------------------------------------------

_GIVEN = tuple(form for form in HYDRATES if form.doses)
_SUBTRACTED = MISTAKES["dried-basis-loss-subtracted"]


def _draw_powders(dice: Dice, house: HouseRules) -> Drawn:
    form = dice.pick(_GIVEN)
    shared, limits = _draw_batch(dice, house, form.doses)
    with_water = form.molar_mass + WATER * form.waters
    water = round_to_places(((WATER * form.waters) / with_water).to("percent"), 1)
    values = {
        **shared.values,
        "assay_dried": quantity(Fraction(dice.between(900, 970, 5), 10), "percent"),
        "loss_on_drying": water + quantity(Fraction(dice.between(-3, 3), 10), "percent"),
        "molar_mass_anhydrous": form.molar_mass,
        "molar_mass_hydrate": with_water,
    }
    said = {**shared.words, "named": form.named, "used": form.used, "unit": later("powder")}
    units = quotient(values["units_ordered"] + values["extra_units"], quantity(1))
    needed = {**values, "drug_wanted": values["per_unit"] * units}
    powder, subtracted = powder_on_dried_basis.evaluate(needed), _SUBTRACTED.evaluate(needed)
    if subtracted - powder < limits.display_step * 2:
        raise RefusedError("draw", "a loss subtracted from the assay would not show on this balance.", "Draw again.")
    return _clearly(Drawn(values, said, limits), powder)


register(
    Family(
        id="order-divided-powders",
        title="An order: divided powders from a hydrate",
        subject="potency",
        level=3,
        text=(
            "{units_ordered} divided powders are ordered, each with {per_unit} of {named} and made up to {unit_mass} "
            "with lactose. {loss}\n\n"
            "The jar holds {used}. Its certificate states: assay {assay_dried}, on the anhydrous basis; water "
            "{loss_on_drying}. The label adds the molar masses: {molar_mass_anhydrous} without water, "
            f"{{molar_mass_hydrate}} with it. {_BALANCE}\n\n"
            "How many powders do you calculate for, and how much drug do they need? How much of what is in the jar "
            "holds it, and may this balance weigh that directly? How much lactose goes with it?"
        ),
        draw=_draw_powders,
        asked=(
            _UNITS,
            _batch("drug for the batch"),
            Asked(
                powder_on_dried_basis,
                called="powder",
                label="powder from the jar",
                weighed=True,
                aliases=("powder", "hydrate", "powder to weigh", "jar"),
            ),
            _LEAST,
            _WAY,
            _FILLER,
        ),
        proof=Proof(drug_on_dried_basis),
        why_not=_why_not,
        made=_made,
        consequence=_consequence,
    )
)


# Capsules of a base, made from its salt ------------------------------------------------------------------------------


def _draw_capsules(dice: Dice, house: HouseRules) -> Drawn:
    form = dice.pick(SALTS)
    shared, limits = _draw_batch(dice, house, form.doses)
    values = {
        **shared.values,
        "molar_mass_named": form.molar_mass_of_base,
        "molar_mass_used": form.molar_mass_of_salt,
        "named_in_one_used": quantity(form.held),
    }
    said = {**shared.words, "base": form.base, "salt": form.salt, "unit": later("capsule")}
    units = quotient(values["units_ordered"] + values["extra_units"], quantity(1))
    powder = form_to_weigh.evaluate({**values, "drug_wanted": values["per_unit"] * units})
    return _clearly(Drawn(values, said, limits), powder)


register(
    Family(
        id="order-capsules-salt",
        title="An order: capsules of a base, made from its salt",
        subject="potency",
        level=3,
        text=(
            "{units_ordered} capsules are ordered, each with {per_unit} of {base}, counted as the base, and filled "
            "with lactose to {unit_mass}. {loss}\n\n"
            "The jar holds {salt}. Molar masses: {base} {molar_mass_named}, {salt} {molar_mass_used}; one mole of the "
            f"salt holds {{named_in_one_used}} mol of the base. {_BALANCE}\n\n"
            "How many capsules do you calculate for, and how much base do they need? How much salt holds it, and may "
            "this balance weigh that directly? How much lactose goes with it?"
        ),
        draw=_draw_capsules,
        asked=(
            _UNITS,
            _batch("base for the batch"),
            Asked(
                form_to_weigh,
                called="powder",
                label="salt from the jar",
                weighed=True,
                aliases=("salt", "powder", "salt to weigh", "jar"),
                sometimes_right=("salt-count-left-out",),
            ),
            _LEAST,
            _WAY,
            _FILLER,
        ),
        proof=Proof(drug_in_form, {"form_weighed": "powder"}),
        why_not=_why_not,
        made=_made,
        consequence=_consequence,
    )
)
