"""The hostile set: what a hostile or broken hand-in looks like, how it comes in, what it earns and what is said of it.

Each case is a student of its own, ``H-01``, ``H-02`` ... in the order of ``CASES``. Unless said otherwise the notebook
answers q1 rightly and q2 not at all, has no bench record and an empty written answer: its honest content is q1.
"""

from __future__ import annotations

import json
import stat
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import Any

from pharmcalc.bench.record import FORM
from tests.classroom.hostile_files import (
    NAME,
    OWNER,
    RECORD,
    Link,
    Make,
    Pipe,
    Release,
    answers_of,
    as_it_is,
    bomb,
    by_the_book,
    changed,
    entry,
    in_the_name_of_the_owner,
    in_zip,
    lying_about_sizes,
    marks_of_its_own,
    named,
    nicer_reading,
    only,
    overlapping,
    rewritten,
    straight,
    two_notebooks,
    with_lines,
    with_record,
    worth_on_own_paper,
    zipped,
)
from tests.classroom.hostile_parts import (
    ANSWERS,
    HACK,
    MB,
    SCRIPT,
    SCRIPTS,
    SIGNS,
    SYSTEM_CALLS,
    Change,
    as_bytes,
    code,
    copied_locked_cells,
    deep_metadata,
    forged_outputs,
    many_cells,
    odd_cells,
    old_format,
    pointing_to_itself,
    printed,
    scripts_everywhere,
    second_answers,
    settings,
    split_cells,
    told,
    without,
)

FAMILIES = ("least-weighable-quantity", "aliquot-plan", "bench-weighing")
HONEST = (OWNER, "A-02", "A-03", "A-04")
Q1 = 2.0


class Way(Enum):
    """How a hand-in comes in."""

    FOLDER = "with the class, in one folder"
    ZIP = "in a zip of its own"
    STRAIGHT = "laid into submitted/, as nbgrader's own exchange does"


@dataclass(frozen=True)
class Case:
    """One hostile or broken hand-in.

    ``make`` returns its files for the release and the student's number. ``earns``: the marks of its honest content; it
    must get these and no more. ``says``: what its reason must say; empty where it is marked like any other hand-in and
    there is nothing to tell.
    """

    name: str
    make: Make
    earns: float | Callable[[Release, str], float] = Q1
    says: str = ""
    way: Way = Way.FOLDER
    marked: bool = True


def refused(name: str, make: Make, says: str, way: Way = Way.FOLDER) -> Case:
    """Return a case that is set aside and earns nothing."""
    return Case(name, make, 0, says, way, marked=False)


def answer(name: str, text: str, says: str = "") -> Case:
    """Return a case with a text as the answer to q2."""
    return Case(f"answer: {name}", changed(told("answer-q2", f"%%answer q2\nmultiple factor = {text}")), Q1, says)


def record(name: str, write: Callable[[Release, str], str | bytes], says: str) -> Case:
    """Return a case with a bench record, which earns nothing."""
    return Case(f"record: {name}", with_record(write), Q1, says)


def zip_of(name: str, pack: Callable[[str, bytes], bytes], says: str = "") -> Case:
    """Return a case that comes as a zip; it is refused where there is something to say."""
    if says:
        return refused(f"zip: {name}", in_zip(pack), says, Way.ZIP)
    return Case(f"zip: {name}", in_zip(pack), way=Way.ZIP)


def entry_called(name: str, says: str = "") -> Case:
    """Return a case that comes as a zip with one notebook under a name."""
    return zip_of(f"an entry {name[:30]!r}", lambda n, d: zipped([(name.replace("H", n), d)]), says)


def laid(name: str, change: Change | None = None, says: str = "", refused: bool = False, **beside: Any) -> Case:
    """Return a case that is laid straight into submitted/, with things beside the notebook (``__`` for a point)."""
    return Case(f"straight: {name}", straight(change, **beside), 0 if refused else Q1, says, Way.STRAIGHT, not refused)


RAW = "the run gives nbgrader the file as it came, not the notebook that was read and checked"
COPIED = "nbgrader copies what lies beside the notebook, and follows links; see submitted.check_folder"
STAMPED = "nbgrader reads the time stamp whole and stops at one that is no time; see submitted.check_folder"

