"""What a student writes never runs in a browser: not in nbgrader's own page, not in feedback, not in the report."""

from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.engine import ready
from pharmcalc.classroom.marking.escaping import as_plain_text, escape_student_text, written_text
from pharmcalc.classroom.marking.finished import read_marked
from pharmcalc.classroom.results.report import write_all
from tests.classroom.conftest import NAME, Classroom

if TYPE_CHECKING:
    from playwright.sync_api import Page

HACK = "document.documentElement.setAttribute('data-hacked', '1')"
PAYLOADS = (
    f"<script>{HACK}</script>",
    f'<img src="x" onerror="{HACK}">',
    f"[click](javascript:{HACK.replace(' ', '')})",
    f'<svg onload="{HACK}"><a xlink:href="javascript:{HACK}">a</a></svg>',
    f'</div></pre></code><iframe srcdoc="<script>parent.{HACK}</script>"></iframe>',
    f"$$\\href{{javascript:{HACK}}}{{x}}$$ ```\n<script>{HACK}</script>\n```",
    "<style>@import 'https://example.org/x.css';</style><base href=\"https://example.org/\">",
    f"{{{{ '<script>{HACK}</script>' }}}} {{% raw %}}",
)


class Parsed(HTMLParser):
    """The elements and attributes of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.elements.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]


def attack(nb: dict[str, Any]) -> None:
    """Put every payload into every place where a student can write."""
    text = "\n\n".join(PAYLOADS)
    cells = cells_by_id(nb)
    cells["explain-1"]["source"] = text
    cells["intro"]["source"] = text
    cells["student"]["source"] += "\n" + text
    cells["answer-q1"]["source"] = f"%%answer q1\nleast weighable quantity = {PAYLOADS[0]}\n{text}"
    for kind in ("markdown", "raw", "code"):
        extra: dict[str, Any] = {"cell_type": kind, "id": f"x-{kind}", "metadata": {"tags": [text]}, "source": text}
        nb["cells"].append(extra | ({"outputs": [], "execution_count": None} if kind == "code" else {}))
    html = {"output_type": "display_data", "data": {"text/html": text}, "metadata": {}}
    nb["cells"][-1]["outputs"] = [html]
    cells["mark-q1"]["outputs"] = [html]


def formgrader_page(classroom: Classroom, number: str) -> str:
    """Return the page that nbgrader's formgrader shows an instructor for a hand-in."""
    ready()
    from nbconvert.exporters import HTMLExporter
    from nbgrader.server_extensions.formgrader import handlers
    from traitlets.config import Config

    config = Config()
    config.HTMLExporter.template_name = "formgrade"
    config.HTMLExporter.extra_template_basedirs = [handlers.template_path]
    resources = dict.fromkeys(("base_url", "notebook_id", "assignment_id", "submission_id", "student"), "x")
    resources |= dict.fromkeys(("first_name", "last_name", "notebook_path", "filename"), "x")
    exporter = HTMLExporter(config=config)
    path = classroom.course.autograded(NAME, number)
    page, _ = exporter.from_filename(str(path), resources={**resources, "index": 0, "total": 1})
    return str(page)


@pytest.fixture
def pages(classroom: Classroom) -> dict[str, str]:
    """Return the three pages that show a hostile hand-in, and the same for an honest one."""
    classroom.hand_in("A-01", change=attack)
    classroom.hand_in("A-02")
    assert classroom.mark().count("marked") == 2
    report, _ = write_all(classroom.course, classroom.picture())
    made = {"report": report.read_text(encoding="utf-8")}
    for number, kind in (("A-01", "hostile"), ("A-02", "honest")):
        made[f"formgrader, {kind}"] = formgrader_page(classroom, number)
        made[f"feedback, {kind}"] = classroom.feedback(number)
    return made


