"""From text to quantity: the one grammar that reads what people type.

Students write ``120 mg``, ``0,12 g``, ``5 % w/v``, ``1 in 200``, ``1/10 gr`` or ``20 x 6 mg``. Nothing they type
reaches Python, pint or a shell: a small grammar of our own domain reads it, with bounds on its length, on the
size of its numbers and on its powers. What cannot be read is refused with the cure; what could mean two things is
asked back, never guessed.
"""

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Any, cast

from lark import Lark, Token, Transformer
from lark.exceptions import LarkError, UnexpectedInput, UnexpectedToken, VisitError

from pharmcalc.errors import ReadingError
from pharmcalc.grammar import GRAMMAR, SAME_SIGNS, UNIT_OF_SPELLING
from pharmcalc.kept import kept_beside
from pharmcalc.language import DECIMAL_MARKS, habits, later, say
from pharmcalc.units import Quantity, is_plain, number_text, quantity, registry, unit_name, unit_text

__all__ = ["Reading", "read", "read_text"]

LONGEST_TEXT = 200
MOST_DIGITS = 30
LARGEST_POWER = 30
EXAMPLE = later("Write a number and a unit, for example 250 mg.")

# Each by the decimal mark in use; the other one is read too, where it can mean only one thing.
_ONE_MEANING = {
    ".": later("Write {long} without a comma, or {safe} with a point."),
    ",": later("Write {long} without a point, or {safe} with a comma."),
}
_OTHER_MARK = {
    ".": later("the comma was read as a decimal point"),
    ",": later("the point was read as a decimal comma"),
}
_ZERO_FIRST = {
    ".": later("write a zero before the point: {safe}. A lone point is easily missed"),
    ",": later("write a zero before the comma: {safe}. A lone comma is easily missed"),
}
_NO_ZERO_LAST = {
    ".": later("{safe} is safer written {whole}: a missed point would make it ten times larger or more"),
    ",": later("{safe} is safer written {whole}: a missed comma would make it ten times larger or more"),
}

_STRENGTH_UNITS = (
    ("percent", "percent_in_volume"),
    ("mg%", "milligram_percent"),
    ("ppm", "part_per_million_in_volume"),
)


@dataclass(frozen=True)
class Reading:
    """What a text was read as.

    ``basis`` is ``"w/w"``, ``"w/v"``, ``"v/v"`` or ``""`` (not said); ``form`` is how it was written: ``"percent"``,
    ``"ratio"``, ``"mg%"``, ``"ppm"``, ``"amount"`` (a number and a unit) or ``"number"``; ``half_place`` is half a unit
    in the last typed place, in the typed unit (``None`` for a sum that was written out); ``remarks`` are things the
    reader wants to say, such as "write a zero before the point".
    """

    text: str
    value: Quantity
    basis: str = ""
    form: str = "amount"
    half_place: Quantity | None = None
    worked_out: bool = False
    remarks: tuple[str, ...] = ()

    @property
    def shown(self) -> str:
        """The quantity written back: ``120 mg``, ``5 % w/v``, ``1:200``."""
        basis = f" {self.basis}" if self.basis else ""
        if self.form == "ratio":
            value = self.value.to_base_units().magnitude if is_plain(self.value) else self.value.magnitude
            return f"1:{number_text(1 / value)[0]}{basis}"
        number, exact = number_text(self.value.magnitude)
        unit = unit_text(self.value).removesuffix(basis)
        amount = f"{number} {unit}{basis}".replace("  ", " ").strip()
        return amount if exact else say("about {text}", text=amount)


@dataclass
class _Notes:
    """What the grammar met on its way: remarks, the bases, the forms, the last typed place."""

    remarks: list[str] = field(default_factory=list)
    bases: list[str] = field(default_factory=list)
    forms: list[str] = field(default_factory=list)
    places: list[Fraction] = field(default_factory=list)
    numbers: int = 0
    worked: bool = False
    times_hundred_percent: bool = False
    unit_alone: Quantity | None = None


class _Refused(Exception):  # noqa: N818  # never leaves this module; what leaves it is a ReadingError
    def __init__(self, problem: str, cure: str = "") -> None:
        self.problem, self.cure = problem, cure or say(EXAMPLE)


