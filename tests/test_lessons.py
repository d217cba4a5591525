"""What every lesson has, so that somebody who never programmed gets through it; the glossary that they share.

That the lessons run, with every assert in their check cells and nothing on stderr, is the step `lessons` of
tools/check.py; that they are stored clean is tests/test_notebooks.py.
"""

import ast
import json
import re
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.caution import CAUTION
from tools.notebooks import PROJECT

FOLDER = PROJECT / "notebooks"
LESSONS = sorted(FOLDER.glob("[0-9]*.ipynb"))
GLOSSARY = FOLDER / "glossary.md"
LINK = re.compile(r"\[([^\]]+)\]\(([^)\s]+)\)")
LONGEST_LINE = 120

lessons = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
Cell = dict[str, Any]


def cells(path: Path) -> list[Cell]:
    """Return a lesson's cells, each source as one text."""
    found: list[Cell] = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return [{**cell, "source": "".join(cell["source"])} for cell in found]


def words(path: Path) -> list[str]:
    """Return the texts of a lesson, in order."""
    return [cell["source"] for cell in cells(path) if cell["cell_type"] == "markdown"]


def is_folded(cell: Cell) -> bool:
    """Say whether a cell's text is out of sight."""
    return bool(cell["metadata"].get("jupyter", {}).get("source_hidden"))


def code(path: Path, *, folded: bool) -> list[Cell]:
    """Return a lesson's code cells: those folded away, or those in sight."""
    return [cell for cell in cells(path) if cell["cell_type"] == "code" and is_folded(cell) is folded]


def checks(path: Path) -> list[Cell]:
    """Return a lesson's check cells."""
    return [cell for cell in cells(path) if "check" in cell["metadata"].get("tags", [])]


def bullets(text: str) -> list[str]:
    """Return the points of a list."""
    return re.findall(r"^- (.+)$", text, re.MULTILINE)


