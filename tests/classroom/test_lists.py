"""Lists that are only ever added to: what a spreadsheet or a crash makes of them loses no line silently."""

from pathlib import Path

import pytest

from pharmcalc.classroom.lists import add_row, read_as, read_rows
from pharmcalc.errors import CourseError

COLUMNS = ("number", "marks", "why")
FIRST = {"number": "A-01", "marks": "12.5", "why": "a sum, by hand; checked"}
NEXT = {"number": "A-02", "marks": "3", "why": "none"}


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """Begin a list with one row."""
    path = tmp_path / "marks.csv"
    add_row(path, FIRST)
    return path


def marks(path: Path) -> list[tuple[str, float]]:
    """Read the list as numbers."""
    return list(read_as(path, lambda row: (row["number"], float(row["marks"])), *COLUMNS))


@pytest.mark.parametrize(
    "saved",
    [
        'number,marks,why\nA-01,12.5,"a sum, by hand; checked"\n',
        '\ufeffnumber;marks;why\r\nA-01;12.5;"a sum, by hand; checked"\r\n',
        "why\tnumber\tmarks\na sum, by hand; checked\tA-01\t12.5\n",
        '"number","marks","why"\n"A-01","12.5","a sum, by hand; checked"',
        'number,marks,why,remark\nA-01,12.5,"a sum, by hand; checked",mine\n',
    ],
    ids=["as it was", "semicolons", "another order", "quoted", "a column more"],
)
def test_what_is_added_after_a_spreadsheet_saved_the_list_is_read_with_the_rest(table: Path, saved: str) -> None:
    """In the separator, order and columns that the file has now."""
    table.write_bytes(saved.encode("utf-8"))
    add_row(table, NEXT)
    assert [{name: row[name] for name in COLUMNS} for row in read_rows(table, *COLUMNS)] == [FIRST, NEXT]
    assert table.read_bytes().startswith(saved.encode("utf-8"))


@pytest.mark.parametrize("cut", range(len("number,marks,why")))
def test_a_first_line_that_a_crash_cut_off_is_written_anew(table: Path, cut: int) -> None:
    """Nothing was listed yet."""
    table.write_bytes(table.read_bytes()[:cut])
    assert list(read_rows(table, *COLUMNS)) == []
    add_row(table, NEXT)
    assert list(read_rows(table, *COLUMNS)) == [NEXT]


LINE = b'A-05,17,"by hand, twice"'


@pytest.mark.parametrize("cut", range(1, len(LINE)))
def test_a_line_that_a_crash_cut_off_takes_no_other_with_it(table: Path, cut: int) -> None:
    """Wherever it ends, in a quoted text too; what can be made of it is no other student's."""
    table.write_bytes(table.read_bytes() + LINE[:cut])
    assert marks(table)[:1] == [("A-01", 12.5)]
    add_row(table, NEXT)
    assert [one for one in marks(table) if not "A-05".startswith(one[0])] == [("A-01", 12.5), ("A-02", 3)]
    assert [row["why"] for row in read_rows(table, *COLUMNS)][::2] == [FIRST["why"], NEXT["why"]]


def test_a_last_line_without_an_end_is_read_like_any_other(table: Path) -> None:
    """Some editors write none."""
    table.write_bytes(table.read_bytes() + LINE)
    assert marks(table)[-1] == ("A-05", 17)
    add_row(table, NEXT)
    assert [number for number, _ in marks(table)] == ["A-01", "A-05", "A-02"]


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [
        (b"12.5", b"12 May", r'marks.csv, line 2: "A-01, 12 May, .*" is not as pharmcalc wrote it .* remove the line'),
        (b"number,marks", b"Number,marks", r'no "number" in "Number,marks,why". Put the first line back'),
        (b"number,marks,why\r\n", b"", r"the first line must name the columns"),
        (b"hand", b"H\xe4nden", r"another encoding. .* save it as CSV UTF-8"),
    ],
    ids=["a number made a date", "a column renamed", "no first line", "encoding"],
)
def test_what_somebody_changed_is_told_and_nothing_is_written(table: Path, was: bytes, now: bytes, told: str) -> None:
    """Silence would lose a mark."""
    before = table.read_bytes()
    assert was in before
    table.write_bytes(changed := before.replace(was, now))
    with pytest.raises(CourseError, match=told):
        marks(table)
    if b"May" not in changed:  # a row added to a list that has its columns is as good as any
        with pytest.raises(CourseError, match=told):
            add_row(table, NEXT)
        assert table.read_bytes() == changed