def _number(text: str, notes: _Notes) -> Fraction:
    """Read one number with a decimal point or comma, and remember its last place."""
    notes.numbers += 1
    digits, _, power = text.lower().partition("e")
    if len(digits) > MOST_DIGITS or (power and abs(int(power[:6])) > LARGEST_POWER):
        raise _Refused(
            say("this number is too large or too long to be an amount in a weighing lab."), say("Check the digits.")
        )
    digits = digits.rstrip(".,") if digits[-1] in ".," else digits
    own = DECIMAL_MARKS[habits().decimal_mark]
    other = "," if own == "." else "."
    marks = [mark for mark in digits if mark in ".,"]
    if len(marks) > 1:
        raise _Refused(
            say("there is more than one point or comma in one number."), say("Write 1200 mg without separators.")
        )
    whole, mark, decimals = digits.replace(",", ".").partition(".")
    safe = f"{whole or 0}{own}{decimals}"
    if marks == [other]:
        if len(decimals) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0"):
            raise _Refused(
                say('"{digits}" can mean {long} or {safe}.', digits=digits, long=whole + decimals, safe=safe),
                say(_ONE_MEANING[own], long=whole + decimals, safe=safe),
            )
        notes.remarks.append(say(_OTHER_MARK[own]))
    if mark and not whole:
        notes.remarks.append(say(_ZERO_FIRST[own], safe=safe))
    if decimals and decimals.strip("0") == "" and whole:
        notes.remarks.append(say(_NO_ZERO_LAST[own], safe=safe, whole=whole))
    exponent = int(power) if power else 0
    notes.places.append(Fraction(10) ** (exponent - len(decimals)) / 2)
    return Fraction(f"{whole or '0'}.{decimals or '0'}") * Fraction(10) ** exponent


def _unit_called(spelling: str) -> str | None:
    """Return the unit that a spelling stands for; ``fl. oz``, ``US fl oz`` and ``floz`` are one."""
    return UNIT_OF_SPELLING.get(re.sub(r"^us\s+|\s|(?<=fl)\.", "", spelling.lower()))