FACTS = (
    Case("code that loops, forks, kills, exits, prints, writes to the gradebook", changed(code(*SYSTEM_CALLS))),
    Case("locked cells deleted", changed(without("setup", "mark-q1", "mark-q2", "task-q2")), says="it was put back"),
    Case("locked cell edited", changed(told("mark-q2", "12")), says="the locked cell was changed"),
    refused("cut off", rewritten(lambda t: t[:-900]), "breaks off"),
    refused("empty", as_it_is(b""), "the file is empty"),
    refused("blanks only", as_it_is(b" \n" * 1000), "the file is empty"),
    refused("50 MB printed", changed(printed(50 * MB)), "larger than 20 MB"),
    Case("15 MB printed", changed(printed(15 * MB))),
    Case("format 2", rewritten(lambda t: as_bytes(old_format(json.loads(t), 2)))),
    Case("format 3", rewritten(lambda t: as_bytes(old_format(json.loads(t), 3)))),
    refused("format 99", rewritten(lambda t: t.replace('"nbformat": 4', '"nbformat": 99')), "format 99"),
    refused("format NaN", rewritten(lambda t: t.replace('"nbformat": 4', '"nbformat": NaN')), "format nan"),
    refused("a link to the gradebook", only(f"{NAME}.ipynb", Link("gradebook.db")), "link", Way.STRAIGHT),
    Case("a file that shadows a library", named("{number}/work.ipynb", {"{number}/pint.py": b"raise SystemExit"})),
)

LESSONS = (
    Case("forged output: full marks", changed(forged_outputs("2"))),
    Case("forged output: 1.5 of 2", changed(forged_outputs("1.5 of 2"))),
    Case("forged output: nan", changed(forged_outputs("nan"))),
    Case("forged output: too many", changed(forged_outputs("100"))),
    Case("points 100", changed(settings(points=100))),
    Case("every cell claims to be mark-q2", changed(settings(grade_id="mark-q2", grade=True)), 0, "was deleted"),
    Case("settings of nbgrader's first form", changed(settings(schema_version=1))),
    Case("settings of a form to come", changed(settings(schema_version=99))),
    Case("settings of wrong kinds", changed(settings(grade="yes", locked=[], points="NaN", cell_type={}))),
    Case("split answer and mark cells", changed(split_cells)),
    Case("copied locked cells with more points", changed(copied_locked_cells), says="changed"),
    Case("answer and mark cell both gone", changed(without("answer-q1", "mark-q1")), 0, "answer cell was deleted"),
    Case("scripts in every field", changed(scripts_everywhere), says="changed"),
    Case("another's answers and number", answers_of(OWNER), worth_on_own_paper, f"the number on the sheet is {OWNER}"),
    Case("another's answers, own number", answers_of(OWNER, "{number}"), worth_on_own_paper, "bench record"),
    Case("5,000 answer lines", changed(told("answer-q1", "%%answer q1\n" + "multiple factor = 1\n" * 5000)), 0, "cut"),
    *(answer(what, text) for what, text in ANSWERS.items()),
    answer("a number a million digits long", "9" * 1_000_000, "longer than"),
)

JSON = (
    refused("deep JSON", as_it_is(b"[" * 200_000), "not a notebook"),
    refused("deep JSON in a notebook", rewritten(lambda t: f'{t[:-1]}, "x": {"[" * 90_000}'), "not a notebook"),
    Case("lists in lists in settings", changed(deep_metadata)),
    Case("references to itself", changed(pointing_to_itself)),
    Case("a million small lists", rewritten(lambda t: t[:-1] + ', "x": [' + "[]," * 1_000_000 + "0]}")),
    refused("10,000 cells", changed(many_cells(10_000)), "cells"),
    Case("1,900 cells", changed(many_cells(1_900)), says="only the first 60"),
    Case("a thousand second answers", changed(second_answers), says="a second cell begins with %%answer q1"),
    Case("cells of odd kinds", changed(odd_cells)),
    refused("50 MB of text", as_it_is(b"x" * (50 * MB)), "larger than 20 MB"),
    Case("a single line of 19 MB", changed(told("answer-q2", "x" * (19 * MB))), says="longer than"),
    Case("notes of 18 MB", changed(code("y" * (9 * MB)))),
    refused("a giant number", rewritten(lambda t: f'{t[:-1]}, "x": {"9" * 1_000_000}}}'), "not a notebook"),
    Case("NaN and Infinity", rewritten(lambda t: t[:-1] + ', "x": [NaN, -Infinity, 1e999]}')),
    Case("the same key twice", rewritten(lambda t: t[:-1] + ', "nbformat": 4, "metadata": {"a": 1, "a": 2}}')),
    Case("UTF-16", rewritten(lambda t: t.encode("utf-16"))),
    Case("with a byte order mark", rewritten(lambda t: t.encode("utf-8-sig"))),
    refused("Latin-1", rewritten(lambda t: t.replace("A test", "\xc4 test").encode("latin-1")), "UTF-8"),
    refused("NUL", rewritten(lambda t: t.encode() + b"\x00" * 500), "not a notebook"),
    Case("control signs and half characters", changed(told("explain-1", SIGNS * 20))),
    Case("control signs in labels", changed(told("answer-q2", f"%%answer q2\nmultiple factor{SIGNS} = {SIGNS}30"))),
    refused("JSON and no notebook", as_it_is({"cells": []}), "not a notebook"),
    refused("cells that are none", as_it_is({"nbformat": 4, "cells": "abc"}), "cannot be read"),
    refused("cells in a dictionary", as_it_is({"nbformat": 4, "cells": {"a": 1}}), "cannot be read"),
    refused("worksheets that are none", as_it_is({"nbformat": 3, "worksheets": [[[]], 7]}), "cannot be read"),
    refused("format 1", as_it_is({"nbformat": 1, "cells": [{"cell_type": "code", "code": "1"}]}), "not made from"),
    refused("another assignment's", changed(told("setup", 'notebook.begin("week-9", version=1)')), "of week-9"),
    refused("a hostile assignment", changed(told("setup", f"notebook.begin('{SCRIPTS[0]}{SIGNS}')")), "the right one"),
    Case("a number with a script", changed(told("student", f"%%student\nstudent number = {SCRIPTS[0]}\nattempt = 1"))),
    Case(
        "attempt 99", changed(told("student", "%%student\nstudent number = A-02\nattempt = 99")), says="sheet is A-02"
    ),
)