def glossary() -> dict[str, str]:
    """Return the words that the glossary explains, each with what it says."""
    _, *entries = re.split(r"^## ", GLOSSARY.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return {entry.partition("\n")[0]: entry.partition("\n")[2].strip() for entry in entries}


def anchor(term: str) -> str:
    """Return the anchor of a heading in small letters: the same in JupyterLab and on a code host."""
    return term.replace(" ", "-")


def broken_links(text: str, folder: Path) -> list[str]:
    """Return the links of a text that lead nowhere."""
    anchors = {anchor(term) for term in glossary()}
    wrong = []
    for _, target in LINK.findall(text):
        name, _, place = target.partition("#")
        there = (folder / name).resolve() if name else GLOSSARY
        if not there.is_file() or (there == GLOSSARY and place and place not in anchors):
            wrong.append(target)
    return wrong


def first_use(text: str, term: str) -> str:
    """Return the first place where a term is used, with the link that it stands in, or an empty text."""
    found = re.search(rf"\[[^\]]*\b{term}s?\b[^\]]*\]\([^)]*\)|\b{term}s?\b", text, re.IGNORECASE)
    return found.group() if found else ""


@lessons
def test_a_lesson_says_at_its_start_what_you_can_do_after_it_and_at_its_end_what_you_have_done(path: Path) -> None:
    """The goals stand in the first cell and come back in the last, as many as before."""
    first, *_, last = words(path)
    assert "**After this lesson you can**" in first
    assert "**In this lesson you have**" in last
    assert len(bullets(first)) == len(bullets(last)) >= 4


@lessons
def test_a_lesson_takes_twenty_to_forty_minutes_and_says_so(path: Path) -> None:
    """Nobody begins without knowing how long it takes."""
    told = re.search(r"About (\d+) minutes", words(path)[0])
    assert told is not None
    assert 20 <= int(told[1]) <= 40


@lessons
def test_a_lesson_carries_the_caution_before_it_is_run(path: Path) -> None:
    """The caution stands in the first cell, word for word."""
    assert f"> {CAUTION}" in words(path)[0]


@lessons
def test_a_lesson_begins_with_a_danger_that_looks_like_success(path: Path) -> None:
    """The second cell is a story, and no formula comes before it."""
    second = cells(path)[1]
    assert (second["cell_type"], second["id"]) == ("markdown", "danger")


@lessons
def test_cells_have_names_that_stay(path: Path) -> None:
    """A cell is called by a word, not by the random letters that a program gives it."""
    names = [cell["id"] for cell in cells(path)]
    assert [name for name in names if not re.fullmatch(r"[a-z]+(-([a-z]+|\d))*", name)] == []


@lessons
def test_what_is_in_sight_is_one_call_and_no_programming(path: Path) -> None:
    """Outside the folded cells there is no import, no assignment and no loop: one call a cell, on a short line."""
    for cell in code(path, folded=False):
        (statement,) = ast.parse(cell["source"]).body
        assert isinstance(statement, ast.Expr)
        assert isinstance(statement.value, ast.Call)
        assert max(map(len, cell["source"].splitlines())) <= LONGEST_LINE


@lessons
def test_folded_cells_say_what_they_are_for(path: Path) -> None:
    """Of a folded cell one line stays in sight, and it is a sentence for the reader."""
    for cell in code(path, folded=True):
        assert cell["source"].startswith(("# Set-up: ", "# Check: "))


@lessons
def test_the_texts_numbers_are_checked(path: Path) -> None:
    """Check cells are folded, and each asserts something that a run could refute."""
    assert len(checks(path)) >= 4
    for cell in checks(path):
        assert is_folded(cell)
        asserted = [node for node in ast.walk(ast.parse(cell["source"])) if isinstance(node, ast.Assert)]
        assert asserted
        assert all(isinstance(node.test, ast.Compare | ast.Call) for node in asserted)


@lessons
def test_a_lesson_goes_from_worked_to_half_finished_to_alone(path: Path) -> None:
    """First a whole example, then one with gaps, then a practice card."""
    names = [cell["id"] for cell in code(path, folded=False)]
    sources = {cell["id"]: cell["source"] for cell in code(path, folded=False)}
    assert names.index("worked") < names.index("half") < names.index("alone")
    assert "steps=" in sources["half"]
    assert sources["alone"].startswith("practise(")


@lessons
def test_a_lesson_asks_and_hides_the_answers(path: Path) -> None:
    """The questions of "Check yourself" have their answers folded, so that there is time to think."""
    (text,) = [text for text in words(path) if text.startswith("## Check yourself")]
    opened = re.findall(r"<details><summary>(.+\?)</summary>\n\n(.+)\n</details>", text)
    assert len(opened) >= 4
    assert text.count("<details>") == len(opened)


@lessons
def test_a_question_that_opens_has_no_link_in_it(path: Path) -> None:
    """Within the line that is clicked a link would stand there as bare brackets."""
    questions = re.findall(r"<summary>(.+?)</summary>", "\n".join(words(path)))
    assert questions
    assert [question for question in questions if LINK.search(question)] == []


@lessons
def test_every_link_of_a_lesson_leads_somewhere(path: Path) -> None:
    """Links to the glossary, to other lessons and to assignments are all there."""
    text = "\n".join(words(path))
    assert "glossary.md#" in text
    assert broken_links(text, FOLDER) == []


@lessons
def test_every_trade_term_is_linked_where_it_is_first_used(path: Path) -> None:
    """Whoever meets a word of the trade for the first time can look it up with one click."""
    text = "\n".join(re.sub(r"^# .+$", "", text, flags=re.MULTILINE) for text in words(path))
    used = {term: first_use(text, term) for term in glossary()}
    assert len([term for term, where in used.items() if where]) >= 8
    wrong = {term: where for term, where in used.items() if where and f"glossary.md#{anchor(term)})" not in where}
    assert wrong == {}


def test_a_link_that_leads_nowhere_is_noticed() -> None:
    """The check itself can tell a good link from a bad one."""
    good = "[tare](glossary.md#tare) and [Lesson 3](03_least_weighable_quantity.ipynb)"
    bad = "[tare](glossary.md#tara) and [Lesson 3](03_least.ipynb)"
    assert broken_links(good, FOLDER) == []
    assert broken_links(bad, FOLDER) == ["glossary.md#tara", "03_least.ipynb"]


def test_the_glossary_is_in_the_order_of_the_alphabet() -> None:
    """A reader looks a word up by its letters, and no word stands there twice."""
    assert list(glossary()) == sorted(set(glossary()))


def test_the_glossary_has_the_words_of_the_trade_in_small_letters() -> None:
    """The words that a reader meets in books are there; small letters make an anchor that is the same everywhere."""
    trade = {
        "alligation", "aliquot", "diluent", "least weighable quantity", "multiple factor", "percentage strength",
        "ratio strength", "sensitivity requirement", "tare", "trituration",
    }  # fmt: skip
    assert trade <= set(glossary())
    assert [term for term in glossary() if term != term.lower()] == []


def test_every_entry_of_the_glossary_explains_and_its_links_lead_somewhere() -> None:
    """An entry is a sentence or more, and what it points to is there."""
    assert {term: said for term, said in glossary().items() if len(said.split()) < 15} == {}
    text = GLOSSARY.read_text(encoding="utf-8")
    assert f"> {CAUTION}" in text
    assert broken_links(text, FOLDER) == []
