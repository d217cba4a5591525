"""The markup of all pages to print: sound, self-contained, easy to move about in, and deaf to hostile text."""

import re
from itertools import pairwise

import pytest

from pharmcalc.sheets import instructor_key, sign_off_list, student_sheets
from tests.sheets.building import CLASS, Student, articles, issue, markup_problems, parsed, rules_with, text_of

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</style><style>* { display: none }",
    "{{ 7 * 7 }}{% raw %}",
    "--></table></article>",
    "javascript:alert(1)",
    "&lt;b&gt; &amp;",
)


def test_every_element_is_closed_in_its_turn(any_page: str) -> None:
    """A browser has nothing to guess: every element is closed, and by its own end."""
    assert markup_problems(any_page) == []


def test_the_checker_sees_unsound_markup() -> None:
    """The check above would notice an element that is not closed, or closed out of turn."""
    assert markup_problems("<p><b>1</p></b>")
    assert markup_problems("<ul><li>1</ul>")
    assert markup_problems("<p>1")


def test_names_of_places_are_unique_and_links_lead_somewhere(any_page: str) -> None:
    """Every id stands once, and whatever refers to one finds it."""
    page = parsed(any_page)
    ids = [str(tag["id"]) for tag in page.find_all(id=True)]
    assert len(set(ids)) == len(ids)
    assert {str(link["href"]) for link in page.find_all("a")} <= {f"#{id}" for id in ids}
    assert {str(tag["aria-labelledby"]) for tag in page.select("[aria-labelledby]")} <= set(ids)


def test_every_table_has_a_caption_and_scoped_heads(any_page: str) -> None:
    """A screen reader can say what a table is, and for each cell what it belongs to."""
    tables = parsed(any_page).find_all("table")
    assert tables
    for table in tables:
        assert table.caption
        assert text_of(table.caption)
        assert all(head.get("scope") in ("col", "row") for head in table.find_all("th"))
        assert all(row.find("th", scope="row") for row in table.tbody.find_all("tr"))


def test_headings_go_down_one_level_at_a_time(any_page: str) -> None:
    """There is one main part with one main heading, a link past the rest, and no level of headings is left out."""
    page = parsed(any_page)
    levels = [int(str(head.name)[1]) for head in page.find_all(re.compile(r"^h[1-6]$"))]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(later - before <= 1 for before, later in pairwise(levels))
    assert len(page.find_all("main")) == 1
    assert page.find("a", "skip", href="#content")


def test_a_page_needs_nothing_else(any_page: str) -> None:
    """No script, no picture, no font, no style sheet from elsewhere: the file is the page."""
    assert not parsed(any_page).find_all(["script", "link", "img", "iframe", "object"])
    assert "http:" not in any_page
    assert "https:" not in any_page
    assert "url(" not in any_page
    assert "@import" not in any_page


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_and_never_obeyed(text: str) -> None:
    """A name, a title or a balance that looks like markup is printed as it was written."""
    rules = rules_with('"Balance 1"', "'" + text[:40] + "'")
    hostile = issue(["aliquot-plan"], title=text, rules=rules)
    people = [Student(text, text, text), *CLASS[:1]]
    tame = issue(["aliquot-plan"])
    for make in (student_sheets, instructor_key, sign_off_list):
        page, same = make(hostile, people), make(tame, [Student("B", "B", "B"), *CLASS[:1]])
        assert markup_problems(page) == []
        assert [tag.name for tag in parsed(page).find_all()] == [tag.name for tag in parsed(same).find_all()]
        assert not [tag for tag in parsed(page).find_all() for name in tag.attrs if name.startswith("on")]
        assert text_of(parsed(page)).count(f"{text}, {text}") >= 1
        assert text in text_of(parsed(page).h1)


def test_control_characters_never_reach_a_page() -> None:
    """A stray control character or line end in a class list does not spoil the page."""
    page = student_sheets(issue(["percentage-ww"]), [Student("A-01", "Br\x00o\x1bok\n", "\x85Ines\x7f")])
    assert "Br o ok, Ines" in text_of(articles(page)[0].header)
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", page)


def test_names_in_any_script_are_kept() -> None:
    """A name is printed as the class list has it, whichever way it is written."""
    name = "\u05db\u05d4\u05df \u200d\u0928\u0940\u0932\u093e \u00c5str\u00f6m"
    page = student_sheets(issue(["percentage-ww"]), [Student("A-01", name)])
    assert name in page
    assert parsed(page).find("bdi", string=name)
