"""The class list is read from any spreadsheet's CSV, and says line by line what is wrong."""

from pathlib import Path

import pytest

from pharmcalc.classroom.roster import parse_roster, read_roster, write_roster
from pharmcalc.errors import CourseError

HEADER = "number,surname,given name,email"
GOOD = f"{HEADER}\nA-07,Brook,Inés,i@example.org\nB-1,Ölund,Bo,\n"


@pytest.mark.parametrize(
    "data",
    [
        GOOD.encode("utf-8"),
        GOOD.encode("utf-8-sig"),
        GOOD.encode("utf-16"),
        GOOD.encode("cp1252"),
        GOOD.replace(",", ";").encode("utf-8-sig"),
        GOOD.replace(",", "\t").encode("utf-16"),
        GOOD.replace("\n", "\r\n\r\n").encode("utf-8"),
        GOOD.replace("given name", " Given_Name ").replace("number", "NUMBER").encode("utf-8"),
    ],
)
def test_a_list_from_any_spreadsheet_is_read(tmp_path: Path, data: bytes) -> None:
    """Encodings, separators, empty lines and the case of the header make no difference."""
    path = tmp_path / "class.csv"
    path.write_bytes(data)
    first, second = read_roster(path)
    assert (first.number, first.name, first.email) == ("A-07", "Brook, Inés", "i@example.org")
    assert (second.number, second.surname, second.email) == ("B-1", "Ölund", "")


def test_other_columns_do_not_matter() -> None:
    """A list with more columns, in another order, is read by the names of its columns."""
    (student,) = parse_roster("group;given name;number;surname\n3;Bo;B-1;Ölund")
    assert student.name == "Ölund, Bo"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "empty"),
        ("number,name\nA-1,Bo", 'no column "surname"'),
        (HEADER, "no student"),
        (f"{HEADER}\n,Brook,Ines,", "line 2: there is no number"),
        (f"{HEADER}\n../../x,Brook,Ines,", r'line 2: the number is "../../x"'),
        (f"{HEADER}\nA 07,Brook,Ines,", 'line 2: the number is "A 07"'),
        (f"{HEADER}\nA-07,,Ines,", "line 2: A-07 has no surname"),
        (f"{HEADER}\nA-07,Brook,Ines,\nB-1,A,B,\na-07,Stone,Ida,", "line 4: a-07 stands in line 2 too"),
    ],
)
def test_a_fault_names_its_line(text: str, told: str) -> None:
    """Whoever repairs the list reads where, what was read, and what to write."""
    with pytest.raises(CourseError) as caught:
        parse_roster(text, "class.csv")
    assert told in str(caught.value)
    assert str(caught.value).startswith("class.csv")


def test_all_faults_are_told_at_once() -> None:
    """Three faulty lines are three sentences, so that the list is repaired in one go."""
    with pytest.raises(CourseError) as caught:
        parse_roster(f"{HEADER}\n,A,B,\nok-1,A,B,\n?,A,B,\nA-2,,B,")
    assert [line.split(":")[0][-1] for line in str(caught.value).splitlines()] == ["2", "4", "5"]


def test_a_list_that_was_written_is_read_the_same(tmp_path: Path) -> None:
    """The course keeps its own copy of the class list, and it is the same list."""
    roster = parse_roster(GOOD)
    write_roster(roster, tmp_path / "class.csv")
    assert read_roster(tmp_path / "class.csv") == roster


# Arrangements --------------------------------------------------------------------------------------------------------

ARRANGED = (
    "number,surname,given name,extension,extra time,large print,paper\n"
    "A-01,Brook,Ines,2 days,15 min,Yes,no\nA-02,Marsh,Ola,,,,\n"
)


def test_what_was_arranged_with_a_student_stands_in_the_class_list(tmp_path: Path) -> None:
    """Extension, extra time, large print and paper; an empty field or a no arranges nothing; written and read again."""
    roster = parse_roster(ARRANGED)
    first, second = roster
    assert first.arrangements == (("extension", "2 days"), ("extra time", "15 min"), ("large print", "yes"))
    assert (first.large_print, second.large_print, second.arrangements) == (True, False, ())
    write_roster(roster, tmp_path / "class.csv")
    assert read_roster(tmp_path / "class.csv") == roster


def test_large_print_is_yes_or_no() -> None:
    """Anything else is asked back, by line and number."""
    with pytest.raises(CourseError, match=r'line 2: A-01: large print is "18 pt". Write yes or no\.'):
        parse_roster(ARRANGED.replace("Yes", "18 pt"))
