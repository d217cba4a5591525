"""A strength as a part of the whole: drug and diluent drawn to scale, and the strength in every word."""

from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.kinds import MASS, PERCENT, PERCENT_WW, RATIO
from pharmcalc.language import say
from pharmcalc.strengths import percentage_ww, ratio_of_drug_and_diluent
from pharmcalc.units import Quantity, quantity, quotient
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, scale
from pharmcalc.widgets.explorers.frame import Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note, table

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["strength_parts", "strength_parts_figure"]

MOST_DRUG, MOST_WHOLE = Fraction(50), Fraction(200)  # grams
TALL = 34  # how thick a bar is


def strength_parts_figure(*, drug: str = "5 g", whole: str = "105 g") -> Shown:
    """Return a mixture as a bar, the same as a bar of 100 parts, and its strength in every word.

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

    return Explorer(heading(say("A strength is a part of the whole")), dials, draw)


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


def _words(drug: Quantity, whole: Quantity) -> tuple[str, Shown]:
    """Return what the picture shows; and the strength in every word, with what drug to diluent would say."""
    rest = whole - drug
    strength = PERCENT_WW.show(percentage_ww(drug=drug, preparation=whole))
    ratio = RATIO.show(ratio_of_drug_and_diluent(drug=drug, diluent=rest))
    mistaken = RATIO.show(MISTAKES["ratio-drug-to-diluent"].evaluate({"drug": drug, "diluent": rest}))
    too_much = PERCENT_WW.show(MISTAKES["percentage-drug-over-rest"].evaluate({"drug": drug, "preparation": whole}))
    each = MASS.show((drug * quotient(quantity(1, "gram"), whole)).to("milligram"))
    said = say(
        "{drug} of drug and {rest} of diluent are {whole}, the whole: {strength}, "
        "{ratio}, {each} in each gram. Drug to diluent is {mistaken}, which would say {too_much}: too much.",
        drug=MASS.show(drug),
        rest=MASS.show(rest),
        whole=MASS.show(whole),
        strength=strength,
        ratio=ratio,
        each=each,
        mistaken=mistaken,
        too_much=too_much,
    )
    rows = (
        (say("percentage strength"), strength, say("the drug in 100 parts of the whole")),
        (say("ratio strength"), ratio, say("one part of drug in so many parts of the whole")),
        (say("drug in each gram"), each, say("the drug in 1 g of the whole")),
        (
            say("drug to diluent (no strength)"),
            mistaken,
            say("the drug is not counted in; taken for a strength: {too_much}", too_much=too_much),
        ),
    )
    return said, table(say("One mixture in every word"), (say("The word"), say("Here"), say("What it counts")), rows)


def _draw(drug: Quantity, whole: Quantity) -> Picture:
    said, names = _words(drug, whole)
    drawing = Drawing(WIDTH, 232)
    top = max(_grams(whole), MOST_WHOLE)
    long = float(_grams(whole) / top) * (RIGHT - LEFT)
    share = quotient(drug, whole)
    drawing.words(say("As it is mixed"), LEFT, 16, "heading")
    _bar(drawing, 44, long, share)
    drawing.words(say("drug {drug}", drug=MASS.show(drug)), LEFT, 36)
    drawing.words(say("diluent {whole}", whole=MASS.show(whole - drug)), max(LEFT + long, LEFT + 230), 36, "", "end")
    scale(drawing, top, 84, "g")
    drawing.words(say("The same, as 100 parts"), LEFT, 136, "heading")
    _bar(drawing, 164, RIGHT - LEFT, share)
    drawing.words(say("drug {share}", share=PERCENT.show(quantity(share * 100, "percent"))), LEFT, 156)
    scale(drawing, Fraction(100), 204, "%")
    svg = drawing.svg(say("{drug} of drug in {whole}", drug=MASS.show(drug), whole=MASS.show(whole)), said)
    return figure(svg), note(said), names


def _bar(drawing: Drawing, y: int, long: float, share: Fraction) -> None:
    """Draw a whole as a bar, with the drug's share of it."""
    drawing.box("diluent", LEFT, y, long, TALL)
    drawing.box("drug", LEFT, y, long * float(share), TALL)
    drawing.box("aliquot", LEFT, y, long, TALL)