class _Builder(Transformer[Token, Quantity]):
    """Turn the parsed text into a quantity, bottom up."""

    def __init__(self, notes: _Notes) -> None:
        super().__init__()
        self.notes = notes

    def power(self, items: list[Any]) -> Fraction:
        value = Fraction(1)
        for item in items:
            if item.type == "TEN_TO":
                exponent = int(re.split(r"\^|\*\*", item)[-1])
                if abs(exponent) > LARGEST_POWER:
                    raise _Refused(
                        say("10 to the power of {exponent} is far outside any amount in a lab.", exponent=exponent),
                        say("Check the power."),
                    )
                scale = Fraction(10) ** exponent
                value *= scale
                if self.notes.places:
                    self.notes.places[-1] *= scale
                else:
                    self.notes.places.append(scale / 2)
                self.notes.numbers += 1
            elif item.type == "NUMBER":
                value *= _number(str(item), self.notes)
        return value

    def mixed(self, items: list[Any]) -> Fraction:
        above, below = re.split(r"\s*/\s*", str(items[-1]))
        bottom = _number(below, self.notes)
        if bottom == 0:
            raise _Refused(say("it divides by zero."), say("Check the number below the line."))
        value = _number(above, self.notes) / bottom
        self.notes.worked = True
        if len(items) == 1:
            return value
        whole = _number(str(items[0]), self.notes)
        if whole.denominator > 1 or value >= 1:
            raise _Refused(
                say('"{whole} {fraction}" is no mixed number.', whole=items[0], fraction=items[1]),
                say("A mixed number is a whole number and a fraction below 1, for example 1 1/2."),
            )
        return whole + value

    def with_unit(self, items: list[Any]) -> Quantity:
        spelling = str(items[1])
        unit = _unit_called(spelling)
        if unit is None:
            raise _Refused(say('"{spelling}" is not a unit that is used here.', spelling=spelling))
        if unit == "grain":
            self.notes.remarks.append(say("the unit gr was read as grain (64.79891 mg). If you meant gram, write g"))
        if unit == "avoirdupois_ounce":
            self.notes.remarks.append(
                say("the unit oz was read as the avoirdupois ounce (28.35 g); the apothecaries' ounce is oz.ap")
            )
        if unit in ("us_fluid_ounce", "us_fluid_dram", "us_minim"):
            self.notes.remarks.append(
                say("this was read as the US measure (1 fl oz = 29.57 mL); the imperial fluid ounce is 28.41 mL")
            )
        self.notes.forms.append("amount")
        return quantity(items[0], unit)

    def _basis(self, items: list[Any]) -> str:
        basis = re.sub(r"[\s()]", "", str(items[2] if len(items) > 2 else "")).lower()
        if basis == "v/w":
            raise _Refused(say("v/w is not a kind of percentage used here."), say("Write w/w, w/v or v/v."))
        self.notes.bases.append(basis)
        return basis

    def with_percent(self, items: list[Any]) -> Quantity:
        basis = self._basis(items)
        self.notes.forms.append("percent")
        self.notes.times_hundred_percent |= items[0] == 100
        return quantity(items[0], "percent_in_volume" if basis == "w/v" else "percent")

    def with_mgpercent(self, items: list[Any]) -> Quantity:
        self.notes.forms.append("mg%")
        return quantity(items[0], "milligram_percent")

    def with_ppm(self, items: list[Any]) -> Quantity:
        basis = self._basis(items)
        self.notes.forms.append("ppm")
        return quantity(items[0], "part_per_million_in_volume" if basis == "w/v" else "part_per_million")

    def with_ppb(self, items: list[Any]) -> Quantity:
        if self._basis(items) not in ("", "w/v"):
            raise _Refused(
                say("only ppb w/v (nanograms in 1 mL) is read here."), say("Write, for example, 15 ppb w/v.")
            )
        self.notes.bases[-1] = "w/v"
        self.notes.forms.append("amount")
        return quantity(items[0], "part_per_billion_in_volume")

    def with_ratio(self, items: list[Any]) -> Quantity:
        basis = self._basis([None, *items])
        first, second = re.split(r"\s*(?::|in|zu)\s*", str(items[0]).lower())
        parts, total = _number(first, self.notes), _number(second, self.notes)
        if total == 0:
            raise _Refused(
                say("a ratio strength cannot end in 0."), say("1 in how many parts? Write, for example, 1:200.")
            )
        if parts == 0:
            raise _Refused(say("a ratio strength cannot begin with 0."), say("Write, for example, 1:200."))
        self.notes.forms.append("ratio")
        strength = quantity(parts / total)
        return quantity(parts / total, "gram / millilitre") if basis == "w/v" else strength

    def bare(self, items: list[Any]) -> Quantity:
        self.notes.forms.append("number")
        return quantity(items[0])

    def unit_alone(self, items: list[Any]) -> Quantity:
        spelling = str(items[0])
        unit = _unit_called(spelling)
        if unit is None:
            raise _Refused(say('"{spelling}" is not a number or a unit that is used here.', spelling=spelling))
        self.notes.forms.append("amount")
        self.notes.unit_alone = quantity(1, unit)
        return self.notes.unit_alone

    def add(self, items: list[Any]) -> Quantity:
        return self._combine("+", items[0], items[1])

    def subtract(self, items: list[Any]) -> Quantity:
        return self._combine("-", items[0], items[2])

    def multiply(self, items: list[Any]) -> Quantity:
        return self._combine("*", items[0], items[2])

    def divide(self, items: list[Any]) -> Quantity:
        left, right = cast(Quantity, items[0]), cast(Quantity, items[2])
        two_units = right is self.notes.unit_alone and self.notes.forms == ["amount", "amount"]
        if two_units and left.dimensionality != right.dimensionality:
            self.notes.forms.pop()  # "4 mg/mL" is one amount, written with two units: nothing is worked out
            return left / right
        return self._combine("/", left, right)

    def negative(self, items: list[Any]) -> Quantity:
        positive: Quantity = items[1]
        return -positive

    def start(self, items: list[Any]) -> Quantity:
        finished: Quantity = items[0]
        return finished

    def _combine(self, sign: str, left: Quantity, right: Quantity) -> Quantity:
        self.notes.worked = True
        if sign == "*":
            return left * right
        if sign == "/":
            if right.magnitude == 0:
                raise _Refused(say("it divides by zero."), say("Check the number you divide by."))
            return left / right
        if left.dimensionality != right.dimensionality:
            raise _Refused(
                say("it adds or subtracts two things of different kinds."), say("Give both the same kind of unit.")
            )
        return left + right if sign == "+" else left - right


@cache
def _parser() -> Lark:
    folder = kept_beside(__file__)  # making the parser's tables anew takes as long as reading a hundred answers
    kept: Any = str(folder / "answers.grammar") if folder else False
    return Lark(GRAMMAR, parser="lalr", maybe_placeholders=False, cache=kept)


