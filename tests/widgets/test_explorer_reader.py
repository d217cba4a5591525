"""The box in which amounts are tried out: read by the course's own reader, and nothing raises."""

from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.widgets import read_lines, type_and_see
from pharmcalc.widgets.explorers.reader import STARTS_WITH


def test_it_starts_with_lines_of_every_sort_and_one_that_cannot_be_read() -> None:
    """An amount, a lone point, a ratio strength, a chain, and a spoon."""
    text = read_lines(STARTS_WITH).text
    assert "250 mg: read as 250 mg" in text
    assert "a lone point" in text.lower()
    assert "20 x 6 mg = 120 mg: read as 120 mg" in text
    assert "5 spoons: could not be read." in text


def test_pressing_the_button_shows_how_the_lines_are_read() -> None:
    """And what was typed stays."""
    card = type_and_see()
    _, box, row, said, _ = card.children[1:]
    box.value = "0.25 mg"
    row.children[0].click()
    assert "read as 0.25" in said.value
    assert box.value == "0.25 mg"
    box.value = "  "
    row.children[0].click()
    assert "Nothing is typed yet" in said.value


@given(st.text(max_size=200))
def test_no_text_raises_and_none_becomes_markup(text: str) -> None:
    """Whatever is typed is shown as text."""
    html = read_lines(text).html
    assert "<script" not in html
