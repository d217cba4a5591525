"""The marks of each student in each task as a heat map: the number in each cell, and its shade.

A figure holds some forty students and as many assignments as fit across a page; then another figure goes on.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from pharmcalc.classroom.pages import plain
from pharmcalc.classroom.results.picture import ABSENT, MARKED, NOT_ASKED, Part, Picture, Row
from pharmcalc.classroom.term.gather import Term, share_of
from pharmcalc.classroom.term.pictures import LINE, PICTURE, draw, one_line
from pharmcalc.classroom.term.shades import AWAITS, INK, NO_MARK, SHADES, Shade, shade_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["Cell", "Sheet", "cell_of", "heat_maps", "sheets_of", "total_of"]

MOST_STUDENTS = 40
MOST_COLUMNS = 24
_CELL, _LINE = 0.29, 0.19  # inches
_NAMES, _KEY = 1.75, 0.34
_MOST_NAME, _MOST_HEADING = 30, 24


@dataclass(frozen=True)
class Cell:
    """What stands in a cell, and its shade; none where nothing is marked."""

    text: str
    shade: Shade | None = None


@dataclass(frozen=True)
class Sheet:
    """The part of the term that one figure shows: these students in these assignments."""

    key: str
    students: tuple[int, ...]
    pictures: tuple[Picture, ...]


def cell_of(row: Row, part: Part) -> Cell:
    """Return what stands for a student and a task of an assignment that is marked."""
    if part.name in row.to_mark:
        return Cell(AWAITS)
    if part.name not in row.scores:
        return Cell(NO_MARK)
    score = row.scores[part.name]
    return Cell(plain(score), shade_of(score / part.out_of) if part.out_of else None)


def total_of(picture: Picture, row: Row) -> Cell:
    """Return what stands for all marks of a student in an assignment."""
    share = share_of(picture, row)
    if row.state != MARKED:
        return Cell(row.state)
    return Cell(plain(row.total), None if share is None else shade_of(share))


def sheets_of(term: Term) -> Iterator[Sheet]:
    """Return the figures that are needed."""
    everybody = range(len(term.students))
    for first in everybody[::MOST_STUDENTS]:
        students = tuple(everybody[first : first + MOST_STUDENTS])
        for pictures in _across(term.pictures):
            yield Sheet(f"heat-{students[0] + 1}-{pictures[0].assignment}", students, pictures)


def heat_maps(term: Term) -> Iterator[tuple[Sheet, Markup]]:
    """Return each part of the term with its figure."""
    for place, sheet in enumerate(sheets_of(term), 1):
        first, last = (term.students[sheet.students[end]].number for end in (0, -1))
        names = ", ".join(picture.assignment for picture in sheet.pictures)
        many = f"{len(sheet.students)} students, {first} to {last}"
        yield sheet, _Map(term, sheet).drawn(f"heat{place}", f"Marks in {names}: {many}")


def _across(pictures: Sequence[Picture]) -> Iterator[tuple[Picture, ...]]:
    """Share the assignments out, so that none is broken and a figure is no wider than a page."""
    group: list[Picture] = []
    for picture in pictures:
        if group and sum(len(one.parts) + 1 for one in (*group, picture)) > MOST_COLUMNS:
            yield tuple(group)
            group = []
        group.append(picture)
    if group:
        yield tuple(group)


class _Map:
    """One figure, drawn in inches from its upper left corner."""

    def __init__(self, term: Term, sheet: Sheet) -> None:
        self.students = [term.students[place] for place in sheet.students]
        self.rows = [[picture.rows[place] for picture in sheet.pictures] for place in sheet.students]
        self.pictures = sheet.pictures
        self.headings = [_headings(picture) for picture in self.pictures]
        longest = max(len(heading) for headings in self.headings for heading in headings)
        self.top = 0.3 + 0.052 * longest
        self.width = _NAMES + _CELL * sum(map(len, self.headings)) + 0.02
        self.height = self.top + _LINE * len(self.students) + _KEY
        self.shaded: dict[str, list[tuple[float, float]]] = defaultdict(list)
        self.open: list[tuple[float, float, float]] = []

    def drawn(self, key: str, title: str) -> Markup:
        """Return the figure."""
        says = (
            "A heat map: a row for each student, a column for each task; the number is the marks, and the darker the "
            "cell, the fewer of the marks. Hatched cells hold no marks yet. The same numbers stand in the table below."
        )
        return draw(key, max(self.width, 7.0), self.height, self._fill, title=title, says=says, layers=True)

    def _fill(self, figure: Figure) -> None:
        cells, names = (self._layer(figure, name) for name in (PICTURE, "names"))
        self._head(cells)
        for place, (student, results) in enumerate(zip(self.students, self.rows, strict=True)):
            y = self.top + place * _LINE
            words = one_line(f"{student.number} {student.name}", _MOST_NAME)
            _write(
                names,
                _NAMES - 0.06,
                y + _LINE / 2,
                words,
                ha="right",
                url=f"#student-{student.number}",
                color="#0b4f8a",
            )
            x = _NAMES
            for picture, row in zip(self.pictures, results, strict=True):
                x = self._cells(cells, picture, row, x, y)
        self._boxes(cells)
        self._key(cells)

    def _layer(self, figure: Figure, name: str) -> Axes:
        width, height = figure.get_size_inches()
        layer = figure.add_axes((0, 0, 1, 1), gid=name, xlim=(0, width), ylim=(height, 0))
        layer.set_axis_off()
        return layer

    def _head(self, cells: Axes) -> None:
        x = _NAMES
        for picture, headings in zip(self.pictures, self.headings, strict=True):
            wide = _CELL * len(headings)
            _write(
                cells, x + 0.02, 0.12, one_line(picture.assignment, max(8, int(wide / 0.075))), ha="left", weight="bold"
            )
            for place, heading in enumerate(headings):
                bold = "bold" if place == len(headings) - 1 else "normal"
                middle = x + (place + 0.5) * _CELL
                _write(cells, middle, self.top - 0.05, heading, va="bottom", rotation=90, weight=bold)
            x += wide

    def _cells(self, cells: Axes, picture: Picture, row: Row, x: float, y: float) -> float:
        wide = _CELL * (len(picture.parts) + 1)
        if row.state != MARKED:
            words = row.state if wide > (0.8 if row.state in (ABSENT, NOT_ASKED) else 1.2) else NO_MARK
            self.open.append((x, y, wide))
            _write(cells, x + wide / 2, y + _LINE / 2, words, style="italic", behind=True)
            return x + wide
        for cell in (*(cell_of(row, part) for part in picture.parts), total_of(picture, row)):
            middle = (x + _CELL / 2, y + _LINE / 2)
            if cell.shade:
                self.shaded[cell.shade.name].append((x, y))
                _write(cells, *middle, cell.text, color=cell.shade.ink)
            else:
                self.open.append((x, y, _CELL))
                _write(cells, *middle, cell.text, behind=True)
            x += _CELL
        return x

    def _boxes(self, cells: Axes) -> None:
        for shade in SHADES:
            _boxes(cells, [(x, y, _CELL) for x, y in self.shaded[shade.name]], shade.colour)
        _boxes(cells, self.open, "#ffffff", hatch="/////")
        edges, x = [_NAMES], _NAMES
        for headings in self.headings:
            x += _CELL * len(headings)
            edges += [x - _CELL, x]
        bottom = self.top + _LINE * len(self.students)
        for place, edge in enumerate(edges):
            thick = 0.5 if place % 2 else 1.2
            cells.plot([edge, edge], [self.top, bottom], color=INK, linewidth=thick, clip_on=False)

    def _key(self, cells: Axes) -> None:
        """Say below the map what the shades mean."""
        y, x = self.height - _KEY + 0.13, 0.02
        for shade in SHADES:
            _boxes(cells, [(x, y, 0.2)], shade.colour)
            _write(cells, x + 0.24, y + _LINE / 2, shade.says, ha="left")
            x += 0.36 + 0.062 * len(shade.says)
        _boxes(cells, [(x, y, 0.2)], "#ffffff", hatch="/////")
        _write(cells, x + 0.24, y + _LINE / 2, f"none yet ({AWAITS}: by hand)", ha="left")


def _headings(picture: Picture) -> list[str]:
    tasks = (one_line(f"{part.label} of {plain(part.out_of)}", _MOST_HEADING) for part in picture.parts)
    return [*tasks, f"all of {plain(picture.out_of)}"]


def _boxes(cells: Axes, places: Sequence[tuple[float, float, float]], colour: str, hatch: str | None = None) -> None:
    """Draw boxes of one colour as one path."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    if not places:
        return
    corners, codes = [], []
    for x, y, wide in places:
        corners += [(x, y), (x + wide, y), (x + wide, y + _LINE), (x, y + _LINE), (x, y)]
        codes += [Path.MOVETO, Path.LINETO, Path.LINETO, Path.LINETO, Path.CLOSEPOLY]
    cells.add_artist(
        PathPatch(Path(corners, codes), facecolor=colour, edgecolor=LINE, linewidth=0.4, hatch=hatch, clip_on=False)
    )


def _write(cells: Axes, x: float, y: float, words: str, *, behind: bool = False, **look: Any) -> None:
    look = {"ha": "center", "va": "center", "fontsize": 6.5, "clip_on": False, **look}
    if behind:
        look["bbox"] = {"facecolor": "#ffffff", "edgecolor": "none", "pad": 0.3}
    cells.text(x, y, words, **look)
