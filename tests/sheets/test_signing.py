"""The sign-off list: who was seen weighing."""

from pharmcalc.sheets import sign_off_list
from tests.sheets.building import CLASS, issue, parsed, rows_of, text_of


def test_every_student_has_one_line_with_their_code(sign_off: str) -> None:
    """The list holds the class in its order, each with the same code as on the student's own sheet."""
    rows = rows_of(parsed(sign_off).find("table", "sign-off"))
    assert [row[:3] for row in rows] == [
        ["A-01", "Brook, Ines", issue().paper("A-01").code],
        ["A-02", "Featherstone-Winterbottom, Maximiliana", issue().paper("A-02").code],
        ["A-03", "O'Neil", issue().paper("A-03").code],
    ]


def test_clearance_comes_from_the_marks(sign_off: str) -> None:
    """A cleared calculation says yes, another one not yet; who was not marked is told apart."""
    rows = rows_of(parsed(sign_off).find("table", "sign-off"))
    assert [row[3] for row in rows] == ["yes", "not yet", "not marked"]


def test_without_marks_clearance_is_ticked_by_hand() -> None:
    """Before marking nobody counts as cleared: there is an empty box."""
    table = parsed(sign_off_list(issue(), CLASS)).find("table", "sign-off")
    assert table
    cells = [row.find_all("td")[2] for row in table.tbody.find_all("tr")]
    assert [(text_of(cell), len(cell.select(".box"))) for cell in cells] == [("yes", 1)] * len(CLASS)


def test_what_is_watched_is_ticked_and_signed(sign_off: str) -> None:
    """Five things are watched, each with an empty box, and an assessor signs with a date."""
    table = parsed(sign_off).find("table", "sign-off")
    assert table
    heads = [text_of(head) for head in table.thead.find_all("th")]
    assert heads[4:] == [
        "Set-up and tare",
        "Weighing",
        "Record",
        "Second check given",
        "Second check received",
        "Assessor",
        "Date",
    ]
    for row in table.tbody.find_all("tr"):
        cells = row.find_all("td")
        assert [len(cell.select(".box")) for cell in cells[3:8]] == [1] * 5
        assert [text_of(cell) for cell in cells[3:]] == [""] * 7


def test_only_real_weighings_count(sign_off: str) -> None:
    """The list says that a simulated weighing never counts."""
    assert "A simulated weighing never counts." in text_of(parsed(sign_off))


def test_the_codes_are_those_of_the_attempt() -> None:
    """A list for the second attempt carries the codes of the second papers."""
    table = parsed(sign_off_list(issue(), CLASS, attempt=2)).find("table", "sign-off")
    assert [row[2] for row in rows_of(table)] == [issue().paper(student.number, 2).code for student in CLASS]
