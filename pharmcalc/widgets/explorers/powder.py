"""One need, one jar: the powder that each way of calculating would weigh, and the drug that lies in it."""

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES, Mistake
from pharmcalc.kinds import MASS, PERCENT, PURITY
from pharmcalc.language import later, say
from pharmcalc.potency import drug_on_dried_basis, powder_on_dried_basis
from pharmcalc.units import Quantity, quantity
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, anchor
from pharmcalc.widgets.explorers.frame import NOTHING, Picture, figure, milligrams, still
from pharmcalc.widgets.markup import Shown, heading, note

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["powder_explorer", "powder_figure"]

AS_PURE = "purity-left-out"
RIGHT_WAY = "right"
_RIGHT_NAME = later("Divided by the assay, and by what is left after drying")
_OF_ONE_POWDER = {*powder_on_dried_basis.kinds, "purity"}  # the others compare two forms of the drug
_MISTAKES: tuple[Mistake, ...] = (
    MISTAKES[AS_PURE],
    *(mistake for mistake in powder_on_dried_basis.mistakes if mistake.kinds.keys() <= _OF_ONE_POWDER),
)
_NAMES = {RIGHT_WAY: _RIGHT_NAME} | {mistake.id: mistake.named for mistake in _MISTAKES}
FIRST, ROW, BAR = 76, 42, 16
BAR_END = RIGHT - 110  # what a bar weighs stands behind it
LOWEST_ASSAY, MOST_LOSS = Fraction(70), Fraction(20)  # how far the sliders reach, in per cent


@dataclass(frozen=True)
class _Jar:
    """What is needed, and what the certificate of the jar says."""

    drug_wanted: Quantity
    assay_dried: Quantity
    loss_on_drying: Quantity

    def values(self) -> dict[str, Quantity]:
        """Return the same by name; for a powder taken as pure, the purity is the assay."""
        return {**vars(self), "purity": self.assay_dried}

    def powder(self, way: str) -> Quantity:
        """Return what a way of calculating puts on the pan; nothing, where it leads nowhere."""
        try:
            found = (powder_on_dried_basis if way == RIGHT_WAY else MISTAKES[way]).evaluate(self.values())
        except ZeroDivisionError:
            return quantity(0, "milligram")
        return max(found, quantity(0, "milligram"))

    def parts(self, powder: Quantity) -> tuple[Quantity, Quantity, Quantity]:
        """Return the drug, the water and all else in some powder of this jar."""
        drug = drug_on_dried_basis.evaluate({**self.values(), "powder": powder})
        water = powder * self.loss_on_drying.to_base_units()
        return drug, water, powder - drug - water


def powder_figure(
    *,
    drug_wanted: str = "550 mg",
    assay_dried: str = "96 %",
    loss_on_drying: str = "12.5 %",
    way: str = AS_PURE,
) -> Shown:
    """Return, for one need and one jar, the powder that each way of calculating would weigh, as bars and a sentence.

    drug_wanted: a mass above zero. assay_dried: on the dried basis, above zero and at most 100 %. loss_on_drying: below
    100 %, or ``0 %``. way: ``right``, or the id of a known mistake. RefusedError says what to write.
    """
    if way not in _NAMES:
        raise RefusedError("powder: way", f'there is none called "{way}".', f"There are: {', '.join(_NAMES)}.")
    jar = _jar(drug_wanted, assay_dried, loss_on_drying)
    return still(_draw(jar, way))


def powder_explorer(
    drug_wanted: str = "550 mg", *, assay_dried: str = "96 %", loss_on_drying: str = "12.5 %"
) -> "Explorer":
    """Return the picture of :func:`powder_figure` with a list of the ways and sliders for what the certificate says.

    It starts with a powder that was weighed as if it were pure drug. A click on a point of the picture chooses as well.
    """
    from pharmcalc.widgets.controls import Choice, Dial, Explorer  # here: the still picture works without ipywidgets

    jar = _jar(drug_wanted, assay_dried, loss_on_drying)
    assay, loss = (_per_cent(value) for value in (jar.assay_dried, jar.loss_on_drying))
    ways = tuple(_NAMES)
    dials = (
        Choice("How the powder was calculated", tuple(_NAMES.values()), ways.index(AS_PURE)),
        Dial("Assay on the dried basis, in %", min(LOWEST_ASSAY, assay), Fraction(100), _step(assay), assay),
        Dial("Loss on drying, in %", Fraction(0), max(MOST_LOSS, loss), _step(loss), loss),
    )

    def draw(place: int, assay_now: Fraction, loss_now: Fraction) -> Picture:
        now = _Jar(jar.drug_wanted, quantity(assay_now, "percent"), quantity(loss_now, "percent"))
        return _draw(now, ways[place])

    return Explorer(
        heading(say("{drug_wanted} of drug are needed, from one jar", drug_wanted=MASS.show(jar.drug_wanted))),
        dials,
        draw,
    )


def _jar(drug_wanted: str, assay_dried: str, loss_on_drying: str) -> _Jar:
    jar = _Jar(
        MASS.check("powder: drug wanted", drug_wanted),
        PURITY.check("powder: assay", assay_dried),
        PERCENT.check("powder: loss on drying", loss_on_drying),
    )
    for name, value, limit in (("assay", _per_cent(jar.assay_dried), 100), ("loss", _per_cent(jar.loss_on_drying), 99)):
        if value > limit:
            problem = say("must be at most {limit} % here, where every part of the powder is drawn.", limit=limit)
            raise RefusedError(f"powder: {name}", problem, f"Write, for example, {limit} %.")
    return jar