NAMES = (
    Case("two notebooks of one student", two_notebooks, says="an earlier notebook"),
    refused("a bad notebook in another's name", in_the_name_of_the_owner("{number}/{owner}.ipynb"), "find out whose"),
    refused("a bad notebook, another's number", in_the_name_of_the_owner("zz {number}x/work.ipynb"), "find out whose"),
    Case("a name with a script", named("{number}/<img src=x onerror=alert(1)>.ipynb")),
    refused("a name that a spreadsheet computes", as_it_is(b"", "={number}+cmd;=1+1.ipynb"), "the file is empty"),
    refused("a name with control signs", as_it_is(b"", "{number} \u202e\x1b[31m\x07.ipynb"), "the file is empty"),
    refused("a name that is no text", as_it_is(b"", "{number} \udcff\udcfe.ipynb"), "the file is empty"),
    Case("a name with [ and ]", named("{number} [a-z]?*[!x].ipynb")),
    refused("a name with markup", as_it_is(b"", "{number} [bold red][/].ipynb"), "the file is empty"),
    Case("a very long name", named("{number}/" + "x" * 240 + ".ipynb")),
    refused("a link to a file", only("{number}/work.ipynb", Link("victim")), "link"),
    refused("a link to the gradebook in a folder", only("{number}/work.ipynb", Link("gradebook.db")), "link"),
    refused("a link to a folder", only("{number}/more", Link("victims")), "link"),
    refused("a link to nothing", only("{number}/work.ipynb", Link("nothing")), "link"),
    refused("a pipe", only("{number}/work.ipynb", Pipe()), "not a file"),
    Case("a folder with a notebook's name", named("{number}/work.ipynb/work.ipynb")),
)

RECORDS = (
    record("a nicer reading", nicer_reading, "says that the display showed"),
    record("marks of its own", marks_of_its_own, ""),
    record("another's", lambda r, _: by_the_book(r, OWNER), f"the order in it is {OWNER}'s"),
    record("absurdly many events", with_lines(*[["wait", "", ""]] * 50_000), "too many lines"),
    record("scripts", with_lines([SCRIPT, SCRIPT, SCRIPT], [HACK, SIGNS, ""]), "there is no action"),
    record("scripts in the note", with_lines(["write", f"lot = {SCRIPT}", ""]), "bench record"),
    record("megabytes", lambda *_: b'{"' + b"x" * 9 * MB, "far too long"),
    record("deep", lambda *_: "[" * 100_000, "cannot be read"),
    record("a script as order", lambda *_: json.dumps({"form": FORM, "order": SCRIPT}), "given to nobody"),
    record("a list as order", lambda *_: json.dumps({"form": FORM, "order": [SCRIPT]}), "is none"),
)

