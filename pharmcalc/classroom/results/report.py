"""What the instructor takes away: the mark sheets as CSV, the class report as one page, the lines at the terminal."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

from pharmcalc.bench import SIMULATED
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.inbox import Entry
from pharmcalc.classroom.pages import page, plain
from pharmcalc.classroom.results.picture import ABSENT, MARKED, Part, Picture, Row, count_students
from pharmcalc.classroom.term.heatmap import cell_of, total_of
from pharmcalc.classroom.term.shades import SHADES, css
from pharmcalc.feedback import CLEARED, NOT_CLEARED

UPLOAD = "upload.csv"
"""The mark sheet for a learning platform, beside ``marks.csv``."""
MOST_SAID = 2
LONGEST_COMMENT = 240
_RISKY = ("=", "+", "-", "@", "\t", "\r", "\n")
_AFTER_AN_END = re.compile(r"([;,\t\r\n]\s*)(?=[=+@])")
MOST_SET_ASIDE = 200


def cell_text(text: str) -> str:
    """Return a text that a spreadsheet shows and never computes.

    >>> cell_text('=HYPERLINK("http://x")')
    '\\'=HYPERLINK("http://x")'

    A spreadsheet may take semicolons or tabs for the ends of cells, so a formula after one of them is none either.

    >>> cell_text("A-07;=1+1")
    "A-07;'=1+1"
    """
    text = _AFTER_AN_END.sub(r"\1'", text)
    return "'" + text if text.startswith(_RISKY) else text


def write_mark_sheet(picture: Picture, path: Path) -> None:
    """Write the mark sheet: one line a student, absent ones too. UTF-8 with a mark that spreadsheets know."""
    header = ["number", "surname", "given name", *(part.label for part in picture.parts)]
    header += ["total", "out of", "cleared", "needs a look", "reason", "to mark by hand", "put right"]
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(map(cell_text, header))
        for row in picture.rows:
            sheet.writerow(_line(picture, row))
        for entry in picture.set_aside:
            blank = [""] * (len(picture.parts) + 4)
            sheet.writerow(["", cell_text(entry.file), *blank, "yes", cell_text(entry.reason), "", ""])


def _line(picture: Picture, row: Row) -> list[str]:
    student = row.student
    marked = row.state == MARKED
    scores = [plain(row.scores[part.name]) if part.name in row.scores else "" for part in picture.parts]
    reason = "; ".join(row.needs_eyes) or ("" if marked else row.state)
    return [
        cell_text(student.number),
        cell_text(student.surname),
        cell_text(student.given_name),
        *scores,
        plain(row.total) if marked else "",
        plain(picture.out_of),
        ("yes" if row.all_cleared else "no") if marked else "",
        "yes" if row.needs_eyes else "no",
        cell_text(reason),
        ", ".join(row.to_mark),
        cell_text("; ".join(row.notes)),
    ]


def write_upload(picture: Picture, path: Path) -> None:
    """Write the mark sheet for a learning platform: plain UTF-8, one line for each student of the class list.

    The total is empty where there is none yet: a platform shows what it takes as the mark, so a 0 would tell an absent
    student of a fail, and a sum that waits for marks by hand would tell everybody a mark that is too low. Students read
    the comment there, so it says nothing that is for the instructor's eyes only.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(["number", "email", "surname", "given name", "total", "out of", "comment"])
        for row in picture.rows:
            student = row.student
            total = plain(row.total) if row.state == MARKED and not row.to_mark else ""
            words = (student.number, student.email, student.surname, student.given_name)
            sheet.writerow([*map(cell_text, words), total, plain(picture.out_of), cell_text(comment_on(row, picture))])


def comment_on(row: Row, picture: Picture) -> str:
    """Return what a student reads beside the total, on one line: cleared or not, and the first reasons."""
    if row.state == ABSENT:
        return "Not handed in."
    if row.state != MARKED:
        return "Handed in, not marked yet."
    said = [f"Still to be marked by hand: {', '.join(row.to_mark)}."] if row.to_mark else []
    if row.penalty:
        said.append(f"{plain(row.penalty)} marks off for handing in late.")
    lost = [
        f"{part.label}: {'; '.join(row.lost.get(part.name, []))}"
        for part in picture.tasks
        if not row.cleared.get(part.name, False)
    ]
    more = f" And {len(lost) - MOST_SAID} more." if len(lost) > MOST_SAID else ""
    said.append(CLEARED if row.all_cleared else NOT_CLEARED)
    said += [f"{'. '.join(lost[:MOST_SAID])}.{more}"] if lost else []
    line = " ".join(" ".join(said).split())
    return line if len(line) <= LONGEST_COMMENT else line[: LONGEST_COMMENT - 3] + "..."