def _per_cent(value: Quantity) -> Fraction:
    return value.to("percent").magnitude


def _step(start: Fraction) -> Fraction:
    """Return a step that reaches the number where the slider starts."""
    halves, tenths = Fraction(1, 2), Fraction(1, 10)
    return next((step for step in (halves, tenths) if start % step == 0), Fraction(1, 100))


def _missing(jar: _Jar, drug: Quantity) -> str:
    """Say how the drug in the powder compares with what is needed."""
    needed, off = MASS.show(jar.drug_wanted), abs(drug - jar.drug_wanted)
    if not off.magnitude:
        return say("{needed} of drug are needed, and they are there", needed=needed)
    share = PERCENT.show((off / jar.drug_wanted).to("percent"))
    much = say("too little") if drug < jar.drug_wanted else say("too much")
    return say(
        "{needed} of drug are needed: this is {off} {much}, {share} of the need",
        needed=needed,
        off=MASS.show(off),
        much=much,
        share=share,
    )


def _certificate(jar: _Jar) -> str:
    assay, loss = PERCENT.show(jar.assay_dried), PERCENT.show(jar.loss_on_drying)
    return say("assay {assay} on the dried basis, loss on drying {loss}", assay=assay, loss=loss)


def _words(jar: _Jar, way: str) -> str:
    return say("{outcome} (The jar: {certificate}.)", outcome=_outcome(jar, way), certificate=_certificate(jar))


def _outcome(jar: _Jar, way: str) -> str:
    powder = jar.powder(way)
    if not powder.magnitude:
        return say(
            "{way}. With these numbers nothing would be left to weigh. {lesson}",
            way=say(_NAMES[way]),
            lesson=MISTAKES[way].lesson,
        )
    drug, water, other = jar.parts(powder)
    others = ((say("water"), water), (say("other substances"), other))
    *listed, last = [
        say("{mass} of {name}", mass=MASS.show(mass), name=name)
        for name, mass in ((say("drug"), drug), *others)
        if mass.magnitude
    ]
    inside = say("{listed} and {last}", listed=", ".join(listed), last=last) if listed else last
    said = say(
        "{way}: {powder} of powder. In it are {inside}. {jar}.",
        way=say(_NAMES[way]),
        powder=MASS.show(powder),
        inside=inside,
        jar=_missing(jar, drug),
    )
    if way == RIGHT_WAY:
        return said
    if powder == jar.powder(RIGHT_WAY):
        return say("{said} With these numbers the mistake does not show.", said=said)
    return f"{said} {MISTAKES[way].lesson}"


def _draw(jar: _Jar, chosen: str) -> Picture:
    words = _words(jar, chosen)
    powders = {way: jar.powder(way) for way in _NAMES}
    widest = max(jar.drug_wanted * 2, *powders.values())
    foot = FIRST + ROW * len(powders)
    drawing = Drawing(WIDTH, foot + 44)
    drawing.words(say("The jar: {jar}", jar=_certificate(jar)), LEFT, 18, "heading")

    def wide(mass: Quantity) -> float:
        return float(milligrams(mass) / milligrams(widest)) * (BAR_END - LEFT)

    needed_at = LEFT + wide(jar.drug_wanted)
    for place, (way, powder) in enumerate(powders.items()):
        parts = tuple(wide(part) for part in jar.parts(powder))
        weighed_at = max(LEFT + wide(powder), needed_at) + 8
        _draw_row(drawing, place, way == chosen, (say(_NAMES[way]), MASS.show(powder)), parts, weighed_at)
    said = say("drug needed: {drug_wanted}", drug_wanted=MASS.show(jar.drug_wanted))
    drawing.words(said, needed_at, 42, "soft", anchor(needed_at, said))
    for place in range(len(powders)):  # not through the words between the bars
        top = FIRST + ROW * place
        drawing.line("limit", needed_at, top - 3, needed_at, top + BAR + 3)
    _legend(drawing, foot + 26)
    return (
        figure(drawing.svg(say("One need, and what each way of calculating would weigh"), words)),
        note(words),
        NOTHING,
    )


def _draw_row(
    drawing: Drawing, place: int, chosen: bool, said: tuple[str, str], parts: tuple[float, ...], weighed_at: float
) -> None:
    y = FIRST + ROW * place
    (name, weighed), (drug, water, other) = said, parts
    drawing.dot("drug" if chosen else "face", LEFT + 6, y - 11, 6, pick=place)
    drawing.words(name, LEFT + 20, y - 6)
    drawing.box("drug", LEFT, y, drug, BAR)
    drawing.box("diluent", LEFT + drug, y, other, BAR)
    drawing.stripes("stripes", LEFT + drug + other, y, water, BAR)
    drawing.box("aliquot" if chosen else "axis", LEFT, y, drug + other + water, BAR)
    drawing.words(weighed, weighed_at, y + BAR - 3, "soft")


def _legend(drawing: Drawing, y: int) -> None:
    for kind, said, x in (("drug", say("drug"), LEFT), ("diluent", say("other substances"), LEFT + 110)):
        drawing.box(kind, x, y - 12, 18, 14)
        drawing.words(said, x + 26, y)
    drawing.stripes("stripes", LEFT + 300, y - 12, 18, 14)
    drawing.words(say("water"), LEFT + 326, y)
    drawing.line("limit", LEFT + 430, y - 5, LEFT + 456, y - 5)
    drawing.words(say("drug needed"), LEFT + 464, y)
