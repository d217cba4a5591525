"""A chart puts each value where its scale says, and writes the scale along its edge."""

from fractions import Fraction

from pharmcalc.widgets.chart import Chart, Scale

ACROSS, UP = Scale("load, in mg", Fraction(0), Fraction(200)), Scale("error, in %", Fraction(0), Fraction(10))


def test_a_value_stands_at_its_part_of_the_scale() -> None:
    """Half of the range is half of the way, to the right and upwards."""
    chart = Chart(ACROSS, UP)
    assert chart.x(Fraction(100)) == (chart.left + chart.right) / 2
    assert chart.y(Fraction(5)) == (chart.top + chart.foot) / 2
    assert chart.y(Fraction(10)) < chart.y(Fraction(0))


def test_what_lies_outside_stands_at_the_end() -> None:
    """A point that is too large does not leave the picture."""
    chart = Chart(ACROSS, UP)
    assert chart.x(Fraction(900)) == chart.right
    assert chart.y(Fraction(-3)) == chart.foot


def test_the_scales_are_written_in_round_numbers() -> None:
    """From 30 to 200 in steps of 50, without a number before the first."""
    assert Scale("mass, in mg", Fraction(30), Fraction(200)).ticks(5) == [50, 100, 150, 200]
    svg = Chart(ACROSS, UP).drawing.svg("A chart", "words")
    assert all(f">{words}</text>" in svg for words in ("load, in mg", "error, in %", "200", "10"))
