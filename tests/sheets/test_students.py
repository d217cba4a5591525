"""Students' sheets: everybody's own numbers, room to write, the record for the bench, and no answer."""

import pytest

from pharmcalc.caution import CAUTION
from pharmcalc.sheets import student_sheets
from pharmcalc.tasks.family import FAMILIES, Task
from tests.sheets.building import CLASS, amounts, articles, issue, parsed, plain, rows_of, rules_with, text_of


def test_every_student_has_one_sheet(sheets: str) -> None:
    """Each line of the class list gives one sheet, with number, name, attempt and the code of that student's paper."""
    heads = [text_of(article.header) for article in articles(sheets)]
    codes = [issue().paper(student.number).code for student in CLASS]
    assert heads == [
        f"A-01 Brook, Ines A test of weighing (attempt 1) Paper {codes[0]}",
        f"A-02 Featherstone-Winterbottom, Maximiliana A test of weighing (attempt 1) Paper {codes[1]}",
        f"A-03 O'Neil A test of weighing (attempt 1) Paper {codes[2]}",
    ]
    assert len(set(codes)) == len(CLASS)


def test_every_student_has_their_own_numbers(sheets: str) -> None:
    """A sheet asks the questions of that student's paper, with that student's numbers, and of no other paper."""
    for student, article in zip(CLASS, articles(sheets), strict=True):
        for task, section in zip(issue().paper(student.number).tasks, article.find_all("section", "task"), strict=True):
            assert plain(task.question_text()) in text_of(section)
    assert len({text_of(article.find("section", "task")) for article in articles(sheets)}) == len(CLASS)


def test_another_attempt_has_other_numbers() -> None:
    """The sheets of a second attempt carry its number, another code and other numbers."""
    first, second = (articles(student_sheets(issue(), CLASS[:1], attempt=attempt))[0] for attempt in (1, 2))
    assert "attempt 2" in text_of(second.header)
    assert text_of(first.header) != text_of(second.header)
    assert text_of(first.find("section", "task")) != text_of(second.find("section", "task"))


def test_every_answer_has_a_line(sheets: str) -> None:
    """Each answer asked for has a labelled line, how closely it is asked, and room; the room is empty."""
    for student, article in zip(CLASS, articles(sheets), strict=True):
        tasks, tables = issue().paper(student.number).tasks, article.find_all("table", "answers")
        for task, table in zip(tasks, tables, strict=True):
            assert rows_of(table) == [
                [
                    asked.said,
                    "your own choice" if asked.choice else task.precision(asked).says(),
                    "",
                    f"of {asked.marks}",
                ]
                for asked in task.asked
            ]


def test_a_decision_has_a_box_to_tick_for_each_option() -> None:
    """On paper nobody copies words: every option has its box and its letter, and the sheet says that one is ticked."""
    page = parsed(student_sheets(issue(["stop-and-ask", "second-check"]), CLASS[:1]))
    for family, place in (("stop-and-ask", 0), ("second-check", 1)):
        table = page.find_all("table", "answers")[place]
        ticks = [[text_of(tick) for tick in cell.select(".tick")] for cell in table.select("td.decide")]
        decisions = [asked for asked in FAMILIES[family].asked if asked not in FAMILIES[family].amounts]
        assert ticks == [[f"{letter} {option.said}" for letter, option in decision.lettered] for decision in decisions]
        assert len(table.select("td.write")) == len(FAMILIES[family].amounts)
    assert "Tick one box where you decide" in text_of(page)
    assert "Tick one box" not in student_sheets(issue(["percentage-ww"]), CLASS[:1])


def test_a_colleagues_plan_is_printed_line_by_line() -> None:
    """It is checked line by line, so it is read line by line."""
    page = student_sheets(issue(["second-check"]), CLASS[:1])
    later = parsed(page).select_one(".later p")
    assert later
    lines = [" ".join(line.split()) for line in later.get_text("\n").splitlines() if line.strip()]
    task = issue(["second-check"]).paper(CLASS[0].number).tasks[0]
    assert lines[1:-1] == task.drawn.words["colleague"].split("; ")


@pytest.mark.parametrize("large", [False, True])
def test_every_amount_on_a_sheet_was_given(large: bool) -> None:
    """Whatever amount stands on a student's sheet stands in the question or the house rules: no answer is."""
    class_of_all = issue(FAMILIES)
    page = student_sheets(class_of_all, CLASS, large_print=large)
    rules = amounts(" ".join(value for _, value in class_of_all.house.summary()))
    for student, article in zip(CLASS, articles(page), strict=True):
        paper = class_of_all.paper(student.number)
        given = set().union(*(amounts(task.question_text()) for task in paper.tasks))
        later = (task.family.shown_later(task) for task in paper.tasks if task.family.shown_later)
        given = given.union(*(amounts(text) for text in later))
        assert given <= amounts(text_of(article))
        assert amounts(text_of(article)) <= given | rules


