"""The code of a paper: found again when it is typed rightly, refused when it is not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import CourseError
from pharmcalc.tasks.codes import ALPHABET, LENGTH, code_for, looks_like_a_code, near, read_code

KEYS = st.text(max_size=60)
SIGNS = st.sampled_from(ALPHABET)
PLACES = st.integers(0, LENGTH - 1)


def with_sign(code: str, place: int, sign: str) -> str:
    """Return a code with another sign in one place."""
    return code[:place] + sign + code[place + 1 :]


@given(KEYS)
def test_a_code_is_read_as_it_is_printed(key: str) -> None:
    """Whatever was printed is read back, typed in small letters, in groups or with a hyphen."""
    code = code_for(key)
    assert len(code) == LENGTH
    assert read_code(code) == read_code(f" {code.lower()[:3]}-{code.lower()[3:]} ") == read_code(" ".join(code)) == code


@given(KEYS, PLACES, SIGNS)
def test_one_wrong_sign_is_refused_and_the_right_code_is_near(key: str, place: int, sign: str) -> None:
    """No single misreading leads to another student's paper; the code that was meant is named."""
    code = code_for(key)
    typed = with_sign(code, place, sign)
    if typed == code:
        return
    with pytest.raises(CourseError, match="is mistyped"):
        read_code(typed)
    assert near(typed, [code]) == [code]


@given(KEYS, PLACES, PLACES)
def test_two_signs_that_changed_places_are_refused(key: str, one: int, other: int) -> None:
    """Neither neighbours nor signs far apart can be exchanged unnoticed."""
    code = code_for(key)
    typed = with_sign(with_sign(code, one, code[other]), other, code[one])
    if typed == code:
        return
    with pytest.raises(CourseError, match="is mistyped"):
        read_code(typed)
    assert near(typed, [code]) == [code]


@given(KEYS, PLACES)
def test_a_missing_or_doubled_sign_is_refused(key: str, place: int) -> None:
    """A code of another length is none; the one that was meant is near."""
    code = code_for(key)
    for typed in (code[:place] + code[place + 1 :], code[: place + 1] + code[place:]):
        with pytest.raises(CourseError, match=f"a code has {LENGTH}"):
            read_code(typed)
        assert near(typed, [code]) == [code]


def test_no_sign_is_mistaken_for_another() -> None:
    """What looks like a one or a nought is not among the signs, and whoever types it is told so."""
    assert not set("ILO01") & set(ALPHABET)
    with pytest.raises(CourseError, match=r"0 does not occur in one \(a code never has I, L, O, 0, 1\)"):
        read_code("YM6BR30")
    with pytest.raises(CourseError, match=r'"YM6;R37" is no paper code: ; does not occur in one\. Look'):
        read_code("YM6;R37")


@pytest.mark.parametrize(
    ("text", "meant"), [("YM6BR37", True), ("ym6-br3x", True), ("YM6BR3", True), ("A-07", False), ("120 mg", False)]
)
def test_a_code_is_told_from_a_students_number(text: str, meant: bool) -> None:
    """A mistyped code is still seen as one; a student's number or an amount is not."""
    assert looks_like_a_code(text) is meant
