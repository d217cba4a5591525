"""One student's pages for the PDF, and the same student's key; the first pages of the keys."""

from collections.abc import Sequence
from dataclasses import dataclass

from pharmcalc.bench import file_name
from pharmcalc.language import habits, using
from pharmcalc.sheets.key import HALF_MARKS, ranges_of, rules_in_force, working_of
from pharmcalc.sheets.layout import Layout
from pharmcalc.sheets.papers import Sheet
from pharmcalc.sheets.pdf import Pages, pages_of, style_of
from pharmcalc.sheets.printing import one_line, printed
from pharmcalc.sheets.record import AFTER, BEFORE, GROUPS, record_of
from pharmcalc.tasks.papers import Issue

__all__ = ["Entry", "cover_pages", "key_pages", "layout_for", "student_pages"]


@dataclass(frozen=True)
class Entry:
    """Where in the keys a student's key begins: the page of the file, counted from 1."""

    sheet: Sheet
    page: int


def layout_for(issue: Issue, paper: str, *, large: bool = False, kind: str = "sheets") -> Layout:
    """Return the layout of an assignment's pages; ``paper`` is ``A4`` or ``letter``."""
    with using(issue.house.habits):
        rules = sum(len(what) + len(value) + 4 for what, value in issue.house.summary())
    return Layout(paper, large, kind, rules)


def student_pages(issue: Issue, sheet: Sheet, layout: Layout) -> Pages:
    """Lay out a student's tasks and weighing records."""
    record = {"record_of": record_of, "before": BEFORE, "groups": GROUPS, "after": AFTER}
    return _laid_out("pdf_student", issue, layout, sheet=sheet, file_name=file_name, **record)


def key_pages(issue: Issue, sheet: Sheet, layout: Layout) -> Pages:
    """Lay out the key to a student's tasks."""
    solved = {"rules_in_force": rules_in_force, "ranges": ranges_of, "working": working_of}
    return _laid_out("pdf_key", issue, layout, sheet=sheet, **solved)


def cover_pages(issue: Issue, entries: Sequence[Entry], layout: Layout) -> Pages:
    """Lay out what comes before the keys: how to mark, and on which page of the file each paper's key begins."""
    by_code = sorted(entries, key=lambda entry: entry.sheet.paper.code)
    return _laid_out("pdf_cover", issue, layout, entries=by_code, half_marks=HALF_MARKS)


def _laid_out(template: str, issue: Issue, layout: Layout, **values: object) -> Pages:
    """Lay out a page of this assignment, in the language of its house."""
    with using(issue.house.habits):
        html = printed(template, layout=layout, title=one_line(issue.title), rules=issue.house.summary(), **values)
        return pages_of(html, style_of(layout, habits().language))
