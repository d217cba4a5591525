"""Decide first: may it be weighed here at all, directly or by an aliquot; and is the order one to go ahead with."""

from collections.abc import Collection
from dataclasses import replace

from pharmcalc.aliquots import Limits, smallest_plan
from pharmcalc.aliquots.remedies import remedies
from pharmcalc.balances import least_weighable_quantity, percentage_of_error
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Values
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import later, say
from pharmcalc.tasks.asked import Asked, Decision, Option
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Drawn, Family, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity, quantity

__all__: list[str] = []

DIRECT, ALIQUOT, NEITHER, NONE = "direct", "aliquot", "neither", "none"
_NO_HELP = "Here it does not help, or it is not needed."
_DRUGS = (
    later("atropine sulfate"),
    later("colchicine"),
    later("clonidine hydrochloride"),
    later("liothyronine sodium"),
    later("codeine phosphate"),
)


def _way(wanted: Quantity, limits: Limits) -> str:
    """Return how an amount can be weighed within these limits."""
    if wanted >= limits.least_weighable_quantity:
        return DIRECT
    try:
        smallest_plan(drug_wanted=wanted, limits=limits)
    except RefusedError:
        return NEITHER
    return ALIQUOT


def _right_way(task: Task, values: Values) -> Collection[str]:
    assert task.limits is not None
    limits = replace(task.limits, least_weighable_quantity=values["least_weighable_quantity"])
    return (_way(values["drug_wanted"], limits),)


def _right_remedy(task: Task, values: Values) -> Collection[str]:
    neither = NEITHER in _right_way(task, values)
    return task.drawn.words["remedies"].split() or ("batch", "balance", "twice") if neither else (NONE,)


def _why_way(task: Task) -> str:
    assert task.limits is not None
    wanted, least, final = task.shown("drug_wanted"), task.shown("least_weighable_quantity"), task.limits.final_quantity
    way = _way(task.values["drug_wanted"], task.limits)
    if way == DIRECT:
        return say("{wanted} reaches the least weighable quantity of {least}", wanted=wanted, least=least)
    if way == ALIQUOT:
        return say("{task}; one aliquot keeps every rule", task=_too_little(task))
    if final is not None:
        return say(
            "{task}. The whole preparation of {final} is below {least} too, so no aliquot fits",
            task=_too_little(task),
            final=MASS.show(final),
            least=least,
        )
    return say("{task}. The mixture for one aliquot would be above the capacity of the balance", task=_too_little(task))


def _too_little(task: Task) -> str:
    wanted, least = task.shown("drug_wanted"), task.shown("least_weighable_quantity")
    return say(
        "{wanted} is below the least weighable quantity of {least}: weighed directly, it may be wrong by "
        "{percentage_of_error}",
        wanted=wanted,
        least=least,
        percentage_of_error=PERCENT.show(task.values["percentage_of_error"]),
    )


def _why_remedy(task: Task) -> str:
    if not task.drawn.words["remedies"]:
        return say("The way above can be gone as it is")
    several = " " in task.drawn.words["remedies"]
    return say("{which} was tried here and keeps the rules", which=say("Each of these") if several else say("It"))


