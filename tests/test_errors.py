"""Errors: one plain message that says what was read, what is wrong and what to do."""

import pytest

from pharmcalc.caution import CAUTION
from pharmcalc.errors import CourseError, PharmcalcError, ReadingError, RefusedError


@pytest.mark.parametrize("kind", [ReadingError, RefusedError, CourseError])
def test_every_error_of_ours_is_one_family(kind: type[Exception]) -> None:
    """Whoever catches PharmcalcError catches all of them, and nothing of anybody else's."""
    assert issubclass(kind, PharmcalcError)
    assert issubclass(kind, ValueError)


def test_a_reading_error_quotes_what_was_read_but_never_a_novel() -> None:
    """The message begins with the text, cut after sixty characters."""
    error = ReadingError("x" * 500, "this is too long.", "Write one amount.")
    assert str(error).startswith('"' + "x" * 57 + '..."')
    assert str(error).endswith("this is too long. Write one amount.")


def test_a_refusal_says_where_what_and_what_to_do() -> None:
    """Argument, problem, cure: in this order."""
    error = RefusedError("diluent", "it was 5 mL.", "Write a mass.")
    assert str(error) == "diluent: it was 5 mL. Write a mass."
    assert (error.where, error.problem, error.cure) == ("diluent", "it was 5 mL.", "Write a mass.")


@pytest.mark.parametrize(
    "said",
    ["education only", "Not for preparing or dispensing", "Local law", "pharmacopoeia in force", "second person"],
)
def test_the_caution_says_what_this_is_not_for(said: str) -> None:
    """For education only; law, pharmacopoeia, procedures and licensed practice decide; a second person verifies."""
    assert said in CAUTION