ZIPS = (
    entry_called("../../H.ipynb", "leads outside"),
    entry_called("/tmp/H.ipynb", "leads outside"),
    entry_called("..\\..\\H.ipynb", "leads outside"),
    entry_called("C:\\x\\H.ipynb", "leads outside"),
    entry_called("week: 1 H.ipynb"),
    entry_called("H/aux/CON.ipynb"),
    entry_called(f"H/{'x' * 60_000}.ipynb"),
    entry_called(f"H/{'a/' * 1000}work.ipynb"),
    entry_called("H \u202e\x1b[2J\n\x7f.ipynb"),
    zip_of("a file that is a folder too", lambda n, d: zipped([(f"{n}.ipynb", d), (f"{n}.ipynb/x/{n}.ipynb", d)])),
    zip_of("one name thousands of times", lambda n, d: zipped([(f"{n}.ipynb", d[:50])] * 3000), "breaks off"),
    zip_of("a link", lambda n, _: zipped([(entry(f"{n}.ipynb", stat.S_IFLNK), b"../../gradebook.db")]), "link"),
    zip_of("a pipe", lambda n, d: zipped([(entry(f"{n}.ipynb", stat.S_IFIFO), d)]), "not a file"),
    zip_of("wrong sizes in its list", lambda n, d: lying_about_sizes(zipped([(f"{n}.ipynb", d)])), "damaged"),
    zip_of("bomb", lambda n, _: bomb(f"{n}.ipynb", 60 * MB), "larger than 20 MB"),
    zip_of("bomb in a zip", lambda n, _: zipped([(f"{n}.zip", bomb("x.ipynb", 5 * MB))]), "zip inside the zip"),
    zip_of("the same bytes many times", lambda n, _: overlapping(f"{n}.ipynb", b" " * (8 * MB), 99), "the rest"),
    zip_of("its list is damaged", lambda n, d: zipped([(n, d)]).replace(b"PK\x01\x02", b"PK\x01\x03"), "damaged"),
    zip_of(
        "a name in no alphabet", lambda n, d: zipped([(f"{n}\xe4", d)]).replace(b"\xc3\xa4", b"\xff\xff"), "damaged"
    ),
)

STRAIGHT = (
    laid("a hand-in as it should be"),
    laid("scripts in every field", scripts_everywhere, "changed"),
    laid("forged outputs", forged_outputs("100")),
    laid("nbgrader's first form", settings(schema_version=1)),
    laid("15 MB printed", printed(15 * MB)),
    laid("a page beside it", **{f"{NAME}__html": SCRIPT.encode(), "more__html": SCRIPT.encode()}),
    laid("programs beside it", pint__py=b"raise SystemExit", nbgrader_config__py=b"raise SystemExit"),
    laid("a record that is a link", says="link", refused=True, **{RECORD.replace(".", "__"): Link("victim")}),
    refused("straight: no notebook", only("readme.txt", b"x"), "there is no week-1.ipynb", Way.STRAIGHT),
    refused("straight: a folder in its place", only(f"{NAME}.ipynb/x", b"x"), "there is no week-1", Way.STRAIGHT),
    Case("straight: format 3", straight(as_file=lambda nb: as_bytes(old_format(nb, 3))), way=Way.STRAIGHT),
    Case("straight: NaN", straight(as_file=lambda nb: as_bytes(nb | {"x": float("nan")})), way=Way.STRAIGHT),
    Case("straight: UTF-16", straight(as_file=lambda nb: json.dumps(nb).encode("utf-16")), way=Way.STRAIGHT),
    laid("lists in lists", deep_metadata),
    laid("cells of odd kinds", odd_cells),
    laid("a link beside it to a file", says="link", refused=True, more__txt=Link("victim")),
    laid("a link beside it to the gradebook", says="link", refused=True, more__db=Link("gradebook.db")),
    laid("a link beside it to a folder", says="link", refused=True, more=Link("victims")),
    laid("a pipe beside it", says="no file and no folder", refused=True, more__txt=Pipe()),
    laid("a time stamp of 5 MB", says="says no time", refused=True, timestamp__txt=b"2" * (5 * MB)),
    laid("a time stamp that is no time", says="says no time", refused=True, timestamp__txt=b"<script>"),
    laid("a time of year 9999", says="says no time", refused=True, timestamp__txt=b"9999-12-31 23:59:59 -9999"),
    laid("a time stamp that is a pipe", says="no file and no folder", refused=True, timestamp__txt=Pipe()),
)

ALL = (*FACTS, *LESSONS, *JSON, *NAMES, *RECORDS, *ZIPS, *STRAIGHT)
CASES = {f"H-{place:03}": case for place, case in enumerate(ALL, 1)}
