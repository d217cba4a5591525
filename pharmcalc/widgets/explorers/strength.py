"""A strength as a part of the whole: drug and diluent drawn to scale, and the same strength in every word."""

from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.kinds import MASS, PERCENT, RATIO
from pharmcalc.strengths import percentage_ww, ratio_of_drug_and_diluent
from pharmcalc.units import Quantity, number_text, quantity, quotient
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, anchor, scale
from pharmcalc.widgets.explorers.frame import NOTHING, Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["strength_parts", "strength_parts_figure"]

MOST_DRUG, MOST_WHOLE = Fraction(50), Fraction(200)  # grams


def strength_parts_figure(*, drug: str = "5 g", whole: str = "105 g") -> Shown:
    """Return a mixture as a bar with its drug, and its strength in every word.

    drug and whole: masses above zero; the whole is drug and diluent together, and larger. RefusedError says what to
    write.
    """
    return still(_draw(*_checked(MASS.check("strength_parts: drug", drug), MASS.check("strength_parts: whole", whole))))


def strength_parts(drug: str = "5 g", whole: str = "105 g") -> "Explorer":
    """Return the picture of :func:`strength_parts_figure` with sliders for the drug and for the whole.

    It starts with 5 g in 105 g: somebody added 5 g of drug to 100 g of base, and called it 5 %.
    """
    from pharmcalc.widgets.controls import Dial, Explorer  # here: the still picture works without ipywidgets

    start, all_of_it = _checked(MASS.check("strength_parts: drug", drug), MASS.check("strength_parts: whole", whole))
    dials = (
        Dial("Drug, in g", Fraction(1), MOST_DRUG, Fraction(1), _grams(start)),
        Dial("Whole preparation, in g", MOST_DRUG + 5, MOST_WHOLE, Fraction(5), _grams(all_of_it)),
    )

    def draw(drug_now: Fraction, whole_now: Fraction) -> Picture:
        return _draw(quantity(drug_now, "gram"), quantity(whole_now, "gram"))

    return Explorer(heading("A strength is a part of the whole"), dials, draw)


def _grams(mass: Quantity) -> Fraction:
    return mass.to("gram").magnitude


def _checked(drug: Quantity, whole: Quantity) -> tuple[Quantity, Quantity]:
    if drug >= whole:
        raise RefusedError(
            "strength_parts: whole",
            f"{MASS.show(whole)} cannot hold {MASS.show(drug)} of drug and a diluent.",
            "The whole is drug and diluent together; write more than the drug.",
        )
    return drug, whole


def _words(drug: Quantity, whole: Quantity) -> str:
    diluent = whole - drug
    strength = percentage_ww(drug=drug, preparation=whole)
    ratio = ratio_of_drug_and_diluent(drug=drug, diluent=diluent)
    mistaken = MISTAKES["ratio-drug-to-diluent"].evaluate({"drug": drug, "diluent": diluent})
    each = MASS.show(drug * quotient(quantity(1, "gram"), whole))
    return (
        f"{MASS.show(drug)} of drug in {MASS.show(whole)} of the whole, with {MASS.show(diluent)} of diluent: "
        f"{PERCENT.show(strength)} w/w, {RATIO.show(ratio)}, {each} in each gram. "
        f"Drug to diluent is {RATIO.show(mistaken)}; that is no ratio strength."
    )


def _draw(drug: Quantity, whole: Quantity) -> Picture:
    words = _words(drug, whole)
    drawing = Drawing(WIDTH, 190)
    top = max(_grams(whole), MOST_WHOLE)

    def x(mass: Quantity) -> float:
        return LEFT + float(_grams(mass) / top) * (RIGHT - LEFT)

    drawing.words("The whole preparation", LEFT, 18, "heading")
    drawing.box("diluent", LEFT, 56, x(whole) - LEFT, 44)
    drawing.box("drug", LEFT, 56, x(drug) - LEFT, 44)
    drawing.box("aliquot", LEFT, 56, x(whole) - LEFT, 44)
    said = f"drug {MASS.show(drug)}"
    drawing.words(said, LEFT, 46)
    said = f"diluent {MASS.show(whole - drug)}"
    drawing.words(said, max(x(whole), LEFT + 230), 46, "", "end")
    scale(drawing, top, 112, "g")
    said = f"{number_text(quotient(drug, whole) * 100, 3)[0]} of each 100 parts are drug"
    drawing.words(said, x(drug), 160, "soft", anchor(x(drug), said))
    drawing.line("limit", x(drug), 52, x(drug), 146)
    svg = drawing.svg(f"{MASS.show(drug)} of drug in {MASS.show(whole)}", words)
    return figure(svg), note(words), NOTHING
