"""Classes and assignments for the tests, and the pages taken apart again."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from html.parser import HTMLParser

from bs4 import BeautifulSoup, Tag

from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.tasks.papers import Issue

VOID = frozenset({"br", "col", "hr", "img", "input", "link", "meta"})
FAMILIES = (
    "percentage-of-error",
    "least-weighable-quantity",
    "percentage-wv",
    "ratio-of-trituration",
    "aliquot-plan",
    "aliquot-batch",
)


@dataclass(frozen=True)
class Student:
    """A line of a class list."""

    number: str
    surname: str
    given_name: str = ""


CLASS = (
    Student("A-01", "Brook", "Ines"),
    Student("A-02", "Featherstone-Winterbottom", "Maximiliana"),
    Student("A-03", "O'Neil"),
)


def issue(families: Iterable[str] = FAMILIES, *, title: str = "A test of weighing", rules: str | None = None) -> Issue:
    """Return an assignment with one task for each family."""
    tasks = tuple((f"q{place}", family) for place, family in enumerate(families, 1))
    return Issue("weighing-1", 1, title, tasks, read_house_rules(rules))


def rules_with(old: str, new: str) -> str:
    """Return the course's house rules with one text in them replaced."""
    text = default_house_rules_text()
    assert old in text
    return text.replace(old, new)


def parsed(page: str) -> BeautifulSoup:
    """Take a page apart."""
    return BeautifulSoup(page, "html.parser")


def articles(page: str) -> list[Tag]:
    """Return the part of each student."""
    return parsed(page).find_all("article")


def text_of(part: Tag) -> str:
    """Return what a reader sees of a part, on one line and with plain blanks."""
    return " ".join(part.get_text(" ").split())


def plain(text: str) -> str:
    """Return a text on one line with plain blanks."""
    return " ".join(text.split())


def amounts(text: str) -> set[str]:
    """Return every number in a text with the unit behind it, and every ratio."""
    return set(re.findall(r"\d[\d.,]* ?(?:mg|g|mL|%|microgram)(?!\w)|1:\d[\d.]*", plain(text)))


def rows_of(table: Tag) -> list[list[str]]:
    """Return the body of a table as texts."""
    body = table.find("tbody")
    assert body
    return [[text_of(cell) for cell in row.find_all(["th", "td"])] for row in body.find_all("tr")]


class Checker(HTMLParser):
    """Reads a page strictly: every element is closed in its turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.problems: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open an element."""
        names = [name for name, _ in attrs]
        if len(set(names)) < len(names):
            self.problems.append(f"{self.getpos()}: <{tag}> has an attribute twice")
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Close the element that was opened last."""
        if not self.open or self.open.pop() != tag:
            self.problems.append(f"{self.getpos()}: </{tag}> closes nothing")


def markup_problems(page: str) -> list[str]:
    """Return what is wrong with a page's markup."""
    checker = Checker()
    checker.feed(page)
    checker.close()
    return checker.problems + [f"<{tag}> is never closed" for tag in checker.open]
