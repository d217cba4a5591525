"""How hostile hand-ins come: files, records, zips made by hand, links and pipes. A maker returns the files of one."""

from __future__ import annotations

import io
import json
import os
import struct
import warnings
import zipfile
import zlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pharmcalc.bench import file_name
from pharmcalc.marking import mark_task
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import answered
from tests.classroom.hostile_parts import Change, as_bytes, half_right

NAME = "week-1"
RECORD = file_name("q3")
OWNER = "A-01"
"""The honest student whose work others try to take, to push out or to spoil."""

Release = Mapping[str, Any]


@dataclass(frozen=True)
class Link:
    """A link; ``to`` is ``victim`` (a file outside the course), ``victims`` (its folder), or a path in the course."""

    to: str


@dataclass(frozen=True)
class Pipe:
    """A named pipe: whoever opens it to read waits for ever."""


Thing = bytes | Link | Pipe
Files = dict[str, Thing]
Make = Callable[[Release, str], Files]


def changed(change: Change) -> Make:
    """Return a maker of a hand-in: a notebook with q1 right and q2 empty, and something done to it."""
    return lambda release, number: {f"{number}/work.ipynb": as_bytes(half_right(release, number, change))}


def rewritten(write: Callable[[str], bytes | str]) -> Make:
    """Return a maker of a hand-in whose text as a file was written another way."""

    def make(release: Release, number: str) -> Files:
        text = write(json.dumps(half_right(release, number)))
        return {f"{number}/work.ipynb": text.encode() if isinstance(text, str) else text}

    return make


def in_zip(pack: Callable[[str, bytes], bytes]) -> Make:
    """Return a maker of a zip from the student's number and notebook."""
    return lambda release, number: {"parcel.zip": pack(number, as_bytes(half_right(release, number)))}


def straight(change: Change | None = None, as_file: Callable[[Any], bytes] = as_bytes, **beside: Thing) -> Make:
    """Return a maker of a hand-in in submitted/, with other things beside the notebook (``__`` for a point)."""

    def make(release: Release, number: str) -> Files:
        things = {name.replace("__", "."): thing for name, thing in beside.items()}
        return {f"{NAME}.ipynb": as_file(half_right(release, number, change)), **things}

    return make


def only(name: str, thing: Thing) -> Make:
    """Return a maker of a hand-in that is one thing under a name."""
    return lambda _, number: {name.format(number=number): thing}


def as_it_is(nb: Any, name: str = "{number}/work.ipynb") -> Make:
    """Return a maker of a file that is no notebook of ours at all."""
    data = nb if isinstance(nb, bytes) else as_bytes(nb)
    return lambda _, number: {name.format(number=number): data}


def named(name: str, more: Files | None = None) -> Make:
    """Return a maker of a notebook under a name, and perhaps other files."""
    beside = more or {}
    return lambda release, number: {
        name.format(number=number): as_bytes(half_right(release, number)),
        **{other.format(number=number): thing for other, thing in beside.items()},
    }


def with_record(write: Callable[[Release, str], str | bytes]) -> Make:
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


def answers_of(owner: str, typed: str = "") -> Make:
    """Return a maker of a notebook that answers another student's paper, all of it rightly."""
    return lambda release, number: {
        f"{number}/work.ipynb": as_bytes(answered(release, owner, typed=typed.format(number=number) or None))
    }


def worth_on_own_paper(release: Release, number: str) -> float:
    """Return what the owner's answers are worth on a student's own paper, where some may be right by chance."""
    owners, own = (read_issue(release).paper(who, 1).tasks for who in (OWNER, number))
    typed = [(task, other.answer_lines()) for task, other in zip(own, owners, strict=True) if not task.family.recorded]
    return float(sum(mark_task(task, lines).marks for task, lines in typed))


def two_notebooks(release: Release, number: str) -> Files:
    """Return two notebooks of one student that differ, and no telling which is newer."""
    empty = answered(release, number, {"q1": "", "q2": ""})
    return {f"{number}/a.ipynb": as_bytes(empty), f"{number}/b.ipynb": as_bytes(half_right(release, number))}


def in_the_name_of_the_owner(name: str) -> Make:
    """Return a maker of a bad notebook that claims, by its name or by the number in it, to be the owner's."""
    return lambda release, number: {
        name.format(number=number, owner=OWNER): as_bytes(answered(release, OWNER, {"q1": "", "q2": ""}))
    }


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
