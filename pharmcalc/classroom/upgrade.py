"""Bring the files of a course folder up to those of the pharmcalc that is installed, and lose nothing anybody wrote.

A list in the course folder (``LIST``) keeps a fingerprint of each file as it was laid out. So it can be told what the
instructor edited and what only the course changed. Where both did, the instructor's file stays and the new one is laid
into ``newer/``: in ``solutions/`` nbgrader would take it for a part of the assignment.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path, PurePosixPath

import pharmcalc
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.course_files import DESK, clone, fingerprint
from pharmcalc.classroom.issuing.release import HOUSE_RULES
from pharmcalc.errors import CourseError

__all__ = ["LIST", "NEWER", "Fate", "Upgraded", "fate", "lay_out", "upgrade_course"]

LIST = ".pharmcalc-files.json"
NEWER = "newer"
_DRAFT = ".pharmcalc-draft"
_ABOUT = "What pharmcalc laid into this folder. pharmcalc upgrade reads it to tell your edits from the course's."
_MOST = 10


class Fate(StrEnum):
    """What becomes of a file, in the words in which it is told."""

    REPLACED = "replaced by the new one"
    ADDED = "new, added"
    BESIDE = f"edited by you and changed in the course: yours stays, the new one lies in {NEWER}/ to compare"
    ISSUED = f"given to students already, so it stays as it is; the new one lies in {NEWER}/ to compare"
    YOURS = "edited by you, kept; the course has nothing new there"
    TAKEN_OUT = "removed by you, not laid again"
    LEFT_OUT = "no longer part of the course, left as it is"
    SAME = "as it should be"


def fate(base: str | None, mine: str | None, new: str | None, *, held: bool) -> Fate:
    """Say what becomes of a file.

    Parameters
    ----------
    base, mine, new
        Fingerprints: as it was laid out, as it is now, as the course has it today. None where there is none.
    held
        Students have what was made from it.
    """
    if new is None:
        return Fate.LEFT_OUT
    if mine is None:
        return Fate.TAKEN_OUT if base or held else Fate.ADDED
    if mine == new:
        return Fate.SAME
    if mine == base:
        return Fate.ISSUED if held else Fate.REPLACED
    return Fate.YOURS if base == new else Fate.BESIDE


@dataclass
class Upgraded:
    """What became of each file, and which pharmcalc laid the folder out before."""

    before: str
    files: dict[str, Fate] = field(default_factory=dict)
    laid_aside: dict[str, Path] = field(default_factory=dict)

    def having(self, fate: Fate) -> list[str]:
        """Return the files with this fate."""
        return [name for name, its in self.files.items() if its is fate]

    def says(self) -> Iterator[tuple[str | Path, ...]]:
        """Tell it in a few lines, each of texts and paths."""
        now = pharmcalc.__version__
        yield (f"Laid out by pharmcalc {self.before}, now {now}" if self.before else f"Brought to pharmcalc {now}",)
        counted = [f"{len(self.having(Fate.REPLACED))} replaced", f"{len(self.having(Fate.ADDED))} added"]
        kept = sum(its in (Fate.BESIDE, Fate.ISSUED, Fate.YOURS) for its in self.files.values())
        yield (" · ".join([*counted, f"{kept} kept as yours", f"{len(self.having(Fate.SAME))} the same"]),)
        for one in Fate:
            names = self.having(one)
            if not names or one is Fate.SAME:
                continue
            yield (f"{one[0].upper()}{one[1:]}:",)
            for name in names[:_MOST]:
                aside = self.laid_aside.get(name)
                yield (f"  {name}", *((" → ", aside) if aside else ()))
            if len(names) > _MOST:
                yield (f"  ... and {len(names) - _MOST} more",)
        if self.having(Fate.BESIDE):
            yield ("Next: take over from the new ones what you like, then remove them.",)
        if self.files.get(DESK) is Fate.REPLACED:
            yield (f"Where {DESK} is open, close it without saving and open it again.",)


def lay_out(root: Path, files: Mapping[str, bytes]) -> None:
    """Lay files into a course folder, where none of that name is there, and note them in the list."""
    version, noted = _read_list(root)
    for name, content in files.items():
        path = root / name
        if not path.exists():
            _write(root, name, content)
        elif not path.is_file() or fingerprint(name, path.read_bytes()) != fingerprint(name, content):
            continue
        noted[name] = fingerprint(name, content)
    _write_list(root, version or pharmcalc.__version__, noted)


def upgrade_course(course: Course, files: Mapping[str, bytes]) -> Upgraded:
    """Bring a course folder up to ``files``; whatever somebody wrote stays.

    The list is kept after each file, so that a run which is stopped is simply run again.

    Raises
    ------
    CourseError
        It is the project itself, or a file cannot be written.
    """
    if course.root == clone():
        raise CourseError(f"{course.root} is the project itself, and no course laid out from it. Go to your course.")
    version, noted = _read_list(course.root)
    done = Upgraded(version)
    for name in [*files, *sorted(noted.keys() - files.keys())]:
        path, content = course.root / name, files.get(name)
        new = None if content is None else fingerprint(name, content)
        mine = fingerprint(name, path.read_bytes()) if path.is_file() else None
        its = fate(noted.get(name), mine, new, held=_is_held(course, name))
        if not (its is Fate.LEFT_OUT and mine is None):
            done.files[name] = its
        if content is not None and its in (Fate.ADDED, Fate.REPLACED):
            _write(course.root, name, content)
        if content is not None and its in (Fate.BESIDE, Fate.ISSUED):
            done.laid_aside[name] = _lay_aside(course.root, name, content)
        before = dict(noted)
        if new is None:
            del noted[name]
        elif its not in (Fate.ISSUED, Fate.TAKEN_OUT):
            noted[name] = new
        if noted != before:
            _write_list(course.root, version, noted)
    _write_list(course.root, pharmcalc.__version__, noted)
    return done


def _is_held(course: Course, name: str) -> bool:
    """Say whether students have what was made from a file: their assignment, or the rules that it was issued with."""
    if name == HOUSE_RULES:
        return any((course.root / "issued").glob("*"))
    top, *inside = PurePosixPath(name).parts
    if top != "solutions" or not inside:
        return False
    return course.issued(inside[0]).is_dir() or course.release(inside[0]).is_file()


def _lay_aside(root: Path, name: str, content: bytes) -> Path:
    """Lay a new file into ``newer/``, under a name that is free there, and return its path."""
    wanted = root / NEWER / name
    path, number = wanted, 1
    while path.exists() and not (path.is_file() and path.read_bytes() == content):
        number += 1
        path = wanted.with_stem(f"{wanted.stem}-{number}")
    if not path.exists():
        _write(root, path.relative_to(root).as_posix(), content)
    return path


def _write(root: Path, name: str, content: bytes) -> None:
    """Write a file whole or not at all. The draft lies at the top: beside an assignment nbgrader would hand it out."""
    draft, path = root / _DRAFT, root / name
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        draft.write_bytes(content)
        draft.replace(path)
    except OSError as trouble:
        raise CourseError(
            f"{path} cannot be written ({trouble.strerror}). What was done before it is done. "
            "See that the folder may be written to and that nothing else has the file open, then do the same again."
        ) from None


def _read_list(root: Path) -> tuple[str, dict[str, str]]:
    """Return who laid the folder out, and the fingerprints; nothing where there is no list that can be read.

    Then every file that differs counts as edited, which loses nothing.
    """
    try:
        kept = json.loads((root / LIST).read_bytes())
        return str(kept["pharmcalc"]), {str(name): str(mark) for name, mark in kept["files"].items()}
    except (OSError, ValueError, LookupError, TypeError, AttributeError):
        return "", {}


def _write_list(root: Path, version: str, noted: Mapping[str, str]) -> None:
    kept = {"about": _ABOUT, "pharmcalc": version, "files": dict(sorted(noted.items()))}
    _write(root, LIST, (json.dumps(kept, indent=1) + "\n").encode())