@dataclass(frozen=True)
class TaskLine:
    """One task over the class, for the report."""

    part: Part
    average: float
    right: int
    partly: int
    none: int
    cleared: int


def task_lines(picture: Picture) -> list[TaskLine]:
    """Return for each part: the average, how many have all, some and no marks, and how many are cleared."""
    lines = []
    for part in picture.parts:
        rows = [row for row in picture.having(MARKED) if part.name in row.scores and part.name not in row.to_mark]
        scores = [row.scores[part.name] for row in rows]
        lines.append(
            TaskLine(
                part=part,
                average=sum(scores) / len(scores) if scores else 0.0,
                right=sum(score >= part.out_of for score in scores),
                partly=sum(0 < score < part.out_of for score in scores),
                none=sum(score <= 0 for score in scores),
                cleared=sum(row.cleared.get(part.name, False) for row in rows),
            )
        )
    return lines


def help_lines(picture: Picture) -> list[tuple[Row, list[str]]]:
    """Return the students who are not cleared in everything, each with the tasks and what went wrong there."""
    found = []
    for row in picture.having(MARKED):
        needs = []
        for part in picture.tasks:
            if not row.cleared.get(part.name, False):
                needs.append(f"{part.title}: {'; '.join(row.lost.get(part.name, []))}")
        if needs:
            found.append((row, needs))
    return sorted(found, key=lambda item: (item[0].total, item[0].student.number))


def write_report(picture: Picture, path: Path) -> None:
    """Write the class report: one self-contained page that also prints."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = page(
        "report",
        picture=picture,
        set_aside=picture.set_aside[:MOST_SET_ASIDE],
        not_shown=len(picture.set_aside[MOST_SET_ASIDE:]),
        tasks=task_lines(picture),
        mistakes=[(name, cases, count_students(cases)) for name, cases in picture.mistakes()],
        helping=help_lines(picture),
        marked=picture.having(MARKED),
        to_mark={part.name: [row for row in picture.rows if part.name in row.to_mark] for part in picture.parts},
        absent=picture.having(ABSENT),
        cleared=[row for row in picture.rows if row.all_cleared],
        plain=plain,
        cell_of=cell_of,
        total_of=total_of,
        shades=SHADES,
        shade_css=css(),
        SIMULATED=SIMULATED,
        MARKED=MARKED,
    )
    path.write_text(text, encoding="utf-8")


def write_all(course: Course, picture: Picture) -> tuple[Path, Path]:
    """Write mark sheets and report into ``reports/<assignment>/``; return (report, mark sheet).

    Beside the mark sheet lies ``UPLOAD``, the one for a learning platform.
    """
    folder = course.reports(picture.assignment)
    report, sheet = folder / "report.html", folder / "marks.csv"
    write_report(picture, report)
    write_mark_sheet(picture, sheet)
    write_upload(picture, folder / UPLOAD)
    return report, sheet


def headline(picture: Picture, most: int = 4) -> list[str]:
    """Return the class in three lines: who is cleared, who needs a look and why, and what to teach next."""
    marked = picture.having(MARKED)
    cleared = sum(row.all_cleared for row in marked)
    look = picture.to_look_at()
    lines = [f"{cleared} cleared for the bench    {len(marked) - cleared} not yet    {len(look)} need your eyes"]
    lines += [f"  {row.student.number}: {row.needs_eyes[0]}" for row in look[:most]]
    lines += [f"  {entry.file}: {entry.reason}" for entry in picture.set_aside[: max(0, most - len(look))]]
    more = len(look) + len(picture.set_aside) - most
    if more > 0:
        lines.append(f"  ... and {more} more in the report")
    by_hand = [row for row in marked if row.to_mark]
    if by_hand:
        parts = sorted({part for row in by_hand for part in row.to_mark})
        lines.append(f"To be marked by hand: {', '.join(parts)} ({len(by_hand)} students)")
    frequent = [f"{name} ({_students(count_students(cases))})" for name, cases in picture.mistakes()[:2]]
    if frequent:
        lines.append("Most frequent: " + " · ".join(frequent))
    return lines


def _students(count: int) -> str:
    return f"{count} student" + ("" if count == 1 else "s")


def first_reasons(entries: list[Entry], most: int = 8) -> list[str]:
    """Return the first few entries as lines, and how many more there are."""
    lines = [f"{entry.file}: {entry.reason}" for entry in entries[:most]]
    return [*lines, f"... and {len(entries) - most} more"] if len(entries) > most else lines