def read(text: str) -> Reading:
    """Read one expression, such as ``120 mg`` or ``20 x 6 mg``.

    Raises ReadingError for anything else, naming what was understood and what to type instead.

    >>> read("6 mg / 5 %").shown
    '120 mg'
    >>> read("0,12 g").remarks
    ('the comma was read as a decimal point',)
    """
    original = " ".join(str(text).split())
    if len(original) > LONGEST_TEXT:
        raise ReadingError(
            original, say("this is too long for one answer."), say("Write one amount, for example 250 mg.")
        )
    plain = original.translate(SAME_SIGNS).strip()
    if plain.endswith(".") and not plain.endswith(".."):
        plain = plain[:-1].strip()
    if not plain:
        raise ReadingError(original, say("nothing is written here."), say(EXAMPLE))
    _refuse_free_powers(original, plain)
    _refuse_two_meanings(original, plain)
    notes = _Notes()
    try:
        value = _Builder(notes).transform(_parser().parse(plain))
    except VisitError as error:
        if isinstance(error.orig_exc, _Refused):
            raise ReadingError(original, error.orig_exc.problem, error.orig_exc.cure) from None
        raise
    except UnexpectedInput as error:
        raise _not_understood(original, plain, error) from None
    except (LarkError, RecursionError):
        raise ReadingError(original, say("this could not be read."), say(EXAMPLE)) from None
    if not notes.numbers:
        raise ReadingError(original, say("there is a unit here but no number."), say(EXAMPLE))
    return _reading(original, value, notes)


def read_text(text: str) -> Quantity:
    """Return the quantity that a text stands for (see :func:`read`)."""
    return read(text).value


def _reading(original: str, value: Quantity, notes: _Notes) -> Reading:
    single = not notes.worked and len(notes.forms) == 1
    form = notes.forms[0] if single else ("number" if is_plain(value) else "amount")
    basis = notes.bases[0] if len(set(notes.bases)) == 1 and (single or len(notes.bases) == len(notes.forms)) else ""
    if notes.worked:
        forms = {"percent"} if notes.times_hundred_percent else set(notes.forms) - {"number"}
        value, form = _worked_out(value, forms)
    place = (
        quantity(notes.places[0], unit_name(value)) if single and form != "ratio" and len(notes.places) == 1 else None
    )
    return Reading(original, value, basis, form, place, notes.worked, tuple(dict.fromkeys(notes.remarks)))


def _worked_out(value: Quantity, forms: set[str]) -> tuple[Quantity, str]:
    """Return the value of a sum in the unit it would be written in, and that form; ``forms`` are those of its parts."""
    if is_plain(value):
        for form, unit in (("percent", "percent"), ("ppm", "part_per_million")):
            if forms == {form}:
                return value.to(unit), form
        return value.to_base_units(), "number"
    if value.check("[mass]") or value.check("[volume]"):
        return value.to(_shared_unit(value)), "amount"
    for form, unit in _STRENGTH_UNITS:
        if forms == {form} and value.is_compatible_with(unit):
            return value.to(unit), form
    return value, "amount"


def _shared_unit(value: Quantity) -> str:
    """Return the simple unit that a worked-out mass or volume is written in."""
    known = [word for word in unit_name(value).replace("*", " ").split() if word in UNIT_OF_SPELLING.values()]
    fitting = [unit for unit in known if registry().get_dimensionality(unit) == value.dimensionality]
    return fitting[0] if fitting else ("milligram" if value.check("[mass]") else "millilitre")


def _refuse_free_powers(original: str, plain: str) -> None:
    if re.search(r"\^|\*\*", re.sub(r"(?<![\d.,^])10\s*(\^|\*\*)\s*[+-]?\d{1,6}(?!\s*(\^|\*\*|[\d.,]))", "", plain)):
        raise ReadingError(original, say("only powers of ten are read, such as 10^3."), say("Write the number itself."))


def _refuse_two_meanings(original: str, plain: str) -> None:
    if re.search(r"\d\u00b7\d", original):
        raise ReadingError(
            original,
            say("a raised dot between two figures can be a decimal point or a times sign."),
            say("Write 0.5 for the number and 20 x 6 for the product."),
        )
    if re.search(r"(/|\bper\b|\bpro\b)\s*[\d.,]+\s*/\s*\d", plain, re.IGNORECASE):
        raise ReadingError(
            original,
            say("two divisions follow each other, and that can mean two things."),
            say("Use brackets, for example (12 / 6) / 2, or write the result."),
        )


def _not_understood(original: str, plain: str, error: UnexpectedInput) -> ReadingError:
    if isinstance(error, UnexpectedToken) and error.token.type == "$END":
        return ReadingError(original, say("it stops in the middle."), say(EXAMPLE))
    position = len(plain) if error.pos_in_stream is None else error.pos_in_stream
    understood, rest = plain[:position].strip(), plain[position:].strip()
    word = re.match(r"[^\W\d]+|\d[\d.,]*|\S", rest)
    met = word.group() if word else rest
    if not understood or not re.search(r"\d", understood):
        problem = say('it begins with "{beginning}", which is not an amount.', beginning=understood or met)
        return ReadingError(original, problem, say(EXAMPLE))
    return ReadingError(
        original, say('I understood "{understood}" and then met "{met}".', understood=understood, met=met), say(EXAMPLE)
    )
