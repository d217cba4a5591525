"""Pieces of output: HTML and plain text say the same."""

from pharmcalc.widgets.markup import Shown, heading, listed, marked, note, table


def test_backquotes_set_apart_what_is_to_be_typed() -> None:
    """In HTML it stands in a box, in plain text as it is typed."""
    shown = note("Type `a < b` here.")
    assert shown.html == '<p class="pc-note">Type <code>a &lt; b</code> here.</p>'
    assert shown.text == "Type a < b here."


def test_every_line_stays_a_line() -> None:
    """What is to be read line by line is shown line by line, and still escaped."""
    assert note("one\n<two>").html == '<p class="pc-note">one<br>&lt;two&gt;</p>'


def test_a_table_names_its_rows_and_columns() -> None:
    """A screen reader can say which row and column a cell belongs to."""
    shown = table("Caption", ("What", "Value"), [("<mass>", "6 mg"), ("load", marked("kept", "kept"))])
    assert '<th scope="col">What</th>' in shown.html
    assert '<th scope="row">&lt;mass&gt;</th><td>6 mg</td>' in shown.html
    assert '<td><span class="pc-kept">kept</span></td>' in shown.html
    assert shown.text == "Caption\n<mass>: 6 mg\nload: kept"


def test_pieces_are_put_together() -> None:
    """Order is kept in both forms, and nothing adds an empty line."""
    shown = heading("Title") + Shown("", "<hr>") + listed(["One", "Two"])
    assert shown.text == "Title\n1. One\n2. Two"
    assert shown.html.index("<h3>") < shown.html.index("<hr>") < shown.html.index("<ol>")


def test_a_piece_shows_itself_in_a_notebook() -> None:
    """Returned at the end of a cell it is HTML; printed in a terminal it is text."""
    shown = note("Hello")
    assert repr(shown) == "Hello"
    assert shown.bundle() == {"text/html": shown._repr_html_(), "text/plain": "Hello"}
    assert 'role="status"' in shown.announced().html