def test_a_sheet_is_made_without_solving(monkeypatch: pytest.MonkeyPatch) -> None:
    """No working and no worked answer is even asked for while students' sheets are made."""

    def refuse(*_: object) -> None:
        raise AssertionError("the answers were looked at")

    for name in ("working", "answer_lines", "typed"):
        monkeypatch.setattr(Task, name, refuse)
    page = student_sheets(issue(), CLASS)
    assert len(articles(page)) == len(CLASS)
    assert not parsed(page).select(".working, .solved, .plan-rules")


def test_only_what_is_weighed_has_a_record(sheets: str) -> None:
    """The two aliquot tasks are weighed and have a weighing record each; the calculations have none."""
    for article in articles(sheets):
        titles = [text_of(section.h3) for section in article.find_all("section", "bench")]
        assert [title.split(":")[0] for title in titles] == ["Weighing record for q5", "Weighing record for q6"]
    assert not parsed(student_sheets(issue(["percentage-ww"]), CLASS)).find_all("section", "bench")


@pytest.mark.parametrize(
    "line",
    [
        "Product and its salt form", "Grade", "Lot", "Expiry or beyond-use date", "taking", "weighing", "returning",
        "closed", "Balance", "levelled", "zeroed", "vessel", "tare", "Target, from my plan", "Allowed range", "from",
        "to", "Reading as displayed, with its unit", "Time and initials", "wiped down", "identity", "calculation",
        "weight",
    ],
)  # fmt: skip
def test_the_record_asks_for_each_weighing(large_sheets: str, sheets: str, line: str) -> None:
    """Identity, balance, target, reading and second check are asked for at every single weighing."""
    for article in (*articles(sheets), *articles(large_sheets)):
        for section, count in zip(article.find_all("section", "bench"), (3, 4), strict=True):
            tables = [table for table in section.find_all("table") if table.thead]
            columns = 0
            for table in tables:
                for row in table.tbody.find_all("tr"):
                    cells, label = row.find_all("td"), text_of(row.th)
                    words = [text_of(word) for word in row.td.select(".tick, .blank")]
                    if line == label or line in words:
                        columns += len(cells)
            assert columns in ((2 * count,) if line == "Time and initials" else (count,))


def test_the_record_is_closed_by_people(sheets: str) -> None:
    """What is thrown away, what went otherwise, and three signatures close a record."""
    for section in parsed(sheets).find_all("section", "bench"):
        labels = [row[0] for row in rows_of(section.find("table", "after"))]
        assert labels == [
            "Discarded mixture",
            "Deviations, and what was done",
            "Weighed by",
            "Second person",
            "Assessor who watched",
        ]


def test_the_record_says_how_the_range_is_found(sheets: str) -> None:
    """The house's allowed error and the balance's display step are all that a student needs for the range."""
    says = text_of(parsed(sheets).find("section", "bench"))
    assert "from your target less 5 % of it to your target plus 5 % of it" in says
    assert "The display steps by 1 mg" in says


def test_cautions_and_house_rules_stand_in_every_foot(sheets: str) -> None:
    """Every student's sheet carries the caution and the rules it is marked by."""
    for article in articles(sheets):
        foot = text_of(article.footer)
        assert CAUTION in foot
        assert all(f"{what}: {value}" in foot for what, value in issue().house.summary())


def test_long_rules_stand_before_the_tasks(large_sheets: str) -> None:
    """In large print, and in a lab with many balances, the rules stand once before the tasks and not in the foot."""
    balance = '[[balance]]\nname = "Balance {}"\nminimum-weight = "100 mg"\ndisplay-step = "1 mg"\ncapacity = "200 g"\n'
    many = rules_with(
        "# The balances", "\n".join(balance.format(number) for number in range(4, 15)) + "\n# The balances"
    )
    for page in (large_sheets, student_sheets(issue(rules=many), CLASS)):
        for article in articles(page):
            assert CAUTION in text_of(article.footer)
            assert "House rules." not in text_of(article.footer)
            assert "Balance 3: stated minimum weight 100 mg" in text_of(article.find("div", "rules"))


def test_numbers_and_units_stay_together(any_page: str) -> None:
    """No line ends between a number and its unit, where a reader could lose the unit."""
    assert not amounts_split(parsed(any_page).get_text())


def amounts_split(text: str) -> list[str]:
    """Return amounts in which a plain blank, where a line may end, stands before the unit."""
    return [one for one in ("5 %", "120 mg", "1 mg", "60 g", "200 g") if one in text]


def test_an_empty_class_makes_a_page_without_sheets() -> None:
    """A class list without students is no error: there is nothing to print."""
    assert articles(student_sheets(issue(), [])) == []
