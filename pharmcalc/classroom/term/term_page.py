"""Write the class picture over the term: one self-contained page, and the same data as two sheets."""

from __future__ import annotations

from pathlib import Path

from pharmcalc.bench import SIMULATED
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.pages import page, plain
from pharmcalc.classroom.results.picture import MARKED, Row
from pharmcalc.classroom.term.charts import MOST_BARS, bars, lines, percent, where
from pharmcalc.classroom.term.gather import Term, handed_in, share_of
from pharmcalc.classroom.term.heatmap import cell_of, heat_maps, total_of
from pharmcalc.classroom.term.lessons import lesson_for
from pharmcalc.classroom.term.lookings import frequent_mistakes, named, needing_help, progress
from pharmcalc.classroom.term.shades import SHADES, css
from pharmcalc.classroom.term.term_sheets import write_marks, write_mistakes

__all__ = ["FOLDER", "PAGE", "term_page", "write_term"]

FOLDER, PAGE = "term", "class.html"
STUDENTS = "students"
"""The folder beside the page with each student's page of the competency record, where there is one."""


def term_page(term: Term, competencies: dict[str, str] | None = None) -> str:
    """Return the page. ``competencies``: by student's number the address of the page of the competency record."""
    mistakes = frequent_mistakes(term)
    steps = progress(term)
    return page(
        "term",
        term=term,
        maps=list(heat_maps(term)),
        mistakes=mistakes,
        bars=bars(mistakes) if mistakes else "",
        most_bars=MOST_BARS,
        steps=steps,
        lines=lines(steps) if steps else "",
        helping=needing_help(term),
        competencies=competencies or {},
        named=named,
        lesson_for=lesson_for,
        shades=SHADES,
        shade_css=css(),
        cell_of=cell_of,
        total_of=total_of,
        handed_in=handed_in,
        remarks=remarks,
        simulated=any(part.simulated for picture in term.pictures for part in picture.parts),
        share_of=share_of,
        percent=percent,
        where=where,
        plain=plain,
        MARKED=MARKED,
        SIMULATED=SIMULATED,
    )


def remarks(row: Row) -> list[str]:
    """Say what an instructor should know of a hand-in beside its marks: attempts, what to look at, what was done."""
    told = [one.says() for one in row.attempts]
    awaits = [f"to be marked by hand: {', '.join(row.to_mark)}"] if row.to_mark else []
    late = [f"{plain(row.penalty)} marks off for handing in late"] if row.penalty else []
    return [*told, *awaits, *late, *(f"needs a look: {said}" for said in row.needs_eyes), *row.notes]


def write_term(course: Course, term: Term) -> tuple[Path, Path, Path]:
    """Write page and sheets into ``reports/term/``; return (page, sheet of marks, sheet of mistakes)."""
    folder = course.reports(FOLDER)
    written, marks, mistakes = folder / PAGE, folder / "marks.csv", folder / "mistakes.csv"
    folder.mkdir(parents=True, exist_ok=True)
    written.write_text(term_page(term, _competencies(course, term)), encoding="utf-8")
    write_marks(term, marks)
    write_mistakes(term, mistakes)
    return written, marks, mistakes


def _competencies(course: Course, term: Term) -> dict[str, str]:
    """Return the addresses, from the page, of those pages of the competency record that are there."""
    there = {path.stem for path in (course.reports(FOLDER) / STUDENTS).glob("*.html")}
    return {one.number: f"{STUDENTS}/{one.number}.html" for one in term.students if one.number in there}