def _draw_way(dice: Dice, house: HouseRules) -> Drawn:
    kind = dice.pick((DIRECT, ALIQUOT, "capsule", "tiny"))
    balance = dice.pick(house.balances)
    limits = house.limits(balance)
    least = limits.least_weighable_quantity.to("milligram").magnitude
    step = dice.between(1, 40)
    if kind == DIRECT:
        wanted, final = quantity(int(least) + 1 + step * dice.between(1, 12), "mg"), None
    elif kind == ALIQUOT:
        wanted, final = quantity(max(2, int(least) * (step + 5) // 50), "mg"), None
    elif kind == "capsule":
        wanted, final = quantity(dice.between(2, 9), "mg"), quantity(dice.pick((50, 60, 70)), "mg")
    else:
        wanted, final = quantity(dice.pick((10, 15, 20, 25, 30, 40, 50)), "microgram"), None
    limits = replace(limits, final_quantity=final)
    works = ""
    if _way(wanted, limits) == NEITHER:
        works = " ".join(sorted(_remedies(wanted, limits, house, balance.name)))
        if not works:
            raise RefusedError("draw", "nothing helps here.", "Draw again.")
    elif kind not in (DIRECT, ALIQUOT):
        raise RefusedError("draw", "this balance can do it.", "Draw again.")
    values = {
        "drug_wanted": wanted,
        "load": wanted,
        "sensitivity": balance.error_at_most(house.allowed_error),
        "allowed_error": house.allowed_error,
    }
    said = {
        "drug": dice.pick(_DRUGS),
        "balance": balance.name,
        "capacity": MASS.show(balance.carries),
        "prepared": say(", for one capsule of {final} in all", final=MASS.show(final)) if final is not None else "",
        "others": _others(house, balance.name),
        "remedies": works,
    }
    return Drawn(values, said, limits)


def _remedies(wanted: Quantity, limits: Limits, house: HouseRules, here: str) -> set[str]:
    others = {
        other.name: replace(house.limits(other), final_quantity=limits.final_quantity)
        for other in house.balances
        if other.name != here
    }
    tried = remedies(drug_wanted=wanted, limits=limits, other_balances=others)
    return {remedy.id for remedy in tried if remedy.works}


def _others(house: HouseRules, here: str) -> str:
    others = (f"{other.name} ({other.summary()})" for other in house.balances if other.name != here)
    return "; ".join(others) or say("no other balance")


register(
    Family(
        id="decide-first",
        title="Directly, by an aliquot, or not here?",
        subject="decisions",
        text=(
            "{drug_wanted} of {drug} are wanted{prepared}. You stand at {balance}: sensitivity requirement "
            "{sensitivity}, capacity {capacity}. No weighing may be wrong by more than {allowed_error}. "
            "The lab also has {others}.\n\n"
            "Before anything is weighed, decide: can it be weighed directly, by one solid aliquot, or neither? "
            "Where neither is possible, name a remedy that works."
        ),
        draw=_draw_way,
        asked=(
            Asked(least_weighable_quantity, aliases=("lwq", "mwq", "minimum weighable quantity")),
            Asked(
                percentage_of_error,
                label="error if weighed directly",
                aliases=("error", "% error", "percentage of error", "direct error"),
            ),
            Decision(
                "way",
                "way",
                (
                    Option(
                        DIRECT,
                        "weigh directly",
                        "A weighing below the least weighable quantity may be wrong by more than the house allows.",
                        critical=True,
                        aliases=("directly", "direct"),
                    ),
                    Option(
                        ALIQUOT,
                        "one aliquot",
                        "An aliquot is for what is too little to weigh directly, where a plan keeps every rule.",
                        aliases=("aliquot", "by an aliquot"),
                    ),
                    Option(
                        NEITHER, "neither", "There is a way to weigh it here.", halts=True, aliases=("not here", "none")
                    ),
                ),
                _right_way,
                _why_way,
                marks=3,
                aliases=("decision", "how"),
            ),
            Decision(
                "remedy",
                "remedy",
                (
                    Option(
                        NONE,
                        "none needed",
                        "Without a remedy nothing can be weighed here.",
                        critical=True,
                        aliases=("none", "nothing"),
                    ),
                    Option(
                        "batch",
                        "a larger batch",
                        _NO_HELP,
                        aliases=("larger batch", "batch", "bigger batch"),
                    ),
                    Option(
                        "balance",
                        "another balance",
                        _NO_HELP,
                        aliases=("better balance", "other balance"),
                    ),
                    Option(
                        "twice",
                        "two aliquots in a row",
                        _NO_HELP,
                        aliases=("serial", "serial aliquots", "two aliquots"),
                    ),
                ),
                _right_remedy,
                _why_remedy,
                aliases=("cure", "way out"),
            ),
        ),
        consequence=lambda task, values: (
            say(
                "Weighed directly, {wanted} may be wrong by {error}.",
                wanted=task.shown("drug_wanted"),
                error=PERCENT.show(task.values["percentage_of_error"]),
            )
            if values["least_weighable_quantity"]
            <= task.values["drug_wanted"]
            < task.values["least_weighable_quantity"]
            else ""
        ),
        level=2,
    )
)

# Stop and ask --------------------------------------------------------------------------------------------------------

_FINE = "fine"
_JARS = (
    (later("codeine phosphate"), later("codeine base")),
    (later("atropine sulfate"), later("atropine")),
    (later("quinine sulfate"), later("quinine hydrochloride")),
    (later("zinc sulfate heptahydrate"), later("zinc sulfate monohydrate")),
    (later("magnesium citrate"), later("magnesium oxide")),
    (later("lidocaine hydrochloride"), later("lidocaine base")),
)
HAZARDOUS = (
    later("methotrexate"),
    later("fluorouracil"),
    later("azathioprine"),
    later("tamoxifen citrate"),
    later("cyclophosphamide"),
)
"""On the NIOSH list of hazardous drugs in healthcare settings (from memory)."""
_REASONS = {
    _FINE: later("nothing is wrong"),
    "hazardous": later("hazardous drug"),
    "salt": later("another salt or form"),
    "illegible": later("amount cannot be read"),
    "expired": later("past its expiry date"),
    "basis": later("strength without its basis"),
}
_SAID_WHY = {
    _FINE: later("Order and jar agree in name, form and amount, the jar is in date, and nothing asks for containment"),
    "hazardous": later(
        "The jar says hazardous: it is handled in containment, by trained staff, never on the open bench"
    ),
    "salt": later(
        "Order and jar name different salts or forms; the same mass of another form holds another amount of drug"
    ),
    "illegible": later("An amount that cannot be read for certain is never guessed"),
    "expired": later("What is past its expiry date is not used"),
    "basis": later("A percentage without w/w, w/v or v/v can mean different amounts"),
}


def _draw_order(dice: Dice, house: HouseRules) -> Drawn:
    kind = dice.pick((_FINE, _FINE, _FINE, *(reason for reason in _REASONS if reason != _FINE)))
    named, other = dice.pick(_JARS)
    amount, units = quantity(dice.between(20, 180, 5), "mg"), dice.between(4, 24, 2)
    said = MASS.show(amount)
    if kind == "illegible":
        said = say("{smudged} mg (one figure is smudged)", smudged=dice.pick(("1?0", "?5", "2?", "?.5")))
    order = say("{units} powders, each with {said} of {named}", units=units, said=said, named=say(named))
    if kind == "basis":
        order = say(
            "{volume} mL of a {strength} % lotion with {named}",
            volume=dice.pick((30, 60, 90)),
            strength=dice.pick((1, 2, 3, 5)),
            named=say(named),
        )
    jar = named
    if kind == "hazardous":
        jar = dice.pick(HAZARDOUS)
        order = say("{units} powders, each with {said} of {jar}", units=units, said=said, jar=say(jar))
    if kind == "salt":
        jar = other
    month, past = dice.between(1, 12), kind == "expired"
    expiry = f"{month:02d}/{2024 if past else 2029}"
    hazard = say("HAZARDOUS DRUG: handle in containment") if kind == "hazardous" else say("no hazard statement")
    return Drawn({}, {"order": order, "jar": jar, "expiry": expiry, "hazard": hazard, "kind": kind})


register(
    Family(
        id="stop-and-ask",
        title="Go ahead, or stop and ask?",
        subject="decisions",
        text=(
            "The order reads: {order}.\n\nThe jar in front of you reads: {jar}; expiry {expiry}; {hazard}. The year is "
            "2026, and you stand at the open bench.\n\nDecide before you calculate: go ahead, or stop and ask? "
            "Then say what the reason is."
        ),
        draw=_draw_order,
        asked=(
            Decision(
                "action",
                "action",
                (
                    Option(
                        "go",
                        "go ahead",
                        "Something here must be settled by somebody else first.",
                        critical=True,
                        aliases=("ahead", "go on", "continue"),
                    ),
                    Option(
                        "stop",
                        "stop and ask",
                        "To ask is never wrong at the bench; but here nothing needs asking.",
                        halts=True,
                        aliases=("stop", "ask"),
                    ),
                ),
                lambda task, values: ("go" if task.drawn.words["kind"] == _FINE else "stop",),
                lambda task: say(_SAID_WHY[task.drawn.words["kind"]]),
                aliases=("decision",),
            ),
            Decision(
                "reason",
                "reason",
                tuple(Option(id, said, "Read order and jar again, word by word.") for id, said in _REASONS.items()),
                lambda task, values: (task.drawn.words["kind"],),
                lambda task: say(_SAID_WHY[task.drawn.words["kind"]]),
                aliases=("why", "because"),
            ),
        ),
        level=1,
    )
)