def test_no_payload_becomes_an_element(pages: dict[str, str]) -> None:
    """A hostile hand-in adds no script, frame, picture, handler or link of its own to any page."""
    for where in ("formgrader", "feedback"):
        hostile, honest = Parsed(pages[f"{where}, hostile"]), Parsed(pages[f"{where}, honest"])
        for tag in ("script", "iframe", "img", "svg", "style", "base", "object", "embed", "form"):
            assert hostile.elements.count(tag) == honest.elements.count(tag), (where, tag)
        assert [a for a in hostile.attributes if a[0].startswith("on")] == [
            a for a in honest.attributes if a[0].startswith("on")
        ]
        assert not [a for a in hostile.attributes if "javascript:" in a[1].lower()]


def test_our_pages_load_nothing_from_another_host(pages: dict[str, str]) -> None:
    """Feedback and report are whole in one file: no script, nothing to fetch."""
    for name in ("feedback, hostile", "report"):
        page = Parsed(pages[name])
        assert not {"script", "link", "img", "iframe"} & set(page.elements)
        assert not [a for a in page.attributes if a[0] in ("src", "href") and not a[1].startswith("#")]


def test_the_student_still_reads_their_own_words(pages: dict[str, str]) -> None:
    """Escaping hides nothing: the text stands on the feedback page as it was typed."""
    assert "&lt;script&gt;document" in pages["feedback, hostile"]


@pytest.mark.browser
def test_no_script_of_a_student_runs_in_a_browser(pages: dict[str, str], tmp_path: Path, page: "Page") -> None:
    """Opened in a real browser, none of the pages was touched by what the student wrote."""
    for number, (name, text) in enumerate(pages.items()):
        if name.startswith("formgrader"):
            continue  # its own scripts need nbgrader's server; see the test of its elements
        path = tmp_path / f"{number}.html"
        path.write_text(text, encoding="utf-8")
        page.goto(path.as_uri())
        assert page.locator("h1").count() == 1
        assert page.evaluate("document.documentElement.dataset.hacked") is None, name


@pytest.mark.browser
def test_no_script_of_a_student_runs_in_nbgraders_page(classroom: Classroom, tmp_path: Path, page: "Page") -> None:
    """The part of the formgrader's page that shows the hand-in runs nothing of it."""
    classroom.hand_in("A-01", change=attack)
    classroom.mark()
    text = formgrader_page(classroom, "A-01")
    body = text[text.index('id="notebook-container"') :].partition(">")[2]
    path = tmp_path / "formgrader.html"
    path.write_text(f"<!DOCTYPE html><meta charset=utf-8><title>x</title>{body}", encoding="utf-8")
    page.goto(path.as_uri())
    assert page.evaluate("document.documentElement.dataset.hacked") is None
    assert page.get_by_text("onerror").count() > 0


@given(st.text(max_size=300))
def test_any_text_comes_out_as_one_line_of_codes(text: str) -> None:
    """No text, whatever it holds, opens an element or begins a Markdown construct."""
    shown = as_plain_text(text)
    inside = shown.removeprefix('<pre class="student-text">').removesuffix("</pre>")
    assert not set(inside) & set("<>\"'`*_[]()!$\\{}|~-+=\n\r\t:/@")
    assert len(shown) - len(inside) == len('<pre class="student-text"></pre>')


def test_issued_text_is_left_alone(classroom: Classroom) -> None:
    """What stands word for word in the release is no student's text."""
    nb = {**classroom.release, "cells": [dict(c) for c in classroom.release["cells"]]}
    escape_student_text(nb, classroom.release)
    assert nb["cells"] == classroom.release["cells"]


def test_the_words_as_written_are_kept_beside_the_escaped_ones(classroom: Classroom) -> None:
    """Marking by hand and feedback need the text itself; it is kept as data."""
    classroom.hand_in("A-01", change=attack)
    classroom.mark()
    cell = cells_by_id(read_marked(classroom.course, NAME, "A-01"))["explain-1"]
    assert written_text(cell) == "\n\n".join(PAYLOADS)
